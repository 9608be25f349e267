"""Can the belt be put on: the shortest new belt, pulled by hand, against the slackest path with one pulley's belt lifted
over what stands in front of its groove. Paths are those of tests/reference; the rest is Hooke's law."""
import math

from scipy.optimize import brentq

from drives import ARM, FIXED, LOCKED, on, same, text
from harness import MM, Case, reference, shown, tolerance_of

HAND = 100.0  # N, docs/theory/kit.md
RIB_TIPS, BACK = 3.7 * MM, 0.8 * MM  # from the cord to the ribs' tips and to the back: what rides on a rim
FITTING = {"state": "fitting"}


class Fitting:
    """rims: radius over which a pulley's belt must go, mm; those not named are half the diameter."""

    def __init__(self, drive_text, rims, tolerance=None):
        drive = reference.Drive(drive_text)
        belt = drive.belt
        tolerance = tolerance_of(belt.effective) if tolerance is None else tolerance * MM
        made = belt.effective - tolerance + 2 * math.pi * belt.be
        held = made * (1 + (HAND - belt.measuring_tension) / belt.stiffness)
        centres = self.slackest(drive)
        path = self.length(drive, centres, drive.radius)
        self.held, self.slack, self.needed = held, held - path, {}
        for i, pulley in enumerate(drive.pulleys):
            bare = pulley.pitch_radius - (belt.cord_to_back if pulley.back else belt.be)
            rim = rims.get(pulley.name, bare / MM) * MM + (BACK if pulley.back else RIB_TIPS)
            radius = drive.radius.copy()
            radius[i] = math.copysign(max(rim, abs(radius[i])), radius[i])
            lifted = self.length(drive, centres, radius)
            if lifted is not None:
                self.needed[pulley.name] = lifted - path
        self.easiest = min(self.needed, key=self.needed.get)

    @staticmethod
    def length(drive, centres, radius):
        path = reference.Path(centres, radius, drive.sense)
        return float(path.length) if path.good else None

    def slackest(self, drive):
        """Arm on its stop; of the slot's ends the one with the shorter path."""
        if drive.arm:
            return drive.centres(drive.arm.travel)[0]
        if drive.lock_index is None:
            return drive.centres(0)[0]
        ends = []
        for at in (0.0, drive.pulleys[drive.lock_index].slot.length):
            drive.settings[drive.lock_index] = at
            centres = drive.centres(0)[0]
            length = self.length(drive, centres, drive.radius)
            if length is not None:
                ends.append((length, centres))
        return min(ends, key=lambda end: end[0])[1]

    @property
    def over(self):
        return self.slack - self.needed[self.easiest]

    @property
    def strain(self):
        """That carries the belt over the easiest rim where nothing but the belt gives way."""
        return -self.over / self.held


def fitted(drive, rims, slackened, more, tolerance=None):
    """A case of p: what is left, what is needed, which pulley is the easiest."""
    def of(p):
        return Fitting(drive(p), {n: r(p) if callable(r) else r for n, r in rims.items()}, tolerance)
    return dict(drive=drive, value=lambda p: of(p).slack, limit=lambda p: of(p).needed[of(p).easiest],
                measure=lambda p: of(p).over, at=FITTING, tolerance=1e-5,
                places=lambda p: {"slackened": slackened, "more": more, "short": shown(-of(p).slack, "MM", 1)})


def lengths(drive, rims, tolerance=None):
    """Belts, mm, without slack, and with just enough of it."""
    def of(what):
        return brentq(lambda p: what(Fitting(drive(p), rims, tolerance)), 900, 1400, xtol=1e-9)
    return of(lambda f: f.slack), of(lambda f: f.over)


ARM_WORDS = ("arm on its stop", "more arm travel")
SLOT_WORDS = ("slot slackened", "a longer slot")

# A tensioner with a high rim: the crank's belt must ride on the tips of its ribs, 1 mm over where the cord lies.
RIMMED = on(ARM, {"belt.length": same, "tensioner.rim_radius": 56})
RIMS = {"tensioner": 56}
NONE_LEFT, ENOUGH = lengths(RIMMED, RIMS)
# A rim lower than the pump's on the arm's pulley: it is the easiest.
LOW = on(ARM, {"belt.length": same, "tensioner.rim_radius": 48.5, "crank.rim_radius": 90, "pump.rim_radius": 50})
LOW_RIMS = {"tensioner": 48.5, "crank": 90, "pump": 50}
LOW_NONE, LOW_ENOUGH = lengths(LOW, LOW_RIMS)
# A flat idler: the belt slides on sideways.
FLAT = on(ARM, {"belt.length": same})
FLAT_NONE = lengths(FLAT, {})[0]


# What stands in front of the belt: a lip; a nose that is higher than both. What stands behind is in nobody's way.
LIPPED = on(ARM, {"belt.length": same, "tensioner.flanges": {"front": 6}, "crank.rim_radius": 90, "pump.rim_radius": 50})
BEHIND = on(ARM, {"belt.length": same, "tensioner.flanges": {"rear": 6}, "crank.rim_radius": 90, "pump.rim_radius": 50})
LIP_RIMS = {"tensioner": 47.5 + 6, "crank": 90, "pump": 50}
NOSED = on(ARM, {"belt.length": same, "tensioner.discs": [{"name": "nose", "diameter": 110, "z": [12, 20]}, {
    "name": "hub", "diameter": 140, "z": [-20, -12]}], "crank.rim_radius": 90, "pump.rim_radius": 50})
NOSE_RIMS = {"tensioner": 55, "crank": 90, "pump": 50}
LIP_NONE, LIP_ENOUGH = lengths(LIPPED, LIP_RIMS)
NOSE_ENOUGH = lengths(NOSED, NOSE_RIMS)[1]


