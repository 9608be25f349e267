"""Grip and slack: dry, at design, wet; which span, which belt, which way of running.

Two pulleys have a closed form. Both spans are alike and both arcs lie at the mean of their tensions, so that a torque
raises one span by as much as it lowers the other: T0 +- M/(2 r) about the tension T0 of the belt at rest. Grip is
Euler's ln(T1'/T2')/(mu wrap) of what momentum leaves, T' = T - m v^2. Drives with a third pulley go by the equilibrium
of tests/reference.
"""
import math
import re

import numpy as np
import yaml

from drives import ARM, FIXED, LOCKED, on, same, text
from harness import MM, RPM, Case, Sample, judge, shown
from mechanics import IDLE, REDLINE, STIFFNESS, MEASURED, momentum, open_path, taut

RIBS = 6
CRANK, PUMP = 77 * MM, 57 * MM  # pitch radii
RATIO = CRANK / PUMP
LEAN = math.asin((77 - 57) / 350)  # Shigley, 9th ed., eq. 17-1
WRAP = {"crank": math.pi + 2 * LEAN, "pump": math.pi - 2 * LEAN}
DESIGN, LIMIT, WET = 0.4413, 0.9, 0.9 * 0.65  # docs/theory/grip.md: ln 4/pi in four digits
RATES = {"steady": 0.0, "accelerating": 1500 * RPM, "overrun": -4000 * RPM, "closed throttle": 0.0, "no-lift shift": -4000 * RPM}  # rad/s2
SPAN_IN, SPAN_OUT = {"span": ["crank", "pump"]}, {"span": ["pump", "crank"]}

# ---- two pulleys ------------------------------------------------------------------------------------------------------


def pair(length, load=2.0, inertia=0.0, tolerance=0.1, stretch=0.0, worn=0.0):
    """Its file. load: N m at every speed, or a table of pump speed, rpm."""
    table = load if isinstance(load, list) else [[500, load], [20000, load]]
    return text(FIXED, {"belt": {"ribs": RIBS, "length": length, "tolerance": tolerance, "stretch": stretch,
                                 "worn": worn}, "pump.load": table, "pump.inertia": inertia})


def pair_cases(length, load=2.0, inertia=0.0, tolerance=0.1, stretch=0.0, worn=0.0):
    """All its cases in the order in which the plainest comes first: where, what momentum leaves of the tension of the
    span that enters the pump and of the one that leaves it, N."""
    table = load if isinstance(load, list) else [[500, load], [20000, load]]
    path = open_path(150, 110, 350)
    bends = [speed / RATIO for speed, _ in table if IDLE / RPM < speed / RATIO < REDLINE / RPM]
    for rpm in sorted([0.0] + [800 + 5200 * k / 40 for k in range(41)] + bends):
        for way, rate in RATES.items() if rpm else [("steady", 0.0)]:
            for belt, more, longer in (("nominal belt", 0, stretch), ("shortest belt", -tolerance, 0),
                                       ("longest belt, worn", tolerance, worn)):
                made = (length + more + 4 * math.pi) * (1 + longer)
                free = RIBS * (MEASURED + STIFFNESS * (path - made) / path - momentum(rpm))
                torque = (float(np.interp(rpm * RATIO, *zip(*table))) + inertia * RATIO * rate) if rpm else 0.0
                at = {"rpm": rpm, "state": way if rpm else "engine stopped", "belt": belt, "friction": "middle"}
                yield at, free - torque / PUMP / 2, free + torque / PUMP / 2


def share(pulley, friction):
    def of(enters, leaves):
        low, high = sorted((enters, leaves))
        return math.log(high / low) / friction / WRAP[pulley] if low > 0 else math.inf
    return of


def worst(how, cases, most=True):
    """(value, at): the first of the greatest."""
    best = None
    for at, enters, leaves in cases:
        value = how(enters, leaves)
        if best is None or (value > best[0] + 1e-12 if most else value < best[0] - 1e-12):
            best = (value, at)
    return best


def of_pair(wording_friction, pulley="pump", vary="load", tension=200, **given):
    """drive, value and place of a case whose p is one of the arguments of `pair`."""
    def arguments(p):
        return {"length": taut(tension), **given, vary: p}

    def met(p):
        return worst(share(pulley, wording_friction), pair_cases(**arguments(p)))
    return dict(drive=lambda p: pair(**arguments(p)), value=lambda p: met(p)[0], at=lambda p: met(p)[1],
                subject={"pulley": pulley, "other": None})


