"""A second opinion on a drive: geometry, equilibrium, grip, creep, hub loads and span frequencies.

Written from the equations of mechanics alone and by other ways than the program's:
- spans by the angle that the line of centres makes with the span, wraps by subtracting directions;
- touch points once more by a root finder on "touching means square to the radius" (touch_points);
- tensions as n unknowns of n linear equations at each wind, never one after another;
- the arm's wind and all tensions together by MINPACK, from a bracket that Brent's method has narrowed.

SI inside. A bare number of the drive file is in mm, deg, N, N m, kg, kg m2, rpm.
Signs: x right, y up. A radius is positive on a pulley that turns clockwise. Points are complex numbers.
"""
import functools
import math
import re

import numpy as np
import yaml
from scipy.optimize import brentq, root

PI = math.pi

# ---- units ---------------------------------------------------------------------------------------------------------

LBF = 0.45359237 * 9.80665
UNITS = {
    "m": 1.0, "mm": 1e-3, "cm": 1e-2, "in": 0.0254, "inch": 0.0254, "ft": 0.3048,
    "rad": 1.0, "deg": PI / 180, "degree": PI / 180,
    "N": 1.0, "kN": 1e3, "lbf": LBF,
    "N m": 1.0, "lbf ft": LBF * 0.3048, "lbf in": LBF * 0.0254,
    "N m/deg": 180 / PI, "N m/rad": 1.0, "lbf ft/deg": LBF * 0.3048 * 180 / PI,
    "kg": 1.0, "g": 1e-3, "kg/m": 1.0, "g/m": 1e-3, "kg m2": 1.0, "lb in2": 0.45359237 * 0.0254 ** 2,
    "rpm": 2 * PI / 60, "rad/s": 1.0, "rpm/s": 2 * PI / 60,
    "L": 1e-3, "kPa": 1e3, "psi": LBF / 0.0254 ** 2,
}
BARE = {"length": "mm", "angle": "deg", "force": "N", "torque": "N m", "rate": "N m/deg", "mass_per_length": "kg/m",
        "inertia": "kg m2", "speed": "rpm", "number": None}


def quantity(value, kind):
    """SI value of a number or of a text with a unit; the tolerance behind it is left out."""
    if isinstance(value, str):
        value = re.split(r"\s(?:\+-|\+/-|\u00b1|[+-][0-9.])", value)[0]
        number, unit = re.match(r"\s*([-+0-9.eE]+)\s*(.*?)\s*$", value).groups()
        if unit:
            return float(number) * UNITS[unit]
        value = float(number)
    unit = BARE[kind]
    return float(value) * (UNITS[unit] if unit else 1.0)


def point(pair):
    return complex(quantity(pair[0], "length"), quantity(pair[1], "length"))


def table(points, x, y):
    """Two arrays; None where there is no table."""
    if points is None:
        return None
    return (np.array([quantity(p[0], x) for p in points]), np.array([quantity(p[1], y) for p in points]))


# ---- the drive -----------------------------------------------------------------------------------------------------

# Section PK: be, cord to back, mass and stiffness per rib, measuring force per rib.
PK = {"be": 2.0, "back": 0.8, "mass": 0.019, "stiffness": 28000, "measuring_force": 100}
FRICTION = {"design": {"rib": 0.4413, "back": 0.35}, "limit": {"rib": 0.9, "back": 0.35}}


class Pulley:
    def __init__(self, entry, belt):
        self.name = str(entry["name"])
        self.is_crank = entry.get("role") == "crank"
        self.back = entry.get("side", "rib") == "back"
        diameter = entry["diameter"]
        over = "effective"
        if isinstance(diameter, dict):
            over, diameter = diameter.get("over", "effective"), diameter["value"]
        diameter = quantity(diameter, "length")
        diameter += {"effective": 0.0, "outside": 0.885e-3, "balls": -0.990e-3}[over]
        self.pitch_radius = diameter / 2 + (belt.cord_to_back if self.back else belt.be)
        self.inertia = quantity(entry.get("inertia", 0), "inertia")
        self.load = table(entry.get("load"), "speed", "torque")
        self.peak, self.overruns = float(entry.get("peak", 1)), bool(entry.get("overruns", False))
        self.has_blower = "blower" in entry
        self.place = point(entry["at"]) if "at" in entry else None
        self.arm = Arm(entry["arm"]) if "arm" in entry else None
        self.slot = Slot(entry["slot"]) if "slot" in entry else None
        self.lock_tension = quantity(entry["fixed_tension"], "force") if "fixed_tension" in entry else None

    def torque(self, shaft_speed):
        """Absorbed torque; none at rest."""
        if self.load is None or shaft_speed == 0:
            return 0.0
        return float(np.interp(shaft_speed, *self.load))


