"""Is there a belt, and does it balance."""
import re
import math

from scipy.optimize import brentq

from drives import ARM, FIXED, LOCKED, text
from harness import DEG, MM, Case, least, most, reference, shown, tolerance_of
from cases_belt import FILL
from mechanics import (AT_REST, IDLE, MEASURED, REDLINE, SPEED_STEPS, STIFFNESS, belt_speed, drive_path, fits, fits_arm, last_wind, momentum,
                       needed, open_path, slot_range, taut)

# ---- belts on offer ------------------------------------------------------------------------------------------------------

def winds_of(drive_text, length, stretch, speeds):
    """Wind over rest and speeds, both edges of friction, for a belt of an effective length."""
    for speed in speeds:
        for side in (-1.0, 1.0):
            drive = reference.Drive(drive_text)
            drive.belt.effective, drive.belt.stretch = length, stretch
            yield reference.solve(drive, speed, 0.0, side).wind


def lengths_that_work(drive_text):
    """Effective lengths with which the arm stays in its work range, tolerance counted: the longest new one worn, the
    shortest new."""
    drive = reference.Drive(drive_text)
    speeds = [0.0] + [IDLE + (REDLINE - IDLE) * k / 8 for k in range(9)]
    work = [w * DEG for w in __import__("yaml").safe_load(drive_text)["pulleys"][1]["arm"]["work"]]
    longest = brentq(lambda x: min(winds_of(drive_text, x, 0.0, speeds)) - work[0], 1.000, 1.029, xtol=1e-12)
    shortest = brentq(lambda x: max(winds_of(drive_text, x, 0.0, speeds)) - work[1], 1.000, 1.029, xtol=1e-12)
    del drive
    return shortest + tolerance_of(shortest), longest - tolerance_of(longest)


def stock_drive(p):
    """Stock from p upward; the arm takes lengths near 1016."""
    return text(ARM, {"belt.length": None, "belt.stock": {"from": p, "to": p + 10, "step": 5}, "tensioner.arm.work": [6, 26]})


WITH_LENGTH = text(ARM, {"tensioner.arm.work": [6, 26]})


def stock_places(_):
    low, high = lengths_that_work(WITH_LENGTH)
    return {"from": least(low, "MM", 1), "to": most(high, "MM", 1), "setting": ""}


def slot_lengths(_):
    """Lengths that reach 500 N over the slot."""
    low, high = slot_range(LOCKED)  # and a millimetre of tolerance
    return {"from": least(low + 1 * MM, "MM", 1), "to": most(high - 1 * MM, "MM", 1)}


def narrow_places(p):
    """Work range of p deg: what it takes up of belt between its ends at redline, upper edge of friction; what tolerance,
    friction and speed ask for beyond."""
    drive_text = text(ARM, {"tensioner.arm.work": [10, 10 + p]})
    speeds = [0.0] + [IDLE + (REDLINE - IDLE) * k / 8 for k in range(9)]

    def length_at(wind, speed, side):
        def miss(x):
            drive = reference.Drive(drive_text)
            drive.belt.effective = x
            return reference.solve(drive, speed, 0.0, side).wind - wind
        return brentq(miss, 1.000, 1.029, xtol=1e-13)
    ends = {(w, v, s): length_at(w, v, s) for w in (10 * DEG, (10 + p) * DEG) for v in speeds for s in (-1.0, 1.0)}
    longest = min(x for (w, _, _), x in ends.items() if w == 10 * DEG)
    shortest = max(x for (w, _, _), x in ends.items() if w != 10 * DEG)
    take_up = ends[(10 * DEG, REDLINE, 1.0)] - ends[((10 + p) * DEG, REDLINE, 1.0)]
    lack = shortest + tolerance_of(shortest) - (longest - tolerance_of(longest))
    return {"take_up": shown(take_up, "MM", 1), "tolerance": shown(tolerance_of(0.5 * (shortest + longest)), "MM", 1), "lack": shown(lack, "MM", 1)}


# Belts that come near are judged where none fits: with this they all fail, and which would fit is told.
POOR = {"limits": {"grip_slip": 0.05}}


