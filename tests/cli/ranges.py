"""A value given as [low, high]: the build is the one of its middle; the findings are the worst of the middle and of both ends,
worked out here from files that have these values; every command says the same, and the command printed with a finding
shows it. Inches, a belt that is chosen, a fixed tensioner, a V8, a blower without a map.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import json
import os
import pathlib
import shlex
import subprocess
import sys
import tempfile

from defaults import LEAN
from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
LEVELS = ["note", "marginal", "fail"]
# path, low, middle, high; of each file those that it has
VALUES = [("belt.stiffness", 10000, 35000, 60000), ("belt.back", 0.2, 1.0, 1.8), ("belt.friction.limit.rib", 0.55, 0.7, 0.85),
          ("blower.blower.mechanical", 0.6, 0.75, 0.9), ("engine.growth", 0, 0.001, 0.002), ("belt.mass", "12 g/m", "21 g/m", "30 g/m")]


def asked(command, path, *more):
    done = subprocess.run([SNUB, command, str(path), *more, "--json"], capture_output=True, text=True, timeout=300)
    check(f"{command} {path.name} {' '.join(more)} answers", done.returncode in (0, 1), done.stderr)
    return json.loads(done.stdout) if done.returncode in (0, 1) else {"findings": [], "verdict": None}


def subject(f):
    return f["rule"], f["pulley"], f["other"], str(f["span"])


def is_worse(one, than):
    if one["level"] != than["level"]:
        return LEVELS.index(one["level"]) > LEVELS.index(than["level"])
    if one["value"] is None or than["value"] is None:
        return False
    over = [abs(f["value"] - (f["limit"] or 0)) for f in (one, than)]
    return over[0] > over[1]


def merged(middle, ends):
    """By subject: the finding, and the end at which it was met."""
    worst = {subject(f): (f, None) for f in middle["findings"]}
    for where, data in ends:
        for f in data["findings"]:
            if f["level"] != "note" and (subject(f) not in worst or is_worse(f, worst[subject(f)][0])):
                worst[subject(f)] = (f, where)
    return worst


def pinned(data):
    """The belt and the settings that were chosen, as a file writes them."""
    slots = [f"{name}.slot.setting={mm:.12g}" for name, mm in data["build"]["slots_mm"].items() if name not in LOCKED_NAMES]
    return [x for one in [f"belt.length={data['build']['belt_length_mm']:.12g}", *slots] for x in ("--set", one)]


LOCKED_NAMES = {"tensioner"}  # of the example with a fixed tensioner: its slot is set by the tension


def one_range(path, value, low, middle, high):
    as_range = asked("check", path, "--set", f"{value}=[{low}, {high}]")
    at_middle = asked("check", path, "--set", f"{value}={middle}")
    name = f"{path.name}: {value}"
    check(f"{name}: belt and numbers are the middle's",
          all(as_range.get(k) == at_middle.get(k) for k in ("worst_grip_used", "pulleys", "spans", "belt", "arm")))
    check(f"{name}: the belt", as_range["build"]["designation"] == at_middle["build"]["designation"])
    if at_middle["build"]["designation"] is None:
        return 0, False
    pins = pinned(at_middle)
    ends = [(str(v), asked("check", path, "--set", f"{value}={v}", *pins)) for v in (low, high)]
    want = merged(at_middle, ends)
    got = {subject(f): f for f in as_range["findings"]}
    check(f"{name}: the same findings", set(got) == set(want), set(got) ^ set(want))
    told = 0
    for key, f in got.items():
        wanted, where = want.get(key, (None, None))
        if wanted is None:
            continue
        same = f["level"] == wanted["level"] and (f["value"] is None or abs(f["value"] - wanted["value"]) <= 1e-9 * abs(wanted["value"]))
        check(f"{name}: {key}", same, (f["value"], wanted["value"]))
        check(f"{name}: {key} names its end", f["with"] == (where and {"path": value, "value": where}), (f["with"], where))
        if where is None:
            continue
        told += 1
        check(f"{name}: {key} says so", f"with {value} at {where}" in f["text"], f["text"])
        if f["shown_by"] is None:
            continue
        shown = asked("check", path, *shlex.split(f["shown_by"]))
        there = [g for g in shown["findings"] if subject(g) == key]
        check(f"{name}: {key}: its command shows it", bool(there) and there[0]["level"] == f["level"] and
              (f["value"] is None or abs(there[0]["value"] - f["value"]) <= 1e-9 * abs(f["value"])), f["shown_by"])
    levels = [f["level"] for f, _ in want.values()]
    verdict = "fail" if "fail" in levels else "marginal" if "marginal" in levels else "pass"
    check(f"{name}: the verdict is the worst", as_range["verdict"] == verdict, (as_range["verdict"], verdict))
    for command in ("mount", "sweep"):
        other = asked(command, path, "--set", f"{value}=[{low}, {high}]")
        check(f"{name}: {command} has the same verdict", other["verdict"] == as_range["verdict"], other["verdict"])
    return told, verdict != at_middle["verdict"]


def charted(path, ranges):
    """Each row is what `check --build` says, with its findings; a later range does not hide an earlier one."""
    more = [x for value, low, _, high in ranges for x in ("--set", f"{value}=[{low}, {high}]")]
    rows = asked("chart", path, *more)["builds"]
    plain = asked("chart", path, *[x for value, _, middle, _ in ranges for x in ("--set", f"{value}={middle}")])["builds"]
    check(f"{path.name}: the chart's belts are the middle's", [b["designation"] for b in rows] == [b["designation"] for b in plain])
    for i in (1, len(rows)):
        data = asked("check", path, *more, "--build", str(i))
        check(f"{path.name}: row {i}", data["verdict"] == rows[i - 1]["verdict"] and
              [(f["rule"], f["value"], f["with"]) for f in data["findings"]] == [(f["rule"], f["value"], f["with"]) for f in rows[i - 1]["findings"]])
    return {f["with"]["path"] for b in rows for f in b["findings"] if f["with"]}


def main():
    told, turned = 0, 0
    with tempfile.TemporaryDirectory(prefix="snub-ranges-") as folder:
        lean = pathlib.Path(folder) / "lean.yaml"
        lean.write_text(LEAN)
        free = pathlib.Path(folder) / "free.yaml"  # belt and setting to be chosen, and hardly enough grip
        free.write_text((TOP / "examples/sedgemere.yaml").read_text().replace("  length: 1926", "  #").replace(", setting: 38}", "}")
                        .replace("{value: 88, over: outside}", "{value: 84, over: outside}"))
        files = [TOP / "examples/sedgemere.yaml", TOP / "examples/sedgemere-locked.yaml", lean, free]
        for path in files:
            for value, low, middle, high in VALUES:
                if value == "belt.back" and "outside:" in path.read_text():
                    continue
                more, other = one_range(path, value, low, middle, high)
                told, turned = told + more, turned + other
        paths = charted(files[0], [VALUES[0], VALUES[3]])
        check("ends of several ranges are told", len(paths) == 2, paths)
    check("some ends are worse than the middle", told > 5, told)
    check("some turn a verdict", turned > 0, turned)
    return end()


if __name__ == "__main__":
    sys.exit(main())
