"""Orders of the crank in `snub motion --json` against a cycle put together here from docs/theory/motion.md: sizes and rules
of thumb from the drive file, boost and power from `snub sweep`, pressures by quadrature over the piston's way, orders by
Fourier integrals over time with differences of the piston's position.

Usage: crank_orders.py SNUB. The last line is `N passed, N failed`.
"""
import json
import math
import os
import subprocess
import sys

import numpy as np
from scipy.optimize import brentq

PI = math.pi
EXAMPLES = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "examples")
# displacement [m3], cylinders, compression, ambient pressure [Pa], as the files have them
ENGINES = {"sedgemere.yaml": (3.65e-3, 6, 9.6, 101325.0),
           "ironbrook-v8.yaml": (351 * 0.0254 ** 3, 8, 8.8, 14.7 * 0.45359237 * 9.80665 / 0.0254 ** 2)}
CASES = [
    ("sedgemere.yaml", 3000, {}),
    ("sedgemere.yaml", 5700, {"reciprocating_mass": 1.1, "rod": 130, "stroke": 80}),
    ("sedgemere.yaml", 900, {"firing": [90, 150, 90, 150, 90, 150], "inertia": 0.4}),
    ("sedgemere.yaml", 2500, {"strokes": 2, "displacement": 2.0}),
    ("ironbrook-v8.yaml", 2000, {}),
    ("ironbrook-v8.yaml", 5000, {"compression": 11, "stroke": 88.4}),
]
failed, passed = [], 0


def near(what, got, want, tolerance):
    global passed
    if got is not None and abs(got - want) <= tolerance * abs(want):
        passed += 1
    else:
        failed.append(f"{what}: got {got!r}, want {want!r}")