class Arm:
    def __init__(self, entry):
        self.pivot = point(entry["pivot"])
        self.length = quantity(entry["length"], "length")
        self.rest = quantity(entry["free"], "angle")
        self.winds = {"cw": -1.0, "ccw": 1.0}[entry["loads"]]
        self.travel = quantity(entry["travel"], "angle")
        self.preload = quantity(entry["preload"], "torque")
        self.rate = quantity(entry["rate"], "rate")
        self.damping = float(entry.get("damping", 0))

    def reach(self, wind):
        """Pivot to centre."""
        return self.length * np.exp(1j * (self.rest + self.winds * np.asarray(wind)))


class Slot:
    def __init__(self, entry):
        self.curved = "radius" in entry
        if self.curved:
            self.centre, self.radius = point(entry["centre"]), quantity(entry["radius"], "length")
            self.start, self.end = (quantity(entry[k], "angle") for k in ("from", "to"))
            self.length = self.radius * abs(self.end - self.start)
        else:
            self.start, self.end = point(entry["from"]), point(entry["to"])
            self.length = abs(self.end - self.start)
        self.setting = quantity(entry["setting"], "length") if "setting" in entry else None

    def place(self, s):
        along = self.start + (self.end - self.start) * s / self.length
        return self.centre + self.radius * np.exp(1j * along) if self.curved else along


class Belt:
    def __init__(self, entry):
        value = {**PK, **entry}
        self.ribs = int(entry["ribs"])
        self.be = quantity(value["be"], "length")
        self.cord_to_back = quantity(value["back"], "length")
        if "outside" in entry:  # round a circle the cord runs at radius L/(2 pi) + be, the back at outside/(2 pi)
            pair = entry["outside"]
            cord = quantity(pair["length"], "length") / (2 * PI) + self.be
            self.cord_to_back = quantity(pair["value"], "length") / (2 * PI) - cord
        self.mass = self.ribs * quantity(value["mass"], "mass_per_length")
        self.stiffness = self.ribs * quantity(value["stiffness"], "force")
        # Both spans of the rig pull at its shaft.
        self.measuring_tension = self.ribs * quantity(value["measuring_force"], "force") / 2
        self.stretch = float(value.get("stretch", 0))
        self.growth = float(value.get("growth", 0))
        self.effective = quantity(value["length"], "length") if "length" in value else None
        given = value.get("friction", {})
        self.friction = {case: {**FRICTION[case], **given.get(case, {})} for case in FRICTION}

    def pitch_length(self, warm):
        """Under measuring tension."""
        return (self.effective + 2 * PI * self.be) * (1 + self.stretch) * (1 + (self.growth if warm else 0))


class Drive:
    def __init__(self, text):
        entry = yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
        self.belt = Belt(entry["belt"])
        self.pulleys = [Pulley(p, self.belt) for p in entry["pulleys"]]
        self.n = len(self.pulleys)
        self.crank = next(i for i, p in enumerate(self.pulleys) if p.is_crank)
        self.sense = -1.0 if entry["pulleys"][self.crank].get("rotation") == "ccw" else 1.0
        self.arm_index = next((i for i, p in enumerate(self.pulleys) if p.arm), None)
        self.arm = self.pulleys[self.arm_index].arm if self.arm_index is not None else None
        self.lock_index = next((i for i, p in enumerate(self.pulleys) if p.lock_tension is not None), None)
        self.radius = np.array([self.sense * (-1 if p.back else 1) * p.pitch_radius for p in self.pulleys])
        self.settings = [p.slot.setting if p.slot else None for p in self.pulleys]
        self.growth = float(entry.get("engine", {}).get("growth", 0))
        self.grown = 1.0  # all distances between centres over their cold ones

    def centres(self, wind):
        """Centres at each wind of an array: shape winds x pulleys."""
        wind = np.atleast_1d(np.asarray(wind, dtype=float))
        where = np.empty((wind.size, self.n), dtype=complex)
        for i, p in enumerate(self.pulleys):
            if p.arm:
                where[:, i] = p.arm.pivot + p.arm.reach(wind)
            elif p.slot:
                where[:, i] = p.slot.place(self.settings[i])
            else:
                where[:, i] = p.place
        return where * self.grown


# ---- geometry ------------------------------------------------------------------------------------------------------

@functools.cache
def turned(n, by):
    return (np.arange(n) + by) % n


def ahead(values):
    """Of the next pulley or span, along the last axis."""
    return values[..., turned(values.shape[-1], 1)]


