"""Belt and pulleys as such: is there a belt, does it lie, sizes, grooves, wrap, speeds, tension and power per rib."""
import math

from scipy.optimize import brentq

from drives import ARM, FIXED, LOCKED, on, same, text
from harness import DEG, KW, MM, RPM, Case, Sample, reference, shown, tolerance_of

BE = 2.0 * MM  # effective line differential of section PK: cord over the effective diameter
REDLINE, IDLE = 6000 * RPM, 800 * RPM
MIDDLE = {"belt": "nominal belt", "friction": "middle"}
AT_REST = {"rpm": 0, "state": "at rest", **MIDDLE}
AT_REDLINE = {"rpm": 6000, "state": "steady", **MIDDLE}


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
    return {"from": shown(low, "MM", 1), "to": shown(high, "MM", 1)}


def slot_lengths(_):
    """Lengths that reach 500 N over the slot: geometry at both its ends. With every span at T the belt of target length
    G (1 - (T - Tm)/EA) lies on the path G."""
    out = []
    for at in (0.0, 60 * MM):
        drive = reference.Drive(text(LOCKED))
        drive.settings[1] = at
        path = reference.Path(drive.centres(0)[0], drive.radius, drive.sense)
        strain = (500 - drive.belt.measuring_tension) / drive.belt.stiffness
        out.append(path.length * (1 - strain) - 2 * math.pi * drive.belt.be)
    return {"from": shown(min(out), "MM", 1), "to": shown(max(out), "MM", 1)}


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
    return {"take_up": shown(take_up, "MM", 1), "tolerance": shown(5 * MM, "MM", 1), "lack": shown(lack, "MM", 1)}


NO_BELT = [
    Case("NO_STOCK_FOR_ARM", "fail", stock_drive, 900, 1012, places=stock_places, source="mechanics"),
    Case("NO_STOCK_FOR_SLOT", "fail",
         lambda p: text(LOCKED, {"belt.length": None, "belt.stock": {"from": p, "to": p + 10, "step": 5}}), 1100, 1270,
         places=slot_lengths),
    Case("NO_LENGTH_FOR_ARM", "fail",
         lambda p: text(ARM, {"belt.length": None, "belt.stock": {"from": 980, "to": 1040, "step": 1},
                              "tensioner.arm.work": [10, 10 + p]}), 2, 18, places=narrow_places),
]

# ---- does it lie ----------------------------------------------------------------------------------------------------------

LIES = [
    # the pump's centre p mm from the crank's: their pitch circles are 77 + 57 mm
    Case("OVERLAP", "fail", on(FIXED, {"pump.at": lambda p: [0, p], "belt.length": 800}), 10, 300,
         subject={"pulley": "crank", "other": "pump"}, threshold=(77 - 57) * MM, value=lambda p: p * MM, at={}),
]

# ---- sizes ------------------------------------------------------------------------------------------------------------------

BLOWER = {"kind": "roots", "swept": 0.5}


def pump_size(p):
    return text(FIXED, {"pump.diameter": p, "belt.length": 1100})


def idler_size(p):
    return text(LOCKED, {"idler.diameter": p})


def blower_size(ribs):
    def drive(p):
        return text(FIXED, {"belt.ribs": ribs, "pump": {"name": "blower", "at": [0, 350], "diameter": p, "blower": BLOWER}})
    return drive


def size(p):
    return p * MM


