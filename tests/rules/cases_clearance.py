"""What of the drive comes too near to what of it: pulleys, spans and each other.

Distances are worked out here in millimetres from the centres and the touch points of tests/reference/drive_reference.py:
closed forms where there are any, else the least of many points along a span, with the flap at each of them. Obstacles:
cases_obstacles.py.
"""
import math

import numpy as np
from scipy.optimize import brentq, minimize_scalar
from shapely.geometry import LineString

from drives import ARM, ENGINE, LOCKED, at_p, on, same, text
from harness import DEG, MM, Case, Sample, reference, shown

PITCH, BACK, THICK = 3.56, 0.8, 4.5  # of PK: ISO 9982; cord to back, whole belt
RIB_REACH = THICK - BACK  # from the cord to the tips of the ribs
FLAP, WISHED = 0.01, 6.0

# ---- a belt that is laid ------------------------------------------------------------------------------------------------------


class Laid:
    """Centres, spans and touch points of a drive's text, mm. A point that walks along a span has the belt's two faces to
    its sides: back on one, ribs on the other."""

    def __init__(self, drive_text, wind=0.0, settings=None, flap=FLAP):
        self.drive, self.flap = reference.Drive(drive_text), flap
        for i, s in (settings or {}).items():
            self.drive.settings[i] = s * MM
        self.path = reference.Path(self.drive.centres(wind)[0], self.drive.radius, self.drive.sense)
        self.names = [p.name for p in self.drive.pulleys]
        self.c, self.r = self.path.centre / MM, self.path.radius / MM
        self.u, self.span, self.length = self.path.u, self.path.span / MM, float(self.path.length) / MM
        self.start = self.c + self.r * 1j * self.u

    def index(self, name):
        return self.names.index(name)

    def point(self, i, x):
        return self.start[i] + x * self.u[i]

    def side(self, i, p):
        """What the belt reaches towards a point: ribs lie to the right of travel of a crank that turns clockwise."""
        left = ((p - self.start[i]) * self.u[i].conjugate()).imag
        return RIB_REACH if left * self.drive.sense < 0 else BACK

    def swing(self, i, x):
        return self.flap * self.span[i] * math.sin(math.pi * min(max(x / self.span[i], 0), 1))

    def on_belt(self, a, p):
        """Whether the belt lies on pulley a where it looks at p."""
        turn = np.angle((p - self.c[a]) / (self.start[a] - self.c[a])) * np.sign(self.r[a])  # back from where it leaves
        return turn % (2 * math.pi) <= self.path.wrap[a]

    def outside(self, a, p, rim):
        """Radius of what pulley a shows to p."""
        belt = abs(self.r[a]) + (BACK if not self.drive.pulleys[a].back else RIB_REACH)
        return max(rim, belt) if self.on_belt(a, p) else rim

    def pulleys(self, a, b, rim_a, rim_b):
        """Gap, mm."""
        a, b = self.index(a), self.index(b)
        return abs(self.c[a] - self.c[b]) - self.outside(a, self.c[b], rim_a) - self.outside(b, self.c[a], rim_b)

    def pulley_span(self, a, i, rim):
        """(gap after flap, flap) where that is least, mm."""
        a, i = self.index(a), self.index(i)

        def clear(x):
            p = self.point(i, x)
            return abs(self.c[a] - p) - self.outside(a, p, rim) - self.side(i, self.c[a]) - self.swing(i, x)
        x = least(clear, self.span[i])
        return clear(x), self.swing(i, x)

    def spans(self, i, j):
        """(gap after both flaps, flaps together) where that is least, mm."""
        i, j = self.index(i), self.index(j)

        def across(x):
            def clear(y):
                p, q = self.point(i, x), self.point(j, y)
                return abs(p - q) - self.side(i, q) - self.side(j, p) - self.swing(i, x) - self.swing(j, y)
            y = least(clear, self.span[j], 8)  # distance less flap is convex in both places
            return clear(y), y
        x = least(lambda x: across(x)[0], self.span[i], 8)
        clear, y = across(x)
        return clear, self.swing(i, x) + self.swing(j, y)

    def crossing(self, i, j):
        """How far the nearest end of two spans lies past their crossing, mm; None: they do not cross."""
        i, j = self.index(i), self.index(j)
        a, b = ((p.real, p.imag) for p in (self.start[i], self.point(i, self.span[i]))), \
            ((p.real, p.imag) for p in (self.start[j], self.point(j, self.span[j])))
        at = LineString(list(a)).intersection(LineString(list(b)))
        if at.is_empty:
            return None
        at = complex(at.x, at.y)
        return min(abs(at - p) for k in (i, j) for p in (self.start[k], self.point(k, self.span[k])))


