"""Hardware worked out a second time: touch points by rotating a tangent until it fits (SciPy's root), heights of tilted
planes as cross products in space, the floating belt by marching round the loop, beams by integrating their curvature,
bearing lives from the catalogue's own formulae. Nothing here is taken from the program but the hub loads of `snub check`.

Usage: mount.py SNUB; the last line is `N passed, N failed`.
"""
import json
import math
import os
import random
import subprocess
import sys
import tempfile

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

SNUB = sys.argv[1]
RPM = math.pi / 30
passed = failed = 0


def near(what, got, want, tolerance):
    global passed, failed
    if got is not None and abs(got - want) <= tolerance:
        passed += 1
    else:
        failed += 1
        print(f"FAILED {what}: got {got}, want {want}, tolerance {tolerance}")


def run(*arguments):
    done = subprocess.run([SNUB, *arguments], capture_output=True, text=True)
    if done.returncode == 2:
        raise SystemExit(f"{arguments}: {done.stderr}")
    return json.loads(done.stdout)


# ---- a drive with hardware of random places -----------------------------------------------------------------------

def drive(rng):
    """Text of a drive file, and what it says as numbers."""
    what = {"plane": {}, "tilt": {}, "guides": {}, "standoff": {}, "seat": {}, "bolt": {}}
    names = ["crank", "tensioner", "alternator", "snub", "blower", "idler", "pump"]
    backs = {"tensioner", "snub", "idler"}
    base = {
        "crank": "role: crank, at: [0, 0], diameter: 185",
        "tensioner": "side: back, diameter: 76, arm: {pivot: [-220, 130], length: 95, free: 20, loads: cw, travel: 60, "
                     "preload: 25, rate: 0.8 N m/deg, damping: 0.2}",
        "alternator": "at: [-235, 215], diameter: 62, load: [[3000 rpm, 9], [12000 rpm, 5]], inertia: 0.0028",
        "snub": "side: back, diameter: 64, slot: {from: [-112, 304], to: [-75, 332], setting: 20}",
        "blower": "at: [0, 360], diameter: 80, load: [[1000 rpm, 2], [15000 rpm, 25]], inertia: 0.0016",
        "idler": "side: back, at: [88, 318], diameter: 76",
        "pump": "at: [190, 170], diameter: 130, load: [[1000 rpm, 0.3], [6000 rpm, 9]]",
    }
    lines = []
    for name in names:
        z, tilt = round(rng.uniform(-2, 2), 3), [round(rng.uniform(-0.3, 0.3), 4) for _ in range(2)]
        guides = name not in backs or rng.random() < 0.3
        extra = f", plane: {z}, tilt: {tilt}" + (", guides: true" if name in backs and guides else "")
        what["plane"][name], what["tilt"][name], what["guides"][name] = z * 1e-3, np.radians(tilt), guides
        if name in ("snub", "idler"):
            outside, bore, length = round(rng.uniform(24, 34), 1), 10.5, round(rng.uniform(20, 50), 1)
            torque, factor = round(rng.uniform(50, 70), 1), round(rng.uniform(0.14, 0.2), 3)
            extra += (f", standoff: {{outside: {outside}, bore: {bore}, length: {length}, bolt: {{thread: M10, class: 12.9, "
                      f"torque: {torque}, nut_factor: {factor}, scatter: 0.25}}}}")
            what["standoff"][name] = (outside * 1e-3, bore * 1e-3, length * 1e-3, 0.75 * torque / (factor * 0.010))
            what["bolt"][name] = (torque, factor)
            pair, offset = rng.random() < 0.5, round(rng.uniform(-2, 2), 2)
            spacing = round(rng.uniform(12, 20), 1)
            extra += f", bearing: {{type: 6203, offset: {offset}, temperature: 95, reliability: 97" + (
                f", count: 2, spacing: {spacing}}}" if pair else "}")
            what["seat"][name] = (spacing * 1e-3 if pair else None, offset * 1e-3)
        lines.append(f"  - {{name: {name}, {base[name]}{extra}}}")
    what["speed"] = round(rng.uniform(1500, 5500))
    text = ("snub: 1\nengine: {displacement: 4.0 L, cylinders: 6, idle: 750 rpm, redline: 6200 rpm, "
            "volumetric_efficiency: [[750 rpm, 0.8], [6200 rpm, 0.8]], accel_rate: 1500 rpm/s, decel_rate: 9000 rpm/s}\n"
            "belt: {section: PK, ribs: 8, length: 1575}\npulleys:\n" + "\n".join(lines) +
            "\nbearings: [{designation: 6203, bore: 17, outside: 40, width: 12, dynamic: 9550, static: 4800, f0: 13.2, "
            "seal: low-contact, max_speed: 19000 rpm, max_speed_grease: 21000 rpm}]\n"
            f"duty: [[{what['speed']} rpm, 1]]\n")
    return names, text, what


