"""Distances of two things, from the page's server: numbers worked out by hand from the file, and the clearance that the
program's own findings have of the same two. Shims, bearings and bolts along the crank."""
import json
import math
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

import served
from tally import check, end

SNUB = os.environ["SNUB_BIN"]
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")
# Of so wide a limit nearly every two of the drive have a finding; obstacles that ask for their own are left to it.
WIDE = 140.0


class Drive:
    def __init__(self, server, path, over=None):
        self.server, self.name, self.text = server, os.path.basename(path), pathlib.Path(path).read_text(encoding="utf-8")
        self.over = over or {}

    def geometry(self, a, b, view="front", whole=True):
        status, answer, _ = self.server.ask("/api/lay", {
            "file": self.name, "text": self.text, "rpm": 3000, "whole": whole, "measure": {"view": view, "of": [a, b]},
            "changes": [{"path": path, "value": value} for path, value in self.over.items()]})
        check(f"{self.name}: {a} {b} is answered", status == 200, answer)
        return answer["geometry"]

    def measured(self, a, b, view="front", whole=True):
        return self.geometry(a, b, view, whole)["measured"]


def close(name, got, want, tolerance=1e-6):
    check(name, got is not None and abs(got - want) <= tolerance, f"got {got}, want {want} to {tolerance}")


def distance(drive, name, a, b, want, view="front"):
    for one, two in ((a, b), (b, a)):
        got = drive.measured(one, two, view)
        close(f"{drive.name}, {view}: {name}", got and got["distance_mm"], want)
        if got and want > 0:
            close(f"{name}: the points are so far apart", math.dist(got["from_mm"], got["to_mm"]), want)
    return got


def by_hand(drive):
    """Sedgemere's centres, diameters and z, as its file has them."""
    mount = "idler bridge"
    distance(drive, "two rims", {"pulley": "crank"}, {"pulley": "compressor"}, math.hypot(276, 22) - 81 - 59)
    distance(drive, "a rim and a corner", {"pulley": "crank"}, {"obstacle": "thermostat neck"}, math.hypot(30, 166) - 81)
    distance(drive, "a rim that covers a circle", {"pulley": "compressor"}, {"obstacle": "block lug"}, math.hypot(18, 28) - 59 - 14)
    distance(drive, "two washers", {"mount": mount, "part": "left ear"}, {"mount": mount, "part": "right ear"}, math.hypot(302, 12) - 16)
    distance(drive, "a washer and a rim", {"mount": mount, "part": "middle high"}, {"pulley": "crank"}, math.hypot(14, 326) - 10 - 81)
    distance(drive, "two points", {"at": [1, 2]}, {"at": [4, 6]}, 5)
    distance(drive, "a point and a circle", {"at": [258, 44]}, {"obstacle": "block lug"}, 50 - 14)
    # The side: 7 ribs of 3.56 and 1.44 more are 26.36 wide.
    distance(drive, "a rim and what ends behind it", {"pulley": "compressor"}, {"obstacle": "block lug"}, 18.64 - 13.18, "side")
    distance(drive, "a rim's front and a point", {"pulley": "crank"}, {"at": [20, 0]}, 20 - 13.18, "side")
    distance(drive, "one over the other", {"obstacle": "block lug"}, {"obstacle": "thermostat neck"}, 158 - 8, "side")
    distance(drive, "head and rim", {"mount": mount, "part": "left ear"}, {"pulley": "blower"}, 36.4 - 13.18, "side")
    distance(drive, "the bracket's front and a point", {"mount": mount}, {"at": [-30, 300]}, 8, "side")
    distance(drive, "a standoff's end and a point", {"pulley": "exit idler", "part": "standoff"}, {"at": [11, 296]}, 3, "side")
    distance(drive, "the farther bearing and a point", {"pulley": "exit idler", "part": "6203"}, {"at": [15.5, 310]}, 3, "side")
    # A span is as wide as its ribs, 7 x 3.56, at the plane.
    distance(drive, "a span and a point ahead of it", {"span": "compressor"}, {"at": [20, -60]}, 20 - 12.46, "side")
    for lost in ({"pulley": "gone"}, {"obstacle": "gone"}, {"span": "gone"}, {"mount": "gone"}, {"mount": mount}, {"pulley": "crank", "part": "gone"}):
        check(f"nothing is known of {lost}", drive.measured(lost, {"at": [0, 0]}) is None)