def least(clear, length, steps=40):
    """Where a function of the way along a span is least: many points, then golden section about the best."""
    grid = np.linspace(0, length, steps + 1)
    k = int(np.argmin([clear(x) for x in grid]))
    low, high = grid[max(k - 1, 0)], grid[min(k + 1, steps)]
    best = minimize_scalar(clear, bounds=(low, high), method="bounded", options={"xatol": 1e-9})
    return min((best.x, grid[k]), key=clear)


# ---- drives ---------------------------------------------------------------------------------------------------------------------


def fixed(pulleys, **more):
    """A drive of p without a tensioner, whose belt is as long as its path: it is taut at its measuring tension."""
    def drive(p):
        whole = {"snub": 1, "engine": ENGINE, "belt": {"ribs": 6, "length": 1000, "tolerance": 0.1},
                 **at_p({"pulleys": pulleys, **more}, p)}
        whole["belt"]["length"] = round(Laid(text(whole)).length - 2 * math.pi * 2.0, 6)
        return text(whole)
    return drive


def rib(name, x, y, diameter, **more):
    return {"name": name, "at": [x, y], "diameter": diameter, **({"role": "crank"} if name == "crank" else {}), **more}


def back(name, x, y, diameter, **more):
    return rib(name, x, y, diameter, side="back", **more)


def turned_round(pulleys):
    """The same drive in a mirror: the crank turns the other way."""
    def flip(one):
        out = {**one, "at": lambda p: [-at_p(one["at"], p)[0], at_p(one["at"], p)[1]]}
        return {**out, "rotation": "ccw"} if one.get("role") else out
    return [flip(one) for one in pulleys]


GAP = dict(limit=WISHED * MM, source="rule of thumb")
OWN_GAP = dict(limit_key=("clearance", "MM"), default=WISHED * MM)


def span(i, j):
    return f"{i} - {j}"


def gap_places(one, two, flap=0.0, arm=""):
    """A span is called by both its pulleys; flap that shows as nothing is not told."""
    def name(thing, first):
        words = f"he span from {thing[0]} to {thing[1]}" if isinstance(thing, tuple) else thing
        return words if not isinstance(thing, tuple) else ("T" if first else "t") + words
    return {"one": name(one, True), "two": name(two, False), "arm": arm,
            "flap": f" after {shown(flap * MM, 'MM', 1)} of belt flap" if flap >= 0.05 else ""}


# ---- gaps: pulleys ----------------------------------------------------------------------------------------------------------------


def two_pulleys(**more):
    """Their centres p apart; rims of 75 and 55 mm, nothing between them."""
    return fixed([rib("crank", 0, 0, 150, **more), rib("pump", 0, same, 110)])


def squeezed(idler="back", **more):
    """Two idlers that press the spans together, p mm from the middle each: belt lies on both where they face."""
    return fixed([rib("crank", 0, 0, 150), back("left", lambda p: -p, 220, 70, **more), rib("fan", 0, 440, 120),
                  back("right", same, 220, 70, **more)])


# A pulley on the right span, its belt outside; an idler p from the middle line presses the left span towards it.
FACING = [rib("crank", 0, 0, 150), back("idler", same, 220, 70), rib("fan", 0, 440, 120), rib("post", 60, 220, 60)]
TO_BELT = 35 + BACK + RIB_REACH  # outside of the belt on an idler of 70

