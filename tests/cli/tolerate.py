#!/usr/bin/env python3
"""snub tolerate: every kit against `snub check --set` (another door), a share that is known in closed form, intervals, how
values scatter and move together, the same bytes for any number of threads, what has nothing to scatter, an interrupted run.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import concurrent.futures
import csv
import json
import math
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
SCATTER = TOP / "examples/three-pulleys-scatter.yaml"
TIGHT = ["--set", "belt.length=990", "--set", "tensioner.arm.work=[10, 16]", "--set", "tensioner.arm.travel=17"]
PLAIN = TOP / "examples/three-pulleys.yaml"


def run(*words):
    done = subprocess.run([SNUB, *map(str, words)], capture_output=True, text=True, timeout=200)
    return done.returncode, done.stdout, done.stderr


def answer(*words):
    code, out, err = run("tolerate", *words, "--json")
    try:
        return code, json.loads(out)
    except ValueError:
        return code, {"error": out + err}


def kits_of(work, *words):
    path = pathlib.Path(work) / "kits.csv"
    path.unlink(missing_ok=True)
    code, got = answer(*words, "--csv", path)
    if not path.exists():
        raise SystemExit(f"no kits: {words} {got}")
    with open(path, newline="", encoding="utf-8") as file:
        return code, got, list(csv.DictReader(file))


def sets(values):
    return [word for path, text in values.items() for word in ("--set", f"{path}={text}")]


def blower_wrap(check):
    """With the engine stopped, degrees; None without a blower."""
    return next((p["wrap_deg"] for p in check["pulleys"] if check.get("blower") and p["name"] == check["blower"]["name"]), None)


def checked(path, values, *more):
    """Verdict and rules by level, and the blower's wrap, by the other door."""
    code, out, err = run("check", path, *more, *sets(values), "--rpm", "0", "--json")
    if code == 2:
        return {"error": err}, None
    got = json.loads(out)
    worst = {}
    order = ["pass", "note", "marginal", "fail"]
    for f in got["findings"]:
        worst[f["rule"]] = max(worst.get(f["rule"], "pass"), f["level"], key=order.index)
    return {"verdict": got["verdict"], "fail": {r for r, level in worst.items() if level == "fail"},
            "marginal": {r for r, level in worst.items() if level == "marginal"}}, blower_wrap(got)


def values_of(row):
    names = list(row)
    first = next(i for i, name in enumerate(names) if name.startswith("boost at redline")) + 1
    return {name: row[name] for name in names[first:]}


# ---- two doors -------------------------------------------------------------------------------------------------------------

def compare(name, path, rows, *more):
    def one(row):
        got, wrap = checked(path, values_of(row), *more)
        want = {"verdict": row["verdict"], "fail": set(row["rules that fail"].split()), "marginal": set(row["rules that are marginal"].split())}
        same = (wrap is None and row["wrap of the blower [deg]"] == "") or abs(wrap - float(row["wrap of the blower [deg]"] or "nan")) < 1e-6
        return got == want and same, (row["kit"], got, want, wrap)
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        wrong = [why for good, why in pool.map(one, rows) if not good]
    check(f"{name}: check says of each kit what the study says", not wrong, wrong[:1])


def count(name, got, rows):
    """What is counted is what the kits say."""
    failing = [row for row in rows if row["verdict"] == "fail"]
    check(f"{name}: kits that fail", got["failing"]["kits"] == len(failing) and got["verdicts"]["fail"] == len(failing), (got["failing"], len(failing)))
    check(f"{name}: all kits have a verdict", sum(got["verdicts"].values()) == got["samples"] == len(rows), got["verdicts"])
    for rule in got["rules"]:
        fail = [row for row in rows if rule["rule"] in row["rules that fail"].split()]
        marginal = [row for row in rows if rule["rule"] in row["rules that are marginal"].split()]
        check(f"{name}: kits of {rule['rule']}", (rule["kits"], rule["marginal"]) == (len(fail), len(marginal)), rule)
        first = rule["example"]
        check(f"{name}: the example is the first that fails by {rule['rule']}",
              (first is None and not fail) or (fail and first["kit"] == int(fail[0]["kit"]) and first["set"] == values_of(fail[0])), first)


