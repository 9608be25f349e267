"""Plates to be cut (`snub draw --view plate`), read back by ezdxf and held against shapely: layer CUT holds closed contours
alone; areas of outline, holes and slots; the metal left around every opening; the scale beside a slot. Random brackets with
straight and curved slots, grown and given outlines, mm and inches.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import math
import os
import pathlib
import random
import subprocess
import sys
import tempfile

import ezdxf
import yaml
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "cli"))
from tally import check, end  # noqa: E402

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
ROUND = 256  # segments of a quarter turn where shapely makes a disc
CLEARANCE = {"M6": 6.6, "M8": 9, "M10": 11, "M12": 13.5}  # ISO 273, medium
TAP = {"M6": 5, "M8": 6.8, "M10": 8.5, "M12": 10.2}  # drills before a tap: ISO 2306, from memory
REAMED_OFF = 0.3


def near(name, got, want, tolerance):
    check(name, abs(got - want) <= tolerance, f"got {got:.6f}, want {want:.6f} +- {tolerance:g}")


def draw(path, out, *more):
    return subprocess.run([SNUB, "draw", str(path), "--view", "plate", "-o", str(out), *more], capture_output=True, text=True, timeout=60)


# ---- reading back ----------------------------------------------------------------------------------------------------------

def flat(polyline):
    """Corners of a closed polyline with its bulges as fine arcs; and its sides' lengths."""
    points, sides = [], []
    corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in polyline.vertices]
    for (x, y, bulge), (x2, y2, _) in zip(corners, corners[1:] + corners[:1]):
        chord = math.hypot(x2 - x, y2 - y)
        sides.append(chord)
        points.append((x, y))
        if bulge == 0:
            continue
        sweep, radius = 4 * math.atan(bulge), chord / 2 / math.sin(2 * math.atan(abs(bulge)))
        # the centre lies to the left of a -> b where the arc turns counter-clockwise by less than a half turn
        ux, uy = (x2 - x) / chord, (y2 - y) / chord
        off = radius * math.cos(sweep / 2) * (1 if bulge > 0 else -1)
        cx, cy = (x + x2) / 2 - uy * off, (y + y2) / 2 + ux * off
        start = math.atan2(y - cy, x - cx)
        points += [(cx + radius * math.cos(start + sweep * k / 200), cy + radius * math.sin(start + sweep * k / 200)) for k in range(1, 200)]
    return points, sides


def corners_in_line(polyline):
    """Corners at which two straight sides go on in one line."""
    corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in polyline.vertices]
    found = 0
    for a, b, c in zip(corners, corners[1:] + corners[:1], corners[2:] + corners[:2]):
        x, y, u, v = b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]
        found += a[2] == 0 and b[2] == 0 and abs(x * v - y * u) < 1e-6 * math.hypot(x, y) * math.hypot(u, v)
    return found


def contours(path, name):
    """{kind: shapes} of layer CUT, and the document."""
    document = ezdxf.readfile(path)
    shapes, seen = [], set()
    for entity in document.modelspace().query('*[layer=="CUT"]'):
        kind = entity.dxftype()
        check(f"{name}: only closed contours on CUT", kind == "CIRCLE" or (kind == "POLYLINE" and entity.is_closed), kind)
        if kind == "CIRCLE":
            key = (round(entity.dxf.center.x, 3), round(entity.dxf.center.y, 3), round(entity.dxf.radius, 3))
            shapes.append(("circle", Point(entity.dxf.center.x, entity.dxf.center.y), entity.dxf.radius))
        else:
            points, sides = flat(entity)
            key = tuple((round(x, 3), round(y, 3)) for x, y in points)
            check(f"{name}: no side of no length", min(sides) > 1e-4, min(sides))
            check(f"{name}: no corner on a straight side", corners_in_line(entity) == 0, corners_in_line(entity))
            check(f"{name}: a contour does not cross itself", Polygon(points).is_valid)
            shapes.append(("path", Polygon(points), points))
        check(f"{name}: nothing twice", key not in seen, key)
        seen.add(key)
    return shapes, document


# ---- brackets ---------------------------------------------------------------------------------------------------------------

