#!/usr/bin/env python3
"""`snub fit`. Logs are made by tests/reference/log_of_run.py from the program's motion in time, or from its sweep, and
fitted; SciPy fits the same rows by the sweep alone. Prints what failed, then `N passed, M failed`.
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import numpy
import scipy.optimize

sys.path[:0] = [str(pathlib.Path(__file__).resolve().parent), str(pathlib.Path(__file__).resolve().parents[1] / "reference")]
import log_model  # noqa: E402
import log_of_run  # noqa: E402
import tally  # noqa: E402
from tally import expect  # noqa: E402

SNUB = os.environ["SNUB_BIN"]
TOP = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
DRIVE = str(TOP / "examples" / "sedgemere.yaml")
LOG = str(TOP / "examples" / "logs" / "sedgemere-slips.csv")
SMALL = "--set=blower.diameter=70"
TRUTH = 0.53
RUNS = ["hold@2000@5", "hold@3000@5", "pull", "shift"]
folder = tempfile.TemporaryDirectory()
work = pathlib.Path(folder.name)


def run(*words):
    done = subprocess.run([SNUB, *words], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def ask(*words, code=None):
    got, out, err = run(*words, "--json")
    if got not in ((0, 1) if code is None else (code,)):
        expect(f"{words} is answered", False, got, err)
        raise SystemExit(tally.end())
    return json.loads(out)


def value(d, what):
    return next(v for v in d["values"] if v["what"] == what)


# ---- the pull of the guide -----------------------------------------------------------------------------------------

def demo():
    sets = ["blower.diameter=70", f"belt.friction.limit.rib={TRUTH}"]
    again = work / "again.csv"
    log_model.write(again, log_of_run.logged(log_of_run.of_runs(DRIVE, sets, RUNS)), log_of_run.HEADER, digits=(2, 0, 0, 0, 1))
    body = [line for line in pathlib.Path(LOG).read_text().splitlines() if not line.startswith("#")]
    off = [[abs(float(a) - float(b)) for a, b in zip(x.split(","), y.split(","))] for x, y in zip(body[1:], again.read_text().splitlines()[1:])]
    expect("the example's log is what its maker makes", len(body) == len(again.read_text().splitlines()) and
           numpy.max(off) <= 3, len(body), numpy.max(off))
    found = ask("log", LOG, DRIVE, SMALL, code=1)
    expect("it is found: at the top of both pulls, before and behind the gear change", len(found["slips"]) == 3 and
           len(found["gear_changes"]) == 1 and all(s["start_rpm"] > 5000 for s in found["slips"]), found["slips"])
    expect("and explained", {s["likely_pulley"] for s in found["slips"]} == {"crank"})
    fit = ask("fit", LOG, DRIVE, SMALL, code=1)
    friction = value(fit, "friction")
    low, high = fit["friction_at_ends_of_arm_friction"]
    expect("fitted: told, far under the file's", friction["shows"] == "yes" and friction["file"] == 0.9 and
           0.47 < friction["value"] < TRUTH, friction)
    expect("the truth lies between the ends of the arm's friction, which holds the arm back in a pull", low < TRUTH < high, low, high)
    expect("the chart: builds that change for the worse", len(fit["chart"]) == 28 and
           all(c["after"]["verdict"] != "pass" or c["before"]["verdict"] == "pass" for c in fit["chart"]) and
           sum(c["before"] != c["after"] for c in fit["chart"]) > 5, len(fit["chart"]))
    text = run("fit", LOG, DRIVE, SMALL, "--no-chart")[1]
    said = " ".join(text.split())
    expect("text and JSON say the same", " ".join(friction["text"].split()) in said, friction["text"])
    expect("it fits a terminal", max(map(len, text.splitlines())) <= 80)
    # cured by the belt and mark of the chart's row for that pulley
    _, out, _ = run("chart", DRIVE, SMALL, "--package", "touring", "--variant", "", "--json")
    row = next(b for b in json.loads(out)["builds"] if not b.get("variant"))
    flat = json.dumps(row)
    length = float(re.search(r'"belt_length_mm": ([0-9.]+)', flat)[1])
    mark = float(re.search(r'"wrap idler": ([0-9.]+)', flat)[1])
    expect("a shorter belt and another mark", length < 1926 and mark > 38, length, mark)
    cure = [f"belt.length={length:g}", f"wrap idler.slot.setting={mark:g}"]
    cured = work / "cured.csv"
    log_model.write(cured, log_of_run.logged(log_of_run.of_runs(DRIVE, sets + cure, RUNS)), log_of_run.HEADER, digits=(2, 0, 0, 0, 1))
    after = ask("log", cured, DRIVE, SMALL, *[f"--set={c}" for c in cure], code=0)
    expect("the same belt friction holds there", after["slips"] == [] and after["verdict"] == "pass", after["slips"])
    bound = value(ask("fit", cured, DRIVE, SMALL, "--no-chart", *[f"--set={c}" for c in cure], code=0), "friction")
    expect("and that log tells a least friction alone", bound["shows"] == "at_least" and 0.4 < bound["low_95"] < TRUTH and
           bound["high_95"] is None and "smallest pulley" in bound["advice"], bound)


# ---- against SciPy -------------------------------------------------------------------------------------------------

def swept(friction, speeds=14):
    d = ask("sweep", DRIVE, SMALL, f"--set=belt.friction.limit.rib={friction!r}", "--speeds", str(speeds))
    points = d["ways"]["steady"]["points"]
    return numpy.array([p["engine_rpm"] for p in points]), numpy.array([p["blower_rpm"] for p in points])


def scipy_agrees():
    """Steady speeds, held for 2 s each; the sweep's blower speeds are without creep, and so is what SciPy fits."""
    truth, noise, held, rate = 0.45, 0.002, 2.0, 10
    n, b = swept(truth)
    random = numpy.random.default_rng(4)
    rows, engine, blower = [], [], []
    for k, (speed, other) in enumerate(zip(n, b)):
        for i in range(int(held * rate)):
            time = 5.0 * k + i / rate
            read = other * (1 + noise * random.standard_normal())
            rows.append((time, speed, read, 100))
            if i / rate >= 0.3 - 1e-9:
                engine.append(k)
                blower.append(read)
    path = work / "steady.csv"
    log_model.write(path, rows, ["time [s]", "engine speed [rpm]", "blower speed [rpm]", "throttle [%]"], digits=(6, 6, 6, 1))
    d = ask("fit", path, DRIVE, SMALL, "--no-chart", code=1)
    friction = value(d, "friction")
    engine, blower = numpy.array(engine), numpy.array(blower)
    y = numpy.log(n[engine] / blower)

    def left(x):
        return -numpy.log(swept(x[0])[1] / n)[engine] + x[1] - y

    best = scipy.optimize.least_squares(left, [0.46, 0.0], x_scale=[0.05, 0.01], diff_step=1e-4, xtol=1e-7)
    error = (numpy.sum(best.fun ** 2) / (len(y) - 2) * numpy.linalg.inv(best.jac.T @ best.jac)[0, 0]) ** 0.5
    # the fit has the creep of the belt, 0.2 to 0.5 % and less where it slips; the sweep has none
    expect("SciPy's friction", abs(friction["value"] - best.x[0]) < 0.001, friction, best.x, error)
    expect("SciPy's standard error", abs(friction["standard_error"] / error - 1) < 0.35, friction, error)
    expect("near the truth", abs(best.x[0] - truth) < 4 * error, best.x)


