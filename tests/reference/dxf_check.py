"""The DXF of a drive against the drive's own geometry: every line, arc, layer, unit. Ends with `N passed, N failed`.
A clean audit proves little (an ARC without a radius passes it), so each entity is compared."""
import json
import math
import subprocess
import sys
import tempfile
import os

import ezdxf

snub, source = sys.argv[1], sys.argv[2]
PLACE_MM = 0.002   # the file's six decimals and the JSON's twelve digits leave this much room and more
ANGLE_DEG = 0.002
passed = failed = 0


def check(what, good, detail=""):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print(f"FAILED {what}: {detail}")


def near(what, got, want, tolerance, unit):
    check(what, abs(got - want) <= tolerance, f"got {got:.6f}, want {want:.6f}, tolerance {tolerance} {unit}")


def run(*arguments):
    return subprocess.run([snub, *arguments], capture_output=True, check=False)


def tangent_points(a, b, ra, rb):
    """Touch points of the directed tangent, by the angle between the centre line and the span: a derivation of its own,
    not the vector form that the program uses. Signed radii, clockwise positive."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    along = math.atan2(dy, dx)
    tilt = math.asin((ra - rb) / math.hypot(dx, dy))
    normal = along - tilt + math.pi / 2
    n = (math.cos(normal), math.sin(normal))
    return (a[0] + ra * n[0], a[1] + ra * n[1]), (b[0] + rb * n[0], b[1] + rb * n[1])


def pitch_geometry(pulleys):
    """Spans and arcs from centres and signed pitch radii."""
    n = len(pulleys)
    touch = [tangent_points(p["at"], pulleys[(i + 1) % n]["at"], p["r"], pulleys[(i + 1) % n]["r"])
             for i, p in enumerate(pulleys)]
    arcs = []
    for i, p in enumerate(pulleys):
        enter, leave = touch[i - 1][1], touch[i][0]
        angle = [math.degrees(math.atan2(q[1] - p["at"][1], q[0] - p["at"][0])) % 360 for q in (enter, leave)]
        start, end = (angle[1], angle[0]) if p["r"] > 0 else (angle[0], angle[1])  # DXF arcs run counter-clockwise
        arcs.append((p["at"], abs(p["r"]), start, end))
    return touch, arcs


def distance(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def angle_between(a, b):
    return abs((a - b + 180) % 360 - 180)


def compare(name, arguments, file):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "drive.dxf")
        done = run("draw", file, *arguments, "-o", path)
        check(f"{name}: written", done.returncode == 0, done.stderr.decode())
        if done.returncode:
            return
        document = ezdxf.readfile(path)
    rpm = arguments[arguments.index("--rpm") + 1] if "--rpm" in arguments else "0"
    with open(file, encoding="utf-8") as text:  # the only example belt that was measured is 18 mm longer outside
        back = 18 / (2 * math.pi) - 2.0 if "outside: {value: 1944, length: 1926}" in text.read() else 0.8
    state = json.loads(run("check", file, "--rpm", rpm, "--json").stdout)
    check(f"{name}: version", document.dxfversion == "AC1009", document.dxfversion)
    check(f"{name}: millimetres", document.units == 4, str(document.units))
    check(f"{name}: audit", not document.audit().errors, str(document.audit().errors))
    space = document.modelspace()
    declared = {layer.dxf.name for layer in document.layers}
    used = {entity.dxf.layer for entity in space}
    check(f"{name}: layers are declared", used <= declared, str(used - declared))
    for layer in ("PULLEYS", "BELT", "PITCH_LINE", "CENTRES", "LABELS", "FRAME"):
        check(f"{name}: layer {layer}", layer in used, str(sorted(used)))
    for entity in space:
        if "linetype" in entity.dxf.all_existing_dxf_attribs():
            check(f"{name}: linetype {entity.dxf.linetype}", entity.dxf.linetype in document.linetypes, "undeclared")

    pulleys = [{"name": p["name"], "at": p["centre_mm"],
                "r": abs(p["pitch_radius_mm"]) * (1 if p["turns"] == "cw" else -1)} for p in state["pulleys"]]
    touch, arcs = pitch_geometry(pulleys)
    lines = [(tuple(e.dxf.start)[:2], tuple(e.dxf.end)[:2]) for e in space.query('LINE[layer=="PITCH_LINE"]')]
    drawn = [((e.dxf.center.x, e.dxf.center.y), e.dxf.radius, e.dxf.start_angle, e.dxf.end_angle)
             for e in space.query('ARC[layer=="PITCH_LINE"]')]
    check(f"{name}: a line for each span", len(lines) == len(pulleys), f"got {len(lines)}, want {len(pulleys)}")
    check(f"{name}: an arc for each pulley", len(drawn) == len(pulleys), f"got {len(drawn)}, want {len(pulleys)}")
    for i, (want, got) in enumerate(zip(touch, lines)):
        near(f"{name}: span {i} starts", distance(want[0], got[0]), 0, PLACE_MM, "mm")
        near(f"{name}: span {i} ends", distance(want[1], got[1]), 0, PLACE_MM, "mm")
    for i, (want, got) in enumerate(zip(arcs, drawn)):
        near(f"{name}: arc {i} centre", distance(want[0], got[0]), 0, PLACE_MM, "mm")
        near(f"{name}: arc {i} radius", got[1], want[1], PLACE_MM, "mm")
        near(f"{name}: arc {i} start", angle_between(got[2], want[2]), 0, ANGLE_DEG, "deg")
        near(f"{name}: arc {i} end", angle_between(got[3], want[3]), 0, ANGLE_DEG, "deg")
    length = sum(distance(*line) for line in lines) + sum(
        math.radians((end - start) % 360) * r for _, r, start, end in drawn)
    near(f"{name}: pitch length", length, state["belt"]["path_length_mm"], 0.01, "mm")

    circles = [((e.dxf.center.x, e.dxf.center.y), e.dxf.radius) for e in space.query('CIRCLE[layer=="PULLEYS"]')]
    for p in state["pulleys"]:
        mine = [r for at, r in circles if distance(at, p["centre_mm"]) < PLACE_MM]
        check(f"{name}: {p['name']} has a circle about its centre", bool(mine), str(p["centre_mm"]))
        if mine:  # the belt's cord lies 2.0 mm over the ribs and back over the back
            body = abs(p["pitch_radius_mm"]) - (2.0 if p["side"] == "rib" else back)
            near(f"{name}: {p['name']} has its own radius", min(mine, key=lambda r: abs(r - body)), body, PLACE_MM, "mm")
    belt = [e for e in space if e.dxf.layer == "BELT"]
    check(f"{name}: two surfaces", len(belt) == 2 and all(e.dxftype() == "POLYLINE" and e.is_closed for e in belt), "")
    for e in belt:
        check(f"{name}: arcs on every pulley", sum(1 for v in e.vertices if v.dxf.bulge != 0) == len(pulleys),
              str([v.dxf.bulge for v in e.vertices]))
    texts = [e.dxf.text for e in space.query("TEXT")]
    for p in state["pulleys"]:
        check(f"{name}: {p['name']} is named", p["name"] in texts, "")
    check(f"{name}: text is ASCII", all(ord(c) < 128 for t in texts for c in t), "")
    check(f"{name}: text has a height", all(e.dxf.height > 0 for e in space.query("TEXT")), "")


for example, extra in (("sedgemere.yaml", []), ("sedgemere.yaml", ["--rpm", "3000"]),
                       ("sedgemere.yaml", ["--rpm", "3000", "--scale", "1"]), ("three-pulleys.yaml", []),
                       ("sedgemere-locked.yaml", [])):
    compare(" ".join([example, *extra]), extra, os.path.join(source, "examples", example))
print(f"{passed} passed, {failed} failed")
sys.exit(1 if failed else 0)
