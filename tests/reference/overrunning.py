"""An overrunning clutch that lets go in `snub motion`, by other means.

Harmonic balance put down apart: the complex equations of motion.py with a complex inertia on the clutch's pulley, its share
by Gauss' rule over what it hands on in a turn of the swing; the greatest swing that balances by a scan.
Two clutches: the shares that the program's own amplitudes give must give these amplitudes back.
Runs in time: amplitudes of the last cycles of `snub motion --run hold`, where no belt slips and no span hangs loose.

Usage: overrunning.py SNUB. The last line is `N passed, N failed`.
"""
import math
import os
import sys

import numpy as np
import yaml
from scipy.optimize import brentq

import drive_reference as reference
import motion
import motion_run

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "cli"))
import tally  # noqa: E402

PROGRAM = os.path.abspath(sys.argv[1]) if len(sys.argv) > 1 else None  # the rules ask for the balance alone
STEEL, RIM = 7850.0, 3e-3
ORDER, ANGLES, SPEEDS = 2, (0.12, 0.4), (900, 1600, 2400, 2900, 3400)
PARTS = 40                # of a scan
# Off by so much of the greatest swing: one harmonic stands for a torque that comes in pulses, the shorter the less holds
# the shaft. Within a tenth of a natural frequency the swing hangs on the share, and so on what the harmonic leaves out.
NEAR_ONE, IN_TIME = 0.1, {"holds": 0.02, "lets go": 0.25, "in short pulses": 0.3, "near a resonance": 0.7}


def rim_of(radius, width, inertia):
    return min(2 * math.pi * STEEL * RIM * width * abs(radius) ** 3, 0.5 * inertia)


def share(hold):
    """Torque handed on at the swing's frequency, over that of a shaft that never lets go."""
    if hold >= 1 or hold == 0:
        return 1.0 + 0j if hold else 0j
    opens = math.acos(-hold)
    closes = brentq(lambda t: math.sin(t) - math.sin(opens) + hold * (t - opens), 2 * math.pi - opens, opens + 2 * math.pi,
                    xtol=1e-14)
    t, weight = np.polynomial.legendre.leggauss(40)
    half = (opens + 2 * math.pi - closes) / 2
    t = closes + half * (t + 1)
    return half * np.sum(weight * (hold + np.cos(t)) * np.exp(-1j * t)) / math.pi


def greatest(respond, i, asks, torque):
    """One clutch, on pulley i: the greatest swing that balances. `respond` by its share; `asks`: torque of a shaft that
    never lets go, per swing of its rim.
    @return (torque over what is asked, the response)"""
    def excess(hold):
        return asks * respond(share(hold))[1][i] * hold / torque - 1
    low = 0.0
    for hold in np.linspace(0, 1, PARTS + 1)[1:]:
        if excess(hold) > 0:
            hold = brentq(excess, low, hold, xtol=1e-13)
            return hold, respond(share(hold))
        low = hold
    return 1.0, respond(1.0)


class Clutched:
    def __init__(self, text, rpm):
        entry = yaml.safe_load(text)
        self.angle = math.radians(entry["engine"]["irregularity"]["angle"][0][0])
        drive = self.drive = reference.Drive(text)
        self.answer = reference.solve(drive, rpm * math.pi / 30)
        energy = motion.Energy(drive, self.answer)
        mass = [p.inertia or 0.0 for p in drive.pulleys]
        mass += [entry["pulleys"][drive.arm_index]["arm"]["inertia"]] if energy.moves else []
        self.swing = motion.Swing(energy, np.array(mass, complex))
        self.friction = drive.arm.damping * self.answer.moment if energy.moves else 0.0
        self.w = ORDER * rpm * math.pi / 30
        self.clutches = [i for i, p in enumerate(entry["pulleys"]) if p.get("overruns")]
        width = ((entry["belt"]["ribs"] - 1) * 3.56 + 2 * 2.5) * 1e-3  # ISO 9982
        self.shaft = {i: drive.pulleys[i].inertia - rim_of(drive.radius[i], width, drive.pulleys[i].inertia)
                      for i in self.clutches}

    def respond(self, shares):
        for i, s in shares.items():
            self.swing.mass[i] = self.drive.pulleys[i].inertia + (s - 1) * self.shaft[i]
        return self.swing.rub(self.w, self.angle, self.friction)

    def hold(self, i, angle):
        return self.answer.torque[i] / (self.shaft[i] * self.w ** 2 * angle)

    def greatest(self):
        i, = self.clutches
        return greatest(lambda part: self.respond({i: part}), i, self.shaft[i] * self.w ** 2, self.answer.torque[i])