def slack_of(span, vary="load", tension=200, heavy="", **given):
    """The same for the span that enters (0) or leaves (1) the pump."""
    def arguments(p):
        return {"length": taut(tension), **given, vary: p}

    def met(p):
        return worst(lambda *both: both[span], pair_cases(**arguments(p)), most=False)
    return dict(drive=lambda p: pair(**arguments(p)), value=lambda p: met(p)[0], at=lambda p: met(p)[1],
                subject=[SPAN_IN, SPAN_OUT][span], limit=0.0, places=lambda p: mend("static tension", heavy))


def mend(pull, heavy="", shorter=True):
    """What the sentence on a slack span advises."""
    ways = [f"more {pull}"] + ["a shorter belt"] * shorter + [f"less inertia on {heavy}"] * bool(heavy)
    return {"mend": "Use " + ", ".join(ways[:-1] + ["or " + ways[-1]] if ways[1:] else ways) + "."}


def slips(pull, value):
    return lambda p: {"pull": pull, "share": shown(value(p), "PERCENT", 0)}


RULE = dict(limit=1.0, threshold=1.0)
DESIGN_KEY = dict(limit_key=("grip_design", "NONE"), default=1.0)
SLIP_KEY = dict(limit_key=("grip_slip", "NONE"), default=1.0)
# A pump that asks most at 3050 rpm of the engine, between two steps of speed.


def peak(p):
    return [[500, 2], [3050 * RATIO, p], [6000 * RATIO, 2]]


def of_peak(friction):
    def met(p):
        return worst(share("pump", friction), pair_cases(taut(200), peak(p)))
    return dict(drive=lambda p: pair(taut(200), peak(p)), value=lambda p: met(p)[0], at=lambda p: met(p)[1],
                subject={"pulley": "pump", "other": None})


# ---- more pulleys -------------------------------------------------------------------------------------------------------


def of_sample(drive, what, pulley, every=20):
    def sample(p):
        return Sample(drive(p), every=every)
    return dict(drive=drive, sample=lambda p: (sample(p), f"{what} {pulley}"), value=lambda p: sample(p).value(f"{what} {pulley}"),
                at=lambda p: sample(p).at(f"{what} {pulley}"), subject={"pulley": pulley, "other": None})


def hangs(sample, what, most=True):
    """Whether the arm is back at its free position in the worst case: it sets no tension there."""
    at = sample.at(what, most)
    return next(values["where"] for place, values in sample.cases if place == at) == "at free position"


def slack_sample(drive, span, places, every=20):
    def sample(p):
        return Sample(drive(p), every=every)

    def told(p):
        if hangs(sample(p), f"span {span[0]}", most=False):
            return {"mend": re.sub(r"more [\w ]+, a shorter", "a shorter", places["mend"]).replace("a shorter belt, or", "a shorter belt, or")}
        return places
    return dict(drive=drive, value=lambda p: sample(p).value(f"span {span[0]}", most=False), limit=0.0,
                at=lambda p: sample(p).at(f"span {span[0]}", most=False), subject={"span": list(span)}, places=told)


ARMED = on(ARM, {"belt": {"ribs": 6, "length": 1014, "worn": 0.003}, "pump.load": lambda p: [[500, p], [20000, p]]})
HEAVY_ARM = on(ARM, {"belt.worn": 0.003, "pump.inertia": same})
ONCE = {"idler.retension": False}  # wears on what it was set to when new
SPUN = on(LOCKED, {**ONCE, "belt.worn": 0.0003, "idler.inertia": same})  # its belt's back drives and brakes the idler
SPUN_AGAIN, SPUN_NEW = on(LOCKED, {"belt.worn": 0.0003, "idler.inertia": same}), on(LOCKED, {"idler.inertia": same})
LOCKED_LOAD = on(LOCKED, {**ONCE, "belt.worn": 0.0003, "fan.load": lambda p: [[500, p], [20000, p]]})
# A light idler between the crank and the heavy fan: the span that is slack touches neither end that is heavy.
HEAVY_FAN = on(LOCKED, {**ONCE, "belt.worn": 0.0003, "fan.inertia": same, "idler.inertia": 1e-6,
                      "crank.inertia": 2})
