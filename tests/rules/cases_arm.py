"""The spring arm and the lock."""
from scipy.optimize import brentq

from drives import ARM, LOCKED, text
from harness import DEG, MM, RPM, Case, Sample, reference, shown, tolerance_of
from mechanics import AT_REST, SPEED_STEPS, cases_of, fits, fits_arm, lever, needed, slot_range

TRAVEL = 32
ALONE = {"pump.load": None, "pump.inertia": None}


def arm_of(p):
    return text(ARM, {**ALONE, "belt.length": p})


def needs(wind):
    """What a belt must be, mm, for the arm to stand at a wind; by engine speed and side of friction."""
    known = {}

    def of(at, side):
        key = (at["rpm"], side)
        if key not in known:
            known[key] = needed(arm_of(1000), wind, at["rpm"], side)
        return known[key]
    return of


AT_ZERO, AT_STOP, AT_FIRST, AT_LAST = needs(0.0), needs(TRAVEL * DEG), needs(1 * DEG), needs((TRAVEL - 1) * DEG)


def longer(needs_of):
    """By how much the belt of the worst case is longer than needed, mm."""
    return lambda p: max(length - needs_of(at, side) for at, length, side in cases_of(p))


def shorter(needs_of):
    return lambda p: max(needs_of(at, side) - length for at, length, side in cases_of(p))


def worst_case(needs_of, sign, p):
    """Of all cases the one whose belt is furthest over the end, and by how much, mm."""
    return max(((at, sign * (length - needs_of(at, side))) for at, length, side in cases_of(p)), key=lambda case: case[1])


def by(amount, low=1, high=TRAVEL - 1):
    """Places of ARM's ends: how much too long or short, mm, and what would fit."""
    return {"by": " by {amount}", "amount": shown(amount * MM, "MM", 1), **fits_arm(arm_of(1000), (low, high))}


def furthest(needs_of, sign):
    """Of a case on an end of the travel: where it is met, and its places."""
    return dict(at=lambda p: worst_case(needs_of, sign, p)[0], places=lambda p: by(worst_case(needs_of, sign, p)[1]))


def worst_by(needs_of, sign, most):
    """Of the case of the greatest or least wind."""
    def places(p):
        at = Sample(arm_of(p), every=20).at("wind", most=most)
        corner = {"longest belt, worn": 1, "shortest belt": -1, "nominal belt": 0}[at["belt"]]
        side = {"low": -1, "middle": 0, "high": 1}[at["friction"]]
        return by(sign * (p + corner * tolerance_of(p * MM) / MM - needs_of(at, side)))
    return places


def loaded_places(_):
    """With a load the length for a wind is sought: SciPy's root of the reference's wind."""
    def wind(length, rpm, side):
        drive = reference.Drive(LOADED)
        drive.belt.effective = length
        try:
            return reference.solve(drive, rpm * RPM, 0.0, side).wind
        except reference.NoEquilibrium:
            return -1.0  # slack: longer than any that would do

    def length_at(at_wind, rpm, side):
        return brentq(lambda x: wind(x, rpm, side) - at_wind, 0.97, 1.04, xtol=1e-12)
    at = Sample(LOADED, every=20).at("wind", most=False, keep=steady)
    speeds = [0.0] + [800 + 5200 * k / 8 for k in range(9)]
    ends = [(v, s) for v in speeds for s in (-1.0, 1.0)]
    low, high = max(length_at(31 * DEG, *e) for e in ends), min(length_at(1 * DEG, *e) for e in ends)
    over = 1028 * MM + tolerance_of(1028 * MM) - length_at(1 * DEG, at["rpm"], {"low": -1.0, "high": 1.0}[at["friction"]])
    assert at["belt"] == "longest belt, worn"
    return {"by": " by {amount}", "amount": shown(over, "MM", 1), **fits(low + tolerance_of(low), high - tolerance_of(high))}


LOADED = text(ARM, {"belt.length": 1028})


def steady(at):
    return at["state"] in ("at rest", "steady")


def resting(p):
    """An arm that swings across the line of the span, at rest p deg behind the place of the shortest path."""
    return text(ARM, {**ALONE, "belt": {"ribs": 6, "length": 985, "tolerance": 0.01}, "tensioner.arm.pivot": [0, 145],
                      "tensioner.arm.length": 25, "tensioner.arm.free": 170 + p, "tensioner.arm.travel": 30, "tensioner.arm.work": [1, 29]})


def two(p):
    """An arm with a weak spring on a soft belt that swings from far out on one side to far out on the other, p deg: it
    stands on the way in and on the way out."""
    return text(ARM, {**ALONE, "belt": {"ribs": 6, "length": 1013.5, "tolerance": 0.01, "stiffness": 500},
                      "tensioner.diameter": 60,
                      "tensioner.arm": {"pivot": [8.1, 215.5], "length": 93.1, "free": 34.8, "loads": "ccw", "travel": p,
                                        "preload": 3, "rate": 0.05, "work": [1, p - 1]}})


