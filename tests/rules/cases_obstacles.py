"""Obstacles: rim, lips, hubs, belt on a pulley and between pulleys against circles, polygons and slots.

Plane distances are Shapely's, the distance in space that of two prisms (docs/theory/clearance.md). What is told to free a
piece is read out of the sentence and done to the drive: it must do, half of it must not.
"""
import math
import re

import numpy as np
from scipy.optimize import minimize_scalar
from shapely.geometry import LineString, Point, Polygon

import harness
from cases_clearance import BACK, FLAP, PITCH, RIB_REACH, SLIDE, Laid, back, fixed, locked_at, rib
from drives import ARM, on, text
from harness import DEG, MM, RPM, Case, judge, least, most, reference, shown

BELT = 3 * PITCH  # half of its width
RIM = (5 * PITCH + 5) / 2  # half of a rim's width
PRACTICE = (" A wide idler often needs about 3.2 mm (1/8 in) of relief at a boss: common practice, no published source.")

# ---- figures --------------------------------------------------------------------------------------------------------------


def circle(name, x, y, diameter, z, **more):
    return {"name": name, "circle": {"at": [x, y], "diameter": diameter}, "z": z, **more}


def polygon(name, corners, z, **more):
    return {"name": name, "polygon": corners, "z": z, **more}


def slot(name, one, two, width, z, **more):
    return {"name": name, "slot": {"from": one, "to": two, "width": width}, "z": z, **more}


def figure(o):
    """(core, how far the figure reaches around it)"""
    if "circle" in o:
        return Point(o["circle"]["at"]), o["circle"]["diameter"] / 2
    if "slot" in o:
        return LineString([o["slot"]["from"], o["slot"]["to"]]), o["slot"]["width"] / 2
    return Polygon(o["polygon"]), 0.0


def from_point(o, p):
    """Distance of a point from a figure, minus the depth inside, mm."""
    core, reach = figure(o)
    point = Point(p.real, p.imag)
    inside = core.exterior.distance(point) if core.geom_type == "Polygon" and core.contains(point) else 0.0
    return core.distance(point) - inside - reach


# ---- pieces: (in the plane, flap there, low, high) ------------------------------------------------------------------------


def disc(laid, pulley, radius, low, high, o):
    return from_point(o, laid.c[laid.index(pulley)]) - radius, 0.0, low, high


def on_pulley(laid, pulley, o):
    """The belt on a pulley."""
    i = laid.index(pulley)
    outside = abs(laid.r[i]) + (RIB_REACH if laid.drive.pulleys[i].back else BACK)
    return disc(laid, pulley, outside, -BELT, BELT, o)


def in_space(plane, axial):
    """Distance of two prisms; where they overlap both ways, minus the shorter way out."""
    return math.hypot(max(plane, 0), max(axial, 0)) if plane > 0 or axial > 0 else max(plane, axial)


def along(laid, pulley, o, axial=-math.inf):
    """The belt between two pulleys, where distance less flap is least: sections of it, closer and closer."""
    i, (core, reach) = laid.index(pulley), figure(o)
    left, right = (BACK, RIB_REACH) if laid.drive.sense > 0 else (RIB_REACH, BACK)

    def section(x):
        p, n = laid.point(i, x), 1j * laid.u[i]
        return LineString([((p + left * n).real, (p + left * n).imag), ((p - right * n).real, (p - right * n).imag)])

    def gap(x):
        return core.distance(section(x)) - reach

    def clear(x):
        return in_space(gap(x) - laid.swing(i, x), axial)
    grid = np.linspace(0, laid.span[i], 1601)
    k = int(np.argmin([clear(x) for x in grid]))
    best = minimize_scalar(clear, bounds=(grid[max(k - 1, 0)], grid[min(k + 1, 1600)]), method="bounded",
                           options={"xatol": 1e-9})
    x = min((best.x, grid[k]), key=clear)
    return gap(x), laid.swing(i, x), -BELT, BELT


def across(laid, pulley, o):
    """The same where the figure reaches into the belt: square to it, on the nearer side."""
    i, (core, reach) = laid.index(pulley), figure(o)
    corners = core.exterior.coords if core.geom_type == "Polygon" else core.coords
    n = [((complex(*c) - laid.start[i]) * laid.u[i].conjugate()).imag for c in corners]
    left, right = (BACK, RIB_REACH) if laid.drive.sense > 0 else (RIB_REACH, BACK)
    depth = min(left - (min(n) - reach), max(n) + reach + right)
    x = ((complex(*core.centroid.coords[0]) - laid.start[i]) * laid.u[i].conjugate()).real
    return -depth, laid.swing(i, x), -BELT, BELT


def taken(o, ends):
    """The most that cuts take off its ends, or off its sides."""
    return max([cut["depth"] for cut in o.get("taken_off", []) if (cut["towards"] in ("front", "rear")) == ends], default=0)


def left_of(o):
    """Its range along the crank, after the cuts of its ends."""
    z0, z1 = o["z"]
    for cut in o.get("taken_off", []):
        z0, z1 = (z0 + cut["depth"] if cut["towards"] == "rear" else z0), (z1 - cut["depth"] if cut["towards"] == "front" else z1)
    return z0, z1