def behind(values):
    return values[..., turned(values.shape[-1], -1)]


class Path:
    """Belt over circles; all arrays have the pulley (or the span behind it) as their last axis.

    Going along a span, the centre of a clockwise pulley lies to the right at its radius, at -r to the left. From one
    pulley to the next the centre moves to the left by r1 - r2: the line of centres points left of the span by the
    angle whose sine is (r1 - r2)/distance.
    """

    # A turn that is short of a whole one by less than this [rad] is a belt that just touches.
    TOUCH = 1e-11

    def __init__(self, centre, radius, sense):
        step = ahead(centre) - centre
        offset = (radius - ahead(radius)) / np.abs(step)
        self.exists = np.all(np.abs(offset) < 1, axis=-1)
        lean = np.arcsin(np.maximum(np.minimum(offset, 1), -1))
        self.direction = np.angle(step) - lean
        self.span = np.abs(step) * np.cos(lean)
        before = behind(self.direction)
        self.wrap = np.mod(np.where(radius > 0, before - self.direction, self.direction - before), 2 * PI)
        self.wrap = np.where(self.wrap > 2 * PI - self.TOUCH, 0.0, self.wrap)
        turn = sense * np.sum(np.sign(radius) * self.wrap, axis=-1) / (2 * PI)
        self.good = self.exists & (np.abs(turn - 1) < 1e-6)
        self.arc = np.abs(radius) * self.wrap
        self.length = np.sum(self.span + self.arc, axis=-1)
        self.u = np.exp(1j * self.direction)
        self.centre, self.radius = centre, radius


def touch_points(c1, r1, c2, r2, guess):
    """Touch points of one span by a root finder: the span is square to both radii.

    `guess` is a direction of travel; that the answer is of the right family is checked by the sense of travel."""
    def square(angles):
        a, b = np.exp(1j * angles[0]), np.exp(1j * angles[1])
        run = (c2 + abs(r2) * b) - (c1 + abs(r1) * a)
        return [(run * a.conjugate()).real / abs(c2 - c1), (run * b.conjugate()).real / abs(c2 - c1)]
    left = guess + PI / 2
    start = [left if r1 > 0 else left + PI, left if r2 > 0 else left + PI]
    found = root(square, start, tol=1e-15)
    a, b = (np.exp(1j * found.x[0]), np.exp(1j * found.x[1]))
    p1, p2 = c1 + abs(r1) * a, c2 + abs(r2) * b
    along = (p2 - p1) / abs(p2 - p1)
    # A clockwise rim runs along -i times its outward radius.
    assert abs(-1j * math.copysign(1, r1) * a - along) < 1e-9 and abs(-1j * math.copysign(1, r2) * b - along) < 1e-9
    return p1, p2


# ---- equilibrium ---------------------------------------------------------------------------------------------------

class NoEquilibrium(Exception):
    pass


WINDS = 257  # tabulated over the travel to find all changes of sign


class State:
    """What is asked: engine speed [rad/s] and its rate, edge of arm friction -1, 0, 1; names of loads at their peaks."""

    def __init__(self, drive, speed, rate=0.0, side=0.0, torques=None, warm=None, peaks=()):
        self.speed, self.side, self.running = speed, side, speed > 0
        belt = drive.belt
        self.belt_speed = speed * abs(drive.radius[drive.crank])
        self.flux = belt.mass * self.belt_speed ** 2
        self.length = belt.pitch_length(self.running if warm is None else warm)
        self.torque = np.zeros(drive.n)
        for i, p in enumerate(drive.pulleys):
            if i == drive.crank:
                continue
            ratio = abs(drive.radius[drive.crank] / drive.radius[i])
            if torques and p.name in torques:
                self.torque[i] = torques[p.name]
            elif p.has_blower and self.running:
                raise ValueError("torque of blower " + p.name + " must be given")
            else:
                self.torque[i] = p.torque(speed * ratio)
            if p.name in peaks and self.running:
                self.torque[i] *= p.peak
            if self.running:
                self.torque[i] += p.inertia * ratio * rate
            if p.overruns:  # the clutch lets the shaft run on
                self.torque[i] = max(self.torque[i], 0.0)


