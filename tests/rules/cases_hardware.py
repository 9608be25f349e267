"""Hardware: hub loads, belt planes, shims, standoffs, bolts, bearings.

Most cases stand on PAIR: two pulleys at fixed places and nothing that loads the belt, so that every hub load is known in
closed form. It is greatest at rest and falls with the square of the speed. TRIANGLE has three grooved pulleys, LOCKED an
idler that does not guide, ARM a tensioner: there the worst load is met while running (Sample finds it).
"""
import itertools
import math

import numpy as np
import yaml
from scipy.integrate import quad
from scipy.optimize import brentq, root
from scipy.stats import norm

from drives import ARM, FIXED, LOCKED, at_p, on, same, text, vary
from harness import ARCMIN, DEG, HOUR, MM, MPA, RPM, UNITS, Case, Sample, least, most, reference, shown
from mechanics import AT_REST, MIDDLE

ZERO = 273.15
PITCH = 3.56 * MM  # of PK (ISO 9982)
BELT_WIDTH = 6 * PITCH


NOBODY = {"pulley": None, "other": None}


def at_rest(*cases):
    """Cases whose load is the hub load of PAIR: it is greatest at rest."""
    for case in cases:
        case.at = AT_REST if case.at is None else case.at
    return list(cases)


def running(rpm):
    """The plainest of the ways of running, which are alike without loads."""
    return {"rpm": rpm, "state": "steady", **MIDDLE}


# ---- PAIR: an open belt over two pulleys ------------------------------------------------------------------------------

PAIR = vary(FIXED, {"belt": {"ribs": 6, "length": 945.8, "tolerance": 0}, "crank.diameter": 130, "pump.diameter": 90,
                    "pump.at": [0, 300], "pump.load": None})
BIG, SMALL, FAR = 67 * MM, 47 * MM, 300 * MM  # pitch radii: half the diameter and 2 mm of be; distance of the centres
RATIO = BIG / SMALL
LEAN = math.asin((BIG - SMALL) / FAR)  # of the spans to the line of centres; Shigley, 9th ed., eq. 17-1
SPAN = FAR * math.cos(LEAN)
PATH = 2 * SPAN + BIG * (math.pi + 2 * LEAN) + SMALL * (math.pi - 2 * LEAN)  # eq. 17-2
MASS, STIFFNESS, MEASURED = 6 * 0.019, 6 * 28000, 6 * 100 / 2  # six ribs of PK: kg/m, N, N in each span of the rig


def tension_of(length, growth=0.0):
    """Hooke's law of a belt of this effective length, mm: as long as it was made at its measuring tension."""
    made = (length + 2 * math.pi * 2.0) * MM * (1 + growth)
    return MEASURED + STIFFNESS * (PATH - made) / PATH


def hub(rpm=0.0, growth=0.0, length=945.8):
    """Force on the pump, N, straight down: tension less the belt's momentum; both spans lean alike."""
    tension = tension_of(length, growth)
    return 2 * (tension - MASS * (rpm * RPM * BIG) ** 2) * math.cos(LEAN)


WORST, LEAST = hub(), hub(6000)
SHRINKS = vary(PAIR, {"belt.growth": -0.001})  # draws in when warm: hub loads are greatest then, with the engine stopped
SHRUNK = hub(0, -0.001)
WARM_REST = {**AT_REST, "warmth": "warm"}

# Belts of 945.8 mm +- 0.1, the longest worn to no tension at all: the shortest is the tightest at any speed
WIDE = vary(PAIR, {"belt.tolerance": 0.1, "belt.worn": 0.0005})
SHORTEST = {"belt": "shortest belt", "friction": "middle"}


def tight(rpm=0.0):
    return hub(rpm, length=945.7)


# ---- ARM: loads by the equilibrium of tests/reference over the cases of all belts -----------------------------------

ARM_FREE = vary(ARM, {"belt.length": 1006})
ARM_SAMPLE = Sample(text(ARM_FREE), every=20)  # hardware changes no load


def arm_hub(name):
    return ARM_SAMPLE.value("hub " + name)


def arm_worst(name):
    """Where that is met: both edges of the arm's friction count."""
    return lambda p: ARM_SAMPLE.at("hub " + name)


# ---- cases without balance --------------------------------------------------------------------------------------------

def lost(length, redline=12000):
    """A belt whose momentum takes all tension, T <= m v^2, is slack all round. Five ways of running at each of 41 speeds,
    and three belts that are alike."""
    speeds = [800 + (redline - 800) * k / 40 for k in range(41)]
    return 15 * sum(tension_of(length) <= MASS * (s * RPM * BIG) ** 2 for s in speeds)


def length_lost_at(rpm):
    """The belt, mm, that is slack from this speed on."""
    made = PATH * (1 - (MASS * (rpm * RPM * BIG) ** 2 - MEASURED) / STIFFNESS)
    return made / MM - 2 * math.pi * 2.0


LOOSE = {"engine.redline": 12000, "belt.length": same, "pump.plane": 0, "pump.tilt": [0, 0]}

HUBS = [
    # the redline's cases alone are lost; a belt shorter by a ten thousandth of a millimetre loses none
    Case("CASES_WITHOUT_BALANCE", "marginal", on(PAIR, LOOSE), length_lost_at(12000) + 1e-4, length_lost_at(12000) - 1e-4,
         subject=NOBODY, value=lost, source="mechanics"),
    # the three fastest speeds: steps of 280 rpm
    Case("CASES_WITHOUT_BALANCE", "marginal", on(PAIR, LOOSE), length_lost_at(11440) + 1e-3, subject=NOBODY, value=lost),
]

# ---- planes -----------------------------------------------------------------------------------------------------------
# Entry angle: rise over length of the span, less the slope of the groove (docs/theory/planes.md, eqs 2 and 3).


def rise(plane):
    return plane * MM / SPAN


def leaning(plane, slope):
    """Entry at the pump when its shaft leans by `slope` towards the hub load, straight down. The belt touches the rim
    SMALL sin(LEAN) over the centre, where it has moved out by slope times that; the groove climbs by slope cos(LEAN)."""
    return (plane * MM + slope * SMALL * math.sin(LEAN)) / SPAN - slope * math.cos(LEAN)


def stack(*parts):
    return [dict(zip(("name", "kind", "length", "tolerance"), part)) for part in parts]


def tilted(p):
    """A pulley leant about x: the same as leaning by the load, the other way round."""
    return abs(leaning(0, -p * DEG))


STEEL, ALUMINIUM, GREY_IRON = 207e9, 71e9, 100e9  # Shigley, 9th ed., Table A-5


def tube_inertia(outside, bore):
    return math.pi / 64 * (outside ** 4 - bore ** 4)


def bent(force, lever, length, outside, bore):
    """Slope of a steel tube's end: its curvature M/(E I) integrated, M = F (lever - x)."""
    return quad(lambda x: force * (lever - x) / (STEEL * tube_inertia(outside, bore)), 0, length)[0]


def tube(length, **more):
    return {"outside": 20, "bore": 10.5, "length": length,
            "bolt": {"thread": "M10", "class": "12.9", "preload": 40000, "scatter": 0.1}, **more}


def strip(**more):
    """A bracket 8 x 60 of aluminium that carries the pump 70 mm past its two bolts; its middle lies 26 mm behind the
    belt's plane of -1.5 mm."""
    return {"name": "plate", "face": -31.5, "bracket": {"thickness": 8, "width": 60, "reach": 70}, **more}


BENT = WORST * 26 * MM * 70 * MM / (ALUMINIUM * 60 * MM * (8 * MM) ** 3 / 12)  # M L/(E I): Shigley, Table A-9
# M L/(G J) with G = E/2.6 and J of a flat bar: docs/theory/mount.md, eq. 8
TWISTED = WORST * 26 * MM * 70 * MM / (ALUMINIUM / 2.6 * 60 * MM * (8 * MM) ** 3 * (1 - 0.63 * 8 / 60) / 3)

TRIANGLE = vary(FIXED, {"belt.length": 1212, "pulleys": [
    {"name": "crank", "role": "crank", "at": [0, 0], "diameter": 100},
    {"name": "left", "at": [-150, 260], "diameter": 100},
    {"name": "right", "at": [150, 260], "diameter": 100}]})
SIDE, TOP = math.hypot(150, 260) * MM, 300 * MM  # equal pulleys: spans are as long as the distances of the centres

ON_PLATE = {"name": "plate", "stack": stack(("face", "face", -40, 0.3), ("plate", "bracket", 12, 0.4)),
            "bolts": [{"name": "one", "at": [-100, 260], "thread": "M8", "class": "8.8", "pad": 24},
                      {"name": "two", "at": [100, 260], "thread": "M8", "class": "8.8", "pad": 24}]}


def two_on_a_plate(own):
    """Both pulleys on one mount: its tolerances move both and leave the span between them as it is; their own do not."""
    return {"mounts": [ON_PLATE],
            "left.mount": "plate", "left.stack": stack(("left boss", "spacer", 28, own)),
            "right.mount": "plate", "right.stack": stack(("right boss", "spacer", 28.9, own))}


def of_triangle(p):
    """Entry angle at the right pulley, rss and worst; 0.9 mm of step over the top span."""
    return 0.9 * MM / TOP, math.hypot(p, p) * MM / TOP, 2 * p * MM / TOP


def by_tolerance(plane, parts):
    """Most, rss and worst of a pump whose stack has parts of these tolerances, mm (Shigley, Example 1-3)."""
    return (abs(plane) * MM / SPAN, math.sqrt(sum(t * t for t in parts)) * MM / SPAN, sum(parts) * MM / SPAN)


def pump_stack(end, *tolerances):
    """Two parts that end `end` off the crank's plane."""
    return stack(("boss", "face", -40, tolerances[0]), ("pump", "offset", lambda p: 40 + at_p(end, p), tolerances[1]))


DEGREES = dict(limit=0.33 * DEG, limit_key=("misalignment", "DEG"), default=0.33 * DEG, threshold=0.33 * DEG,
               source="SAE 1999-01-1709")


def tolerance_places(most, rss, worst):
    return {"entry": shown(most, "DEG", 2), "rss": shown(rss, "DEG", 2), "worst": shown(worst, "DEG", 2)}


SIZES = [0.25, 0.5, 1.016]


def short_boss(now=0, most=2):
    return {"pump.stack": stack(("boss", "face", lambda p: -40 - p, 0.2), ("shims", "shim", now), ("pump", "offset", 40)),
            "shims": {"sizes": SIZES, "most": most}}


PLANES = [
    # out of plane: 0.33 deg over a span of 299.3 mm is 1.72 mm
    Case("MISALIGNED", "fail", on(PAIR, {"pump.stack": pump_stack(same, 0, 0)}), 2.0, 1.5, subject={"pulley": "pump"},
         value=rise, places=lambda p: {"loaded": ""}, **DEGREES),
    # the same seen from the other end
    Case("MISALIGNED", "fail", on(PAIR, {"pump.stack": pump_stack(lambda p: -p, 0, 0)}), 2.0, 1.5,
         subject={"pulley": "crank"}, value=rise, places=lambda p: {"loaded": ""}, **DEGREES),
    # as built it leans about x: the groove's slope and the touch point's height
    Case("MISALIGNED", "fail", on(PAIR, {"pump.tilt": [same, 0]}), 0.4, 0.3, subject={"pulley": "pump"}, value=tilted,
         places=lambda p: {"loaded": ""}, **DEGREES),
    # the standoff bends towards the hub load: F L^2/(2 E I) on top of 1.5 mm
    Case("MISALIGNED", "fail", on(PAIR, {"pump.plane": -1.5, "pump.standoff": tube(same)}), 60, 30,
         subject={"pulley": "pump"}, value=lambda p: abs(leaning(-1.5, bent(WORST, p * MM, p * MM, 20 * MM, 10.5 * MM))),
         places=lambda p: {"loaded": " under load"}, at=AT_REST, **DEGREES),
    # the bracket bends: the bolts stand below the pump. Halved on its reach
    Case("MISALIGNED", "fail", on(PAIR, {"pump.plane": -1.5, "pump.mount": "plate", "mounts": [
        strip(bracket={"thickness": 8, "width": 60, "reach": same}, bolts=[
            {"name": "a", "at": [-30, 220], "thread": "M8", "class": "8.8"},
            {"name": "b", "at": [30, 220], "thread": "M8", "class": "8.8"},
            {"name": "c", "at": [0, 210], "thread": "M8", "class": "8.8"}])]}), 30, 2, subject={"pulley": "pump"},
         value=lambda p: abs(leaning(-1.5, BENT * p / 70)), places=lambda p: {"loaded": " under load"}, at=AT_REST, **DEGREES),
    # it twists: the bolts stand beside the pump, the nearest 70 mm away
    Case("MISALIGNED", "fail", on(PAIR, {"pump.plane": -1.5, "pump.mount": "plate", "mounts": [
        strip(bracket={"thickness": 8, "width": 60}, bolts=[
            {"name": "a", "at": [-70, 300], "thread": "M8", "class": "8.8"},
            {"name": "b", "at": [-110, 300], "thread": "M8", "class": "8.8"}])]}), 0, subject={"pulley": "pump"},
         value=lambda p: abs(leaning(-1.5, TWISTED)), places=lambda p: {"loaded": " under load"}, at=AT_REST,
         limit=0.33 * DEG),
    # the belt draws in when warm: the tube bends most with the engine just stopped
    Case("MISALIGNED", "fail", on(SHRINKS, {"pump.plane": -1.5, "pump.standoff": tube(same)}), 60, 20,
         subject={"pulley": "pump"}, value=lambda p: abs(leaning(-1.5, bent(SHRUNK, p * MM, p * MM, 20 * MM, 10.5 * MM))),
         places=lambda p: {"loaded": " under load"}, at=WARM_REST, **DEGREES),
    # drawn 2.2 mm off, the load leans it back: the angle as drawn is the worse one, and no case is told
    Case("MISALIGNED", "fail", on(PAIR, {"pump.plane": 2.2, "pump.standoff": tube(same)}), 20, subject={"pulley": "pump"},
         value=lambda p: rise(2.2), limit=0.33 * DEG, places=lambda p: {"loaded": ""}),
    # a plane that is written as `plane` alone is a belt plane all the same
    Case("MISALIGNED", "fail", on(PAIR, {"pump.plane": same}), 2.0, 1.5, subject={"pulley": "pump"}, value=rise,
         places=lambda p: {"loaded": ""}, **DEGREES),
    # 1 mm and two parts: the rss reaches the limit, the middle does not
    Case("MISALIGNED_BY_TOLERANCE", "marginal", on(PAIR, {"pump.stack": pump_stack(same, 0.5, 0.3)}), 1.3, 1.0,
         subject={"pulley": "pump"}, value=lambda p: sum(by_tolerance(p, [0.5, 0.3])[:2]),
         places=lambda p: tolerance_places(*by_tolerance(p, [0.5, 0.3])),
         silent_on=[on(PAIR, {"pump.stack": pump_stack(same, 0.5, 0.3)})(1.8)], **DEGREES),
    # both pulleys on one mount: 0.9 mm of step between them and their own tolerances, not the mount's
    Case("MISALIGNED_BY_TOLERANCE", "marginal", on(TRIANGLE, two_on_a_plate(same)), 0.7, 0.5, subject={"pulley": "right"},
         value=lambda p: sum(of_triangle(p)[:2]), places=lambda p: tolerance_places(*of_triangle(p)), **DEGREES),
    # shims on hand count: 3.9 mm short, less the 2.032 mm of the thickest that go in; 1.5 mm they cure
    Case("MISALIGNED", "fail", on(PAIR, short_boss()), 3.9, 3.6, subject={"pulley": "pump"},
         value=lambda p: rise(p - 2.032), places=lambda p: {"loaded": ""}, silent_on=[on(PAIR, short_boss())(1.9)], **DEGREES),
    # the tolerance is on top of what is left with the shims
    Case("MISALIGNED_BY_TOLERANCE", "marginal", on(PAIR, short_boss()), 3.7, 3.5, subject={"pulley": "pump"},
         value=lambda p: rise(p - 2.032 + 0.2), places=lambda p: tolerance_places(*by_tolerance(p - 2.032, [0.2])), **DEGREES),
    # only with both tolerances against it
    Case("MISALIGNED_AT_WORST", "note", on(PAIR, {"pump.stack": pump_stack(0.8, same, same)}), 0.6, 0.4,
         subject={"pulley": "pump"}, value=lambda p: sum(by_tolerance(0.8, [p, p])[::2]),
         places=lambda p: tolerance_places(*by_tolerance(0.8, [p, p])),
         silent_on=[on(PAIR, {"pump.stack": pump_stack(0.8, same, same)})(0.7)], **DEGREES),
    # the left pulley has the greatest angle, the right one with its tolerance: the chart has the right one's two
    Case("MISALIGNED_AT_WORST", "note", on(TRIANGLE, {"left.plane": 0.9, "right.stack": stack(
        ("boss", "face", -40, same), ("pulley", "offset", 40.3, same))}), 0.6, 0.4, subject={"pulley": "right"},
         value=lambda p: (0.6 + 2 * p) * MM / TOP,
         places=lambda p: tolerance_places(0.6 * MM / TOP, math.hypot(p, p) * MM / TOP, 2 * p * MM / TOP), **DEGREES),
]

# ---- faces and lips ---------------------------------------------------------------------------------------------------


def drift_by_tilt(p):
    """Normal entry (docs/theory/planes.md, eq. 4): the belt comes from the crank's plane and climbs as the groove does,
    tilt about x times the direction of travel along y, over the span; at the touch point the face stands elsewhere."""
    drive = reference.Drive(text(LOCKED))
    reference.set_lock(drive)
    path = reference.Path(drive.centres(0)[0], drive.radius, drive.sense)
    touch = path.centre[0] + (path.radius[0] * 1j + path.span[0]) * path.u[0]
    return p * DEG * (path.span[0] * path.u[0].imag - (touch - path.centre[1]).imag)


def edge_places(drift, width):
    return {"drift": shown(abs(drift), "MM", 1), "over": shown(abs(drift) - (width - BELT_WIDTH) / 2, "MM", 1),
            "width": least(BELT_WIDTH + 2 * abs(drift), "MM", 1)}


BACKED = {"idler.width": 25, "idler.stack": stack(("boss", "face", lambda p: -p))}
LIPPED = {"idler.flanges": {"front": 6, "rear": 6}, "idler.width": same}

FACES = [
    # the belt keeps the crank's plane; 25 mm of face leave 1.82 mm on each side
    Case("OVERHANG", "marginal", on(LOCKED, BACKED), 2.48, 1.5, subject={"pulley": "idler"},
         value=lambda p: (25 * MM - BELT_WIDTH) / 2 - p * MM, limit=0.0, threshold=0.0,
         places=lambda p: edge_places(p * MM, 25 * MM), source="geometry",
         silent_on=[on(LOCKED, {**BACKED, "idler.guides": True})(2.5)]),
    # a rib of 3.56 mm over the edge
    Case("OVERHANG_OFF", "fail", on(LOCKED, BACKED), 5.6, 5.2, subject={"pulley": "idler"},
         value=lambda p: (25 * MM - BELT_WIDTH) / 2 - p * MM, limit=-PITCH, threshold=-PITCH,
         places=lambda p: {**edge_places(p * MM, 25 * MM), "belt": shown(BELT_WIDTH, "MM", 1)},
         source="rule of thumb, no published source"),
    # it leans: the belt climbs along the span; the face of the section is (ribs - 1) pitch + 5 mm wide (ISO 9981)
    Case("OVERHANG", "marginal", on(LOCKED, {"idler.tilt": [same, 0]}), 0.5, 0.1, subject={"pulley": "idler"},
         value=lambda p: (5 * PITCH + 5 * MM - BELT_WIDTH) / 2 - abs(drift_by_tilt(p)), limit=0.0, threshold=0.0,
         places=lambda p: edge_places(drift_by_tilt(p), 5 * PITCH + 5 * MM)),
    # six ribs of 3.56 mm are 21.36 mm wide
    Case("BELT_BETWEEN_LIPS", "fail", on(LOCKED, LIPPED), 21.0, 21.7, subject={"pulley": "idler"},
         value=lambda p: (p * MM - BELT_WIDTH) / 2, limit=0.0, threshold=0.0, source="geometry",
         places=lambda p: {"belt": shown(BELT_WIDTH, "MM", 1), "between": shown(p * MM, "MM", 1)},
         silent_on=[on(LOCKED, {"idler.width": same})(21.0)]),
    # one lip is enough
    Case("BELT_BETWEEN_LIPS", "fail", on(LOCKED, {"idler.flanges": {"rear": 6}, "idler.width": same}), 21.0, 21.7,
         subject={"pulley": "idler"}, value=lambda p: (p * MM - BELT_WIDTH) / 2, limit=0.0, threshold=0.0,
         places=lambda p: {"belt": shown(BELT_WIDTH, "MM", 1), "between": shown(p * MM, "MM", 1)}),
    # the lower of two lips against the belt of 4.5 mm; a groove needs none
    Case("LIP_LOW", "note", on(LOCKED, {"idler.flanges": {"front": 8, "rear": same}, "idler.width": 25}), 4.0, 5.0,
         subject={"pulley": "idler"}, value=lambda p: p * MM, limit=4.5 * MM, threshold=4.5 * MM,
         source="common practice, no published source",
         silent_on=[on(LOCKED, {"fan.flanges": {"front": 8, "rear": same}, "fan.width": 25})(4.0)]),
    Case("LIP_LOW", "note", on(LOCKED, {"idler.flanges": {"front": same}, "idler.width": 25, "belt.thickness": 6}), 5.0, 7.0,
         subject={"pulley": "idler"}, value=lambda p: p * MM, limit=6 * MM, threshold=6 * MM),
]