def disc(at, radius):
    return Point(at).buffer(radius, ROUND)


def middle_of(slot):
    if "centre" not in slot:
        return LineString([slot["from"], slot["to"]])
    start, sweep = math.radians(slot["from"]), math.radians(slot["to"] - slot["from"])
    return LineString([(slot["centre"][0] + slot["radius"] * math.cos(start + sweep * k / 400),
                        slot["centre"][1] + slot["radius"] * math.sin(start + sweep * k / 400)) for k in range(401)])


def random_bracket(rng):
    """A drive with a mount, what its openings are, and None where the dice gave what cannot be cut."""
    drive = yaml.safe_load((TOP / "examples/sedgemere.yaml").read_text())
    mount = drive["mounts"][0]
    mount["bolts"] = []
    holes = []
    for k in range(rng.randint(2, 6)):
        thread, at = rng.choice(["M6", "M8", "M10"]), [round(rng.uniform(-130, 190), 2), round(rng.uniform(240, 380), 2)]
        bolt = {"name": f"b{k}", "at": at, "thread": thread, "class": 8.8, "length": 38, "torque": 10}
        locates = rng.random() < 0.3
        if locates:
            bolt["locates"] = True
        mount["bolts"].append(bolt)
        holes.append((at, int(thread[1:]) - REAMED_OFF if locates else CLEARANCE[thread]))
    idler, fixed = drive["pulleys"][3], drive["pulleys"][5]
    if rng.random() < 0.5:
        centre, radius = [round(rng.uniform(-90, -30), 1), round(rng.uniform(300, 340), 1)], rng.uniform(20, 60)
        idler["slot"] = {"centre": centre, "radius": round(radius, 2), "from": (start := rng.randint(-180, 180)), "to": start + rng.choice([-1, 1]) * rng.randint(20, 120), "setting": 1}
    width = 13.5
    if rng.random() < 0.5:
        width = mount["bracket"]["slot_width"] = rng.choice([12, 14.2, 20])
    tapped = rng.random() < 0.5
    fixed["standoff"]["tapped_in"] = "aluminium" if tapped else "steel"
    holes.append((fixed["at"], TAP["M12"] if tapped else CLEARANCE["M12"]))
    return drive, mount, holes, (idler["slot"], width)


def fits(holes, slot):
    shapes = [disc(at, d / 2) for at, d in holes] + [middle_of(slot[0]).buffer(slot[1] / 2, ROUND)]
    gaps = [a.distance(b) for i, a in enumerate(shapes) for b in shapes[:i]]
    return min(gaps), shapes


def one(rng, i, work):
    drive, mount, holes, slot = random_bracket(rng)
    gap, shapes = fits(holes, slot)
    inches = rng.random() < 0.3
    edge = mount["bracket"]["edge"] = round(rng.uniform(3, 25), 2)
    hull = unary_union([shape.buffer(edge, ROUND) for shape in shapes]).convex_hull
    given = rng.random() < 0.4
    if given:
        del mount["bracket"]["edge"]
        corners = [[round(x, 3), round(y, 3)] for x, y in list(hull.simplify(0.5).exterior.coords)[:-1]]
        mount["bracket"]["outline"] = corners[:60]
    path, out, name = work / "drive.yaml", work / "plate.dxf", f"bracket {i}"
    path.write_text(yaml.safe_dump(drive, sort_keys=False, width=1000))
    done = draw(path, out, *(["--inches"] if inches else []))
    if abs(gap) < 0.01:
        return
    if gap < 0:
        check(f"{name}: openings that run together are refused", done.returncode == 2 and "run together" in done.stderr, done.stderr)
        return
    check(f"{name}: is drawn", done.returncode in (0, 1), done.stderr)
    if done.returncode not in (0, 1):
        return
    unit = 25.4 if inches else 1.0
    cut, document = contours(out, name)
    check(f"{name}: units", document.header["$INSUNITS"] == (1 if inches else 4))
    check(f"{name}: as many contours as openings and an outline", len(cut) == len(holes) + 2, len(cut))
    circles = sorted((round(c.x * unit, 3), round(c.y * unit, 3), round(2 * r * unit, 3)) for kind, c, r in cut if kind == "circle")
    check(f"{name}: holes", circles == sorted((round(at[0], 3), round(at[1], 3), round(d, 3)) for at, d in holes), (circles, holes))
    paths = sorted((p for kind, p, _ in cut if kind == "path"), key=lambda p: p.area)
    outline, opening = paths[-1], paths[0]
    want = shapes[-1]
    near(f"{name}: area of the slot", opening.area * unit**2, want.area, 1e-3 * want.area)
    near(f"{name}: slot as shapely has it", opening.symmetric_difference(Polygon([(x / unit, y / unit) for x, y in want.exterior.coords])).area * unit**2, 0, 2e-3 * want.area)
    if given:
        near(f"{name}: the file's outline", outline.area * unit**2, Polygon(mount["bracket"]["outline"]).area, 1e-2)
        return
    near(f"{name}: area of the grown outline", outline.area * unit**2, hull.area, 2e-4 * hull.area)
    least = min(outline.exterior.distance(Polygon([(x / unit, y / unit) for x, y in s.exterior.coords])) * unit for s in shapes)
    near(f"{name}: metal left at the edge", least, edge, 0.02)
    strokes = document.modelspace().query('LINE[layer=="ENGRAVE"]')
    step = 25.4 / 16 if inches else 1
    near(f"{name}: strokes of the scale", len(strokes), math.floor(middle_of(slot[0]).length / step + 1e-3) + 1, 1e-9 if "centre" not in slot[0] else 1)