# ---- geometry ---------------------------------------------------------------------------------------------------------

def tangent(c1, r1, c2, r2):
    """Touch points of the span from a signed circle to the next: the direction whose left normal gives equal heights."""
    d = c2 - c1

    def mismatch(angle):
        n = np.array([-math.sin(angle), math.cos(angle)])
        return n @ d + r2 - r1
    start = math.atan2(d[1], d[0])
    angle = brentq(mismatch, start - math.pi / 2, start + math.pi / 2, xtol=1e-15, rtol=1e-15)
    n = np.array([-math.sin(angle), math.cos(angle)])
    return c1 + r1 * n, c2 + r2 * n


def turn(tilt):
    """A small rotation about x and y as a matrix, first order."""
    tx, ty = tilt
    return np.array([[1, 0, ty], [0, 1, -tx], [-ty, tx, 1]])


def entries(names, centre, radius, what):
    """Entry angle of each pulley: the rise of the belt in space, along the span, less that of the groove's circle."""
    n = len(names)

    def height(i, p):
        return (turn(what["tilt"][names[i]]) @ np.append(p - centre[i], 0))[2] + what["plane"][names[i]]

    def groove(i, u):
        return (turn(what["tilt"][names[i]]) @ np.append(u, 0))[2]
    offset, entry, drift = 0.0, [None] * n, [None] * n
    for lap in range(2):  # the first lap finds the offset at the start; pulley 0 guides
        for i in range(n):
            j = (i + 1) % n
            leave, enter = tangent(centre[i], radius[i], centre[j], radius[j])
            length = np.linalg.norm(enter - leave)
            u = (enter - leave) / length
            z = height(i, leave) + offset
            if what["guides"][names[j]]:
                entry[j], drift[j], offset = (height(j, enter) - z) / length - groove(j, u), None, 0.0
            else:
                offset = z + length * groove(j, u) - height(j, enter)
                entry[j], drift[j] = None, offset
    return entry, drift


SLOT = math.degrees(math.atan2(332 - 304, -75 + 112))  # of the snub idler


# ---- metal ------------------------------------------------------------------------------------------------------------

def standoff_slope(force, outside, bore, length, over):
    """At the end of a tube that a force bends at `over` from its root: on it, or past its end."""
    rigidity = 207e9 * math.pi / 64 * (outside ** 4 - bore ** 4)
    return quad(lambda x: force * (over - x) / rigidity, 0, min(over, length))[0]


def opens_at(preload, outside, bore):
    """The moment at which stress at the fibre is nothing, found rather than solved."""
    area, inertia = math.pi / 4 * (outside ** 2 - bore ** 2), math.pi / 64 * (outside ** 4 - bore ** 4)
    return brentq(lambda m: m * outside / 2 / inertia - preload / area, 0, 1e5)


def over_slot(preload, outside, bore, along, across, slot=0.011):
    """The size of a moment that way at which a ring without the strip of a slot (an M10 hole wide) begins to lift: by a grid of
    the face, and found rather than solved."""
    n = 3001
    u, v = np.meshgrid(*[(np.arange(n) + 0.5) / n * outside - outside / 2] * 2)
    far = u * u + v * v
    seat = (far < outside ** 2 / 4) & (far > bore ** 2 / 4) & (abs(v) > slot / 2)
    u, v, cell = u[seat], v[seat], (outside / n) ** 2
    area, uu, vv = len(u) * cell, (u * u).sum() * cell, (v * v).sum() * cell
    size = math.hypot(along, across)
    least = (along / size * u / uu + across / size * v / vv).min()
    return brentq(lambda m: preload / area + m * least, 0, 1e5)


def tightened_stress(torque, factor, scatter):
    """Greatest stress, MPa, of an M10 at the high end of its preload, under the wrench (VDI 2230): the torque is what it is, and
    what friction under the head and in the thread leaves of it pulls. Found by trial, not solved."""
    high = (1 + scatter) * torque / (factor * 0.010)
    pitch, d2, flank = 1.5e-3, 10e-3 - 3 * math.sqrt(3) / 8 * 1.5e-3, math.cos(math.pi / 6)

    def thread(mu):
        return high * (pitch / (2 * math.pi) + mu * d2 / 2 / flank)
    mu = brentq(lambda x: thread(x) + x * high * (14.63e-3 + 11e-3) / 4 - torque, 0, 2)
    radius = (10e-3 - 0.9382 * pitch) / 2
    yielded = quad(lambda r: 2 * math.pi * r * r, 0, radius)[0]  # moment of one pascal of shear all through
    return math.hypot(high / (math.pi * radius ** 2), math.sqrt(3) * thread(mu) / yielded) / 1e6