# ---- shims ------------------------------------------------------------------------------------------------------------


def packs_of(sizes, most):
    """Every pack of up to `most` shims."""
    return [pack for n in range(most + 1) for pack in itertools.combinations_with_replacement(sorted(sizes), n)]


def best_packs(entries, places, sizes, most, limit=0.33 * DEG):
    """All combinations tried: under the limit with the fewest shims, then the smallest worst angle; where none is under
    it, the smallest. `entries` of the thicknesses gives |angle| + rss of every pulley."""
    best = None
    for packs in itertools.product(packs_of(sizes, most), repeat=places):
        worst = max(entries([sum(pack) for pack in packs]))
        rank = (worst > limit, sum(map(len, packs)) if worst <= limit else 0, worst)
        if best is None or rank < best[0]:
            best = (rank, worst, packs)
    return best[1], best[2]


def pack_words(owner, part, pack):
    sizes = sorted(set(pack))
    words = " + ".join(f"{pack.count(s)} x {s:.2f} mm ({s / 25.4:.3f} in)" for s in sizes)
    return f"{owner}: {part}, {words or '0'}"


def pair_angles(short, tolerance=0.2):
    """Pump and crank: both ends of a span see its whole step."""
    return lambda x: [(abs(x[0] - short) + tolerance) * MM / SPAN] * 2


def pair_advice(p, most=2):
    return best_packs(pair_angles(p), 1, SIZES, most)


def triangle_angles(p):
    """Two pulleys that stand p and 1.7 p too low, each with a place for shims."""
    def angles(x):
        left, right = x[0] - p, x[1] - 1.7 * p
        return [abs(left) * MM / SIDE, abs(right - left) * MM / TOP, abs(right) * MM / SIDE]
    return angles


TWO_PLACES = {"left.stack": stack(("boss", "face", lambda p: -40 - p), ("left pack", "shim", 0),
                                  ("pulley", "offset", 40)),
              "right.stack": stack(("boss", "face", lambda p: -40 - 1.7 * p), ("right pack", "shim", 0),
                                   ("pulley", "offset", 40)),
              "shims": {"sizes": SIZES, "most": 2}}


def triangle_advice(p):
    return best_packs(triangle_angles(p), 2, SIZES, 2)


def two_packs(p):
    left, right = triangle_advice(p)[1]
    words = [pack_words("left", "left pack", left)] * bool(left) + [pack_words("right", "right pack", right)] * bool(right)
    return {"packs": "; ".join(words)}  # an empty place that stays empty is not named


# Both on a plate that stands p too low: a pack under the plate lifts both.
UNDER_PLATE = {"mounts": [{**ON_PLATE, "stack": stack(("face", "face", lambda p: -40 - p), ("pack", "shim", 0),
                                                      ("plate", "bracket", 12))}],
               "left.mount": "plate", "left.stack": stack(("left boss", "spacer", 28)),
               "right.mount": "plate", "right.stack": stack(("right boss", "spacer", 28)),
               "shims": {"sizes": SIZES, "most": 2}}


def plate_advice(p):
    return best_packs(lambda x: [abs(x[0] - p) * MM / SIDE, 0.0, abs(x[0] - p) * MM / SIDE], 1, SIZES, 2)


def leaning_advice(p, slope_length=90):
    """Shims against the entry angles under load, which MISALIGNED judges; as drawn they need none."""
    slope = bent(WORST, slope_length * MM, slope_length * MM, 20 * MM, 10.5 * MM)
    return best_packs(lambda x: leaning_angles(x[0] - p, slope), 1, SIZES, 2)


def leant_forward(p):
    """The same on a plate 8 x 60 whose middle lies 34 mm before the crank's plane, 20 mm past its bolts; as it stands now, p out."""
    def slope(out):
        return -WORST * (34 - out) * MM * 20 * MM / (ALUMINIUM * 60 * MM * (8 * MM) ** 3 / 12)
    packs = best_packs(lambda x: leaning_angles(x[0], slope(p)), 1, SIZES, 2)[1]
    fitted = sum(packs[0])  # the plate's lever is that of the shims that are fitted
    return max(leaning_angles(fitted, slope(fitted))), packs


# A plate 5 x 60 that carries the pump 20 mm past its bolts, its middle 11.4 mm behind the crank's plane. Each shim lengthens the lever: the
# 1.016 mm that would do for the plate as it leans today, 0.33 deg, lean it to 0.35.
def standing_off(p, thickness=5, behind=11.4, sizes=SIZES):
    return {"pump.stack": stack(("boss", "face", -40), ("shims", "shim", 0), ("pump", "offset", lambda p: 40 + p)),
            "shims": {"sizes": sizes, "most": 2}, "pump.mount": "plate", "mounts": [strip(
                face=-behind - thickness / 2, bracket={"thickness": thickness, "width": 60, "reach": 20}, bolts=[
                    {"name": name, "at": [x, y], "thread": "M8", "class": "8.8"} for name, x, y in (("a", -30, 220), ("b", 30, 220), ("c", 0, 210))])]}


def leant_out(p):
    """As the verdict has it: the plate leans by what it carries with the packs in."""
    def entries(x):
        plane = p + x[0]
        slope = WORST * (plane + 11.4) * MM * 20 * MM / (ALUMINIUM * 60 * MM * (5 * MM) ** 3 / 12)
        return leaning_angles(plane, slope)
    return best_packs(entries, 1, SIZES, 2)


# Ten places for shims, the last of which would do.
def many_places(p):
    return {"pump.stack": stack(("boss", "face", -40 - p), *[(f"place {k}", "shim", 0) for k in range(10)], ("pump", "offset", 40)),
            "shims": {"sizes": [0.1], "most": 1}}


def leaning_angles(plane, slope):
    """At pump and crank, each the worse of drawn and bent by the worst load."""
    climb = plane * MM + slope * SMALL * math.sin(LEAN)
    return [max(rise(abs(plane)), abs(leaning(plane, slope))), max(rise(abs(plane)), abs(climb) / SPAN)]


LEANING_BOSS = {"pump.stack": stack(("boss", "face", lambda p: -40 - p), ("shims", "shim", 0), ("pump", "offset", 40)),
                "pump.standoff": tube(90), "shims": {"sizes": SIZES, "most": 2}}

SHIM_LIMIT = dict(subject=NOBODY, limit=0.33 * DEG, limit_key=("misalignment", "DEG"), default=0.33 * DEG,
                  source="SAE 1999-01-1709")

def cured(advice):
    """"{value} or less": rounded up."""
    return {"value": least(advice[0], "DEG", 2), "packs": pack_words("pump", "shims", advice[1][0])}


SHIMS = [
    # a boss p too short, its tolerance counted: advice where what is there is over the limit. One shim to a pack
    Case("SHIMS_CURE", "note", on(PAIR, short_boss(most=1)), 1.7, 1.4, value=lambda p: pair_advice(p, 1)[0],
         threshold=0.33 * DEG, measure=lambda p: pair_angles(p)([0])[0],
         places=lambda p: cured(pair_advice(p, 1)),
         silent_on=[on(PAIR, short_boss())(3.9), on(PAIR, {"pump.stack": pump_stack(-1.7, 0, 0), "shims": SIZES})(0)],
         **SHIM_LIMIT),
    # what is there is under the limit, but none would do: the pack may go
    Case("SHIMS_CURE", "note", on(PAIR, short_boss(now=same)), 0.25, subject=NOBODY, value=lambda p: pair_advice(p)[0],
         limit=0.33 * DEG, places=lambda p: cured(pair_advice(p)),
         silent_on=[on(PAIR, short_boss())(0.25)]),
    # two places: every combination tried
    Case("SHIMS_CURE", "note", on(TRIANGLE, TWO_PLACES), 1.9, subject=NOBODY, value=lambda p: triangle_advice(p)[0],
         limit=0.33 * DEG, places=lambda p: {**two_packs(p), "value": least(triangle_advice(p)[0], "DEG", 2)}),
    # one place, under the plate of two pulleys
    Case("SHIMS_CURE", "note", on(TRIANGLE, UNDER_PLATE), 2.2, 1.5, subject=NOBODY, value=lambda p: plate_advice(p)[0],
         limit=0.33 * DEG, places=lambda p: {"value": least(plate_advice(p)[0], "DEG", 2),
                                             "packs": pack_words("plate", "pack", plate_advice(p)[1][0])}),
    # drawn too far out by the pack that is there, the lean bends it back: what is left must cure both
    Case("SHIMS_CURE", "note", on(PAIR, {"pump.stack": stack(("boss", "face", -40), ("shims", "shim", same),
                                                             ("pump", "offset", 40)),
                                         "pump.standoff": tube(60), "shims": {"sizes": SIZES, "most": 2}}), 2.0,
         subject=NOBODY, value=lambda p: leaning_advice(0, 60)[0], limit=0.33 * DEG,
         places=lambda p: cured(leaning_advice(0, 60))),
    # a plate before the belt leans the pump the other way: the greatest angle is the positive one
    Case("SHIMS_CURE", "note", on(PAIR, {"pump.stack": stack(("boss", "face", -40), ("shims", "shim", same),
                                                             ("pump", "offset", 40)),
                                         "shims": {"sizes": SIZES, "most": 2}, "pump.mount": "plate", "mounts": [strip(
                                             face=30, bracket={"thickness": 8, "width": 60, "reach": 20}, bolts=[
                                                 {"name": "a", "at": [-30, 220], "thread": "M8", "class": "8.8"},
                                                 {"name": "b", "at": [30, 220], "thread": "M8", "class": "8.8"},
                                                 {"name": "c", "at": [0, 210], "thread": "M8", "class": "8.8"}])]}), 2.0,
         subject=NOBODY, value=lambda p: leant_forward(p)[0], limit=0.33 * DEG, places=lambda p: cured(leant_forward(p))),
    # what leans with the packs in counts
    Case("SHIMS_CURE", "note", on(PAIR, standing_off(0)), -1.4, subject=NOBODY, value=lambda p: leant_out(p)[0], limit=0.33 * DEG,
         places=lambda p: cured(leant_out(p))),
    Case("SHIM_PLACES", "note", lambda p: text(PAIR, many_places(p)), 3.0, 1.0, subject=NOBODY, value=lambda p: 10, limit=8,
         source="the search for shims", places=lambda p: {"left": 2}),
    # two of the thickest, 2.032 mm, are too thin
    Case("SHIMS_HELP", "marginal", on(PAIR, short_boss()), 3.9, 3.3, value=lambda p: pair_advice(p)[0], threshold=0.33 * DEG,
         places=lambda p: {"packs": pack_words("pump", "shims", pair_advice(p)[1][0])}, 
         silent_on=[on(PAIR, short_boss(now=2.032))(3.9),
                    # 1.016 mm on a plate 2.5 thick: 0.38 deg now, 0.19 as it leans today, 0.39 with its longer lever. None is better
                    on(PAIR, standing_off(0, 2.5, 2, [1.016]))(-1.9)], **SHIM_LIMIT),
    Case("SHIMS_HELP", "marginal", on(TRIANGLE, TWO_PLACES), 2.4, subject=NOBODY, value=lambda p: triangle_advice(p)[0],
         limit=0.33 * DEG, places=two_packs),
    # the tube leans: 0.42 deg under load of 0.27 as drawn, and what cures must cure both
    Case("SHIMS_CURE", "note", on(PAIR, LEANING_BOSS), 1.4, 0.7, subject=NOBODY, value=lambda p: leaning_advice(p)[0],
         limit=0.33 * DEG, measure=lambda p: max(leaning_angles(-p, bent(WORST, 90 * MM, 90 * MM, 20 * MM, 10.5 * MM))),
         threshold=0.33 * DEG, places=lambda p: cured(leaning_advice(p))),
]

# ---- standoffs --------------------------------------------------------------------------------------------------------


def opens_at(preload, outside, bore):
    """The fibre's pull M (D/2)/I meets the clamp's pressure Fi/A."""
    return preload / (math.pi / 4 * (outside ** 2 - bore ** 2)) * tube_inertia(outside, bore) / (outside / 2)


SHUT = opens_at(0.75 * 36000, 20 * MM, 10.5 * MM)  # N m; low end of 36 kN +- 25 %
SHUT_SURE = opens_at(30000, 20 * MM, 10.5 * MM)  # no scatter
SCATTERED = {"thread": "M10", "class": "12.9", "preload": 36000, "scatter": 0.25}
SURE = {"thread": "M10", "class": "12.9", "preload": 30000, "scatter": 0}

# From the engine out: face, mount's plate, a shim, the standoff. The belt runs p past its end.
STANDING_OFF = {"mounts": [{"name": "plate", "face": -60, "stack": stack(("face", "face", -60), ("plate", "bracket", 12)),
                            "bolts": [{"name": "a", "at": [-40, 300], "thread": "M8", "class": "8.8", "pad": 30},
                                      {"name": "b", "at": [40, 300], "thread": "M8", "class": "8.8", "pad": 30}]}],
                "pump.mount": "plate",
                "pump.stack": stack(("pack", "shim", 2), ("tube", "standoff", 40), ("pulley", "offset", same))}


def modified_endurance(tensile, diameter):
    """Shigley, 9th ed., eqs 6-8, 6-18 to 6-20 and 6-29: machined, bending, 99 %. MPa and mm in."""
    surface = min(4.51 * tensile ** -0.265, 1.0)
    return surface * 1.24 * diameter ** -0.107 * (1 - 0.08 * norm.ppf(0.99)) * min(0.5 * tensile, 700) * MPA


def bending(force, lever):
    """Stress of the tube 20/10.5, Pa: M c/I."""
    return force * lever * 10 * MM / tube_inertia(20 * MM, 10.5 * MM)


TUBE_AREA = math.pi / 4 * (20 ** 2 - 10.5 ** 2) * MM * MM
FAST = {"engine.redline": 9000}  # hub loads from rest down to hub(9000)


def swinging(p, preload_low=36000):
    """Alternating and mean stress over the cases, Pa; the clamp's pressure is taken off."""
    high, low = bending(WORST, p * MM), bending(hub(9000), p * MM)
    return (high - low) / 2, (high + low) / 2 - preload_low / TUBE_AREA


def swing_places(p):
    return {"alternating": shown(swinging(p)[0], "MPA", 0), "mean": shown(swinging(p)[1], "MPA", 0)}


def grey(p):
    """Goodman, Shigley eq. 6-46. The clamp keeps the mean in compression, which counts as none."""
    return modified_endurance(200, 20) / swinging(p)[0]


def soft(p):
    """Aluminium: 0.31 of its strength at 5e8 turns (docs/theory/mount.md), for 99 %."""
    return 0.31 * 150 * MPA * (1 - 0.08 * norm.ppf(0.99)) / swinging(p)[0]


def turning_shaft(p):
    """The inner ring turns with the tube: all of its stress alternates (Shigley, ch. 7)."""
    return modified_endurance(400, 20) / bending(WORST, p * MM)


# Of no class, hence of no endurance: the tube alone is judged. Proof and tensile loads of an M10 12.9
OF_ITSELF = {"thread": "M10", "proof_load": 56300, "tensile_load": 70800, "preload": 40000, "scatter": 0.1}
BEARING = {"designation": "6203", "bore": 17, "outside": 40, "width": 12, "dynamic": 9550, "static": 4800, "f0": 13.2,
           "seal": "low-contact", "max_speed": 19000}
TURNED = {"pump.standoff": tube(same, bolt=OF_ITSELF), "pump.bearing": {"type": "6203", "rotating_ring": "inner"}, "bearings": [BEARING]}


def turned_places(p):
    return {"alternating": shown(bending(WORST, p * MM), "MPA", 0), "mean": "0 MPa"}


def tube_case(**more):
    return on(PAIR, {**FAST, "pump.standoff": tube(same, **more)})


SIXTY = np.polynomial.legendre.leggauss(60)  # places and weights
M8 = math.pi / 4 * (8 - 0.9382 * 1.25) ** 2 * MM * MM  # stress areas: ISO 898-1
M10 = math.pi / 4 * (10 - 0.9382 * 1.5) ** 2 * MM * MM
# diameter, pitch, face under the head (ISO 4017), hole (ISO 273), mm; stress area, m2
SCREW = {"M8": (8, 1.25, 11.63, 9, M8), "M10": (10, 1.5, 14.63, 11, M10)}


def torsion(thread, factor):
    """Shear over tension of a shank that is turned tight, yielded all through (VDI 2230). The friction is that with which
    thread and head make up the torque K F d; what the thread takes of it twists the shank."""
    d, pitch, face, hole, area = SCREW[thread]
    flank = (d - 3 * math.sqrt(3) / 8 * pitch) / 2 / math.cos(math.pi / 6)  # lever of the thread's friction, mm
    slope = pitch / (2 * math.pi)
    mu = brentq(lambda x: slope + x * (flank + (face + hole) / 4) - factor * d, 0, 9)
    plastic = quad(lambda r: 2 * math.pi * r * r, 0, (d - 0.9382 * pitch) / 2)[0]  # torque per shear stress, mm3
    return (slope + mu * flank) / plastic * area / MM / MM


def worked(thread, preload, factor, pull=0.0):
    """Greatest stress, Pa, of von Mises: under the wrench, or with a pull and half of the torsion left (VDI 2230)."""
    area = SCREW[thread][4]
    shear = torsion(thread, factor) * preload / area
    return max(math.sqrt((preload / area) ** 2 + 3 * shear ** 2),
               math.sqrt(((preload + pull) / area) ** 2 + 3 * (shear / 2) ** 2))


def usual(thread, proof, scatter=0.30, factor=0.20, share=0.75):
    """Preload where the file gives none, N: 75 % of proof (Shigley, eq. 8-31), or what scatter and torsion leave of it."""
    area = SCREW[thread][4]
    over = worked(thread, (1 + scatter) * proof * area, factor / (1 + scatter)) / proof
    return proof * area * min(share, 1 / over)


def taken(thread, proof, scatter):
    """Greatest preload of which the high end, torsion counted, keeps under proof, N."""
    area = SCREW[thread][4]
    return proof * area * proof / worked(thread, (1 + scatter) * proof * area, BY_TORQUE / (1 + scatter))


def more_preload(preload, thread="M10", proof=970 * MPA, scatter=0.1):
    """Told is how much more where the bolt takes it, rounded up to 0.1 kN."""
    return {"more": "at least {wanted} of preload" if math.ceil(preload / 100 - 1e-6) * 100 <= taken(thread, proof, scatter) else "more preload",
            "wanted": least(preload, "KN", 1)}


def more_friction(preload, use, **bolt):
    """The same for friction: down to two thirds of it, or else to all of it."""
    words = more_preload(preload * use / 0.67, **bolt)
    return words if words["more"] != "more preload" or use <= 1 else more_preload(preload * use, **bolt)


def wanted(p):
    """Preload to which the bolt must be drawn so that even its low end, 25 % less, keeps p mm of tube shut, N."""
    return 36000 * WORST * p * MM / SHUT


def ring(outside, bore, line):
    """Area, first and second moment of the ring past a line, by strips of chords: m2, m3, m4."""
    def of(radius):
        if line >= radius:
            return np.zeros(3)
        angle, weight = SIXTY
        top = math.acos(max(line / radius, -1))
        angle = (angle + 1) * top / 2
        x, chord = radius * np.cos(angle), 2 * radius * np.sin(angle)
        return np.array([np.sum(weight * chord * radius * np.sin(angle) * x ** k) * top / 2 for k in range(3)])
    return of(outside / 2) - of(bore / 2)


def lifting(moment, preload, outside, bore, bolt, modulus=STEEL):
    """Curvature of a clamped tube under a moment, and the share of its face that presses: pressure goes up evenly from a
    line, and no part of the face is pulled. What it bends more than a shut tube, the bolt through it takes its part of."""
    stiff, rod = modulus * tube_inertia(outside, bore), STEEL * tube_inertia(bolt, 0)
    if moment <= opens_at(preload, outside, bore):
        return moment / stiff, 1.0

    def state(line):
        area, first, second = ring(outside, bore, line)
        curvature = preload / modulus / (first - line * area)
        held = curvature * modulus * (second - line * first)
        return held + rod * (curvature - held / stiff), curvature, area
    line = brentq(lambda x: state(x)[0] - moment, -outside / 2, outside / 2 * math.cos(0.1), xtol=1e-15, rtol=1e-14)
    return state(line)[1], state(line)[2] / ring(outside, bore, -outside)[0]


def lifted_tube(p, force, preload):
    """Of the tube 20/10.5 on an M10, p mm long with the belt over its end, at the low end of a scatter of 10 %: curvature
    at its root, and what of its face has lifted."""
    return lifting(force * p * MM, 0.9 * preload, 20 * MM, 10.5 * MM, 10 * MM)


def loose(preload, **more):
    return {"thread": "M10", "class": "12.9", "preload": preload, "scatter": 0.1, **more}


def loose_tube(preload, redline, **more):
    return on(PAIR, {"engine.redline": redline, "pump.standoff": tube(same, bolt=loose(preload, **more))})


def at_thread(force, p, preload):
    """Bending stress of a rod as thick as the stress area of an M10, Pa, 32 M/(pi d^3): an M10 as bent as the tube."""
    bent_by = STEEL * tube_inertia(10 * MM, 0) * lifted_tube(p, abs(force), preload)[0]
    return math.copysign(32 * bent_by / (math.pi * (4 * M10 / math.pi) ** 1.5), force)