# Less inertia, 0.75 of the fan's, at a radius of 49 mm against 62: the idler pulls more at the belt.
HEAVY_IDLER = on(LOCKED, {**ONCE, "belt.worn": 0.0003, "fan.inertia": same, "idler.inertia": lambda p: 0.75 * p})

# Slowed down with the throttle open, in a gear change without lift: the blower still takes its torque while the heavy
# alternator before it drives the belt. Nothing takes up what each leaves slack. The blower's torque is the program's own
# (it is tested with the blowers); as a load at those speeds, to lose speed with it is what `falling` is with a load alone.
HEAVY_BLOWN = on(FIXED, {
    "engine": {"displacement": "2.0 L", "cylinders": 4, "idle": 800, "redline": 6000, "volumetric_efficiency": [[800, 0.9], [6000, 0.9]],
               "decel_rate": 4000},
    "belt": {"ribs": 6, "length": 1234, "tolerance": 0.1},
    "pulleys": [FIXED["pulleys"][0], {"name": "alternator", "at": [-140, 300], "diameter": 70, "inertia": same},
                {"name": "blower", "at": [60, 350], "diameter": 90, "blower": {"kind": "roots", "swept": 1.0}}]})


def loaded_blower(p):
    drive, table = HEAVY_BLOWN(p), []
    for k in range(0, 41, 20):
        state = judge(drive, "--rpm", f"{800 + 130 * k}")
        blower = next(one for one in state["pulleys"] if one["name"] == "blower")
        table.append([abs(blower["rpm"]), blower["torque_N_m"]])
    return text(yaml.safe_load(drive), {"blower.blower": None, "blower.load": table})


def shifted(span):
    def sample(p):
        return Sample(loaded_blower(p), every=20)
    return dict(drive=HEAVY_BLOWN, value=lambda p: sample(p).value(f"span {span[0]}", most=False), limit=0.0,
                at=lambda p: {**sample(p).at(f"span {span[0]}", most=False), "state": "no-lift shift"}, subject={"span": list(span)},
                places=lambda p: mend("static tension", "alternator"))


# ---- design grip --------------------------------------------------------------------------------------------------------

OVER = dict(wording="OVER_DESIGN_GRIP", level="marginal", **RULE)
OWN = dict(limit_key=("grip_design", "NONE"), default=1.0)

DESIGNS = [
    Case(fires=64, quiet=56, source="ANSI/RMA IP-26", silent_on=[pair(taut(200), 110)], **of_pair(DESIGN), **OVER, **OWN),
    # the crank has 14 deg more
    Case(fires=66, quiet=58, **of_pair(DESIGN, "crank"), **OVER),
    # the longest belt, worn and not, against the nominal one with its stretch
    Case(fires=34, quiet=26, **of_pair(DESIGN, tolerance=1, stretch=0.001, worn=0.002), **OVER),
    Case(fires=54, quiet=46, **of_pair(DESIGN, tolerance=0.1, stretch=0.001, worn=0.001), **OVER),
    # speeding up, with inertia; slowing down, when the pump drives the belt
    Case(fires=0.08, quiet=0.01, **of_pair(DESIGN, vary="inertia", load=50), **OVER),
    Case(fires=0.13, quiet=0.05, **of_pair(DESIGN, vary="inertia", load=2), **OVER),
    # the load's peak lies between two steps of speed
    Case(fires=75, quiet=55, **of_peak(DESIGN), **OVER),
    # an arm: its friction on the low side
    Case(fires=28, quiet=20, **of_sample(ARMED, "grip", "pump"), **OVER, **OWN),
    Case(fires=44, quiet=30, **of_sample(ARMED, "grip", "crank"), **OVER),
    # friction of the file's own
    Case(fires=50, quiet=38, **{**of_pair(0.3), "drive": lambda p: pair(taut(200), p).replace(
        "worn:", "friction: {design: {rib: 0.3}}, worn:")}, **OVER),
]

# ---- slip ---------------------------------------------------------------------------------------------------------------

SLIP = dict(wording="SLIPS", level="fail", **RULE)
OWN = dict(limit_key=("grip_slip", "NONE"), default=1.0)


def gripping(pull, hanging=False):
    return "Use a shorter belt, more wrap, or a larger pulley." if hanging else f"Use more wrap, more {pull}, or a larger pulley."


