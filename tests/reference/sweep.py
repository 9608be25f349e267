"""A sweep with slip, held against independent models: tensions and grip by drive_reference.py, the blower as plain
equations by SciPy, and the slipping speed found anew from both."""
import json
import math
import os
import subprocess
import sys
import tempfile

import numpy as np
import yaml
from scipy.optimize import brentq, root

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import drive_reference as reference  # noqa: E402

TENSION = 1e-6   # relative
GRIP = 1e-5      # of a slipping pulley's grip 1
TORQUE = 2e-3    # relative: cp by straight lines in the NBS table here, by a cubic there
FACTOR = 1e-3    # of the speed without slip
RPM = math.pi / 30
PSI = 6894.757293168
NBS = [(250, 1003), (300, 1005), (350, 1008), (400, 1013), (450, 1020), (500, 1029)]
FILL = [(640, 0.69), (3100, 0.89), (4400, 0.88), (5700, 0.79)]
P0, T1, R = 101325.0, 298.15, 8314.32 / 28.9644
passed = failed = 0


def check(what, good, detail=""):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print(f"FAILED {what}: {detail}")


def blower(engine_rpm, shaft_rpm, internal=1.25, swept=1.45e-3, mechanical=0.91):
    """Boost [Pa] and torque [N m] of the example's twin-screw with its cooler, throttle open."""
    fill = np.interp(engine_rpm, *zip(*FILL))
    rho0 = P0 / (R * T1)
    flow_at_loss = 0.1622  # at 25 degC and 101.325 kPa, as P0 and T1
    n = shaft_rpm / 60
    cp = 1005.0
    for _ in range(4):
        g = cp / (cp - R)

        def equations(x):
            p1, p2, pm, t2, t3, m = x[0] * P0, x[1] * P0, x[2] * P0, x[3] * T1, x[4] * T1, x[5] * 0.1
            leak = 720 / 60 * math.copysign(math.sqrt(abs(p2 - p1) / PSI * 14.7 * PSI / p1 * T1 * 1.8 / 528), p2 - p1)
            work = swept * (g / (g - 1) * p1 * (internal ** (g - 1) - 1) + (p2 - p1 * internal ** g) / internal)
            share = (m / flow_at_loss) ** 2
            return [(p1 - P0 + 1600 * share) / P0, (p1 / (R * T1) * swept * (n - leak) - m) / 0.1,
                    (m * cp * (t2 - T1) - work * n) / (0.1 * cp * T1),
                    (p2 - pm - 5000 * share * rho0 * R * t2 / p2) / P0, (t2 - t3 - 0.66 * (t2 - 321.15)) / T1,
                    (pm / (R * t3) * 3.65e-3 * engine_rpm / 120 * fill - m) / 0.1]
        x = root(equations, [0.99, 1.5, 1.45, 1.25, 1.1, 2], tol=1e-13).x
        if np.max(np.abs(equations(x))) > 1e-9:
            return math.nan, math.nan
        cp = float(np.interp((1 + x[3]) / 2 * T1, *zip(*NBS)))
    power = x[5] * 0.1 * cp * (x[3] - 1) * T1
    return (x[2] - 1) * P0, power / mechanical / (shaft_rpm * RPM)


def point_check(drive, way, point):
    names = [p.name for p in drive.pulleys]
    belt_factor = 1 - next(p["slip_pct"] for p in point["pulleys"] if p["name"] == names[drive.crank]) / 100
    torques = {p["name"]: p["torque_N_m"] for p in point["pulleys"] if p["name"] != names[drive.crank]}
    answer = reference.solve(drive, point["engine_rpm"] * RPM * belt_factor, torques=torques)
    at = f"{way} at {point['engine_rpm']:.0f} rpm"
    for i, p in enumerate(point["pulleys"]):
        scale = max(abs(answer.entry[i]), 1)
        check(f"{at}: tension into {p['name']}", abs(p["entry_tension_N"] - answer.entry[i]) < TENSION * scale,
              f"got {p['entry_tension_N']} N, want {answer.entry[i]} N")
        grip = answer.grip["limit"][i]
        if p["slip"] in ("slower", "overrun"):
            check(f"{at}: grip of {p['name']}, which slips", abs(grip - 1) < GRIP, f"got {grip}, want 1")
        else:
            check(f"{at}: grip of {p['name']}", grip < 1 + GRIP, f"got {grip}, want at most 1")
    return torques


def steady_check(drive, point, torques):
    rpm = point["engine_rpm"]
    boost, torque = blower(rpm, point["blower_rpm"])
    check(f"boost at {rpm:.0f} rpm", abs(point["boost_kPa"] * 1e3 - boost) < TORQUE * (P0 + boost),
          f"got {point['boost_kPa']} kPa, want {boost / 1e3} kPa")
    check(f"blower torque at {rpm:.0f} rpm", abs(torques["blower"] - torque) < TORQUE * max(torque, 1),
          f"got {torques['blower']} N m, want {torque} N m")
    slipping = [p["name"] for p in point["pulleys"] if p["slip"] != "no"]
    if slipping != ["blower"]:
        return
    index = [p.name for p in drive.pulleys].index("blower")
    ratio = abs(drive.radius[drive.crank] / drive.radius[index])

    def over(factor):
        asked = dict(torques, blower=blower(rpm, rpm * ratio * factor)[1])
        return reference.solve(drive, rpm * RPM, torques=asked).grip["limit"][index] - 1
    factor = brentq(over, 0.5, 1, xtol=1e-7)
    got = point["blower_rpm"] / (rpm * ratio)
    check(f"slipping speed at {rpm:.0f} rpm", abs(got - factor) < FACTOR, f"got {got}, want {factor}")


def cases(example):
    """The example; with its smallest pulley and nothing else to drive, so that the blower slips first; with the crank
    slipping first."""
    with open(example, encoding="utf-8") as file:
        text = file.read()
    for name, change in (("as it is", {}), ("blower slips", {"friction": 0.3, "idler": [-140, 340], "blower": 73}),
                         ("crank slips", {"friction": 0.34})):
        entry = yaml.safe_load(text)
        [entry.pop(key, None) for key in ("options", "variants", "packages")]
        by_name = {p["name"]: p for p in entry["pulleys"]}
        if "friction" in change:
            entry["belt"]["friction"]["limit"]["rib"] = change["friction"]
        if "blower" in change:
            entry["belt"]["length"] = 1902
            by_name["blower"]["diameter"]["value"] = change["blower"]
            by_name["wrap idler"]["slot"].update({"from": change["idler"], "setting": 0})
            for other in ("alternator", "steering", "compressor"):
                by_name[other].pop("load"), by_name[other].pop("inertia", None)
        yield name, yaml.safe_dump(entry)


def main():
    program, source = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
    met = set()
    for name, text in cases(os.path.join(source, "examples", "sedgemere.yaml")):
        with tempfile.NamedTemporaryFile("w", suffix=".yaml", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            run = subprocess.run([program, "sweep", file.name, "--json", "--no-offers", "--speeds", "9"],
                                 capture_output=True, text=True, check=False)
        if run.returncode not in (0, 1):
            check(name, False, run.stderr)
            continue
        drive = reference.Drive(text)
        for way, result in json.loads(run.stdout)["ways"].items():
            for point in result["points"]:
                torques = point_check(drive, f"{name}, {way}", point)
                met |= {p["name"] for p in point["pulleys"] if p["slip"] == "slower"}
                if way == "steady":
                    steady_check(drive, point, torques)
    check("blower and crank were met slipping", {"blower", "crank"} <= met, f"got {met}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())
