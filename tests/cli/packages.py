"""Packages: each row of the chart is the drive that results when the package's changes are written into a plain file, here
by hand; what a package excludes is missing everywhere, with its reason; wrong packages are refused at their place. With an
arm, with a fixed tensioner, in inches.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import copy
import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import yaml

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
BOLT = {"name": "fifth", "at": [60, 290], "thread": "M8", "class": 10.9, "length": 38, "washer": 16, "torque": 31, "condition": "zinc"}


def run(*arguments):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=300)


def asked(*arguments):
    done = run(*arguments, "--json")
    check(f"{arguments} answers", done.returncode in (0, 1), done.stderr)
    return json.loads(done.stdout) if done.returncode in (0, 1) else None


def put(tree, path, value):
    """A value at a path, as a person writes it into the file."""
    words = path.split(".")
    node = tree
    if words[0] not in tree:
        words = ["pulleys", *words]
    for i, word in enumerate(words):
        last = i == len(words) - 1
        if isinstance(node, list):
            if word == "+":
                node.append(value)
                return
            word = int(word) if word.isdigit() else next(k for k, item in enumerate(node) if item["name"] == word)
        if not last:
            node = node.setdefault(word, {}) if isinstance(node, dict) else node[word]
        elif isinstance(node.get(word) if isinstance(node, dict) else node[word], dict) and "value" in node[word] and not isinstance(value, dict):
            node[word]["value"] = value
        else:
            node[word] = value


def plain(tree, *changes):
    """The file without offers, with changes written into it."""
    tree = copy.deepcopy(tree)
    for changed in changes:
        for path, value in changed.items():
            if isinstance(value, dict) and "." not in path:
                for inner, one in value.items():
                    put(tree, f"{path}.{inner}", one)
            else:
                put(tree, path, value)
    for key in ("options", "variants", "packages"):
        tree.pop(key, None)
    return tree


def said(findings):
    """Findings without the line numbers of a file that is written otherwise."""
    return sorted((f["rule"], f["level"], str(f["pulley"]), str(f["other"]), str(f["span"]), f["value"]) for f in findings)


def against_plain_files(name, tree, work):
    """Every front, package and option value, excluded ones left out, in order."""
    path = work / f"{name}.yaml"
    path.write_text(yaml.safe_dump(tree, sort_keys=False, width=1000))
    chart = asked("chart", path)
    if chart is None:
        return
    options = tree["options"]
    fronts = {"": {}, **tree.get("variants", {})}
    builds = iter(chart["builds"])
    for front, moved in fronts.items():
        for package, says in tree["packages"].items():
            for values in combinations(options):
                if excluded(says, front, values):
                    continue
                build = next(builds, None)
                here = f"{name}: {front or 'own front'}, {package}, {values}"
                check(f"{here}: is a row", build is not None and build["package"] == package and build["variant"] == front, build and build["package"])
                if build is None:
                    return
                alone = work / "alone.yaml"
                alone.write_text(yaml.safe_dump(plain(tree, moved, says.get("changes", {}), values), sort_keys=False, width=1000))
                one = asked("check", alone, "--free") if "stock" in tree["belt"] else asked("check", alone)
                if one is None:
                    continue
                check(f"{here}: belt", one["build"]["designation"] == build["designation"], (one["build"]["designation"], build["designation"]))
                check(f"{here}: settings", one["build"]["slots_mm"] == build["slots_mm"], (one["build"]["slots_mm"], build["slots_mm"]))
                check(f"{here}: verdict", one["verdict"] == build["verdict"], (one["verdict"], build["verdict"]))
                check(f"{here}: findings", said(one["findings"]) == said(build["findings"]), (said(one["findings"]), said(build["findings"])))
    check(f"{name}: no row more", next(builds, None) is None)
    return path, chart


def combinations(options):
    rows = [{}]
    for path, values in options.items():
        rows = [{**row, path: value} for row in rows for value in values]
    return rows


def excluded(says, front, values):
    for one in says.get("excludes", []):
        fronts = one.get("variant", [front])
        if front not in (fronts if isinstance(fronts, list) else [fronts]):
            continue
        if all(values[path] in (listed if isinstance(listed, list) else [listed]) for path, listed in one.items() if path not in ("variant", "reason")):
            return True
    return False


def sedgemere():
    tree = yaml.safe_load((TOP / "examples/sedgemere.yaml").read_text())
    tree["options"] = {"blower.diameter": [92, 84, 73]}
    tree["packages"] = {
        "street": {"about": "seven ribs", "changes": {"belt.ribs": 7}, "excludes": [{"blower.diameter": [73], "reason": "Over the blower's speed."}]},
        "again": {"changes": {"belt.ribs": 7}},
        "race": {"about": "nine ribs, the lug relieved", "changes": {"belt.ribs": 9, "obstacles.block lug.z": [-64, -22], "mounts.idler bridge.bolts.+": BOLT,
                                                                      "steering": {"at": [236, 239]},
                                                                      "compressor.diameter": 120},  # laid over the front's 122
                 "excludes": [{"blower.diameter": [92], "variant": "low compressor", "reason": "The small belt does."}, {"variant": ["low compressor"], "blower.diameter": 73, "reason": "Nobody wants it."}]}}
    return tree


def told(path, chart):
    """What the example is to show: each package does something to the verdict that nothing else in the file does."""
    builds = {(b.get("variant", ""), b["package"], b["options"]["blower.diameter"]): b["verdict"] for b in chart["builds"]}
    check("28 of 36 are sold", len(builds) == 28 and chart["excluded"] and sum(e["builds"] for e in chart["excluded"]) == 8, len(builds))
    check("each package has a build that passes, on either front", all("pass" in [v for (f, p, _), v in builds.items() if (f, p) == (front, package)]
                                                                       for front in ("", "low compressor") for package in ("street", "touring", "track")), builds)
    check("the smallest pulley is too fast for the blower", all(v == "fail" for (_, _, d), v in builds.items() if d == "73"), builds)

    def verdict(*words):
        return asked("check", path, "--free", "--package", "track", "--set", "blower.diameter=88", *words)["verdict"]
    check("the wide belt needs the metal off", (verdict(), verdict("--set", "obstacles.block lug.taken_off=null")) == ("pass", "marginal"))
    check("and the narrower pulley", verdict("--set", "compressor.width=null") == "marginal")


def locked():
    tree = yaml.safe_load((TOP / "examples/sedgemere-locked.yaml").read_text())
    tree["options"] = {"belt.ribs": [7, 8]}
    tree.pop("variants", None)
    tree["packages"] = {"as it was": {}, "warm": {"changes": {"engine.growth": 0.001}, "excludes": [{"belt.ribs": 8, "reason": "Not wanted."}]}}
    return tree


def inches():
    tree = yaml.safe_load((TOP / "examples/ironbrook-v8.yaml").read_text())
    first = next(iter(tree["options"]))
    tree["options"] = {first: tree["options"][first][:2]}
    tree.pop("variants", None)
    tree["packages"] = {"one": {}, "two": {"changes": {"engine.redline": "5000 rpm"}, "excludes": [{first: tree["options"][first][0], "reason": "Short of revs."}]}}
    return tree


def shown(path, chart, work):
    """What the chart's other forms say of packages."""
    text = run("chart", path).stdout
    for words in ("street: seven ribs", "street, not with blower.diameter 73 (2 builds): Over the blower's speed.", "race, not with low compressor; blower.diameter 92 (1 build): The small belt does."):
        check(f"the chart says {words!r}", words in " ".join(text.split()), text)
    check("JSON: excluded", [(e["package"], e["builds"], e["variants"], e["options"]) for e in chart["excluded"]] ==
          [("street", 2, [], {"blower.diameter": ["73"]}), ("race", 1, ["low compressor"], {"blower.diameter": ["92"]}), ("race", 1, ["low compressor"], {"blower.diameter": ["73"]})], chart["excluded"])
    check("JSON: packages", [p["name"] for p in chart["packages"]] == ["street", "again", "race"], chart["packages"])
    rows = list(csv.reader(io.StringIO(run("chart", path, "--format", "csv").stdout)))
    column = rows[0].index("package")
    check("CSV: a column of packages", [r[column] for r in rows[1:]] == [b["package"] for b in chart["builds"]], rows[:3])
    pdf = work / "chart.pdf"
    run("sheet", path, "--kind", "chart", "-o", pdf)
    paper = " ".join(subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True).stdout.split())
    check("the sheet says what is not sold", "street is not sold with blower diameter 73 (builds left out: 2): Over the blower's speed." in paper, paper[:3000])
    only = asked("chart", path, "--package", "race")
    check("--package: its rows alone", [b["package"] for b in only["builds"]] == ["race"] * 4, [b["package"] for b in only["builds"]])
    own = asked("check", path, "--package", "race", "--set", "blower.diameter=84", "--free")
    row = next(b for b in chart["builds"] if b["package"] == "race" and b["variant"] == "" and b["options"]["blower.diameter"] == "84")
    check("check --package is the row", (own["build"]["designation"], own["verdict"], said(own["findings"])) == (row["designation"], row["verdict"], said(row["findings"])))
    check("check --package: the build's name", own["build"]["row"]["package"] == "race", own["build"]["row"])
    for more in (["--set", "blower.diameter=73"], ["--set", "blower.diameter=73.0"]):
        done = run("check", path, "--package", "street", *more)
        check(f"an excluded build is refused, {more[1]}", done.returncode == 2 and "Over the blower's speed." in done.stderr, done.stderr)
    check("an excluded build may be looked at without the package", run("check", path, "--set", "blower.diameter=73").returncode in (0, 1))
    done = run("check", path, "--package", "rase")
    check("a name that is none", done.returncode == 2 and 'did you mean "race"' in done.stderr, done.stderr)
    sides = run("compare", path, "--against", "race").stdout
    check("compare --against a package", "package race" in sides, sides[:600])
    command = next(line for line in run("check", path, "--package", "race").stdout.splitlines() if "verdict" in line)
    check("check --package has a verdict", command.startswith("verdict"), command)