def span_by_hand(server, folder):
    """Two pulleys of one size, level: the belt's upper and lower runs lie a pitch radius off the line of centres."""
    path = os.path.join(folder, "level.yaml")
    text = """snub: 1
belt: {section: PK, ribs: 6, length: 900, be: 2, thickness: 4.6, back: 0.9}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 100}
  - {name: pump, at: [300, 0], diameter: 100}
  - {name: idler, at: [150, -90], diameter: 80}
obstacles:
  - {name: post, circle: {at: [150, 100], diameter: 20}, z: [-30, 30]}
"""
    pathlib.Path(path).write_text(text, encoding="utf-8")
    drive = Drive(server, path)
    shape = drive.geometry({"pulley": "crank"}, {"pulley": "pump"}, whole=False)
    upper = next(i for i, (a, b) in enumerate(zip(shape["path"]["leave_mm"], shape["path"]["enter_mm"][1:] + shape["path"]["enter_mm"][:1], strict=True))
                 if a[1] > 0 and b[1] > 0)
    span = {"span": shape["pulleys"][upper]["name"]}
    pitch = abs(shape["pulleys"][0]["pitch_radius_mm"])
    above = distance(drive, "the belt's back and what is above it", span, {"obstacle": "post"}, 100 - 10 - pitch - 0.9)
    # flap is a hundredth of the span in its middle, over which the post stands
    for key, want in (("value_mm", 100 - 10 - pitch - 0.9), ("flap_mm", 3), ("limit_mm", 6 + 3)):
        close(f"the belt flaps towards it: {key}", above["judged"][key], want)
    distance(drive, "its ribs and a point below", span, {"at": [150, 0]}, pitch - (4.6 - 0.9))


def things(shape):
    """By the names that findings have."""
    names = [p["name"] for p in shape["pulleys"]]
    out = {name: {"pulley": name} for name in names}
    out |= {f"{a} - {b}": {"span": a} for a, b in zip(names, names[1:] + names[:1], strict=True)}
    return out, {o["name"]: {"obstacle": o["name"]} for o in shape["obstacles"]}


def by_findings(drive, path, fixed, least):
    """What is judged is the worst of all cases; two that nothing moves stand as they are drawn."""
    arguments = [word for key, value in drive.over.items() for word in ("--set", f"{key}={json.dumps(value)}")]
    judged = json.loads(subprocess.run([SNUB, "check", path, "--json", *arguments], capture_output=True, text=True, timeout=120).stdout)
    shape = drive.geometry({"at": [0, 0]}, {"at": [1, 1]})
    drives, obstacles = things(shape)
    exact = 0
    for f in judged["findings"]:
        one = drives.get(f["pulley"])
        other = drives.get(f["other"]) or obstacles.get(f["other"])
        if f["rule"] == "obstacle" and other is None and f["other"]:  # of a span: "lug - next pulley"
            one, other = {"span": f["pulley"]}, obstacles.get(f["other"].split(" - ")[0])
        if f["rule"] not in ("gap", "obstacle") or not one or not other:
            continue
        name = f"{drive.name}: {f['pulley']}, {f['other']}"
        got = (drive.measured(one, other) or {}).get("judged")
        turned = (drive.measured(other, one) or {}).get("judged")
        check(f"{name}: either way the same", got is not None and got == turned, (got, turned))
        if not got:
            continue
        check(f"{name}: the finding is no less severe", f["value"] - f["limit"] <= got["value_mm"] - got["limit_mm"] + 1e-6, (got, f["value"], f["limit"]))
        still = all(part in fixed for part in f"{f['pulley']} - {f['other']}".split(" - ") if part not in obstacles)
        if still and f["rule"] == "gap":
            exact += 1
            close(f"{name}: as drawn", got["value_mm"], f["value"])
            close(f"{name}: and the same limit", got["limit_mm"], f["limit"])
    check(f"{drive.name}: enough of them stand still", exact >= least, exact)