def bent_bolt(p, preload, low):
    """Shigley, 9th ed., eq. 8-38 of an M10 12.9 (Se 190 MPa, Sut 1220 MPa: Tables 8-11 and 8-17) at the high end of its
    preload, bent by hub loads from `low` to the worst over p mm."""
    high, low, drawn = at_thread(WORST, p, preload), at_thread(low, p, preload), 1.1 * preload / M10
    return 190 * MPA * (1220 * MPA - drawn) / (1220 * MPA * (high - low) / 2 + 190 * MPA * (high + low) / 2)


def bolt_swing(p, preload, low):
    high, low, drawn = at_thread(WORST, p, preload), at_thread(low, p, preload), 1.1 * preload / M10
    return {"alternating": shown((high - low) / 2, "MPA", 0), "mean": shown((high + low) / 2 + drawn, "MPA", 0)}


def opened(places):
    """A standoff that lifts: preload that keeps it shut spares its bolt."""
    return {**places, "more": " More preload that keeps it shut helps, too."}


def gap_places(moment, low, wanted):
    """Of the tube 20/10.5 on an M10 at its least preload."""
    return {"preload": shown(low, "KN", 1), "wanted": least(wanted, "KN", 1),
            "lifted": shown(1 - lifting(moment, low, 20 * MM, 10.5 * MM, 10 * MM)[1], "PERCENT", 0)}


STANDOFFS = at_rest(
    # M = F L against the moment that lifts the fibre, 95.7 N m
    Case("STANDOFF_OPENS", "fail", on(PAIR, {"pump.standoff": tube(same, bolt=SURE)}), 100, 95, subject={"pulley": "pump"},
         value=lambda p: WORST * p * MM, limit=SHUT_SURE, threshold=SHUT_SURE, source="derived: M < Fi (D^2 + d^2)/(8 D)",
         places=lambda p: gap_places(WORST * p * MM, 30000, 30000 * WORST * p * MM / SHUT_SURE)),
    # with an arm: the worst of all cases is met while running, with the shortest belt
    Case("STANDOFF_OPENS", "fail", on(ARM_FREE, {"pump.standoff": tube(same, bolt=SURE)}), 100, 65,
         subject={"pulley": "pump"}, value=lambda p: arm_hub("pump") * p * MM, limit=SHUT_SURE, threshold=SHUT_SURE,
         places=lambda p: gap_places(arm_hub("pump") * p * MM, 30000, 30000 * arm_hub("pump") * p * MM / SHUT_SURE),
         at=arm_worst("pump")),
    # the shortest belt in tolerance is the tightest
    Case("STANDOFF_OPENS", "fail", on(WIDE, {"pump.standoff": tube(same, bolt=SURE)}), 100, 90, subject={"pulley": "pump"},
         value=lambda p: tight() * p * MM, limit=SHUT_SURE, threshold=SHUT_SURE,
         places=lambda p: gap_places(tight() * p * MM, 30000, 30000 * tight() * p * MM / SHUT_SURE),
         at={**AT_REST, **SHORTEST}),
    # told is what a bolt is drawn to, the middle of the scatter: its low end must hold it shut
    Case("STANDOFF_OPENS", "fail", on(PAIR, {"pump.standoff": tube(same, bolt=SCATTERED)}), 91, 80,
         subject={"pulley": "pump"}, value=lambda p: WORST * p * MM, limit=SHUT, threshold=SHUT,
         places=lambda p: gap_places(WORST * p * MM, 27000, wanted(p)),
         silent_on=[on(PAIR, {"pump.standoff": tube(same, bolt={**SCATTERED, "preload": math.ceil(wanted(91))})})(91)]),
    # the high end of what is wanted is over the proof strength of an M10 12.9, torsion counted
    Case("STANDOFF_OPENS_ANYWAY", "fail", on(PAIR, {"pump.standoff": tube(same, bolt=SCATTERED)}), 115, 95,
         subject={"pulley": "pump"}, value=lambda p: WORST * p * MM, limit=SHUT,
         measure=lambda p: worked("M10", 1.25 * wanted(p), 0.20 / 1.25), threshold=970 * MPA, places=lambda p: gap_places(WORST * p * MM, 27000, wanted(p)),
         source="derived: M < Fi (D^2 + d^2)/(8 D)"),
    # within 1.5 of it
    Case("STANDOFF_NEARLY_OPENS", "marginal", on(PAIR, {"pump.standoff": tube(same, bolt=SCATTERED)}), 65, 50,
         subject={"pulley": "pump"}, value=lambda p: WORST * p * MM, limit=SHUT, threshold=SHUT / 1.5,
         places=lambda p: more_preload(36000 * 1.5 * WORST * p * MM / SHUT, scatter=0.25),
         source="within 1.5", silent_on=[on(PAIR, {"pump.standoff": tube(same, bolt=SCATTERED)})(90)]),
    # the lever is counted from the tube's root: past mount and shim
    Case("STANDOFF_NEARLY_OPENS", "marginal", on(PAIR, {**STANDING_OFF, "pump.standoff": tube(40, bolt=SCATTERED)}), 20, 5,
         subject={"pulley": "pump"}, value=lambda p: WORST * (40 + p) * MM, limit=SHUT, threshold=SHUT / 1.5,
         places=lambda p: more_preload(36000 * 1.5 * WORST * (40 + p) * MM / SHUT, scatter=0.25)),
    # the range of the hub load alternates; metal of 200 MPa, whose surface factor would pass 1
    Case("STANDOFF_MAY_BREAK", "marginal", tube_case(strength=200), 100, 60, subject={"pulley": "pump"}, value=grey,
         limit=1.5, threshold=1.5, places=swing_places, source="marginal under 1.5",
         silent_on=[tube_case(strength=200)(150)]),
    # each belt swings between its own loads, all as far: not from the longest belt's least to the shortest belt's worst
    Case("STANDOFF_MAY_BREAK", "marginal", on(WIDE, {**FAST, "pump.standoff": tube(same, strength=200)}), 100, 60,
         subject={"pulley": "pump"}, value=grey, limit=1.5, threshold=1.5, places=swing_places),
    # aluminium of 150 MPa
    Case("STANDOFF_BREAKS", "fail", on(PAIR, {**FAST, "pump.standoff": tube(same, material="aluminium", strength=150, bolt=OF_ITSELF)}),
         110, 60, subject={"pulley": "pump"}, value=soft, limit=1.0, threshold=1.0, places=swing_places,
         source="Goodman with Marin's factors"),
    # a shaft that turns with the inner ring
    Case("STANDOFF_MAY_BREAK", "marginal", on(PAIR, TURNED), 80, 50, subject={"pulley": "pump"}, value=turning_shaft,
         limit=1.5, threshold=1.5, places=turned_places, silent_on=[on(PAIR, TURNED)(108)]),
    Case("STANDOFF_MAY_BREAK", "marginal", on(WIDE, TURNED), 80, 50, subject={"pulley": "pump"},
         value=lambda p: modified_endurance(400, 20) / bending(tight(), p * MM), limit=1.5, threshold=1.5,
         places=lambda p: {"alternating": shown(bending(tight(), p * MM), "MPA", 0), "mean": "0 MPa"},
         at={**AT_REST, **SHORTEST}),
    Case("STANDOFF_BREAKS", "fail", on(PAIR, TURNED), 108, 80, subject={"pulley": "pump"}, value=turning_shaft, limit=1.0,
         threshold=1.0, places=turned_places),
    # opened, the bolt bends with the tube at its thread and is judged by its own metal, between the least load and the worst
    Case("BENT_BOLT_BREAKS", "fail", loose_tube(13000, 3000), 130, 110, subject={"pulley": "pump"},
         value=lambda p: bent_bolt(p, 13000, hub(3000)), limit=1.0, threshold=1.0,
         places=lambda p: opened(bolt_swing(p, 13000, hub(3000))), source="fatigue of preloaded bolts: machine-design handbook",
         silent_on=[loose_tube(13000, 3000, **{"class": "SAE 8.2"}, thread="3/8-16")(130)]),
    # at the least load the tube is shut, and bends the bolt but little
    Case("BENT_BOLT_BREAKS", "fail", loose_tube(6000, 6000), 70, 56, subject={"pulley": "pump"},
         value=lambda p: bent_bolt(p, 6000, LEAST), limit=1.0, places=lambda p: opened(bolt_swing(p, 6000, LEAST))),
    Case("BENT_BOLT_MAY_BREAK", "marginal", loose_tube(9500, 3000), 100, 80, subject={"pulley": "pump"},
         value=lambda p: bent_bolt(p, 9500, hub(3000)), limit=1.5, threshold=1.5,
         places=lambda p: opened(bolt_swing(p, 9500, hub(3000))), source="marginal under 1.5",
         silent_on=[loose_tube(13000, 3000)(130)]),
    # a shaft that turns bends it both ways
    Case("BENT_BOLT_BREAKS", "fail", on(PAIR, {**TURNED, "pump.standoff": tube(same, bolt=loose(13000))}), 90, 70,
         subject={"pulley": "pump"}, value=lambda p: bent_bolt(p, 13000, -WORST), limit=1.0,
         places=lambda p: opened(bolt_swing(p, 13000, -WORST))),
)

# ---- bolts ------------------------------------------------------------------------------------------------------------

PROOF_8_8, YIELD_8_8, TENSILE_8_8, ENDURANCE_8_8 = 580 * MPA, 640 * MPA, 800 * MPA, 129 * MPA  # ISO 898-1; Shigley, 9th ed., Table 8-17
BY_TORQUE = 0.20  # K where nothing is said of the thread: Shigley, Table 8-15


def bolt(name, x, y, **more):
    return {"name": name, "at": [x, y], "thread": "M8", "class": "8.8", **more}


def mounted(*bolts, base=PAIR, **plate):
    """The pump on a plate; its belt runs in z = 0, the joint lies at `face`."""
    return on(base, {"pump.mount": "plate",
                     "mounts": [{"name": "plate", "face": 0, "friction": 0.15, **plate, "bolts": list(bolts)}]})


def of(name, **more):
    return {"other": "plate", "second": name, "bolt": name, "owner": "plate", **more}


def tightened(torque, diameter=8 * MM, factor=BY_TORQUE):
    return torque / (factor * diameter)  # T = K Fi d: Shigley, eq. 8-27


def carried(bolts, x, y, force, height):
    """The same of a force straight down at (x, y, height)."""
    return carried_by(bolts, [(x, y, -1j * force, height)])


def carried_by(bolts, loads):
    """Shear, pull and pull at the edge of every bolt, N, of a rigid plate with forces x + jy, N, at (x, y, height), m.

    Springs as stiff as the bolts' areas hold it in its plane, pads (or else the bolts) as stiff as theirs against it:
    three unknowns and three balances each. Bolts: (x, y, area, pad, hole), SI. A fifth number of a load is a torque about z."""
    couple, loads = sum(one[4] for one in loads if len(one) > 4), [one[:4] for one in loads]
    def stiffness(weights, own=(0.0,) * len(bolts)):
        k = np.zeros((3, 3))
        for (bx, by, *_), a, i in zip(bolts, weights, own):
            k += a * np.outer([1, bx, by], [1, bx, by]) + np.diag([0, i, i])
        return k
    area = [b[2] for b in bolts]
    total = stiffness(area)
    spin = np.array([[total[0, 0], 0, -total[0, 2]], [0, total[0, 0], total[0, 1]],
                     [-total[0, 2], total[0, 1], total[1, 1] + total[2, 2]]])
    along, up = sum(f.real for _, _, f, _ in loads), sum(f.imag for _, _, f, _ in loads)
    ux, uy, turn = np.linalg.solve(spin, [along, up, couple + sum(x * f.imag - y * f.real for x, y, f, _ in loads)])
    pads = all(b[3] for b in bolts)
    weight = [math.pi / 4 * (b[3] ** 2 - b[4] ** 2) for b in bolts] if pads else area
    own = [tube_inertia(b[3], b[4]) if pads else 0.0 for b in bolts]
    # moments of the forces: about x, -z Fy, which pulls at y answer; about y, z Fx, which pulls at -x do
    tilts = [0, sum(-z * f.real for _, _, f, z in loads), sum(-z * f.imag for _, _, f, z in loads)]
    a, b_, c = np.linalg.lstsq(stiffness(weight, own), tilts, rcond=None)[0]
    out = []
    for (bx, by, bolt_area, pad, _), w in zip(bolts, weight):
        stress = a + b_ * bx + c * by
        out.append((bolt_area * math.hypot(ux - turn * by, uy + turn * bx), w * stress,
                    w * (stress + (pad / 2 * math.hypot(b_, c) if pads else 0))))
    return out


def bolt_share(diameter, area, grip, plate, below):
    """C = kb/(kb + km) of a cap screw: grip and half a diameter of thread. The clamped metal is a double cone of 30 deg
    from 1.5 d at both ends, its compliance integrated slice by slice (Shigley, 9th ed., 8-4 and 8-5)."""
    end = grip + diameter / 2

    def slice_of(x):
        cone = 1.5 * diameter + 2 * min(x, end - x) * math.tan(math.pi / 6)
        return 1 / ((plate if x < grip else below) * math.pi / 4 * (cone ** 2 - diameter ** 2))
    members = 1 / quad(slice_of, 0, end, points=[end / 2, grip], epsabs=0, epsrel=1e-10)[0]
    shank = math.pi / 4 * diameter ** 2
    screw = 1 / (grip / (shank * STEEL) + diameter / 2 / (area * STEEL))
    return screw / (screw + members)


def cone(diameter, thickness):
    """The pad of a bolt whose pad is not given: from 1.5 d through the plate, 3 d at most (docs/theory/mount.md)."""
    return min(1.5 * diameter + 2 * thickness * math.tan(math.pi / 6), 3 * diameter)


def place(x, y, diameter=8, area=None, thickness=12):
    """Of a bolt through a plate, as `carried` takes it; the hole is ISO 273's, medium."""
    return (x * MM, y * MM, area or M8, cone(diameter, thickness) * MM, {8: 9, 10: 11}[diameter] * MM)


SHARE = bolt_share(8 * MM, M8, 12 * MM, ALUMINIUM, ALUMINIUM)  # of an M8 through 12 mm into aluminium
SHARE_IRON = bolt_share(10 * MM, M10, 10 * MM, ALUMINIUM, GREY_IRON)
BOOK = 2e-4  # the book rounds tan 30 deg to 0.5774 and 1.155
GRIPPED = {"tapped_in": "aluminium", "bracket": {"material": "aluminium", "thickness": 12}}

# -- proof


def proof_drive(**more):
    return mounted(bolt("left", -40, 300, torque=same, **more), bolt("right", 40, 300))


def meant(torque):
    return worked("M8", tightened(torque), BY_TORQUE)


def stretched(torque, scatter=0.30, pull=0.0):
    """At the high end of the scatter, where friction is that much lower."""
    return worked("M8", tightened(torque) * (1 + scatter), BY_TORQUE / (1 + scatter), pull)


def keeps_under(scatter=0.30, pull=0.0):
    """Torque at whose high end the bolt is just at proof, N m."""
    return brentq(lambda t: stretched(t, scatter, pull) - PROOF_8_8, 1e-3, 100)


def proof_places(name, owner, torque):
    places = 0 if torque >= 10 else 1 if torque >= 1 else 2
    return {"bolt": name, "owner": owner, "other": None, "torque": most(torque, "N_M", places)}


# Two bolts 40 mm apart over each other carry the tilt of the belt 60 mm in front by pull and thrust, and by their pads.
def over_plate(half, height):
    """Two bolts as far as that over and under the pump, mm, the belt in front of the joint: the upper has p N m."""
    return mounted(bolt("upper", 0, 300 + half, torque=same), bolt("lower", 0, 300 - half, torque=10), face=-height)


def on_its_own(height):
    """Pull of the upper of two bolts 20 mm apart without pads, N."""
    return WORST * height / 20


PULLED = [bolt("upper", 0, 320, torque=same), bolt("lower", 0, 280, torque=10)]
PULL = carried([place(0, 320), place(0, 280)], 0, 300 * MM, WORST, 500 * MM)[0][1]
BARE_PULL = WORST * 60 / 40  # without pads

TUBE_BOLT = {"thread": "M10", "class": "8.8", "torque": same, "condition": "oiled", "scatter": 0.2}  # K = 0.18


def tube_stress(torque):
    return worked("M10", tightened(torque, 10 * MM, 0.18) * 1.2, 0.18 / 1.2)


TUBE_TORQUE = brentq(lambda t: tube_stress(t) - PROOF_8_8, 1, 100)


def tube_meant(torque):
    return worked("M10", tightened(torque, 10 * MM, 0.18), 0.18)


def tensioned(**more):
    """Two bolts of which the file says nothing but how they are to be tightened."""
    return mounted(bolt("left", -40, 300, **more), bolt("right", 40, 300, torque=21))


def evenly(**more):
    """Half of the hub load on each, friction p."""
    return mounted(*[bolt(name, x, 300, scatter=0, condition="anti-seize", **more) for name, x in (("left", -40), ("right", 40))],
                   friction=same)


PROOF = [
    # by hand: M10 8.8 at 49 N m, K 0.20, pulls 24.5 kN, 31.9 at the high end: 549 MPa, and with the torsion of a friction of
    # 0.11, 0.287 of it, 613 MPa. 46 N m keeps it under 580
    Case("BOLT_MAY_PASS_PROOF", "marginal", mounted(bolt("left", -40, 300, thread="M10", torque=same), bolt("right", 40, 300)),
         49, 46, subject={"other": "plate, left"}, limit=PROOF_8_8, threshold=PROOF_8_8,
         value=lambda p: worked("M10", tightened(p, 10 * MM) * 1.3, BY_TORQUE / 1.3),
         places=lambda p: {**proof_places("left", "plate", 46.3), "value": "613 MPa"}),
    # as meant, the middle of the scatter, it is over; told is its high end
    Case("BOLT_OVER_PROOF", "fail", proof_drive(), 30, 25, subject={"other": "plate, left"}, value=stretched,
         limit=PROOF_8_8, measure=meant, threshold=PROOF_8_8, places=lambda p: proof_places("left", "plate", keeps_under()),
         source="proof strength of the property class; tension and torsion: VDI 2230", silent_on=[proof_drive()(33)]),
    # past yield as meant: told is that
    Case("BOLT_YIELDS", "fail", proof_drive(), 40, 30, subject={"other": "plate, left"}, value=meant, limit=YIELD_8_8,
         threshold=YIELD_8_8, places=lambda p: proof_places("left", "plate", keeps_under()), source="yield strength",
         silent_on=[proof_drive(**{"class": None, "proof_load": 21000, "tensile_load": 29000})(40)]),
    # only its high end is over
    Case("BOLT_MAY_PASS_PROOF", "marginal", proof_drive(), 27, 20, subject={"other": "plate, left"}, value=stretched,
         limit=PROOF_8_8, threshold=PROOF_8_8, places=lambda p: proof_places("left", "plate", keeps_under()),
         source="proof strength of the property class", silent_on=[proof_drive()(40)]),
    # a tightening factor of 1.5 (VDI 2230): most over least preload, so that the scatter is 0.5/2.5
    Case("BOLT_MAY_PASS_PROOF", "marginal", proof_drive(tightening_factor=1.5), 28, 22, subject={"other": "plate, left"},
         value=lambda p: stretched(p, 0.2), limit=PROOF_8_8, threshold=PROOF_8_8,
         places=lambda p: proof_places("left", "plate", keeps_under(0.2))),
    # the bolt's share C of the pull comes on top in service, and stays when the preload falls
    Case("BOLT_MAY_PASS_PROOF", "marginal", mounted(*PULLED, face=-500, **GRIPPED), 24, 16, subject={"other": "plate, upper"},
         value=lambda p: stretched(p, pull=SHARE * PULL), limit=PROOF_8_8, threshold=PROOF_8_8, tolerance=BOOK, at=AT_REST,
         places=lambda p: proof_places("upper", "plate", keeps_under(pull=SHARE * PULL))),
    # the grip is not known: all of the pull. With the torque that is told the same file keeps under
    Case("BOLT_MAY_PASS_PROOF", "marginal", over_plate(10, 80), 24, 15, subject={"other": "plate, upper"},
         value=lambda p: stretched(p, pull=on_its_own(80)), limit=PROOF_8_8, threshold=PROOF_8_8, at=AT_REST,
         places=lambda p: proof_places("upper", "plate", keeps_under(pull=on_its_own(80))),
         silent_on=[over_plate(10, 80)(math.floor(keeps_under(pull=on_its_own(80))))]),
    # a small pull: it is worked hardest under the wrench, before there is any load
    Case("BOLT_MAY_PASS_PROOF", "marginal", over_plate(10, 5), 26, subject={"other": "plate, upper"}, value=stretched,
         limit=PROOF_8_8, places=lambda p: proof_places("upper", "plate", keeps_under()), at={}),
    # 23.7 N m is told as 23: with 24 it passes
    Case("BOLT_MAY_PASS_PROOF", "marginal", proof_drive(scatter=0.277), 27, subject={"other": "plate, left"},
         value=lambda p: stretched(p, 0.277), limit=PROOF_8_8,
         places=lambda p: proof_places("left", "plate", keeps_under(0.277)),
         silent_on=[proof_drive(scatter=0.277)(math.floor(keeps_under(0.277)))]),
    # little room beside the pull: tenths and hundredths of a newton metre
    Case("BOLT_OVER_PROOF", "fail", over_plate(10, 400), 3, subject={"other": "plate, upper"}, at=AT_REST,
         value=lambda p: stretched(p, pull=on_its_own(400)), limit=PROOF_8_8,
         places=lambda p: proof_places("upper", "plate", keeps_under(pull=on_its_own(400)))),
    Case("BOLT_OVER_PROOF", "fail", over_plate(10, 425), 3, subject={"other": "plate, upper"}, at=AT_REST,
         value=lambda p: stretched(p, pull=on_its_own(425)), limit=PROOF_8_8,
         places=lambda p: proof_places("upper", "plate", keeps_under(pull=on_its_own(425)))),
    # the lower bolt's pad is pressed on: nothing comes on top of its preload
    Case("BOLT_MAY_PASS_PROOF", "marginal", mounted(bolt("one", 0, lambda p: 300 + p, torque=22),
                                                 bolt("two", 0, lambda p: 300 - p, torque=10), face=-80), 10, -10,
         subject={"other": "plate, one"}, value=lambda p: stretched(22, pull=on_its_own(80)), limit=PROOF_8_8,
         places=lambda p: proof_places("one", "plate", keeps_under(pull=on_its_own(80))), at=AT_REST),
    # the pull leaves no torque to be told: not the 0.01 N m that a figure of two places shows
    Case("PULL_OVER_PROOF", "fail", lambda p: over_plate(10, p)(10), 440, 420, subject={"other": "plate, upper"},
         value=lambda p: stretched(10, pull=on_its_own(p)), limit=PROOF_8_8, at=AT_REST,
         measure=lambda p: stretched(0.01, pull=on_its_own(p)), threshold=PROOF_8_8,
         places=lambda p: {"bolt": "upper", "owner": "plate", "other": None},
         source="proof strength of the property class"),
    # what snub chooses keeps under by itself, new bolts and those used again, well tightened or not
    Case("PRELOAD_LOW", "note", tensioned(scatter=same), 0.6, 0.3, subject={"other": "plate, left"},
         value=lambda p: usual("M8", PROOF_8_8, p), limit=0.60 * PROOF_8_8 * M8, threshold=0.60 * PROOF_8_8 * M8,
         places=lambda p: of("left", share=shown(usual("M8", PROOF_8_8, p) / (PROOF_8_8 * M8), "PERCENT", 0), more="more torque")),
    # 75 % of proof for bolts that are used again and 90 % for new ones, where friction is low and the preload sure
    Case("JOINT_MAY_SLIP", "marginal", evenly(reused=True), 0.04, 0.06, subject={"other": "plate, left"}, limit=0.67,
         threshold=0.67, value=lambda p: WORST / 2 / (p * usual("M8", PROOF_8_8, 0, 0.12)), at=AT_REST,
         places=lambda p: of("left", shear=shown(WORST / 2, "N", 0), friction=shown(p, "NONE", 2),
                             preload=shown(usual("M8", PROOF_8_8, 0, 0.12), "KN", 1))),
    Case("JOINT_MAY_SLIP", "marginal", evenly(reused=False), 0.034, 0.05, subject={"other": "plate, left"}, limit=0.67,
         threshold=0.67, value=lambda p: WORST / 2 / (p * usual("M8", PROOF_8_8, 0, 0.12, 0.9)), at=AT_REST,
         places=lambda p: of("left", shear=shown(WORST / 2, "N", 0), friction=shown(p, "NONE", 2),
                             preload=shown(usual("M8", PROOF_8_8, 0, 0.12, 0.9), "KN", 1))),
    # a standoff's bolt, oiled
    Case("BOLT_OVER_PROOF", "fail", on(PAIR, {"pump.standoff": tube(30, bolt=TUBE_BOLT)}), 54, 50,
         subject={"pulley": "pump", "other": "standoff bolt"}, value=tube_stress, limit=PROOF_8_8, measure=tube_meant,
         threshold=PROOF_8_8, places=lambda p: proof_places("standoff bolt", "pump", TUBE_TORQUE)),
    Case("BOLT_YIELDS", "fail", on(PAIR, {"pump.standoff": tube(30, bolt=TUBE_BOLT)}), 70, 55,
         subject={"pulley": "pump", "other": "standoff bolt"}, value=tube_meant, limit=YIELD_8_8, threshold=YIELD_8_8,
         places=lambda p: proof_places("standoff bolt", "pump", TUBE_TORQUE)),
    Case("BOLT_MAY_PASS_PROOF", "marginal", on(PAIR, {"pump.standoff": tube(30, bolt={**TUBE_BOLT, "name": "stud"})}), 50, 40,
         subject={"pulley": "pump", "other": "stud"}, value=tube_stress, limit=PROOF_8_8, threshold=PROOF_8_8,
         places=lambda p: proof_places("stud", "pump", TUBE_TORQUE),
         silent_on=[on(PAIR, {"pump.standoff": tube(30, bolt={**TUBE_BOLT, "name": "stud"})})(70)]),
]