def slotted(ends, **belt):
    """The slot's slack end p mm left of the middle line; the belt wants the idler at about 50."""
    return on(LOCKED, {"idler.slot": ends, "idler.rim_radius": 67.5, "fan.rim_radius": 59.5, **{f"belt.{key}": value for key, value in belt.items()}})


SLOT_RIMS = {"idler": 67.5, "fan": 59.5}
LEFT = slotted({"from": lambda p: [-p, 210], "to": [-30, 210]})
RIGHT = slotted({"from": [-30, 210], "to": lambda p: [-p, 210]})
# A stretch that the belt has by now does not help to fit a new one.
STRETCHED = slotted({"from": lambda p: [-p, 210], "to": [-30, 210]}, length=1272.5, stretch=0.002, worn=0.002)


def raised(**belt):
    """FIXED with rims p mm over the effective diameter."""
    return on(FIXED, {"crank.rim_radius": lambda p: 75 + p, "pump.rim_radius": lambda p: 55 + p, **{f"belt.{key}": value for key, value in belt.items()}})


def stretched_on(p, drive=raised()):
    return Fitting(drive(p), {"crank": 75 + p, "pump": 55 + p}, 0.1)


def breaks(most, drive):
    """A belt that breaks on the way over the rim at this strain."""
    return dict(drive=drive, value=lambda p: -stretched_on(p, drive).over, limit=lambda p: most * stretched_on(p, drive).held, at=FITTING,
                measure=lambda p: stretched_on(p, drive).strain, threshold=most, tolerance=1e-5, subject={"pulley": "pump", "other": None},
                places=lambda p: {"strain": shown(stretched_on(p, drive).strain, "PERCENT", 1)})


FITTINGS = [
    Case("NOTHING_TAKES_UP", "note", raised(), 1, at=FITTING, subject={"pulley": None, "other": None}, source="mechanics",
         places=lambda p: {"by": " by {amount}", "amount": shown(-stretched_on(p).over, "MM", 1)},
         silent_on=[text(ARM), text(LOCKED), raised()(12)]),
    Case("BREAKS_ON_FITTING", "fail", fires=8, quiet=3, source="2 % of stretch", **breaks(0.02, raised())),
    # two of rib_tension's 250 N are 5 % of this belt
    Case("BREAKS_ON_FITTING", "fail", fires=20, quiet=8, **breaks(0.05, raised(stiffness=10000))),
    Case("CANNOT_BE_FITTED", "fail", fires=0.5 * (NONE_LEFT + ENOUGH), quiet=ENOUGH + 2, threshold=0.0,
         subject={"pulley": Fitting(RIMMED(1016), RIMS).easiest, "other": None}, source="whole wrap lifted",
         silent_on=[RIMMED(NONE_LEFT - 1)], **fitted(RIMMED, RIMS, *ARM_WORDS)),
    Case("CANNOT_BE_FITTED", "fail", fires=0.5 * (LOW_NONE + LOW_ENOUGH), quiet=LOW_ENOUGH + 2, threshold=0.0,
         subject={"pulley": "tensioner"}, **fitted(LOW, LOW_RIMS, *ARM_WORDS)),
    Case("TOO_SHORT_TO_FIT", "fail", fires=NONE_LEFT - 2, quiet=0.5 * (NONE_LEFT + ENOUGH),
         subject={"pulley": Fitting(RIMMED(1016), RIMS).easiest}, source="shortest belt", threshold=0.0,
         **{**fitted(RIMMED, RIMS, *ARM_WORDS), "measure": lambda p: Fitting(RIMMED(p), RIMS).slack}),
    Case("TOO_SHORT_TO_FIT", "fail", fires=FLAT_NONE - 1, quiet=FLAT_NONE + 1, subject={"pulley": "tensioner"}, threshold=0.0,
         **{**fitted(FLAT, {}, *ARM_WORDS), "tolerance": 1e-4}),
    Case("CANNOT_BE_FITTED", "fail", fires=0.5 * (LIP_NONE + LIP_ENOUGH), quiet=LIP_ENOUGH + 2, threshold=0.0,
         subject={"pulley": Fitting(LIPPED(1016), LIP_RIMS).easiest}, silent_on=[BEHIND(0.5 * (LIP_NONE + LIP_ENOUGH))],
         **fitted(LIPPED, LIP_RIMS, *ARM_WORDS)),
    Case("CANNOT_BE_FITTED", "fail", fires=NOSE_ENOUGH - 1, quiet=NOSE_ENOUGH + 2, threshold=0.0,
         subject={"pulley": Fitting(NOSED(1016), NOSE_RIMS).easiest}, **fitted(NOSED, NOSE_RIMS, *ARM_WORDS)),
    Case("CANNOT_BE_FITTED", "fail", fires=90, quiet=100, threshold=0.0, subject={"pulley": "fan"},
         **fitted(LEFT, SLOT_RIMS, *SLOT_WORDS, 1)),
    Case("CANNOT_BE_FITTED", "fail", fires=90, quiet=100, threshold=0.0, subject={"pulley": "fan"},
         **fitted(RIGHT, SLOT_RIMS, *SLOT_WORDS, 1)),
    Case("CANNOT_BE_FITTED", "fail", fires=94, quiet=106, threshold=0.0, subject={"pulley": "fan"},
         **fitted(STRETCHED, SLOT_RIMS, *SLOT_WORDS, 1)),
    Case("TOO_SHORT_TO_FIT", "fail", fires=78, quiet=90, threshold=0.0, subject={"pulley": "fan"},
         **{**fitted(LEFT, SLOT_RIMS, *SLOT_WORDS, 1), "measure": lambda p: Fitting(LEFT(p), SLOT_RIMS, 1).slack}),
]

CASES = FITTINGS