def slipping(pull, of):
    return {**of, "places": lambda p: {"mend": gripping(pull, "sample" in of and hangs(*of["sample"](p))), "share": shown(of["value"](p), "PERCENT", 0)}}


SLIPPING = [
    Case(fires=96, quiet=80, source="a belt slips at 1", **slipping("static tension", of_pair(LIMIT)), **SLIP, **OWN),
    Case(fires=50, quiet=40, **slipping("static tension", of_pair(LIMIT, tolerance=1, stretch=0.001, worn=0.002)), **SLIP),
    Case(fires=0.178, quiet=0.14, **slipping("static tension", of_pair(LIMIT, vary="inertia", load=2)), **SLIP),
    Case(fires=116, quiet=90, **slipping("static tension", of_peak(LIMIT)), **SLIP),
    # 0.35 on the back, by design and at the limit
    Case(fires=0.003, quiet=0.001, **slipping("set tension", of_sample(SPUN, "limit", "idler")), **SLIP),
    # set again as it wears, the oldest belt has the tension of a new one
    Case(fires=0.003, quiet=0.001, **slipping("set tension", {**of_sample(SPUN_NEW, "limit", "idler"), "drive": SPUN_AGAIN}), **SLIP),
    # a larger crank pulley turns the others faster: no advice for it
    Case(fires=98, quiet=80, **{**of_pair(LIMIT, "crank"), "places": lambda p: {
        "mend": "Use more wrap, or more static tension.", "share": shown(of_pair(LIMIT, "crank")["value"](p), "PERCENT", 0)}}, **SLIP),
    Case(fires=135, quiet=100, **slipping("arm moment", of_sample(ARMED, "limit", "pump")), **SLIP),
]

# ---- wet -------------------------------------------------------------------------------------------------------------------

WETS = dict(wording="SLIPS_WET", level="marginal", **RULE)

WET_BELT = [
    Case(fires=80, quiet=68, source="published measurement", silent_on=[pair(taut(200), 96)], **of_pair(WET), **WETS, **OWN),
    Case(fires=0.18, quiet=0.12, **of_pair(WET, vary="inertia", load=20), **WETS),
    # less is lost on the file's word
    Case(fires=86, quiet=76, **{**of_pair(0.9 * 0.8), "drive": lambda p: pair(taut(200), p).replace(
        "worn:", "wet: 0.2, worn:")}, **WETS),
    Case(fires=64, quiet=36, **of_sample(ARMED, "wet", "pump"), **WETS),
]

# ---- slack -----------------------------------------------------------------------------------------------------------------

SLACK = dict(wording="SPAN_SLACK", level="fail", threshold=0.0)

SLACKS = [
    Case(fires=110, quiet=100, source="a belt cannot push", **slack_of(0), **SLACK),
    Case(fires=56, quiet=46, **slack_of(0, tolerance=1, stretch=0.001, worn=0.002), **SLACK),
    Case(fires=0.3, quiet=0.1, **slack_of(0, vary="inertia", load=80, heavy="pump"), **SLACK),
    # slowing down the pump's inertia slackens the span that leaves it
    Case(fires=0.25, quiet=0.15, **slack_of(1, vary="inertia", load=2, heavy="pump"), **SLACK),
    Case(fires=0.015, quiet=0.008, **slack_sample(HEAVY_ARM, ("pump", "crank"), mend("arm moment", "pump")), **SLACK),
    Case(fires=33, quiet=20, **slack_sample(LOCKED_LOAD, ("idler", "fan"), mend("set tension", shorter=False)), **SLACK),
    Case(fires=33, quiet=20, **slack_sample(LOCKED_LOAD, ("crank", "idler"), mend("set tension", shorter=False)), **SLACK),
    Case(fires=0.2, quiet=0.05, **slack_sample(HEAVY_FAN, ("crank", "idler"), mend("set tension", "fan", False)), **SLACK),
    Case(fires=0.06, quiet=0.02, **slack_sample(HEAVY_IDLER, ("crank", "idler"), mend("set tension", "idler", False)),
         **SLACK),
    # more is missing than half of that inertia pulls: less of it is no advice
    Case(fires=0.1, quiet=0.02, **slack_sample(HEAVY_IDLER, ("crank", "idler"), mend("set tension", shorter=False)), **SLACK),
    Case(fires=0.05, quiet=0.0, **shifted(("alternator", "blower")), **SLACK),
]