def two_doors(work):
    tight, inches = TIGHT, pathlib.Path(work) / "inches.yaml"
    inches.write_text(SCATTER.read_text() + "units: us\n")
    for name, path, more, kits in [("three pulleys", SCATTER, tight, 300), ("a blower", TOP / "examples/sedgemere.yaml", [], 12),
                                   ("locked", TOP / "examples/sedgemere-locked.yaml", [], 12),
                                   ("centrifugal", TOP / "examples/sedgemere-centrifugal.yaml", [], 12),
                                   ("V8", TOP / "examples/ironbrook-v8.yaml", [], 12), ("inches", inches, tight, 12)]:
        _, got, rows = kits_of(work, path, "--kits", kits, *more)
        compare(name, path, rows, *more)
        count(name, got, rows)
        nominal = got["nominal"]
        want, _ = checked(path, nominal["set"], *more)
        check(f"{name}: the nominal kit", nominal["verdict"] == want.get("verdict"), (nominal["verdict"], want))
        check(f"{name}: the belt's length scatters", "belt.length" in [t["path"] for t in got["tolerances"]], got["tolerances"])
        if name == "three pulleys":
            check("some fail and some do not", 10 < got["failing"]["kits"] < 290, got["failing"])


def worst_counts(work):
    """A rule that fails at one pulley and has a note at another fails."""
    path, more = TOP / "examples/sedgemere.yaml", ["--set", "exit idler.diameter=40"]
    _, got, rows = kits_of(work, path, "--kits", 4, *more)
    compare("one rule at two levels", path, rows, *more)
    check("the fail counts", all("bearing_speed" in row["rules that fail"].split() for row in rows), rows[0])


def nominal_is_check():
    """Numbers of the nominal kit against check of the same drive with a belt that has no tolerance."""
    for path in (SCATTER, TOP / "examples/sedgemere.yaml", TOP / "examples/sedgemere-locked.yaml"):
        _, got = answer(path, "--kits", 1)
        _, out, _ = run("check", path, "--set", "belt.tolerance=0", "--set", f"belt.length={got['build']['belt_length_mm']!r}", "--json")
        want = json.loads(out)["worst_grip_used"]
        have = got["numbers"]["worst_grip"]["nominal"]
        check(f"{path.name}: grip of the nominal kit", want is not None and abs(have - want) < 1e-12, (have, want))


def build_of_a_chart(work):
    """A row of the chart: its options stay, and check with the row's values says the same."""
    path = TOP / "examples/sedgemere.yaml"
    _, got, rows = kits_of(work, path, "--build", 2, "--kits", 6)
    options = got["build"]["row"]["options"]
    more = sets({k: v for k, v in (options.items() if isinstance(options, dict) else [(o["path"], o["value"]) for o in options])})
    variant = got["build"]["row"]["variant"]
    if variant:
        more = ["--variant", variant, *more]
    package = got["build"]["row"].get("package")
    if package:
        more = ["--package", package, *more]
    compare("a build of the chart", path, rows, *more)
    for name, setting in got["build"]["slots_mm"].items():
        have = {float(row[f"{name}.slot.setting"]) for row in rows}
        check(f"{name} stays as it is sold", len(have) == 1 and abs(have.pop() - setting) < 1e-9, (setting, rows[0]))
    lengths, sold = [float(row["belt.length"]) for row in rows], got["build"]["belt_length_mm"]
    check("the belt scatters around the one that is sold", min(lengths) < sold < max(lengths) and max(abs(v - sold) for v in lengths) < 10, (sold, lengths))


# ---- shares ----------------------------------------------------------------------------------------------------------------

def closed_form(work):
    """Belt speed goes with the crank's diameter alone: a uniform one passes the rule's threshold in a share that is a ratio of
    lengths. The threshold by bisecting check."""
    limit = ["--set", "limits.belt_speed=52"]
    low, high = 140.0, 160.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        fires = "belt_speed" in checked(PLAIN, {"crank.diameter": repr(middle)}, *limit)[0]["marginal"]
        low, high = (low, middle) if fires else (middle, high)
    path = pathlib.Path(work) / "uniform.yaml"
    path.write_text(PLAIN.read_text() + "\ntolerances:\n  - {of: crank.diameter, plus: 1.5, minus: 0.5, shape: uniform}\n")
    nominal = low - 0.3
    _, got = answer(path, "--set", f"crank.diameter={nominal!r}", *limit, "--kits", 1024)
    rule = [r for r in got["rules"] if r["rule"] == "belt_speed"]
    want = (nominal + 1.5 - low) / 2.0
    have = rule[0]["marginal"] / 1024 if rule else 0.0
    check("a share known in closed form", abs(have - want) < 2 / 1024 and 0.5 < want < 0.7, (have, want))


