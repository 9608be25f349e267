"""Each finding's case, asked by its `shown_by` on the command line and by its `case` from the page's server: the same
state in the same numbers, and the value that the finding met. The blower's figures are the chart's.
"""
import json
import os
import pathlib
import shlex
import shutil
import subprocess
import sys
import tempfile

import served
from tally import check, end

SNUB = os.environ["SNUB_BIN"]
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")
KEYS = ("engine_rpm", "case", "belt", "arm_friction", "warmth", "peak")
DRIVES = [  # file, what is laid over it, rules that must be met
    ("sedgemere.yaml", {"blower.diameter": 70}, {"grip", "rib_tension", "pulley_speed"}),
    ("sedgemere.yaml", {"belt.length": 1890, "belt.stock": None}, {"arm_travel", "rib_tension"}),
    ("sedgemere.yaml", {"belt.stiffness": [20000, 28000], "blower.diameter": 72}, {"grip"}),
    ("ironbrook-v8.yaml", {"blower.diameter": "2.2 in", "limits.rib_tension": "30 lbf"}, {"rib_tension"}),
    ("sedgemere-locked.yaml", {"limits.grip_design": 0.5, "limits.rib_tension": 150}, {"grip", "rib_tension"}),
]


def run(*arguments):
    return json.loads(subprocess.run([SNUB, *arguments, "--json"], capture_output=True, text=True, timeout=120).stdout)


def sets(over):
    return [word for path, value in over.items() for word in ("--set", f"{path}={json.dumps(value)}")]


def near(a, b, share=1e-9):
    return a == b or (a is not None and b is not None and abs(a - b) <= share * max(abs(a), abs(b)))


def met(finding, state, ribs):
    """What the finding judged, as the state shows it; None: not in these tables."""
    pulleys = {p["name"]: p for p in state["pulleys"]}
    if finding["rule"] == "rib_tension":
        return max(s["tension_N"] for s in state["spans"]) / ribs
    if finding["rule"] == "grip" and finding["level"] == "marginal":
        return pulleys[finding["pulley"]]["grip_used"]
    if finding["rule"] == "pulley_speed":
        return abs(pulleys[finding["pulley"]]["rpm"])
    if finding["rule"] == "arm_travel" and finding["level"] == "fail":
        return state["arm"]["wind_deg"]
    return None


def one(server, path, over, finding, ribs, name):
    case, name = finding["case"], f"{name}, {finding['rule']} {finding['pulley']}"
    by_options = run("check", path, *sets(over), *shlex.split(finding["shown_by"]))
    status, answer, _ = server.ask("/api/lay", {"file": os.path.basename(path), "text": open(path).read(), "case": case,
                                                "changes": [{"path": p, "value": v} for p, v in over.items()]})
    check(f"{name}: the server answers", status == 200, answer)
    if status != 200:
        return
    shown = answer["check"]
    for state in (by_options["state"], shown["state"]):
        check(f"{name}: the state is the case", all(near(state[key], case[key]) if key == "engine_rpm" else state[key] == case[key]
                                                    for key in KEYS), state, )
    check(f"{name}: the words are the same", shown["state"]["words"] == by_options["state"]["words"], shown["state"]["words"])
    same = all(near(p[key], q[key]) for p, q in zip(shown["pulleys"], by_options["pulleys"], strict=True)
               for key in ("rpm", "wrap_deg", "torque_N_m", "exit_tension_N", "hub_load_N", "grip_used"))
    check(f"{name}: the numbers are the same", same and len(shown["pulleys"]) > 0)
    value = met(finding, shown, ribs)
    if value is not None:
        check(f"{name}: it is the value that the finding met", near(value, finding["value"], 1e-6), f"got {value}, want {finding['value']}")
    return value is not None


def drive(server, folder, file, over, wanted):
    path = os.path.join(folder, file)
    judged, found = run("check", path, *sets(over)), set()
    name = f"{file} {over}"
    check(f"{name}: a finding that is laid out has no case", all((f["case"] is None) == (f["at_rpm"] is None)
                                                                  for f in judged["findings"]))
    for finding in judged["findings"]:
        if finding["case"] and one(server, path, over, finding, judged["build"]["ribs"], name):
            found.add(finding["rule"])
    check(f"{name}: the rules that it is about were met", wanted <= found, sorted(found))


def blower(folder, file, options):
    path = os.path.join(folder, file)
    build = next(b for b in run("chart", path)["builds"] if b["options"] == options)
    over = [word for p, v in options.items() for word in ("--set", f"{p}={v}")]
    shown = run("check", path, *over)["blower"]
    for key in ("boost_kPa", "pulley_rpm", "rotor_rpm"):
        check(f"{file}: {key} is the chart's", near(shown[key], build["blower"][key]), f"got {shown[key]}, want {build['blower'][key]}")


def belts_of(value):
    """Every belt that an answer names, at any depth."""
    if isinstance(value, dict):
        own = {value["belt"]} if isinstance(value.get("belt"), str) else set()
        return own.union(*(belts_of(one) for one in value.values()))
    return set().union(*(belts_of(one) for one in value)) if isinstance(value, list) else set()


def alike(folder):
    """Without tolerance and wear all belts are one: of cases that are alike the one with the nominal belt is named."""
    for file in ("sedgemere.yaml", "ironbrook-v8.yaml", "three-pulleys.yaml"):
        answer = run("check", os.path.join(folder, file), "--set", "belt.tolerance=0", "--set", "belt.worn=0")
        found = belts_of(answer["hub_loads"])
        check(f"{file}: of belts alike the nominal one is named", found == {"nominal belt"} and belts_of(answer) <= {"nominal belt", "nominal"}, belts_of(answer))


def wrong(server, folder):
    text = pathlib.Path(folder, "sedgemere.yaml").read_text()
    for case, said in (({"case": "rising", "engine_rpm": 3000}, "case.case"), ({"belt": "nominal"}, "engine_rpm"),
                       ({"engine_rpm": -1}, "engine_rpm"), ({"engine_rpm": 1, "belts": "long"}, "case.belts"),
                       ({"engine_rpm": 1, "set": ["belt.length"]}, "path=value"), ({"engine_rpm": 1, "set": ["a=b\nc"]}, "path=value"),
                       ({"engine_rpm": 1, "peak": 3}, "case.peak"), ([1], "not an object")):
        status, answer, _ = server.ask("/api/lay", {"file": "sedgemere.yaml", "text": text, "case": case})
        check(f"{case} is refused", status == 400 and said in json.dumps(answer), answer)


def main():
    folder = tempfile.mkdtemp(prefix="snub-case-")
    shutil.copytree(EXAMPLES, folder, dirs_exist_ok=True)
    server = served.Server(os.path.join(folder, "sedgemere.yaml"))
    try:
        for file, over, wanted in DRIVES:
            drive(server, folder, file, over, wanted)
        wrong(server, folder)
        alike(folder)
        first = run("chart", os.path.join(folder, "sedgemere-centrifugal.yaml"))["builds"][0]
        blower(folder, "sedgemere-centrifugal.yaml", first["options"])
        check("nothing of a blower where there is none", run("check", os.path.join(folder, "three-pulleys.yaml"))["blower"] is None)
    finally:
        server.kill()
        shutil.rmtree(folder, ignore_errors=True)
    return end()


if __name__ == "__main__":
    sys.exit(main())
