#!/usr/bin/env python3
"""Distributions of snub tolerate: `distributions` of the JSON against the kits of --csv, worked through again here; the histograms against
the JSON, in inches and in German; forms and files.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import json
import math
import os
import pathlib
import re
import statistics
import subprocess
import sys
import tempfile

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
SCATTER = TOP / "examples/three-pulleys-scatter.yaml"
HEADS = {"worst_grip": "worst grip", "blower_grip": "grip of the blower", "blower_wrap_deg": "wrap of the blower", "arm_wind_stopped_deg": "arm, engine stopped",
         "arm_wind_redline_deg": "arm at redline", "tightest_gap_mm": "tightest gap", "boost_kPa": "boost at redline"}
TIGHTER = ("--set", "belt.length=1003")
CHANCES = [0.1, 1, 5, 25, 50, 75, 95, 99, 99.9]


def study(work, path, *words):
    kits = pathlib.Path(work) / "kits.csv"
    kits.unlink(missing_ok=True)
    done = subprocess.run([SNUB, "tolerate", path, *words, "--csv", kits, "--json"], capture_output=True, text=True, timeout=200)
    if not kits.exists():
        raise SystemExit(f"no kits: {path} {done.stderr}")
    with open(kits, newline="", encoding="utf-8") as file:
        return json.loads(done.stdout), list(csv.DictReader(file))


def quantile(values, percent):
    """Straight between kits, kit i of n at (i - 1/2)/n."""
    at = percent / 100 * len(values) - 0.5
    i = math.floor(at)
    return values[i] + (at - i) * (values[i + 1] - values[i]) if i + 1 < len(values) else values[-1]


def near(a, b):
    return abs(a - b) <= 1e-7 * max(1.0, abs(a))


def compare(name, got, rows):
    listed = [one["number"] for one in got["distributions"]]
    for key, head in HEADS.items():
        column = next((c for c in rows[0] if c.startswith(head)), None)
        values = sorted(float(row[column]) for row in rows if row[column] != "")
        check(f"{name}: {key} is there where a kit has it", (key in listed) == bool(values), listed)
        if not values:
            continue
        one = got["distributions"][listed.index(key)]
        n = len(values)
        check(f"{name}: {key}: kits", (one["kits"], one["kits_without"]) == (n, len(rows) - n), one)
        check(f"{name}: {key}: nominal", one["nominal"] == got["numbers"][key]["nominal"], one["nominal"])
        check(f"{name}: {key}: chances", [q["percent"] for q in one["quantiles"]] == CHANCES, one["quantiles"])
        for q in one["quantiles"]:
            far = n * min(q["percent"], 100 - q["percent"]) / 100 >= 1 - 1e-9
            check(f"{name}: {key}: {q['percent']} %", near(q["value"], quantile(values, q["percent"])) if far else q["value"] is None, q)
        for side, beyond in (("low", lambda v, l: v < l), ("high", lambda v, l: v > l)):
            limit, counted = one[f"{side}_limit"], one["kits_below" if side == "low" else "kits_above"]
            want = 0 if limit is None else sum(beyond(v, limit) for v in values)
            check(f"{name}: {key}: kits beyond the {side} limit", counted == want, (limit, counted, want))
        many = min(40, math.ceil(2 * n ** (1 / 3) - 1e-9)) if values[0] < values[-1] else 1
        check(f"{name}: {key}: classes", len(one["classes"]) == many and sum(c["kits"] for c in one["classes"]) == n, (many, one["classes"]))
        ends = one["classes"][0]["from"], one["classes"][-1]["to"]
        check(f"{name}: {key}: ends", near(ends[0], values[0]) and near(ends[1], values[-1]), ends)
        inner = [c["kits"] for c in one["classes"]]
        slack = 1e-7 * max(1.0, abs(values[-1]))
        good = all(sum(c["from"] + slack < v < c["to"] - slack for v in values) <= kits <= sum(c["from"] - slack <= v <= c["to"] + slack for v in values)
                   for c, kits in zip(one["classes"], inner))
        check(f"{name}: {key}: kits of each class", good, inner)


def limits(work):
    """Limits follow the file."""
    got, _ = study(work, SCATTER, "--kits", "16", "--set", "limits.grip_design=0.5", "--set", "limits.clearance=12 mm", "--set", "tensioner.arm.work=[11, 13]")
    by = {one["number"]: one for one in got["distributions"]}
    check("design grip", by["worst_grip"]["high_limit"] == 0.5 and by["worst_grip"]["low_limit"] is None, by["worst_grip"])
    for key in ("arm_wind_stopped_deg", "arm_wind_redline_deg"):
        check(f"{key}: work range", near(by[key]["low_limit"], 11) and near(by[key]["high_limit"], 13), by[key])
    if "tightest_gap_mm" in by:
        check("clearance", near(by["tightest_gap_mm"]["low_limit"], 12), by["tightest_gap_mm"])


def slack(work):
    """Some kits slack, or all: each form answers, and such a grip is in no mean and no class."""
    some = pathlib.Path(work) / "some.yaml"
    some.write_text("""snub: 1
engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6500 rpm, accel_rate: 2000, decel_rate: 6000}
belt: {ribs: 6, length: 988, tolerance: 1}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: idler, side: back, at: [-60, 150], diameter: 70}
  - {name: alternator, at: [-20, 320], diameter: 60, load: [[2000 rpm, 8], [12000 rpm, 4]], inertia: 0.0025, overruns: true}
""")
    met = set()
    for name, more in (("some", []), ("most", ["--set", "belt.length=990"]), ("all", ["--set", "belt.length=992"])):
        got, rows = study(work, some, "--kits", "40", *more)
        loose = [row for row in rows if row["worst grip"] == ""]  # no bound, or no equilibrium at all
        finite = [float(row["worst grip"]) for row in rows if row["worst grip"] != ""]
        check(f"{name} slack: they fail by it", loose and all("slack" in row["rules that fail"] or "no_equilibrium" in row["rules that fail"] for row in loose), loose[:2])
        grip = next((one for one in got["distributions"] if one["number"] == "worst_grip"), None)
        endless = grip["kits_endless"] if grip else 0
        met.add((endless > 0, bool(finite)))
        if grip:
            check(f"{name} slack: kits", (grip["kits"], grip["kits_without"] + endless) == (40 - grip["kits_without"], len(loose)), grip)
            check(f"{name} slack: beyond the limit", grip["kits_above"] == endless + sum(v > grip["high_limit"] for v in finite), grip)
            check(f"{name} slack: in no class", sum(c["kits"] for c in grip["classes"]) == len(finite), grip["classes"])
            mean = got["numbers"]["worst_grip"]["mean"]
            check(f"{name} slack: nor in the mean", near(mean, statistics.fmean(finite)) if finite else mean is None, (mean, finite))
            fit = next(one for one in got["capability"] if one["number"] == "worst_grip")
            check(f"{name} slack: no capability", fit["cpk"] is None and fit["kits_beyond"] == grip["kits_above"], fit)
        else:
            check(f"{name} slack: no kit has one", not finite)
        drawn = pathlib.Path(work) / "slack.svg"
        for path in (pathlib.Path(work) / "slack.pdf", drawn):
            done = run(some, "--kits", 40, *more, "-o", path)
            if grip or finite or got["distributions"]:
                check(f"{name} slack: histograms as {path.suffix}", done.returncode in (0, 1) and path.stat().st_size > 1000, done.stderr)
            else:
                check(f"{name} slack: nothing to draw, by {path.suffix}", done.returncode == 2 and b"no kit has a number to draw" in done.stderr, done.stderr)
        said = " ".join(run(some, "--kits", 40, *more).stdout.decode().split())
        check(f"{name} slack: it is said", (f"In {endless} kits the belt is slack" in said) == (endless > 0), said)
        check(f"{name} slack: and in the picture", (f"without bound, not drawn: {endless}" in drawn.read_text()) == bool(endless and finite))
    check("kits of both kinds, and of one", {(True, True), (True, False), (False, False)} <= met, met)


def one_of_a_point(work):
    """A tolerance on one coordinate of a point in inches, and the same in mm: the same kits; a kit that fails can be checked."""
    said = []
    for name, point in (("in", "[-0.7874015748031497 in +- 0.001 in, 12.598425196850394 in]"), ("mm", "[-20 +- 0.0254, 320]")):
        path = pathlib.Path(work) / f"point_{name}.yaml"
        text = SCATTER.read_text()
        check("the place of the alternator is there", "name: alternator, at: [-20, 320]" in text)
        text = text.replace("name: alternator, at: [-20, 320]", f"name: alternator, at: {point}")
        path.write_text("\n".join(line for line in text.splitlines() if "alternator.at" not in line) + "\n")
        got, rows = study(work, path, "--kits", "60", *TIGHTER)
        said.append([row["verdict"] for row in rows])
        check(f"{name}: some fail", 0 < said[-1].count("fail") < 60, said[-1].count("fail"))
        text = run(path, "--kits", 60, *TIGHTER).stdout.decode()
        command = text[text.index("\n  snub check ") + 3:].split("\n")[0]
        check(f"{name}: a length of a point has its unit", re.search(r"--set '?alternator\.at\.0=-\d+\.\d+ mm'?", command), command)
        done = subprocess.run(["sh", "-c", command.replace("snub", f"'{SNUB}'", 1)], capture_output=True, text=True, timeout=60)
        check(f"{name}: a kit that fails, checked", done.returncode == 1, done.stdout + done.stderr)
    check("the same kits", said[0] == said[1])


# ---- capability ------------------------------------------------------------------------------------------------------------

def clopper(counted, of, chance, upper):
    """Where so many or more (fewer) have this chance, by bisection of the binomial sum."""
    if counted == (of if upper else 0):
        return 1.0 if upper else 0.0
    a, b = 0.0, 1.0
    for _ in range(100):
        p = 0.5 * (a + b)
        numbers = range(counted + 1) if upper else range(counted, of + 1)
        tail = sum(math.comb(of, i) * p**i * (1 - p)**(of - i) for i in numbers)
        a, b = (p, b) if (tail > chance) == upper else (a, p)
    return 0.5 * (a + b)


def capability(work):
    """Cp and Cpk by their formulas from the kits; the share beyond if normal by another library, the true one counted."""
    seen = set()
    for name, path, more in (("a limit on both sides, kits beyond", SCATTER, ["--set", "tensioner.arm.work=[12, 15]", "--set", "limits.clearance=48 mm"]),
                             ("all beyond", SCATTER, ["--set", "limits.grip_design=0.2"]), ("a blower", TOP / "examples/sedgemere.yaml", []),
                             ("inches", pathlib.Path(work) / "inches.yaml", [])):
        got, rows = study(work, path, "--kits", "200", *more)
        by = {one["number"]: one for one in got["capability"]}
        with_limits = [one["number"] for one in got["distributions"] if (one["low_limit"], one["high_limit"]) != (None, None)]
        check(f"{name}: each number that has limits", list(by) == with_limits and "boost_kPa" not in by, list(by))
        for key in with_limits:
            spread, one = next(d for d in got["distributions"] if d["number"] == key), by[key]
            column = next(c for c in rows[0] if c.startswith(HEADS[key]))
            values = [float(row[column]) for row in rows if row[column] != ""]
            low, high = spread["low_limit"], spread["high_limit"]
            mean, sd = statistics.fmean(values), statistics.stdev(values)
            check(f"{name}: {key}: limits", (one["low_limit"], one["high_limit"]) == (low, high), one)
            beyond = sum((low is not None and v < low) or (high is not None and v > high) for v in values)
            check(f"{name}: {key}: kits beyond", one["kits_beyond"] == beyond and near(one["share"], beyond / len(values)), (one, beyond))
            check(f"{name}: {key}: interval", near(one["low"], clopper(beyond, len(values), 0.025, False)) and near(one["high"], clopper(beyond, len(values), 0.025, True)), one)
            if sd < 1e-9 * abs(mean):
                seen.add("no scatter")
                check(f"{name}: {key}: no scatter, no Cpk", one["cpk"] is None and one["cp"] is None and one["share_below_if_normal"] is None, one)
                continue
            cp = None if low is None or high is None else (high - low) / (6 * sd)
            cpk = min((high - mean) if high is not None else math.inf, (mean - low) if low is not None else math.inf) / (3 * sd)
            check(f"{name}: {key}: Cp", (one["cp"] is None) == (cp is None) and (cp is None or abs(one["cp"] - cp) < 1e-5 * cp), (one, cp))
            check(f"{name}: {key}: Cpk", abs(one["cpk"] - cpk) < 1e-5 * (1 + abs(cpk)), (one, cpk))
            seen.add("both" if cp is not None else "one")
            seen.add("negative" if cpk < 0 else "positive")
            bell = statistics.NormalDist(mean, sd)
            below, above = (0 if low is None else bell.cdf(low)), (0 if high is None else 1 - bell.cdf(high))
            check(f"{name}: {key}: beyond, if normal", abs(one["share_below_if_normal"] - below) < 1e-6 and abs(one["share_above_if_normal"] - above) < 1e-6, (one, below, above))
    check("every case was met", seen == {"no scatter", "both", "one", "negative", "positive"}, seen)
    words = ["--kits", 200, "--set", "tensioner.arm.work=[12, 15]", "--set", "limits.clearance=48 mm"]
    text, got = run(SCATTER, *words).stdout.decode(), json.loads(run(SCATTER, *words, "--json").stdout)
    rows = {line[:25].strip(): line[25:].split() for line in text.split("\ncapability ")[1].splitlines()[1:5]}
    for one in got["capability"]:
        digits = 3 if "grip" in one["number"] else 2
        limit = ["none" if v is None else f"{v:.{digits}f}" for v in (one["low_limit"], one["high_limit"])]
        beyond = 100 * (one["share_below_if_normal"] + one["share_above_if_normal"])
        want = limit + ([] if one["cp"] is None else [f"{one['cp']:.2f}"]) + [f"{one['cpk']:.2f}".replace("-", "\u2212"), f"{beyond:.2f}", "%", f"{one['kits_beyond']},",
                                                                              f"{100 * one['low']:.1f}", "to", f"{100 * one['high']:.1f}", "%"]
        title = next(t for t in rows if t.startswith(HEADS[one["number"]]))
        check(f"capability of {one['number']} in words", rows[title] == want, (rows[title], want))
    check("for which shape it holds", "for a number of normal shape" in " ".join(text.split()), text)


# ---- histograms ------------------------------------------------------------------------------------------------------------

def run(*words):
    return subprocess.run([SNUB, "tolerate", *map(str, words)], capture_output=True, timeout=200)


def texts(svg):
    return [re.sub("<[^>]*>", "", t) for t in re.findall(r"<text[^>]*>(.*?)</text>", svg.decode(), re.S)]


def beyond(words, low, high):
    """Kits below and above, as the notes say: (number, limit, kits, percent)."""
    return [(m[1], float(m[2].replace(",", ".")), int(m[3]), float(m[4].replace(",", "."))) for t in words
            for m in re.finditer(rf"({low}|{high}) ([-\d.,]+)[^:;]*: (\d+) \S+ \(([\d.,]+)", t)]


def histograms(work):
    tight = ["--kits", 200, "--set", "tensioner.arm.work=[12, 15]", "--set", "limits.clearance=48 mm"]
    got = json.loads(run(SCATTER, *tight, "--json").stdout)
    n = got["samples"]
    svg = run(SCATTER, *tight, "--format", "svg").stdout
    words = texts(svg)
    want = []
    for one in got["distributions"]:
        for name, limit, kits in (("below", one["low_limit"], one["kits_below"]), ("above", one["high_limit"], one["kits_above"])):
            if limit is not None:
                want.append((name, limit, kits, 100 * kits / n))
    said = beyond(words, "below", "above")
    check("some kits lie beyond each kind of limit", sum(w[2] > 0 for w in want) >= 4, want)
    check("the notes say what the JSON says", len(said) == len(want) and all(a[0] == b[0] and abs(a[1] - b[1]) < 0.006 and a[2] == b[2] and abs(a[3] - b[3]) <= 0.0501
                                                                          for a, b in zip(said, want)), (said, want))
    for title in ("worst grip", "arm, engine stopped, deg", "arm at redline, deg", "tightest gap, mm"):
        check(f"a panel: {title}", words.count(title) == 1, words)
    check("no panel of what no kit has", not any("boost" in t or "blower" in t for t in words), words)
    check("nominal in every panel", words.count("nominal") == len(got["distributions"]), words)
    bars = len(re.findall(r'<path[^>]*[Zz]"', svg.decode()))
    check("a bar for every class with kits", bars == sum(c["kits"] > 0 for one in got["distributions"] for c in one["classes"]), bars)
    left = [float(x) for x in re.findall(r'<path d="M([\d.]+) [^"]*[Zz]"', svg.decode())]
    nominal = [float(x) for x in re.findall(r'<line x1="([\d.]+)"[^>]*stroke-dasharray', svg.decode())]
    first = got["distributions"][0]
    a, b = (c["from"] for c in [c for c in first["classes"] if c["kits"] > 0][:2])
    want_x = left[0] + (first["nominal"] - a) / (b - a) * (left[1] - left[0])
    check("the nominal line is at the nominal value", abs(nominal[0] - want_x) < 0.01, (nominal[0], want_x))
    fails = [SCATTER, "--kits", 24, "--set", "belt.length=978", "--seed", 3]
    of, foot = json.loads(run(*fails, "--json").stdout), texts(run(*fails, "--format", "svg").stdout)
    failing = (f"24 kits of the build with belt {of['build']['designation']}, seed 3. By all rules {of['failing']['kits']} kits fail "
               f"({100 * of['failing']['share']:.1f} %).")
    check("how many fail in all", 0 < of["failing"]["kits"] < 24 and failing in foot, (failing, foot))
    for language, sayings in (("en", ("1 kit of the build", "By all rules 1 kit fails", "above 21.00 deg: 1 kit (", "below 3.00 deg: 0 kits (")),
                               ("de", ("1 Satz des Aufbaus", "versagt 1 Satz", "1 Satz (", "0 Sätze ("))):
        one = " ".join(texts(run(SCATTER, "--kits", 1, "--set", "belt.length=978", "--format", "svg", "--language", language).stdout))
        check(f"one kit: {language}", all(words in one for words in sayings), one)
    one = " ".join(texts(run(SCATTER, "--kits", 1, "--set", "belt.length=998", "--set", "tensioner.arm.work=[12, 21]", "--format", "svg").stdout))
    check("one kit below", "below 12.00 deg: 1 kit (" in one, one)
    check("threads", run(SCATTER, *tight, "--format", "svg", "--threads", 1).stdout == svg)
    german = texts(run(SCATTER, *tight, "--format", "svg", "--language", "de").stdout)
    check("German", "Nennwert" in german and "ungünstigster Reibschluss" in german and [k[2] for k in beyond(german, "unter", "über")] == [k[2] for k in said], german)
    check("German: no English is left", not {"nominal", "kits", "no limit", "upper limit", "lower limit"} & set(german), german)
    inches = pathlib.Path(work) / "inches.yaml"
    us = texts(run(inches, *tight, "--format", "svg").stdout)
    gap = [k for t in us for k in beyond([t], "below", "above") if " in:" in t]
    check("German: decimal comma", any("48,00 mm" in t for t in german), german)
    check("inches", "tightest gap, in" in us and gap and abs(gap[0][1] * 25.4 - 48) < 0.02 and gap[0][2] == want[-1][2], us)
    without = texts(run(TOP / "examples/sedgemere.yaml", "--kits", 4, "--format", "svg").stdout)
    check("boost has no limit", "boost at redline, kPa" in without and "no limit" in without, without)


def files(work):
    few = [SCATTER, "--kits", 8]
    for form, start in (("svg", b"<?xml"), ("pdf", b"%PDF"), ("png", b"\x89PNG")):
        path = pathlib.Path(work) / f"kits.{form}"
        done = run(*few, "-o", path)
        check(f"{form}: by the file's name", done.returncode in (0, 1) and path.exists() and path.read_bytes().startswith(start) and done.stdout == b"", done.stderr)
        named = run(*few, "--format", form, "-o", "-")
        check(f"{form}: by --format", named.stdout == path.read_bytes(), named.stderr)
    for form in ("pdf", "png"):
        done = run(*few, "--format", form)
        check(f"{form}: not onto the terminal", done.returncode == 2 and done.stdout == b"" and f"--output kits.{form}" in done.stderr.decode(), done.stderr)
    path = pathlib.Path(work) / "kits.json"
    run(*few, "-o", path)
    check("JSON into a file", path.read_bytes() == run(*few, "--json").stdout)
    path = pathlib.Path(work) / "kits.txt"
    run(*few, "-o", path)
    check("text into a file", path.read_bytes() == run(*few).stdout)
    bad = [SCATTER, "--kits", 4, "--set", "belt.length=960"]
    done = run(*few, "--language", "xx", "--format", "svg")
    check("a language that is none", done.returncode == 2 and b"xx" in done.stderr and done.stdout == b"", done.stderr)
    check("the exit code is that of the check", run(*bad, "-o", path).returncode == run(*bad).returncode == 1)


def main():
    with tempfile.TemporaryDirectory() as work:
        inches = pathlib.Path(work) / "inches.yaml"
        inches.write_text(SCATTER.read_text() + "units: us\n")
        for name, path, kits in [("three pulleys", SCATTER, 1000), ("a blower", TOP / "examples/sedgemere.yaml", 100),
                                 ("locked", TOP / "examples/sedgemere-locked.yaml", 20), ("centrifugal", TOP / "examples/sedgemere-centrifugal.yaml", 20),
                                 ("V8", TOP / "examples/ironbrook-v8.yaml", 12), ("one kit", SCATTER, 1)]:
            compare(name, *study(work, path, "--kits", str(kits)))
        metric, us = study(work, SCATTER, "--kits", "40"), study(work, inches, "--kits", "40")
        check("inches: the same JSON", metric[0]["distributions"] == us[0]["distributions"], us[0]["distributions"][:1])
        limits(work)
        slack(work)
        one_of_a_point(work)
        capability(work)
        histograms(work)
        files(work)
    return end()


sys.exit(main())