class Near:
    """A piece and an obstacle: gap in space, what is needed, and the ways out with their numbers."""

    def __init__(self, o, plane, flap, low, high, gap=6.0, lip=None, is_rim=False, shift=0.0,
                 thick=None, spare=RIM - BELT):
        self.shift = shift
        self.o, self.flap, own = o, flap, o.get("clearance", gap)
        z0, z1 = left_of(o)
        axial = max(z0 - high, low - z1)
        self.gap = in_space(plane, axial)
        self.needed = self.gap + own - in_space(plane - flap, axial)  # flap is in the plane

        def missing(this, other):
            return (math.sqrt(max(own ** 2 - other ** 2, 0)) if other > 0 else own) - this
        self.relief, face = missing(plane - flap, axial), missing(axial, plane - flap)
        self.front = low + high > z0 + z1
        self.z = max(z0, low - own), min(z1, high + own)
        off_end, off_side = (o.get("relief", math.inf) - taken(o, ends) for ends in (True, False))
        self.face = face if face < z1 - z0 and face <= off_end and face < 2 * self.relief else None
        if thick is None:
            thick = o["circle"]["diameter"] if "circle" in o else math.inf
        self.plane = self.relief if self.relief < thick and self.relief <= off_side and not (self.face and self.relief > 2 * self.face) else None
        lack = missing(plane - flap, axial)
        self.trim = lack if lip and lack <= lip else None
        self.narrower = face if is_rim and face <= spare else None  # the belt must keep its width

    def remedy(self):
        mm, name, ways = (lambda x: least(x * MM, "MM", 1)), self.o["name"], []
        further = "a further " if "taken_off" in self.o else ""
        if self.plane:
            ways.append(f"relieve {name} by {further}{mm(self.plane)} from z = {most(self.z[0] * MM, 'MM', 1)} to {mm(self.z[1])}")
        if self.face:
            ways.append(f"take {further}{mm(self.face)} off the {'front' if self.front else 'rear'} of {name}")
        if self.trim:
            ways.append(f"trim that flange by {mm(self.trim)}")
        if self.narrower:
            ways.append(f"make the pulley {mm(self.narrower)} narrower at its {'rear' if self.front else 'front'}")
        if ways:
            return ", or ".join(ways)
        if "relief" not in self.o:
            return f"move {name} or remove it"
        if further:
            return "move the pulley: what may still be taken off is not enough"
        return f"move the pulley: no more than {most(self.o['relief'] * MM, 'MM', 1)} may be taken off"

    def places(self, piece, practice=False):
        return {"piece": piece, "other": self.o["name"], "depth": shown(-self.gap * MM, "MM", 1), "remedy": self.remedy(),
                "flap": ", belt flap counted" if self.flap > 0.5 else "",
                "lean": f", {shown(self.shift * MM, 'MM', 1)} of tolerance and lean counted" if self.shift > 0.05 else "", "practice": PRACTICE if practice else ""}


def against(pulleys, obstacle, plane, piece, pulley, other=None, practice=False, near=None, **more):
    """A case of p: plane(laid, obstacle) gives a piece."""
    obstacle = obstacle if callable(obstacle) else (lambda p, one=obstacle: one)

    def drive(p):
        return fixed(pulleys(p) if callable(pulleys) else pulleys, obstacles=[obstacle(p)], **more)(p)

    def of(p):
        return Near(obstacle(p), *plane(Laid(drive(p)), obstacle(p)), **(near or {}))
    name = (lambda p: obstacle(p)["name"])(0)
    return dict(drive=drive, value=lambda p: of(p).gap * MM, limit=lambda p: of(p).needed * MM, source="rule of thumb",
                subject={"pulley": pulley, "other": name if other is None else f"{name} - {other}"},
                places=lambda p: of(p).places(piece, practice), tolerance=1e-5,
                measure=lambda p: (of(p).gap - of(p).needed) * MM)


def half(of):
    """The same, told on its gap over half of what is needed."""
    return {**of, "measure": lambda p: of["value"](p) - 0.5 * of["limit"](p)}


def depth(of):
    return {**of, "measure": of["value"]}


PAIR = [rib("crank", 0, 0, 150), rib("pump", 0, 350, 110)]
WIDE, BEHIND = [-40, 40], [-60, -14]


def post(p):
    """Beside the left span, p mm left of its middle."""
    return circle("post", -67 - p, 175, 20, WIDE)


def wall(p):
    """Beside the belt's back all along the left span, which leans by asin(20/350); p mm from the cord."""
    u = complex(math.sin(math.asin(20 / 350)), math.cos(math.asin(20 / 350)))
    a, b = (77 * 1j * u + x * u + p * 1j * u for x in (30, 310))
    return polygon("wall", [[v.real, v.imag] for v in (a, b, b + 30j * u, a + 30j * u)], WIDE)


def nose(p):
    """Its tip between the spans, p mm from the middle line."""
    return polygon("nose", [[-p, 150], [0, 100], [10, 180]], [-5, 60])


def boss(p):
    return circle("boss", -60, -p, 30, BEHIND)


def pad(p):
    """In front of nothing: its front face p mm behind the belt's plane."""
    return circle("pad", 0, -70, 40, [-60, -p])


SPAN = ("The belt from crank to pump", "crank", "pump")
CRANK_WRAP = ("The belt on crank", "crank")
LIPS = [rib("crank", 0, 0, 150, flanges={"rear": 6}), PAIR[1]]


def rear_lip(laid, o):
    return disc(laid, "crank", 81, -RIM - 1.5, -RIM, o)


def front_lip(laid, o):
    return disc(laid, "crank", 81, RIM, RIM + 1.5, o)