PULLEYS = [
    # centres less radii
    Case("GAP_SMALL", "marginal", two_pulleys(), 134, 140, subject={"pulley": "crank", "other": "pump"},
         value=lambda p: (p - 130) * MM, threshold=WISHED * MM, places=lambda p: gap_places("crank", "pump"),
         silent_on=[two_pulleys()(129)], **GAP, **OWN_GAP),
    Case("GAP_SMALL", "marginal", two_pulleys(rim_radius=80), 139, 145, subject={"pulley": "crank", "other": "pump"},
         value=lambda p: (p - 135) * MM, threshold=WISHED * MM, places=lambda p: gap_places("crank", "pump"), **GAP),
    # in inches; the limit is the file's own
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, "6 in"), {**rib("pump", 0, 0, "4 in"), "at": [
        0, lambda p: f"{p} in"]}], limits={"clearance": "0.375 in"}), 5.26, 5.5, subject={"pulley": "crank", "other": "pump"},
         value=lambda p: (p - 5) * 25.4 * MM, limit=0.375 * 25.4 * MM, threshold=0.375 * 25.4 * MM,
         places=lambda p: gap_places("crank", "pump"), source="the drive file, line"),
    # on different planes: rims of 22.8 mm that share less and less of the axis
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, 150), rib("pump", 0, 134, 110, plane=same)]), 21, 24,
         subject={"pulley": "crank", "other": "pump"}, value=lambda p: 4 * MM, measure=lambda p: p * MM,
         threshold=(5 * PITCH + 5) * MM, places=lambda p: gap_places("crank", "pump"), **GAP),
    # the same with a stack that may be 0.3 and 0.4 mm off, 0.5 mm together
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, 150), rib("pump", 0, 134, 110, stack=[
        {"name": "face", "kind": "face", "length": -30, "tolerance": 0.3},
        {"name": "pulley", "kind": "offset", "length": lambda p: 30 + p, "tolerance": 0.4}])]), 23, 24,
         subject={"pulley": "crank", "other": "pump"}, value=lambda p: 4 * MM, measure=lambda p: p * MM,
         threshold=(5 * PITCH + 5 + 0.5) * MM, places=lambda p: gap_places("crank", "pump"), **GAP),
    # and with a pump that leans by 3 deg towards the crank: its rim there comes 55 x 3 deg nearer
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, 150), rib("pump", 0, 134, 110, plane=same, tilt=[3, 0])]), 25, 26,
         subject={"pulley": "crank", "other": "pump"}, value=lambda p: 4 * MM, measure=lambda p: p * MM,
         threshold=(5 * PITCH + 5 + 55 * 3 * DEG) * MM, places=lambda p: gap_places("crank", "pump"), **GAP),
    # belt lies on the idler where it faces the other's rim
    Case("GAP_SMALL", "marginal", fixed(FACING), -14.5, -18, subject={"pulley": "idler", "other": "post"},
         value=lambda p: (60 - p - TO_BELT - 30) * MM, threshold=WISHED * MM,
         places=lambda p: gap_places("idler", "post"), **GAP, **OWN_GAP),
    # on both; the same seen in a mirror
    Case("GAP_SMALL", "marginal", squeezed(), 41, 44, subject={"pulley": "left", "other": "right"},
         value=lambda p: 2 * (p - TO_BELT) * MM, threshold=WISHED * MM, places=lambda p: gap_places("left", "right"), **GAP),
    Case("GAP_SMALL", "marginal", fixed(turned_round(FACING)), -14.5, -18, subject={"pulley": "idler", "other": "post"},
         value=lambda p: (60 - p - TO_BELT - 30) * MM, threshold=WISHED * MM, places=lambda p: gap_places("idler", "post"),
         **GAP),
    # rims that stand higher than the belt
    Case("GAP_SMALL", "marginal", squeezed(rim_radius=44), 46, 49, subject={"pulley": "left", "other": "right"},
         value=lambda p: 2 * (p - 44) * MM, threshold=WISHED * MM, places=lambda p: gap_places("left", "right"), **GAP),
    Case("TOUCHES", "fail", two_pulleys(), 128, 133, subject={"pulley": "crank", "other": "pump"},
         value=lambda p: (p - 130) * MM, threshold=0.0, places=lambda p: gap_places("crank", "pump"), **GAP),
]