def intervals(work):
    """Clopper and Pearson: at the low end so many or more have a chance of 2.5 %, at the high end so many or fewer."""
    _, got, _ = kits_of(work, SCATTER, "--kits", 300, *TIGHT)
    n, k, low, high = got["samples"], got["failing"]["kits"], got["failing"]["low"], got["failing"]["high"]

    def tail(p, numbers):
        return sum(math.comb(n, i) * p ** i * (1 - p) ** (n - i) for i in numbers)
    check("low end of the interval", abs(tail(low, range(k, n + 1)) - 0.025) < 1e-9, (low, k, n))
    check("high end of the interval", abs(tail(high, range(k + 1)) - 0.025) < 1e-9, (high, k, n))
    _, few = answer(SCATTER, "--kits", 2000, "--precision", 2.0)
    check("stops when it is precise enough", few["precise"] and few["samples"] < 2000 and few["failing"]["high"] - few["failing"]["low"] <= 0.04, few["samples"])
    _, one = answer(SCATTER, "--kits", few["samples"] - 8, "--precision", 2.0)
    check("not before", not one["precise"] and one["failing"]["high"] - one["failing"]["low"] > 0.04, one["failing"])


# ---- how values scatter ----------------------------------------------------------------------------------------------------

def moments(values):
    mean = sum(values) / len(values)
    return mean, math.sqrt(sum((v - mean) ** 2 for v in values) / len(values))


def correlation(a, b):
    (ma, sa), (mb, sb) = moments(a), moments(b)
    return sum((x - ma) * (y - mb) for x, y in zip(a, b)) / len(a) / sa / sb


def scatter(work):
    _, got, rows = kits_of(work, SCATTER, "--kits", 1024)
    column = {path: [float(row[path]) for row in rows] for path in [t["path"] for t in got["tolerances"]]}
    cut = math.sqrt(1 - 2 * 3 * math.exp(-4.5) / math.sqrt(2 * math.pi) / math.erf(3 / math.sqrt(2)))  # of a normal cut at 3 sigma
    for path, centre, half in [("crank.diameter", 150, 0.1), ("tensioner.diameter", 69.9, 0.1), ("belt.length", 990, 5), ("tensioner.arm.preload", 20, 1.6)]:
        mean, sd = moments(column[path])
        check(f"{path} within its tolerance", centre - half <= min(column[path]) < max(column[path]) <= centre + half, (min(column[path]), max(column[path])))
        check(f"{path}: mean and standard deviation", abs(mean - centre) < 0.005 * half and abs(sd - cut * half / 3) < 0.01 * half / 3, (mean, sd, cut * half / 3))
    mean, sd = moments(column["alternator.diameter"])
    check("triangular: standard deviation", abs(sd - 0.1 / math.sqrt(6)) < 0.01 * sd, sd)
    at, pivot = [p for p in column if p.startswith("alternator.at")], [p for p in column if p.startswith("tensioner.arm.pivot")]
    check("four coordinates of the casting", len(at) == len(pivot) == 2, list(column))
    for a in at + pivot:
        for b in at + pivot:
            if a < b:
                check(f"{a} and {b} share a cause", abs(correlation(column[a], column[b]) - 0.64) < 0.04, correlation(column[a], column[b]))
        check(f"{a} goes alone against the crank", abs(correlation(column[a], column["crank.diameter"])) < 0.04, correlation(column[a], column["crank.diameter"]))
    check("the belt has no tolerance more", {row["belt.tolerance"] for row in rows} == {"0"}, rows[0])
    number = got["numbers"]["worst_grip"]
    head = next(name for name in rows[0] if name.startswith("worst grip"))
    grips = [float(row[head]) for row in rows]
    mean, sd = moments(grips)
    check("mean and standard deviation of the grip", abs(number["mean"] - mean) < 1e-8 and abs(number["standard_deviation"] - sd * math.sqrt(1024 / 1023)) < 1e-8,
          (number, mean, sd))
    check("least and greatest grip", abs(number["least"] - min(grips)) < 1e-8 and abs(number["greatest"] - max(grips)) < 1e-8, number)
    two = pathlib.Path(work) / "two.yaml"
    text = SCATTER.read_text().replace("diameter: 150 +- 0.1", "diameter: 150").replace("diameter: 70 +0 -0.2", "diameter: 70")
    two.write_text(text + "  - {of: [crank.diameter, tensioner.diameter], plus_minus: 0.1, group: lathe, correlation: 0.9}\n")
    _, _, rows = kits_of(work, two, "--kits", 1024)
    column = {path: [float(row[path]) for row in rows] for path in at + ["crank.diameter", "tensioner.diameter"]}
    for one, other, want in [(at[0], at[1], 0.64), ("crank.diameter", "tensioner.diameter", 0.81), (at[0], "crank.diameter", 0), (at[1], "tensioner.diameter", 0)]:
        check(f"two groups: {one} and {other}", abs(correlation(column[one], column[other]) - want) < 0.04, correlation(column[one], column[other]))
    causes = {c["group"] for c in answer(two, "--kits", 8, "--contributions", 64)[1]["contributions"]}
    check("two groups are two causes", {"lathe", "bracket casting"} < causes, causes)