def wide(p):
    """An arm whose travel goes past its dead point; work range to p deg."""
    return text(ARM, {"belt.length": None, "belt.stock": [1000, 1016], "tensioner.arm.travel": 90, "tensioner.arm.work": [1, p], **POOR})


def stretched(p):
    """One belt of p mm on offer for FIXED, on a pump that turns too fast: poor as well."""
    return text(FIXED, {"belt.length": None, "belt.stock": [p], "pump.max_speed": 1000})


DEAD = last_wind(text(ARM), 20 * DEG, 60 * DEG)  # wound so far, the tensioner is out of the belt


def slot_lack(p):
    low, high = slot_range(LOCKED)
    return 2 * p * MM - (high - low)


NO_BELT = [
    Case("NO_STOCK_FOR_ARM", "fail", stock_drive, 900, 1012, places=stock_places, source="mechanics"),
    Case("NO_STOCK_FOR_SLOT", "fail",
         lambda p: text(LOCKED, {"belt.length": None, "belt.stock": {"from": p, "to": p + 10, "step": 5}}), 1100, 1270,
         places=slot_lengths),
    Case("NO_LENGTH_FOR_ARM", "fail",
         lambda p: text(ARM, {"belt.length": None, "belt.stock": {"from": 980, "to": 1040, "step": 1},
                              "tensioner.arm.work": [10, 10 + p], **POOR}), 2, 18, places=narrow_places,
         silent_on=[text(ARM, {"belt.length": None, "belt.stock": {"from": 980, "to": 1040, "step": 1}, "tensioner.arm.work": [10, 12]})]),
    Case("NO_LENGTH_FOR_SLOT", "fail", lambda p: text(LOCKED, {"belt.length": None, "belt.stock": [1260 + k / 10 for k in range(401)],
                                                                "belt.tolerance": p}), 18, 16,
         subject={"pulley": "idler"}, measure=slot_lack, threshold=0.0,
         places=lambda p: {"take_up": shown(slot_range(LOCKED)[1] - slot_range(LOCKED)[0], "MM", 1), "tolerance": shown(p * MM, "MM", 1),
                           "lack": shown(slot_lack(p), "MM", 1)}, source="mechanics"),
    # nothing takes up slack: 0 to 250 N per rib
    Case("NO_STOCK_TO_STRETCH", "fail", stretched, taut(0) + 1, taut(0) - 1,
         limit=250.0, measure=lambda p: p, threshold=taut(0), source="rule of thumb",
         places=lambda p: {"from": least(taut(250) * MM, "MM", 1), "to": most(taut(0) * MM, "MM", 1)}),
    Case("NO_STOCK_TO_STRETCH", "fail", stretched, taut(250) - 1,
         taut(250) + 1, silent_on=[text(FIXED, {"belt.length": None, "belt.stock": [taut(250) - 1]})], limit=250.0, measure=lambda p: p, threshold=taut(250),
         places=lambda p: {"from": least(taut(250) * MM, "MM", 1), "to": most(taut(0) * MM, "MM", 1)}),
    Case("NO_LEVER", "fail", wide, 60, 35, measure=lambda p: p * DEG, threshold=DEAD, source="mechanics",
         places=lambda p: {"from": "0.0 deg", "to": shown(DEAD, "DEG", 1), "setting": ""}),
    Case("NO_BELT_RUNS", "fail", lambda p: text(LOCKED, {"belt.length": None, "belt.stock": [1280],
                                                         "idler.slot": {"from": [p, 210], "to": [p + 10, 210]}}), -200, -90,
         subject={"pulley": "idler"}, source="geometry", places=lambda p: {"setting": " at any setting of the slots"}),
    Case("NO_BELT_RUNS", "fail", lambda p: text(LOCKED, {"belt.length": None, "belt.stock": [1280], "idler.slot": {
        "from": [p, 210], "to": [p + 10, 210], "setting": 5}}), -200, subject={"pulley": "idler"}, places=lambda p: {"setting": ""}),
]