def tensions(drive, state, path):
    """All span tensions at the winds of a path: n linear equations, n unknowns.

    One for each pulley but the crank: what leaves is what enters plus torque over radius. One for the length:
    the belt unloaded to measuring tension is as long as it was made.
    """
    n, belt = drive.n, drive.belt
    shape = np.shape(path.length)
    matrix, right = np.zeros(shape + (n, n)), np.zeros(shape + (n,))
    row = 0
    for i in range(n):
        if i == drive.crank:
            continue
        matrix[..., row, i], matrix[..., row, i - 1] = 1, -1
        right[..., row] = state.torque[i] / abs(drive.radius[i])
        row += 1
    # The share of belt that is at the tension of span i: the span, half of the arc behind it and half of that ahead.
    share = path.span + path.arc / 2 + ahead(path.arc) / 2
    matrix[..., row, :] = share / path.length[..., None]
    right[..., row] = belt.measuring_tension + belt.stiffness * (path.length - state.length) / path.length
    return np.linalg.solve(matrix, right[..., None])[..., 0]


def forces(state, path, tension):
    """Belt's force on each pulley."""
    pull = (tension - state.flux) * path.u
    return pull - behind(pull)


def arm_residual(drive, state, wind, path, tension):
    """Moment of the spring at the wished edge less that of the belt. A belt that is slack all round does not push."""
    arm = drive.arm
    force = forces(state, path, tension)[..., drive.arm_index]
    belt = arm.winds * (np.conj(drive.grown * arm.reach(wind)) * force).imag
    belt = np.where(np.max(tension, axis=-1) > state.flux, belt, 0.0)
    return (arm.preload + arm.rate * np.asarray(wind)) * (1 + state.side * arm.damping) - belt


def at_wind(drive, state, wind):
    path = Path(drive.centres(wind), drive.radius, drive.sense)
    return path, tensions(drive, state, path)


def polish(drive, state, wind, tension):
    """Wind and tensions together."""
    n, belt = drive.n, drive.belt
    force_scale = max(1.0, float(np.max(np.abs(tension))))
    moment_scale = drive.arm.preload + drive.arm.rate * drive.arm.travel

    def equations(x):
        path = Path(drive.centres(x[0])[0], drive.radius, drive.sense)
        t = x[1:] * force_scale
        jumps = [t[i] - t[i - 1] - state.torque[i] / abs(drive.radius[i]) for i in range(n) if i != drive.crank]
        arcs = path.arc * (t + behind(t)) / 2
        used = np.sum(path.span * t + arcs) - belt.measuring_tension * path.length
        length = (path.length - state.length) * belt.stiffness - used
        moment = arm_residual(drive, state, x[0], path, t)
        return np.array(jumps + [length / path.length]) / force_scale, moment / moment_scale

    def flat(x):
        a, b = equations(x)
        return np.append(a, b)
    found = root(flat, np.append(wind, tension / force_scale), tol=1e-15)
    if np.max(np.abs(flat(found.x))) > 1e-10:
        raise NoEquilibrium("no convergence")
    return float(found.x[0]), found.x[1:] * force_scale


class Answer:
    """An equilibrium with all that follows from it."""

    def __init__(self, drive, state, where, wind, path, tension):
        belt = drive.belt
        self.where, self.wind, self.path, self.state, self.tension = where, wind, path, state, tension
        self.exit, self.entry = tension, behind(tension)
        self.moment = drive.arm.preload + drive.arm.rate * wind if drive.arm else None
        self.hub = forces(state, path, tension)
        ratio = drive.radius[drive.crank] / drive.radius
        self.speed = drive.sense * state.speed * ratio
        self.torque = state.torque.copy()
        self.torque[drive.crank] = abs(drive.radius[drive.crank]) * (self.exit - self.entry)[drive.crank]
        crank_entry = self.entry[drive.crank]
        self.creep = 1 - (belt.stiffness + self.entry) / (belt.stiffness + crank_entry)
        self.grip = {case: self.grip_of(drive, case) for case in belt.friction}
        wave = np.sqrt(np.maximum(tension, 0) / belt.mass)
        with np.errstate(divide="ignore", invalid="ignore"):
            # Time there and back of a wave that the belt carries along.
            there, back = path.span / (wave + state.belt_speed), path.span / (wave - state.belt_speed)
            self.frequency = np.where(wave > state.belt_speed, 1 / (there + back), 0.0)

    def grip_of(self, drive, case):
        out = []
        for i, p in enumerate(drive.pulleys):
            friction = drive.belt.friction[case]["back" if p.back else "rib"]
            ends = sorted((self.entry[i] - self.state.flux, self.exit[i] - self.state.flux))
            if self.torque[i] == 0:
                out.append(0.0)
            elif ends[0] <= 0:
                out.append(math.inf)
            else:
                out.append((math.log(ends[1]) - math.log(ends[0])) / (friction * self.path.wrap[i]))
        return out


