"""Values left to defaults: what is said to be taken is taken; what is said of the ends of a range is what a file with that
value gets; a value that is written is not listed; the list holds every key for which the reader has a range.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
# Inches, no length, a V8 with everything left out that may be; a small blower on the belt's own drive with a bearing.
LEAN = """
snub: 1
engine: {displacement: 350 in3, cylinders: 8, idle: 700, redline: 6000, volumetric_efficiency: [[700, 0.75], [3500, 0.9], [6000, 0.8]],
         accel_rate: 1200}
belt: {ribs: 8}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 7.5 in}
  - {name: idler, side: back, diameter: 3 in, at: [4 in, 7 in], bearing: {type: "6203"}}
  - {name: blower, at: [0, 14 in], diameter: 3.4 in, blower: {kind: roots, swept: 1.9 L, leakage_speed: 700}}
  - {name: tensioner, side: back, diameter: 3 in, arm: {pivot: [-6 in, 4 in], length: 3.4 in, free: -30, loads: ccw, travel: 60,
     preload: 24, rate: 0.5, damping: 0.2}}
bearings: [{designation: "6203", bore: 17, outside: 40, dynamic: 9550, static: 4800}]
"""


def asked(path, *more):
    done = subprocess.run([SNUB, "check", str(path), *more, "--json"], capture_output=True, text=True, timeout=300)
    check(f"check {path.name} {' '.join(more)} answers", done.returncode in (0, 1), done.stderr)
    return json.loads(done.stdout) if done.returncode in (0, 1) else {}


def decided(data):
    return {key: data.get(key) for key in ("verdict", "worst_grip_used", "pulleys")} | {
        "belt": data["build"]["designation"], "slots": data["build"]["slots_mm"],
        "findings": [{k: v for k, v in f.items() if k not in ("text", "line", "source")} for f in data["findings"]]}


def of_file(path):
    plain = asked(path)
    names = [d["path"] for d in plain["defaults"]]
    check(f"{path.name}: untried, nothing is said of the ends", all(d["decides"] is None and d["low"] is None for d in plain["defaults"]))
    tried = asked(path, "--defaults")
    check(f"{path.name}: trying changes no answer", decided(tried) == decided(plain))
    check(f"{path.name}: the same values", [d["path"] for d in tried["defaults"]] == names, names)
    for d in tried["defaults"]:
        value = asked(path, "--set", f"{d['path']}={d['value']}")
        same, was = decided(value), decided(plain)
        if d["path"].endswith("leakage_speed"):  # likewise
            same = same | {"findings": [f for f in same["findings"] if f["rule"] != "no_leakage"]}
            was = was | {"findings": [f for f in was["findings"] if f["rule"] != "no_leakage"]}
        if d["path"] == "belt.back":  # that it is a default is a finding of its own
            check(f"{path.name}: a back that is written is known", "belt_back" not in [f["rule"] for f in same["findings"]])
            was = was | {"findings": [f for f in was["findings"] if f["rule"] != "belt_back"]}
        check(f"{path.name}: {d['path']} is {d['value']} by default", same == was,
              {k: (v, was[k]) for k, v in same.items() if v != was[k]})
        check(f"{path.name}: {d['path']} is listed no more", d["path"] not in [x["path"] for x in value["defaults"]])
        differs = False
        for side in ("low", "high"):
            other = asked(path, "--set", f"{d['path']}={d[side]['value']}")
            got = (other["verdict"], other["build"]["designation"])
            check(f"{path.name}: {d['path']}={d[side]['value']}", got == (d[side]["verdict"], d[side]["designation"]), (got, d[side]))
            worst = other["findings"][0]["rule"] if other["findings"] else None
            check(f"{path.name}: {d['path']}={d[side]['value']}, worst finding", worst == d[side]["rule"], (worst, d[side]))
            differs = differs or got != (plain["verdict"], plain["build"]["designation"])
        check(f"{path.name}: {d['path']} decides", d["decides"] == differs, d)
    report(path, tried)
    return names, any(d["decides"] for d in tried["defaults"])


def report(path, tried):
    """The report sheet has a row for each, with what the check says of its ends."""
    with tempfile.TemporaryDirectory(prefix="snub-defaults-") as folder:
        texts = []
        for more in ([], ["--defaults"]):
            file = pathlib.Path(folder) / "r.pdf"
            done = subprocess.run([SNUB, "sheet", str(path), "--kind", "report", "--metric", *more, "-o", str(file)], capture_output=True, text=True)
            check(f"{path.name}: report {more}", done.returncode in (0, 1), done.stderr)
            texts.append(subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True).stdout)
    own = (tried["build"]["designation"], tried["verdict"])
    for d in tried["defaults"]:
        rows = [re.search(rf"^ *{re.escape(d['path'])} +(.*)$", text, re.M) for text in texts]
        check(f"{path.name}: {d['path']} is in the report", all(rows))
        if not all(rows):
            continue
        check(f"{path.name}: {d['path']} untried", rows[0][1].split("  ")[-1].strip() == "not tried", rows[0][1])
        numbers = [d["value"], d["low"]["value"], d["high"]["value"]]
        ends = ["no change" if (e["designation"], e["verdict"]) == own else f"{e['designation'] or 'no belt'}, {e['verdict']}"
                for e in (d["low"], d["high"])]
        got, want = " ".join(rows[1][1].split()), [numbers[0], d["unit"], *numbers[1:], *ends]
        check(f"{path.name}: {d['path']} in the report, tried", got == " ".join(" ".join(want).split()), (got, want))


def main():
    seen, any_decides = set(), False
    with tempfile.TemporaryDirectory(prefix="snub-defaults-") as folder:
        lean = pathlib.Path(folder) / "lean.yaml"
        lean.write_text(LEAN)
        spun = pathlib.Path(folder) / "spun.yaml"
        spun.write_text(LEAN.replace("kind: roots, swept: 1.9 L, leakage_speed: 700", "kind: centrifugal, design_speed: 45000, "
                                     "design_flow: 0.35, design_ratio: 1.7, step_up: 4.1"))
        tight = pathlib.Path(folder) / "tight.yaml"  # its leakage is not known either
        tight.write_text(LEAN.replace(", leakage_speed: 700", ""))
        for path in [*sorted((TOP / "examples").glob("*.yaml")), lean, spun, tight]:
            names, decides = of_file(path)
            seen |= {re.sub(r"^[\w ]+\.(?=blower|bearing)", "", n) for n in names}
            any_decides = any_decides or decides
    listed = re.findall(r'^SNUB_DEFAULT\((\w+), *"([\w.]+)"', (TOP / "include/snub/default_list.inc").read_text(), re.M)
    want = {f"{ {'BELT': 'belt', 'ENGINE': 'engine', 'BLOWER': 'blower', 'SEAT': 'bearing'}[of]}.{key}" for of, key in listed}
    check("each of the list was met", seen == want, seen ^ want)
    check("some decide", any_decides)
    guide = (TOP / "docs/guide/drive-file.md").read_text()
    check("the guide tells of it", "--defaults" in guide)
    return end()


if __name__ == "__main__":
    sys.exit(main())