def rim_of(laid, o):
    return disc(laid, "crank", 80, -16, 16, o)


def hub_of(laid, o):
    return disc(laid, "crank", 50, -20, -14, o)


def bridge(p):
    """Beside the left span: a foot 3.5 mm off its beginning, and a tip p mm off, a little before its middle. Every line
    between two of a few places along the span passes the tip by."""
    u = complex(20 / 350, math.sqrt(350 ** 2 - 20 ** 2) / 350)

    def at(x, off):
        v = 77 * 1j * u + x * u + (BACK + off) * 1j * u
        return [v.real, v.imag]
    return polygon("bridge", [at(-3, 3.5), at(4, 3.5), at(12, 30), at(148, 30), at(163, p), at(178, 30), at(178, 45),
                              at(-3, 45)], WIDE, clearance=2)


def shelf(p):
    """Its face p mm behind the belt's edge, under the left span: flap in the plane brings the belt no nearer to it."""
    return polygon("shelf", [[-90, 60], [-60, 60], [-60, 290], [-90, 290]], [-60, -BELT - p])


POST, WALL = against(PAIR, post, lambda laid, o: along(laid, "crank", o), *SPAN), \
    against(PAIR, wall, lambda laid, o: along(laid, "crank", o), *SPAN)
BRIDGE = against(PAIR, bridge, lambda laid, o: along(laid, "crank", o), *SPAN)
SHELF = against(PAIR, shelf, lambda laid, o: (across(laid, "crank", o)[0], laid.swing(0, laid.span[0] / 2), -BELT, BELT), *SPAN)
INTO_POST = against(PAIR, post, lambda laid, o: across(laid, "crank", o), *SPAN)
UNDER = against(PAIR, lambda p: slot("bar", [-100, -p], [100, -p], 10, [-40, 2]), lambda laid, o: on_pulley(laid, "crank", o),
                *CRANK_WRAP)
BOSS = against(LIPS, lambda p: boss(p), rear_lip, "The rear flange of crank", "crank", near={"lip": 6})
NOSE = against([rib("crank", 0, 0, 150, rim_radius=80, flanges={"front": 1}), PAIR[1]],
               lambda p: circle("stud", 0, -p, 20, [RIM + 0.4, 60]), front_lip,
               "The front flange of crank", "crank", near={"lip": 1})
RIMMED = against([rib("crank", 0, 0, 150, rim_radius=80, width=32), PAIR[1]], lambda p: circle("pad", 0, -70, 40, [-60, -p]), rim_of,
                 "The rim of crank", "crank", near={"is_rim": True, "spare": 16 - BELT})
HUBBED = against([rib("crank", 0, 0, 150, discs=[{"name": "hub", "diameter": 100, "z": [-20, -14]}]), PAIR[1]],
                 lambda p: circle("pin", 0, -p, 12, [-60, -17.6]), hub_of, "The hub of crank", "crank")

# A gap that is the limit keeps it: half a millionth of a metre of grace (src/layout/obstacles.c).
ASKED = dict(threshold=-0.5e-6)
OVER = dict(threshold=0.0)

OBSTACLES = [
    # a circle beside a span, a wall along it, each with the flap that counts there
    Case("TOO_CLOSE", "marginal", fires=18, quiet=24, **POST, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=8.5, quiet=13, **WALL, **ASKED),
    # two places of one obstacle: near the span's beginning it flaps little, near its middle 3.5 mm
    Case("TOO_CLOSE", "marginal", fires=4.5, quiet=6, **{**BRIDGE, "source": "the drive file, line"}, **ASKED),
    # behind the belt, over nearly all of the span
    Case("TOO_CLOSE", "marginal", fires=5, quiet=7, **SHELF, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=14, quiet=18, **half(POST), **OVER),
    Case("FAR_TOO_CLOSE", "fail", fires=4, quiet=8, **half(WALL), **OVER),
    Case("RUNS_INTO", "fail", fires=9, quiet=14, **{**INTO_POST, "measure": POST["value"]}, **OVER),
    # the belt on a pulley: a slot across below the crank, behind and before the belt's middle
    Case("TOO_CLOSE", "marginal", fires=88, quiet=92, **UNDER, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=85.5, quiet=88, **half(UNDER), **OVER),
    Case("RUNS_INTO", "fail", fires=82, quiet=85, **depth(UNDER), **OVER),
    # lips
    Case("TOO_CLOSE", "marginal", fires=79, quiet=90, **BOSS, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=92, quiet=96, **half(NOSE), **OVER),
    # a rim from behind: along the axis
    Case("TOO_CLOSE", "marginal", fires=20.6, quiet=23.1, **RIMMED, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=17.6, quiet=20.6, **half(RIMMED), **OVER),
    Case("RUNS_INTO", "fail", fires=12.6, quiet=17.6, **depth(RIMMED), **OVER),
    Case("TOO_CLOSE", "marginal", fires=60.5, quiet=64, **HUBBED, **ASKED),
]

# ---- the file's own: a gap to keep, what may be taken off, how far others stand -----------------------------------------------


def kept(p):
    return {**post(p), "clearance": 3}


def thin(p):
    return {**post(p), "relief": 2}


OWN = against(PAIR, post, lambda laid, o: along(laid, "crank", o), *SPAN, near={"gap": 10}, limits={"clearance": 10})
KEPT = against(PAIR, kept, lambda laid, o: along(laid, "crank", o), *SPAN)
THIN = against(PAIR, thin, lambda laid, o: along(laid, "crank", o), *SPAN)