# -- what nothing holds

LEVEL = [bolt("left", -40, 300), bolt("right", 40, 300)]  # in a line along x
# Two pulleys on one plate, the right one loaded when it turns fast: they pull hardest at rest, and twist the plate most at
# the redline. What is told of a case must be of that case.
TWISTS = vary(TRIANGLE, {"left.mount": "plate", "right.mount": "plate"})


class Twisted:
    def __init__(self, load, slow=0, growth=0):
        loads = {"right.load": [[500, slow], [3000, slow], [6000, load]], "belt.growth": growth}
        self.base = vary(TWISTS, loads)
        self.sample = Sample(text(vary(TRIANGLE, loads)), every=20)

    def plate(self, *bolts, base=None, **more):
        return on(self.base, {"mounts": [{"name": "plate", "face": 0, "friction": 0.15, **more, "bolts": list(bolts)}],
                              **(base or {})})

    def cases(self, height=0.0):
        """Where, and the loads there."""
        self.sample.load()
        return [(at, [(x * MM, 260 * MM, v[f"force {name}"], height, v[f"reaction {name}"]) for name, x in (("left", -150), ("right", 150))])
                for at, v in self.sample.cases]

    def about(self, x):
        """Of every case, where, and shear and moment about a bolt at (x, 260), mm."""
        return [(at, abs(sum(f for _, _, f, _, _ in loads)), abs(sum((px - x * MM) * f.imag + m for px, _, f, _, m in loads)))
                for at, loads in self.cases()]

    def use(self, x):
        """Friction that one bolt's pad is required: the worst case, (use, shear, moment, where)."""
        return max(((shear / (0.15 * LOW) + moment / TURN_AT_1, shear, moment, at) for at, shear, moment in self.about(x)),
                   key=lambda case: case[0])


HARD, SOFT, WARM = Twisted(20), Twisted(0.5), Twisted(1, 1, -0.0003)
CORNERS = [(-60, 280), (60, 280), (-60, 240), (60, 240)]
CORNER_PLACES = [(x * MM, y * MM, M8, 0, 0) for x, y in CORNERS]


def corner_pull(height=50):
    """Of the upper right of four bolts, that many mm behind the belt: (pull, where)."""
    return max(((carried_by(CORNER_PLACES, loads)[1][1], at) for at, loads in HARD.cases(height * MM)), key=lambda case: case[0])


def corner_slip(torque):
    """Of the same: (use, where, shear)."""
    shares = [(at, *carried_by(CORNER_PLACES, loads)[1][:2]) for at, loads in HARD.cases(50 * MM)]
    return max(((shear / (0.15 * (0.7 * tightened(torque) - pull)), at, shear) for at, shear, pull in shares),
               key=lambda case: case[0])


def corners(height=50, **more):
    return HARD.plate(*[bolt(name, x, y, **more) for name, (x, y) in zip("abcd", CORNERS)], face=-height)


GROUP = at_rest(
    # F times its height over the joint, about the line of the bolts
    Case("BOLTS_CANNOT_TILT", "fail", mounted(*LEVEL, face=lambda p: -p), 30, 0, subject={"other": "plate"},
         value=lambda p: WORST * p * MM, threshold=0.0, source="statics",
         silent_on=[mounted(*LEVEL, bolt("third", 0, 320), face=-30)(0),
                    mounted(bolt("left", -40, 300, pad=24), bolt("right", 40, 300, pad=24), face=-30)(0)]),
    Case("ONE_BOLT_TILTS", "fail", mounted(bolt("only", 0, 300), face=lambda p: -p), 30, 0, subject={"other": "plate"},
         value=lambda p: WORST * p * MM, threshold=0.0, source="statics",
         silent_on=[mounted(bolt("only", 0, 300, pad=24), face=-30)(0)]),
    # F times its distance from the bolt
    Case("ONE_BOLT_TURNS", "fail", mounted(bolt("only", lambda p: p, 300)), 20, 0, subject={"other": "plate"},
         value=lambda p: WORST * p * MM, threshold=0.0, source="statics",
         silent_on=[mounted(bolt("only", 20, 300, pad=24))(0), mounted(bolt("only", 20, 300), bolt("two", -20, 300))(0)]),
    # it turns and tilts: both are told
    Case("ONE_BOLT_TURNS", "fail", mounted(bolt("only", 20, 300), face=-30), 0, subject={"other": "plate"},
         value=lambda p: WORST * 20 * MM),
    Case("ONE_BOLT_TILTS", "fail", mounted(bolt("only", 20, 300), face=-30), 0, subject={"other": "plate"},
         value=lambda p: WORST * 30 * MM),
    # the worst case is not the first
    Case("BOLTS_CANNOT_TILT", "fail", mounted(*LEVEL, face=-30, base=SHRINKS), 0, subject={"other": "plate"},
         value=lambda p: SHRUNK * 30 * MM, at=WARM_REST),
    Case("ONE_BOLT_TILTS", "fail", mounted(bolt("only", 0, 300), face=-30, base=SHRINKS), 0, subject={"other": "plate"},
         value=lambda p: SHRUNK * 30 * MM, at=WARM_REST),
    Case("ONE_BOLT_TURNS", "fail", mounted(bolt("only", 20, 300), base=SHRINKS), 0, subject={"other": "plate"},
         value=lambda p: SHRUNK * 20 * MM, at=WARM_REST),
    # bolts on a slope: only the moment about their line is left without an answer
    Case("BOLTS_CANNOT_TILT", "fail", mounted(bolt("left", -30, 260), bolt("right", 30, 340), face=-30), 0,
         subject={"other": "plate"}, value=lambda p: WORST * 30 * MM * 0.6),
)

# -- turning about one bolt

LOW = 0.7 * usual("M8", PROOF_8_8)  # least preload where the file gives none: 30 % less


def pad_friction(pad, hole):
    """mu Fi times the mean radius of an even pressure on the ring (Shigley, 9th ed., eq. 16-27 with all of the ring)."""
    pressure = LOW / (math.pi / 4 * (pad ** 2 - hole ** 2))
    return 0.15 * quad(lambda r: pressure * 2 * math.pi * r * r, hole / 2, pad / 2)[0]


TURN_AT_1 = pad_friction(24 * MM, 9 * MM)  # the hole is ISO 273's where the file gives none


def turning(p, force=WORST, friction=0.15, radius=TURN_AT_1 / 0.15 / LOW):
    """Shear and moment share one friction: both added, each over what it alone could take (VDI 2230)."""
    return force / (friction * LOW) + force * p * MM / (friction * LOW * radius)


def turn_places(p, force=WORST):
    return {"shear": shown(force, "N", 0), "moment": shown(force * p * MM, "N_M", 1)}


# One bolt beside the pump of ARM: its shear is the hub load, what turns about it depends on where the belt pulls.
ASIDE = np.array([-45, 290]) * MM
PUMP = np.array([-20, 320]) * MM


def turned(v):
    """Shear and moment about the bolt: of the belt's pull, and of the pump's torque, which its housing takes."""
    arm, force = PUMP - ASIDE, v["force pump"]
    return abs(force), abs(arm[0] * force.imag - arm[1] * force.real + v["reaction pump"])


def turned_use(v):
    shear, moment = turned(v)
    return shear / (0.15 * LOW) + moment / TURN_AT_1


def turned_worst():
    """(use, shear, moment, where) of the case that asks most of the friction."""
    ARM_SAMPLE.load()
    return max(((turned_use(v), *turned(v), at) for at, v in ARM_SAMPLE.cases),
               key=lambda case: case[0])


TURNS = at_rest(
    # F and F times its distance over the friction of the ring
    Case("MOUNT_TURNS", "fail", mounted(bolt("only", same, 300, pad=24)), 11, 3, subject={"other": "plate"}, value=turning,
         limit=1.0, threshold=1.0, source="friction of the pad, least preload", places=turn_places),
    Case("MOUNT_MAY_TURN", "marginal", mounted(bolt("only", same, 300, pad=24)), 4, 0.2, subject={"other": "plate"},
         value=turning, limit=0.67, threshold=0.67, source="marginal over 0.67", places=turn_places,
         silent_on=[mounted(bolt("only", same, 300, pad=24))(20), mounted(bolt("only", 4, 300), bolt("two", -4, 300))(0),
                    mounted(bolt("only", 0, 300, pad=24, torque=20))(0)]),
    # no pad, but a plate: the pressure cone from 1.5 d through 6 mm (docs/theory/mount.md); friction of dry aluminium 0.21
    Case("MOUNT_MAY_TURN", "marginal", mounted(bolt("only", same, 300), friction=None, faces="aluminium-aluminium",
                                            bracket={"thickness": 6}), 6, 1, subject={"other": "plate"},
         value=lambda p: turning(p, friction=0.21, radius=pad_friction(cone(8, 6) * MM, 9 * MM) / 0.15 / LOW),
         limit=0.67, threshold=0.67, places=turn_places),
    # a plate of 20 mm: the pad is taken no wider than 3 d
    Case("MOUNT_MAY_TURN", "marginal", mounted(bolt("only", same, 300), bracket={"thickness": 20}), 4, 0.2,
         subject={"other": "plate"}, value=turning, limit=0.67, threshold=0.67, places=turn_places),
    # the worst case is not the first
    Case("MOUNT_TURNS", "fail", mounted(bolt("only", same, 300, pad=24), base=SHRINKS), 11, subject={"other": "plate"},
         value=lambda p: turning(p, SHRUNK), limit=1.0, places=lambda p: turn_places(p, SHRUNK), at=WARM_REST),
    # shear and moment that are told are those of the worst sum
    Case("MOUNT_TURNS", "fail", mounted(bolt("only", *(ASIDE / MM).tolist(), pad=24), base=ARM_FREE), 0,
         subject={"other": "plate"}, value=lambda p: turned_worst()[0], limit=1.0, at=lambda p: turned_worst()[3],
         places=lambda p: {"shear": shown(turned_worst()[1], "N", 0), "moment": shown(turned_worst()[2], "N_M", 1)}),
    # the plate is twisted most at the redline, and pulled most at rest: the shear is the redline's
    Case("MOUNT_TURNS", "fail", HARD.plate(bolt("only", 0, 260, pad=24)), 0, subject={"other": "plate"},
         value=lambda p: HARD.use(0)[0], limit=1.0, at=lambda p: HARD.use(0)[3],
         places=lambda p: {"shear": shown(HARD.use(0)[1], "N", 0), "moment": shown(HARD.use(0)[2], "N_M", 1)}),
    # less twisted, the friction is asked for most at rest: the moment is that of rest
    Case("MOUNT_MAY_TURN", "marginal", SOFT.plate(bolt("only", -1, 260, pad=24)), 0, subject={"other": "plate"},
         value=lambda p: SOFT.use(-1)[0], limit=0.67, at=lambda p: SOFT.use(-1)[3],
         places=lambda p: {"shear": shown(SOFT.use(-1)[1], "N", 0), "moment": shown(SOFT.use(-1)[2], "N_M", 1)}),
    # the belt draws in when warm
    Case("MOUNT_MAY_TURN", "marginal", WARM.plate(bolt("only", 1, 260, pad=24)), 0, subject={"other": "plate"},
         value=lambda p: WARM.use(1)[0], limit=0.67, at=lambda p: WARM.use(1)[3],
         places=lambda p: {"shear": shown(WARM.use(1)[1], "N", 0), "moment": shown(WARM.use(1)[2], "N_M", 1)}),
    # nothing turns about it: its shear alone
    Case("JOINT_MAY_SLIP", "marginal", mounted(bolt("only", 0, 300, pad=24, torque=same)), 20, 24,
         subject={"other": "plate, only"}, value=lambda p: WORST / (0.15 * 0.7 * tightened(p)), limit=0.67, threshold=0.67,
         places=lambda p: slip_places("only", WORST, 0.7 * tightened(p))),
)

# -- slip


def slip_places(name, shear, low, friction="0.15"):
    return of(name, shear=shown(shear, "N", 0), preload=shown(low, "KN", 1), friction=friction)


def lifted(base=PAIR):
    return mounted(bolt("upper", 0, 320, torque=same), bolt("lower", 0, 280), face=-60, base=base)


BESIDE = [bolt("left", -40, 300, torque=same), bolt("right", 40, 300)]


def half_slip(p, force=WORST):
    """Belt in the plane of the joint, the pump between two like bolts: half of the hub load on each."""
    return force / 2 / (0.15 * 0.7 * tightened(p))


# Three bolts, one of them an M10, beside and below the pump, the belt 40 mm in front.
UNLIKE = [bolt("a", 20, 250, torque=same), bolt("b", 90, 250, torque=same),
          {**bolt("c", 50, 310, torque=lambda p: 1.25 * p), "thread": "M10"}]
UNLIKE_PLACES = [place(20, 250), place(90, 250), place(50, 310, 10, M10)]
UNLIKE_LOADS = carried(UNLIKE_PLACES, 0, 300 * MM, WORST, 40 * MM)


def unlike_slip(p):
    """At bolt a: the joint takes 1 - C of its pull off the clamp."""
    shear, pull, _ = UNLIKE_LOADS[0]
    return shear / (0.15 * (0.7 * tightened(p) - (1 - SHARE) * pull))


def unlike(p):
    return mounted(*UNLIKE, face=-40, **GRIPPED)(p)


# Both pulleys of TRIANGLE on one plate, between whose bolts they stand evenly: it holds what the crank pulls with the
# shortest belt.
ROUND = 2 * SIDE + TOP + 2 * math.pi * 52 * MM
TRIANGLE_TENSION = MEASURED + STIFFNESS * (ROUND - (1211.9 + 2 * math.pi * 2.0) * MM) / ROUND
TOGETHER = 2 * TRIANGLE_TENSION * 260 * MM / SIDE

def between(p):
    """Of two bolts 80 mm apart with the pump of ARM between them: half of its pull, and its torque over their distance.
    The left one: (use, shear, where)."""
    ARM_SAMPLE.load()
    shears = [(abs(v["force pump"] / 2 - 1j * v["reaction pump"] / (80 * MM)), at) for at, v in ARM_SAMPLE.cases]
    shear, at = max(shears, key=lambda one: one[0])
    return shear / (0.15 * 0.7 * tightened(p)), shear, at


# A pump that asks for p N m between two bolts 80 mm apart on a plate in the belt's plane: today's load of the mount is W/2 and
# p/80 mm at each. Clockwise: the right bolt holds up against both.
def DRIVEN(p):
    return mounted(bolt("left", -40, 300, torque=8), bolt("right", 40, 300, torque=8))(p).replace(
        "diameter: 90,", f"diameter: 90, load: [[500, {p}], [20000, {p}]],")


def SHAKEN(p):
    return mounted(bolt("left", -40, 300, torque=12), bolt("right", 40, 300, torque=12), mass=p, mass_at=[0, 300, 0], vibration=10)(p)


def shaken(p):
    """Half of the belt's pull and of the mass' force at each bolt; what draws the joint apart takes from its clamp, all of it where
    the grip is not known. To six faces and eight corners: (use, shear)."""
    size, low, out = p * 10 * 9.80665, 0.7 * tightened(12), []
    for d in itertools.product((-1, 0, 1), repeat=3):
        if sum(map(abs, d)) not in (1, 3):
            continue
        x, y, z = (size * one / math.sqrt(sum(map(abs, d))) for one in d)
        shear = math.hypot(x / 2, (y - WORST) / 2)
        out.append((shear / (0.15 * (low - max(z, 0) / 2 + max(-z, 0) / 2)), shear))
    return max(out)


def vary_text(drive, changes):
    return text(vary(yaml.safe_load(drive), changes))


def driven(p):
    """At the right bolt: (use, shear, where)."""
    sample = Sample(vary_text(DRIVEN(p), {"mounts": None, "pump.mount": None}), every=20)
    sample.load()
    shears = [(abs(v["force pump"] / 2 + 1j * v["reaction pump"] / (80 * MM)), at) for at, v in sample.cases]
    shear, at = max(shears, key=lambda one: one[0])
    return shear / (0.15 * 0.7 * tightened(8)), shear, at