def refusals(work):
    text = (TOP / "examples/sedgemere.yaml").read_text()
    path = work / "one.yaml"
    for name, old, new, more, says in [
            ("no outline", "thickness: 14}", "thickness: 14}", [], "has no outline"),
            ("a hole outside", "thickness: 14}", "thickness: 14, outline: [[-150, 260], [170, 260], [170, 400], [-150, 400]]}", [], "'right ear' of mount 'idler bridge' is cut"),
            ("both", "thickness: 14}", "thickness: 14, edge: 8, outline: [[-150, 260], [220, 260], [220, 400], [-150, 400]]}", [], "is given together with `outline`"),
            ("an outline that crosses itself", "thickness: 14}", "thickness: 14, outline: [[-150, 260], [220, 400], [220, 260], [-150, 400]]}", [], "crosses itself"),
            ("no such mount", "thickness: 14}", "thickness: 14, edge: 8}", ["--mount", "idler brige"], 'did you mean "idler bridge"'),
            ("a scale", "thickness: 14}", "thickness: 14, edge: 8}", ["--scale", "2"], "1:1")]:
        check(f"{name}: the file has the place", old in text)
        path.write_text(text.replace(old, new))
        done = draw(path, work / "x.dxf", *more)
        check(f"{name}: is refused", done.returncode == 2 and says in done.stderr, done.stderr)
    # an M8 and an M10: holes of 9 and 11 mm touch where their middles are 10 mm apart
    for apart, good in ((9.9, False), (10.1, True)):
        path.write_text(text.replace("thickness: 14}", "thickness: 14, edge: 8}").replace("at: [14, 326]", f"at: [{22 + apart}, 276]"))
        done = draw(path, work / "x.dxf")
        check(f"holes with middles {apart} mm apart", (done.returncode in (0, 1)) == good and ("run together" in done.stderr) != good, done.stderr)
    path.write_text("snub: 1\nbelt: {ribs: 6, length: 1000}\npulleys:\n- {name: crank, role: crank, at: [0, 0], diameter: 100}\n- {name: fan, at: [200, 0], diameter: 100}\n")
    done = draw(path, work / "x.dxf")
    check("no mount: is refused", done.returncode == 2 and "no mount" in done.stderr, done.stderr)


def main():
    count, rng = int(os.environ.get("SNUB_PLATES", "25")), random.Random(int(os.environ.get("SNUB_SEED", "20260708")))
    with tempfile.TemporaryDirectory() as folder:
        for i in range(count):
            one(rng, i, pathlib.Path(folder))
        refusals(pathlib.Path(folder))
    return end()


if __name__ == "__main__":
    sys.exit(main())