def lipped(**lips):
    return fixed([rib("crank", 0, 0, 150, flanges=lips), rib("pump", 0, same, 110, flanges=lips)])


HUB = {"discs": [{"name": "hub", "diameter": 130, "z": [8, 14]}]}

# What stands higher than a pulley's rim, each where it stands along the axis.
STACKS = [
    Case("GAP_SMALL", "marginal", lipped(front=4, rear=7), 148, 152, subject={"pulley": "crank", "other": "pump"},
         value=lambda p: (p - 130 - 14) * MM, threshold=WISHED * MM, places=lambda p: gap_places("crank", "pump"), **GAP),
    # the lip of one past the face of the other, whose plane lies 2 mm in front: lip against rim
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, 150, flanges={"front": 7, "width": 1.5}),
                                      rib("pump", 0, same, 110, plane=2)]), 140, 145,
         subject={"pulley": "crank", "other": "pump"}, value=lambda p: (p - 130 - 7) * MM, threshold=WISHED * MM,
         places=lambda p: gap_places("crank", "pump"),
         silent_on=[fixed([rib("crank", 0, 0, 150, flanges={"rear": 7, "width": 1.5}),
                           rib("pump", 0, same, 110, plane=2)])(140)], **GAP),
    # a hub of 130 mm on the pump, in front of the belt's middle
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, 150), rib("pump", 0, same, 110, **HUB)]), 144, 149,
         subject={"pulley": "crank", "other": "pump"}, value=lambda p: (p - 75 - 65) * MM, threshold=WISHED * MM,
         places=lambda p: gap_places("crank", "pump"),
         silent_on=[fixed([rib("crank", 0, 0, 150, width=14), rib("pump", 0, same, 110, width=14, **HUB)])(144)], **GAP),
    # the lips of an idler against the span behind it
    Case("GAP_SMALL", "marginal", fixed([rib("crank", 0, 0, 150), back("idler", same, 220, 70, flanges={"front": 9, "width": 1.5},
                                      width=20), rib("fan", 0, 440, 120)]), 13, 6,
         subject={"pulley": "idler", "other": span("fan", "crank")}, threshold=WISHED * MM,
         value=lambda p: Laid(inside()(p)).pulley_span("idler", "fan", 44)[0] * MM,
         places=lambda p: gap_places("idler", ("fan", "crank"), Laid(inside()(p)).pulley_span("idler", "fan", 44)[1]),
         silent_on=[fixed([rib("crank", 0, 0, 150), back("idler", same, 220, 70, flanges={"front": 9, "width": 1.5},
                           width=22), rib("fan", 0, 440, 120)])(13)], **GAP),
]

# ---- gaps: a pulley and a span ----------------------------------------------------------------------------------------------------


def inside(**more):
    """An idler inside of the loop, p right of the middle: its belt and the flapping right span."""
    return fixed([rib("crank", 0, 0, 150), back("idler", same, 220, 70), rib("fan", 0, 440, 120)], **more)


def beside(drive, rim=35, flap=FLAP, names=("idler", "fan", "crank")):
    """Value and places of a pulley against a span."""
    def of(p):
        return Laid(drive(p), flap=flap).pulley_span(names[0], names[1], rim)
    return dict(value=lambda p: of(p)[0] * MM, subject={"pulley": names[0], "other": span(*names[1:])},
                places=lambda p: gap_places(names[0], names[1:], of(p)[1]))