SLIPS = at_rest(
    # four bolts, pulled most at rest and slipping first at the redline: each is told where it is met
    Case("BOLT_MAY_PASS_PROOF", "marginal", corners(950, torque=same), 11, 8, subject={"other": "plate, b"},
         value=lambda p: stretched(p, pull=corner_pull(950)[0]), limit=PROOF_8_8, threshold=PROOF_8_8,
         at=lambda p: corner_pull(950)[1],
         places=lambda p: proof_places("b", "plate", keeps_under(pull=corner_pull(950)[0]))),
    Case("JOINT_SLIPS", "fail", corners(torque=same), 5, 10, subject={"other": "plate, b"},
         value=lambda p: corner_slip(p)[0], limit=1.0, threshold=1.0, at=lambda p: corner_slip(p)[1],
         places=lambda p: slip_places("b", corner_slip(p)[2], 0.7 * tightened(p))),
    # half of the hub load over mu Fi, Fi at the low end
    Case("JOINT_SLIPS", "fail", mounted(*BESIDE), 6, 9, subject={"other": "plate, left"}, value=half_slip, limit=1.0,
         threshold=1.0, places=lambda p: slip_places("left", WORST / 2, 0.7 * tightened(p)),
         source="friction joint with the least preload"),
    Case("JOINT_MAY_SLIP", "marginal", mounted(*BESIDE), 9, 14, subject={"other": "plate, left"}, value=half_slip,
         limit=0.67, threshold=0.67, places=lambda p: slip_places("left", WORST / 2, 0.7 * tightened(p)),
         source="marginal over 0.67", silent_on=[mounted(*BESIDE)(6)]),
    # friction of faces that nothing is said of: 0.10
    Case("JOINT_MAY_SLIP", "marginal", mounted(*BESIDE, friction=None), 14, 25, subject={"other": "plate, left"},
         value=lambda p: 1.5 * half_slip(p), limit=0.67, threshold=0.67,
         places=lambda p: slip_places("left", WORST / 2, 0.7 * tightened(p), "0.10")),
    # areas that differ, moments in and out of the plane
    Case("JOINT_MAY_SLIP", "marginal", unlike, 13, 30, subject={"other": "plate, a"}, value=unlike_slip, limit=0.67,
         threshold=0.67, tolerance=BOOK, places=lambda p: slip_places("a", UNLIKE_LOADS[0][0], 0.7 * tightened(p))),
    # grip not known: none of the pull is the bolt's, all of it comes off the clamp
    Case("JOINT_SLIPS", "fail", mounted(bolt("upper", 0, 320, torque=same), bolt("lower", 0, 280), face=-60), 7, 14,
         subject={"other": "plate, upper"}, limit=1.0, threshold=1.0,
         value=lambda p: WORST / 2 / (0.15 * (0.7 * tightened(p) - BARE_PULL)),
         places=lambda p: slip_places("upper", WORST / 2, 0.7 * tightened(p))),
    # the pull takes all of the preload: no friction is left
    Case("JOINT_LOSES_GRIP", "fail", lifted(), 1, 5, subject={"other": "plate, upper"}, value=lambda p: WORST / 2,
         measure=lambda p: 0.7 * tightened(p), threshold=BARE_PULL, source="friction joint with the least preload",
         places=lambda p: {**of("upper"), "preload": shown(0.7 * tightened(p), "KN", 1)}),
    # told is the case with most shear among those
    Case("JOINT_LOSES_GRIP", "fail", lifted(SHRINKS), 1, subject={"other": "plate, upper"}, value=lambda p: SHRUNK / 2,
         places=lambda p: {**of("upper"), "preload": shown(0.7 * tightened(p), "KN", 1)}, at=WARM_REST),
    Case("JOINT_MAY_SLIP", "marginal", mounted(*BESIDE, base=SHRINKS), 11, subject={"other": "plate, left"},
         value=lambda p: half_slip(p, SHRUNK), limit=0.67, at=WARM_REST,
         places=lambda p: slip_places("left", SHRUNK / 2, 0.7 * tightened(p))),
    # two pulleys on one plate
    Case("JOINT_MAY_SLIP", "marginal", on(TRIANGLE, {
        "left.mount": "plate", "right.mount": "plate", "mounts": [
            {"name": "plate", "face": 0, "friction": 0.15,
             "bolts": [bolt("left", -40, 260, torque=same), bolt("right", 40, 260, torque=same)]}]}),
         10, 14, subject={"other": "plate, right"}, value=lambda p: half_slip(p, TOGETHER), limit=0.67, threshold=0.67,
         places=lambda p: slip_places("right", TOGETHER / 2, 0.7 * tightened(p)), at={**AT_REST, **SHORTEST}),
    # with an arm
    Case("JOINT_MAY_SLIP", "marginal",
         mounted(bolt("left", -60, 320, torque=same), bolt("right", 20, 320, torque=same), base=ARM_FREE), 11, 16,
         subject={"other": "plate, left"}, value=lambda p: between(p)[0], limit=0.67, threshold=0.67,
         places=lambda p: slip_places("left", between(p)[1], 0.7 * tightened(p)), at=lambda p: between(p)[2]),
    # p kg shaken at ten times gravity in the plane of the joint, evenly between two bolts
    Case("JOINT_SLIPS", "fail", SHAKEN, 8, 0.2, subject={"other": "plate, left"}, value=lambda p: shaken(p)[0], limit=1.0, threshold=1.0,
         places=lambda p: slip_places("left", shaken(p)[1], 0.7 * tightened(12)),
         silent_on=[SHAKEN(8).replace("vibration: 10", "vibration: 0.5")]),
    # the torque of what it drives, p N m: W/2 and p/80 mm at each of two bolts 80 mm apart, one above the other's sign
    Case("JOINT_SLIPS", "fail", DRIVEN, 60, 2, subject={"other": "plate, right"}, value=lambda p: driven(p)[0], limit=1.0, threshold=1.0,
         places=lambda p: slip_places("right", driven(p)[1], 0.7 * tightened(8)), at=lambda p: driven(p)[2],
         silent_on=[vary_text(DRIVEN(60), {"pump.load": None}), vary_text(DRIVEN(60), {"pump.mount": None})]),
)

# -- separation, fatigue

ONE = {**bolt("only", 0, 300, pad=30, hole=11), "thread": "M10"}
ONE_LOW = 0.7 * usual("M10", PROOF_8_8)
IRON = {"tapped_in": "grey-iron", "bracket": {"material": "aluminium", "thickness": 10}}


def one_opens(p):
    """For one bolt the pad's edge lifts as a standoff's does; the bolt's share C stays off the joint."""
    return opens_at(ONE_LOW, 30 * MM, 11 * MM) / (1 - SHARE_IRON) / (WORST * p * MM)


# Four like bolts in a square of 2 x 30 mm around the pump: the upper pair at 30 mm carries F h/(4 x 30 mm) each.
SQUARE = [bolt(name, x, y, preload=3000) for name, x, y in
          (("a", -30, 330), ("b", 30, 330), ("c", -30, 270), ("d", 30, 270))]


def square_opens(p):
    """No pads and the grip not known: all of the pull comes off the joint."""
    return 0.7 * 3000 / (WORST * p * MM / (4 * 30 * MM))


STACKED = [bolt("upper", 0, 310), bolt("lower", 0, 290)]  # 20 mm apart
FIRM = 1.3 * usual("M8", PROOF_8_8) / M8  # high end of the preload, Pa
STACKED_PADS = carried([place(0, 310), place(0, 290)], 0, 300 * MM, 1.0, 1.0)[0][1]  # pull of the upper, of 1 N m


def stacked_fatigue(p, share, pull=1 / (20 * MM), forces=(WORST, LEAST), drawn=FIRM):
    """Shigley, 9th ed., eqs 8-35 and 8-38: the load line from the preload, pull between that of the redline and of rest."""
    high, low = (share * force * p * MM * pull / M8 for force in forces)
    alternating, mean_rise = (high - low) / 2, (high + low) / 2
    return ENDURANCE_8_8 * (TENSILE_8_8 - drawn) / (TENSILE_8_8 * alternating + ENDURANCE_8_8 * mean_rise)


def stacked(**more):
    return mounted(*STACKED, face=lambda p: -p, **more)


def turned_over(height, **more):
    """Two bolts p mm over and under the pump, the belt that far in front, mm."""
    return mounted(bolt("one", 0, lambda p: 300 + p, **more), bolt("two", 0, lambda p: 300 - p, **more), face=-height)


OF_NO_CLASS = {"class": None, "proof_load": 21000, "tensile_load": 29000}

HOLDS = at_rest(
    # the fibre of the pad's edge against the clamp
    Case("JOINT_OPENS", "fail", mounted(ONE, face=lambda p: -p, **IRON), 170, 130, subject={"other": "plate, only"},
         value=one_opens, limit=1.0, threshold=1.0, tolerance=BOOK, places=lambda p: of("only"),
         source="separation of a bolted joint"),
    Case("JOINT_MAY_OPEN", "marginal", mounted(ONE, face=lambda p: -p, **IRON), 120, 80, subject={"other": "plate, only"},
         value=one_opens, limit=1.5, threshold=1.5, tolerance=BOOK, places=lambda p: of("only"),
         source="marginal under 1.5", silent_on=[mounted(ONE, face=lambda p: -p, **IRON)(170)]),
    # four bolts, the upper two pulled
    Case("JOINT_OPENS", "fail", mounted(*SQUARE, face=lambda p: -p), 280, 230, subject={"other": "plate, b"},
         value=square_opens, limit=1.0, threshold=1.0, places=lambda p: of("b")),
    Case("JOINT_MAY_OPEN", "marginal", mounted(*SQUARE, face=lambda p: -p), 200, 140, subject={"other": "plate, a"},
         value=square_opens, limit=1.5, threshold=1.5, places=lambda p: of("a"),
         silent_on=[mounted(*SQUARE, face=lambda p: -p)(280)]),
    # the grip is not known: the bolt takes all of the pull
    Case("BOLT_BREAKS", "fail", stacked(), 115, 80, subject={"other": "plate, upper"},
         value=lambda p: stacked_fatigue(p, 1.0), limit=1.0, threshold=1.0, places=lambda p: of("upper"),
         source="fatigue of preloaded bolts",
         silent_on=[mounted(*[{**b, "thread": "5/16-18", "class": "SAE 8.2"} for b in STACKED], face=-115)(0),
                    mounted(*[{**b, **OF_NO_CLASS} for b in STACKED], face=-115)(0)]),
    Case("BOLT_MAY_BREAK", "marginal", stacked(), 80, 50, subject={"other": "plate, upper"},
         value=lambda p: stacked_fatigue(p, 1.0), limit=1.5, threshold=1.5, places=lambda p: of("upper"),
         source="marginal under 1.5", silent_on=[stacked()(120)]),
    # with one belt at a time
    Case("BOLT_BREAKS", "fail", mounted(*STACKED, face=lambda p: -p, base=WIDE), 115, 80, subject={"other": "plate, upper"},
         value=lambda p: stacked_fatigue(p, 1.0, forces=(tight(), tight(6000))), limit=1.0, threshold=1.0,
         places=lambda p: of("upper"), at={**AT_REST, **SHORTEST}),
    # it is, and the plate gives pads: the bolt takes C of its pull
    Case("BOLT_MAY_BREAK", "marginal", stacked(**GRIPPED), 220, 120, subject={"other": "plate, upper"},
         value=lambda p: stacked_fatigue(p, SHARE, STACKED_PADS), limit=1.5, threshold=1.5, tolerance=BOOK,
         places=lambda p: of("upper")),
    # the worst case is not the first
    Case("JOINT_MAY_OPEN", "marginal", mounted(*SQUARE, face=lambda p: -p, base=SHRINKS), 160, subject={"other": "plate, a"},
         value=lambda p: square_opens(p) * WORST / SHRUNK, limit=1.5, places=lambda p: of("a"), at=WARM_REST),
    # the pad's edge is pulled most at rest, where the friction is asked for most at the redline
    Case("JOINT_MAY_OPEN", "marginal", HARD.plate(bolt("only", 0, 260, pad=24), face=-30), 0, subject={"other": "plate, only"},
         value=lambda p: opens_at(LOW, 24 * MM, 9 * MM) / (max(f for _, f, _ in HARD.about(0)) * 30 * MM), limit=1.5,
         places=lambda p: of("only"), at={**AT_REST, **SHORTEST}),
    # over the pump a bolt is pulled, under it it is not
    Case("BOLT_BREAKS", "fail", turned_over(115), 10, -10, subject={"other": "plate, one"}, limit=1.0,
         value=lambda p: stacked_fatigue(115, 1.0), places=lambda p: of("one")),
    Case("JOINT_MAY_OPEN", "marginal", turned_over(120, preload=9000), 10, -10, subject={"other": "plate, one"},
         value=lambda p: 0.7 * 9000 / (WORST * 120 / 20), limit=1.5, places=lambda p: of("one")),
    # drawn past its yield strength it pulls no more than that: its safety is no less, and never under nought
    Case("BOLT_BREAKS", "fail", mounted(bolt("upper", 0, 310, torque=same), bolt("lower", 0, 290), face=-90), 38,
         subject={"other": "plate, upper"}, limit=1.0, places=lambda p: of("upper"),
         value=lambda p: stacked_fatigue(90, 1.0, drawn=YIELD_8_8)),
    Case("BOLT_BREAKS", "fail", mounted(bolt("upper", 0, 310, torque=same), bolt("lower", 0, 290), face=-90), 400,
         subject={"other": "plate, upper"}, limit=1.0, places=lambda p: of("upper"),
         value=lambda p: stacked_fatigue(90, 1.0, drawn=YIELD_8_8)),
    # under 60 % of proof, Shigley p. 448: 20.4 N m for an M8 8.8
    Case("PRELOAD_LOW", "note", mounted(*BESIDE), 18, 22, subject={"other": "plate, left"}, value=tightened,
         limit=0.60 * PROOF_8_8 * M8, threshold=0.60 * PROOF_8_8 * M8, source="machine-design handbook",
         places=lambda p: of("left", share=shown(tightened(p) / (PROOF_8_8 * M8), "PERCENT", 0), more="at least 21 N m"), at={},
        silent_on=[mounted(*BESIDE)(13)]),
    # 13.6 and 5.1 N m are 40 and 15 %; the torque to use is that of 60 % all the same
    Case("PRELOAD_SMALL", "marginal", mounted(*BESIDE), 13, 14, subject={"other": "plate, left"}, value=tightened,
         limit=0.40 * PROOF_8_8 * M8, threshold=0.40 * PROOF_8_8 * M8, source="marginal under 40 %",
         places=lambda p: of("left", share=shown(tightened(p) / (PROOF_8_8 * M8), "PERCENT", 0), more="at least 21 N m"), at={},
         silent_on=[mounted(*BESIDE)(5)]),
    Case("PRELOAD_TRIFLING", "fail", mounted(*BESIDE), 5, 5.5, subject={"other": "plate, left"}, value=tightened,
         limit=0.15 * PROOF_8_8 * M8, threshold=0.15 * PROOF_8_8 * M8, source="fail under 15 %",
         places=lambda p: of("left", share=shown(tightened(p) / (PROOF_8_8 * M8), "PERCENT", 0), more="at least 21 N m"), at={}),
)

# -- thread, bolts that carry nothing


def threaded(tapped, **more):
    return mounted(bolt("left", -40, 300, **more), bolt("right", 40, 300), tapped_in=tapped)


def seated_on(metal, **more):
    """The pump's standoff on a plate of a metal that the file names; its bolts hold it whatever it presses."""
    return {**STANDING_OFF, "mounts": [{**STANDING_OFF["mounts"][0], "bracket": {"material": metal, **more}}],
            "pump.stack": stack(("tube", "standoff", 40), ("pulley", "offset", 8))}


def stacked_plate(**more):
    return {"pump.mount": "plate", "mounts": [
        {"name": "plate", "stack": stack(("face", "face", -12), ("plate", "bracket", 12)), "tapped_in": "aluminium",
         "bolts": [bolt("left", -40, 300, **more), bolt("right", 40, 300)]}]}


def packed_plate(**more):
    """UNDER_PLATE, 2.2 mm too low, screwed into aluminium."""
    def drive(p):
        base = at_p(UNDER_PLATE, 2.2)
        plate = base["mounts"][0]
        one, two = plate["bolts"]
        return text(TRIANGLE, {**base, "mounts": [{**plate, "tapped_in": "aluminium",
                                                   "bolts": [{**one, **at_p(more, p)}, two]}]})
    return drive


def needs(tapped, class_, ratio, thread="M8", diameter=8, **more):
    """Engagement over d: docs/theory/mount.md, bolts."""
    least = ratio * diameter * MM
    return Case("THREAD_STRIPS", "fail", threaded(tapped, thread=thread, **{"class": class_, "engagement": same, **more}),
                ratio * diameter - 1, ratio * diameter + 1, subject={"other": "plate, left"}, value=lambda p: p * MM,
                limit=least, threshold=least, source="tables of thread engagement",
                places=lambda p: of("left", metal=tapped, limit=rounded_up(least)))


def rounded_up(length):
    """As what is needed is printed."""
    return f"{math.ceil(length / MM * 10 - 1e-6) / 10:.1f} mm"


# -- sliders in their slots

# Nothing loads the belt: the idler's hub load is greatest at rest, and known from the reference's equilibrium.
IN_SLOT = vary(LOCKED, {"fan.load": None})
UP_SLOPE = vary(IN_SLOT, {"idler.slot": {"from": [-90, 195], "to": [-30, 230]}})


def slides(base, where="idler"):
    """Greatest load along the slot, N, and its case."""
    slot = base["pulleys"][1]["slot"]
    way = complex(*slot["to"]) - complex(*slot["from"])
    sample = Sample(text(base))
    sample.load()
    loads = [(abs((v[f"force {where}"] / way).real) * abs(way), at) for at, v in sample.cases]
    return max(loads, key=lambda one: one[0])


def clamped(base=IN_SLOT, **more):
    """An M8 8.8 drawn to p newtons, 10 % more or less."""
    return on(base, {"idler.clamp": {"bolt": {"thread": "M8", "class": "8.8", "preload": same, "scatter": 0.1}, **more}})


def as_clamp(base=IN_SLOT):
    """The bolt of the idler's standoff is that of its slot."""
    return on(base, {"idler.standoff": {"outside": 20, "bore": 10.5, "length": 20, "bolt": {
        "thread": "M8", "class": "8.8", "preload": same, "scatter": 0.1}}})


def creep(base=IN_SLOT, friction=0.10):
    return lambda p: slides(base)[0] / (friction * 0.9 * p)


def creeping(base=IN_SLOT, friction="0.10", thread="M8"):
    return lambda p: {"load": shown(slides(base)[0], "N", 0), "preload": shown(0.9 * p, "KN", 1), "friction": friction,
                      **more_friction(p, slides(base)[0] / (float(friction) * 0.9 * p), thread=thread, proof=PROOF_8_8)}


def met(base=IN_SLOT):
    return lambda p: slides(base)[1]


IN_ARC = vary(IN_SLOT, {"idler.slot": {"centre": [-60, 150], "radius": 60, "from": 120, "to": 60}})


def round_slot():
    """The same in a curved slot: square to its radius at the place where the idler is set with the nominal belt."""
    drive, sample = reference.Drive(text(IN_ARC)), Sample(text(IN_ARC))
    reference.set_lock(drive)
    slot = drive.pulleys[1].slot
    way = 1j * (slot.place(drive.settings[1]) - slot.centre)
    sample.load()
    return max(((abs((v["force idler"] / way).real) * abs(way), at) for at, v in sample.cases), key=lambda one: one[0])


HALF_SLOT = 5.5 * MM  # an M10's hole (ISO 273)


def seat(power_along, power_across):
    """Integral of u^a v^b over what a slot leaves of the foot of a tube 20/10.5: two parts of a circle past its sides. SI."""
    def line(v):
        return 4 * (100e-6 - v * v) ** ((power_along + 1) / 2) / (power_along + 1) * v ** power_across
    return quad(lambda t: line(10 * MM * math.sin(t)) * 10 * MM * math.cos(t), math.asin(HALF_SLOT / (10 * MM)), math.pi / 2,
                epsabs=0, epsrel=1e-12)[0]


def rim():
    """Points of the foot's edge, the slot's corners among them: u + i v, m."""
    first = math.asin(HALF_SLOT / (10 * MM))
    part = 10 * MM * np.exp(1j * np.linspace(first, math.pi - first, 20001))
    return np.concatenate([part, part.conj()])


def foot(base, length, low):
    """Of a tube 20/10.5 over the idler's slot, length mm under the belt, at its least preload: moment over the one that lifts its
    edge, both, the case, and the moment along and across. The case that is nearest counts, not the greatest load."""
    slot = base["pulleys"][1]["slot"]
    way = complex(*slot["to"]) - complex(*slot["from"])
    way /= abs(way)
    sample = Sample(text(base))
    sample.load()
    area, along, across, edge, nearest = seat(0, 0), seat(2, 0), seat(0, 2), rim(), (0,)
    for at, v in sample.cases:
        moment = v["force idler"] / way * length * MM
        use = (moment.real * edge.real / along + moment.imag * edge.imag / across).max() * area / low
        nearest = max(nearest, (use, abs(moment), abs(moment) / use, at, moment), key=lambda one: one[0])
    return nearest


def slotted_gap(base, p, preload):
    use, moment, shut, _, way = foot(base, p, 0.9 * preload)
    u, v = np.meshgrid(*[(np.arange(1500) + 0.5) / 1500 * 20 * MM - 10 * MM] * 2)
    inside = (np.hypot(u, v) < 10 * MM) & (np.abs(v) > HALF_SLOT)
    u, v, cell = u[inside] / (10 * MM), v[inside] / (10 * MM), (20 * MM / 1500) ** 2

    rod = tube_inertia(10 * MM, 0)  # bent beside the tube, as far as that bends more than it would shut

    def left(plane):
        pressure = np.maximum(plane[0] + plane[1] * u + plane[2] * v, 0) * cell
        moments = [(pressure * u).sum() * 10 * MM, (pressure * v).sum() * 10 * MM]
        of_bolt = [rod * (slope / (10 * MM) - m / stiff) for slope, m, stiff in zip(plane[1:], moments, (seat(2, 0), seat(0, 2)))]
        return [pressure.sum() - 0.9 * preload, (moments[0] + of_bolt[0] - way.real) / (10 * MM),
                (moments[1] + of_bolt[1] - way.imag) / (10 * MM)]
    even = 0.9 * preload / seat(0, 0)
    plane = root(left, [even, way.real * 10 * MM / seat(2, 0), way.imag * 10 * MM / seat(0, 2)]).x
    lifted = np.mean(plane[0] + plane[1] * u + plane[2] * v <= 0)
    return {"preload": shown(0.9 * preload, "KN", 1), "wanted": least(preload * use, "KN", 1), "lifted": shown(lifted, "PERCENT", 0)}