# ---- into the file -------------------------------------------------------------------------------------------------

def writes():
    path = work / "kit.yaml"
    shutil.copy(DRIVE, path)
    before = path.read_text()
    d = ask("fit", LOG, path, SMALL, "--write", "--no-chart", "--fit", "friction", code=1)
    after = path.read_text()
    friction = value(d, "friction")
    added = [line for line in after.splitlines() if line not in before.splitlines()]
    expect("one value and one comment", len(added) == 2 and len(after.splitlines()) == len(before.splitlines()) + 1, added)
    expect("the comment: date, log, range", re.fullmatch(
        r"  # belt\.friction\.limit\.rib: fitted \d{4}-\d\d-\d\d to sedgemere-slips\.csv: 95 % from 0\.\d{4} to 0\.\d{4}", added[0]), added)
    expect("the value", f"limit: {{rib: {friction['value']:.4f}, back: 0.35}}" in added[1], added)
    now = ask("check", path, SMALL)
    expect("the file reads, with that friction", now["verdict"] == "fail")
    ask("fit", LOG, path, SMALL, "--write", "--no-chart", code=1)
    expect("a second fit has one comment", path.read_text().count("# belt.friction.limit.rib: fitted") == 1 and
           len(path.read_text().splitlines()) == len(after.splitlines()))
    same = path.read_bytes()
    link = work / "link.yaml"
    link.symlink_to(path)
    code, _, err = run("fit", LOG, str(link), SMALL, "--write", "--no-chart")
    expect("a link is refused, and nothing is written", code == 2 and path.read_bytes() == same and link.is_symlink(), err)
    own = work / "own.yaml"
    own.write_text(before.replace("  low compressor: {", "  tired belt: {belt.friction.limit.rib: 0.7}\n  low compressor: {"))
    kept = own.read_bytes()
    code, _, err = run("fit", LOG, str(own), SMALL, "--variant", "tired belt", "--write", "--no-chart")
    expect("a value that the variant sets is not the file's", code == 2 and "is set by the variant" in err and own.read_bytes() == kept, code, err)
    quiet = work / "quiet.csv"
    quiet.write_text("\n".join(pathlib.Path(LOG).read_text().splitlines()[:500]))
    d = ask("fit", quiet, path, SMALL, "--write", "--no-chart", code=0)
    expect("what is not told is not written", d["written"] is None and path.read_bytes() == same, d["written"])