MIRRORED = fixed(turned_round([rib("crank", 0, 0, 150), back("idler", same, 220, 70), rib("fan", 0, 440, 120)]))
# The belt runs down into a notch, under two idlers and up again; its backs face, 2 p apart at the top.
NOTCH = [rib("crank", -80, 0, 60), rib("upper", lambda p: -42 - p, 400, 80), back("one", -30, 100, 50),
         back("two", 30, 100, 50), rib("right", lambda p: 42 + p, 400, 80), rib("lower", 80, 0, 60)]

PLANE_OF_SPAN = fixed([rib("crank", 0, 0, 150), back("idler", 17, 220, 70, plane=same, guides=True),
                       rib("fan", 0, 440, 120)])
# A plain face does not take the belt along: it stays beside the other span, wherever the idler stands.
LEFT_BEHIND = fixed([rib("crank", 0, 0, 150), back("idler", 17, 220, 70, plane=same), rib("fan", 0, 440, 120)])

SPANS = [
    Case("GAP_SMALL", "marginal", inside(), 19, 10, threshold=WISHED * MM, **beside(inside()), **GAP, **OWN_GAP),
    Case("GAP_SMALL", "marginal", MIRRORED, 19, 10, threshold=WISHED * MM, **beside(MIRRORED), **GAP),
    # flap of the file's own
    Case("GAP_SMALL", "marginal", inside(limits={"flap": 0.02}), 14, 6, threshold=WISHED * MM,
         **beside(inside(limits={"flap": 0.02}), flap=0.02), **GAP),
    Case("GAP_SMALL", "marginal", inside(limits={"flap": 0}), 23, 14, threshold=WISHED * MM,
         **beside(inside(limits={"flap": 0}), flap=0.0), **GAP),
    # the rim is higher than the belt that lies on it
    Case("GAP_SMALL", "marginal",
         fixed([rib("crank", 0, 0, 150), back("idler", same, 220, 70, rim_radius=50), rib("fan", 0, 440, 120)]), 8, 0,
         threshold=WISHED * MM, **beside(inside(), rim=50), **GAP),
    # out of the span's plane: half of the belt's 21.36 mm on each; past that only the rim is left beside it, 4.5 mm lower
    Case("GAP_SMALL", "marginal", PLANE_OF_SPAN, 21, 23, **{**beside(inside()), "value": lambda p: beside(inside())["value"](17),
                                                        "places": lambda p: beside(inside())["places"](17)},
         measure=lambda p: p * MM, threshold=6 * PITCH * MM, **GAP),
    Case("GAP_SMALL", "marginal", LEFT_BEHIND, 30, **{**beside(inside()), "value": lambda p: beside(inside())["value"](17),
                                                    "places": lambda p: beside(inside())["places"](17)}, **GAP),
    Case("TOUCHES", "fail", inside(), 26, 20, threshold=0.0, **beside(inside()), **GAP),
]

# ---- gaps: two spans ----------------------------------------------------------------------------------------------------------------

# Four idlers pinch the belt: two spans of 400 mm side by side, p apart; each flaps by a hundredth in the middle.
def hairpin(p):
    return p / 2 + 35 + BACK


HAIRPIN = fixed([rib("crank", 0, -150, 150), back("low left", lambda p: -hairpin(p), 50, 70),
                 back("high left", lambda p: -hairpin(p), 450, 70), rib("fan", 0, 650, 150),
                 back("high right", hairpin, 450, 70), back("low right", hairpin, 50, 70)])
BETWEEN = dict(value=lambda p: (p - 2 * RIB_REACH - 2 * FLAP * 400) * MM,
               subject={"pulley": "low left - high left", "other": "high right - low right"},
               places=lambda p: gap_places(("low left", "high left"), ("high right", "low right"), 8))


def pair(drive, one, two):
    def of(p):
        return Laid(drive(p)).spans(one[0], two[0])
    return dict(value=lambda p: of(p)[0] * MM, subject={"pulley": span(*one), "other": span(*two)},
                places=lambda p: gap_places(one, two, of(p)[1]), tolerance=1e-5)


# An idler whose spans come near the opposite one by their ends.
WEDGE = fixed([rib("crank", 0, 0, 150), back("idler", same, 220, 16), rib("fan", 0, 440, 120), rib("post", 66, 200, 20)])