def over_slot(base, preload):
    return on(base, {"idler.standoff": tube(same, bolt=loose(preload))})


def soft_slot(width=None):
    """A plate of p MPa with the idler's slot in it, as wide as the bolt's hole where the file is silent."""
    bracket = {"material": "aluminium", "strength": same, **({"slot_width": width} if width else {})}
    return on(UP_SLOPE, {"mounts": [{**STANDING_OFF["mounts"][0], "bracket": bracket}], "idler.mount": "plate",
                         "idler.stack": stack(("tube", "standoff", 40), ("pulley", "offset", 8)),
                         "idler.standoff": tube(40, bolt=loose(9000))})


def slot_edge(preload):
    """Pressure at the edge of the foot over the slot, 48 mm under the belt, while it is shut: N/A + M u/I + M v/I."""
    way, edge = foot(UP_SLOPE, 48, preload)[4], rim()
    return preload / seat(0, 0) + (way.real * edge.real / seat(2, 0) + way.imag * edge.imag / seat(0, 2)).max()


IDLER = {"pulley": "idler"}
SLOTS = [
    Case("SLIDER_CREEPS", "fail", clamped(), 2000, 4000, subject=IDLER, value=creep(), limit=1.0, threshold=1.0, at=met(),
         places=creeping(), source="friction joint with the least preload", tolerance=1e-5,
         silent_on=[clamped(located=True)(2000)]),
    Case("SLIDER_MAY_CREEP", "marginal", clamped(), 3000, 6000, subject=IDLER, value=creep(), limit=0.67, threshold=0.67,
         at=met(), places=creeping(), source="marginal over 0.67", tolerance=1e-5,
         silent_on=[clamped()(2000), clamped(located=True)(3000)]),
    # the component along the slot alone; across it the slot holds
    Case("SLIDER_CREEPS", "fail", clamped(UP_SLOPE, friction=0.2), 900, 3000, subject=IDLER, value=creep(UP_SLOPE, 0.2),
         limit=1.0, threshold=1.0, at=met(UP_SLOPE), places=creeping(UP_SLOPE, "0.20"), tolerance=1e-5),
    Case("SLIDER_CREEPS", "fail", clamped(IN_ARC), 900, subject=IDLER, value=lambda p: round_slot()[0] / (0.10 * 0.9 * p),
         limit=1.0, at=lambda p: round_slot()[1], tolerance=1e-5, places=lambda p: {
             "load": shown(round_slot()[0], "N", 0), "preload": shown(0.9 * p, "KN", 1), "friction": "0.10",
             **more_friction(p, round_slot()[0] / (0.10 * 0.9 * p), thread="M8", proof=PROOF_8_8)}),
    # a standoff's bolt; its face is no matter of its own then
    Case("SLIDER_CREEPS", "fail", as_clamp(), 2000, 4000, subject=IDLER, value=creep(), limit=1.0, threshold=1.0, at=met(),
         places=creeping(), tolerance=1e-5),
    # with a clamp of its own, the standoff must hold by its own friction
    Case("STANDOFF_SLIPS", "fail", on(IN_SLOT, {"idler.clamp": {"located": True, "bolt": {"thread": "M8", "class": "8.8"}},
                                                "idler.standoff": tube(20, bolt={"thread": "M10", "class": "8.8", "preload": same,
                                                                                 "scatter": 0.1})}),
         2000, 4000, subject=IDLER, value=lambda p: Sample(text(IN_SLOT)).value("hub idler") / (0.10 * 0.9 * p), limit=1.0,
         threshold=1.0, at=met(), places=creeping(thread="M10"), tolerance=1e-5, silent_on=[as_clamp()(2000)]),
    # it stands over its slot: what the slot takes of its seat does not hold it, and the way of the load counts
    Case("STANDOFF_OPENS", "fail", over_slot(UP_SLOPE, 6000), 70, 20, subject=IDLER, value=lambda p: foot(UP_SLOPE, p, 5400)[1],
         limit=lambda p: foot(UP_SLOPE, p, 5400)[2], measure=lambda p: foot(UP_SLOPE, p, 5400)[0], threshold=1.0,
         at=lambda p: foot(UP_SLOPE, p, 5400)[3], places=lambda p: slotted_gap(UP_SLOPE, p, 6000), tolerance=1e-5),
    Case("STANDOFF_NEARLY_OPENS", "marginal", over_slot(IN_SLOT, 9000), 55, 20, subject=IDLER,
         value=lambda p: foot(IN_SLOT, p, 8100)[1], limit=lambda p: foot(IN_SLOT, p, 8100)[2],
         measure=lambda p: foot(IN_SLOT, p, 8100)[0], threshold=1 / 1.5, at=lambda p: foot(IN_SLOT, p, 8100)[3],
         places=lambda p: more_preload(9000 * 1.5 * foot(IN_SLOT, p, 8100)[0]), tolerance=1e-5),
    Case("STANDOFF_SINKS", "fail", soft_slot(), 80, 160, subject=IDLER, value=lambda p: slot_edge(9900),
         limit=lambda p: p * MPA, measure=lambda p: slot_edge(9000) / (p * MPA), threshold=1.0, source="VDI 2230",
         at=lambda p: foot(UP_SLOPE, 48, 8100)[3], tolerance=1e-5),
    # the clamp's bolt by itself: stress, thread, head
    Case("BOLT_YIELDS", "fail", clamped(), 24000, 19000, subject={"pulley": "idler", "other": "slot bolt"}, limit=YIELD_8_8,
         value=lambda p: worked("M8", p, BY_TORQUE), threshold=YIELD_8_8,
         places=lambda p: proof_places("slot bolt", "idler", BY_TORQUE * 8 * MM * brentq(
             lambda f: worked("M8", 1.1 * f, BY_TORQUE / 1.1) - PROOF_8_8, 1, 1e5))),
    Case("THREAD_STRIPS", "fail", on(IN_SLOT, {"idler.clamp": {"tapped_in": "steel", "bolt": {
        "thread": "M8", "class": "8.8", "engagement": same}}}), 6, 8, subject={"pulley": "idler", "other": "slot bolt"},
         value=lambda p: p * MM, limit=7.2 * MM, threshold=7.2 * MM,
         places=lambda p: {"bolt": "slot bolt", "owner": "idler", "metal": "steel"}),
    Case("HEAD_SINKS", "fail", clamped(material="aluminium"), 14000, 12000, subject={"pulley": "idler", "other": "slot bolt"},
         value=lambda p: 1.1 * p / ring_area(11.63, 9), limit=310 * MPA, measure=lambda p: p / ring_area(11.63, 9),
         threshold=310 * MPA, places=lambda p: {"bolt": "slot bolt", "owner": "idler", "metal": "aluminium", "face": "its head",
                                                "advice": "Use a hardened washer, or less torque"},
         silent_on=[clamped()(24000)]),
]

# -- faces that slip, heads and tubes that sink in


def ring_area(outside, hole):
    return math.pi / 4 * (outside ** 2 - hole ** 2) * MM * MM


def slipping(p, low=0.9, friction=0.10):
    """The whole hub load on the friction of the least preload."""
    return WORST / (friction * low * p)


def drawn_tube(**more):
    return on(PAIR, {"pump.standoff": tube(30, bolt={"thread": "M10", "class": "12.9", "preload": same, "scatter": 0.1}, **more)})


def slip_of_tube(p, friction="0.10"):
    return {"load": shown(WORST, "N", 0), "preload": shown(0.9 * p, "KN", 1), "friction": friction,
            **more_friction(p, slipping(p, friction=float(friction)))}


def headed(metal="aluminium", more=None, **bolt_more):
    """An M8 whose torque is p, through a plate of a metal that the file names."""
    return mounted(bolt("left", -40, 300, torque=same, **bolt_more), bolt("right", 40, 300, torque=10),
                   bracket={"material": metal, **(more or {})})


def sinks(level, drive, fires, quiet, area, limit=310 * MPA, metal="aluminium", face="its head", **more):
    """Over the limit as meant: fails; only at the high end: marginal. Told is the high end."""
    wording, over = {"fail": ("HEAD_SINKS", 1.0), "marginal": ("HEAD_MAY_SINK", 1.3)}[level]
    advice = {"its head": "Use a hardened washer, or less torque",
              "its washer": "Use a wider and thicker washer, or less torque"}[face]
    return Case(wording, level, drive, fires, quiet, subject={"other": "plate, left"}, limit=limit, threshold=limit,
                value=lambda p: 1.3 * tightened(p) / area, measure=lambda p: over * tightened(p) / area,
                source="VDI 2230", places=lambda p: of("left", metal=metal, face=face, advice=advice), **more)


SEATED_TUBE = 48 * MM  # of the belt over the root of the standoff of STANDING_OFF


def edge_pressure(preload):
    """A tube 20/10.5 pressed down by its bolt and bent by the hub load, N/A + M c/I."""
    return preload / ring_area(20, 10.5) + WORST * SEATED_TUBE * 10 * MM / tube_inertia(20 * MM, 10.5 * MM)


def soft_seat(**more):
    """A plate of p MPa of tensile strength, which is what aluminium stands under a head."""
    return on(PAIR, {**seated_on("aluminium", strength=same), "pump.standoff": tube(40, bolt={
        "thread": "M10", "class": "12.9", "preload": 25000, "scatter": 0.1, **more})})


BOLT_FACES = at_rest(
    # by hand: 986 N of hub load; 9 kN less 10 % with a friction of 0.10 hold 810 N
    Case("STANDOFF_SLIPS", "fail", drawn_tube(), 9000, 12000, subject={"pulley": "pump"}, value=slipping, limit=1.0,
         threshold=1.0, places=slip_of_tube, source="friction joint with the least preload",
         silent_on=[drawn_tube(located=True)(9000)]),
    Case("STANDOFF_MAY_SLIP", "marginal", drawn_tube(), 12000, 20000, subject={"pulley": "pump"}, value=slipping, limit=0.67,
         threshold=0.67, places=slip_of_tube, source="marginal over 0.67",
         silent_on=[drawn_tube()(9000), drawn_tube(located=True)(12000)]),
    Case("STANDOFF_SLIPS", "fail", drawn_tube(friction=0.2), 4500, 6000, subject={"pulley": "pump"}, limit=1.0, threshold=1.0,
         value=lambda p: slipping(p, friction=0.2), places=lambda p: slip_of_tube(p, "0.20")),
    Case("STANDOFF_MAY_SLIP", "marginal", drawn_tube(faces="aluminium-aluminium"), 6000, 9000, subject={"pulley": "pump"},
         limit=0.67, threshold=0.67, value=lambda p: slipping(p, friction=0.21), places=lambda p: slip_of_tube(p, "0.21")),
    # by hand: M8, head of ISO 4017 over a hole of ISO 273: 42.6 mm2; 13.2 kN, 21.1 N m, are 310 MPa
    sinks("fail", headed(), 23, 19, ring_area(11.63, 9), at={},
          silent_on=[headed(washer=16)(23), headed("grey-iron")(23), headed("steel")(23),
                     mounted(bolt("left", -40, 300, torque=23), bolt("right", 40, 300, torque=10))(0)]),
    sinks("marginal", headed(), 19, 15, ring_area(11.63, 9), at={}, silent_on=[headed()(23)]),
    # a washer of 16 x 1.6 hands it on over 14.19 mm, one of 12 over its own 12, a thick one over more
    sinks("fail", headed(washer=16), 50, 45, ring_area(11.63 + 1.6 * 1.6, 9), face="its washer", at={}),
    sinks("fail", headed(washer=12), 26, 23, ring_area(12, 9), face="its washer", at={}),
    sinks("marginal", headed(washer=20, washer_thickness=3), 60, 50, ring_area(11.63 + 1.6 * 3, 9), face="its washer", at={}),
    # a head and a hole of its own, a metal of its own strength
    sinks("fail", headed(head=13, hole=8.4), 45, 33, ring_area(13, 8.4), at={}),
    sinks("fail", headed("steel"), 40, 33, ring_area(11.63, 9), limit=520 * MPA, metal="steel", at={}),
    sinks("marginal", headed("grey-iron", {"strength": 200}), 38, 32, ring_area(11.63, 9), limit=680 * MPA, metal="grey-iron",
          at={}),
    # 3/8-16: 9/16 in across flats, less a tenth; hole 1.1 d
    Case("HEAD_SINKS", "fail", headed(thread="3/8-16", **{"class": "SAE 8"}), 30, 22, subject={"other": "plate, left"},
         value=lambda p: 1.3 * tightened(p, 9.525 * MM) / ring_area(0.9 * 14.2875, 1.1 * 9.525), limit=310 * MPA,
         measure=lambda p: tightened(p, 9.525 * MM) / ring_area(0.9 * 14.2875, 1.1 * 9.525), threshold=310 * MPA, at={},
         places=lambda p: of("left", metal="aluminium", face="its head", advice="Use a hardened washer, or less torque")),
    # what the bolt takes of the pull presses as well; the grip is not known: all of it
    Case("HEAD_SINKS", "fail", mounted(bolt("upper", 0, 310, torque=same, hole=8.4), bolt("lower", 0, 290, torque=10), face=-80,
                                       bracket={"material": "aluminium"}), 21, 10, subject={"other": "plate, upper"},
         value=lambda p: (1.3 * tightened(p) + on_its_own(80)) / ring_area(11.63, 8.4), limit=310 * MPA, threshold=310 * MPA,
         measure=lambda p: (tightened(p) + on_its_own(80)) / ring_area(11.63, 8.4), at={},
         places=lambda p: of("upper", metal="aluminium", face="its head", advice="Use a hardened washer, or less torque")),
    # the tube's edge on its seat, where the load bends it to; the seat is made softer
    Case("STANDOFF_SINKS", "fail", soft_seat(), 150, 185, subject={"pulley": "pump"}, value=lambda p: edge_pressure(27500),
         limit=lambda p: p * MPA, measure=lambda p: edge_pressure(25000) / (p * MPA), threshold=1.0, source="VDI 2230"),
    Case("STANDOFF_MAY_SINK", "marginal", soft_seat(), 180, 200, subject={"pulley": "pump"},
         value=lambda p: edge_pressure(27500), limit=lambda p: p * MPA, threshold=1.0,
         measure=lambda p: edge_pressure(27500) / (p * MPA), source="VDI 2230", silent_on=[soft_seat()(150)]),
    # the tube itself is softer than its seat
    Case("STANDOFF_SINKS", "fail", on(PAIR, {**seated_on("steel"), "pump.standoff": tube(40, material="aluminium", strength=same,
         bolt={"thread": "M10", "class": "12.9", "preload": 25000, "scatter": 0.1})}), 150, 185, subject={"pulley": "pump"},
         value=lambda p: edge_pressure(27500), limit=lambda p: p * MPA, measure=lambda p: edge_pressure(25000) / (p * MPA),
         threshold=1.0, silent_on=[on(PAIR, {**STANDING_OFF, "pump.stack": stack(("tube", "standoff", 40), ("pulley", "offset", 8)),
                                             "pump.standoff": tube(40, material="aluminium", strength=150, bolt={
                                                 "thread": "M10", "class": "12.9", "preload": 25000, "scatter": 0.1})})(0)]),
    # a standoff's bolt that may shake loose
    Case("PRELOAD_LOW", "note", drawn_tube(), 30000, 36000, subject={"pulley": "pump", "other": "standoff bolt"},
         value=lambda p: float(p), limit=0.60 * 970 * MPA * M10, threshold=0.60 * 970 * MPA * M10, at={},
         places=lambda p: {"bolt": "standoff bolt", "owner": "pump", "share": shown(p / (970 * MPA * M10), "PERCENT", 0), "more": f"at least {least(0.60 * 970 * MPA * M10 * BY_TORQUE * 10 * MM, 'N_M', 0)}"}),
)

THREADS = [
    needs("aluminium", "8.8", 2.0), needs("aluminium", "10.9", 2.5), needs("steel", "8.8", 0.9),
    needs("steel", "10.9", 1.0), needs("grey-iron", "8.8", 1.0), needs("grey-iron", "10.9", 1.25, "M10", 10),
    needs("steel", "12.9", 1.2), needs("grey-iron", "12.9", 1.4),
    # the whole length less the grip
    Case("THREAD_STRIPS", "fail", threaded("aluminium", length=lambda p: p + 12, grip_length=12), 15, 17,
         subject={"other": "plate, left"}, value=lambda p: p * MM, limit=16 * MM, threshold=16 * MM,
         places=lambda p: of("left", metal="aluminium"), silent_on=[threaded(None, length=27, grip_length=12)(0)]),
    # the grip's default is the plate's thickness
    Case("THREAD_STRIPS", "fail", mounted(bolt("left", -40, 300, length=lambda p: p + 12), bolt("right", 40, 300), **GRIPPED),
         15, 17, subject={"other": "plate, left"}, value=lambda p: p * MM, limit=16 * MM, threshold=16 * MM,
         places=lambda p: of("left", metal="aluminium")),
    # 0.9 of 5/16 in is 7.14 mm: 7.1 would strip
    Case("THREAD_STRIPS", "fail", threaded("steel", thread="5/16-18", engagement=same, **{"class": "8.8"}), 7.0,
         subject={"other": "plate, left"}, value=lambda p: p * MM, limit=0.9 * 7.9375 * MM,
         places=lambda p: of("left", metal="steel", limit="7.2 mm")),
    # by strength: grades of inch bolts, and bolts whose loads are given. 12.9 in aluminium needs what 10.9 does
    needs("steel", "SAE 5", 0.9, "3/8-16", 9.525), needs("aluminium", "SAE 8", 2.5, "3/8-16", 9.525),
    needs("grey-iron", "SAE 7", 1.25, "3/8-16", 9.525), needs("aluminium", "12.9", 2.5),
    needs("aluminium", None, 2.5, proof_load=30400, tensile_load=38100),
    # by hand: a standoff's M10 10.9 has 3 mm of thread in steel and needs 10, its diameter
    Case("THREAD_STRIPS", "fail", on(PAIR, {"pump.standoff": tube(30, tapped_in="steel", bolt={
        "thread": "M10", "class": "10.9", "preload": 25000, "engagement": same})}), 3, 12,
         subject={"pulley": "pump", "other": "standoff bolt"}, value=lambda p: p * MM, limit=10 * MM, threshold=10 * MM,
         places=lambda p: {"bolt": "standoff bolt", "owner": "pump", "metal": "steel"}, at={}),
    # on a plate of aluminium, of which the file says so: it is screwed into that. M10: 25 mm
    Case("THREAD_STRIPS", "fail", on(PAIR, {**seated_on("aluminium"), "pump.standoff": tube(40, bolt={
        "thread": "M10", "class": "10.9", "preload": 25000, "engagement": same})}), 24, 26,
         subject={"pulley": "pump", "other": "standoff bolt"}, value=lambda p: p * MM, limit=25 * MM, threshold=25 * MM,
         places=lambda p: {"bolt": "standoff bolt", "owner": "pump", "metal": "aluminium"}, at={}),
    # no thickness: the parts of the stack that the bolts clamp, 12 mm, and a washer of 1.6
    Case("THREAD_STRIPS", "fail", on(PAIR, stacked_plate(length=lambda p: p + 13.6, washer=16)), 15, 17,
         subject={"other": "plate, left"}, value=lambda p: p * MM, limit=16 * MM, threshold=16 * MM,
         places=lambda p: of("left", metal="aluminium"), tolerance=1e-5),
    # a shim of 1.016 mm that the alignment wants under the plate: 16.8 mm of thread become 15.8
    Case("SHIMS_TAKE_THREAD", "fail", packed_plate(engagement=same), 16.8, 17.4, subject={"other": "plate, one"},
         value=lambda p: p * MM - sum(plate_advice(2.2)[1][0]) * MM, limit=16 * MM, threshold=16 * MM,
         measure=lambda p: p * MM - sum(plate_advice(2.2)[1][0]) * MM, source="tables of thread engagement",
         places=lambda p: {"bolt": "one", "owner": "plate", "metal": "aluminium",
                           "pack": shown(sum(plate_advice(2.2)[1][0]) * MM, "MM", 2),
                           "longer": least(16 * MM - p * MM + sum(plate_advice(2.2)[1][0]) * MM, "MM", 1)},
         silent_on=[packed_plate(engagement=same)(15), packed_plate(length=same)(12 + 16 + 2.3)]),
    Case("SHIMS_TAKE_THREAD", "fail", packed_plate(length=same), 12 + 16.5, 12 + 17.5, subject={"other": "plate, one"},
         value=lambda p: (p - 12) * MM - sum(plate_advice(2.2)[1][0]) * MM, limit=16 * MM, threshold=16 * MM,
         places=lambda p: {"bolt": "one", "owner": "plate", "metal": "aluminium",
                           "pack": shown(sum(plate_advice(2.2)[1][0]) * MM, "MM", 2),
                           "longer": least(28 * MM - p * MM + sum(plate_advice(2.2)[1][0]) * MM, "MM", 1)}),
    # a metal that is not named, a clamped length that nothing gives
    Case("THREADED_IN_NOTHING", "note", threaded(None, engagement=same), 10, subject={"other": "plate, left"},
         value=lambda p: p * MM, places=lambda p: of("left"), silent_on=[threaded("steel", engagement=10)(0)]),
    Case("GRIP_UNKNOWN", "note", threaded("steel", length=same), 40, subject={"other": "plate, left"},
         value=lambda p: p * MM, places=lambda p: of("left"),
         silent_on=[threaded("steel", length=40, grip_length=20)(0), threaded("steel", length=40, engagement=20)(0)]),
    Case("GRIP_UNKNOWN", "note", on(PAIR, {"pump.standoff": tube(30, tapped_in="steel", bolt={
        "thread": "M10", "class": "10.9", "length": same})}), 60, subject={"pulley": "pump", "other": "standoff bolt"},
         value=lambda p: p * MM, places=lambda p: {"bolt": "standoff bolt", "owner": "pump"}, at={}),
    Case("ENGAGEMENT_UNKNOWN", "note", threaded("aluminium", engagement=same, **{"class": "12.9"}), 21,
         subject={"other": "plate, left"}, value=lambda p: p * MM, source="tables of thread engagement",
         places=lambda p: of("left", metal="aluminium", **{"class": "12.9"}),
         silent_on=[threaded("aluminium", **{"class": "12.9"})(0), threaded("aluminium", engagement=10)(0),
                    threaded("aluminium", engagement=19.9, **{"class": "12.9"})(0),
                    threaded(None, engagement=10, **{"class": "12.9"})(0)]),
    Case("MOUNT_CARRIES_NOTHING", "note", on(PAIR, {"mounts": [{"name": "plate", "bolts": LEVEL}]}), 0,
         subject={"other": "plate"}, source="the drive file",
         silent_on=[on(PAIR, {"pump.mount": "plate", "mounts": [{"name": "plate", "bolts": LEVEL}]})(0)]),
    # three bolts, the third p off the line of the outer two; within a millimetre they are in a line
    Case("BOLTS_IN_LINE", "note", mounted(bolt("left", -40, 300, pad=24), bolt("right", 40, 300, pad=24),
                                          bolt("middle", 5, lambda p: 300 + p, pad=24), face=-20), 0.5, 2.0,
         subject={"other": "plate"}, value=lambda p: WORST * 20 * MM, measure=lambda p: p * MM, threshold=1 * MM,
         source="statics", at=AT_REST, silent_on=[mounted(bolt("only", 0, 300, pad=24), face=-20)(0)]),
    # only a moment about their line: none without a height, nor where the pads are not known
    Case("BOLTS_IN_LINE", "note", mounted(bolt("left", -40, 300, pad=24), bolt("right", 40, 300, pad=24),
                                          face=lambda p: -p, base=SHRINKS), 20, 0, subject={"other": "plate"},
         value=lambda p: SHRUNK * p * MM, threshold=0.0, at=WARM_REST,
         silent_on=[mounted(*LEVEL, face=-20)(0), mounted(*LEVEL, bolt("middle", 5, 300.5), face=-20)(0),
                    mounted(bolt("upper", 0, 320, pad=24), bolt("lower", 0, 280, pad=24), face=-20)(0)]),
    # on a slope
    Case("BOLTS_IN_LINE", "note", mounted(bolt("left", -30, 260, pad=24), bolt("right", 30, 340, pad=24), face=-20), 0,
         subject={"other": "plate"}, value=lambda p: WORST * 20 * MM * 0.6, at=AT_REST),
]