def led(ribs):
    """An idler on the back: from eight ribs on it is called wide."""
    def of(obstacle):
        half = ((ribs - 1) * PITCH + 5) / 2
        return against([rib("crank", 0, 0, 150), back("idler", 30, 220, 70), rib("fan", 0, 440, 120)], obstacle,
                       lambda laid, o: disc(laid, "idler", 35, -half, half, o), "The rim of idler", "idler",
                       practice=ribs >= 8, near={"is_rim": True}, belt={"ribs": ribs, "length": 1000, "tolerance": 0.1})
    return of


def bolt_head(p):
    return circle("bolt", 32, 220, 20, [-60, -p])


# Metal that is taken off: 2 mm off a front, 3 mm off the side that faces the crank; of that side 4 mm may go
FACED = against([rib("crank", 0, 0, 150, rim_radius=80, width=32), PAIR[1]],
                lambda p: circle("pad", 0, -70, 40, [-60, 2 - p], taken_off=[{"depth": 2, "towards": "front"}]), rim_of,
                "The rim of crank", "crank", near={"is_rim": True, "spare": 16 - BELT})
REARED = against([rib("crank", 0, 0, 150, rim_radius=80, width=32), PAIR[1]],
                 lambda p: circle("pad", 0, -70, 40, [p - 2, 60], taken_off=[{"depth": 2, "towards": "rear"}]), rim_of,
                 "The rim of crank", "crank", near={"is_rim": True, "spare": 16 - BELT})


def flattened(**more):
    def flat(laid, o):
        plane, flap, low, high = rim_of(laid, o)
        return plane + 3, flap, low, high
    return against([rib("crank", 0, 0, 150, rim_radius=80, width=32), PAIR[1]],
                   lambda p: circle("stud", 0, -p, 20, [-60, 60], taken_off=[{"depth": 3, "towards": "crank"}], **more), flat,
                   "The rim of crank", "crank", near={"is_rim": True, "spare": 16 - BELT, "thick": 17})


FLATTENED, TOO_FLAT = flattened(), flattened(relief=4)

TAKEN = [
    Case("TOO_CLOSE", "marginal", fires=20.6, quiet=23.1, **FACED, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=17.6, quiet=20.6, **half(FACED), **OVER),
    Case("TOO_CLOSE", "marginal", fires=20.6, quiet=23.1, **REARED, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=92, quiet=94, **FLATTENED, **ASKED),
    # 1 mm more may be taken off, 2 mm are missing
    Case("TOO_CLOSE", "marginal", fires=91, quiet=94, **TOO_FLAT, **ASKED),
    Case("RUNS_INTO", "fail", fires=86, quiet=88, **depth(FLATTENED), **OVER),
]

OWNS = [
    Case("TOO_CLOSE", "marginal", fires=22, quiet=28, **{**OWN, "source": "the drive file, line"}, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=15, quiet=20, **{**KEPT, "source": "the drive file, line"}, **ASKED),
    # 2 mm may be taken off, 3.1 mm are missing
    Case("TOO_CLOSE", "marginal", fires=18, quiet=24, **THIN),
    Case("TOO_CLOSE", "marginal", fires=20, quiet=23.5, **led(8)(bolt_head), **ASKED),
    Case("TOO_CLOSE", "marginal", fires=18, quiet=20, **led(7)(bolt_head), **ASKED),
]

# ---- where the belt runs along the crank, and how far a pulley may stand off its plane --------------------------------------------


def floated(plane):
    """A plain idler off the crank's plane: the belt stays where the crank gives it."""
    return [rib("crank", 0, 0, 150), back("idler", 30, 220, 70, plane=plane), rib("fan", 0, 440, 120)]


def beside_idler(p):
    """2 mm off the belt on the idler, its front p mm behind the belt's edge."""
    return circle("boss", 30 + 35 + BACK + RIB_REACH + 2 + 10, 220, 20, [-60, -BELT - p])


FLOATED = against(floated(5), beside_idler, lambda laid, o: on_pulley(laid, "idler", o), "The belt on idler", "idler")
GUIDED = against([{**one, "guides": True} if one["name"] == "idler" else one for one in floated(5)], beside_idler,
                 lambda laid, o: disc(laid, "idler", 35 + BACK + RIB_REACH, 5 - BELT, 5 + BELT, o), "The belt on idler", "idler")

# a face at +-0.3 mm and a pulley at +-0.4 mm: 0.5 mm together
STACKED = [PAIR[0], {**PAIR[1], "stack": [{"name": "face", "kind": "face", "length": -30, "tolerance": 0.3},
                                          {"name": "pulley", "kind": "offset", "length": 30, "tolerance": 0.4}]}]
LEANS = [PAIR[0], {**PAIR[1], "tilt": [0, 2]}]


def behind_pump(p):
    """Beside the pump's middle, its front p mm behind the crank's plane."""
    return circle("lug", 45, 350, 12, [-60, -p])


def stacked_rim(laid, o):
    return disc(laid, "pump", 55, -RIM - 0.5, RIM + 0.5, o)


def leaning_rim(laid, o):
    """About y by 2 deg: what stands at x of the pulley goes back by x tan; the lug reaches from 39 to 51."""
    return disc(laid, "pump", 55, -RIM - 51 * 2 * DEG, RIM - 39 * 2 * DEG, o)


