"""Strength of the strip that carries a pulley past the bolts of its bracket. PAIR's hub load, down, in closed form."""
import math

import numpy as np
from scipy.stats import norm

from cases_hardware import LEAST, PAIR, SHRINKS, SHRUNK, TRIANGLE, WARM_REST, WORST, Twisted, at_rest, bolt
from drives import on, same, text, vary
from harness import MM, MPA, Case, Sample, shown

HOLE = 9 * MM  # of an M8: ISO 273, medium
WHERE = {False: "at the nearest bolt hole", True: "at the end of the slot"}


def below(base=PAIR, width=60, thickness=8, face=-30, bolts=((-20, 230), (20, 230)), reach=None, changes=(), **bracket):
    """The pump on a strip; its bolts stand below it unless told otherwise."""
    bracket = {"width": width, "thickness": thickness, **({"reach": reach} if reach is not None else {}), **bracket}
    return on(base, {"pump.mount": "plate", **dict(changes), "mounts": [
        {"name": "plate", "face": face, "bracket": bracket, "bolts": [
            bolt("ab"[i], x, y, pad=30) for i, (x, y) in enumerate(bolts)]}]})


def section(force, width, thickness, gone, lever, height, torque=0.0):
    """Stresses of what is left of the section, Pa, by the second moments of two bars side by side: out of its plane, by
    twist (Shigley, 9th ed., eq. 3-40), in its plane at the edge, along it. force = along + 1j across; torque on the housing,
    counter-clockwise."""
    net = width - gone
    flat, upright = net * thickness ** 3 / 12, thickness * (width ** 3 - gone ** 3) / 12
    big, small = max(net, thickness), min(net, thickness)
    return (force.real * height * thickness / 2 / flat,
            force.imag * height / (big * small ** 2) * (3 + 1.8 * small / big),
            (force.imag * lever + torque) * width / 2 / upright,
            force.real / (net * thickness))


def plain(s):
    bend, twist, sideways, pull = (abs(x) for x in s)
    return max(bend + pull + sideways, math.sqrt((bend + pull) ** 2 + 3 * twist ** 2))


def peak(s, width, thickness, gone, end):
    """At the rim: principal stresses of bending and twist with the hole's two factors, which give 2 together (a plate
    bent alike in all directions); pull after Heywood; in its plane twice the stress there. A slot as the ellipse that
    is as long and as sharp (Inglis)."""
    bend, twist, sideways, pull = (abs(x) for x in s)
    first, second = sorted(np.linalg.eigvalsh([[bend, twist], [twist, 0]]), reverse=True)
    x = 2 * end / thickness
    k = 1.79 + 0.25 / (0.39 + x) + 0.81 / (1 + x ** 2) - 0.26 / (1 + x ** 3)
    sharp = math.sqrt(gone / 2 / end)
    rim = ((1 + (k - 1) * sharp) * first + (2 - k) * second + (1 + (1 + (1 - gone / width) ** 3) * sharp) * pull +
           (1 + sharp) * sideways * gone / width)
    return max(rim, plain(s))


ALUMINIUM_SE = 0.31 * 310 * MPA * (1 - 0.08 * norm.ppf(0.99))  # 6061-T6


def steel(width, thickness, tensile=400 * MPA):
    """Hot rolled, Shigley 6-19, 6-20, 6-25, 6-29."""
    size = 0.808 * math.sqrt(width * thickness) / MM
    return (57.7 * (tensile / MPA) ** -0.718 * 1.24 * size ** -0.107 * (1 - 0.08 * norm.ppf(0.99)) * 0.5 * tensile)


def tired(worst, least, width, thickness, gone, end, lever, height, endurance, tensile):
    """Goodman between two forces of one belt: safety, alternating, mean."""
    high = section(worst, width, thickness, gone, lever, height)
    low = section(least, width, thickness, gone, lever, height)
    swing = peak([(a - b) / 2 for a, b in zip(high, low)], width, thickness, gone, end)
    mean = peak([(a + b) / 2 for a, b in zip(high, low)], width, thickness, gone, end)
    return 1 / (swing / endurance + mean / tensile), swing, mean


