"""Belt and pulleys as such: does it lie, sizes, grooves, wrap, speeds, tension and power per rib."""
import math

from scipy.optimize import brentq

from drives import ARM, FIXED, LOCKED, on, same, text
from harness import DEG, KW, MM, RPM, Case, Sample, judge, most, reference, shown
from mechanics import AT_REDLINE, AT_REST, BE, MEASURED, REDLINE, open_path, taut

def three(side, p):
    """FIXED with an idler of 80 mm at the span that leaves the crank, p mm to the left of the line of centres."""
    idler = {"name": "idler", "side": side, "at": [-p, 175], "diameter": 80}
    return text({**FIXED, "pulleys": [FIXED["pulleys"][0], idler, FIXED["pulleys"][1]]}, {"belt.length": 1090})


def off_line(p):
    """Of the idler's centre from the cord's line, outward, mm: the line touches circles of 77 and 57 mm."""
    lean = (77 - 57) / 350
    return p * math.sqrt(1 - lean ** 2) + 175 * lean - 77


BLOWER = {"kind": "roots", "swept": 0.3}
FILL = {"engine.volumetric_efficiency": [[500, 0.8], [7000, 0.8]]}

# ---- does it lie ----------------------------------------------------------------------------------------------------------

LIES = [
    # the cord is 0.8 mm over a plain face, 2 mm over an effective diameter
    Case("LOST_BELT", "fail", lambda p: three("back", p), 140, 100, subject={"pulley": "idler"}, measure=off_line,
         threshold=40 + 0.8, at={}, source="geometry",
         places=lambda p: {"before": "crank", "after": "pump", "side": "plain face"}),
    Case("LOST_BELT", "fail", lambda p: three("rib", p), 20, 60, subject={"pulley": "idler"}, measure=off_line,
         threshold=-(40 + 2), at={}, places=lambda p: {"before": "crank", "after": "pump", "side": "ribbed face"}),
]

# ---- sizes ------------------------------------------------------------------------------------------------------------------



PM = {"belt.section": "PM", "belt.back": 1, "belt.thickness": 13, "belt.mass": 0.12, "belt.stiffness": 80000}


def pump_size(p):
    return text(FIXED, {"pump.diameter": p, "belt.length": taut(150, pump=p)})


def pm_size(p):
    return text(FIXED, {"pump.diameter": p, "belt.length": taut(150, crank=210, pump=p), "crank.diameter": 210, **PM})


def idler_size(p):
    return text(LOCKED, {"idler.diameter": p})


def facing(side, **more):
    """A blower beside the way from the crank to the pump, on a face of the belt."""
    blower = {"name": "blower", "side": side, "at": [-75, 180], "diameter": 90, **(more or {"blower": BLOWER})}
    return text({**FIXED, "pulleys": [FIXED["pulleys"][0], blower, FIXED["pulleys"][1]]}, FILL)


def blower_size(ribs):
    def drive(p):
        return text(FIXED, {**FILL, "belt.ribs": ribs, "belt.length": taut(150, pump=p), "pulleys.pump": {"name": "blower", "at": [0, 350], "diameter": p, "blower": BLOWER}})
    return drive


def size(p):
    return p * MM