WRONG = [
    ("packages: 3", "is not a map"),
    ("packages: {}", "is empty"),
    ("packages: {street: {change: {belt.ribs: 7}}}", "did you mean 'changes'"),
    ("packages: {street: {changes: {belt.rib: 7}}}", "there is no 'rib'"),
    ("packages: {street: {changes: {blower.diameter: 73}}}", "is a path of options already"),
    ("packages: {street: {changes: {pulleys.blower.diameter: 73}}}", "is a path of options already"),
    ("packages: {street: {changes: {title: x}}}", "cannot differ between builds"),
    ("packages: {street: {changes: {packages: {}}}}", "is empty, so nothing differs"),
    ("packages: {street: {changes: {packages: {street: 1}}}}", "cannot differ between builds"),
    ("packages: {street: {changes: {blower: {}}}}", "is empty, so nothing differs"),
    ("packages: {low compressor: {}}", "is the name of a variant already"),
    ("packages: {street: {excludes: [{blower.diameter: 73}]}}", "reason"),
    ("packages: {street: {excludes: [{reason: x}]}}", "does not say what the package excludes"),
    ("packages: {street: {excludes: [{blower.diameter: 74, reason: x}]}}", "is not offered by options"),
    ("packages: {street: {excludes: [{blower.diametre: 73, reason: x}]}}", "did you mean 'blower.diameter'"),
    ("packages: {street: {excludes: [{belt.ribs: 7, reason: x}]}}", "is not a path of options"),
    ("packages: {street: {excludes: [{variant: other, reason: x}]}}", "is not a variant of this file"),
    ("packages: {street: {excludes: [{blower.diameter: [], reason: x}]}}", "is empty"),
    ("packages: {street: {changes: {belt.ribs: 70}}}", "belt.ribs"),
    ("packages: {street: {changes: {shims.+: big}}}", "shims"),
]