# ---- the same again, and what cannot be ------------------------------------------------------------------------------------

def same_again():
    words = ["tolerate", SCATTER, "--kits", 150, "--json"]
    first = run(*words, "--threads", 1)[1]
    check("two threads", run(*words, "--threads", 2)[1] == first, first[:80])
    check("again", run(*words)[1] == first, first[:80])
    check("another seed", json.loads(run(*words, "--seed", 2)[1])["numbers"] != json.loads(first)["numbers"])
    text = run("tolerate", SCATTER, "--kits", 150)[1]
    got = json.loads(first)
    check("the sentence", f"Of 150 kits of this build ({got['build']['designation']}), {got['failing']['kits']} fail" in " ".join(text.split()), text)
    one = " ".join(run("tolerate", PLAIN, "--kits", 1)[1].split())
    check("one kit, one value", "Of 1 kit of this build" in one and " 1 value scatters; seed" in one, one)
    check("many values", re.search(r" \d+ values scatter; seed", " ".join(text.split())), text)
    endless = SCATTER.read_text()
    for cut, words in (("sigma: 2 %}", " 1 value has no end: the worst case takes three sigma of it."), ("sigma: 2 %}\n  - {of: crank.diameter, sigma: 0.1 mm}", " 2 values have no end: the worst case takes three sigma of them.")):
        said = subprocess.run([SNUB, "tolerate", "-", "--kits", "8"], input=endless.replace("sigma: 2 %, cut: 5 %}", cut).replace("150 +- 0.1", "150"),
                              capture_output=True, text=True, timeout=200)
        check(f"values without an end: {words}", words in " " + " ".join(said.stdout.split()), said.stdout[-900:] + said.stderr)


def example_in_text():
    """The command line that is printed shows a kit that fails."""
    code, text, err = run("tolerate", SCATTER, "--kits", 100, *TIGHT)
    lines = [line.strip() for line in text.splitlines() if line.strip().startswith("snub check ")]
    check("a command is printed", len(lines) == 1, text + err)
    done = subprocess.run(lines[0].replace("snub ", SNUB + " ", 1), shell=True, capture_output=True, text=True, timeout=60)
    check("it shows a kit that fails", done.returncode == 1, done.stdout + done.stderr)
    check("exit code of the build", code == run("check", SCATTER, *TIGHT)[0], code)


def refused(work):
    code, _, err = run("tolerate", PLAIN, "--set", "belt.tolerance=0")
    check("nothing scatters", code == 2 and "nothing scatters" in err and "80 +- 0.1" in err, err)
    for words in (["--kits", "0"], ["--precision", "0"], ["--precision", "x"], ["--precision", "51"], ["--seed", "-1"]):
        code, _, err = run("tolerate", SCATTER, *words)
        check(f"{words} is refused", code == 2 and words[0] in err, err)
    path = pathlib.Path(work) / "end.yaml"
    path.write_text(SCATTER.read_text().replace("damping: 0.2", "damping: 0.1") + "  - {of: tensioner.arm.damping, plus_minus: 0.1}\n")
    code, got = answer(path, "--kits", 40)
    check("the tolerance around a kit's own value is not looked at", code in (0, 1) and got.get("samples") == 40, got)
    path.write_text(SCATTER.read_text().replace("travel: 32", "travel: 21.5 +- 1"))
    _, first, told = run("tolerate", path, "--kits", "100", "--threads", 1)
    code, _, again = run("tolerate", path, "--kits", "100", "--threads", 2)
    check("values that do not go together are told", code == 2 and "work" in told and first == "" and told == again, told + again)
    path = pathlib.Path(work) / "range.yaml"
    path.write_text(SCATTER.read_text().replace("tolerance: 5}", "tolerance: 5, be: [1.9, 2.1]}"))
    code, got = answer(path, "--kits", 4)
    check("a range does not scatter", code in (0, 1) and got["ranges"] == 1 and "belt.be" not in [t["path"] for t in got["tolerances"]], got)


