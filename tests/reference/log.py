#!/usr/bin/env python3
"""Slip found in logs whose slip is known: made by log_model.py, which integrates the motion of the blower, and read back
from `snub log --json`. SNUB_LOG_HOURS=10 makes the logs without slip as long as that in all.
Prints what failed, then `N passed, M failed`.
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy

sys.path[:0] = [str(pathlib.Path(__file__).resolve().parent), str(pathlib.Path(__file__).resolve().parents[1] / "cli")]
import log_model  # noqa: E402
import tally  # noqa: E402
from tally import expect  # noqa: E402

RPM = log_model.RPM
SNUB = os.environ["SNUB_BIN"]
DRIVE = str(pathlib.Path(os.environ["SNUB_SOURCE_DIR"]) / "examples" / "sedgemere.yaml")
HEADER = ["time (s)", "engine speed (rpm)", "blower speed (rpm)", "throttle (%)"]
work = tempfile.TemporaryDirectory()
BUILD_RATIO = None


def ask(path, *more, code=None, drive=None):
    run = subprocess.run([SNUB, "log", str(path), drive or DRIVE, "--json", *more], capture_output=True, text=True, check=False)
    if run.returncode not in ((0, 1) if code is None else (code,)):
        expect(f"{path} is answered", False, run.returncode, run.stderr)
        raise SystemExit(tally.end())
    return json.loads(run.stdout)


def path_of(name):
    return str(pathlib.Path(work.name) / name)


def driven(seconds, seed, ratio=None, slips=(), step=0.001):
    time, engine, throttle = log_model.engine_speed(seconds, step, seed)
    drive = log_model.Drive(ratio or BUILD_RATIO)
    blower, slipped = log_model.blower_speed(drive, time, engine, slips)
    return time, engine / RPM, blower / RPM, throttle * 100, slipped


def plain_log(name, run, rate=100, noise=0.005, seed=0, engine=None, blower=None, **form):
    """Both speeds in every row."""
    time, n, b, throttle, _ = run
    at, read = log_model.logged(time, n, rate, noise, seed=2 * seed, **(engine or {}))
    _, other = log_model.logged(time, b, rate, noise, seed=2 * seed + 1, **(blower or {}))
    log_model.write(path_of(name), zip(at, read, other, numpy.interp(at, time, throttle)), HEADER, **form)
    return path_of(name)


def starts_of(seconds, every, seed):
    random, at, starts = numpy.random.default_rng(seed), 6.0, []
    while at < seconds - 4:
        starts.append(at)
        at += every * random.uniform(0.7, 1.4)
    return starts


def compare(found, slips):
    """(hits, missed, false) of slips (start, length, depth)."""
    left = [(s["start_s"], s["end_s"]) for s in found if not s["runs_on"]]
    hits = 0
    for start, length, _ in slips:
        match = [f for f in left if f[0] < start + length + 0.1 and f[1] > start - 0.1]
        hits += bool(match)
        left = [f for f in left if f not in match]
    false = len(left) + sum(s["runs_on"] for s in found)
    return hits, len(slips) - hits, false


# ---- the promise: 3 % for 0.2 s at 0.5 % of noise ------------------------------------------------------------------------

def promise():
    hits = missed = false = 0
    depths, edges = [], []
    for seed in range(1, 5):
        slips = [(at, 0.2, 0.03) for at in starts_of(600, 6, seed)]
        run = driven(600, seed, slips=slips)
        slips = [s for s in slips if s[0] < run[0][-1] - 2]
        d = ask(plain_log("promise.csv", run, seed=seed))
        got = compare(d["slips"], slips)
        hits, missed, false = hits + got[0], missed + got[1], false + got[2]
        for start, length, _ in slips:
            for s in d["slips"]:
                if abs(s["start_s"] - start) < 0.1:
                    depths.append(s["mean_pct"])
                    edges += [s["start_s"] - start, s["end_s"] - start - length]
        expect("the least slip is said, and is under 3 %", d["calibration"]["least_slip_pct"] < 3, d["calibration"])
        expect("the noise is that of both speeds", abs(d["calibration"]["noise_pct"] - 0.5 * 2 ** 0.5) < 0.05, d["calibration"])
    expect("slips enough", hits + missed > 300, hits + missed)
    expect("recall over 0.99", hits > 0.99 * (hits + missed), hits, missed)
    expect("precision over 0.99", hits > 0.99 * (hits + false), hits, false)
    expect("depth 3 % on average", abs(numpy.mean(depths) - 3.0) < 0.25, numpy.mean(depths))
    expect("edges within 0.03 s, in the middle", numpy.median(numpy.abs(edges)) < 0.03, numpy.median(numpy.abs(edges)))


def quiet():
    """Nothing is found where nothing slips: other noises, rates and steps."""
    hours = float(os.environ.get("SNUB_LOG_HOURS", "0.6"))
    cases = [(100, 0.005, {}, {}), (20, 0.005, {}, {}), (50, 0.01, {}, {}), (200, 0.002, {"quantum": 10}, {"quantum": 20}),
             (10, 0.003, {}, {}), (100, 0.0, {"quantum": 25}, {"quantum": 50}), (100, 0.003, {}, {"drift": 0.005})]
    seconds = hours * 3600 / len(cases)
    for k, (rate, noise, engine, blower) in enumerate(cases):
        run = driven(seconds, 50 + k, step=0.005)
        d = ask(plain_log("quiet.csv", run, rate=rate, noise=noise, seed=50 + k, engine=engine, blower=blower))
        expect(f"no slip at {rate} a second, noise {noise}, steps {engine} {blower}", d["slips"] == [],
               [(s["start_s"], s["mean_pct"], s["runs_on"]) for s in d["slips"][:5]], d["calibration"])
        expect(f"and a pass at {rate}, {noise}", d["verdict"] == "pass" or d["calibration"]["least_slip_pct"] > 3, d["doubts"])


# ---- what the log does to it ---------------------------------------------------------------------------------------------

def lag():
    for late in (0.06, -0.08, 0.25):
        slips = [(at, 0.3, 0.05) for at in starts_of(300, 20, 7)]
        run = driven(300, 7, slips=slips)
        slips = [s for s in slips if s[0] < run[0][-1] - 2]
        d = ask(plain_log("lag.csv", run, seed=7, blower={"lag": max(late, 0)}, engine={"lag": max(-late, 0)}))
        c = d["calibration"]
        expect(f"a lag of {late} s", c["lag_taken_out"] and abs(c["lag_s"] - late) < 0.006, c)
        got = compare(d["slips"], [(s + max(late, 0), length, depth) for s, length, depth in slips])
        expect(f"slips at a lag of {late} s, and no others", got[1:] == (0, 0), got)
    d = ask(plain_log("none.csv", driven(300, 8), seed=8))
    expect("no lag where there is none", not d["calibration"]["lag_taken_out"] and d["calibration"]["lag_s"] == 0, d["calibration"])


def ratios():
    run = driven(120, 9)
    other = ask(plain_log("same.csv", run, seed=9))
    expect("the file's ratio", other["calibration"]["fits"] == "build" and abs(other["calibration"]["offset_pct"]) < 0.3)
    ratio = json.loads(subprocess.run([SNUB, "check", DRIVE, "--json", "--set", "blower.diameter=79"], capture_output=True,
                                      text=True, check=False).stdout)
    speeds = {p["name"]: p["rpm"] for p in ratio["pulleys"]}
    d = ask(plain_log("pulley.csv", driven(120, 10, ratio=speeds["blower"] / speeds["crank"]), seed=10))
    c = d["calibration"]
    expect("another pulley of the options", (c["fits"], c["fits_option"]) == ("offer", "79"), c)
    expect("is watched, and is no slip", d["verdict"] == "marginal" and d["doubts"] == ["ratio"] and d["slips"] == [], d["doubts"])
    d = ask(plain_log("teeth.csv", driven(120, 11, ratio=BUILD_RATIO * 2 / 3), seed=11))
    expect("two pulses for three", (d["calibration"]["fits"], d["calibration"]["fits_teeth"]) == ("teeth", [2, 3]), d["calibration"])
    d = ask(plain_log("nothing.csv", driven(120, 12, ratio=BUILD_RATIO * 0.9), seed=12))
    expect("nothing fits", d["calibration"]["fits"] == "nothing" and abs(d["calibration"]["offset_pct"] + 10) < 0.4, d["calibration"])
    turbine = DRIVE.replace("sedgemere.yaml", "sedgemere-centrifugal.yaml")
    own = json.loads(subprocess.run([SNUB, "check", turbine, "--json"], capture_output=True, text=True, check=False).stdout)
    speeds = {p["name"]: p["rpm"] for p in own["pulleys"]}
    rotor = own["blower"]["rotor_rpm"]
    d = ask(plain_log("rotor.csv", driven(120, 15, ratio=rotor / speeds["crank"]), seed=15), drive=turbine)
    expect("the rotor's speed", d["calibration"]["fits"] == "step_up", d["calibration"])
    d = ask(plain_log("drift.csv", driven(1500, 13, step=0.005), seed=13, rate=50, blower={"drift": 0.008}))
    expect("a drift is said", "drift" in d["doubts"] and d["slips"] == [] and 
           d["calibration"]["drift_pct"][1] - d["calibration"]["drift_pct"][0] > 0.5, d["calibration"], d["doubts"])


def blind():
    run = driven(120, 16)
    d = ask(plain_log("blind.csv", run, seed=16, noise=0.03))
    expect("noise that hides 3 % is said", d["doubts"] == ["noise"] and d["verdict"] == "marginal" and d["calibration"]["least_slip_pct"] > 3
           and d["slips"] == [], d["calibration"], d["doubts"])
    clean = pathlib.Path(plain_log("bad.csv", run, seed=16))
    lines = clean.read_text().splitlines()
    for every, want in ((90, ["bad_rows"]), (120, [])):
        clean.write_text("\n".join("x" if k % every == 50 else line for k, line in enumerate(lines)))
        d = ask(clean)
        expect(f"a bad row in {every}: {want}", d["doubts"] == want and d["slips"] == [], d["doubts"], d["bad_rows"]["count"])


def forms():
    """The same driving in the forms of loggers: the same slips."""
    slips = [(at, 0.3, 0.05) for at in starts_of(120, 15, 14)]
    run = driven(120, 14, slips=slips)
    slips = [s for s in slips if s[0] < run[0][-1] - 2]
    time, n, b, throttle, _ = run
    names = {"packed.csv.gz": dict(packed=True), "german.csv": dict(separator=";", decimal=","),
             "tabs.txt": dict(separator="\t", before="# logged by hand\nbench 3\n")}
    for name, form in names.items():
        d = ask(plain_log(name, run, seed=14, **form))
        expect(f"{name}: all slips", compare(d["slips"], slips)[1:] == (0, 0), compare(d["slips"], slips))
    # the engine 20 times a second, the blower 50 times, each in rows of its own
    te, e = log_model.logged(time, n, 20, 0.003, seed=1)
    tb, o = log_model.logged(time, b, 50, 0.003, seed=2)
    rows = sorted([(t, v, None) for t, v in zip(te, e)] + [(t, None, v) for t, v in zip(tb, o)])
    log_model.write(path_of("mixed.csv"), rows, HEADER[:3], digits=(4, 1, 1))
    d = ask(path_of("mixed.csv"))
    expect("mixed rates: all slips, no others", compare(d["slips"], slips)[1:] == (0, 0), compare(d["slips"], slips), d["calibration"])
    expect("mixed rates: no lag, which a held engine speed would have", abs(d["calibration"]["lag_s"]) < 0.008, d["calibration"])
    # a logger of 100 rows a second that repeats the last value of each: engine 20, blower 50
    at = numpy.arange(0.1, time[-1] - 0.1, 0.01)
    held = [(t, e[numpy.searchsorted(te, t, side="right") - 1], o[numpy.searchsorted(tb, t, side="right") - 1]) for t in at]
    log_model.write(path_of("held.csv"), held, HEADER[:3], digits=(3, 1, 1))
    d = ask(path_of("held.csv"))
    expect("held values: all slips, no others", compare(d["slips"], slips)[1:] == (0, 0), compare(d["slips"], slips), d["calibration"])
    expect("held values are not counted again", d["calibration"]["samples_per_s"] < 60, d["calibration"])
    # gaps, readings that jump, rows that are broken
    random = numpy.random.default_rng(3)
    te, e = log_model.logged(time, n, 100, 0.003, seed=5)
    _, o = log_model.logged(time, b, 100, 0.003, seed=6)
    keep = [not any(start - 0.5 < t < start + 1 for start, *_ in slips) for t in te]
    for k in random.choice(len(te), 300, replace=False):
        if keep[k]:
            o[k] = random.choice([0, 65000, float("nan"), o[k] * 0.5])
    log_model.write(path_of("faulty.csv"), zip(te, e, o), HEADER[:3], gap="NaN")
    lines = pathlib.Path(path_of("faulty.csv")).read_text().splitlines()
    lines[200], lines[300] = "2.0,oops,3", "cut"
    pathlib.Path(path_of("faulty.csv")).write_text("\n".join(lines))
    d = ask(path_of("faulty.csv"))
    expect("faults of sensors are no slip", compare(d["slips"], slips)[1:] == (0, 0), compare(d["slips"], slips))
    expect("they are counted", d["rows"]["spikes"] > 50, d["rows"])
    expect("and so are broken rows, by line", [(r["line"], r["reason"]) for r in d["bad_rows"]["first"]] == [(201, "not_a_number"), (301, "fields")], d["bad_rows"])
    # two runs in one file: the time starts again
    half = [row for row in lines[1:] if "oops" not in row and row != "cut"]
    pathlib.Path(path_of("twice.csv")).write_text("\n".join([lines[0], *half, *half]))
    twice = ask(path_of("twice.csv"))
    expect("two parts, twice the slips", twice["rows"]["parts"] == 2 and len(twice["slips"]) == 2 * len(d["slips"]) and
           {s["part"] for s in twice["slips"]} == {1, 2}, twice["rows"], len(twice["slips"]))


# ---- heat, signs, pulls --------------------------------------------------------------------------------------------------

def events():
    time = numpy.arange(0, 40, 0.001)
    # idle, a pull of 5 s from 2000 to 5500, a gear change to 3900, a pull to 5500, and down again
    corners = [(0, 700), (5, 700), (6, 2000), (10, 2000), (15, 5500), (15.25, 3900), (18.25, 5500), (22, 1500), (40, 1500)]
    n = numpy.interp(time, *zip(*corners))
    n = numpy.convolve(numpy.pad(n, 30, mode="edge"), numpy.ones(61) / 61, mode="valid")
    drive = log_model.Drive(BUILD_RATIO)
    b, _ = log_model.blower_speed(drive, time, n * RPM, [(13.0, 0.5, 0.06)])
    b = b / RPM
    on = (time > 20) & (time < 20.4)
    b[on] *= 1.05
    throttle = numpy.where(((time > 10) & (time < 15)) | ((time > 15.25) & (time < 18.25)), 100, 5)
    d = ask(plain_log("events.csv", (time, n, b, throttle, None), noise=0.002, seed=3))
    expect("two pulls", len(d["pulls"]) == 2 and abs(d["pulls"][0]["start_s"] - 10) < 0.3 and abs(d["pulls"][0]["end_s"] - 15) < 0.2
           and abs(d["pulls"][1]["end_rpm"] - 5500) < 80, d["pulls"])
    expect("one gear change", len(d["gear_changes"]) == 1 and abs(d["gear_changes"][0]["start_s"] - 15.05) < 0.15
           and abs(d["gear_changes"][0]["end_rpm"] - 3900) < 100, d["gear_changes"])
    expect("one slip, one run on", [s["runs_on"] for s in d["slips"]] == [False, True], d["slips"])
    slip, on = d["slips"]
    expect("of 6 %, and 5 %", abs(slip["mean_pct"] - 6) < 0.5 and abs(on["mean_pct"] - 5) < 0.4, slip["mean_pct"], on["mean_pct"])
    expect("in its way", (slip["state"], on["state"]) == ("accelerating", "overrun") or on["state"] == "closed throttle", slip["state"], on["state"])
    # the crank uses more of its grip on this drive: force of all loads times slip speed, by the check's own numbers
    check = json.loads(subprocess.run([SNUB, "check", DRIVE, "--json", "--rpm", "4275", "--case", "accelerating"], capture_output=True,
                                      text=True, check=False).stdout)
    crank = next(p for p in check["pulleys"] if p["name"] == "crank")
    blower = next(p for p in check["pulleys"] if p["name"] == "blower")
    expect("at the pulley that uses more of its grip", slip["likely_pulley"] == ("crank" if crank["grip_used_limit"] > blower["grip_used_limit"] else "blower"))
    force = abs(crank["exit_tension_N"] - crank["entry_tension_N"]) if "exit_tension_N" in crank else abs(crank["torque_N_m"]) / 0.0826
    want = force * 0.06 * 4275 * RPM * 0.0826 * 0.5
    expect("its heat", abs(slip["heat_J"] / want - 1) < 0.12, slip["heat_J"], want)
    expect("the check holds there", slip["check_says"] in ("holds", "over_design"), slip["check_says"])
    expect("fails", d["verdict"] == "fail")
    for friction, says in (("0.25", "slips"), ("0.9", "holds")):
        other = ask(path_of("events.csv"), "--set", f"belt.friction.limit.rib={friction}")
        expect(f"the check at a friction of {friction}", other["slips"][0]["check_says"] == says, other["slips"][0])
    other = ask(path_of("events.csv"), "--set", "belt.friction.design.rib=0.2")
    expect("the check at another design friction", other["slips"][0]["check_says"] == "over_design", other["slips"][0])
    b[(time > 12) & (time < 14)] = (drive.ratio * (1 - drive.creep) * n)[(time > 12) & (time < 14)]
    d = ask(plain_log("on.csv", (time, n, b, throttle, None), noise=0.002, seed=3), code=0)
    expect("running on alone is watched", d["verdict"] == "marginal" and d["doubts"] == ["runs_on"], d["verdict"], d["doubts"])
    b[(time > 25) & (time < 30)] = 0
    d = ask(plain_log("off.csv", (time, n, b, throttle, None), noise=0.002, seed=3), code=1)
    off = [s for s in d["slips"] if s["worst_pct"] > 90]
    expect("a belt that is off", len(off) == 1 and abs(off[0]["start_s"] - 25) < 0.7 and abs(off[0]["end_s"] - 30) < 0.7, off)


check = json.loads(subprocess.run([SNUB, "check", DRIVE, "--json"], capture_output=True, text=True, check=False).stdout)
speeds = {p["name"]: p["rpm"] for p in check["pulleys"]}
BUILD_RATIO = speeds["blower"] / speeds["crank"]
for test in (promise, quiet, lag, ratios, blind, forms, events):
    if len(sys.argv) < 2 or test.__name__ in sys.argv[1:]:
        test()
sys.exit(tally.end())
