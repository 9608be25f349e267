"""What breaks belts and what they hang on: a throttle blip, an overrunning clutch, torque peaks, the pull at hubs.

The equilibrium is that of tests/reference; at a torque peak the same drive with the arm held where the mean torque puts it.
"""
import cmath
import math

import yaml

from cases_slip import gripping, hangs, mend, of_sample, slack_sample
from drives import ARM, FIXED, LOCKED, on, same, text
from harness import DEG, RPM, Case, Sample, expect, found, judge, shown
from mechanics import taut

BLIPS = 12000
V8 = {"engine": {"displacement": "5.7 L", "cylinders": 8, "idle": 700, "redline": 5800, "accel_rate": 1200, "blips": BLIPS}}

# ---- blips: the torque of inertia J i blips, which is far over that of accel_rate ------------------------------------------------

BLIPPED = on(FIXED, {"engine.blips": BLIPS, "belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1}, "pump.inertia": same})
CALM = on(FIXED, {"belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1}, "pump.inertia": same})
# No decel_rate: the fall after a blip is as fast as the rise. The pump drives the belt then.
FALLS = on(FIXED, {**V8, "belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1}, "pump.inertia": same})
# With one, it is no faster than that.
BRAKED = on(FIXED, {**V8, "engine.decel_rate": 3000, "belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1},
                    "pump.inertia": same})
FREE = on(FIXED, {**V8, "belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1}, "pump.inertia": same, "pump.overruns": True})
BLIPPED_ARM = on(ARM, {"engine.blips": BLIPS, "engine.decel_rate": 500, "pump.inertia": same, "belt.worn": 0.003})
# The pump runs on by itself; what is left to slow the belt is the fan, which does not.
TWO = on(LOCKED, {"engine.blips": BLIPS, "fan.inertia": same, "idler.retension": False, "belt.worn": 0.0003})
TWO_FREE = on(LOCKED, {"engine.blips": BLIPS, "fan.inertia": same, "fan.overruns": True, "idler.retension": False,
                       "belt.worn": 0.0003})


def slips(pull, drive, pulley, every=20):
    of = of_sample(drive, "limit", pulley, every)
    return {**of, "places": lambda p: {"mend": gripping(pull, hangs(*of["sample"](p))), "share": shown(of["value"](p), "PERCENT", 0)}}


SLIPS = dict(wording="SLIPS", level="fail", limit=1.0, threshold=1.0)
SLACK = dict(wording="SPAN_SLACK", level="fail", threshold=0.0)
RUNS = [
    Case(fires=0.055, quiet=0.02, silent_on=[CALM(0.055)], **slips("static tension", BLIPPED, "pump"), **SLIPS),
    Case(fires=0.046, quiet=0.005, **slips("arm moment", BLIPPED_ARM, "pump"), **SLIPS),
    Case(fires=0.09, quiet=0.05, silent_on=[FREE(0.09), BRAKED(0.09)],
         **slack_sample(FALLS, ("pump", "crank"), mend("static tension", "pump")), **SLACK),
    Case(fires=0.07, quiet=0.01, silent_on=[TWO_FREE(0.05)],
         **slack_sample(TWO, ("fan", "crank"), mend("set tension", "fan", False)), **SLACK),
]

# ---- peaks of torque -----------------------------------------------------------------------------------------------------------

PEAKED = on(FIXED, {"belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1}, "pump.load": [[500, 30], [20000, 30]],
                    "pump.peak": same})
PEAKED_ARM = on(ARM, {"belt.worn": 0.003, "pump.load": [[500, 15], [20000, 15]], "pump.peak": same})
# Two loads with peaks: each by itself, and both at once.
COMPRESSOR = {"name": "compressor", "at": [120, 180], "diameter": 100, "load": [[500, 12], [20000, 12]], "peak": 2.0}
SEVERAL = on(FIXED, {"belt": {"ribs": 6, "length": 1160, "tolerance": 0.1},
                     "pulleys": [FIXED["pulleys"][0], {**FIXED["pulleys"][1], "load": [[500, 12], [20000, 12]], "peak": same},
                                 COMPRESSOR]})
RIBS = dict(wording="RIB_TENSION_HIGH", level="marginal", threshold=250.0, limit=250.0)


def per_rib(drive, span, every=20):
    def sample(p):
        return Sample(drive(p), every=every)
    return dict(drive=drive, value=lambda p: sample(p).value("tension") / 6, at=lambda p: sample(p).at("tension"),
                subject={"span": list(span)}, places=lambda p: {"less": "a longer belt"})


PEAKS = [
    Case(fires=3.4, quiet=2, **slips("static tension", PEAKED, "pump"), **SLIPS),
    Case(fires=1.7, quiet=1, wording="OVER_DESIGN_GRIP", level="marginal", limit=1.0, threshold=1.0,
         **of_sample(PEAKED_ARM, "grip", "pump", 20)),
    Case(fires=7, quiet=1, **slips("static tension", SEVERAL, "pump"), **SLIPS),
    Case(fires=1.9, quiet=1, **per_rib(PEAKED, ("pump", "crank")), **RIBS),
]

# ---- the pull at hubs and the torque through the nose ----------------------------------------------------------------------------


def hub(drive, pulley, limit, less, every=20, at_most=None):
    """`p` is what loads the belt; the allowed pull stands in the drive."""
    def sample(p):
        return Sample(drive(p), every=every)

    def places(p):
        one = sample(p)
        at = one.at(f"hub {pulley}")
        values = next(values for place, values in one.cases if place == at)
        return {"less": less, "angle": shown(cmath.phase(values[f"force {pulley}"]), "DEG", 0)}
    return dict(drive=drive, value=lambda p: sample(p).value(f"hub {pulley}"), at=lambda p: sample(p).at(f"hub {pulley}"),
                subject={"pulley": pulley, "other": None}, limit=limit, threshold=limit, places=places)


def nose(drive, limit, every=20):
    def sample(p):
        return Sample(drive(p), every=every)
    def plainest(at):  # torque knows neither belt nor friction: the case that is looked at first is named
        return at["belt"] == "nominal belt" and at["friction"] == "middle"
    return dict(drive=drive, value=lambda p: sample(p).value("nose"), at=lambda p: sample(p).at("nose", keep=plainest),
                subject={"pulley": "crank", "other": None}, limit=limit, threshold=limit)


LOADED = {"pump.load": lambda p: [[500, p], [20000, p]]}
HUB = dict(wording="HUB_OVER_LIMIT", level="fail", source="max_hub")
NOSE = dict(wording="NOSE_OVER_LIMIT", level="fail", source="max_torque")
HELD = {"belt": {"ribs": 6, "length": taut(200), "tolerance": 0.1}}
LIMITS = [
    Case(fires=2.5, quiet=1.2, **hub(on(ARM, {"pump.load": [[500, 20], [20000, 20]], "pump.peak": same, "crank.max_hub": 1410}), "crank",
                                   1410.0, "less arm moment"), **HUB),
    Case(fires=0.01, quiet=0.0001, **hub(on(ARM, {"engine.blips": BLIPS, "pump.inertia": same, "crank.max_hub": 1300}), "crank",
                                        1300.0, "less arm moment"), **HUB),
    Case(fires=600, quiet=400, **hub(on(LOCKED, {"idler.fixed_tension": same, "fan.max_hub": 1100}), "fan", 1100.0,
                                   "a lower set tension"), **HUB),
    Case(fires=40, quiet=10, **nose(on(FIXED, {**HELD, **LOADED, "crank.max_torque": 40}), 40.0), **NOSE),
    # the crank is driven, too: after a blip by a heavy pump
    Case(fires=0.06, quiet=0.01, **nose(on(ARM, {**V8, "pump.inertia": same, "crank.max_torque": 120}), 120.0), **NOSE),
    Case(fires=3, quiet=1.5, **nose(on(ARM, {"pump.load": [[500, 20], [20000, 20]], "pump.peak": same, "crank.max_torque": 90}),
                                    90.0), **NOSE),
]


def of_pair(length, load, inertia=0.0, rate=0.0, rpm=0.0):
    """By hand, of FIXED: torque M at the pump, tensions T -+ M/2r, and the pull: two spans 2 lean apart."""
    ratio, radius = 77 / 57, 0.057
    torque = load + inertia * ratio * rate
    path = 2 * 350 * math.cos(math.asin(20 / 350)) + math.pi * 134 + 2 * math.asin(20 / 350) * 20
    mean = 6 * (50 + 28000 * (path - length - 4 * math.pi) / path - 0.019 * (rpm * RPM * 0.077) ** 2)
    lean = math.asin(20 / 350)
    pull = sum((mean + sign * torque / radius / 2) * cmath.exp(1j * (-90 * DEG - sign * lean)) for sign in (-1, 1))
    return torque * ratio, pull


def check_told():
    """hub_loads and crank_nose against the same by hand, with no limit given; overruns; steady power is not the peak's."""
    drive = text(FIXED, {**HELD, "engine.blips": BLIPS, "pump.load": [[500, 20], [20000, 20]], "pump.inertia": 0.004,
                         "pump.peak": 1.5, "belt.tolerance": 0})
    data = judge(drive)
    torque, pull = of_pair(taut(200), 30, 0.004, BLIPS * RPM)[0], of_pair(taut(200), 0)[1]  # momentum takes from the pull
    pump = next(one for one in data["hub_loads"] if one["pulley"] == "pump")
    expect("hub_loads: pull by hand", abs(pump["hub_load_N"] - abs(pull)) < 1e-6 * abs(pull), pump, abs(pull))
    expect("hub_loads: direction by hand", abs(pump["hub_load_deg"] - cmath.phase(pull) / DEG) < 1e-6, pump, pull)
    expect("hub_loads: when", (pump["state"], pump["peak"], pump["at_rpm"]) == ("engine stopped", None, 0), pump)
    expect("hub_loads: none is allowed", pump["allowed_N"] is None and [h["pulley"] for h in data["hub_loads"]] == ["crank", "pump"])
    expect("crank_nose by hand", abs(data["crank_nose"]["torque_N_m"] - torque) < 1e-9 * torque, data["crank_nose"], torque)
    expect("crank_nose: when", data["crank_nose"]["peak"] == "pump" and data["crank_nose"]["state"] == "throttle blip")
    low = judge(drive + "\nlimits: {rib_power: 0.1}\n")
    power = found(low, "RIB_POWER_HIGH")["value"]
    mean = (20 + 0.004 * 77 / 57 * BLIPS * RPM) * 77 / 57 * 6000 * RPM / 6 / 1e3
    expect("rib_power goes by the mean torque, blips included", abs(power - mean) < 1e-6 * mean, power, mean)


def check_shown():
    """The command that a finding prints shows the state in which it was met."""
    drive = SEVERAL(7)
    for f in judge(drive)["findings"]:
        if f["rule"] != "grip":
            continue
        state = judge(drive, *f["shown_by"].split())
        shown_grip = next(p for p in state["pulleys"] if p["name"] == f["pulley"])
        value = shown_grip["grip_used_limit" if f["level"] == "fail" else "grip_used"]
        expect(f"{f['shown_by']} shows the grip of {f['pulley']}", abs(value - f["value"]) < 1e-9 * value, value, f["value"])


def check_even():
    """A peak of 1 is none; the arm stands where the mean torque puts it."""
    drive = {p: judge(text(ARM, {"pump.load": [[500, 20], [20000, 20]], **({"pump.peak": p} if p else {})}), "--rpm", "3000")
             for p in (None, 1, 3)}
    expect("a peak of 1 changes nothing", drive[None]["findings"] == drive[1]["findings"])
    expect("a peak moves no arm", drive[None]["arm"] == drive[3]["arm"], drive[3]["arm"])


def check_throttle():
    """A blower without inertia asks what its boost asks: in a blip that of full load, after it that of a closed throttle."""
    drive = text(FIXED, {**HELD, **V8, "engine.volumetric_efficiency": [[700, 0.85], [5800, 0.85]], "pump.load": None,
                         "pump.blower": {"kind": "roots", "swept": "4 L"}})
    asked = {}
    for case in ("steady", "throttle-blip", "closed-throttle", "after-a-blip"):
        state = judge(drive, "--rpm", "3000", "--case", case)
        asked[case] = next(p["torque_N_m"] for p in state["pulleys"] if p["name"] == "pump")
    expect("in a blip the throttle is open", asked["throttle-blip"] == asked["steady"], asked)
    expect("after a blip it is closed", asked["after-a-blip"] == asked["closed-throttle"] < 0.5 * asked["steady"], asked)


CHECKS = [check_told, check_shown, check_even, check_throttle]
CASES = RUNS + PEAKS + LIMITS