# ---- what logs cannot tell, and bad input -----------------------------------------------------------------------------

def untold():
    d = ask("fit", LOG, DRIVE, SMALL, "--no-chart", "--fit", "friction", "--fit", "mechanical", code=1)
    e = value(d, "mechanical")
    expect("friction and efficiency are told together, or not", e["shows"] in ("together", "no") and "torque at the blower" in e["advice"], e)
    expect("how well: singular values and the weakest combination", len(d["combinations"]["singular_values"]) == 2 and
           abs(d["combinations"]["known_least"]["mechanical"]) > 0.9 and abs(d["correlations"][0]["correlation"]) > 0.9, d["combinations"])
    expect("what is held is there, not fitted", not value(d, "leakage")["fitted"] and value(d, "leakage")["value"] == 720)
    d = ask("fit", LOG, DRIVE, SMALL, "--no-chart", "--fit", "friction", "--fit", "falls", code=1)
    expect("a friction that changes with slip speed: the drag of the motion in time is seen", d["friction_law"]["kept"] == "falling" and
           value(d, "falls")["value"] < 0 and d["friction_law"]["falling"]["aicc"] < d["friction_law"]["constant"]["aicc"] - 2, d["friction_law"])
    two = ask("fit", LOG, LOG, DRIVE, SMALL, "--no-chart", code=1)
    one = ask("fit", LOG, DRIVE, SMALL, "--no-chart", code=1)
    expect("twice the same log: the same friction, surer", len(two["logs"]) == 2 and
           abs(value(two, "friction")["value"] - value(one, "friction")["value"]) < 5e-4 and
           0.6 < value(two, "friction")["standard_error"] / value(one, "friction")["standard_error"] < 0.8)


def bad():
    lines = pathlib.Path(LOG).read_text().splitlines()
    short = work / "short.csv"
    short.write_text("\n".join(lines[:20]))
    shut = work / "shut.csv"
    shut.write_text("\n".join([lines[1], *[f"{0.02 * k:.2f},{1000 + k},{(1000 + k) * 2.2167:.0f},0,40" for k in range(300)]]))
    boost_alone = work / "boost-alone.csv"
    boost_alone.write_text("\n".join(",".join(row.split(",")[:2] + row.split(",")[3:]) for row in lines[1:]))
    cases = [
        ("another build", (LOG, DRIVE), "another build, or a sensor set wrong"),
        ("too short", (str(short), DRIVE, SMALL), "blower speeds of the log"),
        ("no blower speed", (str(boost_alone), DRIVE, SMALL), "no blower speed"),
        ("throttle never open", (str(shut), DRIVE, SMALL), "throttle open"),
        ("a unit of another quantity", (LOG, DRIVE, SMALL, "--unit", "blower=kPa"), "kPa"),
        ("engine and blower in other units", (LOG, DRIVE, SMALL, "--unit", "blower=Hz"), ""),
        ("no such log", (str(work / "none.csv"), DRIVE, SMALL), "none.csv"),
        ("no such value", (LOG, DRIVE, SMALL, "--fit", "weight"), "friction"),
        ("falls alone", (LOG, DRIVE, SMALL, "--fit", "falls"), "--fit friction"),
        ("a file alone", (DRIVE,), ""),
        ("no blower", (LOG, str(TOP / "examples" / "three-pulleys.yaml")), "blower"),
        ("leakage of a centrifugal", (LOG, str(TOP / "examples" / "sedgemere-centrifugal.yaml"), "--fit", "leakage"), ""),
        ("two on standard input", ("-", "-"), "standard input"),
        ("write to standard input", (LOG, "-", "--write"), "--write"),
    ]
    for name, words, need in cases:
        code, out, err = run("fit", *words)
        expect(f"{name}: refused", code == 2 and out == "", code, out[:200])
        expect(f"{name}: says why", need in " ".join(err.split()) and err, err)
    german = run("fit", LOG, DRIVE, SMALL, "--no-chart", "--language", "de")[1]
    expect("German", "Grenzreibung" in german and "0,9" in german, german[:600])
    inches = run("fit", LOG, DRIVE, SMALL, "--inches", "--fit", "friction", "--fit", "inlet", "--no-chart")[1]
    expect("inches", "psi" in inches, inches[-600:])


for test in (demo, scipy_agrees, writes, untold, bad):
    if len(sys.argv) < 2 or test.__name__ in sys.argv[1:]:
        test()
sys.exit(tally.end())