# ---- bearings ---------------------------------------------------------------------------------------------------------


def seated(seat=None, changes=None, **bearing):
    """The pump on one bearing."""
    return on(PAIR, {"pump.bearing": {"type": "6203", **(seat or {})}, "bearings": [{**BEARING, **bearing}],
                     **(changes or {})})


IN_PUMP = {"pulley": "pump", "other": "6203"}


def top_speed(redline):
    return redline * RATIO * RPM


TO = {"engine.redline": same}
N_DM = dict(subject=IN_PUMP, value=lambda p: p * RATIO * 28.5, threshold=340000.0)

def at_redline(*cases):
    """Cases whose p is the redline: there they turn fastest."""
    for case in cases:
        case.at = running
    return list(cases)


SPEEDS = at_redline(
    # engine speed times the ratio of pitch radii
    Case("BEARING_TOO_FAST", "fail", seated(changes=TO, max_speed=8000), 5800, 5400, subject=IN_PUMP, value=top_speed,
         limit=8000 * RPM, threshold=8000 * RPM, source="bearing maker's catalogue",
         silent_on=[seated(changes=TO, max_speed=None)(5800)]),
    # over 70 % of it
    Case("BEARING_FAST", "note", seated(changes=TO, max_speed=8000), 4200, 3700, subject=IN_PUMP, value=top_speed,
         limit=0.70 * 8000 * RPM, threshold=0.70 * 8000 * RPM, source="bearing maker's catalogue",
         places=lambda p: {"share": shown(top_speed(p) / (8000 * RPM), "PERCENT", 0)},
         silent_on=[seated(changes=TO, max_speed=8000)(5800)]),
    # middle diameter (17 + 40)/2 mm; contact seals, or seals that nothing is said of
    Case("SEALS_TOO_FAST", "fail", seated(changes=TO, seal="contact"), 8600, 8000, limit=340000.0,
         limit_key=("bearing_n_dm", "MM_RPM"), default=340000.0, source="bearing maker's catalogue, contact seals",
         silent_on=[seated(changes=TO, seal=s)(8600) for s in ("low-contact", "shield", "open")], **N_DM),
    Case("SEALS_TOO_FAST", "fail", seated(changes=TO, seal=None), 8600, 8000, limit=340000.0, **N_DM),
    # a limit of the file's own holds for every seal
    Case("SPEED_NUMBER_HIGH", "fail", seated(changes={**TO, "limits": {"bearing_n_dm": 200000}}), 5200, 4600,
         **{**N_DM, "threshold": 200000.0}, limit=200000.0, source="the drive file, line",
         silent_on=[seated(changes=TO)(8600), seated(changes={**TO, "limits": {"bearing_n_dm": 200000}},
                                                     seal="contact")(5200)]),
    Case("SPEED_NUMBER_HIGH", "fail", seated(changes=TO, seal="shield"), 5200, 4600, limit=200000.0,
         arguments=("--set", "limits.bearing_n_dm=200000"), **{**N_DM, "threshold": 200000.0}),
    Case("SEALS_TOO_FAST", "fail", seated(changes={**TO, "limits": {"bearing_n_dm": 200000}}, seal="contact"), 5200, 4600,
         **{**N_DM, "threshold": 200000.0}, limit=200000.0, source="the drive file, line"),
)


def nearer(offset, spacing):
    """Load of the nearer of two bearings: statics."""
    return WORST * (0.5 + abs(offset) / spacing)


def thrust_equivalent(radial, axial, f0, static):
    """P = X Fr + Y Fa over e, Fr under it; single row, normal clearance (NSK CAT. No. E1102e)."""
    at = [0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89]
    e = np.interp(f0 * axial / static, at, [0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44])
    y = np.interp(f0 * axial / static, at, [2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00])
    return radial if axial <= e * radial else 0.56 * radial + y * axial


def loose_equivalent(radial, axial, static):
    """The same with C3 clearance (SKF General Catalogue, Table 5), f0 13.5 where the file gives none."""
    at = [0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89]
    e = np.interp(13.5 * axial / static, at, [0.29, 0.32, 0.36, 0.38, 0.40, 0.44, 0.49, 0.54, 0.54])
    y = np.interp(13.5 * axial / static, at, [1.88, 1.71, 1.52, 1.41, 1.34, 1.23, 1.10, 1.01, 1.00])
    return radial if axial <= e * radial else 0.46 * radial + y * axial


def off_middle(offset):
    """The belt off the middle of one row: the moment as an axial load, 4 M/dm (docs/theory/bearings.md, eq. 1)."""
    return thrust_equivalent(WORST, 4 * WORST * offset * MM / (28.5 * MM), 13.2, 4800)


ROW = 2 ** -0.7  # capacity of one of two rows (ISO 281)
DOUBLE = {"rows": 2, "row_spacing": 10, "contact": "30 deg"}


def double_row(offset, axial=0.0):
    """Two rows share as two bearings do; back in terms of the whole bearing. Y of 30 deg: 0.78 (SKF, Table 3)."""
    return (WORST * (0.5 + offset / 10) + 0.78 * axial / 2) / ROW


LISTED = dict(subject=IN_PUMP, limit=0.08, threshold=0.08)


def whole(p):
    return {"row": ""}


def one_row(p):
    return {"row": " on one of its rows"}


LOADED = at_rest(
    # worst load over the dynamic rating
    Case("LISTED_SPEED_LOADED", "note", seated(dynamic=same), 12000, 13000, value=lambda p: WORST / p,
         source="bearing maker's catalogue", **LISTED),
    # two bearings, the belt off their middle
    Case("LISTED_SPEED_LOADED", "note", seated({"count": 2, "spacing": 15, "offset": -3}, dynamic=same), 8000, 9500,
         value=lambda p: nearer(3, 15) / p, **LISTED),
    # of two bearings the first carries the thrust: where it is the nearer one, and where it is the other
    Case("LISTED_SPEED_LOADED", "note", seated({"count": 2, "spacing": 15, "offset": 3, "axial": 300}, dynamic=same), 11000, 13000,
         value=lambda p: thrust_equivalent(nearer(3, 15), 300, 13.2, 4800) / p, **LISTED),
    Case("LISTED_SPEED_LOADED", "note", seated({"count": 2, "spacing": 15, "offset": -3, "axial": 300}, dynamic=same), 8000, 9500,
         value=lambda p: nearer(3, 15) / p, **LISTED),
    # one bearing, the belt off its middle: halved on the offset
    Case("LISTED_SPEED_LOADED", "note", seated({"offset": same}, dynamic=12800), 2.5, 0.2,
         value=lambda p: off_middle(p) / 12800, **LISTED),
    # thrust in a bearing of C3 clearance
    Case("LISTED_SPEED_LOADED", "note", seated({"axial": 700, "clearance": "C3"}, dynamic=same, f0=None), 16000, 20000,
         value=lambda p: loose_equivalent(WORST, 700, 4800) / p, **LISTED),
    # two rows whose spacing is not given share as one bearing: Fr + Y1 Fa up to e, X2 Fr + Y2 Fa over it (NSK, B66)
    Case("LISTED_SPEED_LOADED", "note", seated({"axial": 500}, rows=2, contact="52/53 series", dynamic=same), 16000, 20000,
         value=lambda p: (WORST + 0.92 * 500) / p, **LISTED),
    Case("LISTED_SPEED_LOADED", "note", seated({"axial": 900}, rows=2, contact="52/53 series", dynamic=same), 22000, 28000,
         value=lambda p: (0.67 * WORST + 1.41 * 900) / p, **LISTED),
    # an arm's worst load
    Case("LISTED_SPEED_LOADED", "note", on(ARM_FREE, {"pump.bearing": {"type": "6203"},
                                                     "bearings": [{**BEARING, "dynamic": same}]}),
         12000, 18000, value=lambda p: arm_hub("pump") / p, at=arm_worst("pump"), **LISTED),
    # C0 over the load; with vibration 1.5 is asked for (NSK Table 5.8)
    Case("BEARING_DENTS", "fail", seated(static=same), 900, 1100, subject=IN_PUMP, value=lambda p: p / WORST, limit=1.0,
         threshold=1.0, source="bearing maker's catalogue"),
    Case("BEARING_MAY_DENT", "marginal", seated(static=same), 1300, 1600, subject=IN_PUMP, value=lambda p: p / WORST,
         limit=1.5, threshold=1.5, source="bearing maker's catalogue", silent_on=[seated(static=same)(900)]),
    # thrust: P0 = 0.6 Fr + 0.5 Fa where that is more than Fr (NSK 5.4)
    Case("BEARING_MAY_DENT", "marginal", seated({"axial": same}), 6500, 4000, subject=IN_PUMP,
         value=lambda p: 4800 / (0.6 * WORST + 0.5 * p), limit=1.5, threshold=1.5),
    # the same of the first of two, which is the nearer one
    Case("BEARING_MAY_DENT", "marginal", seated({"count": 2, "spacing": 15, "offset": 3, "axial": same}), 6500, 4000, subject=IN_PUMP,
         value=lambda p: 4800 / (0.6 * nearer(3, 15) + 0.5 * p), limit=1.5, threshold=1.5),
    # half of the static rating for each of two rows
    Case("BEARING_MAY_DENT", "marginal", seated({"offset": 2}, **DOUBLE, static=same), 1900, 2300, subject=IN_PUMP,
         value=lambda p: p / 2 / (WORST * 0.7), limit=1.5, threshold=1.5),
    # over C0, where that is less than C/2
    Case("BEARING_OVER_FORMULA", "marginal", seated(static=same), 950, 1050, subject=IN_PUMP, value=lambda p: WORST,
         limit=same, measure=lambda p: WORST / p, threshold=1.0, places=whole, source="bearing maker's catalogue"),
    # over C/2, where that is less than C0
    Case("BEARING_OVER_FORMULA", "marginal", seated(dynamic=same), 1900, 2100, subject=IN_PUMP, value=lambda p: WORST,
         limit=lambda p: p / 2, measure=lambda p: WORST / (p / 2), threshold=1.0, places=whole),
    # one of two rows: its own load against its own ratings, half of its dynamic one or half of the bearing's static one
    Case("BEARING_OVER_FORMULA", "marginal", seated({"offset": 1, "axial": 100}, **DOUBLE, dynamic=same), 2000, 2600,
         subject=IN_PUMP, value=lambda p: double_row(1, 100) * ROW, limit=lambda p: p * ROW / 2,
         measure=lambda p: double_row(1, 100) / (p / 2), threshold=1.0, places=one_row),
    Case("BEARING_OVER_FORMULA", "marginal", seated({"offset": 1, "axial": 100}, **DOUBLE, static=same), 1200, 1400,
         subject=IN_PUMP, value=lambda p: double_row(1, 100) * ROW, limit=lambda p: p / 2,
         measure=lambda p: double_row(1, 100) * ROW / (p / 2), threshold=1.0, places=one_row),
    # one of two bearings: its own whole rating
    Case("BEARING_OVER_FORMULA", "marginal", seated({"count": 2, "spacing": 15, "offset": -3}, dynamic=same), 1300, 1500,
         subject=IN_PUMP, value=lambda p: nearer(3, 15), limit=lambda p: p / 2, measure=lambda p: nearer(3, 15) / (p / 2),
         threshold=1.0, places=whole),
    # the worst case is not the first
    Case("LISTED_SPEED_LOADED", "note", on(SHRINKS, {"pump.bearing": {"type": "6203"}, "bearings": [BEARING]}), 0,
         subject=IN_PUMP, value=lambda p: SHRUNK / 9550, limit=0.08, at=WARM_REST,
         silent_on=[seated(max_speed=None)(0), seated(max_speed=None, max_speed_grease=15000)(0)]),
    Case("BEARING_MAY_DENT", "marginal", on(SHRINKS, {"pump.bearing": {"type": "6203"},
                                                  "bearings": [{**BEARING, "static": same}]}),
         1600, subject=IN_PUMP, value=lambda p: p / SHRUNK, limit=1.5, at=WARM_REST),
)


def duty_of(*rows):
    return {"duty": [list(row) for row in rows]}


DUTY = ((800, 0.3), (3010, 0.5), (6000, 0.2))  # speeds among the 41 that are worked out: steps of 130 rpm


def mean_load(duty, load=lambda force: force, hub=hub):
    """Cubic mean over the turns, N, and the mean speed of the pump, rpm (NSK 5.3)."""
    turns = [n * RATIO * q for n, q in duty]
    total = sum(t * load(hub(n)) ** 3 for t, (n, _) in zip(turns, duty))
    return (total / sum(turns)) ** (1 / 3), sum(turns) / sum(q for _, q in duty)


def viscosity(oil, celsius):
    """Walther's line through 40 and 100 degC, mm2/s."""
    def height(nu):
        return math.log10(math.log10(nu + 0.7))
    part = math.log(1 + (celsius - 40) / 313.15) / math.log(373.15 / 313.15)
    return 10 ** 10 ** (height(oil[0]) + part * (height(oil[1]) - height(oil[0]))) - 0.7


def needed_viscosity(rpm):
    """ISO 281, eqs 28 and 29, middle diameter (17 + 40)/2 mm."""
    return (45000 * rpm ** -0.83 if rpm < 1000 else 4500 * rpm ** -0.5) * 28.5 ** -0.5


def life_factor(kappa, clean):
    """ISO 281, eqs 31 to 33."""
    kappa = min(kappa, 4)
    c, power = (2.2649, 0.054381) if kappa < 0.4 else (1.9987, 0.19087) if kappa < 1 else (1.9987, 0.071739)
    bracket = 1 - (2.5671 - c / kappa ** power) ** 0.83 * clean ** (1 / 3)
    return min(0.1 * bracket ** -9.3, 50) if bracket > 0 else 50


OIL, CLEAN, FACTOR = (70, 7.3), 0.3, 1.2  # defaults: docs/guide/hardware.md; low-contact seals


def hours(capacity, force, rpm, oil=OIL, clean=CLEAN, celsius=90, fatigue=4800 / 22, factor=FACTOR):
    """a_ISO L10 at one load and speed, and L10."""
    basic = 1e6 / (60 * rpm) * (capacity / (factor * force)) ** 3
    kappa = viscosity(oil, celsius) / needed_viscosity(rpm)
    return basic * life_factor(kappa, clean * fatigue / (factor * force)), basic


def life(capacity, duty, load=lambda force: force, hub=hub, **film):
    """Life with oil film and dirt, s: shares of time spend it one after another (Palmgren and Miner)."""
    return HOUR / sum(q / hours(capacity, load(hub(n)), n * RATIO, **film)[0] for n, q in duty) * sum(q for _, q in duty)


def basic_life(capacity, duty, load=lambda force: force, hub=hub, factor=FACTOR):
    """L10, s: 1e6/(60 n) (C/P)^3 hours (ISO 281)."""
    mean, speed = mean_load(duty, load, hub)
    return 1e6 / (60 * speed) * (capacity / mean / factor) ** 3 * HOUR


BOTH = " Oil and cleanliness are defaults: give `oil` and `cleanliness` if you know them."


def life_places(reliability, modified, basic, belt="nominal belt", application="1.20", assumed=BOTH):
    """modified, basic: functions of p, s."""
    return lambda p: {"reliability": reliability, "belt": belt, "application": application, "assumed": assumed,
                      "basic": shown(basic(p), "H", 0), "modified": shown(modified(p) / basic(p), "NONE", 2)}


def together(*lives):
    return sum(l ** (-10 / 9) for l in lives) ** -0.9  # Weibull slope 10/9 (ISO 281)


def reliable(percent):
    return 4.26 * math.log(100 / percent) ** (2 / 3) + 0.05  # Timken Engineering Manual, Table 11; ISO 281:2007


# No duty in the file: twelve speeds from idle to redline, time falling linearly to a twentieth.
SLOPED = [(800 + 5200 * k / 11, 1 - 0.95 * k / 11) for k in range(12)]
LIFE = dict(subject=IN_PUMP, limit=4000 * HOUR, limit_key=("bearing_life", "H"), default=4000 * HOUR,
            threshold=4000 * HOUR)

def of_rows(what, p, **more):
    return together(what(ROW * p, DUTY, lambda f: 0.7 * f, **more), what(ROW * p, DUTY, lambda f: 0.3 * f, **more))


def two_off(force):
    return thrust_equivalent(force, 4 * force * 2 / 28.5, 13.2, 4800)