# ---- inertias that the file does not give -----------------------------------------------------------------------------------
# By the rules of thumb of docs/theory/motion.md: a rim 3 mm thick, 22 mm wide (`width` below), and an accessory's rotor behind it.

BARE = {"belt": {"ribs": RIBS, "length": taut(200), "tolerance": 0.1}, "pump.width": 22}


def rim(radius):
    return 2 * math.pi * 7850 * 3 * MM * 22 * MM * radius ** 3


def pull_of(rate, *of):
    """At the belt, N, where the engine's speed changes by so many rpm/s: of (radius, inertia)."""
    return sum(inertia * CRANK / radius * rate * RPM / radius for radius, inertia in of)


def greatest_tension():
    return max(max(enters, leaves) + RIBS * momentum(at["rpm"]) for at, enters, leaves in pair_cases(taut(200)))


def unstated(missing, value, drive, **more):
    return Case(wording="INERTIA_MISSING", level="note", drive=drive, value=value, source="rule of thumb", subject={"pulley": None},
                **{"places": lambda p: {"missing": missing, "rate": shown(p * RPM, "RPM_S", 0)}, **more})


DRIVEN = (PUMP, rim(PUMP) + 0.0025)
FAN = {"name": "fan", "at": [200, 250], "diameter": 76, "width": 22, "load": [[500, 1], [20000, 1]]}
FAN_TOO = (40 * MM, rim(40 * MM) + 0.0025)

BLOWER = 47 * MM


def blown(what):
    return on(FIXED, {
        "engine": {**FIXED["engine"], "decel_rate": same, "volumetric_efficiency": [[800, 0.9], [6000, 0.9]]},
        "belt": {"ribs": RIBS, "length": 1078, "tolerance": 0.1},
        "pulleys": [FIXED["pulleys"][0], {"name": "blower", "at": [0, 350], "diameter": 90, "width": 22, "blower": what}]})


INERTIAS = [
    unstated("`pump.inertia`", lambda p: pull_of(p, DRIVEN), on(FIXED, {**BARE, "engine.decel_rate": same}), fires=24000, quiet=10000,
             measure=lambda p: pull_of(p, DRIVEN) / greatest_tension(), threshold=0.1,
             silent_on=[text(FIXED, {**BARE, "engine.decel_rate": 24000, "pump.inertia": 0.001}),  # given, however little
                        text(FIXED, {**BARE, "engine.decel_rate": 24000, "pump.load": None}),  # no shaft: next to nothing but a rim
                        text(FIXED, {**BARE, "engine.decel_rate": 24000, "pump.overruns": True})]),  # nothing slows it
    # speeding up; what overruns is pulled along then
    unstated("`pump.inertia`", lambda p: pull_of(p, DRIVEN), on(FIXED, {**BARE, "engine.accel_rate": same, "pump.overruns": True}),
             fires=24000, quiet=10000, measure=lambda p: pull_of(p, DRIVEN) / greatest_tension(), threshold=0.1),
    # two together
    unstated("`pump.inertia`, `fan.inertia`", lambda p: pull_of(p, DRIVEN, FAN_TOO),
             on(FIXED, {"belt": {"ribs": RIBS, "length": 1256, "tolerance": 0.1}, "engine.decel_rate": same, "pulleys": [FIXED["pulleys"][0], {**FIXED["pulleys"][1], "width": 22}, FAN]}),
             fires=20000, quiet=2000),
    # a blower that sweeps 1.2 L, and one whose impeller passes 0.3 m3/s at most and turns 3 times as fast
    unstated("`blower.inertia`", lambda p: pull_of(p, (BLOWER, rim(BLOWER) + 0.0016 * 1.2 ** (5 / 3))),
             blown({"kind": "roots", "swept": 1.2}), fires=24000, quiet=2000),
    unstated("`blower.inertia`", lambda p: pull_of(p, (BLOWER, rim(BLOWER) + 9 * 2.2e-4 * 1.2 ** 2.5)),
             blown({"kind": "centrifugal", "step_up": 3, "design_speed": 40000, "design_flow": 0.3, "design_ratio": 1.6}), fires=24000, quiet=2000),
]

CASES = DESIGNS + SLIPPING + WET_BELT + SLACKS + INERTIAS