def ask(program, *arguments):
    ran = subprocess.run([program, *arguments, "--json"], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise RuntimeError(ran.stderr[:400])
    return json.loads(ran.stdout)


class Cycle:
    def __init__(self, volume, cylinders, compression, ambient, boost, given):
        self.strokes = given.get("strokes", 4)
        swept = given.get("displacement", volume * 1e3) * 1e-3 / cylinders
        self.compression = given.get("compression", compression)
        stroke = given.get("stroke", 1e3 * (4 * swept / PI) ** (1 / 3)) * 1e-3
        self.area = swept / stroke
        bore = math.sqrt(4 * self.area / PI)
        self.r, self.rod = stroke / 2, given.get("rod", 1.7e3 * stroke) * 1e-3
        self.mass = given.get("reciprocating_mass", 0.5 * (bore / 0.086) ** 3)
        self.ambient, self.manifold = ambient, ambient + boost
        self.rise, self.clearance = 0.0, swept / (self.compression - 1)
        firing = given.get("firing", [180 * self.strokes / cylinders] * cylinders)
        self.firing = np.radians(np.cumsum([0] + firing[:-1]))
        # Middles of many small steps: none of them lies on a dead centre, where the cycle has its corners.
        self.steps = 36000 * self.strokes
        self.angle = (np.arange(self.steps) + 0.5) * self.strokes * PI / self.steps

    def depth(self, angle):
        """Of the piston under its top."""
        return self.r + self.rod - self.r * np.cos(angle) - np.sqrt(self.rod ** 2 - (self.r * np.sin(angle)) ** 2)

    def pressure(self, angle):
        ratio = self.compression * self.clearance / (self.clearance + self.area * self.depth(angle))
        top = self.manifold * self.compression ** 1.32 + self.rise
        out = top * (ratio / self.compression) ** 1.27
        if self.strokes == 2:
            return np.where(angle < PI, out, self.manifold * ratio ** 1.32)
        return np.select([angle < PI, angle < 2 * PI, angle < 3 * PI], [out, self.ambient, self.manifold],
                         self.manifold * ratio ** 1.32)

    def torque(self, speed):
        half = 0.5 * self.strokes * PI / self.steps
        down = (self.depth(self.angle + half) - self.depth(self.angle - half)) / (2 * half)
        h = 1e-3
        bend = (self.depth(self.angle + h) - 2 * self.depth(self.angle) + self.depth(self.angle - h)) / h ** 2
        return (self.pressure(self.angle) - self.ambient) * self.area * down - self.mass * speed ** 2 * down * bend

    def set_mean(self, mean):
        def excess(rise):
            self.rise = rise
            return np.mean(self.torque(0.0)) - mean
        self.rise = brentq(excess, -1e6, 3e7, xtol=1)

    def order(self, order, speed):
        one = 2 * np.mean(self.torque(speed) * np.exp(-1j * order * self.angle))
        return abs(one * np.sum(np.exp(-1j * order * self.firing)))


def compare(program, name, rpm, given):
    volume, cylinders, compression, ambient = ENGINES[name]
    file, speed = os.path.join(EXAMPLES, name), rpm * PI / 30
    sets = [a for k, v in given.items() for a in ("--set", f"engine.{k}={v}{' L' if k == 'displacement' else ''}")]
    place = f"{name} at {rpm} rpm {given}"
    got = ask(program, "motion", file, "--rpm", str(rpm), *sets)
    sweep = ask(program, "sweep", file, "--no-offers", "--speeds", "2", *sets, "--set", f"engine.idle={rpm - 1}", "--set",
                f"engine.redline={rpm}")
    point = sweep["ways"]["steady"]["points"][-1]
    cycle = Cycle(volume, cylinders, compression, ambient, 1e3 * point["boost_kPa"], given)
    power = 1e3 * (point["estimated_crank_power_kW"] + point["blower_power_kW"])
    mean = power / 0.85 / speed
    near(f"{place}: mean torque", got["irregularity"]["cycle"][0]["mean_gas_torque_N_m"], mean, 1e-6)
    cycle.set_mean(mean / cylinders)
    peak = cycle.manifold * cycle.compression ** 1.32 + cycle.rise
    near(f"{place}: peak pressure", got["irregularity"]["cycle"][0]["peak_pressure_kPa"], peak / 1e3, 2e-6)
    want = {k / 2: cycle.order(k / 2, speed) for k in range(1, 25) if cycle.strokes == 4 or k % 2 == 0}
    greatest = max(want.values())
    orders = {o["order"]: o for o in got["irregularity"]["orders"]}
    inertia = next(i["inertia_kg_m2"] for i in got["inertias"] if i["name"] == "crank")
    near(f"{place}: inertia", inertia, given.get("inertia", 0.07 * given.get("displacement", 1e3 * volume)), 1e-9)
    for order, torque in want.items():
        if torque < 2e-3 * greatest:
            continue
        own = orders.get(order, {"torque_N_m": None, "angle_deg": None, "speed_pct": None})
        angle = torque / (inertia * (order * speed) ** 2)
        near(f"{place}: order {order}", own["torque_N_m"], torque, 2e-5 * greatest / torque)
        near(f"{place}: angle {order}", own["angle_deg"], math.degrees(angle), 2e-5 * greatest / torque)
        near(f"{place}: speed {order}", own["speed_pct"], 100 * angle * order, 2e-5 * greatest / torque)


def without_load(program, rpm, given):
    """Throttle closed: intake pressure and rise in one proportion, until the gas carries the engine's friction (the share
    that mechanical efficiency leaves of the torque without boost) and what the belt takes from the crank."""
    name, filling = "sedgemere.yaml", 0.8
    volume, cylinders, compression, ambient = ENGINES[name]
    file, speed = os.path.join(EXAMPLES, name), rpm * PI / 30
    sets = [a for k, v in {**given, "volumetric_efficiency": [[600, filling], [6000, filling]], "mechanical": 0.8,
                           "work_per_air": 900}.items() for a in ("--set", f"engine.{k}={v}")]
    place = f"{name} at {rpm} rpm without load {given}"
    got = ask(program, "motion", file, "--rpm", str(rpm), "--case", "closed-throttle", *sets)
    state = ask(program, "check", file, "--rpm", str(rpm), "--case", "closed-throttle", *sets)
    belt = -next(p["torque_N_m"] for p in state["pulleys"] if p["name"] == "crank")
    cycle = Cycle(volume, cylinders, compression, ambient, 0.0, given)
    air = ambient / 287.055 / 298.15 * filling * volume * rpm / 60 / (2 if cycle.strokes == 4 else 1)
    full = air * 900e3 / 0.8 / speed
    cycle.set_mean(full / cylinders)
    wanted, manifold, rise = (0.2 * full + belt) / cylinders, cycle.manifold, cycle.rise

    def excess(share):
        cycle.manifold, cycle.rise = share * manifold, share * rise
        return np.mean(cycle.torque(0.0)) - wanted
    excess(brentq(excess, 1e-3, 2, xtol=1e-12))
    near(f"{place}: mean torque", got["irregularity"]["cycle"][0]["mean_gas_torque_N_m"], wanted * cylinders, 1e-4)
    orders = {o["order"]: o["torque_N_m"] for o in got["irregularity"]["orders"]}
    want = {k / 2: cycle.order(k / 2, speed) for k in range(1, 25)}
    greatest = max(want.values())
    for order, torque in want.items():
        if torque > 2e-3 * greatest:
            near(f"{place}: order {order}", orders.get(order), torque, 1e-4 * greatest / torque)


def main():
    program = os.path.abspath(sys.argv[1])
    for case in CASES:
        compare(program, *case)
    without_load(program, 900, {})
    without_load(program, 4000, {"firing": [90, 150, 90, 150, 90, 150]})
    for line in failed[:30]:
        print("FAILED " + line)
    print(f"{passed} passed, {len(failed)} failed")
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