STACK_OFF = against(STACKED, behind_pump, stacked_rim, "The rim of pump", "pump", near={"is_rim": True, "shift": 0.5})
LEAN_OFF = against(LEANS, behind_pump, leaning_rim, "The rim of pump", "pump", near={"is_rim": True, "shift": 51 * 2 * DEG})

# 300 N in both spans at rest and no more while running; a tube 16/10.5 of 100 mm bends towards the crank by F L^2/(2 E I)
# and stays shut
PULL = 2 * 300 * math.cos(math.asin(20 / 350))
BENT = PULL * 0.1 ** 2 / (2 * 207e9 * math.pi / 64 * (0.016 ** 4 - 0.0105 ** 4))
BENDS = [PAIR[0], {**PAIR[1], "standoff": {"outside": 16, "bore": 10.5, "length": 100, "bolt": {
    "thread": "M10", "class": "12.9", "preload": 30000, "scatter": 0}}}]
MEASURED_BELT = {"ribs": 6, "length": 1000, "tolerance": 0}


def below_pump(p):
    """Behind the pump, below its middle."""
    return circle("lug", 0, 320, 12, [-60, -p])


def loaded_rim(laid, o):
    """The shaft leans down: what stands below its middle goes back; the lug reaches from 24 to 36 mm below."""
    return disc(laid, "pump", 55, -RIM - 36 * BENT, RIM, o)


LEAN_LOADED = against(BENDS, below_pump, loaded_rim, "The rim of pump", "pump", belt=MEASURED_BELT,
                      near={"is_rim": True, "shift": 36 * BENT})


def above_pump(p):
    """In front of the pump, above its middle: there the rim comes forward."""
    return circle("lug", 0, 380, 12, [p, 60])


LEAN_FORWARD = against(BENDS, above_pump, lambda laid, o: disc(laid, "pump", 55, -RIM, RIM + 36 * BENT, o), "The rim of pump",
                       "pump", belt=MEASURED_BELT, near={"is_rim": True, "shift": 36 * BENT})


# the idler's own stack may be 0.5 mm off: the belt on it does not go with it
LOOSE_IDLER = against([{k: v for k, v in {**one, "plane": None, "stack": [
    {"name": "face", "kind": "face", "length": -30, "tolerance": 0.5}, {"name": "idler", "kind": "offset", "length": 35}]}.items() if v}
    if one["name"] == "idler" else one for one in floated(5)], beside_idler, lambda laid, o: on_pulley(laid, "idler", o),
    "The belt on idler", "idler")

LIE = [
    Case("FAR_TOO_CLOSE", "fail", fires=1.8, quiet=4, **half(FLOATED), **OVER),
    Case("TOO_CLOSE", "marginal", fires=4, quiet=7, **FLOATED, **ASKED,
         silent_on=[FLOATED["drive"](6.8).replace("plane: 5", "plane: -5")]),
    Case("TOO_CLOSE", "marginal", fires=4, quiet=7, **LOOSE_IDLER, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=-1, quiet=3, **GUIDED, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=17.6, quiet=18.5, **STACK_OFF, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=14, quiet=16, **half(STACK_OFF), **OVER),
    Case("TOO_CLOSE", "marginal", fires=18, quiet=20, **LEAN_OFF, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=17, quiet=18, **LEAN_LOADED, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=17, quiet=18, **LEAN_FORWARD, **ASKED),
    Case("RUNS_INTO", "fail", fires=12, quiet=14, **depth(LEAN_OFF), **OVER),
]

# ---- with an arm: at rest, running, and at both ends of its travel ----------------------------------------------------------------

ARM_LENGTH, PIVOT, REST, TRAVEL = 110, complex(-120, 75), 40, 32


def arm_end(wind, side):
    """A stud p mm from the tensioner's centre, beyond the end of its swing."""
    centre = PIVOT + ARM_LENGTH * np.exp(1j * DEG * (REST + wind))
    way = side * 1j * np.exp(1j * DEG * (REST + wind))

    def stud(p):
        at = centre + p * way
        return circle("stud", float(at.real), float(at.imag), 10, [11, 40])
    drive = on(ARM, {"obstacles": lambda p: [stud(p)]})

    def of(p):
        return Near(stud(p), p - 5 - 47.5, 0.0, -RIM, RIM, is_rim=True)
    return dict(drive=drive, value=lambda p: of(p).gap * MM, limit=6 * MM, subject={"pulley": "tensioner", "other": "stud"},
                places=lambda p: of(p).places("The rim of tensioner"), measure=lambda p: (of(p).gap - of(p).needed) * MM)


def arm_at(speed):
    """A stud straight ahead of the tensioner where the nominal belt holds it, p mm from its centre."""
    wind = reference.solve(reference.Drive(text(ARM)), speed).wind

    def stud(p):
        at = PIVOT + (ARM_LENGTH + p) * np.exp(1j * (DEG * REST + wind))
        return circle("stud", float(at.real), float(at.imag), 10, [11, 40])

    def of(p):
        return Near(stud(p), p - 5 - 47.5, 0.0, -RIM, RIM, is_rim=True)
    return dict(drive=on(ARM, {"obstacles": lambda p: [stud(p)]}), value=lambda p: of(p).gap * MM, limit=6 * MM,
                subject={"pulley": "tensioner", "other": "stud"}, places=lambda p: of(p).places("The rim of tensioner"),
                measure=lambda p: (of(p).gap - of(p).needed) * MM)