SIZES = [
    Case("FEW_GROOVES", "fail", on(FIXED, {"pump.ribs": same}), 5, 6, subject={"pulley": "pump"}, value=lambda p: p, limit=6,
         at={}, source="geometry", silent_on=[text(FIXED, {"pump.ribs": 7})]),
    # a PK belt of six ribs is 6 x 3.56 mm wide (ISO 9981, not compared)
    Case("NARROW_RIM", "fail", on(FIXED, {"pump.width": same}), 21.3, 21.4, subject={"pulley": "pump"}, value=size,
         limit=6 * 3.56 * MM, at={}, source="geometry", silent_on=[text(FIXED, {"pump.ribs": 5, "pump.width": 21.3})]),
    Case("NARROW_RIM", "fail", on(FIXED, {"pump.ribs": 6, "pump.width": same}), 21.3, 21.4, subject={"pulley": "pump"}, value=size,
         limit=6 * 3.56 * MM, at={}),
    Case("NARROW_RIM", "fail", lambda p: text(LOCKED, {"idler.width": p}), 21.3, 21.4, subject={"pulley": "idler"}, value=size,
         limit=6 * 3.56 * MM, at={}),
    Case("BACK_TOO_SMALL", "fail", idler_size, 44, 46, subject={"pulley": "idler"}, value=size, limit=45 * MM, at={},
         threshold=45 * MM, limit_key=("back_diameter", "MM"), default=45 * MM),
    Case("BACK_SMALL_FOR_LIFE", "note", idler_size, 80, 95, subject={"pulley": "idler"}, value=size, limit=90 * MM, at={},
         threshold=90 * MM, limit_key=("back_diameter_life", "MM"), default=90 * MM, source="SAE J1596",
         silent_on=[idler_size(44)]),
    Case("BLOWER_TOO_SMALL_6", "fail", blower_size(6), 63, 64, subject={"pulley": "blower"}, value=size, limit=63.5 * MM, at={},
         threshold=63.5 * MM, limit_key=("blower_diameter_6", "MM"), default=63.5 * MM, places=lambda _: {"ribs": 6, "more": " Or use a belt of more than 6 ribs."},
         source="common practice", silent_on=[blower_size(7)(63)]),
    # under what a wider belt needs, more ribs are no way out
    Case("BLOWER_TOO_SMALL_6", "fail", blower_size(6), 60, 64, subject={"pulley": "blower"}, value=size, limit=63.5 * MM, at={},
         places=lambda _: {"ribs": 6, "more": ""}),
    Case("BLOWER_TOO_SMALL_8", "fail", blower_size(8), 60, 62, subject={"pulley": "blower"}, value=size, limit=60.96 * MM, at={},
         threshold=60.96 * MM, limit_key=("blower_diameter_8", "MM"), default=60.96 * MM, places=lambda _: {"ribs": 8},
         source="common practice"),
    Case("BLOWER_TOO_SMALL_8", "fail", blower_size(7), 60, 62, subject={"pulley": "blower"}, value=size, limit=60.96 * MM, at={},
         places=lambda _: {"ribs": 7}),
    Case("RIB_TOO_SMALL", "fail", pump_size, 44, 46, subject={"pulley": "pump"}, value=size, limit=45 * MM, at={},
         threshold=45 * MM, limit_key=("rib_diameter", "MM"), default=45 * MM, source="ISO 9981:2020"),
    Case("RIB_SMALL_FOR_LIFE", "marginal", pump_size, 47, 51, subject={"pulley": "pump"}, value=size, limit=50 * MM, at={},
         threshold=50 * MM, limit_key=("rib_diameter_life", "MM"), default=50 * MM, source="SAE J1596",
         silent_on=[pump_size(44)]),
    # ISO 9982 for PM; the rest in proportion to PK's
    Case("RIB_TOO_SMALL", "fail", pm_size, 170, 190, subject={"pulley": "pump"}, value=size, limit=180 * MM, at={},
         threshold=180 * MM, source="ISO 9982"),
    Case("RIB_SMALL_FOR_LIFE", "marginal", pm_size, 190, 210, subject={"pulley": "pump"}, value=size, limit=200 * MM, at={},
         threshold=200 * MM, source="in proportion to section PK"),
]

# ---- a cord to back that nobody measured: what 0.2 to 1.5 mm make of the effective length, by differences of the path ----

BACK = (0.2, 1.5)


def over_idler(belt):
    """FIXED with an idler on the back, its belt of this length at 150 N per rib."""
    idler = {"name": "idler", "side": "back", "at": [-90, 175], "diameter": 80}
    return text({**FIXED, "pulleys": [FIXED["pulleys"][0], idler, FIXED["pulleys"][1]]}, {f"belt.{k}": v for k, v in belt.items()})


def effective(drive_text, setting=None):
    """Of the path without tension, m."""
    drive = reference.Drive(drive_text)
    if setting is not None:
        drive.settings[1] = setting
    return float(reference.Path(drive.centres(0)[0], drive.radius, drive.sense).length) - 2 * math.pi * drive.belt.be