def compare(place, got, angles, tensions, names, drive, tolerance):
    speeds = angles[:drive.n] * ORDER * got["rpm"]
    most, fastest = max(tensions), max(speeds)
    for i in range(drive.n):
        span = f"{names[i]} - {names[(i + 1) % drive.n]}"
        tally.check(f"{place}: {span}", abs(got["tension_N"][span] - tensions[i]) <= tolerance * most,
                    (got["tension_N"][span], tensions[i]))
        tally.check(f"{place}: {names[i]} turns", abs(got["speed_rpm"][names[i]] - speeds[i]) <= tolerance * fastest,
                    (got["speed_rpm"][names[i]], speeds[i]))


def with_clutch(entry, which, angle):
    """Flat loads; the pulleys of `which` overrun, heavy enough that some speeds have them let go."""
    loaded = [p for p in entry["pulleys"] if "load" in p]
    for k, pulley in enumerate(loaded):
        pulley["load"] = [[1, 3.0], [30000, 3.0]]
        pulley.pop("overruns", None)
        if k in which:
            pulley.update(overruns=True, inertia=0.004)
    entry["engine"]["irregularity"] = {"speed": [500], "order": [ORDER], "angle": [[angle]]}
    return yaml.safe_dump(entry, sort_keys=False), len(loaded)


def one(place, entry, rpm, angle, seen):
    text, _ = with_clutch(entry, (0,), angle)
    c = Clutched(text, rpm)
    names = [p.name for p in c.drive.pulleys]
    got = motion.ask(PROGRAM, text, rpm)["orders"][0]
    hold, (_, angles, tensions, _) = c.greatest()
    place = f"{place}, {rpm} rpm"
    i = c.clutches[0]
    tally.check(f"{place}: lets go", (got["clutches_let_go"] == [names[i]]) == (hold < 1), (got["clutches_let_go"], hold))
    compare(place, got, angles, tensions, names, c.drive, 2e-5)
    seen["lets go" if hold < 1 else "holds"] += 1
    return text, got, c, hold


def kind_of(text, got, c, hold):
    held = [m["frequency_Hz"] for m in motion.ask(PROGRAM, text, got["rpm"])["modes"] if m["crank"] == "held"]
    if min(abs(f * 2 * math.pi / c.w - 1) for f in held) < NEAR_ONE:
        return "near a resonance"
    return "holds" if hold == 1.0 else "lets go" if hold > 0.5 else "in short pulses"


def in_time(place, text, got, c, hold, seen):
    if got["slack"]:
        return
    answer, rows = motion_run.run(PROGRAM, text, got["rpm"], 0.8)
    if any(e["what"] in ("slack", "slips") for e in answer["events"]):
        return
    most, kind = max(got["tension_N"].values()), kind_of(text, got, c, hold)
    off = max(abs(motion_run.amplitude(rows["time"], rows[f"tension of {span}"], c.w) - size) / most
              for span, size in got["tension_N"].items())
    seen.setdefault(f"in time, {kind}", []).append(round(off, 3))
    tally.check(f"{place}, {got['rpm']} rpm in time, {kind}", off <= IN_TIME[kind], (off, hold))
    went = any(e["what"] == "freewheels" for e in answer["events"])
    tally.check(f"{place}, {got['rpm']} rpm in time: lets go", went == bool(got["clutches_let_go"]) or abs(hold - 1) < 0.1, hold)


def two(place, entry, rpm, angle, seen):
    text, loaded = with_clutch(entry, (0, 1), angle)
    if loaded < 2:
        return
    c = Clutched(text, rpm)
    names = [p.name for p in c.drive.pulleys]
    got = motion.ask(PROGRAM, text, rpm)["orders"][0]
    shares = {}
    for i in c.clutches:
        swings = got["speed_rpm"][names[i]] / ORDER / rpm
        shares[i] = share(c.hold(i, swings))
    _, angles, tensions, _ = c.respond(shares)
    compare(f"{place}, {rpm} rpm, two", got, angles, tensions, names, c.drive, 2e-5)
    seen["both"] += len(got["clutches_let_go"]) == 2


def main():
    seen = {"lets go": 0, "holds": 0, "both": 0}
    for place, entry, arm in motion_run.drives(2):
        if not any("load" in p for p in entry["pulleys"]):
            continue
        for friction in (0.0, 1.0):
            full = arm["damping"]
            arm["damping"] = full * friction
            for rpm, angle in ((rpm, angle) for angle in ANGLES for rpm in SPEEDS[::1 if friction == 0.0 else 2]):
                text, got, c, hold = one(f"{place}, {friction} of friction", entry, rpm, angle, seen)
                if friction == 0.0:
                    in_time(place, text, got, c, hold, seen)
                two(place, entry, rpm, angle, seen)
            arm["damping"] = full
    print(seen)
    tally.check("enough of each", seen["lets go"] >= 4 and seen["holds"] >= 4 and seen["both"] >= 2
                and len(seen["in time, lets go"]) >= 2, seen)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