ARMS = [
    Case("TOO_CLOSE", "marginal", fires=56, quiet=62, **arm_at(0.0), **ASKED),
    Case("TOO_CLOSE", "marginal", fires=56, quiet=62, **arm_at(6000 * RPM), **ASKED),
    Case("TOO_CLOSE", "marginal", fires=56, quiet=62, **arm_end(0, -1), **ASKED),
    Case("TOO_CLOSE", "marginal", fires=56, quiet=62, **arm_end(TRAVEL, 1), **ASKED),
]

# ---- with a lock: each belt in tolerance sets the slot otherwise -----------------------------------------------------------------

LOCKED_AT = {k: locked_at(SLIDE(1325), k) for k in (-4, 0, 4)}
assert LOCKED_AT[-4][1] < LOCKED_AT[0][1] - 1 and LOCKED_AT[4][1] > LOCKED_AT[0][1] + 1  # mm along the slot, to the right


def lock_end(p):
    """A stud p mm left of the idler's centre where the shortest belt holds it; the belt lies on the idler's right."""
    return circle("stud", -40 + LOCKED_AT[-4][1] - p, 210, 10, [11, 40])


def of_lock(p):
    return Near(lock_end(p), p - 5 - 35, 0.0, -RIM, RIM, is_rim=True)


LOCK = dict(drive=lambda p: SLIDE(1325) + text({"obstacles": [lock_end(p)]}), value=lambda p: of_lock(p).gap * MM, limit=lambda p: 6 * MM,
            subject={"pulley": "idler", "other": "stud"}, places=lambda p: of_lock(p).places("The rim of idler"),
            measure=lambda p: (of_lock(p).gap - of_lock(p).needed) * MM, tolerance=1e-5)
LOCKS = [
    Case("TOO_CLOSE", "marginal", fires=44, quiet=47, **LOCK, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=42, quiet=44, **half(LOCK), **OVER),
]

# ---- what is told frees it ----------------------------------------------------------------------------------------------------------

NUMBER = r"(-?[0-9.]+) mm"
WAYS = {"relief": rf"relieve \w+ by {NUMBER} from z = {NUMBER} to {NUMBER}", "face": rf"take {NUMBER} off the (front|rear) of",
        "trim": rf"trim that flange by {NUMBER}", "narrower": rf"make the pulley {NUMBER} narrower at its (front|rear)"}


def smaller(o, by):
    """The same with so much taken off all around; None: nothing is left."""
    if "circle" in o:
        left = o["circle"]["diameter"] - 2 * by
        return {**o, "circle": {**o["circle"], "diameter": left}} if left > 0 else None
    if "slot" in o:
        left = o["slot"]["width"] - 2 * by
        return {**o, "slot": {**o["slot"], "width": left}} if left > 0 else None
    shape = Polygon(o["polygon"]).buffer(-by, join_style=2)
    return None if shape.is_empty else {**o, "polygon": [list(c) for c in shape.exterior.coords[:-1]]}


def relieved(o, by, z0, z1):
    low, high = o["z"]
    parts = [(o, [low, z0], "rear"), (smaller(o, by), [max(z0, low), min(z1, high)], "middle"), (o, [z1, high], "front")]
    return [{**one, "name": f"{o['name']} {name}", "z": z} for one, z, name in parts if one and z[1] - z[0] > 1e-9]


class Cure:
    """A way out that a finding names, done as it is printed: it must free the piece, half of it must not.

    of: what `against` gives; way: which of WAYS must be named"""

    def __init__(self, wording, of, p, way, pulleys, obstacle, pulley=None):
        self.wording, self.of, self.p, self.way = wording, of, p, way
        self.pulleys, self.obstacle, self.pulley = pulleys, obstacle, pulley

    def drive(self, share, found):
        numbers = [float(x) for x in found.groups() if re.fullmatch(r"-?[0-9.]+", x)]
        o, pulleys = self.obstacle(self.p), [dict(one) for one in self.pulleys]
        by, one = numbers[0] * share, next((x for x in pulleys if x["name"] == self.pulley), None)
        if self.way == "relief":
            obstacles = relieved(o, by, *numbers[1:])
        elif self.way == "face":
            obstacles = [{**o, "z": [o["z"][0], o["z"][1] - by] if found[2] == "front" else [o["z"][0] + by, o["z"][1]]}]
        else:
            obstacles = [o]
        if self.way == "trim":
            one["flanges"] = {end: height - by for end, height in one["flanges"].items()}
        if self.way == "narrower":  # the file has both sides alike
            one["width"] = 2 * (16 - by)
        return fixed(pulleys, obstacles=obstacles)(self.p)

    def check_finding(self):
        name = f"{self.wording}: {self.way} at {self.p}"
        told = harness.found(judge(self.of["drive"](self.p)), self.wording, **self.of["subject"])
        harness.expect(f"{name} fires", told is not None)
        found = told and re.search(WAYS[self.way], told["text"])
        harness.expect(f"{name} is named", found, told and told["text"])
        if not found:
            return
        piece = re.split(" passes | runs ", told["text"])[0]
        for share, stays in ((1, False), (0.5, True)):
            after = [f["text"] for f in judge(self.drive(share, found))["findings"]
                     if f["rule"] == "obstacle" and f["text"].startswith(piece)]
            harness.expect(f"{name}: {'half of it' if stays else 'it'} {'does not do' if stays else 'frees it'}",
                           bool(after) == stays, told["text"], *after)

    def check_neighbours(self):
        pass