PAIRS = [
    Case("GAP_SMALL", "marginal", HAIRPIN, 17, 22, threshold=WISHED * MM, **BETWEEN, **GAP, **OWN_GAP),
    Case("TOUCHES", "fail", HAIRPIN, 12, 16, threshold=0.0, **BETWEEN, **GAP),
    # backs that face; they lean apart
    Case("GAP_SMALL", "marginal", fixed(NOTCH), 3, 6, threshold=WISHED * MM,
         **pair(fixed(NOTCH), ("upper", "one"), ("two", "right")), **GAP),
    Case("GAP_SMALL", "marginal", WEDGE, 59, 50, threshold=WISHED * MM,
         **pair(WEDGE, ("crank", "idler"), ("fan", "post")), **GAP),
]

# ---- spans that cross -------------------------------------------------------------------------------------------------------------

# The belt comes down from the fan, runs through the left side of the loop to an idler p left of the middle, and back.
LOOPED = fixed([rib("crank", 0, 0, 150), rib("low", -80, 80, 40), rib("high", -70, 370, 40), rib("fan", 0, 440, 60),
                back("idler", lambda p: -p, 220, 70)])
# The same without pulleys between: the spans that cross share a pulley.
THREE = fixed([rib("crank", 0, 0, 150), rib("fan", 0, 440, 120), back("idler", lambda p: -p, 220, 70)])


def crossed(drive, one, two):
    return dict(value=lambda p: -Laid(drive(p)).crossing(one[0], two[0]) * MM, limit=WISHED * MM,
                subject={"pulley": span(*one), "other": span(*two)}, places=lambda p: gap_places(one, two),
                source="rule of thumb")


CROSSES = [
    Case("SPANS_CROSS", "fail", LOOPED, 200, -10, **crossed(LOOPED, ("low", "high"), ("fan", "idler"))),
    Case("SPANS_CROSS", "fail", LOOPED, 200, -10, **crossed(LOOPED, ("low", "high"), ("idler", "crank"))),
]
CROSSES_BESIDE = [
    Case("SPANS_CROSS", "fail", THREE, 150, -10, **crossed(THREE, ("crank", "fan"), ("fan", "idler"))),
    Case("SPANS_CROSS", "fail", THREE, 150, -10, **crossed(THREE, ("crank", "fan"), ("idler", "crank"))),
]

# ---- with an arm: wherever it works -------------------------------------------------------------------------------------------------


class Swept:
    """A drive of p on an arm, over the winds that its cases meet. What stands near moves no belt: `loads` has the same
    winds for every p."""

    def __init__(self, drive, loads=None):
        self.drive = drive
        self.loads = loads and Sample(loads, every=20)

    def winds(self, p):
        sample = self.loads or Sample(self.drive(p), every=20)
        return [sample.value("wind", most) for most in (False, True)]

    def least(self, p, clear):
        """(what is least of clear(Laid), the wind there): many winds, then golden section."""
        low, high = self.winds(p)

        def at(w):
            return clear(Laid(self.drive(p), w))
        grid = np.linspace(low, high, 13)
        k = int(np.argmin([at(w) for w in grid]))
        best = minimize_scalar(at, bounds=(grid[max(k - 1, 0)], grid[min(k + 1, 12)]), method="bounded",
                               options={"xatol": 1e-10})
        w = min((best.x, grid[k]), key=at)
        return at(w), w

    def rims(self, one, two, rim_one, rim_two):
        """Of a case about two pulleys whose rims go with p."""
        def of(p):
            return self.least(p, lambda laid: laid.pulleys(one, two, at_p(rim_one, p), at_p(rim_two, p)))
        return dict(value=lambda p: of(p)[0] * MM, subject={"pulley": one, "other": two}, tolerance=1e-5,
                    places=lambda p: gap_places(one, two, arm=at_wind(of(p)[1])))

    def spans(self, one, two):
        def of(p):
            return self.least(p, lambda laid: laid.spans(one[0], two[0])[0])

        def places(p):
            wind = of(p)[1]
            return gap_places(one, two, Laid(self.drive(p), wind).spans(one[0], two[0])[1], at_wind(wind))
        return dict(value=lambda p: of(p)[0] * MM, subject={"pulley": span(*one), "other": span(*two)}, tolerance=1e-5,
                    places=places)


