"""What a finding says of a swing is what `snub motion` shows of that speed and throttle: two ways through the program, one
with loads between the judged speeds, one at that speed itself. Drives with cylinders, blowers, an arm or none, inches.

Usage: swing_agrees.py. The last line is `N passed, N failed`."""
import json
import math
import os
import subprocess
import sys

import tally

SNUB, EXAMPLES = os.environ["SNUB_BIN"], os.path.join(os.environ["SNUB_SOURCE_DIR"], "examples")
LOCKED = ["engine.inertia=0.25", "steering.inertia=0.003"]
ARMED = LOCKED + ["tensioner.arm.inertia=0.0015"]
# file, changes, rule, the state in which it must be met
CASES = [
    ("sedgemere-locked.yaml", LOCKED, "swing_slack", "steady"),
    ("sedgemere-locked.yaml", LOCKED, "resonance", "steady"),
    ("sedgemere.yaml", ARMED + ["engine.idle=790", "engine.inertia=0.1"], "resonance", "closed throttle"),
    ("sedgemere.yaml", ARMED + ["engine.idle=600", "engine.inertia=0.06"],
     "swing_slack", "closed throttle"),
    ("sedgemere-centrifugal.yaml", ARMED + ["engine.inertia=0.04", "engine.idle=750"], "swing_slack", "closed throttle"),
    ("ironbrook-v8.yaml", ["engine.inertia=60 lb in2", "steering.inertia=9 lb in2", "tensioner.arm.inertia=5 lb in2"],
     "swing_slack", "closed throttle"),
    ("three-pulleys.yaml", ["engine.inertia=0.04", "tensioner.arm.inertia=0.0015", "engine.compression=11",
                            "engine.volumetric_efficiency=[[800, 0.8], [6500, 0.8]]"], "swing_slack", "closed throttle"),
]
NO_ORDER = 0.01  # of the greatest angle: left out of a judgement, docs/theory/motion.md


def ask(command, file, changes, *arguments):
    sets = [a for one in changes for a in ("--set", one)]
    ran = subprocess.run([SNUB, command, os.path.join(EXAMPLES, file), "--json", *sets, *arguments], capture_output=True,
                         text=True)
    if ran.returncode not in (0, 1):
        raise SystemExit(ran.stderr)
    return json.loads(ran.stdout)


def compare(file, changes, rule, state):
    place = f"{file} {changes}"
    check = ask("check", file, changes)
    finding = next((f for f in check["findings"] if f["rule"] == rule), None)
    if finding is None or finding["state"] != state:
        tally.expect(f"{place}: {rule} in the state {state}", False, finding)
        return
    case = ["--case", "closed-throttle"] if state == "closed throttle" else []
    motion = ask("motion", file, changes, "--rpm", repr(finding["at_rpm"]), *case)
    span = " - ".join(finding["span"])
    angles = {o["order"]: o["angle_deg"] for o in motion["irregularity"]["orders"]}
    swings = {o["order"]: o["tension_N"][span] for o in motion["orders"] if angles[o["order"]] > NO_ORDER * max(angles.values())}
    row = next(s for s in motion["spans"] if [s["from"], s["to"]] == finding["span"])
    wave = row["belt_over_wave_speed"][0][1]
    carries = row["tension_N"][0][1] * (1 - wave * wave)  # m v2 over the tension is that ratio's square
    squares = math.sqrt(sum(s * s for s in swings.values()))
    if rule == "resonance":
        want, limit = max(swings.values()) / carries, 0.5
    else:
        want, limit = (squares if finding["level"] == "fail" else sum(swings.values())), carries
    scale = 1 if finding["unit"] in ("N", "") else 4.4482216152605
    tally.expect(f"{place}: {rule}, value", abs(finding["value"] * scale / want - 1) < 2e-3, finding["value"], want)
    tally.expect(f"{place}: {rule}, limit", abs(finding["limit"] * scale / limit - 1) < 2e-3, finding["limit"], limit)
    shown = next(f for f in motion["findings"] if f["rule"] == rule)
    tally.expect(f"{place}: named by snub motion", shown == finding, shown, finding)


for one in CASES:
    compare(*one)
sys.exit(tally.end())
