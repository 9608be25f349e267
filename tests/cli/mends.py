"""`changes` of a finding: laid over the drive they are read, the finding is gone, and its words name the same key and value.
A chart's findings have the same ones.
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile

from tally import check, end

SNUB = os.environ["SNUB_BIN"]
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")
NO_STOCK = {"belt.stock": None}
# what is spoilt, the rule that says so, the change that it proposes (None: any), whether its words give the value
SPOILT = [
    ("sedgemere.yaml", {"tensioner.side": "rib"}, "repair", {"path": "tensioner.side", "value": "back"}),
    ("sedgemere.yaml", {"crank.rotation": "ccw"}, "repair", {"path": "crank.rotation", "value": "cw"}),
    ("sedgemere.yaml", {"exit idler.at": [5.1968504, 11.6535433]}, "repair", {"path": "exit idler.at", "value": ["5.1968504 in", "11.6535433 in"]}),
    ("sedgemere.yaml", {"exit idler.at": [132, 11.6535433]}, "repair", {"path": "exit idler.at", "value": ["132 mm", "11.6535433 in"]}),
    ("three-pulleys.yaml", {"tensioner.arm.pivot": ["-120 in", "75 mm"]}, "repair", {"path": "tensioner.arm.pivot", "value": ["-120 mm", "75 mm"]}),
    ("sedgemere.yaml", {"belt.length": 1700}, "arm_travel", {"path": "belt.length", "value": 1950}),  # on offer, nearest to the middle
    ("sedgemere.yaml", {"belt.length": 1700, **NO_STOCK}, "arm_travel", {"path": "belt.length", "value": 1948}),
    ("sedgemere.yaml", {"belt.length": 2100, **NO_STOCK}, "no_equilibrium", {"path": "belt.length", "value": 1948}),
    ("sedgemere-locked.yaml", {"belt.length": 2100, **NO_STOCK}, "lock", {"path": "belt.length", "value": 1906}),
    ("ironbrook-v8.yaml", {"belt.length": "70 in", **NO_STOCK}, "arm_travel", None),
    ("ironbrook-v8.yaml", {"tensioner.side": "rib"}, "repair", {"path": "tensioner.side", "value": "back"}),
]

EAR = "mounts.idler bridge.bolts.left ear"
UPPER = "mounts.idler plate.bolts.upper"
# what is spoilt, the rule and the level of what it finds, the number that it proposes, and what is found once that is made (None: nothing)
NUMBERS = [
    ("sedgemere.yaml", {f"{EAR}.torque": "45"}, "bolt_proof", "fail", {"path": f"{EAR}.torque", "value": "33 N m"}, None),
    ("sedgemere.yaml", {f"{EAR}.torque": "34"}, "bolt_proof", "marginal", {"path": f"{EAR}.torque", "value": "33 N m"}, None),
    ("sedgemere.yaml", {f"{EAR}.torque": None, f"{EAR}.preload": "30 kN"}, "bolt_proof", "fail", {"path": f"{EAR}.preload", "value": "20.8 kN"}, None),
    ("sedgemere.yaml", {f"{EAR}.torque": "5"}, "preload", "fail", {"path": f"{EAR}.torque", "value": "30 N m"}, None),
    ("sedgemere.yaml", {f"{EAR}.torque": "5", f"{EAR}.scatter": 0.6}, "preload", "fail", None, "fail"),  # it would be over proof
    ("sedgemere.yaml", {"exit idler.standoff.bolt.torque": "20"}, "standoff_gap", "fail", {"path": "exit idler.standoff.bolt.torque", "value": "52 N m"}, "marginal"),
    ("sedgemere.yaml", {"wrap idler.standoff.bolt.torque": "20"}, "standoff_gap", "marginal", {"path": "wrap idler.standoff.bolt.torque", "value": "30 N m"}, None),
    ("sedgemere.yaml", {"exit idler.standoff.bolt.torque": None, "exit idler.standoff.bolt.preload": "9 kN"}, "standoff_gap", "fail", {"path": "exit idler.standoff.bolt.preload", "value": "21.6 kN"}, "marginal"),
    ("sedgemere.yaml", {"exit idler.standoff.bolt.torque": "50"}, "standoff_slip", "fail", {"path": "exit idler.standoff.bolt.torque", "value": "94 N m"}, None),
    ("sedgemere.yaml", {"blower.width": 20}, "pulley_ribs", "fail", {"path": "blower.width", "value": "25.0 mm"}, None),
    ("sedgemere.yaml", {"blower.max_speed": "10000 rpm"}, "pulley_speed", "fail", {"path": "engine.redline", "value": "5595 rpm"}, None),
    ("sedgemere.yaml", {"blower.max_speed": "1000 rpm"}, "pulley_speed", "fail", None, "fail"),  # it would be under idle
    ("ironbrook-v8.yaml", {f"{UPPER}.torque": "60 lbf ft"}, "bolt_proof", "fail", {"path": f"{UPPER}.torque", "value": "36 lbf ft"}, None),
    ("ironbrook-v8.yaml", {"blower.width": "1 in"}, "pulley_ribs", "fail", {"path": "blower.width", "value": "1.122 in"}, None),
]


def run(*arguments):
    done = subprocess.run([SNUB, *arguments, "--json"], capture_output=True, text=True, timeout=120)
    return {"error": done.stdout + done.stderr, "findings": [], "verdict": None, **(json.loads(done.stdout) if done.stdout else {})}


def laid(over):
    """As --set takes it: flow style, text quoted only where it must be."""
    def word(value):
        if isinstance(value, list):
            return f"[{', '.join(map(word, value))}]"
        if isinstance(value, dict):
            return f"{{{', '.join(f'{k}: {word(v)}' for k, v in value.items())}}}"
        return "null" if value is None else str(value)
    return [part for path, value in over.items() for part in ("--set", f"{path}={word(value)}")]


def one(file, over, rule, change):
    name, path = f"{file} {over}", str(EXAMPLES / file)
    spoilt = run("check", path, *laid(over))
    found = [f for f in spoilt["findings"] if f["rule"] == rule and f["changes"] and (change is None or f["changes"] == [change])]
    check(f"{name}: the change is proposed", len(found) == 1, [(f["rule"], f["changes"]) for f in spoilt["findings"]])
    if len(found) != 1:
        return
    change = found[0]["changes"][0]
    cured = run("check", path, *laid({**over, change["path"]: change["value"]}))
    check(f"{name}: made, nothing of it is found any more", cured["verdict"] is not None and not any(
        f["rule"] in ("repair", "arm_travel", "no_equilibrium", "lock") and f["level"] == "fail" for f in cured["findings"]),
        cured.get("error") or [(f["rule"], f["level"]) for f in cured["findings"]])
    check(f"{name}: and no change of its kind is proposed again", not any(change in f["changes"] for f in cured["findings"]))
    if rule == "repair":
        check(f"{name}: the words name it", change["path"].rsplit(".", 1)[0].split(".")[0] in found[0]["text"], found[0]["text"])


def number(file, over, rule, level, change, after):
    """The value that is proposed is in the file's own units, rounded to the side where it holds."""
    name, path = f"{file} {over}", str(EXAMPLES / file)
    subject = next(iter(over)).split(".")
    about = lambda f: f["rule"] == rule and (f["pulley"] == subject[0] or (subject[0] == "mounts" and f["other"] == f"{subject[1]}, {subject[3]}"))
    found = [f for f in run("check", path, *laid(over))["findings"] if about(f)]
    check(f"{name}: it is found", [f["level"] for f in found] == [level], found)
    check(f"{name}: the change is proposed", [f["changes"] for f in found] == [[change] if change else []], found)
    if change:
        cured = run("check", path, *laid({**over, change["path"]: change["value"]}))
        check(f"{name}: made, it is mended", [f["level"] for f in cured["findings"] if about(f)] == ([after] if after else []), cured["findings"])