def at_wind(wind):
    return f" with the arm at {shown(wind, 'DEG', 1)} from free"


BROAD = {"tensioner.rim_radius": 65}
NEAR_CRANK = on(ARM, {**BROAD, "crank.rim_radius": same})
NEAR_PUMP = on(ARM, {**BROAD, "belt.length": 1080, "pump.at": [-40, 300], "pump.diameter": 120, "pump.rim_radius": same})

# The pump stands where the arm points in the middle of its work: at both ends the rims are farther apart.
AHEAD = on(ARM, {"belt.length": 850, "pump.rim_radius": same,
                 "pump.at": [-120 + 202.5 * math.cos(53.5 * DEG), 75 + 202.5 * math.sin(53.5 * DEG)]})
# The same beside a damper that is nearer by far.
AHEAD_OF_TWO = on(ARM, {"belt.length": 850, "pump.rim": same, "crank.discs": [{"name": "damper", "diameter": 266, "z": [0, 8]}],
                        "pump.at": [-120 + 202.5 * math.cos(53.5 * DEG), 75 + 202.5 * math.sin(53.5 * DEG)]})

# Spans with other pulleys between: the tensioner's own and one that an idler leads towards it.
LED = on(ARM, {"belt.length": 1268, "pulleys": ARM["pulleys"] + [
    {"name": "fan", "at": [120, 300], "diameter": 90}, back("idler", same, 150, 70)]})

# A notch as above, the arm under its left side: wound, it brings that side upright and its back nearer.
UPRIGHT = on(ARM, {"belt.length": 2086, "pulleys": [
    rib("crank", -80, 0, 60), rib("upper", lambda p: -42 - p, 400, 80),
    {"name": "tensioner", "side": "back", "diameter": 50, "arm": {**ARM["pulleys"][1]["arm"], "pivot": [-10, 40], "length": 80,
                                                                 "free": 130, "loads": "cw"}},
    back("two", 40, 100, 50), rib("right", 46, 400, 80), rib("lower", 80, 0, 60)]})

# The tensioner beyond the span on the other side of the loop.
BEYOND = on(ARM, {"belt.length": 1315, "pulleys": [ARM["pulleys"][0], ARM["pulleys"][2], {
    **ARM["pulleys"][1], "arm": {**ARM["pulleys"][1]["arm"], "pivot": [-150, 100], "free": 110, "loads": "cw"}}]})


def crossed_by_arm(p):
    return Swept(BEYOND).least(p, lambda laid: -(laid.crossing("crank", "pump") or 0.0))