def blown_by(blower, **more):
    return text(FIXED, {**FILL, "pulleys.pump": {"name": "blower", "at": [0, 350], "diameter": 110, "blower": blower}, **more})


def marked(p):
    """The first p lines of the fixed drive that have a value are placeholders."""
    lines, left = text(FIXED).split("\n"), p
    for i, line in enumerate(lines):
        if left > 0 and re.search(r": *\S", line):
            lines[i], left = line + "  # MEASURE: with a rule", left - 1
    return "\n".join(lines)


def first_marked(p):
    return {"first": str(1 + next(i for i, line in enumerate(marked(p).split("\n")) if "# MEASURE:" in line))}


NO_ENGINE = [
    Case("PLACEHOLDERS", "note", marked, 2, 0, value=lambda p: p, at={}, places=first_marked, source="the drive file",
         silent_on=[text(FIXED) + "\n# MEASURE: nothing here\n"]),
    Case("NO_ENGINE", "marginal", lambda p: text(FIXED, {"engine": None}), 0, silent_on=[text(FIXED)], source="the drive file"),
    # 5 L of air a turn for 2 L every other turn
    Case("BLOWER_TOO_LARGE", "fail", lambda p: blown_by({"kind": "roots", "swept": p, "leakage_speed": 0}), 20, 0.5,
         subject={"pulley": "blower"}, value=lambda p: p * (75 + 2) / (55 + 2) / (2.0 / 2), places=lambda p: {"most": "8"},
         source="blower and engine matched"),
    # behind gears it sweeps what it sweeps per turn of the pulley
    Case("BLOWER_TOO_LARGE", "fail", lambda p: blown_by({"kind": "twin-screw", "swept": p, "internal_ratio": 1.3, "step_up": 2,
                                                         "leakage_speed": 200}), 5, 1.2,
         subject={"pulley": "blower"}, value=lambda p: p * (75 + 2) / (55 + 2) / (2.0 / 2), places=lambda p: {"most": "8"}),
    # hot, thin, damp air that is more vapour than air: Magnus form at 80 degC is 47 kPa
    Case("NO_LOADS", "fail", lambda p: blown_by({"kind": "roots", "swept": 0.5, "leakage_speed": 0},
                                                air={"pressure": 60, "temperature": 80, "humidity": p}), 1, 0.3,
         subject={"pulley": "blower"}, measure=lambda p: p * 610.94 * math.exp(17.625 * 80 / (80 + 243.04)), threshold=30e3,
         places=lambda p: {"reason": "water vapour would be more than half of the air at this pressure"}),
]

# ---- no balance -----------------------------------------------------------------------------------------------------------

NO_LOAD = {"pump.load": None}
GROUND = open_path(150, 110, 350)


def rest_tension(p):
    """Of one rib at rest, longest belt (0.1 mm over), N; the belt's own law may make it negative."""
    return MEASURED + STIFFNESS * (1 - (p + 0.1 + 4 * math.pi) / GROUND)


def first_lost(p):
    """Where momentum first takes the tension of the longest belt."""
    return next(rpm for rpm in SPEED_STEPS if rest_tension(p) <= momentum(rpm))


def fixed_length(p):
    return text(FIXED, {**NO_LOAD, "belt.length": p})


def arm_alone(p):
    return text(ARM, {**NO_LOAD, "pump.inertia": None, "belt.length": p})


def arm_excess(p):
    """Longest belt, at redline, friction high: what it is longer than an arm at rest needs, m."""
    return (p + tolerance_of(p * MM) / MM - needed(arm_alone(p), 0.0, 6000, 1)) * MM


def arm_slack(p):
    """Arm at rest as a fixed pulley: tension of the longest belt less its momentum at redline, one rib, N."""
    path = drive_path(arm_alone(p)) / MM
    tension = MEASURED + STIFFNESS * (1 - (p + tolerance_of(p * MM) / MM + 4 * math.pi) / path)
    return momentum(6000) - tension


def four(p):
    """ARM without loads and with an idler that touches the belt only once the arm is wound some way."""
    idler = {"name": "idler", "side": "back", "at": [-70, 260], "diameter": 60}
    return text({**ARM, "pulleys": [*ARM["pulleys"][:2], idler, ARM["pulleys"][2]]},
                {"pump.load": None, "pump.inertia": None, "belt.length": p, "belt.tolerance": 0.1})