# bolts below: the load is along the strip; beside it, across
def along(p, gone=HOLE, width=60 * MM, force=None, **more):
    return section(-(force or WORST) + 0j, width, p * MM, gone, 70 * MM, 30 * MM - p * MM / 2)


def across(p, lever=60 * MM, gone=HOLE, width=60 * MM):
    return section(1j * WORST, width, p * MM, gone, lever, 30 * MM - p * MM / 2)


def words(slot=False, **more):
    return lambda p: {"where": WHERE[slot], **{k: v(p) for k, v in more.items()}}


def strength(mpa):
    return lambda p: shown(mpa * MPA, "MPA", 0)


BESIDE = ((60, 300), (100, 300))
PUMP = {"pulley": "pump", "other": "plate"}


def fatigue(p):
    return tired(-WORST + 0j, -LEAST + 0j, 60 * MM, p * MM, HOLE, HOLE / 2, 70 * MM, 30 * MM - p * MM / 2,
                 ALUMINIUM_SE, 310 * MPA)


def fatigue_steel(p):
    return tired(-WORST + 0j, -LEAST + 0j, 60 * MM, p * MM, HOLE, HOLE / 2, 70 * MM, 30 * MM - p * MM / 2,
                 steel(60 * MM, p * MM), 400 * MPA)


def fatigue_across(p):
    return tired(1j * WORST, 1j * LEAST, 60 * MM, p * MM, HOLE, HOLE / 2, 60 * MM, 30 * MM - p * MM / 2,
                 ALUMINIUM_SE, 310 * MPA)


def swings(of):
    return {"alternating": lambda p: shown(of(p)[1], "MPA", 0), "mean": lambda p: shown(of(p)[2], "MPA", 0)}


def slotted(p, slant=12.0):
    """The pump in a slot 30 mm long that rises by `slant`: from 20 mm below the pump to 10 mm above it. The bolts stand
    straight below the pump."""
    dx, dy = slant, math.sqrt(30 ** 2 - slant ** 2)
    at = [0.0, 300.0]
    low, high = [at[0] - dx * 2 / 3, at[1] - dy * 2 / 3], [at[0] + dx / 3, at[1] + dy / 3]
    return {"pump.at": None, "pump.slot": {"from": low, "to": high, "setting": 20}}


def curved():
    """The pump at one end of a quarter turn of 30 mm; the other lies 42.4 mm off, level with it."""
    away = 30 * math.sqrt(0.5)
    return {"pump.at": None,
            "pump.slot": {"centre": [away, 300 - away], "radius": 30, "from": 135, "to": 45, "setting": 0}}


def bulging(p):
    """Bolts beside it. What is missing across the strip is the slot's bulge between its ends."""
    return section(1j * WORST, p * MM, 8 * MM, SLOT + 30 * (1 - math.sqrt(0.5)) * MM, 60 * math.sqrt(0.5) * MM, 0.2 * MM)


SLANT, SLOT = 12 * MM, 11 * MM  # M10's hole


def slot_section(p, force=None):
    return section(-(force or WORST) + 0j, 60 * MM, p * MM, SLOT + SLANT, 20 * MM * math.sqrt(1 - 0.4 ** 2),
                   30 * MM - p * MM / 2)


def slot_fatigue(p):
    lever = 20 * MM * math.sqrt(1 - 0.4 ** 2)
    return tired(-WORST + 0j, -LEAST + 0j, 60 * MM, p * MM, SLOT + SLANT, SLOT / 2, lever, 30 * MM - p * MM / 2,
                 ALUMINIUM_SE, 310 * MPA)


IN_SLOT = slotted(0)


def beside_slot(p):
    """Bolts to the right, the slot aslant towards them: the load is across."""
    along, across = math.sqrt(30 ** 2 - 12 ** 2), 12
    return below(thickness=6, width=p, face=-4.2, bolts=BESIDE, slot_width=11, changes={
        "pump.at": None, "pump.slot": {"from": [along * 2 / 3, 300 - across * 2 / 3], "to": [-along / 3, 300 + across / 3],
                                       "setting": 20}})(0)


def beside_slot_tired(p):
    return tired(1j * WORST, 1j * LEAST, p * MM, 6 * MM, SLOT + SLANT, SLOT / 2, 20 * MM * math.sqrt(1 - 0.4 ** 2),
                 1.2 * MM, ALUMINIUM_SE, 310 * MPA)