NOSED = [rib("crank", 0, 0, 150, rim_radius=80, flanges={"front": 1}), PAIR[1]]
PADDED = [rib("crank", 0, 0, 150, rim_radius=80, width=32), PAIR[1]]
TRIMMED = [rib("crank", 0, 0, 150, flanges={"rear": 6}), PAIR[1]]


def stud(p):
    return circle("stud", 0, -p, 20, [RIM + 0.4, 60])


def bar(p):
    return slot("bar", [-100, -p], [100, -p], 10, [-40, 2])


CURES = [Cure("TOO_CLOSE", POST, 17.95, "relief", PAIR, post), Cure("FAR_TOO_CLOSE", POST, 13.95, "relief", PAIR, post),
         Cure("RUNS_INTO", INTO_POST, 8.95, "relief", PAIR, post), Cure("TOO_CLOSE", WALL, 8.5, "relief", PAIR, wall),
         Cure("FAR_TOO_CLOSE", WALL, 4, "relief", PAIR, wall), Cure("TOO_CLOSE", UNDER, 88, "relief", PAIR, bar),
         Cure("RUNS_INTO", UNDER, 82, "relief", PAIR, bar), Cure("TOO_CLOSE", RIMMED, 20.6, "face", PADDED, pad),
         Cure("RUNS_INTO", RIMMED, 12.6, "face", PADDED, pad), Cure("TOO_CLOSE", RIMMED, 20.6, "narrower", PADDED, pad, "crank"),
         Cure("TOO_CLOSE", BOSS, 79, "trim", TRIMMED, boss, "crank"), Cure("TOO_CLOSE", BOSS, 79, "face", TRIMMED, boss)]


def swing_past(p):
    """A stud ahead of the middle of the arm's travel, p mm from the tensioner's centre there."""
    at = PIVOT + (ARM_LENGTH + p) * np.exp(1j * DEG * (REST + 16))
    return circle("stud", float(at.real), float(at.imag), 10, [11, 40])


PAST = Near(swing_past(55), 55 - 5 - 47.5, 0.0, -RIM, RIM, is_rim=True)

# ---- no more than there is ----------------------------------------------------------------------------------------------------------


def pin(p):
    """2 mm thick, beside the belt: 11 mm cannot be taken off it."""
    return circle("pin", -67 - p, 175, 2, WIDE, clearance=12)


PIN = against(PAIR, pin, lambda laid, o: along(laid, "crank", o), *SPAN)

# ---- what moves with the arm, and the room of tools -------------------------------------------------------------------------------


def at_arm(angle, along_arm, off):
    """A point beside the arm's middle line at an angle."""
    at = PIVOT + (along_arm + 1j * off) * np.exp(1j * DEG * angle)
    return [float(at.real), float(at.imag)]


# behind the belt; as it is with the arm in its free position
ARM_BODY = {"name": "arm body", "slot": {"from": [-120, 75], "to": at_arm(REST, 60, 0), "width": 30}, "z": [-40, -20],
            "moves_with": "arm"}


def beyond_stop(p):
    """p mm from the arm's body at its stop."""
    return circle("stud", *at_arm(REST + TRAVEL, 40, 15 + 5 + p), 10, [-30, -24])


def body_case(p):
    return Near(beyond_stop(p), p, 0.0, -40, -20, thick=math.inf)


SWEPT_BODY = dict(drive=on(ARM, {"obstacles": lambda p: [ARM_BODY, beyond_stop(p)]}), value=lambda p: body_case(p).gap * MM,
                  limit=lambda p: 6 * MM, subject={"pulley": "arm body", "other": "stud"},
                  places=lambda p: body_case(p).places("arm body, which moves with the arm,"),
                  measure=lambda p: (body_case(p).gap - body_case(p).needed) * MM)


def stepped_body(p):
    """The same as a polygon, whose corners pass a lug in the middle of the swing at p mm."""
    end = math.sqrt((60 - p) ** 2 - 100)
    return {**ARM_BODY, "slot": None, "polygon": [at_arm(REST, x, y) for x, y in ((0, -10), (end, -10), (end, 10), (0, 10))]}


def in_the_way(p):
    return polygon("lug", [at_arm(REST + 16, x, y) for x, y in ((60, -4), (70, -4), (70, 4), (60, 4))], [-30, -24])


def lug_case(p):
    return Near(in_the_way(p), p, 0.0, -40, -20)


BODY_END = dict(drive=on(ARM, {"obstacles": lambda p: [{k: v for k, v in stepped_body(p).items() if v}, in_the_way(p)]}),
                value=lambda p: lug_case(p).gap * MM, limit=lambda p: 6 * MM, subject={"pulley": "arm body", "other": "lug"},
                places=lambda p: lug_case(p).places("arm body, which moves with the arm,"), tolerance=1e-5,
                measure=lambda p: (lug_case(p).gap - lug_case(p).needed) * MM)


def on_crank(p):
    """A paddle on the arm, behind it: at the stop its edge is p mm from the crank's hub."""
    tip = 50 + 8 + p  # of the hub's middle
    centre = PIVOT * (1 - tip / abs(PIVOT)) + 0j
    free = (centre - PIVOT) * np.exp(-1j * DEG * TRAVEL) + PIVOT
    return {**circle("paddle", float(free.real), float(free.imag), 16, [-40, -16]), "moves_with": "arm"}