def equivalent(radial, axial):
    x = [0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89]
    e = np.interp(13.2 * axial / 4800, x, [0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44])
    y = np.interp(13.2 * axial / 4800, x, [2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00])
    return radial if axial <= e * radial else 0.56 * radial + y * axial


def viscosity(celsius):
    """Oil of 70 and 7.3 mm2/s: the line of log log (nu + 0.7) over log T, by two points."""
    x, y = np.log10([313.15, 373.15]), np.log10(np.log10(np.array([70, 7.3]) + 0.7))
    slope, level = np.polyfit(x, y, 1)
    return 10 ** 10 ** (slope * math.log10(celsius + 273.15) + level) - 0.7


def modified(load, rpm):
    """ISO 281's factor of a 6203 at 95 degC with slight contamination."""
    kappa = min(viscosity(95) / ((4500 * rpm ** -0.5 if rpm >= 1000 else 45000 * rpm ** -0.83) * 28.5 ** -0.5), 4)
    c, power = next((c, power) for most, c, power in
                    ((0.4, 2.2649, 0.054381), (1, 1.9987, 0.19087), (9, 1.9987, 0.071739)) if kappa < most)
    left = 1 - (2.5671 - c * kappa ** -power) ** 0.83 * (0.3 * 4800 / 22 / load) ** (1 / 3)
    return min(0.1 * left ** -9.3, 50) if left > 0 else 50


def bearing(force, rpm, spacing, offset):
    """P of the harder worked bearing, basic life in h of all, the same with oil film and dirt, grease life in h."""
    if spacing is None:
        loads = [1.2 * equivalent(force, 4 * force * abs(offset) / 0.0285)]
    else:
        loads = [1.2 * abs(force * (0.5 + s * offset / spacing)) for s in (1, -1)]
    lives = [1e6 / (60 * rpm) * (9550 / p) ** 3 for p in loads]
    life = sum(v ** (-10 / 9) for v in lives) ** -0.9
    with_film = sum((v * modified(p, rpm)) ** (-10 / 9) for v, p in zip(lives, loads)) ** -0.9
    x = max(rpm / 21000, 0.25)
    grease = 10 ** (6.54 - 2.6 * x - (0.025 - 0.012 * x) * 95)
    factor = np.interp(max(loads) / 9550, [0.1, 0.125, 0.25], [1, 0.5 / 0.7, 0.2 / 0.7])
    return max(loads), life, with_film, grease * factor