# The load turns with speed and swings along and across at once: the right pulley of TRIANGLE on a strip up from its bolts.
# Its table bends at a speed of the sample.
LOAD = {"right.load": [[500, 0], [3010, 0], [6000, 30]]}
TURNS_ROUND = Twisted(30)
EVERY_SPEED = Sample(text(vary(TRIANGLE, LOAD)), every=1)


def absorbed(at):
    """Of the right pulley, N m: by its table at the crank's speed, which is its own. It turns clockwise and drags its housing along."""
    return -30 * min(max((at.get("rpm", 0) - 3010) / (6000 - 3010), 0), 1)


def turned_most():
    """Greatest stress over all belts, and where."""
    EVERY_SPEED.load()
    return max(((plain(section(complex((v["force right"] * -1j).real, (v["force right"] * -1j).imag), 40 * MM, 6 * MM, HOLE,
                               40 * MM, 31 * MM, absorbed(at))), at) for at, v in EVERY_SPEED.cases), key=lambda case: case[0])


def turning_round(way=1):
    """Up from its bolts, or down. Each belt's parts of the load between their least and most; the worst belt."""
    EVERY_SPEED.load()
    belts, worst = {}, {}
    for at, v in EVERY_SPEED.cases:
        up = v["force right"] * -1j * way  # bolts below: along is +y
        s = section(complex(up.real, up.imag), 40 * MM, 6 * MM, HOLE, 40 * MM, 31 * MM, absorbed(at))
        name = at.get("belt")
        belts.setdefault(name, []).append(s)
        worst[name] = max(worst.get(name, (0, None)), (plain(s), at), key=lambda case: case[0])
    out = []
    for name, rows in belts.items():
        low, high = np.min(rows, axis=0), np.max(rows, axis=0)
        swing = peak((high - low) / 2, 40 * MM, 6 * MM, HOLE, HOLE / 2)
        mean = peak((high + low) / 2, 40 * MM, 6 * MM, HOLE, HOLE / 2)
        out.append((1 / (swing / ALUMINIUM_SE + mean / (310 * MPA)), swing, mean, worst[name][1]))
    return min(out, key=lambda belt: belt[0])