def beyond_touch(p):
    """How much longer than what the arm needs where the idler just touches: longest belt, redline, friction high, mm."""
    wind = last_wind(four(p), 25 * DEG, 0.0)
    return p + 0.1 - needed(four(p), wind + 1.1e-6, 6000, 1)


DIP = 16.25 * DEG  # amid two places of the program's table, half a degree apart


def dipping(p, length):
    """At DIP the idler behind the arm has lost the belt by p rad, and not before nor after.

    Where the arm's pulley moves along the span that leaves it, the direction of that span is at its extreme, and so is
    the wrap of the idler. The pump stands where that extreme is -p."""
    arm, half = 60.0, 47.5 + 0.8
    tensioner, idler = complex(-10, 150), complex(-60, 300)
    out = (idler - tensioner) / abs(idler - tensioner)  # alike, both plain: the span is parallel to the line of centres
    pivot = tensioner + arm * 1j * out
    rest = math.degrees(math.atan2((tensioner - pivot).imag, (tensioner - pivot).real)) - DIP / DEG
    turned = out * complex(math.cos(p), -math.sin(p))
    pump = idler + (half + 52) * -1j * turned + 160 * turned
    between = {"name": "idler", "side": "back", "at": [idler.real, idler.imag], "diameter": 95}
    return text({**ARM, "pulleys": [*ARM["pulleys"][:2], between, ARM["pulleys"][2]]},
                {"pump.load": None, "pump.inertia": None, "pump.at": [pump.real, pump.imag], "pump.diameter": 100,
                 "belt.tolerance": 0.01, "belt.length": length, "tensioner.arm.pivot": [pivot.real, pivot.imag],
                 "tensioner.arm.length": arm, "tensioner.arm.free": rest})


def dip(p):
    """With the belt that is needed there at rest."""
    return dipping(p, needed(dipping(-1e-6, 1000), DIP))


LONGEST = {"belt": "longest belt, worn", "friction": "middle"}

NO_BALANCE = [
    Case("TOO_LONG", "fail", fixed_length, taut(-4), taut(4), subject={"pulley": None}, threshold=0.0,
         measure=lambda p: -rest_tension(p), value=lambda p: -rest_tension(p) / STIFFNESS * GROUND * MM,
         places=lambda p: {**fits(taut(250) * MM, taut(0) * MM), "fit": "Effective lengths of {from} to {to} are taut with the engine stopped."},
         at={"state": "engine stopped", "rpm": 0, **LONGEST}, source="mechanics"),
    Case("SLACK_BY_MOMENTUM", "fail", fixed_length, taut(40), taut(60), threshold=0.0, tolerance=1e-9,
         measure=lambda p: momentum(6000) - rest_tension(p), value=lambda p: belt_speed(first_lost(p)),
         at=lambda p: {"state": "steady", "rpm": first_lost(p), **LONGEST}, source="mechanics"),
    Case("SLACK_BY_MOMENTUM", "fail", fixed_length, taut(0.5 + momentum(3400)), taut(60),
         value=lambda p: belt_speed(first_lost(p)), at=lambda p: {"state": "steady", "rpm": first_lost(p), **LONGEST}),
    Case("TOO_LONG_FOR_ARM", "fail", arm_alone, 1036, 1024, value=arm_excess, threshold=0.0, measure=arm_slack,
         places=lambda p: fits_arm(arm_alone(1000), (1, 31)),
         at={"state": "steady", "rpm": 6000, "belt": "longest belt, worn", "friction": "high"}, source="mechanics"),
    Case("NO_ARM_POSITION", "fail", four, 1034, 1012, measure=beyond_touch, threshold=0.0, at=AT_REST, source="mechanics"),
    Case("NO_ANSWER", "fail", dip, 1e-6, -1e-6, at=AT_REST, source="mechanics"),
]

CASES = NO_BELT + NO_ENGINE + NO_BALANCE