def by_back(make, setting=None, step=1e-3):
    """Both ends of the range apart, m: the slope at the default times the range."""
    more, less = (effective(make(0.8 + side * step), setting) for side in (1, -1))
    return (BACK[1] - BACK[0]) * (more - less) / (2 * step)


IDLER_LENGTH = round(effective(over_idler({"length": 1100})) * (1 - 100 / 28000) / MM, 3)
IDLER_VALUE = by_back(lambda back: over_idler({"length": IDLER_LENGTH, "back": back}))


def beside(p, **more):
    """Its belt beside another that is p mm longer."""
    return over_idler({"length": IDLER_LENGTH, "stock": [IDLER_LENGTH, IDLER_LENGTH + p, IDLER_LENGTH - 2 * p], **more})


def open_slot(_=0, **belt):
    """A slot with its tension, its belt to be chosen in whole mm."""
    return text(LOCKED, {"belt": {"ribs": 6, "tolerance": 1, **belt}, "idler.slot": {"from": [-40, 210], "to": [20, 210]}})


def open_value(_):
    length = judge(open_slot())["build"]["belt_length_mm"] * MM

    def lack(setting):
        drive = reference.Drive(open_slot(length=1273))
        strain = (500 - drive.belt.measuring_tension) / drive.belt.stiffness
        return (effective(open_slot(length=1273), setting) + 2 * math.pi * BE) * (1 - strain) - 2 * math.pi * BE - length

    return by_back(lambda back: open_slot(back=back, length=1273), brentq(lack, 0, 60 * MM))


WORDS_OF_BACK = {"low": "0.2 mm", "high": "1.5 mm"}
UNMEASURED = [
    Case("BACK_NOT_KNOWN", "note", beside, 0.9 * IDLER_VALUE / MM, 1.1 * IDLER_VALUE / MM, value=lambda _: IDLER_VALUE, limit=size,
         measure=size, threshold=IDLER_VALUE, at={}, source="no published source", places=lambda _: WORDS_OF_BACK,
         silent_on=[beside(0.5 * IDLER_VALUE / MM, back=0.8), over_idler({"length": IDLER_LENGTH}),
                    beside(0.5 * IDLER_VALUE / MM, outside={"value": 1018, "length": 1000}),
                    text(FIXED, {"belt.stock": [1105.5, 1105.6]})]),
    Case("BACK_NOT_KNOWN", "note", open_slot, 0, value=open_value, limit=1 * MM, at={}, places=lambda _: WORDS_OF_BACK),
]

# ---- wrap: an open belt over two pulleys, r and R at c: pi - 2 asin((R - r)/c) ------------------------------------------


def small_crank(p):
    return text(FIXED, {"crank.diameter": p, "pump.diameter": 300, "pump.at": [0, 230],
                        "belt.length": taut(150, p, 300, 230), "pump.load": [[50, 1], [20000, 1]]})


def small_wrap(small, large, distance):
    return math.pi - 2 * math.asin((large - small) / 2 * MM / (distance * MM))


def small_pump(blower):
    def drive(p):
        pump = {"name": "pump", "at": [0, 230], "diameter": p}
        pump.update({"blower": BLOWER} if blower else {"load": [[50, 1], [20000, 1]]})
        return text(FIXED, {**FILL, "crank.diameter": 300, "pulleys.pump": pump,
                            "belt.length": taut(150, 300, p, 230)})
    return drive


def little_wrap(p, load=((500, 2), (20000, 2))):
    return text(FIXED, {"crank.diameter": 400, "pump.at": [0, 240], "belt.length": taut(150, 400, p, 240), "pump.diameter": p,
                        "pump.load": load and [list(point) for point in load]})


def of_arm(p):
    return text(ARM, {"belt.length": p})