def refusals(work):
    text = re.sub(r"\npackages:[^\n]*\n(  .*\n)+", "\n", (TOP / "examples/sedgemere.yaml").read_text())
    assert "packages:" not in text
    line = len(text.splitlines()) + 1
    for wrong, says in WRONG:
        path = work / "wrong.yaml"
        path.write_text(text + wrong + "\n")
        done = run("chart", path)
        check(f"{wrong}: is refused", done.returncode == 2 and says in done.stderr, done.stderr)
        check(f"{wrong}: at its line", f"wrong.yaml:{line}:" in done.stderr, done.stderr)
    none = "packages: {street: {excludes: [{blower.diameter: [97, 92, 88, 84, 79, 73], reason: x}]}}\n"
    (work / "none.yaml").write_text(text + none)
    done = run("chart", work / "none.yaml")
    check("a kit that sells nothing", done.returncode == 2 and "none is left" in done.stderr, done.stderr)
    # a build that cannot even be read is no fault where the package excludes it
    broken = "packages: {street: {changes: {wrap idler.diameter: 160}, excludes: [{blower.diameter: [97, 92, 88, 84], reason: No room.}]}}\n"
    (work / "room.yaml").write_text(text + broken)
    done = asked("chart", work / "room.yaml")
    check("excluded builds are not calculated", done is not None and len(done["builds"]) == 4, done and len(done["builds"]))


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        path, chart = against_plain_files("sedgemere", sedgemere(), work)
        shown(path, chart, work)
        told(*against_plain_files("the example", yaml.safe_load((TOP / "examples/sedgemere.yaml").read_text()), work))
        against_plain_files("locked", locked(), work)
        against_plain_files("inches", inches(), work)
        refusals(work)
    return end()


if __name__ == "__main__":
    sys.exit(main())