def unjudged(drive):
    for a, b in (({"span": "crank"}, {"pulley": "crank"}), ({"pulley": "tensioner"}, {"span": "crank"}), ({"span": "crank"}, {"span": "tensioner"}),
                 ({"pulley": "crank"}, {"pulley": "crank"}), ({"obstacle": "block lug"}, {"obstacle": "thermostat neck"}), ({"pulley": "crank"}, {"at": [0, 0]}),
                 ({"pulley": "exit idler", "part": "6203"}, {"pulley": "crank"}), ({"mount": "idler bridge", "part": "left ear"}, {"pulley": "crank"})):
        got = drive.measured(a, b, "side" if "part" in a else "front")
        check(f"{a} {b}: judged by nobody", got is not None and got["judged"] is None, got)
    lug = drive.measured({"pulley": "compressor"}, {"obstacle": "block lug"})["judged"]
    close("beside an obstacle: in space, along the crank here", lug["value_mm"], 18.64 - 13.18)
    close("and its own limit", lug["limit_mm"], 4.6)


def shims(server, path):
    """What the file has stays told where another pack is judged."""
    drive = Drive(server, path, {"exit idler.stack.shim pack.length": 0.5})
    side = drive.geometry({"at": [0, 0]}, {"at": [1, 1]})["side"]
    packs = {b["of"]: b for b in side["blocks"] if b["what"] == "shim"}
    close("in the file", packs["exit idler"]["file_mm"], 0.5)
    close("judged", packs["exit idler"]["z_mm"][1] - packs["exit idler"]["z_mm"][0], 0)
    check("the stock", side["sizes_mm"] == [0.15, 0.35, 0.7112, 0.9] and side["most"] == 2, side["sizes_mm"])
    bare = drive.geometry({"at": [0, 0]}, {"at": [1, 1]}, whole=False)["side"]["blocks"]
    pack = next(b for b in bare if b["what"] == "shim" and b["of"] == "exit idler")
    close("not judged, it is as in the file", pack["z_mm"][1] - pack["z_mm"][0], 0.5)


def main():
    folder = tempfile.mkdtemp(prefix="snub-measured-")
    shutil.copytree(EXAMPLES, folder, dirs_exist_ok=True)
    path = os.path.join(folder, "sedgemere.yaml")
    server = served.Server(path)
    try:
        plain = Drive(server, path)
        by_hand(plain)
        unjudged(plain)
        span_by_hand(server, folder)
        shims(server, path)
        by_findings(Drive(server, path, {"limits.clearance": WIDE}), path, {"crank", "alternator", "blower", "exit idler", "steering", "compressor", "wrap idler"}, 15)
        locked = os.path.join(folder, "sedgemere-locked.yaml")
        by_findings(Drive(server, locked, {"limits.clearance": WIDE}), locked, {"crank", "alternator", "blower", "exit idler", "steering", "compressor", "wrap idler"}, 15)
        v8 = os.path.join(folder, "ironbrook-v8.yaml")
        by_findings(Drive(server, v8, {"limits.clearance": WIDE, "wrap idler.slot.setting": 30}), v8, {"crank", "alternator", "blower", "exit idler", "steering", "compressor"}, 8)
    finally:
        server.kill()
        shutil.rmtree(folder, ignore_errors=True)
    return end()


if __name__ == "__main__":
    sys.exit(main())