WRAP = [
    Case("LITTLE_WRAP_CRANK", "marginal", small_crank, 60, 90, subject={"pulley": "crank"},
         value=lambda p: small_wrap(p, 300, 230), limit=120 * DEG, threshold=120 * DEG, at=AT_REST,
         limit_key=("wrap_crank", "DEG"), default=120 * DEG, source="rule of thumb"),
    Case("LITTLE_WRAP_BLOWER", "marginal", small_pump(True), 60, 90, subject={"pulley": "pump"},
         value=lambda p: small_wrap(p, 300, 230), limit=120 * DEG, threshold=120 * DEG, at=AT_REST,
         limit_key=("wrap_blower", "DEG"), default=120 * DEG, source="rule of thumb",
         silent_on=[small_pump(False)(60)]),
    Case("LITTLE_WRAP_LOADED", "marginal", little_wrap, 50, 90,
         subject={"pulley": "pump"}, value=lambda p: small_wrap(p, 400, 240), limit=90 * DEG, threshold=90 * DEG, at=AT_REST,
         limit_key=("wrap_loaded", "DEG"), default=90 * DEG, source="rule of thumb",
         silent_on=[little_wrap(50, load=None)]),
    Case("LITTLE_WRAP_TENSIONER", "marginal", of_arm, 1004, 1012,
         subject={"pulley": "tensioner"}, value=lambda p: Sample(of_arm(p)).value("wrap tensioner", most=False), limit=30 * DEG,
         at=lambda p: Sample(of_arm(p)).at("wrap tensioner", most=False), limit_key=("wrap_tensioner", "DEG"), default=30 * DEG,
         source="rule of thumb"),
]

# ---- speeds, tension and power ------------------------------------------------------------------------------------------


def turns(crank, pulley):
    return (crank / 2 * MM + BE) / (pulley / 2 * MM + BE)


def engine_for(limit, value):
    return {"engine": most(REDLINE * limit / value, "RPM", 0)}


STEADY_BLOWER = {"name": "blower", "at": [0, 350], "diameter": 100}


def rotor(p):
    return text(FIXED, {**FILL, "belt.length": taut(150, pump=100), "pulleys.pump": {**STEADY_BLOWER, "blower": {**BLOWER, "step_up": p, "max_rotor_speed": 20000}}})


def tight(p):
    return text(FIXED, {"belt.length": taut(p)})


def stretched(p):
    return text(FIXED, {"belt": {"ribs": 6, "length": taut(p), "tolerance": 0.5, "stretch": 0.001, "worn": 0.001}})


def soft(p):
    """`tight`, of a belt with 16 kN a rib: at 2 % it carries 320 N."""
    return text(FIXED, {"belt": {"ribs": 6, "stiffness": 16000,
                                 "length": open_path(150, 110, 350) * (1 - (p - MEASURED) / 16000) - 4 * math.pi}})


def allowed(p):
    """`tight`, where the file allows 300 N on a rib."""
    return text(FIXED, {"belt.length": taut(p), "limits": {"rib_tension": 300}})


def may_break(drive, fires, quiet, stiffness, limit, less="a longer belt", **more):
    """Over both bounds: twice the limit on a rib, and 2 % of stretch; `limit` is the one that is met last."""
    def tension(p):
        return Sample(drive(p)).value("tension")
    return Case("RIB_MAY_BREAK", "fail", drive, fires, quiet, value=lambda p: tension(p) / 6, limit=limit, threshold=limit,
                at=lambda p: Sample(drive(p)).at("tension"), source="no published source",
                places=lambda p: {"less": less, "strain": shown(tension(p) / stiffness, "PERCENT", 1)}, **more)


def fast_crank(p):
    return text(FIXED, {"pump.diameter": 100, "belt.length": taut(200, p, 100), "crank.diameter": p})


SET, SPRUNG = on(LOCKED, {"idler.fixed_tension": same}), on(ARM, {"tensioner.arm.preload": same})


def power_text(p):
    return text(FIXED, {"belt.length": taut(240), "pump.inertia": 0.02, "belt.friction": {"limit": {"rib": 3}},
                        "pump.load": [[500, p], [20000, p]]})