def socket(p, **more):
    """Behind the crank's hub, p mm from it."""
    return circle("socket", 0, -(50 + 10 + p), 20, [-40, -15], tool=True, **more)


HUBS = [rib("crank", 0, 0, 150, discs=[{"name": "hub", "diameter": 100, "z": [-20, -14]}]), PAIR[1]]


def tool_case(wording, level, fires, quiet, drive, gap, piece, subject, limit=0.0, **more):
    depth = {"depth": lambda p: shown(-gap(p) * MM, "MM", 1)}
    return Case(wording, level, drive, fires, quiet, value=lambda p: gap(p) * MM, limit=limit * MM, subject=subject,
                places=lambda p: {"piece": piece, **{k: v(p) for k, v in depth.items()}}, tolerance=1e-5, **more)


def wrench(p):
    """Room beside the tensioner, on the arm: p mm of it from the lug in the middle of the swing."""
    at = at_arm(REST, 60 - 8 - p, 0)
    return {**circle("wrench", *at, 16, [-40, -20]), "tool": True, "moves_with": "arm"}


def stopped(p):
    """A tool's room p mm from the tensioner's rim at its stop, where it is nearest."""
    at = at_arm(REST + TRAVEL, ARM_LENGTH, 47.5 + 6 + p)
    return circle("lever", *at, 12, [RIM - 1, 40], tool=True)


BODIES = [
    Case("TOO_CLOSE", "marginal", fires=12, quiet=19, **{**PIN, "source": "the drive file, line"}, **ASKED),
    Case("TOO_CLOSE", "marginal", fires=4, quiet=8, **SWEPT_BODY, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=2, quiet=4, **half(SWEPT_BODY), **OVER),
    Case("TOO_CLOSE", "marginal", fires=4, quiet=8, **BODY_END, **ASKED),
    Case("FAR_TOO_CLOSE", "fail", fires=2, quiet=4, **half(BODY_END), **OVER),
    tool_case("TOOL_BLOCKED", "fail", -2, 1, fixed(HUBS, obstacles=lambda p: [socket(p)]), lambda p: p, "The hub of crank",
              {"pulley": "crank", "other": "socket"}, threshold=-0.5e-6),
    tool_case("TOOL_TIGHT", "marginal", 2, 4, fixed(HUBS, obstacles=lambda p: [socket(p, clearance=3)]), lambda p: p,
              "The hub of crank", {"pulley": "crank", "other": "socket"}, limit=3, threshold=(3 - 0.5e-3) * MM),
    # in the middle of the swing, and at its end alone
    tool_case("TOOL_BLOCKED", "fail", -2, 1, on(ARM, {"obstacles": lambda p: [wrench(p), in_the_way(p)]}), lambda p: p, "lug",
              {"pulley": "lug", "other": "wrench"}),
    tool_case("TOOL_BLOCKED", "fail", -0.6, 1, on(ARM, {"obstacles": lambda p: [stopped(p)]}), lambda p: p,
              "The rim of tensioner", {"pulley": "tensioner", "other": "lever"}),
]


def studs(p):
    """p studs before the crank, in rows, 2 mm off its rim: none where the belt lies on it."""
    return [circle(f"stud {k}", -30 + 6 * (k % 11), 8 + 5 * (k // 11), 2, [RIM + 2, 40]) for k in range(int(p))]


COUNTED = [
    # 64 are listed
    Case("MORE_CONFLICTS", "note", fixed(PAIR, obstacles=studs), 70, 64, value=lambda p: p - 64, limit=64),
    Case("MORE_CONFLICTS", "note", fixed(PAIR, obstacles=studs), 65, value=lambda p: p - 64, limit=64),
    # the redline is 6000
    Case("DUTY_OVER_REDLINE", "marginal", on(ARM, {"duty": lambda p: [[2000, 0.97], [p, 0.03]]}), 6300, 5900,
         value=lambda p: p * RPM, limit=6000 * RPM, threshold=6000 * RPM, places=lambda p: {"share": "3.0 %"}),
    Case("DUTY_OVER_REDLINE", "marginal", on(ARM, {"duty": lambda p: [[2000, 0.9], [6300, 0.075], [p, 0.025]]}), 7000, None,
         value=lambda p: p * RPM, limit=6000 * RPM, places=lambda p: {"share": "2.5 %"}),
    # it idles at 800 rpm; standing still is no wrong unit
    Case("DUTY_UNDER_IDLE", "marginal", on(ARM, {"duty": lambda p: [[p, 0.03], [2000, 0.97]]}), 750, 820,
         value=lambda p: p * RPM, limit=800 * RPM, threshold=800 * RPM, places=lambda p: {"share": "3.0 %"},
         silent_on=[on(ARM, {"duty": lambda p: [[p, 0.03], [2000, 0.97]]})(0)]),
]

BETWEEN = [
    Cure("TOO_CLOSE", POST, 18, "relief", PAIR, post),
    # Between the ends of the arm's travel its pulley passes a stud at 2.5 mm, less than half of what is asked for.
    Case("FAR_TOO_CLOSE", "fail", on(ARM, {"obstacles": [swing_past(55)], "belt.length": 1024}), 0,
         value=lambda p: PAST.gap * MM, limit=6 * MM, subject={"pulley": "tensioner", "other": "stud"},
         places=lambda p: PAST.places("The rim of tensioner")),
]

CASES = OBSTACLES + OWNS + TAKEN + LIE + ARMS + LOCKS + CURES + BETWEEN + BODIES + COUNTED