def second_wind():
    """The least wind of the second position over all cases, deg: an arm of less travel never gets there. From some speed
    on there is none, and the first alone is left."""
    answers = [reference.solve(reference.Drive(two(134)), rpm * RPM) for rpm in SPEED_STEPS]
    return min(a.wind for a in answers if a.equilibria > 1) / DEG


TRAVELS = [
    Case("ARM_ON_REST", "fail", arm_of, 1031.3, 1024, subject={"pulley": "tensioner", "other": None}, value=lambda p: 0.0, limit=0.0,
         **furthest(AT_ZERO, 1), measure=longer(AT_ZERO), threshold=0.0, source="arm.travel"),
    Case("ARM_ON_STOP", "fail", arm_of, 999.4, 1006, subject={"pulley": "tensioner"}, value=lambda p: TRAVEL * DEG,
         limit=TRAVEL * DEG, **furthest(AT_STOP, -1), measure=shorter(AT_STOP), threshold=0.0, source="arm.travel"),
    Case("ARM_NEAR_REST", "marginal", arm_of, 1028.5, 1024, subject={"pulley": "tensioner"}, limit=1 * DEG, measure=longer(AT_FIRST),
         threshold=0.0, value=lambda p: Sample(arm_of(p), every=20).value("wind", most=False),
         at=lambda p: Sample(arm_of(p), every=20).at("wind", most=False), places=worst_by(AT_FIRST, 1, False), source="the drive file", silent_on=[arm_of(1032)]),
    Case("ARM_NEAR_STOP", "marginal", arm_of, 1001.4, 1008, subject={"pulley": "tensioner"}, limit=(TRAVEL - 1) * DEG,
         measure=shorter(AT_LAST), threshold=0.0, value=lambda p: Sample(arm_of(p), every=20).value("wind"),
         at=lambda p: Sample(arm_of(p), every=20).at("wind"), places=worst_by(AT_LAST, -1, True), source="the drive file", silent_on=[arm_of(999.4)]),
    # with loads; running unsteadily the arm may leave its work range
    Case("ARM_NEAR_REST", "marginal", lambda p: LOADED, 0, subject={"pulley": "tensioner"}, limit=1 * DEG,
         value=lambda p: Sample(LOADED, every=20).value("wind", most=False, keep=steady),
         at=lambda p: Sample(LOADED, every=20).at("wind", most=False, keep=steady), places=loaded_places),
    Case("PAST_DEAD_POINT", "fail", resting, 2, -2, subject={"pulley": "tensioner"}, value=lambda p: 0.0, at=AT_REST,
         measure=lambda p: -lever(resting(p), 0.0), threshold=0.0, source="mechanics"),
    Case("TWO_POSITIONS", "marginal", two, 134, 100, subject={"pulley": "tensioner"}, value=lambda p: 2, limit=1, at=AT_REST,
         source="mechanics", measure=lambda p: p, threshold=second_wind),
]

# ---- the lock -------------------------------------------------------------------------------------------------------------

LOW, HIGH = slot_range(LOCKED)


LOCK_FITS = fits(LOW + 1 * MM, HIGH - 1 * MM)  # a millimetre of tolerance


def locked(p):
    """The longest or shortest belt, 1 mm off, is p mm out of reach."""
    return text(LOCKED, {"belt.length": p})


def locked_places(p):
    return {"belt": "longest belt, worn" if p + 1 > HIGH / MM else "shortest belt", "tension": "500 N", **LOCK_FITS}


FITTING = {"state": "fitting"}

LOCKS = [
    Case("LOCK_TOO_LONG", "fail", locked, HIGH / MM - 0.5, HIGH / MM - 2, subject={"pulley": "idler"}, limit=None,
         value=lambda p: p * MM + 1 * MM - HIGH, measure=lambda p: p * MM + 1 * MM, threshold=HIGH, places=locked_places,
         at=FITTING, source="geometry"),
    Case("LOCK_TOO_SHORT", "fail", locked, LOW / MM + 0.5, LOW / MM + 2, subject={"pulley": "idler"}, limit=None,
         value=lambda p: LOW - p * MM + 1 * MM, measure=lambda p: p * MM - 1 * MM, threshold=LOW, places=locked_places,
         at=FITTING, source="geometry"),
    # the belt itself: nothing else can be said of it
    Case("LOCK_TOO_LONG", "fail", locked, HIGH / MM + 5, HIGH / MM - 2, subject={"pulley": "idler"},
         value=lambda p: p * MM - HIGH, places=lambda p: {"belt": "nominal belt", "tension": "500 N", **LOCK_FITS}, at=FITTING),
    Case("LOCK_LOST", "fail", lambda p: text(LOCKED, {"idler.slot": {"from": [p, 210], "to": [p + 10, 210]}}), -200, -90,
         subject={"pulley": "idler"}, at=FITTING, source="geometry"),
]

CASES = TRAVELS + LOCKS