def try_one(rng, number):
    names, text, what = drive(rng)
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text)
        file.flush()
        mount = run("mount", file.name, "--json")
        top = run("check", file.name, "--rpm", "6200", "--json")
        # the bearings run on the tightest belt in tolerance: 9 mm less
        short = ("--set", "belt.length=1566", "--json")
        duty = run("check", file.name, "--rpm", str(what["speed"]), *short)
        between = bracket(what["speed"], top["pulleys"])
        around = [run("check", file.name, "--rpm", repr(s), *short) for s in between]
    centre = [np.array(p["centre_mm"]) * 1e-3 for p in top["pulleys"]]
    radius = [p["pitch_radius_mm"] * 1e-3 * (1 if p["turns"] == "cw" else -1) for p in top["pulleys"]]
    entry, drift = entries(names, centre, radius, what)
    for i, p in enumerate(mount["pulleys"]):
        name = p["name"]
        if entry[i] is not None:
            near(f"{number}: entry of {name}, deg", p["plane"]["entry_deg"], math.degrees(entry[i]), 1e-6)
        else:
            near(f"{number}: drift on {name}, mm", p["plane"]["drift_mm"], drift[i] * 1e3, 1e-6)
        if name not in what["standoff"]:
            continue
        outside, bore, length, low = what["standoff"][name]
        runs = 0.0 if drift[i] is None else drift[i]  # the belt pulls where it runs, not where the pulley stands
        over = length + runs
        worst = p["hub"]["worst_N"]
        near(f"{number}: worst hub load of {name} is no less than at the redline",
             min(worst - top["pulleys"][i]["hub_load_N"], 0), 0, 1e-6)
        s, limit = p["standoff"], opens_at(low, outside, bore)
        way = s["moment_along_slot_N_m"], s["moment_across_slot_N_m"]
        if name == "snub":  # it stands over its slot: the way of the load counts as well as its size
            force, at = top["pulleys"][i]["hub_load_N"], math.radians(top["pulleys"][i]["hub_load_deg"] - SLOT)
            near(f"{number}: moment of {name}, N m", s["moment_N_m"], math.hypot(*way), 1e-9 * worst)
            near(f"{number}: no more than of the worst load", max(s["moment_N_m"] - worst * over, 0), 0, 1e-9 * worst)
            limit = over_slot(low, outside, bore, *way)
            near(f"{number}: opening moment of {name}, N m", s["opens_at_N_m"], limit, 2e-3 * limit)
            at_top = over_slot(low, outside, bore, math.cos(at), math.sin(at))
            near(f"{number}: use, no less than at the redline",
                 min(s["moment_N_m"] / limit - 0.997 * force * over / at_top, 0), 0, 1e-6)
        else:
            near(f"{number}: opening moment of {name}, N m", s["opens_at_N_m"], limit, 1e-6 * limit)
            near(f"{number}: moment of {name}, N m", s["moment_N_m"], worst * over, 1e-9 * worst)
            near(f"{number}: no slot under {name}", float(way == (None, None)), 1, 0)
        want = tightened_stress(*what["bolt"][name], 0.25)
        near(f"{number}: stress of the bolt of {name}, MPa", s["stress_MPa"], want, 1e-6 * want)
        near(f"{number}: its proof safety", s["proof_safety"], 970 / want, 1e-6)
        if name == "snub":  # its bolt holds it in its slot: along that, and no other way
            force, at = top["pulleys"][i]["hub_load_N"], math.radians(top["pulleys"][i]["hub_load_deg"] - SLOT)
            along = abs(force * math.cos(at))
            near(f"{number}: along the slot, no less than at the redline", min(p["slot"]["load_N"] - along, 0), 0, 1e-6)
            near(f"{number}: and no more than the hub load", max(p["slot"]["load_N"] - worst, 0), 0, 1e-6)
            near(f"{number}: friction of the slot", p["slot"]["slip_used"], p["slot"]["load_N"] / (0.1 * low), 1e-9)
            near(f"{number}: friction of the tube in the slot", s["slip_used"], 0, 0)
        else:
            near(f"{number}: no slot", float(p["slot"] is None), 1, 0)
            near(f"{number}: friction of the standoff", s["slip_used"], worst / (0.1 * low), 1e-9)
        if not s["opens"]:
            want = math.degrees(standoff_slope(worst, outside, bore, length, over)) * 60
            near(f"{number}: slope of {name}, arcmin", s["slope_arcmin"], want, 1e-8)
        # between the speeds that the program works out hub loads are taken as straight lines
        force = interpolated(what["speed"], between, around, i)
        near(f"{number}: straight lines between speeds, N", force, duty["pulleys"][i]["hub_load_N"], 0.005 * force)
        spacing, offset = what["seat"][name]
        load, life, with_film, grease = bearing(force, abs(duty["pulleys"][i]["rpm"]), spacing, offset + runs)
        b = p["bearing"]
        near(f"{number}: the belt that {name} lives shortest with", float(b["belt"] == "shortest belt"), 1, 0)
        near(f"{number}: P of {name}, N", b["load_N"], load, 1e-6 * load)
        near(f"{number}: basic life of {name}, h", b["life_basic_h"], life, 1e-5 * life)
        a1 = 4.26 * math.log(100 / 97) ** (2 / 3) + 0.05
        near(f"{number}: life of {name}, h", b["life_h"], a1 * with_film, 1e-5 * a1 * with_film)
        near(f"{number}: life factor of {name}", b["life_factor"], with_film / life, 1e-5 * with_film / life)
        near(f"{number}: a1", b["reliability_factor"], 4.26 * math.log(100 / 97) ** (2 / 3) + 0.05, 1e-9)
        near(f"{number}: grease of {name}, h", b["grease_life_h"], grease, 1e-5 * grease)


def bracket(speed, pulleys):
    """Neighbours of a speed among the 41 steps from idle to redline and the speeds at which a load table bends."""
    radius = {p["name"]: p["pitch_radius_mm"] for p in pulleys}
    grid = [750 + (6200 - 750) / 40 * k for k in range(41)]
    for name, table in (("alternator", (3000, 12000)), ("blower", (1000, 15000)), ("pump", (1000, 6000))):
        grid += [n * radius[name] / radius["crank"] for n in table if 750 < n * radius[name] / radius["crank"] < 6200]
    return max(s for s in grid if s <= speed), min(s for s in grid if s > speed)


def interpolated(speed, between, around, i):
    low, high = between
    part, forces = (speed - low) / (high - low), []
    for answer in around:
        size, angle = answer["pulleys"][i]["hub_load_N"], math.radians(answer["pulleys"][i]["hub_load_deg"])
        forces.append(size * np.array([math.cos(angle), math.sin(angle)]))
    return float(np.linalg.norm(forces[0] + part * (forces[1] - forces[0])))


rng = random.Random(20240229)
for number in range(int(os.environ.get("SNUB_RIGS", "14"))):
    try_one(rng, number)
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
