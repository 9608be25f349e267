"""Spans that flap into what stands beside them, by the end that the arm's pulley swings.

One order of a measured crank; the arm's swing by tests/reference/motion.py, the flap as a damped string's whose one end is
moved, the gap by the distance from a straight span. Idle and redline lie so that the flap grows up to redline, and full
load begins there: both throttles are worst at it.
"""
import math

import numpy as np

from cases_clearance import Laid, least
from cases_motion import ARMED, Judged, table
from drives import ARM, text
from harness import MM, RPM, Case, shown

IDLE, REDLINE, ORDER, ANGLE, ASSUMED = 2600, 3000, 2, 0.3, 0.01
POST, WISHED = 20.0, 6.0
SHAKEN = {**ARMED, "engine.idle": IDLE, "engine.redline": REDLINE,
          "engine.irregularity": table(ANGLE, order=(ORDER,))}
DAMPED = {**SHAKEN, "belt": {**ARMED["belt"], "flap_damping": 0.05}}
STORE = {}


def moved_string(wave, speed, length, damping, w):
    """Greatest amplitude along a running string whose one end swings by 1; past a quarter wave it is inside of it."""
    turn = w * wave / (wave ** 2 - speed ** 2) * length
    return 1.0 if turn < math.pi / 2 else 1 / abs(np.sin(turn * (1 + 1j * damping)))


def laid_and_flap(base):
    """The drive at redline with the flap of the span from the crank to the tensioner, and that flap, mm."""
    if base in STORE:
        return STORE[base]
    judge = Judged(base)
    swing = judge.swing(REDLINE)
    answer, drive, n, w = swing.answer, judge.drive, judge.drive.n, ORDER * REDLINE * RPM
    angle = judge.rub(swing, w, judge.angles(REDLINE)[ORDER], drive.arm.damping * answer.moment)[1][n]
    step = 1e-5
    ahead, behind = (drive.centres(answer.wind + s)[0][drive.arm_index] for s in (step, -step))
    across = abs(((ahead - behind) / (2 * step) * np.conj(answer.path.u[0])).imag)
    wave, length = math.sqrt(answer.tension[0] / drive.belt.mass), float(answer.path.span[0])
    flap = across * angle * moved_string(wave, answer.state.belt_speed, length,
                                         judge.entry["belt"].get("flap_damping", ASSUMED), w)
    STORE[base] = Laid(base, wind=answer.wind, flap=flap / length), flap / MM
    return STORE[base]


def post_at(base, p, along):
    """Outside of the loop, p mm from the span's pitch line, that far along it."""
    laid, _ = laid_and_flap(base)
    middle, out = laid.point(0, along * laid.span[0]), laid.u[0] * 1j
    out *= -1 if ((laid.c.mean() - middle) * np.conj(out)).real > 0 else 1
    return middle + out * (p + POST / 2)


def posted(changes, along=0.5, **post):
    def drive(p):
        at = post_at(text(ARM, changes), p, along)
        entry = {"name": "post", "circle": {"at": [float(at.real), float(at.imag)], "diameter": POST}, "z": [-40, 40], **post}
        return text(ARM, {**changes, "obstacles": [entry]})
    return drive


def beside_post(changes, along=0.5):
    def left(p):
        laid, at = laid_and_flap(text(ARM, changes))[0], post_at(text(ARM, changes), p, along)

        def clear(x):
            return abs(at - laid.point(0, x)) - POST / 2 - laid.side(0, at) - laid.swing(0, x)
        return clear(least(clear, laid.span[0])) * MM
    return left


def wheeled(changes):
    """A wheel on the pump, of that radius, far over its belt."""
    return lambda p: text(ARM, {**changes, "pump.discs": [{"name": "wheel", "diameter": 2 * p, "z": [-5, 5]}]})


def beside_pump(changes):
    return lambda p: laid_and_flap(text(ARM, changes))[0].pulley_span("pump", "crank", p)[0] * MM


def case(wording, level, drive, fires, quiet, left, changes, beside="post", **more):
    damping = changes["belt"].get("flap_damping", ASSUMED)
    given = dict(subject={"span": ["crank", "tensioner"]}, value=left, limit=WISHED * MM, tolerance=1e-5,
                 at={"rpm": REDLINE, "state": "closed throttle", "belt": "nominal belt", "friction": "middle"},
                 places=lambda p: {"flap": shown(laid_and_flap(text(ARM, changes))[1] * MM, "MM", 1),
                                   "damping": shown(damping, "NONE", 3), "beside": beside},
                 source="rule of thumb")
    return Case(wording, level, drive, fires, quiet, **{**given, **more})


# What is more than the flap that every span is expected to have, and only with the inertias that matter.
EXPECTED = {**DAMPED, "limits": {"flap": 0.014}}
LESS = {**DAMPED, "limits": {"flap": 0.012}}
UNKNOWN = posted(DAMPED)(4).replace(", inertia: 0.0015", "")
assert UNKNOWN != posted(DAMPED)(4)

CASES = [
    case("FLAPS_INTO", "fail", posted(DAMPED), 4, 6, beside_post(DAMPED), DAMPED, threshold=0.0,
         silent_on=[posted(EXPECTED)(4), UNKNOWN, posted(SHAKEN)(4)]),
    case("FLAPS_INTO", "fail", posted(LESS), 4, 6, beside_post(LESS), LESS, threshold=0.0),
    case("MAY_FLAP_INTO", "marginal", posted(SHAKEN), 4, 6, beside_post(SHAKEN), SHAKEN, threshold=0.0,
         silent_on=[posted(DAMPED)(4)]),
    case("FLAPS_NEAR", "marginal", posted(DAMPED), 9, 13, beside_post(DAMPED), DAMPED, threshold=WISHED * MM,
         limit_key=("clearance", "MM"), default=WISHED * MM),
    case("FLAPS_NEAR", "marginal", posted(SHAKEN), 9, 13, beside_post(SHAKEN), SHAKEN, threshold=WISHED * MM),
    # far from the crank's rim; where the belt is nearest is found to a micrometre of gap
    case("FLAPS_INTO", "fail", posted(DAMPED, 0.72), 4, 6, beside_post(DAMPED, 0.72), DAMPED, tolerance=3e-3),
    # room that the obstacle itself asks for
    case("FLAPS_NEAR", "marginal", posted(DAMPED, clearance=2), 6, 8, beside_post(DAMPED), DAMPED, threshold=2 * MM, limit=2 * MM,
         source=""),
    case("FLAPS_NEAR", "marginal", wheeled(DAMPED), 178, 170, beside_pump(DAMPED), DAMPED, beside="pump", threshold=WISHED * MM),
    case("FLAPS_INTO", "fail", wheeled(DAMPED), 182, 170, beside_pump(DAMPED), DAMPED, beside="pump", threshold=0.0),
]