def same_in_chart():
    path = EXAMPLES / "sedgemere.yaml"
    with tempfile.TemporaryDirectory() as folder:
        spoilt = pathlib.Path(folder, "spoilt.yaml")
        text = path.read_text()
        spoilt.write_text(text.replace("    side: back               # runs", "    side: rib                # runs"))
        check("the text was spoilt", spoilt.read_text() != text)
        chart = run("chart", str(spoilt), "--package", "street")
        found = [f["changes"] for b in chart["builds"] for f in b["findings"] if f["rule"] == "repair"]
        check("a chart's findings have them as well", found and all(c == [{"path": "tensioner.side", "value": "back"}] for c in found), found[:3])


def main():
    for case in SPOILT:
        one(*case)
    for case in NUMBERS:
        number(*case)
    same_in_chart()
    good = run("check", str(EXAMPLES / "sedgemere.yaml"))
    check("a note of a good drive proposes nothing", all(f["changes"] == [] for f in good["findings"]))
    swapped = run("check", str(EXAMPLES / "sedgemere.yaml"), "--set", "tensioner.side=rib")
    check("nor does an order of the list", all(f["changes"] == [] for f in swapped["findings"] if f["rule"] == "repair" and " before " in f["text"]))
    return end()


if __name__ == "__main__":
    sys.exit(main())