ARMS = [
    # nearest at the rest side of its work
    Case("GAP_SMALL", "marginal", NEAR_CRANK, 95, 85, threshold=WISHED * MM,
         **Swept(NEAR_CRANK, text(ARM)).rims("crank", "tensioner", same, 65), **GAP, **OWN_GAP),
    # at the stop side
    Case("GAP_SMALL", "marginal", NEAR_PUMP, 67, 61, threshold=WISHED * MM,
         **Swept(NEAR_PUMP, NEAR_PUMP(60)).rims("tensioner", "pump", 65, same), **GAP),
    Case("TOUCHES", "fail", NEAR_PUMP, 74, 67, threshold=0.0,
         **Swept(NEAR_PUMP, NEAR_PUMP(60)).rims("tensioner", "pump", 65, same), **GAP),
    # in the middle
    Case("GAP_SMALL", "marginal", AHEAD, 40, 36, threshold=WISHED * MM,
         **Swept(AHEAD, AHEAD(35)).rims("tensioner", "pump", 47.5, same), **GAP),
    # what dips between two winds is found, whatever else is nearer
    Case("GAP_SMALL", "marginal", AHEAD_OF_TWO, 40, 36, threshold=WISHED * MM,
         **Swept(AHEAD_OF_TWO, AHEAD(35)).rims("tensioner", "pump", 47.5, same), **GAP),
    Case("GAP_SMALL", "marginal", LED, 27, 36,
         **Swept(LED).spans(("tensioner", "pump"), ("fan", "idler")), **GAP),
    Case("GAP_SMALL", "marginal", UPRIGHT, 0.5, 4.5,
         **Swept(UPRIGHT).spans(("upper", "tensioner"), ("two", "right")), **GAP),
    Case("SPANS_CROSS", "fail", BEYOND, 0, silent_on=[text(ARM)], subject={"pulley": "crank - pump", "other": "pump - tensioner"},
         value=lambda p: crossed_by_arm(p)[0] * MM, limit=WISHED * MM,
         places=lambda p: gap_places(("crank", "pump"), ("pump", "tensioner"), arm=at_wind(crossed_by_arm(p)[1])), tolerance=1e-5),
]

# ---- with a lock: each belt in tolerance has its own place in the slot ---------------------------------------------------------------

# A longer belt lets the idler go farther right, towards the far span.
SLIDE = on(LOCKED, {"idler.diameter": 70, "idler.slot": {"from": [-40, 210], "to": [60, 210]}, "belt.length": same,
                    "belt.tolerance": 4})
# A shorter one lets it come down to the crank.
DESCENDS = on(LOCKED, {"idler.diameter": 70, "idler.slot": {"from": [-60, 120], "to": [60, 240]}, "belt.length": same,
                       "belt.tolerance": 4, "idler.rim_radius": 50, "crank.rim_radius": 90})


def locked_at(drive_text, longer=0.0):
    """mm along the slot at which a belt this much longer has its set tension at rest: on the path G it is made for
    G (1 - (T - Tm)/EA)."""
    drive = reference.Drive(drive_text)
    i, belt = drive.lock_index, drive.belt
    strain = (drive.pulleys[i].lock_tension - belt.measuring_tension) / belt.stiffness
    made = (belt.effective + 2 * math.pi * belt.be) / MM + longer
    return i, brentq(lambda s: Laid(drive_text, settings={i: s}).length * (1 - strain) - made, 0,
                     drive.pulleys[i].slot.length / MM, xtol=1e-11)


def locked(drive, longer, gap, subject):
    """gap of a Laid: (after flap, flap); with a belt of this tolerance."""
    def of(p):
        i, at = locked_at(drive(p), longer)
        return gap(Laid(drive(p), settings={i: at}))
    words = {4: " with the longest belt", -4: " with the shortest belt"}[longer]
    other = subject[1] if isinstance(subject[1], str) else span(*subject[1])
    return dict(value=lambda p: of(p)[0] * MM, subject={"pulley": subject[0], "other": other},
                places=lambda p: gap_places(*subject, of(p)[1], words))


LOCKS = [
    Case("GAP_SMALL", "marginal", SLIDE, 1335, 1325, threshold=WISHED * MM,
         **locked(SLIDE, 4, lambda laid: laid.pulley_span("idler", "fan", 35), ("idler", ("fan", "crank"))), **GAP, **OWN_GAP),
    Case("TOUCHES", "fail", SLIDE, 1341, 1335, threshold=0.0,
         **locked(SLIDE, 4, lambda laid: laid.pulley_span("idler", "fan", 35), ("idler", ("fan", "crank"))), **GAP),
    Case("GAP_SMALL", "marginal", DESCENDS, 1292, 1300, threshold=WISHED * MM,
         **locked(DESCENDS, -4, lambda laid: (laid.pulleys("crank", "idler", 90, 50), 0.0), ("crank", "idler")), **GAP),
]

CASES = PULLEYS + STACKS + SPANS + PAIRS + CROSSES + CROSSES_BESIDE + ARMS + LOCKS