def set_lock(drive):
    """Slide the locked pulley to where the belt at rest, cold, has the wished tension. All spans are equal then."""
    i = drive.lock_index
    p, belt = drive.pulleys[i], drive.belt
    strain = (p.lock_tension - belt.measuring_tension) / belt.stiffness
    wanted = belt.pitch_length(False)

    def excess(s):
        drive.settings[i] = s
        path = Path(drive.centres(0)[0], drive.radius, drive.sense)
        return path.length * (1 - strain) - wanted
    steps = np.linspace(0, p.slot.length, 65)
    values = [excess(s) for s in steps]
    cells = [k for k in range(64) if values[k] * values[k + 1] <= 0]
    if not cells:
        raise NoEquilibrium("lock out of reach")
    drive.lock_settings = len(cells)
    excess(brentq(excess, steps[cells[0]], steps[cells[0] + 1], xtol=1e-15, rtol=1e-14))


LOOKED_AT = {}


def winds_to_look_at(drive):
    """Even winds over the travel, and the last one before each place where a pulley loses the belt: a position may lie
    between that and the even one before it. With whether the belt lies, and the paths where it does. Kept by geometry."""
    key = (drive.radius.tobytes(), drive.sense, drive.centres([0, drive.arm.travel]).tobytes(), drive.arm.travel)
    if key in LOOKED_AT:
        return LOOKED_AT[key]

    def lies(winds):
        return Path(drive.centres(winds), drive.radius, drive.sense).good
    winds = np.linspace(0, drive.arm.travel, WINDS)
    good = lies(winds)
    edges = []
    for k in np.flatnonzero(good[:-1] != good[1:]):
        inside, outside = (winds[k], winds[k + 1]) if good[k] else (winds[k + 1], winds[k])
        for _ in range(40):
            middle = 0.5 * (inside + outside)
            inside, outside = (middle, outside) if lies(middle)[0] else (inside, middle)
        edges.append(inside)
    winds = np.unique(np.append(winds, edges))
    good = lies(winds)
    if len(LOOKED_AT) > 50:
        LOOKED_AT.clear()
    LOOKED_AT[key] = winds, good, Path(drive.centres(winds[good]), drive.radius, drive.sense)
    return LOOKED_AT[key]


def held(drive, answer, speed, rate, side, warm, peaks):
    """The moment of an equilibrium in which loads are at their peaks: the arm stays, the belt stretches."""
    state = State(drive, speed, rate, side, None, warm, peaks)
    return finish(drive, state, answer.where, answer.wind)


SOLVED = 0  # how many times: whoever asks for much may ask otherwise


def solve(drive, speed, rate=0.0, side=0.0, torques=None, warm=None):
    """Equilibrium at an engine speed, warm or cold (None: warm when it runs). Raises NoEquilibrium."""
    global SOLVED
    SOLVED += 1
    state = State(drive, speed, rate, side, torques, warm)
    drive.grown = 1.0
    if drive.lock_index is not None:
        set_lock(drive)
    drive.grown = 1.0 + (drive.growth if (speed > 0 if warm is None else warm) else 0.0)
    if drive.arm is None:
        return finish(drive, state, "none", 0.0)
    winds, good, paths = winds_to_look_at(drive)
    if not np.any(good):
        raise NoEquilibrium("lost belt")
    residual = np.full(winds.size, np.nan)
    residual[good] = arm_residual(drive, state, winds[good], paths, tensions(drive, state, paths))
    up = [k for k in range(winds.size - 1) if residual[k] < 0 <= residual[k + 1]]
    if residual[-1] < 0:
        answer = finish(drive, state, "at stop", drive.arm.travel)
    elif up:
        k = up[-1]
        wind = brentq(lambda w: float(arm_residual(drive, state, w, *at_wind(drive, state, w))[0]), winds[k],
                      winds[k + 1], xtol=1e-14, rtol=1e-14)
        path, tension = at_wind(drive, state, wind)
        wind, tension = polish(drive, state, wind, tension[0])
        answer = finish(drive, state, "working", wind, tension)
    elif residual[0] >= 0:  # the spring wins all the way
        answer = finish(drive, state, "at free position", 0.0)
    else:
        raise NoEquilibrium("belt lost on the way")
    answer.equilibria = len(up)
    return answer


def finish(drive, state, where, wind, tension=None):
    path = Path(drive.centres(wind)[0], drive.radius, drive.sense)
    if not path.good:
        raise NoEquilibrium("lost belt")
    if tension is None:
        tension = tensions(drive, state, path)
    if np.max(tension) - state.flux <= 0:
        raise NoEquilibrium("slack all round")
    return Answer(drive, state, where, wind, path, tension)