LIVES = [
    Case("BEARING_SHORT_LIVED", "fail", seated({"reliability": 95}, duty_of(*DUTY), dynamic=same), 9000, 14000,
         value=lambda p: reliable(95) * life(p, DUTY),
         places=life_places("95 %", lambda p: life(p, DUTY), lambda p: basic_life(p, DUTY)), source="200 000 km", **LIFE),
    # the shortest belt is the heaviest
    Case("BEARING_SHORT_LIVED", "fail", on(WIDE, {"pump.bearing": {"type": "6203"}, **duty_of(*DUTY),
                                                  "bearings": [{**BEARING, "dynamic": same}]}), 8000, 13000,
         value=lambda p: life(p, DUTY, hub=tight), places=life_places(
             "90 %", lambda p: life(p, DUTY, hub=tight), lambda p: basic_life(p, DUTY, hub=tight), "shortest belt"), **LIFE),
    # 90 % of them: a1 is 1. No duty given; between its speeds loads are straight lines in the program
    Case("BEARING_SHORT_LIVED", "fail", seated(dynamic=same), 8000, 13000, value=lambda p: life(p, SLOPED),
         places=life_places("90 %", lambda p: life(p, SLOPED), lambda p: basic_life(p, SLOPED)), tolerance=5e-4, near=2e-3,
         **LIFE),
    # of 10 000 five may fail: not 100 %
    Case("BEARING_SHORT_LIVED", "fail", seated({"reliability": 99.95}, duty_of(*DUTY), dynamic=same), 9550, 40000,
         value=lambda p: reliable(99.95) * life(p, DUTY),
         places=life_places("99.95 %", lambda p: life(p, DUTY), lambda p: basic_life(p, DUTY)), **LIFE),
    # an oil, a level of cleanliness, a temperature and a factor on the loads of its own
    Case("BEARING_SHORT_LIVED", "fail", seated({"oil": [110, 11.5], "cleanliness": "high", "temperature": 70,
                                                "application_factor": 2}, duty_of(*DUTY), dynamic=same), 4000, 16000,
         value=lambda p: life(p, DUTY, oil=(110, 11.5), clean=0.6, celsius=70, factor=2),
         places=life_places("90 %", lambda p: life(p, DUTY, oil=(110, 11.5), clean=0.6, celsius=70, factor=2),
                            lambda p: basic_life(p, DUTY, factor=2), application="2.00", assumed=""), **LIFE),
    # one of the two is known
    *[Case("BEARING_SHORT_LIVED", "fail", seated(known, duty_of(*DUTY), dynamic=7500), 0,
           value=lambda p: life(7500, DUTY), places=life_places(
               "90 %", lambda p: life(7500, DUTY), lambda p: basic_life(7500, DUTY), assumed=assumed),
           **{**LIFE, "threshold": None})
      for known, assumed in (({"oil": [70, 7.3]}, " The cleanliness is a default: give `cleanliness` if you know it."),
                             ({"cleanliness": "slight-contamination"}, " The oil is a default: give `oil` if you know it."))],
    # its own fatigue load; grease for more heat
    Case("BEARING_SHORT_LIVED", "fail", seated({"grease": "wide-range"}, duty_of(*DUTY), dynamic=8000, fatigue=same), 100,
         600, value=lambda p: life(8000, DUTY, oil=(70, 9.4), fatigue=p), places=life_places(
             "90 %", lambda p: life(8000, DUTY, oil=(70, 9.4), fatigue=p), lambda p: basic_life(8000, DUTY)), **LIFE),
    # what each seal is taken to keep out, where the file does not say
    *[Case("BEARING_SHORT_LIVED", "fail", seated(None, duty_of(*DUTY), dynamic=7500, seal=seal), 0,
           value=lambda p, clean=clean: life(7500, DUTY, clean=clean), places=life_places(
               "90 %", lambda p, clean=clean: life(7500, DUTY, clean=clean), lambda p: basic_life(7500, DUTY)),
           **{**LIFE, "threshold": None})
      for seal, clean in (("contact", 0.5), ("shield", 0.3), ("open", 0.0), (None, 0.3))],
    # two bearings on one hub, unevenly loaded
    Case("BEARING_SHORT_LIVED", "fail", seated({"count": 2, "spacing": 15, "offset": 3, "reliability": 97}, duty_of(*DUTY),
                                               dynamic=same), 5000, 12000,
         value=lambda p: reliable(97) * together(life(p, DUTY, lambda f: 0.7 * f), life(p, DUTY, lambda f: 0.3 * f)),
         places=life_places(
             "97 %", lambda p: together(life(p, DUTY, lambda f: 0.7 * f), life(p, DUTY, lambda f: 0.3 * f)),
             lambda p: together(basic_life(p, DUTY, lambda f: 0.7 * f), basic_life(p, DUTY, lambda f: 0.3 * f))), **LIFE),
    # two rows: each has half of the bearing's fatigue load
    Case("BEARING_SHORT_LIVED", "fail", seated({"offset": 2}, duty_of(*DUTY), **DOUBLE, dynamic=same), 6000, 16000,
         value=lambda p: of_rows(life, p, fatigue=2400 / 22, clean=0.3),
         places=life_places("90 %", lambda p: of_rows(life, p, fatigue=2400 / 22, clean=0.3),
                            lambda p: of_rows(basic_life, p)), **LIFE),
    # one bearing, the belt 2 mm off its middle: a thrust that follows the load
    Case("BEARING_SHORT_LIVED", "fail", seated({"offset": 2}, duty_of(*DUTY), dynamic=same), 8000, 16000,
         value=lambda p: life(p, DUTY, two_off), places=life_places(
             "90 %", lambda p: life(p, DUTY, two_off), lambda p: basic_life(p, DUTY, two_off)), **LIFE),
]

# under a viscosity ratio of 0.1 ISO 281 has no number. p: the oil at 100 degC; slowest at idle, 1140 rpm
THIN = [
    Case("OIL_FILM_THIN", "marginal", seated({"oil": [8, same]}, duty_of(*DUTY)), 1.6, 2.6, subject=IN_PUMP,
         value=lambda p: viscosity((8, p), 90) / needed_viscosity(800 * RATIO), limit=0.1, threshold=0.1,
         source="ISO 281", places=lambda p: {"speed": shown(800 * RATIO * RPM, "RPM", 0),
                                             "temperature": shown(90 + ZERO, "DEGC", 0)}),
    # a row of the duty with no time counts for nothing; under 1000 rpm the other equation holds
    Case("OIL_FILM_THIN", "marginal", seated({"oil": [8, same]}, {**duty_of((400, 0), (600, 0.5), (3010, 0.5)),
                                                                 "engine.idle": 400}), 1.6, 3.6,
         subject=IN_PUMP, value=lambda p: viscosity((8, p), 90) / needed_viscosity(600 * RATIO), limit=0.1, threshold=0.1,
         places=lambda p: {"speed": shown(600 * RATIO * RPM, "RPM", 0), "temperature": shown(90 + ZERO, "DEGC", 0)}),
]


def grease(celsius, duty, listed, wide=False, dynamic=9550):
    """NSK 12.1 and 12.2, shares of time added as 1/life, with SKF's factor for P/C. s"""
    spent = 0.0
    for rpm, share in duty:
        x, t = max(rpm * RATIO / listed, 0.25), max(celsius, 70)
        lg = 6.12 - 1.4 * x - (0.018 - 0.006 * x) * t if wide else 6.54 - 2.6 * x - (0.025 - 0.012 * x) * t
        spent += share / 10 ** lg
    factor = np.interp(FACTOR * mean_load(duty)[0] / dynamic, [0.1, 0.125, 0.25], [1, 0.5 / 0.7, 0.2 / 0.7])
    return factor / spent * HOUR


def grease_places(celsius, redline=6000):
    return {"temperature": shown(celsius + ZERO, "DEGC", 0), "speed": shown(top_speed(redline), "RPM", 0),
            "belt": "nominal belt"}


GREASE = dict(LIFE, source="200 000 km")

GREASES = [
    Case("GREASE_SHORT_LIVED", "marginal", seated({"temperature": same}, duty_of(*DUTY)), 105, 80,
         value=lambda p: grease(p, DUTY, 19000), places=grease_places, **GREASE),
    # its own limit with grease goes before the greatest; wide range, to 130 degC
    Case("GREASE_SHORT_LIVED", "marginal", seated({"temperature": same, "grease": "wide-range"}, duty_of(*DUTY),
                                               max_speed_grease=15000), 129, 100,
         value=lambda p: grease(p, DUTY, 15000, wide=True), places=grease_places, **GREASE),
    # hardly loaded, hence a factor of 1; cooler than 70 degC counts as 70. Halved on the greatest speed
    Case("GREASE_SHORT_LIVED", "marginal", seated({"temperature": 40}, duty_of((6000, 1)), max_speed=same, dynamic=30000), 11000,
         15000, value=lambda p: grease(40, [(6000, 1)], p, dynamic=30000), places=lambda p: grease_places(40), **GREASE),
    # a row of the duty with no share of time wears no grease, however fast
    Case("GREASE_SHORT_LIVED", "marginal", seated({"temperature": same}, duty_of((800, 0.5), (3010, 0.5), (6000, 0)), max_speed=8000),
         100, 70, value=lambda p: grease(p, [(800, 0.5), (3010, 0.5)], 8000), places=grease_places, **GREASE),
    # two rows: the formula is not for them, whatever the list says of their speed
    Case("GREASE_OF_TWO_ROWS", "note", seated(**DOUBLE), 0, subject=IN_PUMP, source="bearing maker's catalogue",
         silent_on=[seated()(0), seated({"temperature": 115})(0), seated({"count": 2, "spacing": 15})(0)]),
    Case("GREASE_OF_TWO_ROWS", "note", seated(**DOUBLE, max_speed=None), 0, subject=IN_PUMP),
    # over 110 degC general-purpose grease is not known
    Case("GREASE_UNKNOWN", "marginal", seated({"temperature": same}, duty_of(*DUTY)), 115, 105, subject=IN_PUMP,
         measure=lambda p: p, threshold=110.0, places=grease_places, source="bearing maker's catalogue",
         silent_on=[seated({"temperature": 115}, duty_of(*DUTY), max_speed=None)(0),
                    seated({"temperature": 115, "grease": "wide-range"}, duty_of(*DUTY))(0),
                    seated({"temperature": 115}, duty_of(*DUTY), **DOUBLE)(0)]),
    # the speed that is told is the fastest of the duty, not the redline's
    Case("GREASE_UNKNOWN", "marginal", seated({"temperature": 115}, duty_of((800, 0.5), (3010, 0.5), (6000, 0))), 0,
         subject=IN_PUMP, places=lambda p: grease_places(115, 3010)),
    Case("GREASE_UNKNOWN", "marginal", seated({"temperature": same, "grease": "wide-range"}, duty_of(*DUTY)), 135, 125,
         subject=IN_PUMP, measure=lambda p: p, threshold=130.0, places=grease_places),
    # nor over the listed speed, 8552 rpm being the fastest of the duty
    Case("GREASE_UNKNOWN", "marginal", seated(None, duty_of(*DUTY), max_speed=same), 8400, 8700, subject=IN_PUMP,
         measure=lambda p: 6000 * RATIO / p, threshold=1.0, places=lambda p: grease_places(90)),
    # nor over a quarter of the dynamic rating
    Case("GREASE_UNKNOWN", "marginal", seated(None, duty_of(*DUTY), dynamic=same), 3000, 5000, subject=IN_PUMP,
         measure=lambda p: FACTOR * mean_load(DUTY)[0] / p, threshold=0.25, places=lambda p: grease_places(90)),
]


def tube_slope(p):
    """Tube 20/10.5 of p mm, the belt over its end."""
    return bent(WORST, p * MM, p * MM, 20 * MM, 10.5 * MM)


STIFF = {"thread": "M10", "class": "12.9", "preload": 45000, "scatter": 0}
LEANS = {"pump.standoff": tube(same, bolt=STIFF)}

def plated(face, reach):
    """The pump's plate, 8 x 60 of aluminium, on bolts below it: its middle lies -face - 4 mm behind the belt."""
    return {"pump.mount": "plate", "mounts": [
        strip(face=face, bracket={"thickness": 8, "width": 60, "reach": reach},
              bolts=[bolt("a", -30, 220), bolt("b", 30, 220), bolt("c", 0, 210)])]}


def plate_slope(reach):
    return WORST * 30 * MM * reach * MM / (ALUMINIUM * 60 * MM * (8 * MM) ** 3 / 12)


def twisting():
    """The same beside it, 26 mm behind the belt, 70 mm away: TWISTED."""
    return {"pump.mount": "plate", "mounts": [strip(face=-30, bracket={"thickness": 8, "width": 60}, bolts=[
        bolt("a", -70, 300), bolt("b", -110, 300)])]}


TURNS_ROUND = Twisted(30)


def strip_lean():
    """Of the right pulley's strip, up from its bolts: bent by the load along it, twisted by the load across it."""
    TURNS_ROUND.sample.load()
    stiff = ALUMINIUM * 60 * MM * (8 * MM) ** 3
    lever = 30 * MM * 40 * MM
    return max(((lever * math.hypot(v["force right"].imag / (stiff / 12),
                                    v["force right"].real / (stiff / 2.6 * (1 - 0.63 * 8 / 60) / 3)), at)
                for at, v in TURNS_ROUND.sample.cases), key=lambda case: case[0])


SEATS = at_rest(
    Case("OUTER_RING_TURNS", "note", seated(), 0, subject=IN_PUMP, source="bearing maker's catalogue", at={},
         silent_on=[seated({"rotating_ring": "inner"})(0), seated(seal="open")(0)]),
    Case("OUTER_RING_TURNS", "note", seated(seal=None), 0, subject=IN_PUMP, at={}),
    # single row: makers print 2 to 10 minutes of arc (SKF p. 296)
    Case("BEARING_TILTS", "fail", seated(changes=LEANS), 105, 80, subject=IN_PUMP, value=tube_slope, limit=10 * ARCMIN,
         threshold=10 * ARCMIN, source="bearing maker's catalogue"),
    Case("BEARING_MAY_TILT", "marginal", seated(changes=LEANS), 60, 35, subject=IN_PUMP, value=tube_slope, limit=2 * ARCMIN,
         threshold=2 * ARCMIN, places=lambda p: {"most": "10 arcmin"}, source="bearing maker's catalogue",
         silent_on=[seated(changes=LEANS)(105)]),
    # the belt past the end of the tube: F L^2/(2 E I) + F a L/(E I)
    Case("BEARING_MAY_TILT", "marginal", seated(changes={**STANDING_OFF, "pump.standoff": tube(40, bolt=STIFF)}), 10, 1,
         subject=IN_PUMP, value=lambda p: bent(WORST, (40 + p) * MM, 40 * MM, 20 * MM, 10.5 * MM), limit=2 * ARCMIN,
         threshold=2 * ARCMIN, places=lambda p: {"most": "10 arcmin"}),
    # the bracket leans it with no standoff at all: F 30 mm L/(E I)
    Case("BEARING_TILTS", "fail", seated(changes=plated(-34, same)), 40, 10, subject=IN_PUMP, value=plate_slope,
         limit=10 * ARCMIN, threshold=10 * ARCMIN),
    # standoff and bracket lean it the same way, and add
    Case("BEARING_TILTS", "fail", seated(changes={**LEANS, **plated(-34, 15)}), 40, 25, subject=IN_PUMP,
         value=lambda p: tube_slope(p) + plate_slope(15), limit=10 * ARCMIN, threshold=10 * ARCMIN),
    # the bolts stand beside the pump: the plate twists, across to where the standoff bends to; still towards the load
    Case("BEARING_TILTS", "fail", seated(changes={**LEANS, **twisting()}), 60, subject=IN_PUMP,
         value=lambda p: tube_slope(p) + TWISTED, limit=10 * ARCMIN),
    # opened, it leans the more the less of its face holds
    Case("BEARING_TILTS", "fail", seated(changes={"pump.standoff": tube(same, bolt=loose(13000))}), 90, 75,
         subject=IN_PUMP, value=lambda p: quad(lambda z: lifted_tube(z, WORST, 13000)[0], 0, p)[0] * MM, limit=10 * ARCMIN, tolerance=2e-5),
    # the worst case is not the first
    Case("BEARING_MAY_TILT", "marginal", on(SHRINKS, {"pump.bearing": {"type": "6203"}, "bearings": [BEARING],
                                                  "pump.standoff": tube(same, bolt=STIFF)}), 40, subject=IN_PUMP,
         value=lambda p: bent(SHRUNK, p * MM, p * MM, 20 * MM, 10.5 * MM), limit=2 * ARCMIN,
         places=lambda p: {"most": "10 arcmin"}, at=WARM_REST),
    # the load turns: it is greatest at rest, but across the strip, which bends more easily than it twists, at the redline
    Case("BEARING_TILTS", "fail", TURNS_ROUND.plate(
        bolt("a", 120, 180), bolt("b", 180, 180), bolt("c", 150, 170), face=-34,
        bracket={"thickness": 8, "width": 60, "reach": 40}, base={
            "right.bearing": {"type": "6203"}, "bearings": [BEARING]}), 0, subject={"pulley": "right", "other": "6203"},
         value=lambda p: strip_lean()[0], limit=10 * ARCMIN, at=lambda p: strip_lean()[1]),
    # two rows: 2 minutes at most
    Case("BEARING_TILTS", "fail", seated(changes=LEANS, **DOUBLE), 60, 35, subject=IN_PUMP, value=tube_slope,
         limit=2 * ARCMIN, threshold=2 * ARCMIN),
    # one single row: more than half a millimetre is told
    Case("BEARING_OFF_MIDDLE", "marginal", seated({"offset": lambda p: -p}), 2.0, 0, subject=IN_PUMP,
         value=lambda p: WORST * p * MM, threshold=WORST * 0.5 * MM, source="4 M/dm as thrust",
         places=lambda p: {"offset": shown(p * MM, "MM", 1)},
         silent_on=[seated({"offset": 2, "count": 2, "spacing": 12})(0), seated({"offset": 2}, **DOUBLE)(0)]),
)

# -- fit of the ring that turns, least load

RATING = 9550.0  # N


def share_of(p):
    """The pump's bearing in the middle under its belt: P is the hub load. p: the rating."""
    return WORST / p


def fitted(fit=None, ring="outer", **bearing):
    seat = {**({"fit": fit} if fit else {}), "rotating_ring": ring}
    return seated(seat, **bearing)


def fit_places(ring, fit, needed):
    return lambda p: {"ring": ring, "needed": needed, **({"fit": fit} if fit else {})}


MAKERS = "fits of a turning ring"
FITS = at_rest(
    # a hub load of 986 N is 0.10 of 9550 N; over it P7, over half of it N7, else M7 (a bearing maker's tables, memory)
    Case("RING_CREEPS", "fail", fitted("H7"), 0, subject=IN_PUMP, value=lambda p: WORST / RATING, source=MAKERS,
         places=fit_places("outer ring", "H7", "P7"), silent_on=[fitted("P7")(0), fitted("R7")(0)]),
    Case("RING_CREEPS", "fail", fitted("K7", dynamic=30000), 0, subject=IN_PUMP, value=lambda p: WORST / 30000,
         places=fit_places("outer ring", "K7", "M7"), silent_on=[fitted("M7", dynamic=30000)(0)]),
    Case("RING_CREEPS", "fail", fitted("JS7"), 0, subject=IN_PUMP, value=lambda p: WORST / RATING,
         places=fit_places("outer ring", "JS7", "P7")),
    Case("RING_MAY_CREEP", "marginal", fitted("M7", dynamic=same), 19000, 20500, subject=IN_PUMP, value=share_of,
         threshold=0.05, places=fit_places("outer ring", "M7", "N7"), source=MAKERS, silent_on=[fitted("H7")(0)]),
    Case("RING_MAY_CREEP", "marginal", fitted("N7", dynamic=same), 9500, 10200, subject=IN_PUMP, value=share_of,
         threshold=0.10, places=fit_places("outer ring", "N7", "P7")),
    Case("RING_CREEPS", "fail", fitted("h6", "inner"), 0, subject=IN_PUMP, value=lambda p: WORST / RATING,
         places=fit_places("inner ring", "h6", "j5"), silent_on=[fitted("j5", "inner")(0), fitted("js5", "inner")(0)]),
    # a shaft over 17 mm: k5 over 0.05 C, j6 under it; over 100 mm m5 and k6
    Case("RING_MAY_CREEP", "marginal", fitted("j6", "inner", bore=20, dynamic=same), 19000, 20500, subject=IN_PUMP,
         value=share_of, threshold=0.05, places=fit_places("inner ring", "j6", "k5")),
    Case("RING_CREEPS", "fail", fitted("h6", "inner", bore=20, dynamic=30000), 0, subject=IN_PUMP,
         value=lambda p: WORST / 30000, places=fit_places("inner ring", "h6", "j6")),
    Case("RING_MAY_CREEP", "marginal", fitted("k5", "inner", bore=105, outside=160, width=26), 0, subject=IN_PUMP,
         value=lambda p: WORST / RATING, places=fit_places("inner ring", "k5", "m5")),
    Case("RING_MAY_CREEP", "marginal", fitted("j6", "inner", bore=105, outside=160, width=26, dynamic=30000), 0,
         subject=IN_PUMP, value=lambda p: WORST / 30000, places=fit_places("inner ring", "j6", "k6")),
    Case("RING_FIT_UNKNOWN", "note", seated(), 0, subject=IN_PUMP, value=lambda p: WORST / RATING, source=MAKERS,
         places=fit_places("outer ring", None, "P7"), silent_on=[fitted("P7")(0), fitted("H7")(0)]),
    # the belt that pulls most
    Case("RING_CREEPS", "fail", on(SHRINKS, {"pump.bearing": {"type": "6203", "fit": "H7"}, "bearings": [BEARING]}), 0,
         subject=IN_PUMP, value=lambda p: SHRUNK / RATING, places=fit_places("outer ring", "H7", "P7"), at=WARM_REST),
)

ALIKE = vary(ARM_FREE, {"belt.tolerance": 0})
ALIKE_SAMPLE = Sample(text(ALIKE), every=20)


def least_running():
    """Of ARM's pump with every belt alike, the least hub load of steady running, arm friction in the middle; it falls
    further in other cases."""
    ALIKE_SAMPLE.load()
    return min(((abs(v["force pump"]), at) for at, v in ALIKE_SAMPLE.cases if at["state"] == "steady" and at["friction"] == "middle"),
               key=lambda case: case[0])


SKIDS = [
    Case("BEARING_SKIDS", "marginal", on(ALIKE, {"pump.bearing": {"type": "6203"},
                                                 "bearings": [{**BEARING, "dynamic": 200000, "static": 90000}]}), 0,
         subject=IN_PUMP, value=lambda p: least_running()[0], limit=2000.0, at=lambda p: least_running()[1]),
    # it carries least at the redline, 583 N
    Case("BEARING_SKIDS", "marginal", seated(dynamic=same), 60000, 57000, subject=IN_PUMP, value=lambda p: hub(6000),
         limit=lambda p: 0.01 * p, measure=lambda p: 0.01 * p, threshold=hub(6000), at=running(6000), source="0.01 C"),
    # a pair with the belt towards one of them: the other has F (1/2 - a/s)
    Case("BEARING_SKIDS", "marginal", seated({"count": 2, "spacing": 20, "offset": same}), 9.5, 6, subject=IN_PUMP,
         value=lambda p: hub(6000) * (0.5 - p / 20), limit=0.01 * RATING, threshold=0.01 * RATING, at=running(6000),
         silent_on=[seated({"count": 2, "spacing": 20, "offset": 0})(0)]),
]

CASES = (HUBS + PLANES + FACES + SHIMS + STANDOFFS + PROOF + GROUP + TURNS + SLIPS + HOLDS + SLOTS + BOLT_FACES + THREADS + SPEEDS +
         LOADED + LIVES + THIN + GREASES + SEATS + FITS + SKIDS)
