#!/usr/bin/env python3
"""A log as a logger would have it, of a drive whose belt slips by the program's own motion in time (`snub motion --run`),
with what sensors do to it: noise, steps, a lag, a drift, rows that are missing. Nothing of how slip is looked for is in
it: the truth is the friction with which the run was made.

    log_of_run.py OUT DRIVE [--set PATH=VALUE]... [--run pull]... [--rate 50] [--noise 0.0025] [--quantum 1] [--lag 0.02]
                  [--drift 0] [--dropouts 0] [--seed 1]

SNUB_BIN is the program. Runs stand one behind the other; `shift` has a gear change in it, `hold@2500@5` is 5 s at 2500 rpm.
"""
import argparse
import csv
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import log_model  # noqa: E402

SNUB = os.environ.get("SNUB_BIN", "snub")
HEADER = ["time [s]", "engine speed [rpm]", "blower speed [rpm]", "throttle [%]", "MAP [kPa]"]


def ask(*words):
    run = subprocess.run([SNUB, *words], capture_output=True, text=True, check=False)
    if run.returncode not in (0, 1):
        raise SystemExit(run.stderr)
    return run.stdout


def course(drive, sets, run, every):
    """(time, engine rpm, blower rpm, throttle 0..1) of a run in time, the crank turning evenly."""
    where = [f"--set={s}" for s in sets]
    with tempfile.TemporaryDirectory() as folder:
        table = pathlib.Path(folder) / "run.csv"
        name, *hold = run.split("@")
        held = ["--rpm", hold[0], "--seconds", hold[1]] if hold else []
        said = json.loads(ask("motion", drive, *where, "--run", name, *held, "--even", "--every", str(every), "--csv", str(table), "--json"))
        rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    said = said["course_s_rpm_open"]
    blower = json.loads(ask("sweep", drive, *where, "--json"))["blower"]
    time = numpy.array([float(r["time [s]"]) for r in rows])
    n, b = (numpy.array([float(r[k]) for r in rows]) for k in ("engine [rpm]", f"speed of {blower} [rpm]"))
    return time, n, b, numpy.interp(time, [c[0] for c in said], [c[2] for c in said])


def diameter_of(sets):
    """Of the blower's pulley, mm."""
    given = [s.partition("=")[2] for s in sets if s.startswith("blower.diameter=")]
    if not given:
        raise SystemExit("the size of the blower's pulley is needed, for its boost when it slips: --set blower.diameter=MM")
    return float(given[-1])


def boosts(drive, sets, n, b):
    """Boost with the throttle open at engine speeds n and blower speeds b: a blower that slips makes what the same blower
    makes on a pulley that is so much greater, so that the program's answer for such pulleys is taken between them."""
    size, ratio, boost = diameter_of(sets), [], []
    for more in (1.12, 1.06, 1.0, 0.98):
        said = json.loads(ask("sweep", drive, *[f"--set={s}" for s in sets], f"--set=blower.diameter={size * more}", "--json"))
        points = (said["ways"].get("accelerating") or said["ways"]["steady"])["points"]
        engine = [p["engine_rpm"] for p in points]
        ratio.append(numpy.interp(n, engine, [p["blower_rpm"] / p["engine_rpm"] for p in points]))
        boost.append(numpy.interp(n, engine, [p["boost_kPa"] for p in points]))
    at, out = b / n, numpy.empty(len(n))
    for k in range(len(ratio) - 1):
        share = (at - ratio[k]) / (ratio[k + 1] - ratio[k])
        here = (share >= 0) | (k == 0)
        out[here] = (boost[k] + share * (boost[k + 1] - boost[k]))[here]
    return out


def of_runs(drive, sets, runs, every=0.001):
    """Runs one behind the other, half a second apart at the speed at which the last has ended."""
    parts, at = [], 0.0
    for run in runs:
        time, n, b, throttle = course(drive, sets, run, every)
        parts.append((time + at, n, b, throttle))
        at += time[-1] + every
    time, n, b, throttle = (numpy.concatenate(v) for v in zip(*parts))
    boost = numpy.where(throttle > 0.5, boosts(drive, sets, n, b), -55.0) + 101.325
    return time, n, b, throttle, boost


def logged(truth, rate=50.0, noise=0.0025, quantum=1.0, lag=0.02, drift=0.0, dropouts=0.0, seed=1, boost_noise=0.003):
    """Rows of a logger."""
    time, n, b, throttle, boost = truth
    at, engine = log_model.logged(time, n, rate, noise, quantum, seed=seed)
    _, blower = log_model.logged(time, b, rate, noise, quantum, seed=seed + 1, lag=lag, drift=drift)
    _, pressure = log_model.logged(time, boost, rate, boost_noise, seed=seed + 2)
    keep = numpy.random.default_rng(seed + 3).random(len(at)) >= dropouts
    return [row for row, kept in zip(zip(at, engine, blower, 100 * numpy.interp(at, time, throttle), pressure), keep) if kept]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("out")
    parser.add_argument("drive")
    parser.add_argument("--set", action="append", default=[])
    parser.add_argument("--run", action="append", default=[])
    parser.add_argument("--seed", type=int, default=1)
    for name, preset in (("rate", 50.0), ("noise", 0.0025), ("quantum", 1.0), ("lag", 0.02), ("drift", 0.0), ("dropouts", 0.0)):
        parser.add_argument(f"--{name}", type=float, default=preset)
    given = parser.parse_args()
    truth = of_runs(given.drive, given.set, given.run or ["pull", "shift"])
    rows = logged(truth, given.rate, given.noise, given.quantum, given.lag, given.drift, given.dropouts, given.seed)
    digits = (2, 0, 0, 0, 1) if given.quantum >= 1 else (6, 6, 6, 3, 6)
    log_model.write(given.out, rows, HEADER, digits=digits,
                    before=f"# an invented log, made by tests/reference/log_of_run.py: {', '.join(given.set)}\n")


if __name__ == "__main__":
    main()