SIZES = [
    Case("FEW_GROOVES", "fail", on(FIXED, {"pump.ribs": same}), 5, 6, subject={"pulley": "pump"}, value=lambda p: p, limit=6,
         at={}, source="geometry", silent_on=[text(FIXED, {"pump.ribs": 7})]),
    Case("BACK_TOO_SMALL", "fail", idler_size, 44, 46, subject={"pulley": "idler"}, value=size, limit=45 * MM, at={},
         threshold=45 * MM, limit_key=("back_diameter", "MM"), default=45 * MM),
    Case("BACK_SMALL_FOR_LIFE", "note", idler_size, 80, 95, subject={"pulley": "idler"}, value=size, limit=90 * MM, at={},
         threshold=90 * MM, limit_key=("back_diameter_life", "MM"), default=90 * MM, source="SAE J1596",
         silent_on=[idler_size(44)]),
    Case("BLOWER_TOO_SMALL_6", "fail", blower_size(6), 63, 64, subject={"pulley": "blower"}, value=size, limit=63.5 * MM, at={},
         threshold=63.5 * MM, limit_key=("blower_diameter_6", "MM"), default=63.5 * MM, places=lambda _: {"ribs": 6},
         source="common practice", silent_on=[blower_size(7)(63)]),
    Case("BLOWER_TOO_SMALL_8", "fail", blower_size(8), 60, 62, subject={"pulley": "blower"}, value=size, limit=60.96 * MM, at={},
         threshold=60.96 * MM, limit_key=("blower_diameter_8", "MM"), default=60.96 * MM, places=lambda _: {"ribs": 8},
         source="common practice"),
    Case("BLOWER_TOO_SMALL_8", "fail", blower_size(7), 60, 62, subject={"pulley": "blower"}, value=size, limit=60.96 * MM, at={},
         places=lambda _: {"ribs": 7}),
    Case("RIB_TOO_SMALL", "fail", pump_size, 44, 46, subject={"pulley": "pump"}, value=size, limit=45 * MM, at={},
         threshold=45 * MM, limit_key=("rib_diameter", "MM"), default=45 * MM, source="ISO 9981:2020"),
    Case("RIB_SMALL_FOR_LIFE", "watch", pump_size, 47, 51, subject={"pulley": "pump"}, value=size, limit=50 * MM, at={},
         threshold=50 * MM, limit_key=("rib_diameter_life", "MM"), default=50 * MM, source="SAE J1596",
         silent_on=[pump_size(44)]),
]

# ---- wrap: an open belt over two pulleys, r and R at c: pi - 2 asin((R - r)/c) ------------------------------------------


def small_crank(p):
    return text(FIXED, {"crank.diameter": p, "pump.diameter": 300, "pump.at": [0, 230], "belt.length": 1080,
                        "pump.load": [[50, 1], [20000, 1]]})


def small_wrap(small, large, distance):
    return math.pi - 2 * math.asin((large - small) / 2 * MM / (distance * MM))


def small_pump(blower):
    def drive(p):
        pump = {"name": "pump", "at": [0, 230], "diameter": p}
        pump.update({"blower": BLOWER} if blower else {"load": [[50, 1], [20000, 1]]})
        return text(FIXED, {"crank.diameter": 300, "pump": pump, "belt.length": 1080})
    return drive


ARM_WRAP = Sample(text(ARM, {"tensioner.arm.pivot": [-138, 75]}))

WRAP = [
    Case("LITTLE_WRAP_CRANK", "watch", small_crank, 60, 90, subject={"pulley": "crank"},
         value=lambda p: small_wrap(p, 300, 230), limit=120 * DEG, threshold=120 * DEG, at=AT_REST,
         limit_key=("wrap_crank", "DEG"), default=120 * DEG, source="rule of thumb"),
    Case("LITTLE_WRAP_BLOWER", "watch", small_pump(True), 60, 90, subject={"pulley": "pump"},
         value=lambda p: small_wrap(p, 300, 230), limit=120 * DEG, threshold=120 * DEG, at=AT_REST,
         limit_key=("wrap_blower", "DEG"), default=120 * DEG, source="rule of thumb",
         silent_on=[small_pump(False)(60)]),
    Case("LITTLE_WRAP_LOADED", "watch", lambda p: text(FIXED, {"crank.diameter": 400, "pump.at": [0, 240], "belt.length": 1300,
                                                                "pump.diameter": p}), 50, 90,
         subject={"pulley": "pump"}, value=lambda p: small_wrap(p, 400, 240), limit=90 * DEG, threshold=90 * DEG, at=AT_REST,
         limit_key=("wrap_loaded", "DEG"), default=90 * DEG, source="rule of thumb",
         silent_on=[text(FIXED, {"crank.diameter": 400, "pump.at": [0, 240], "belt.length": 1300, "pump.diameter": 50,
                                 "pump.load": None})]),
    Case("LITTLE_WRAP_TENSIONER", "watch", lambda p: text(ARM, {"tensioner.arm.pivot": [-120 - p, 75]}), 18, 0,
         subject={"pulley": "tensioner"}, value=lambda p: ARM_WRAP.value("wrap tensioner", most=False), limit=30 * DEG,
         at=lambda p: ARM_WRAP.at("wrap tensioner", most=False), limit_key=("wrap_tensioner", "DEG"), default=30 * DEG,
         source="rule of thumb"),
]

