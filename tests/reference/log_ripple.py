#!/usr/bin/env python3
"""Slip found by the pulses of the blower's lobes in logs of boost of several thousand rows a second. The pulses are made by adding up
the blower's angle row by row, with the engine's own pulses, noise and a logger's clock; the slip that was put in is known.
Prints what failed, then `N passed, M failed`.
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy
from scipy.ndimage import gaussian_filter1d

sys.path[:0] = [str(pathlib.Path(__file__).resolve().parent), str(pathlib.Path(__file__).resolve().parents[1] / "cli")]
import tally  # noqa: E402
from tally import expect  # noqa: E402

SNUB = os.environ["SNUB_BIN"]
DRIVE = str(pathlib.Path(os.environ["SNUB_SOURCE_DIR"]) / "examples" / "sedgemere.yaml")
work = tempfile.TemporaryDirectory()
PULSES = 4
speeds = {p["name"]: p["rpm"] for p in json.loads(subprocess.run([SNUB, "check", DRIVE, "--json"], capture_output=True, text=True,
                                                                 check=False).stdout)["pulleys"]}
RATIO = speeds["blower"] / speeds["crank"]


def log(name, slips=(), rate=4000, pulses=PULSES, ripple=1.5, firing=2.0, noise=1.0, tick=0.0, engine_rate=50, ratio=RATIO, seconds=9.0,
        lowpass=0.0, tone=None, corners=((0, 2000), (1, 2000), (8, 5500), (9, 5500))):
    """A pull from 2000 to 5500 in 7 s, or by the corners. slips: (start, length, depth). Pressures in kPa."""
    fine = 4 * rate if rate < 2500 else 2 * rate  # the wave is made finer than it is logged, and is not filtered before: it folds
    time = numpy.arange(0, seconds, 1 / fine)
    n = gaussian_filter1d(numpy.interp(time, *zip(*corners)), 0.05 * fine)
    share = numpy.ones_like(time)
    for start, length, depth in slips:
        share[(time >= start) & (time < start + length)] = 1 - depth
    share = gaussian_filter1d(share, 0.01 * fine)
    crank = 2 * math.pi * numpy.cumsum(n / 60) / fine
    blower = 2 * math.pi * numpy.cumsum(n / 60 * ratio * share) / fine
    random = numpy.random.default_rng(11)
    wave = 20 + 9 * n / 1000 + ripple * numpy.cos(pulses * blower + 0.4) + 0.3 * ripple * numpy.cos(2 * pulses * blower)
    wave = wave + firing * numpy.cos(3 * crank) + 0.5 * firing * numpy.cos(6 * crank + 1) + 0.25 * firing * (numpy.cos(9 * crank + 2) + numpy.cos(12 * crank + 3))
    if tone:  # (start, length, order of the crank, pressure)
        wave = wave + tone[3] * numpy.cos(tone[2] * crank) * ((time >= tone[0]) & (time < tone[0] + tone[1]))
    if lowpass:
        wave = gaussian_filter1d(wave, lowpass * fine)
    keep = slice(None, None, fine // rate)
    at, boost = time[keep], wave[keep] + noise * random.standard_normal(len(time[keep]))
    every = rate // engine_rate  # a slow channel is repeated until it comes anew
    engine = numpy.repeat(n[keep][::every] * (1 + 0.001 * random.standard_normal(len(n[keep][::every]))), every)[:len(at)]
    stamp = numpy.floor(at / tick) * tick if tick else at
    path = str(pathlib.Path(work.name) / name)
    numpy.savetxt(path, numpy.column_stack([stamp, engine, boost]), fmt=("%.6f", "%.0f", "%.3f"), delimiter=",",
                  header="time [s],engine speed [rpm],boost [kPa]", comments="")
    return path


def ask(path, *more, pulses=PULSES, code=(0, 1)):
    run = subprocess.run([SNUB, "log", path, DRIVE, "--json", "--by", "ripple", "--pulses", str(pulses), *more], capture_output=True, text=True,
                         check=False)
    expect(f"{pathlib.Path(path).name} is answered", run.returncode in code, run.returncode, run.stderr)
    return json.loads(run.stdout) if run.returncode in (0, 1) else run.stderr


def compare(what, d, slips):
    expect(f"{what}: {len(slips)} slips", len(d["slips"]) == len(slips), [(s["start_s"], s["end_s"], s["mean_pct"], s["runs_on"]) for s in d["slips"]],
           d["calibration"])
    for s, (start, length, depth) in zip(d["slips"], slips):
        expect(f"{what}: where", abs(s["start_s"] - start) < 0.1 and abs(s["end_s"] - start - length) < 0.12, s["start_s"], s["end_s"])
        expect(f"{what}: how deep", abs(s["worst_pct"] - 100 * depth) < 0.6 and abs(s["mean_pct"] - 100 * depth) < 1.0 and not s["runs_on"],
               s["mean_pct"], s["worst_pct"], depth)


SLIPS = [(4.2, 0.6, 0.04), (6.3, 0.8, 0.09)]
quiet = ask(log("quiet.csv"))
c = quiet["calibration"]
expect("no slip", quiet["slips"] == [] and quiet["verdict"] == "pass", quiet["slips"], c, quiet["doubts"])
expect("the build's ratio to a quarter of a percent", abs(c["offset_pct"]) < 0.25, c["offset_pct"])
expect("by ripple", c["from"] == "ripple" and c["ripple"]["pulses_per_turn"] == PULSES and abs(c["ripple"]["rows_per_s"] - 4000) < 5, c["ripple"])
expect("the rate that is needed", abs(c["ripple"]["rows_per_s_needed"] - PULSES * RATIO * 5700 / 60 / 0.45) < 2, c["ripple"])
expect("nearly all stretches tell", c["ripple"]["no_peak"] + c["ripple"]["on_engine_order"] + c["ripple"]["too_fast"] < 0.1 * c["ripple"]["stretches"],
       c["ripple"])
compare("two slips", ask(log("slips.csv", SLIPS)), SLIPS)
compare("a clock of milliseconds", ask(log("tick.csv", SLIPS, tick=0.001)), SLIPS)
compare("strong pulses of the engine", ask(log("firing.csv", SLIPS, firing=8.0)), SLIPS)
compare("much noise", ask(log("noise.csv", SLIPS, noise=2.0)), SLIPS)
compare("an engine's speed that comes ten times a second", ask(log("slow.csv", SLIPS, engine_rate=10)), SLIPS)
fast = ask(log("fast.csv", seconds=9.0, noise=2.0, corners=((0, 2000), (1, 2000), (2.2, 5500), (3.4, 2000), (4.6, 5500), (5.8, 2000), (7, 5500), (9, 5500))))
expect("a pull of 2900 rpm a second is not smeared", fast["slips"] == [] and fast["calibration"]["ripple"]["no_peak"] < 4,
       fast["calibration"], fast["slips"])
d = ask(log("folded.csv", rate=1180, firing=12.0, corners=((0, 3600), (9, 3600))))
# order 12, 720 Hz, comes to lie at 460; the pulses are at 432
expect("what is strong and folds to beside the blower is not the blower", abs(d["calibration"]["offset_pct"]) < 0.3 and d["slips"] == [], d["calibration"])
compare("a tone that comes and goes", ask(log("tone.csv", SLIPS, tone=(3.0, 0.6, 5.5, 2.6))), SLIPS)
d = ask(log("pulley.csv", ratio=RATIO * 88 / 84))
expect("another pulley", d["slips"] == [] and d["calibration"]["fits"] == "offer", d["calibration"], d["slips"])

# The blower's pulses fold at a rate that is too low, and so do the engine's: neither is taken for the blower.
said = ask(log("coarse.csv", SLIPS, rate=500), code=(2,))
expect("too slow a log names the rate", f"need {PULSES * RATIO * 5700 / 60 / 0.45:.0f} up to redline" in said, said)
d = ask(log("half.csv", [(2.5, 0.6, 0.06)], rate=1250))
expect("up to where it reaches", d["calibration"]["ripple"]["too_fast"] > 20 and abs(d["slips"][0]["start_s"] - 2.5) < 0.1 and len(d["slips"]) == 1,
       d["calibration"]["ripple"], d["slips"])
for name, more in (("no ripple", dict(ripple=0.0)), ("a sensor with a slow filter", dict(lowpass=0.004))):
    said = ask(log("none.csv", **more), code=(2,))
    expect(f"{name} is said", "stands out" in said, said)
said = ask(log("order.csv", pulses=6 / RATIO), pulses=6 / RATIO, code=(2,))
expect("pulses on an order of the engine", "order of its firing" in said, said)
said = subprocess.run([SNUB, "log", log("short.csv", seconds=1.0), DRIVE, "--by", "ripple"], capture_output=True, text=True, check=False)
expect("pulses must be given", said.returncode == 2 and "go together" in said.stderr, said.stderr)
sys.exit(tally.end())