CASES = at_rest(
    # a strip of 8 x 60, the belt 26 mm over its middle: 6 M/(w - d) t^2 + F/(w - d) t = 50 MPa; thinner, it yields
    Case("BRACKET_YIELDS", "fail", lambda p: below(thickness=p)(0), 2.5, 3.8, subject=PUMP, value=lambda p: plain(along(p)),
         limit=276 * MPA, threshold=276 * MPA, places=words(strength=strength(276)), source="yield strength"),
    Case("BRACKET_MAY_YIELD", "marginal", lambda p: below(thickness=p)(0), 3.8, 5, subject=PUMP,
         value=lambda p: plain(along(p)), limit=276 / 1.5 * MPA, threshold=276 / 1.5 * MPA,
         places=words(strength=strength(276)), source="1/1.5 of the yield", silent_on=[below(thickness=2.5)(0)]),
    # across: twist and bending in its plane; at an edge
    Case("BRACKET_MAY_YIELD", "marginal", lambda p: below(thickness=p, bolts=BESIDE)(0), 3.5, 5, subject=PUMP,
         value=lambda p: plain(across(p)), limit=276 / 1.5 * MPA, threshold=276 / 1.5 * MPA,
         places=words(strength=strength(276))),
    # narrow, and short: its plane's bending governs
    Case("BRACKET_MAY_YIELD", "marginal", lambda p: below(width=p, thickness=8, face=-4.2, bolts=BESIDE)(0), 15, 20,
         subject=PUMP, value=lambda p: plain(section(1j * WORST, p * MM, 8 * MM, HOLE, 60 * MM, 0.2 * MM)),
         limit=276 / 1.5 * MPA, threshold=276 / 1.5 * MPA, places=words(strength=strength(276))),
    # the reach is the file's where it has one
    Case("BRACKET_MAY_YIELD", "marginal", lambda p: below(width=40, face=-4.2, bolts=BESIDE, reach=p)(0), 450, 300,
         subject=PUMP, value=lambda p: plain(section(1j * WORST, 40 * MM, 8 * MM, HOLE, p * MM, 0.2 * MM)),
         limit=276 / 1.5 * MPA, threshold=276 / 1.5 * MPA, places=words(strength=strength(276))),
    # a strength of the file's own has its metal's share of yield; a yield of its own stands
    Case("BRACKET_YIELDS", "fail", lambda p: below(thickness=4, strength=p)(0), 200, 280, subject=PUMP,
         value=lambda p: plain(along(4)), limit=lambda p: p * 276 / 310 * MPA,
         places=lambda p: {"where": WHERE[False], "strength": shown(p * 276 / 310 * MPA, "MPA", 0)}),
    Case("BRACKET_YIELDS", "fail", lambda p: below(thickness=4, **{"yield": p})(0), 120, 270, subject=PUMP,
         value=lambda p: plain(along(4)), limit=lambda p: p * MPA,
         places=lambda p: {"where": WHERE[False], "strength": shown(p * MPA, "MPA", 0)}),
    Case("BRACKET_YIELDS", "fail", lambda p: below(thickness=p, material="steel")(0), 3, 4, subject=PUMP,
         value=lambda p: plain(along(p)), limit=250 * MPA, threshold=250 * MPA, places=words(strength=strength(250))),
    Case("BRACKET_YIELDS", "fail", lambda p: below(thickness=p, material="stainless")(0), 3, 4.5, subject=PUMP,
         value=lambda p: plain(along(p)), limit=205 * MPA, threshold=205 * MPA, places=words(strength=strength(205))),
    # the belt draws in when warm
    Case("BRACKET_YIELDS", "fail", lambda p: below(SHRINKS, thickness=p)(0), 2.5, subject=PUMP,
         value=lambda p: plain(along(p, force=SHRUNK)), limit=276 * MPA, places=words(strength=strength(276)), at=WARM_REST),
    # iron has no yield: the peak at the rim counts
    Case("BRACKET_CRACKS", "fail", lambda p: below(thickness=p, material="grey-iron")(0), 4.5, 7, subject=PUMP,
         value=lambda p: peak(along(p), 60 * MM, p * MM, HOLE, HOLE / 2), limit=250 * MPA, threshold=250 * MPA,
         places=words(strength=strength(250)), source="strength of the metal"),
    Case("BRACKET_MAY_CRACK", "marginal", lambda p: below(thickness=p, material="grey-iron")(0), 6, 9, subject=PUMP,
         value=lambda p: peak(along(p), 60 * MM, p * MM, HOLE, HOLE / 2), limit=250 / 1.5 * MPA, threshold=250 / 1.5 * MPA,
         places=words(strength=strength(250)), source="1/1.5 of the strength"),
    # across it the principal stresses of twist alone are opposite: a hole in shear
    Case("BRACKET_CRACKS", "fail", lambda p: below(thickness=p, material="grey-iron", bolts=BESIDE)(0), 3, 5, subject=PUMP,
         value=lambda p: peak(across(p), 60 * MM, p * MM, HOLE, HOLE / 2), limit=250 * MPA, threshold=250 * MPA,
         places=words(strength=strength(250))),
    Case("BRACKET_CUT", "fail", lambda p: below(width=p)(0), 8.9, 9.5, subject=PUMP, value=lambda p: HOLE,
         limit=lambda p: p * MM, at={}, places=words(), source="geometry"),
    Case("BRACKET_BREAKS", "fail", lambda p: below(thickness=p)(0), 4.5, 7, subject=PUMP, value=lambda p: fatigue(p)[0],
         limit=1.0, threshold=1.0, places=words(**swings(fatigue)), source="Goodman's line"),
    Case("BRACKET_MAY_BREAK", "marginal", lambda p: below(thickness=p)(0), 6.5, 9, subject=PUMP,
         value=lambda p: fatigue(p)[0], limit=1.5, threshold=1.5, places=words(**swings(fatigue)),
         source="marginal under 1.5", silent_on=[below(thickness=4.5)(0)]),
    Case("BRACKET_MAY_BREAK", "marginal", lambda p: below(thickness=p, material="steel")(0), 5.5, 9, subject=PUMP,
         value=lambda p: fatigue_steel(p)[0], limit=1.5, threshold=1.5, places=words(**swings(fatigue_steel))),
    Case("BRACKET_MAY_BREAK", "marginal", lambda p: below(thickness=p, bolts=BESIDE)(0), 5, 7, subject=PUMP,
         value=lambda p: fatigue_across(p)[0], limit=1.5, threshold=1.5, places=words(**swings(fatigue_across))),
    # in a slot that runs aslant: its part across the strip is missing, and its ends are sharper
    Case("BRACKET_MAY_YIELD", "marginal", lambda p: below(thickness=p, slot_width=11, changes=IN_SLOT)(0), 4.5, 7,
         subject=PUMP, value=lambda p: plain(slot_section(p)), limit=276 / 1.5 * MPA, threshold=276 / 1.5 * MPA,
         places=words(True, strength=strength(276))),
    Case("BRACKET_BREAKS", "fail", lambda p: below(thickness=p, slot_width=11, changes=IN_SLOT)(0), 6, 11, subject=PUMP,
         value=lambda p: slot_fatigue(p)[0], limit=1.0, threshold=1.0, places=words(True, **swings(slot_fatigue))),
    # the slot's width is the hole of the bolt through the standoff where it is not given
    Case("BRACKET_BREAKS", "fail", lambda p: below(thickness=p, changes={**IN_SLOT, "pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "bolt": {"thread": "M10", "class": "12.9", "torque": 60}}})(0), 6, 11,
         subject=PUMP, value=lambda p: slot_fatigue(p)[0], limit=1.0, places=words(True, **swings(slot_fatigue))),
    Case("BRACKET_CUT", "fail", lambda p: below(width=p, slot_width=11, changes=IN_SLOT)(0), 20, 24, subject=PUMP,
         value=lambda p: SLOT + SLANT, limit=lambda p: p * MM, at={}, places=words(True)),
    Case("BRACKET_BREAKS", "fail", TURNS_ROUND.plate(
        bolt("a", 120, 180), bolt("b", 180, 180), bolt("c", 150, 170), face=-34,
        bracket={"thickness": 6, "width": 40, "reach": 40}, base=LOAD), 0, subject={"pulley": "right", "other": "plate"},
         value=lambda p: turning_round()[0], limit=1.0, places=words(**swings(lambda p: turning_round())),
         at=lambda p: turning_round()[3]),
    Case("BRACKET_BREAKS", "fail", TURNS_ROUND.plate(
        bolt("a", 120, 340), bolt("b", 180, 340), bolt("c", 150, 350), face=-34,
        bracket={"thickness": 6, "width": 40, "reach": 40}, base=LOAD), 0, subject={"pulley": "right", "other": "plate"},
         value=lambda p: turning_round(-1)[0], limit=1.0, places=words(**swings(lambda p: turning_round(-1))),
         at=lambda p: turning_round(-1)[3]),
    Case("BRACKET_MAY_YIELD", "marginal", TURNS_ROUND.plate(
        bolt("a", 120, 180), bolt("b", 180, 180), bolt("c", 150, 170), face=-34,
        bracket={"thickness": 6, "width": 40, "reach": 40}, base=LOAD), 0, subject={"pulley": "right", "other": "plate"},
         value=lambda p: turned_most()[0], limit=276 / 1.5 * MPA, places=words(strength=strength(276)),
         at=lambda p: turned_most()[1]),
    Case("BRACKET_YIELDS", "fail", lambda p: below(width=p, thickness=8, face=-4.2, bolts=BESIDE, slot_width=11,
                                                    changes=curved())(0), 20.5, 26, subject=PUMP,
         value=lambda p: plain(bulging(p)), limit=276 * MPA, places=words(True, strength=strength(276))),
    Case("BRACKET_MAY_BREAK", "marginal", beside_slot, 29, 34, subject=PUMP, value=lambda p: beside_slot_tired(p)[0],
         limit=1.5, threshold=1.5, places=words(True, **swings(beside_slot_tired))),
)

# ---- metal around the holes of a plate ---------------------------------------------------------------------------------
# Distances of EN 1993-1-8, table 3.3 (from memory), by the coordinates of the drive: an M8's hole has 9 mm, the slot 11.

TAPPED_ALUMINIUM = 2.0  # diameters of thread for a bolt of 8.8: docs/theory/mount.md
FIGURES = dict(threshold=1.2, limit=1.2, limit_key=("hole_edge", "NONE"), default=1.2, source="EN 1993-1-8", at={})


def filled(hole, has, needs):
    return lambda p: {"other": "plate", "hole": hole, "metal": shown(has(p) * MM, "MM", 1), "need": f"{needs:.1f} mm"}


def cut_at(right=60, top=340):
    """The plate's outline around bolts at -20 and 20, 230 and a slot up to 310."""
    return [[-60, 200], [right, 200], [right, top], [-60, top]]


def to_right(p):
    """The right bolt is p mm from the side."""
    return below(outline=cut_at(right=20 + p))(0)


UPRIGHT = {"pump.at": None, "pump.slot": {"from": [0, 280], "to": [0, 310], "setting": 20}}


def over_slot(p):
    """The slot ends straight below the top, p mm from it."""
    return below(slot_width=11, outline=cut_at(top=310 + p), changes=UPRIGHT)(0)


def pitch(p):
    return below(edge=30, bolts=((-20, 230), (p - 20, 230)))(0)


def under_slot(p):
    """A bolt p mm straight below the slot's lower end, the other far off."""
    return below(slot_width=11, edge=30, bolts=((0, 280 - p), (60, 200)), changes=UPRIGHT)(0)


def above_slot(p):
    """The same over its upper end."""
    return below(slot_width=11, edge=30, bolts=((0, 310 + p), (60, 200)), changes=UPRIGHT)(0)


def elsewhere(p):
    """The pump on a mount of its own, in front of a bolt of the plate: its hole is none of the plate's."""
    plate = {"name": "plate", "face": -60, "bracket": {"thickness": 8, "edge": 30}, "bolts": [bolt("a", 0, 300 + p), bolt("b", 60, 200)]}
    own = {"name": "own", "face": -30, "bracket": {"thickness": 8}, "bolts": [bolt("c", 0, 340), bolt("d", 30, 340)]}
    return on(PAIR, {"pump.mount": "own", "pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "bolt": {"thread": "M10", "class": "12.9", "torque": 60}}, "mounts": [plate, own]})(0)


def foot(bolts=((-20, 230), (20, 230)), outline=None, slot=None, **more):
    """The pump on a standoff of 30 mm, its bolt M10."""
    return below(bolts=bolts, **({"outline": outline} if outline else {}), **({"slot_width": slot} if slot else {}), changes={"pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "tapped_in": "steel", "bolt": {"thread": "M10", "class": "8.8", "torque": 40}, **more}})(0)


def headed(p):
    """A bolt p mm straight below the standoff, its head 13 mm wide; then with a washer of 20."""
    return foot(bolts=((0, 300 - p), (60, 200))).replace("name: a,", "name: a, head: 13,")


def in_metal(p, engagement=40, shims=0, **more):
    """M10 8.8 screwed 40 mm into a bracket of p mm, under shims."""
    pack = [{"name": "shims", "kind": "shim", "length": shims}] if shims else []
    return below(thickness=p, changes={
        "pump.stack": [*pack, {"name": "standoff", "kind": "standoff", "length": 20}, {"name": "pulley", "kind": "offset", "length": 10 - shims}],
        "pump.standoff": {"outside": 30, "bore": 11, "length": 20, **more, "bolt": {
            "thread": "M10", "class": "8.8", "torque": 40, "engagement": engagement}}})(0)


def in_slot(p, end):
    """The standoff in its slot, a bolt with a head of 13 mm p mm straight beyond one of the slot's ends."""
    away = 280 - p if end == "lower" else 310 + p
    return below(slot_width=11, bolts=((0, away), (60, 200)), changes={**UPRIGHT, "pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "bolt": {"thread": "M10", "class": "8.8", "torque": 40}}})(0).replace("name: a,", "name: a, head: 13,")


def held(p, **face):
    """A slider of its own, held by an M8 in a slot of p mm."""
    return below(slot_width=p, changes={**UPRIGHT, "pump.clamp": {"bolt": {"thread": "M8", "class": "8.8", "torque": 20, "hole": 8.5, **face}}})(0)


def narrow(p):
    return below(slot_width=p, changes={**UPRIGHT, "pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "bolt": {"thread": "M10", "class": "8.8", "torque": 40}}})(0)


ONE, OTHER = {"other": "plate, a"}, {"other": "plate, b"}
CASES = list(CASES) + [
    # grown around the holes by p: rim to edge
    Case("HOLE_EDGE_THIN", "marginal", lambda p: below(edge=p)(0), 6, 7, subject=ONE, value=lambda p: (p + 4.5) / 9,
         places=filled("a", same, 6.3), **FIGURES),
    # cut out by corners: middle to side
    Case("HOLE_EDGE_THIN", "marginal", to_right, 10, 11, subject=OTHER, value=lambda p: p / 9,
         places=filled("b", lambda p: p - 4.5, 6.3), silent_on=[to_right(4)], **FIGURES),
    Case("HOLE_CUT", "fail", to_right, 4, 5, subject=OTHER, value=lambda p: (p - 4.5) * MM, places=lambda p: {"other": "plate", "hole": "b"}, at={},
         measure=lambda p: p, threshold=4.5, source="geometry"),
    # wholly outside
    Case("HOLE_CUT", "fail", to_right, -10, 5, subject=OTHER, value=lambda p: (p - 4.5) * MM, places=lambda p: {"other": "plate", "hole": "b"}, at={}),
    # a bolt that places the bracket is reamed to its shank of 8 mm
    Case("HOLE_EDGE_THIN", "marginal", lambda p: to_right(p).replace("name: b,", "name: b, locates: true,"), 9, 9.7, subject=OTHER,
         value=lambda p: p / 8, places=filled("b", lambda p: p - 4, 5.6), **FIGURES),
    # a standoff screwed through it into something else: M10's hole of 11 mm
    Case("HOLE_EDGE_THIN", "marginal", lambda p: below(outline=cut_at(top=300 + p), changes={"pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "tapped_in": "steel", "bolt": {"thread": "M10", "class": "12.9", "torque": 60}}})(0),
         12, 14, subject=PUMP, value=lambda p: p / 11, places=filled("pump", lambda p: p - 5.5, 7.7), **FIGURES),
    # its thread is cut in the bracket itself: 10 mm
    Case("HOLE_EDGE_THIN", "marginal", lambda p: below(outline=cut_at(top=300 + p), changes={"pump.standoff": {
        "outside": 30, "bore": 11, "length": 20, "bolt": {"thread": "M10", "class": "12.9", "torque": 60}}})(0),
         11, 13, subject=PUMP, value=lambda p: p / 10, places=filled("pump", lambda p: p - 5, 7.0), **FIGURES),
    Case("SLOT_EDGE_THIN", "marginal", over_slot, 14, 17, subject=PUMP, value=lambda p: p / 11, limit=1.5, threshold=1.5,
         limit_key=("slot_edge", "NONE"), default=1.5, source="EN 1993-1-8", places=filled("pump", lambda p: p - 5.5, 11), at={}),
    Case("SLOT_EDGE_THIN", "marginal", lambda p: below(slot_width=11, edge=p, changes=UPRIGHT)(0), 9, 12, subject=PUMP,
         value=lambda p: (p + 5.5) / 11, limit=1.5, places=filled("pump", same, 11), at={}),
    Case("WEB_THIN", "marginal", pitch, 15, 20, subject=OTHER, value=lambda p: p / 9, limit=2.2, threshold=2.2,
         limit_key=("hole_spacing", "NONE"), default=2.2, source="EN 1993-1-8", at={},
         places=lambda p: {**filled("b", lambda p: p - 9, 10.8)(p), "beside": "a"}, silent_on=[pitch(8)]),
    # unlike ones by the mean of 9 and 11 mm
    Case("WEB_THIN", "marginal", under_slot, 18, 23, subject=PUMP, value=lambda p: p / 10, limit=2.2, threshold=2.2, at={},
         places=lambda p: {**filled("pump", lambda p: p - 10, 12)(p), "beside": "a"}),
    Case("WEB_THIN", "marginal", above_slot, 18, 23, subject=PUMP, value=lambda p: p / 10, limit=2.2, at={},
         places=lambda p: {**filled("pump", lambda p: p - 10, 12)(p), "beside": "a"}, silent_on=[elsewhere(15)]),
    # a quarter of the hole beside it, half of it between two: 2.25 and 4.5 mm
    Case("EDGE_GONE", "fail", lambda p: below(edge=p)(0), 2, 3, subject=ONE, value=lambda p: p * MM, limit=2.25 * MM, threshold=2.25 * MM,
         places=lambda p: {"other": "plate", "hole": "a"}, source="rule of thumb", at={}, silent_on=[to_right(4)]),
    Case("WEB_GONE", "fail", pitch, 12, 14, subject=OTHER, value=lambda p: (p - 9) * MM, limit=4.5 * MM, threshold=4.5 * MM,
         places=lambda p: {"other": "plate", "hole": "b", "beside": "a"}, source="rule of thumb", at={}, silent_on=[pitch(8)]),
    Case("WEB_GONE", "fail", under_slot, 14, 16, subject=PUMP, value=lambda p: (p - 10) * MM, limit=5 * MM, threshold=5 * MM,
         places=lambda p: {"other": "plate", "hole": "pump", "beside": "a"}, at={}),
    # a pulley that stands fast goes into no slot, however narrow that of another one is
    Case("SLOT_NARROW", "fail", narrow, 9.5, 10.5, subject=PUMP, value=lambda p: p * MM, limit=10 * MM, threshold=10 * MM, at={},
         source="geometry", silent_on=[foot(slot=8)]),
    Case("FOOT_ON_BOLT", "fail", headed, 21, 22, subject={"pulley": "pump", "other": "plate, a"}, value=lambda p: p * MM, limit=21.5 * MM,
         threshold=21.5 * MM, places=lambda p: {"other": "plate", "bolt": "a"}, source="ISO 4017", at={},
         silent_on=[below(bolts=((0, 296), (60, 200)))(0)]),
    # what is pulled through: a standoff of 30 mm; of a clamp the head, or its washer
    Case("SLOT_WIDE", "fail", narrow, 31, 29, subject=PUMP, value=lambda p: p * MM, limit=30 * MM, threshold=30 * MM, at={},
         source="geometry"),
    Case("SLOT_WIDE", "fail", lambda p: held(p, head=13), 14, 12, subject=PUMP, value=lambda p: p * MM, limit=13 * MM, at={},
         silent_on=[held(14, head=13, washer=24)]),
    *(Case("FOOT_ON_BOLT", "fail", lambda p, end=end: in_slot(p, end), 21, 22, subject={"pulley": "pump", "other": "plate, a"},
           value=lambda p: p * MM, limit=21.5 * MM, places=lambda p: {"other": "plate", "bolt": "a"}, at={}) for end in ("lower", "upper")),
    Case("FOOT_ON_BOLT", "fail", lambda p: headed(p).replace("name: a,", "name: a, washer: 20,"), 24, 26,
         subject={"pulley": "pump", "other": "plate, a"}, value=lambda p: p * MM, limit=25 * MM, at={},
         places=lambda p: {"other": "plate", "bolt": "a"}),
    Case("FOOT_OVER_EDGE", "marginal", lambda p: foot(outline=cut_at(top=300 + p)), 14, 16, subject=PUMP, value=lambda p: 15 * MM,
         limit=lambda p: p * MM, measure=lambda p: p, threshold=15, at={}, source="geometry", silent_on=[foot()]),
    # a nut of steel is as thick as it is; shims leave less thread than the bracket has
    Case("METAL_HOLDS_LESS", "fail", in_metal, 14, 30, subject={"pulley": "pump"},
         silent_on=[in_metal(8, tapped_in="steel"), in_metal(14, engagement=20, shims=8)], value=lambda p: p * MM,
         limit=TAPPED_ALUMINIUM * 10 * MM, threshold=TAPPED_ALUMINIUM * 10 * MM, at={}, source="tables of thread engagement",
         places=lambda p: {"bolt": "standoff bolt", "owner": "pump", "metal": "aluminium", "limit": f"{TAPPED_ALUMINIUM * 10:.1f} mm"}),
    Case("HOLES_MEET", "fail", pitch, 8, 10, subject=OTHER, value=lambda p: p / 9, measure=lambda p: p, threshold=9, at={},
         places=lambda p: {"other": "plate", "hole": "b", "beside": "a"}, source="geometry"),
]