# ---- speeds, tension and power ------------------------------------------------------------------------------------------


def turns(crank, pulley):
    return (crank / 2 * MM + BE) / (pulley / 2 * MM + BE)


def engine_for(limit, value):
    return {"engine": shown(REDLINE * limit / value, "RPM", 0)}


STEADY_BLOWER = {"name": "blower", "at": [0, 350], "diameter": 100}


def rotor(p):
    return text(FIXED, {"pump": {**STEADY_BLOWER, "blower": {**BLOWER, "step_up": p, "max_speed": 20000}}})


FIXED_LOADS = Sample(text(FIXED, {"pump.load": [[500, 6], [20000, 6]], "belt.length": 1119}))


def tight(p):
    return text(FIXED, {"belt.length": p})


def tight_value(p):
    """Two equal spans at rest, all at T: G - (T - Tm) G/EA = target; the pump's torque then lifts one span by half of
    M/r at the crank's side. Taken from the reference over all cases."""
    return Sample(tight(p)).value("tension") / 6


POWER_TEXT = text(FIXED, {"pump.load": [[500, 40], [20000, 40]], "belt.length": 1116, "pump.inertia": 0.02,
                          "belt.friction": {"limit": {"rib": 3}}})
POWER = Sample(POWER_TEXT)

SPEEDS = [
    Case("PULLEY_TOO_FAST", "fail", on(FIXED, {"pump.max": same}), 8000, 8400, subject={"pulley": "pump"},
         value=lambda p: REDLINE * turns(150, 110), limit=lambda p: p * RPM, at=AT_REDLINE,
         places=lambda p: engine_for(p * RPM, REDLINE * turns(150, 110)),
         silent_on=[text(FIXED, {"pump.max": REDLINE / RPM * turns(150, 110) + 0.5})]),
    Case("PULLEY_TOO_FAST", "fail", on(FIXED, {"pump.max": same}), REDLINE / RPM * turns(150, 110) - 0.5, subject={"pulley": "pump"},
         value=lambda p: REDLINE * turns(150, 110), limit=lambda p: p * RPM, at=AT_REDLINE,
         places=lambda p: engine_for(p * RPM, REDLINE * turns(150, 110))),
    Case("ROTOR_TOO_FAST", "fail", rotor, 2.4, 2.0, subject={"pulley": "blower"},
         value=lambda p: REDLINE * turns(150, 100) * p, limit=20000 * RPM, threshold=20000 * RPM, at=AT_REDLINE,
         places=lambda p: engine_for(20000 * RPM, REDLINE * turns(150, 100) * p)),
    Case("BELT_TOO_FAST", "watch", on(FIXED, {"pump.diameter": 100, "belt.length": 1130, "crank.diameter": same}), 160, 150,
         value=lambda p: REDLINE * (p / 2 * MM + BE), limit=50.0, threshold=50.0, limit_key=("belt_speed", "M_S"),
         default=50.0, at=AT_REDLINE, source="SAE J1596"),
    Case("RIB_TENSION_HIGH", "watch", tight, 1111, 1117, value=tight_value, limit=250.0, threshold=250.0,
         at=lambda p: Sample(tight(p)).at("tension"), limit_key=("rib_tension", "N"), default=250.0, source="rule of thumb",
         subject={"span": ["pump", "crank"]}),
    Case("RIB_POWER_HIGH", "watch", on(FIXED, {"belt.length": 1116, "pump.inertia": 0.02,
                                               "belt.friction": {"limit": {"rib": 3}},
                                               "pump.load": lambda p: [[500, p], [20000, p]]}), 40, 20,
         value=lambda p: Sample(power_text(p)).value("power") / 6, limit=8 * KW, threshold=8 * KW,
         at=lambda p: Sample(power_text(p)).at("power"), limit_key=("rib_power", "KW"), default=8 * KW,
         places=lambda p: {"power": shown(Sample(power_text(p)).value("power"), "KW", 1), "ribs": 6}, source="common practice"),
]


def power_text(p):
    return text(FIXED, {"belt.length": 1116, "pump.inertia": 0.02, "belt.friction": {"limit": {"rib": 3}},
                        "pump.load": [[500, p], [20000, p]]})


CASES = NO_BELT + LIES + SIZES + WRAP + SPEEDS
