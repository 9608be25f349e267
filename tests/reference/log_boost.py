#!/usr/bin/env python3
"""Slip found in logs that have boost and no blower speed. Boost is made by the six plain equations of match.py, solved by SciPy
over engine and blower speeds, with a hole behind the blower or a clogged filter where a test wants one; the sensor lags and is
noisy. The slip that was put in is known. Prints what failed, then `N passed, M failed`.
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy
from scipy.interpolate import RegularGridInterpolator
from scipy.ndimage import gaussian_filter1d
from scipy.optimize import root

sys.path[:0] = [str(pathlib.Path(__file__).resolve().parent), str(pathlib.Path(__file__).resolve().parents[1] / "cli")]
import log_model  # noqa: E402
import match  # noqa: E402
import tally  # noqa: E402
from tally import expect  # noqa: E402

RPM = math.pi / 30
SNUB = os.environ["SNUB_BIN"]
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"]) / "examples"
work = tempfile.TemporaryDirectory()
FILL = ([640, 3100, 4400, 5700], [0.69, 0.89, 0.88, 0.79])
TWIN_SCREW = dict(kind=1, swept=1.45e-3, internal_ratio=1.25, slip=720 * RPM, mechanical=0.91)
TURBINE = dict(kind=2, step_up=3.4, mechanical=0.94)
KIT = dict(throttle=0, scavenges=0, displacement=3.65e-3, cooled=1, effectiveness=0.66, coolant=321.15, loss=5e3, inlet_loss=1.6e3,
           flow=0.1622, density=1.184)


def hole_flow(c, pm, t3):
    """kg/s through a hole with a sharp edge, by the formula of nozzles."""
    gamma = c["cp"] / (c["cp"] - c["R"])
    x = max(c["pressure"] / pm, (2 / (gamma + 1)) ** (gamma / (gamma - 1)))
    if x >= 1:
        return 0.0
    return 0.6 * c["hole"] ** 2 * math.pi / 4 * pm * math.sqrt(
        2 * gamma / ((gamma - 1) * c["R"] * t3) * (x ** (2 / gamma) - x ** ((gamma + 1) / gamma)))


def manifold(blower, engine, shaft, fill=1.0, pressure=101325.0, temperature=298.15, hole=0.0, filter_times=1.0):
    """Absolute, Pa. Below ambient: ambient, by a bypass or an engine that breathes through."""
    c = dict(KIT, **blower, pressure=pressure, temperature=temperature, crank=engine * RPM, shaft=shaft * RPM, hole=hole,
             fill=(fill(engine) if callable(fill) else fill) * float(numpy.interp(engine, *FILL)))
    c["inlet_loss"] *= filter_times

    def all_of(x):
        out = match.residuals(x, c)
        out[5] += hole_flow(c, x[2] * pressure, x[4] * temperature) / 0.1
        return out

    at, pm = temperature + 30, pressure
    for _ in range(2):
        c["R"], c["cp"] = match.humid_gas(pressure, temperature, 0.0, at)
        answer = root(all_of, [0.98, 1.6, 1.5, 1.3, 1.15, 1.5], tol=1e-10)
        if not answer.success:
            return pressure
        at = temperature * (1 + answer.x[3]) / 2
        pm = answer.x[2] * pressure
    return max(pm, pressure)


class Air:
    """Boost over engine speed and blower speed as a share of that without slip."""

    def __init__(self, blower, ratio, **day):
        speeds, shares = numpy.linspace(1500, 5700, 11), numpy.linspace(0.75, 1.02, 5)
        table = [[manifold(blower, n, n * ratio * share, **day) for share in shares] for n in speeds]
        self.at = RegularGridInterpolator((speeds, shares), table, method="cubic")
        self.pressure = day.get("pressure", 101325.0)


def drive_of(name, **parts):
    text = (EXAMPLES / name).read_text()
    if "blower" in parts:
        start = text.index("blower: {kind: centrifugal")
        text = text[:start] + parts["blower"] + text[text.index("}", start) + 1:]
    path = pathlib.Path(work.name) / f"{len(os.listdir(work.name))}.yaml"
    path.write_text(text)
    return str(path)


def pulls(count=3, last=6.0):
    """Time, rpm, throttle: idle, and pulls of 6 s, the last as given, from 2000 to 5500 with 4 s on a closed throttle between them."""
    corners, foot = [(0, 700, 3), (2, 700, 3)], []
    for k in range(count):
        t = 3 + 12 * k
        foot.append(t + 1)
        top = t + 1 + (last if k == count - 1 else 6)
        corners += [(t, 2000, 25), (t + 1, 2000, 100), (top, 5500, 100), (top + 0.1, 5450, 3), (t + 11, 1500, 3)]
    t, n, throttle = (numpy.array(column, float) for column in zip(*corners))
    time = numpy.arange(0, t[-1], 0.005)
    return time, gaussian_filter1d(numpy.interp(time, t, n), 6), numpy.interp(time, t, throttle), foot


def log(name, air, slips=(), noise=0.003, late=0.03, header=None, open_=100, rate=50, last=6.0):
    """slips: (pull, start rpm, length s, depth). Returns path and what was put in: (start, end, depth)."""
    time, n, throttle, foot = pulls(last=last)
    throttle = throttle * open_ / 100
    share, put = numpy.ones_like(time), []
    for pull, start_rpm, length, depth in slips:
        at = foot[pull] + (start_rpm - 2000) / 3500 * 6
        share[(time >= at) & (time < at + length)] = 1 - depth
        put.append((at, at + length, depth))
    share = gaussian_filter1d(share, 3)
    full = air.at(numpy.column_stack([numpy.clip(n, 1500, 5700), share]))
    pm = numpy.where(throttle > 90, full, air.pressure + (full - air.pressure) * throttle / 130 - 3e4 * (throttle < 20))
    pm = gaussian_filter1d(pm, 4)
    at, read = log_model.logged(time, pm / 1e3, rate, noise, 0.1, seed=5, lag=late)
    _, engine = log_model.logged(time, n, rate, 0.002, 1, seed=6)
    columns = [at, engine, numpy.interp(at, time, throttle), read]
    header = header or ["time [s]", "engine speed [rpm]", "throttle [%]", "MAP [kPa]"]
    keep = [0, 1] + ([2] if "throttle [%]" in header else []) + [3]
    path = str(pathlib.Path(work.name) / name)
    log_model.write(path, zip(*(columns[k] for k in keep)), header, digits=(3, 0, 0, 1))
    return path, put


def ask(path, drive, *more, code=(0, 1)):
    run = subprocess.run([SNUB, "log", path, drive, "--json", *more], capture_output=True, text=True, check=False)
    expect(f"{pathlib.Path(path).name} is answered", run.returncode in code, run.returncode, run.stderr)
    return json.loads(run.stdout) if run.returncode in (0, 1) else run.stderr


def ratio_of(drive):
    speeds = {p["name"]: p["rpm"] for p in json.loads(subprocess.run([SNUB, "check", drive, "--json"], capture_output=True, text=True,
                                                                     check=False).stdout)["pulleys"]}
    return speeds["blower"] / speeds["crank"]


def compare(what, d, put, air, tolerance=1.0):
    """Every slip is found where it is and as deep as it is, within what the answer says of itself and a percent."""
    expect(f"{what}: {len(put)} slips", len(d["slips"]) == len(put), [(s["start_s"], s["end_s"], s["mean_pct"]) for s in d["slips"]],
           d["calibration"])
    for s, (start, end, depth) in zip(d["slips"], put):
        expect(f"{what}: where", abs(s["start_s"] - start) < 0.2 and abs(s["end_s"] - end) < 0.25, s["start_s"], s["end_s"], start, end)
        expect(f"{what}: how deep", abs(s["mean_pct"] - 100 * depth) < tolerance + s["mean_error_pct"], s["mean_pct"],
               s["mean_error_pct"], depth)
        expect(f"{what}: alike {air}", s["looks_like"] == air, s["looks_like"])


def kinds(name, drive, blower):
    """What holds for a displacement blower and for a centrifugal one."""
    ratio = ratio_of(drive)
    air = Air(blower, ratio)
    d = ask(log("none.csv", air)[0], drive)
    c = d["calibration"]
    expect(f"{name}: boost, no slip", c["from"] == "boost" and d["slips"] == [] and d["verdict"] == "pass", c, d["doubts"], d["slips"])
    expect(f"{name}: the build's own boost", abs(c["offset_pct"]) < 1.0 and c["stray_pct"] < 1.0, c)
    expect(f"{name}: no lag is taken out", not c["lag_taken_out"])
    sharp = {n: math.log(manifold(blower, n, n * ratio * 1.02) / manifold(blower, n, n * ratio * 0.98)) / math.log(1.02 / 0.98)
             for n in range(2000, 5601, 200)}
    least = min(n for n, s in sharp.items() if s >= 0.5 * max(sharp.values()))
    low = c["engine_rpm"][0]
    expect(f"{name}: used from where boost depends on speed by half of its most", low < 2400 if least == 2000 else abs(low - least) < 250,
           low, least, sharp)
    expect(f"{name}: what is below is counted", (c["tell_nothing"] > 20) == (least > 2200), c["tell_nothing"], least)
    path, put = log("one.csv", air, [(1, 4600, 0.8, 0.09)])
    d = ask(path, drive)
    expect(f"{name}: no mean is surer than the build", all(s["mean_error_pct"] >= d["calibration"]["stray_pct"] for s in d["slips"]), d["slips"])
    compare(f"{name}, one slip", d, put, "told_apart")
    expect(f"{name}: the verdict", d["verdict"] == "fail" and d["doubts"] == [], d["verdict"], d["doubts"])
    d = ask(log("late.csv", air, late=0.1, last=1.2)[0], drive)
    expect(f"{name}: a boost that comes late in a quick pull is no slip", d["slips"] == [], d["slips"], d["calibration"])
    # a hotter day on a lower place, an engine that breathes 5 % less than the file says: the base takes it up
    other = Air(blower, ratio, fill=0.95, pressure=97000.0, temperature=308.15)
    path, put = log("day.csv", other, [(0, 4200, 0.8, 0.12)])
    d = ask(path, drive, "--set", "air.pressure=97", "--set", "air.temperature=35")
    compare(f"{name}, another engine", d, put, "told_apart", 1.5)
    # slip in every pull looks like a leak, unless the check says so too
    path, put = log("each.csv", air, [(k, 4700, 1.2, 0.08) for k in range(3)])
    d = ask(path, drive)
    compare(f"{name}, in each pull", d, put, "leak_or_filter", 1.5)
    expect(f"{name}: is not proven", d["verdict"] == "marginal" and "air" in d["doubts"], d["verdict"], d["doubts"])
    d = ask(path, drive, "--set", "belt.friction.limit.rib=0.3", "--set", "belt.friction.design.rib=0.2")
    expect(f"{name}: with the check it is", d["verdict"] == "fail", d["verdict"], [s["check_says"] for s in d["slips"]])
    return ratio, air


def faults(drive, ratio):
    """Leaks, filters and other engines are not called slip, and the size of a leak is the right one."""
    d = ask(log("fill.csv", Air(TWIN_SCREW, ratio, fill=lambda n: 1 + 0.05 * (n - 3750) / 1750))[0], drive)
    expect("an engine that fills otherwise over its speeds makes no slip", d["slips"] == [] and d["calibration"]["stray_pct"] > 1.5,
           d["slips"], d["calibration"])
    for what, day in (("a leak", dict(hole=0.012)), ("a filter", dict(filter_times=4.0))):
        d = ask(log("fault.csv", Air(TWIN_SCREW, ratio, **day))[0], drive)
        expect(f"{what} fails nothing", d["verdict"] != "fail" and all(s["looks_like"] == "leak_or_filter" for s in d["slips"]),
               d["verdict"], d["slips"])
    # a hole that opens at 4600 rpm in each pull: as large as it is
    path = log("hole.csv", Air(TWIN_SCREW, ratio))[0]
    holed = Air(TWIN_SCREW, ratio, hole=0.014)
    sound = Air(TWIN_SCREW, ratio)
    shares = numpy.linspace(0.75, 1, 26)
    share = float(numpy.interp(holed.at([[5000, 1.0]])[0], sound.at([[5000, f] for f in shares]), shares))
    path, _ = log("hole.csv", sound, [(k, 4600, 1.37, 1 - share) for k in range(3)])
    d = ask(path, drive)
    expect("a hole of 14 mm", len(d["slips"]) == 3 and all(abs(s["leak_mm"] - 14) < 0.8 for s in d["slips"]),
           [(s["leak_mm"], s["filter_kPa"], s["mean_pct"]) for s in d["slips"]], share)


def plainly(drive, air):
    """Where boost cannot tell, it is said."""
    part = ask(log("part.csv", air, open_=80)[0], drive)
    expect("80 % is full where the log has no more", part["slips"] == [] and part["doubts"] == ["ratio"], part["doubts"], part["slips"])
    path, put = log("bare.csv", air, [(1, 4600, 0.8, 0.09)], header=["time [s]", "engine speed [rpm]", "boost [psi]"])
    said = ask(path, drive, "--unit", "boost=kPa", "--column", "boost=MAP", code=(2,))
    expect("a column that is not there is refused", "no line names" in said, said)
    path, put = log("bare.csv", air, [(1, 4600, 0.8, 0.09)], header=["time [s]", "engine speed [rpm]", "MAP [kPa]"])
    d = ask(path, drive)
    compare("without a throttle", d, put, "leak_or_filter")
    expect("is not proven", d["verdict"] == "marginal", d["verdict"])
    said = ask(path, drive, "--by", "speed", code=(2,))
    expect("no speed to go by", "no blower speed" in said, said)
    time, n, throttle, _ = pulls(1)
    shut = str(pathlib.Path(work.name) / "shut.csv")
    log_model.write(shut, zip(time[::4], n[::4], 4 + 0 * time[::4], 60 + 0 * time[::4]),
                    ["time [s]", "engine speed [rpm]", "throttle [%]", "MAP [kPa]"], digits=(3, 0, 0, 1))
    said = ask(shut, drive, "--set", "blower.blower.swept=0.3", code=(2,))
    expect("a blower that makes no boost", "no boost that depends on its speed" in said, said)
    said = ask(shut, drive, code=(0, 1, 2))
    expect("a throttle that never opens", "tell a blower speed" in str(said) or said["doubts"], said)
    first = pathlib.Path(path).read_text().splitlines()[:300]
    short = pathlib.Path(work.name) / "short.csv"
    short.write_text("\n".join(first))
    said = ask(str(short), drive, code=(2,))
    expect("too few", "tell a blower speed; 40 are needed" in said, said)


SCREW = str(EXAMPLES / "sedgemere.yaml")
SPEED, AIR = kinds("twin-screw", SCREW, TWIN_SCREW)
turbine = drive_of("sedgemere-centrifugal.yaml", blower="blower: {kind: centrifugal, step_up: 3.4, mechanical: 0.94, design_speed: "
                   "42000 rpm, design_flow: 0.26 m3/s, design_ratio: 1.75, isentropic: 0.73}")
kinds("centrifugal", turbine, TURBINE)
faults(SCREW, SPEED)
plainly(SCREW, AIR)
sys.exit(tally.end())
