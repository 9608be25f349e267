#!/usr/bin/env python3
"""snub tolerate --builds: each build is, to the byte, what --build N says; the table, the CSV, states, Control-C, builds without a
belt, what does not go with it.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import json
import os
import pathlib
import re
import signal
import subprocess
import sys
import tempfile
import time

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
THREE = TOP / "examples/three-pulleys-scatter.yaml"
KIT = TOP / "examples/sedgemere.yaml"
# A variant with a tolerance of its own, two diameters.
SMALL = """snub: 1
engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6000 rpm}
belt: {section: PK, ribs: 6, stock: {from: 900, to: 960, step: 1}, tolerance: 2}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 130 +- 0.1}
  - {name: pump, at: [0, 300], diameter: 90, load: [[800 rpm, 2], [9000 rpm, 2]]}
options: {pump.diameter: [90, 85, 80]}
variants:
  cast pump: {pump.at: [0 +- 0.1, 301 +- 0.1]}
"""


def run(*words, timeout=300):
    done = subprocess.run([SNUB, "tolerate", *map(str, words)], capture_output=True, text=True, timeout=timeout)
    return done.returncode, done.stdout, done.stderr


def ask(*words):
    code, out, err = run(*words, "--json")
    return json.loads(out) if out else {"error": err, "code": code}


def rows_of(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def same_as_alone(work, name, path, which, *more):
    """The JSON and the kits of each build against those of the run with --build."""
    many, one = pathlib.Path(work) / "many.csv", pathlib.Path(work) / "one.csv"
    got = ask(path, "--builds", which, *more, "--csv", many)
    kits, rules = rows_of(many), []
    check(f"{name}: builds", got["asked"] == len(got["builds"]) > 0 and not got["stopped"], (got["asked"], len(got["builds"])))
    for build in got["builds"]:
        number = build.pop("number")
        if not build["samples"]:
            continue
        alone = ask(path, "--build", number, *more, "--csv", one)
        alone.pop("hints", None)  # of the run, beside the builds
        check(f"{name}, {number}: the JSON of --build", json.dumps(build) == json.dumps(alone), [k for k in alone if alone[k] != build.get(k)])
        rules += build["rules"]
        own = [row for row in kits if row["build"] == str(number)]
        want = rows_of(one)
        check(f"{name}, {number}: the kits of --build", len(own) == len(want) and all(
            {k: v for k, v in a.items() if k not in ("build", "code") and (k in b or v)} == b for a, b in zip(own, want)), (own[:1], want[:1]))
        check(f"{name}, {number}: its code", {row["code"] for row in own} == {build["build"]["row"]["code"]}, own[:1])
    check(f"{name}: rules of all builds", got["rules"] == rules and all({"rule", "build", "share", "low", "high"} <= set(r) for r in rules), got["rules"][:1])
    return got


def lists(small):
    def numbers(which, *more):
        return [b["number"] for b in ask(small, "--kits", 1, "--builds", which, *more).get("builds", [])]
    every = numbers("all")
    codes = [b["build"]["row"]["code"] for b in ask(small, "--kits", 1, "--builds", "all")["builds"]]
    check("all builds", every == list(range(1, 7)), every)
    check("numbers and ranges, in the order of the chart, each once", numbers("5,1-2,2") == [1, 2, 5], numbers("5,1-2,2"))
    check("a code", numbers(f"{codes[3]},1") == [1, 4], codes)
    check("of a variant", numbers("all", "--variant", "cast pump") == [1, 2, 3])
    check("--set fixes an option", numbers("all", "--set", "pump.diameter=85") == [1, 2])
    for words, said in ((["--builds", "0"], "from 1 to 6"), (["--builds", "3-9"], "from 1 to 6"), (["--builds", "4-2"], "the lower first"),
                        (["--builds", ""], "--build takes"), (["--builds", "1,"], "--build takes"), (["--builds", "x"], '"x"'),
                        (["--builds", "all", "--build", "1"], "--builds 3,5"), (["--builds", "1", "--contributions", "64"], "--build N"),
                        (["--builds", "1", "--format", "svg"], "--build N"), (["--builds", "1", "--output", "kits.pdf"], "--build N")):
        code, out, err = run(small, "--kits", 1, *words)
        check(f"{words}: refused", code == 2 and out == "" and said in err, err)


def no_belt(work):
    three = pathlib.Path(work) / "three.yaml"
    three.write_text(THREE.read_text().replace("tolerances:\n", "options: {alternator.diameter: [60, 57, 64, 300]}\ntolerances:\n"))
    got = ask(three, "--kits", 16, "--builds", "all")
    none = [b["number"] for b in got["builds"] if b["samples"] == 0]
    check("a build without a belt has no kits, and fails as it is checked", none == [4] and all(b["checked_verdict"] == "fail" for b in got["builds"] if b["number"] in none), none)
    code, text, _ = run(three, "--kits", 16, "--builds", "all")
    check("in words", "of 3 builds" in text and "Builds without a belt: 1." in text and len(re.findall(r"^ +4 no belt +fail", text, re.M)) == 1, text)
    for which, words in (("1", "in 0 of 1 build."), ("1,2", "in 0 of 2 builds.")):
        check(f"{which}: one build or more", words in run(three, "--kits", 16, "--builds", which)[1], text)
    check("exit code: as the chart's", (code, run(three, "--kits", 16, "--builds", "1,2")[0]) == (1, 0))


def cells(work, small):
    path = pathlib.Path(work) / "cells.csv"
    run(small, "--kits", 2, "--builds", "all", "--csv", path)
    rows = rows_of(path)
    check("a value of one variant alone", [(r["build"], r["pump.at.0"] != "", r["crank.diameter"] != "") for r in rows] == [
        (b, b in "456", True) for b in "112233445566"], [(r["build"], r["pump.at.0"]) for r in rows])


def table(path):
    """The text against the JSON, with limits such that some kits fail."""
    more = ["--variant", "cast pump", "--builds", "1-3", "--kits", 100, "--set", "pump.max_speed=9038 rpm", "--set", "crank.diameter=130 +- 0.2"]
    text, got = run(path, *more)[1], ask(path, *more)
    lines = {int(m[1]): m[0] for m in re.finditer(r"^ +(\d+) \d+PK.*$", text, re.M)}
    check("a line for each build", list(lines) == [1, 2, 3], text)
    worst = max(got["builds"], key=lambda b: b["failing"]["share"])
    for build in got["builds"]:
        f, line = build["failing"], lines[build["number"]]
        rule = max(build["rules"], key=lambda r: r["kits"], default=None)
        rule = f"{rule['rule']}, {100 * rule['share']:.1f} %" if rule and rule["kits"] else "none"
        near = min((c for c in build["capability"] if c["cpk"] is not None), key=lambda c: c["cpk"])
        said = {"worst_grip": "worst grip", "blower_grip": "grip of the blower", "arm_wind_stopped_deg": "arm, engine stopped",
                "arm_wind_redline_deg": "arm at redline", "tightest_gap_mm": "tightest gap"}[near["number"]]
        want = [build["build"]["designation"], build["checked_verdict"], "100", f"{100 * f['share']:.1f} %", f"{100 * f['low']:.1f} to {100 * f['high']:.1f} %",
                rule, said, f"{near['cpk']:.2f}".replace("-", "−")]
        check(f"line of build {build['number']}", re.match(r" +\d+ " + " +".join(map(re.escape, want)) + "  ", line), (line, want))
    shares = [b["failing"]["share"] for b in got["builds"]]
    check("none, some and all kits fail", shares[0] == 0 < shares[1] < 1 == shares[2], shares)
    failing = sum(b["failing"]["kits"] > 0 for b in got["builds"])
    check("the first sentence", f"Kits fail in {failing} of 3 builds, most in build {worst['number']}: {100 * worst['failing']['share']:.1f} %." in " ".join(text.split()), text)
    check("what was set, once", " ".join(text.split()).count("set pump.max_speed=9038 rpm") == 1, text)
    line = next(line for line in text.splitlines() if line.startswith("  snub tolerate "))
    shown = subprocess.run(line.replace("snub ", SNUB + " ", 1) + " --kits 100 --json", shell=True, capture_output=True, text=True, timeout=60).stdout
    check("the run that it names shows that build", json.loads(shown) == {k: v for k, v in worst.items() if k != "number"}, line)


def states(work):
    state = pathlib.Path(work) / "kits.state"
    more = [KIT, "--builds", "2,5", "--seed", 4]
    whole = run(*more, "--kits", 40, "--json")[1]
    run(*more, "--kits", 24, "--state", state)
    files = sorted(p.name for p in pathlib.Path(work).glob("kits.state*"))
    check("a state for each build", files == ["kits.state-2", "kits.state-5"] and all(
        len(json.loads((pathlib.Path(work) / f).read_text())["kits"]) == 24 for f in files), files)
    check("all go on", run(*more, "--kits", 40, "--state", state, "--json")[1] == whole)
    alone = run(KIT, "--build", 5, "--seed", 4, "--kits", 40, "--json")[1]
    check("one goes on alone", run(KIT, "--build", 5, "--seed", 4, "--kits", 40, "--state", f"{state}-5", "--json")[1] == alone)
    os.replace(f"{state}-2", f"{state}-5")
    code, _, err = run(*more, "--kits", 40, "--state", state)
    check("the state of another build is refused, with the build", code == 2 and "another run" in err and "build 5" in err, err)


def interrupted():
    started = subprocess.Popen([SNUB, "tolerate", str(KIT), "--builds", "1-3", "--kits", "600", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    alone, once = time.monotonic(), run(KIT, "--build", 1, "--kits", 600, "--json")
    alone = time.monotonic() - alone
    time.sleep(0.3 * alone)
    started.send_signal(signal.SIGINT)
    out, err = started.communicate(timeout=60)
    got = json.loads(out) if out else {}
    check("Control-C keeps what is done", bool(got) and (got["stopped"] or len(got["builds"]) == 3) and 0 < len(got["builds"]) <= got["asked"] == 3, out[:200] + err)
    if got and got["builds"][0]["samples"] == 600:
        first = {k: v for k, v in got["builds"][0].items() if k != "number"}
        check("a build that was done is whole", first == json.loads(once[1]) or first["worst_case"] is None, first.keys())


def unreadable(work):
    """Values that do not go together in one build end the run, and it is said in which."""
    path = pathlib.Path(work) / "bad.yaml"
    path.write_text(THREE.read_text().replace("tolerances:\n", "options: {tensioner.arm.travel: [32, 21.5 +- 1]}\ntolerances:\n"))
    code, out, err = run(path, "--builds", "all", "--kits", 100)
    check("which build has no answer", code == 2 and out == "" and "build 2 has no answer" in err, (code, out[:200], err))


def main():
    with tempfile.TemporaryDirectory() as work:
        small = pathlib.Path(work) / "small.yaml"
        small.write_text(SMALL)
        inches = pathlib.Path(work) / "inches.yaml"
        inches.write_text(SMALL + "units: us\n")
        same_as_alone(work, "a variant", small, "all", "--kits", 24)
        same_as_alone(work, "inches", inches, "1,4", "--kits", 8)
        same_as_alone(work, "packages and variants", KIT, "3,10,17", "--kits", 16, "--seed", 7)
        same_as_alone(work, "precision", KIT, "1,9", "--kits", 400, "--precision", 3)
        same_as_alone(work, "free", KIT, "1", "--kits", 8, "--free")
        same_as_alone(work, "one variant", KIT, "1,2", "--kits", 8, "--variant", "low compressor")
        for name in ("sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8"):
            same_as_alone(work, name, TOP / f"examples/{name}.yaml", "1", "--kits", 8)
        two = [KIT, "--builds", "1,2", "--kits", 40, "--json"]
        check("threads", run(*two, "--threads", 1)[1] == run(*two, "--threads", 2)[1] != "")
        lists(small)
        table(small)
        no_belt(work)
        cells(work, small)
        states(work)
        unreadable(work)
        interrupted()
    return end()


sys.exit(main())