SPEEDS = [
    # the belt's back lies on it, its ribs on the crank; what takes a load only may turn as it likes
    Case("BLOWER_TURNS_BACK", "note", facing, "back", "rib", subject={"pulley": "blower"}, source="geometry",
         silent_on=[facing("back", load=[[500, 2], [20000, 2]])]),
    Case("PULLEY_TOO_FAST", "fail", on(FIXED, {"pump.max_speed": same}), 8000, 8400, subject={"pulley": "pump"},
         value=lambda p: REDLINE * turns(150, 110), limit=lambda p: p * RPM, at=AT_REDLINE,
         places=lambda p: engine_for(p * RPM, REDLINE * turns(150, 110)),
         silent_on=[text(FIXED, {"pump.max_speed": REDLINE / RPM * turns(150, 110) + 0.5})]),
    Case("PULLEY_TOO_FAST", "fail", on(FIXED, {"pump.max_speed": same}), REDLINE / RPM * turns(150, 110) - 0.5, subject={"pulley": "pump"},
         value=lambda p: REDLINE * turns(150, 110), limit=lambda p: p * RPM, at=AT_REDLINE,
         places=lambda p: engine_for(p * RPM, REDLINE * turns(150, 110))),
    Case("ROTOR_TOO_FAST", "fail", rotor, 2.4, 2.0, subject={"pulley": "blower"},
         value=lambda p: REDLINE * turns(150, 100) * p, limit=20000 * RPM, threshold=20000 * RPM, at=AT_REDLINE,
         places=lambda p: engine_for(20000 * RPM, REDLINE * turns(150, 100) * p)),
    Case("BELT_TOO_FAST", "marginal", fast_crank, 160, 150, value=lambda p: REDLINE * (p / 2 * MM + BE), limit=50.0, threshold=50.0,
         limit_key=("belt_speed", "M_S"), default=50.0, at=AT_REDLINE, source="SAE J1596"),
    Case("RIB_TENSION_HIGH", "marginal", tight, 250, 230, value=lambda p: Sample(tight(p)).value("tension") / 6, limit=250.0,
         threshold=250.0, at=lambda p: Sample(tight(p)).at("tension"), limit_key=("rib_tension", "N"), default=250.0,
         source="rule of thumb", subject={"span": ["pump", "crank"]}, places=lambda _: {"less": "a longer belt"}),
    # the shortest belt is new: the stretch that the one in hand has by now does not slacken it
    Case("RIB_TENSION_HIGH", "marginal", stretched, 240, 210, value=lambda p: Sample(stretched(p)).value("tension") / 6, limit=250.0,
         threshold=250.0, at=lambda p: Sample(stretched(p)).at("tension"), subject={"span": ["pump", "crank"]},
         places=lambda _: {"less": "a longer belt"}),
    Case("RIB_TENSION_HIGH", "marginal", on(LOCKED, {"idler.fixed_tension": same}), 1600, 1200, limit=250.0, threshold=250.0,
         value=lambda p: Sample(SET(p)).value("tension") / 6, at=lambda p: Sample(SET(p)).at("tension"),
         places=lambda _: {"less": "a lower set tension"}),
    Case("RIB_TENSION_HIGH", "marginal", on(ARM, {"tensioner.arm.preload": same}), 90, 40, limit=250.0, threshold=250.0,
         value=lambda p: Sample(SPRUNG(p)).value("tension") / 6, at=lambda p: Sample(SPRUNG(p)).at("tension"),
         places=lambda _: {"less": "less arm moment"}),
    may_break(tight, 580, 440, 6 * 28000, 560.0, subject={"span": ["pump", "crank"]}),
    may_break(soft, 540, 380, 6 * 16000, 500.0, subject={"span": ["pump", "crank"]}),
    may_break(allowed, 620, 480, 6 * 28000, 600.0, subject={"span": ["pump", "crank"]}),
    may_break(on(LOCKED, {"idler.fixed_tension": same, "belt.length": 1260}), 4000, 2500, 6 * 28000, 560.0, "a lower set tension"),
    may_break(SPRUNG, 300, 150, 6 * 28000, 560.0, "less arm moment"),
    Case("RIB_POWER_HIGH", "marginal", power_text, 60, 20, value=lambda p: Sample(power_text(p)).value("power") / 6, limit=8 * KW,
         threshold=8 * KW, at=lambda p: Sample(power_text(p)).at("power"), limit_key=("rib_power", "KW"), default=8 * KW,
         places=lambda p: {"power": shown(Sample(power_text(p)).value("power"), "KW", 1), "ribs": 6}, source="rule of thumb"),
]

CASES = LIES + SIZES + UNMEASURED + WRAP + SPEEDS