def interrupted():
    started = subprocess.Popen([SNUB, "tolerate", str(SCATTER), "--kits", "100000", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    time.sleep(2)
    started.send_signal(signal.SIGINT)
    out, err = started.communicate(timeout=60)
    got = json.loads(out) if out else {}
    check("an interrupted study keeps what is done", got.get("stopped") is True and 0 < got["samples"] < 100000 and got["samples"] % 8 == 0, out[:200] + err)
    if got:
        whole = answer(SCATTER, "--kits", got["samples"])[1]
        of_all = ("stopped", "worst_case")
        check("and is the shorter one", {k: v for k, v in whole.items() if k not in of_all} == {k: v for k, v in got.items() if k not in of_all})
        check("the kits at the ends are left out", got["worst_case"] is None and whole["worst_case"]["kits"] > 0, got["worst_case"])


def state(work):
    """A study goes on where it ended, to the bytes of one that was never broken off; a state of anything else is refused."""
    kept = pathlib.Path(work) / "kits.state"
    run = lambda *more, seed=5: subprocess.run([SNUB, "tolerate", str(SCATTER), "--seed", str(seed), "--json", *more], capture_output=True, text=True, timeout=100)
    whole = run("--kits", "90").stdout
    first = run("--kits", "40", "--state", str(kept))
    held = json.loads(kept.read_text())
    check("the state holds the kits", first.returncode != 2 and len(held["kits"]) == 40, first.stderr)
    check("a study goes on", run("--kits", "90", "--state", str(kept)).stdout == whole)
    check("and over again", len(json.loads(kept.read_text())["kits"]) == 90 and run("--kits", "90", "--state", str(kept)).stdout == whole)
    held["kits"][3]["level"] = 3 - held["kits"][3]["level"] if held["kits"][3]["level"] in (1, 2) else 0
    held["kits"] = held["kits"][:40]
    kept.write_text(json.dumps(held))
    check("what is saved is taken, not judged again", run("--kits", "90", "--state", str(kept)).stdout != whole)
    before = kept.read_bytes()
    for name, done in [("another seed", run("--kits", "90", "--state", str(kept), seed=6)),
                       ("another value", run("--kits", "90", "--state", str(kept), "--set", "belt.ribs=7"))]:
        check(f"{name}: refused, and kept", done.returncode == 2 and "another run" in done.stderr + done.stdout and kept.read_bytes() == before, done.stderr)
    for name, text, what in [("no JSON", "{", "is no JSON"), ("another file", "{}", "no state"),
                             ("a spoilt kit", json.dumps({**held, "kits": [{**held["kits"][0], "rules": "0"}]}), "kit 1 cannot be read"),
                             ("a kit with too few numbers", json.dumps({**held, "kits": [held["kits"][0], {**held["kits"][0], "of": [1]}]}), "kit 2 cannot be read"),
                             ("a level that is none", json.dumps({**held, "kits": [{**held["kits"][0], "level": 9}]}), "kit 1 cannot be read")]:
        kept.write_text(text)
        done = run("--kits", "90", "--state", str(kept))
        check(f"{name}: refused, and kept", done.returncode == 2 and what in done.stderr + done.stdout and kept.read_text() == text, done.stderr)


def shares(work, drive):
    """First indices against a linear regression over other kits: in these drives all numbers are nearly linear in the values."""
    import numpy
    code, got, rows = kits_of(work, drive, "--kits", "3000", "--seed", "9")
    code, answer_ = answer(drive, "--kits", "20", "--contributions", "640", "--threads", "2")
    causes = {}
    for t in got["tolerances"]:
        causes.setdefault(t["group"] or t["path"], []).append(t["path"])
    check("a cause for each value by itself and each group", {c["path"] or c["group"] for c in answer_["contributions"]} == set(causes) and any(c["group"] for c in answer_["contributions"]), causes)
    values = lambda paths: numpy.array([[float(r[p]) for p in paths] for r in rows])
    explained = lambda x, y: 1.0 - (y - numpy.column_stack([numpy.ones(len(y)), x]) @ numpy.linalg.lstsq(numpy.column_stack([numpy.ones(len(y)), x]), y, rcond=None)[0]).var() / y.var()
    titles = {"worst_grip": "worst grip", "arm_wind_stopped_deg": "arm, engine stopped [deg]", "arm_wind_redline_deg": "arm at redline [deg]", "tightest_gap_mm": "tightest gap [mm]"}
    check("what is followed", {c["of"] for c in answer_["contributions"]} - {"fails"} == set(titles), {c["of"] for c in answer_["contributions"]})
    for key, column in titles.items():
        y = numpy.array([float(r[column]) for r in rows])
        for c in answer_["contributions"]:
            if c["of"] != key:
                continue
            want = explained(values(causes[c["path"] or c["group"]]), y)
            check(f"{key}: share of {c['path'] or c['group']}", abs(c["first"] - want) < 4 * c["first_error"] + 0.02 and abs(c["total"] - want) < 4 * c["total_error"] + 0.03, (c, want))
            check(f"{key}: {c['path'] or c['group']}: errors are of that size", 0 <= c["first_error"] < 0.1 and 0 <= c["total_error"] < 0.1, c)
    return got, answer_


def contributions(work):
    """Which tolerance contributes how much; what is said of it, and the same for any number of threads."""
    loose = pathlib.Path(work) / "loose.yaml"
    loose.write_text(SCATTER.read_text().replace("plus_minus: 0.15, group", "plus_minus: 2, group"))
    shares(work, loose)
    got, answer_ = shares(work, SCATTER)
    belt = [c for c in answer_["contributions"] if c["path"] == "belt.length" and "wind" in c["of"]]
    check("the belt moves the arm", belt and all(c["first"] > 0.9 for c in belt), belt)
    check("as many pairs as were asked", answer_["contribution_pairs"] == 640 and answer_["contributions_stopped"] is False)
    check("none where none are asked for", got["contributions"] == [] and got["contribution_pairs"] is None)
    one, two = (answer(SCATTER, "--kits", "20", "--contributions", "64", "--threads", n) for n in "12")
    check("the same for one and for two threads", one == two)
    other = answer(SCATTER, "--kits", "20", "--contributions", "64", "--seed", "2")
    check("other pairs for another seed", other[1]["contributions"] != one[1]["contributions"])
    failing = answer(SCATTER, "--kits", "200", "--contributions", "256", "--set", "belt.friction.limit.rib=0.172", "--set", "belt.friction.design.rib=0.16")[1]
    fails = [c for c in failing["contributions"] if c["of"] == "fails"]
    by = {c["path"] or c["group"]: c for c in fails}
    check("some kits fail", 0.1 < failing["failing"]["share"] < 0.9, failing["failing"])
    check("what makes kits fail: the belt, then the spring", fails and max(by, key=lambda k: by[k]["total"]) == "belt.length" and by["belt.length"]["total"] > 0.5 and
          by["belt.length"]["total"] > by["tensioner.arm.preload"]["total"] > 0.05 > by["tensioner.diameter"]["total"], by)
    check("a kit fails or not: more together than alone", sum(c["total"] for c in fails) > 1.02, by)
    for wrong in ("63", "0", "x", "10001"):
        done = subprocess.run([SNUB, "tolerate", str(SCATTER), "--contributions", wrong], capture_output=True, text=True)
        check(f"--contributions {wrong} is refused", done.returncode == 2 and "--contributions" in done.stderr, done.stderr)
    text = subprocess.run([SNUB, "tolerate", str(SCATTER), "--kits", "20", "--contributions", "640"], capture_output=True, text=True).stdout
    check("the greatest first, what is little counted", re.search(r"arm at redline +by itself +with others\nbelt\.length .*\n(?:.*%\n)*\d more: under 1 % each", text), text)


def main():
    with tempfile.TemporaryDirectory() as work:
        two_doors(work)
        worst_counts(work)
        nominal_is_check()
        build_of_a_chart(work)
        closed_form(work)
        intervals(work)
        scatter(work)
        refused(work)
        state(work)
        contributions(work)
    same_again()
    example_in_text()
    interrupted()
    return end()


sys.exit(main())
