"""Closed forms of drives whose belt carries no load: every span has the same tension.

A belt whose cord is P long when it is at its measuring tension lies on a path G at the tension T with
P = G (1 - (T - Tm)/EA). The arm's moment M and the tension balance where M dw = -T dG, by virtual work.
"""
import math

from drives import text
from harness import DEG, MM, RPM, least, most, reference, tolerance_of

BE = 2.0 * MM  # effective line differential of section PK: cord over the effective diameter
MASS, STIFFNESS, MEASURED = 0.019, 28000.0, 50.0  # of one rib of PK: kg/m, N, N in each span of the rig
IDLE, REDLINE = 800 * RPM, 6000 * RPM
MIDDLE = {"belt": "nominal belt", "friction": "middle"}
AT_REST = {"rpm": 0, "state": "engine stopped", **MIDDLE}
AT_REDLINE = {"rpm": 6000, "state": "steady", **MIDDLE}
SPEED_STEPS = [0.0] + [800 + 5200 * k / 40 for k in range(41)]  # that are judged, rpm


def open_path(crank, pump, distance):
    """Path of the cord around two pulleys of these diameters, mm: Shigley, 9th ed., eq. 17-2."""
    large, small = max(crank, pump) / 2 + 2, min(crank, pump) / 2 + 2
    lean = math.asin((large - small) / distance)
    return 2 * distance * math.cos(lean) + math.pi * (large + small) + 2 * lean * (large - small)


def taut(tension, crank=150, pump=110, distance=350):
    """Effective length, mm, of the belt that has this tension per rib at rest, N."""
    return open_path(crank, pump, distance) * (1 - (tension - MEASURED) / STIFFNESS) - 4 * math.pi


def belt_speed(rpm):
    """Of a crank of 150 mm, m/s."""
    return rpm * RPM * 77 * MM


def momentum(rpm):
    """m v^2 of one rib, N."""
    return MASS * belt_speed(rpm) ** 2


def drive_path(drive_text, wind=0.0):
    """Length of the path, m; None where the belt does not lie. Smooth in the wind: its slope is the lever."""
    drive = reference.Drive(drive_text)
    path = reference.Path(drive.centres(wind)[0], drive.radius, drive.sense)
    return float(path.length) if path.good else None


def lever(drive_text, wind):
    """Belt that is taken up per rad of wind, m: what a unit tension's moment is, by virtual work."""
    step = 1e-6
    return (drive_path(drive_text, wind - step) - drive_path(drive_text, wind + step)) / (2 * step)


def last_wind(drive_text, good, bad):
    """Between a wind where the belt lies and one where it does not."""
    for _ in range(50):
        middle = 0.5 * (good + bad)
        if drive_path(drive_text, middle) is None:
            bad = middle
        else:
            good = middle
    return good


def slot_range(base):
    """Effective lengths that reach 500 N at the ends of the idler's slot, m."""
    out = []
    for at in (0.0, 60 * MM):
        drive = reference.Drive(text(base))
        drive.settings[1] = at
        path = reference.Path(drive.centres(0)[0], drive.radius, drive.sense)
        strain = (500 - drive.belt.measuring_tension) / drive.belt.stiffness
        out.append(path.length * (1 - strain) - 2 * math.pi * drive.belt.be)
    return float(min(out)), float(max(out))


# ---- an arm alone ----------------------------------------------------------------------------------------------------------

def needed(drive_text, wind, rpm=0, side=0, preload=20, rate=0.4, damping=0.2):
    """Effective length with which the arm of drives.ARM stands at a wind, mm; side: the edge of its friction."""
    moment = (preload + rate * wind / DEG) * (1 + side * damping)
    tension = momentum(rpm) + moment / lever(drive_text, wind) / 6
    return drive_path(drive_text, wind) / MM * (1 - (tension - MEASURED) / STIFFNESS) - 4 * math.pi


def fits(low, high):
    """Places of a finding that tells effective lengths that fit, from m."""
    return {"fit": "Effective lengths of {from} to {to} fit.", "from": least(low, "MM", 1), "to": most(high, "MM", 1)}


def fits_arm(drive_text, work):
    """Without loads: the shortest belt in tolerance at the far end of the work range, the longest at the near one, over the
    rev range and both edges of friction."""
    speeds = [0.0] + [800 + (6000 - 800) * k / 8 for k in range(9)]
    low = max(needed(drive_text, work[1] * DEG, rpm, side) for rpm in speeds for side in (-1, 1)) * MM
    high = min(needed(drive_text, work[0] * DEG, rpm, side) for rpm in speeds for side in (-1, 1)) * MM
    return fits(low + tolerance_of(low), high - tolerance_of(high))


FRICTION = {-1: "low", 0: "middle", 1: "high"}


def cases_of(length, arm=True, tolerance=None):
    """All cases of a belt, mm, without loads, in the order in which they are looked at: where, effective length, side of
    the arm's friction. The ways of running are alike: the first is told."""
    tolerance = tolerance_of(length * MM) / MM if tolerance is None else tolerance
    for rpm in SPEED_STEPS:
        for belt, change in (("nominal belt", 0), ("shortest belt", -tolerance), ("longest belt, worn", tolerance)):
            for side in ((0, -1, 1) if belt == "nominal belt" else (-1, 1)) if arm else (0,):
                at = {"rpm": rpm, "state": "steady" if rpm else "engine stopped", "belt": belt, "friction": FRICTION[side]}
                yield at, length + change, side


def first_case(cases, is_met):
    """Where a condition (at, length, side) is met first; None."""
    return next((at for at, length, side in cases if is_met(at, length, side)), None)
