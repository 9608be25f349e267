"""A drive round which no belt runs: which pulleys overlap, and which one change of the file lets a belt run.

That the broken drive carries no belt, and the mended one does, is worked out by tests/reference/drive_reference.py."""
import math

from drives import ARM, FIXED, LOCKED, on, text
from harness import DEG, MM, Case
from mechanics import MEASURED, STIFFNESS, drive_path, needed, open_path, slot_range, taut


def side_drive(p):
    """With ribs on its tensioner the arm gives belt where it should take it up."""
    spoilt, good = text(ARM, {"tensioner.side": "rib"}), text(ARM)
    assert all(drive_path(spoilt, k * DEG) > drive_path(spoilt, (k - 1) * DEG) for k in range(1, 33))
    paths = [drive_path(spoilt, k * DEG) for k in range(33)]
    return spoilt if p > 0 else good


# Crank, tensioner, pump and a fan: enough pulleys for their order to be wrong.
FOUR = {**ARM, "pulleys": [*ARM["pulleys"], {"name": "fan", "at": [190, 170], "diameter": 90}]}
LENGTH = {"belt.length": round(needed(text(FOUR), 15 * DEG), 1)}
SWAPPED = {**FOUR, "pulleys": [FOUR["pulleys"][i] for i in (0, 1, 3, 2)]}


def swap_drive(p):
    spoilt, good = text(SWAPPED, LENGTH), text(FOUR, LENGTH)
    assert min(drive_path(spoilt, k * DEG) for k in range(33)) > 1.4 * drive_path(good)  # it crosses itself, and is too long
    return spoilt if p > 0 else good


def order_drive(p):
    spoilt, good = text({**FOUR, "pulleys": FOUR["pulleys"][::-1]}, LENGTH), text(FOUR, LENGTH)
    assert all(drive_path(spoilt, k * DEG) is None and drive_path(good, k * DEG) is not None for k in range(33))
    return spoilt if p > 0 else good


def arm_drive(p):
    """Wound the other way the arm gives belt where it should take it up."""
    spoilt = text(ARM, {"tensioner.arm.loads": "cw"})
    assert all(drive_path(spoilt, k * DEG) is None or drive_path(spoilt, k * DEG) > drive_path(spoilt, (k - 1) * DEG)
               for k in range(1, 33))
    return spoilt if p > 0 else text(ARM)


def inches_drive(p):
    """The pivot of ARM, -120 mm from the crank."""
    spoilt, good = text(ARM, {"tensioner.arm.pivot": ["-120 in", "75 mm"]}), text(ARM)
    assert all(drive_path(spoilt, k * DEG) is None or drive_path(spoilt, k * DEG) > 4 for k in range(33))
    return spoilt if p > 0 else good


def bare_drive(p):
    """FIXED with its pump p mm away, and a belt for as many inches."""
    return text(FIXED, {"pump.at": [0, p], "belt.length": taut(150, distance=150 * 25.4)})


def bare_miss(p):
    """What that belt is longer than the path without tension, m."""
    return (taut(150, distance=150 * 25.4) + 4 * math.pi - open_path(150, 110, p) * (1 + MEASURED / STIFFNESS)) * MM


# The same with a lock: crank, idler, fan, and a pump that is met before the fan by mistake.
LOCKED_FOUR = {**LOCKED, "pulleys": [*LOCKED["pulleys"], {"name": "pump", "at": [190, 200], "diameter": 90}]}
LOCKED_LENGTH = round(500 * sum(slot_range(LOCKED_FOUR)), 1)
LOCKED_SWAPPED = {**LOCKED_FOUR, "pulleys": [LOCKED_FOUR["pulleys"][i] for i in (0, 1, 3, 2)]}


def short_drive(p):
    return text(LOCKED_SWAPPED if p > 0 else LOCKED_FOUR, {"belt.length": LOCKED_LENGTH})


def short_miss(_):
    """To the shortest belt that reaches 500 N over the slot, m."""
    return slot_range(LOCKED_SWAPPED)[0] - LOCKED_LENGTH * MM


BESIDE = {"name": "idler", "side": "back", "diameter": 80}


def beside(p):
    """FIXED with an idler p mm from the crank, up to the left: rims of 75 and 40 mm, cords at 77 and 41.5 mm."""
    idler = {**BESIDE, "at": [-p / math.sqrt(2), p / math.sqrt(2)]}
    return text({**FIXED, "pulleys": [FIXED["pulleys"][0], idler, FIXED["pulleys"][1]]}, {"belt.length": 1090})


def slotted(p):
    return text(LOCKED, {"idler.slot": {"from": [-10, p], "to": [10, p]}})


CASES = [
    # rims of 75 and 55 mm
    Case("PULLEYS_OVERLAP", "fail", on(FIXED, {"pump.at": lambda p: [0, p], "belt.length": 1100}), 40, 300,
         subject={"pulley": "pump", "other": "crank"}, value=lambda p: (130 - p) * MM, threshold=0.0, at={}, source="geometry",
         silent_on=[text(FIXED), text(FIXED, {"pump.at": [0, 100], "pump.plane": 60, "belt.length": 1100})]),
    # rims of 75 and 47.5 mm; the slot's ends are farthest
    Case("OVERLAP_ALWAYS", "fail", slotted, 20, 180, subject={"pulley": "idler", "other": "crank"},
         value=lambda p: (122.5 - math.hypot(10, p)) * MM, threshold=0.0, at={}, source="geometry", silent_on=[text(LOCKED)]),
    Case("OVERLAP", "fail", beside, 116, 125, subject={"pulley": "crank", "other": "idler"}, measure=lambda p: p * MM,
         threshold=117.8 * MM, at={}, source="geometry"),
    Case("AS_WRITTEN", "fail", order_drive, 1, -1, at={}, source="geometry"),
    Case("AS_WRITTEN_TOO_LONG", "fail", bare_drive, 150, 3810, value=bare_miss, at={}, source="geometry"),
    Case("AS_WRITTEN_TOO_SHORT", "fail", short_drive, 1, -1, value=short_miss, at={}, source="geometry"),
    Case("REPAIR_SIDE", "note", side_drive, 1, -1, subject={"other": "tensioner.side"}, at={},
         places=lambda p: {"whose": "tensioner", "new": "back"}, source="geometry"),
    Case("REPAIR_ARM", "note", arm_drive, 1, -1, subject={"other": "tensioner.arm.loads"}, at={}, places=lambda p: {"new": "ccw"},
         source="geometry"),
    Case("REPAIR_ORDER", "note", order_drive, 1, -1, subject={"other": "crank.rotation"}, at={}, places=lambda p: {"new": "ccw"},
         source="geometry"),
    Case("REPAIR_SWAP", "note", swap_drive, 1, -1, subject={"pulley": "fan", "other": "pump"}, at={}, source="geometry"),
    Case("REPAIR_INCHES", "note", bare_drive, 150, 3810, subject={"other": "pump.at y"}, at={}, places=lambda p: {"old": "150"},
         source="geometry"),
    Case("REPAIR_MM", "note", inches_drive, 1, -1, subject={"other": "tensioner.arm.pivot x"}, at={},
         places=lambda p: {"old": "-120 in"}, source="geometry"),
]
