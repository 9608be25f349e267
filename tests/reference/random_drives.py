"""Random drives for the reference tests, as the text of a drive file. The same seed gives the same drives."""
import cmath
import math
import random

import numpy as np
import yaml

import drive_reference as reference

PI = math.pi


class Flow(list):
    """A list on one line."""


yaml.SafeDumper.add_representer(Flow, lambda d, v: d.represent_sequence("tag:yaml.org,2002:seq", v, flow_style=True))
yaml.SafeDumper.add_representer(np.float64, lambda d, v: d.represent_float(float(v)))


def text_of(entry):
    return "# An invented drive, made by chance.\n" + yaml.safe_dump(entry, sort_keys=False, default_flow_style=None,
                                                                   width=200, allow_unicode=True)


def mm(z):
    return [z.real * 1e3, z.imag * 1e3]


class Loop:
    """Circles in belt order, all seen with a crank that turns clockwise: ribbed ones around an ellipse."""

    def __init__(self, rng, ribbed, kind):
        self.rng = rng
        a, b = rng.uniform(0.14, 0.32), rng.uniform(0.14, 0.32)
        self.centre, self.radius, self.back = [], [], []
        angles = [-2 * PI * (i + rng.uniform(-0.25, 0.25)) / ribbed for i in range(ribbed)]
        for i, t in enumerate(angles):
            place = complex(a * math.cos(t), b * math.sin(t))
            if kind == "inside" or kind == "serpentine":
                place *= rng.uniform(0.92, 1.08)
            self.centre.append(place)
            self.radius.append(rng.uniform(0.055, 0.095) if i == 0 else rng.uniform(0.026, 0.07))
            self.back.append(False)

    def push(self, depth):
        """Set an idler on the belt's back in the longest span that has none beside it, pressed in by depth [m]."""
        rng = self.rng
        n = len(self.centre)
        spans = [(abs(self.centre[(i + 1) % n] - self.centre[i]), i) for i in range(n)
                 if not self.back[i] and not self.back[(i + 1) % n]]
        if not spans:
            return
        i = max(spans)[1]
        j = (i + 1) % n
        run = self.centre[j] - self.centre[i]
        lean = math.asin((self.radius[i] - self.radius[j]) / abs(run))
        u = run / abs(run) * cmath.exp(-1j * lean)
        start = self.centre[i] + self.radius[i] * 1j * u
        length = abs(run) * math.cos(lean)
        idler = rng.uniform(0.024, 0.05)
        at = start + u * length * rng.uniform(0.35, 0.65) + 1j * u * (idler - depth)
        self.centre.insert(i + 1, at)
        self.radius.insert(i + 1, idler)
        self.back.insert(i + 1, True)

    def path(self):
        radius = np.array([-r if b else r for r, b in zip(self.radius, self.back)])
        return reference.Path(np.array(self.centre), radius, 1.0)

    def sane(self):
        """Belt on every pulley, rims apart, no pulley that is all but missed or wound round."""
        path = self.path()
        if not path.good or min(path.wrap) < 0.12 or max(path.wrap) > 5.2 or min(path.span) < 0.012:
            return False
        n = len(self.centre)
        return all(abs(self.centre[i] - self.centre[j]) > self.radius[i] + self.radius[j] + 0.004
                   for i in range(n) for j in range(i))


def loop_of(rng, kind):
    while True:
        if kind == "inside":
            loop = Loop(rng, rng.randint(3, 9), kind)
        else:
            ribbed = rng.randint(2, 7)
            loop = Loop(rng, ribbed, kind)
            deepest = 0.10 if kind == "deep" else 0.035
            for _ in range(rng.randint(1, min(ribbed, 5))):
                loop.push(rng.uniform(0.3, 1) * deepest)
        if 3 <= len(loop.centre) <= 12 and loop.sane():
            return loop


def arm_on(rng, loop, i, tension, wide):
    """An arm that holds pulley i at some wind with about that tension; winding takes the belt up there. A wide one
    may go on past the dead point, and lose the belt further on."""
    path = loop.path()
    pull = path.u[i] - path.u[i - 1]
    if abs(pull) < 0.12:
        return None
    length = rng.uniform(0.05, 0.12)
    off = rng.uniform(0.35, 1.2) * rng.choice([-1, 1])
    reach = length * pull / abs(pull) * 1j * cmath.exp(1j * (off - math.copysign(PI / 2, off)) * 0.6)
    lever = (reach.conjugate() * pull).imag
    if abs(lever) < 0.4 * length * abs(pull):
        return None
    winds = math.copysign(1.0, lever)
    travel = rng.uniform(90, 170) * PI / 180 if wide else rng.uniform(25, 70) * PI / 180
    wind = rng.uniform(0.2, 0.8) * travel
    moment = tension * abs(lever)
    rate = moment * rng.uniform(0.15, 0.9) / (2.5 if wide else 1.0)
    arm = {"pivot": loop.centre[i] - reach, "length": length, "free": cmath.phase(reach) - winds * wind,
           "loads": winds, "travel": travel, "preload": moment - rate * wind, "rate": rate,
           "damping": rng.choice([0.0, 0.1, 0.2, 0.35])}
    return arm if arm["preload"] > 0 else None


def slot_on(rng, loop, i, curved):
    """A slot along the bisector of the wrap, so that sliding takes the belt up, with pulley i inside of it."""
    path = loop.path()
    pull = path.u[i] - path.u[i - 1]
    if abs(pull) < 0.12:
        return None
    along = pull / abs(pull) * cmath.exp(1j * rng.uniform(-0.5, 0.5))
    before, after = rng.uniform(0.01, 0.03), rng.uniform(0.01, 0.03)
    if not curved:
        return {"from": loop.centre[i] - along * before, "to": loop.centre[i] + along * after, "before": before}
    radius = rng.uniform(0.04, 0.15)
    way = rng.choice([-1.0, 1.0])
    # The centre of the arc stands beside the direction of travel, on the left where the arc runs ccw.
    centre = loop.centre[i] + 1j * way * along * radius
    at = cmath.phase(loop.centre[i] - centre)
    start = at - way * before / radius
    return {"centre": centre, "radius": radius, "from": start, "to": start + way * (before + after) / radius,
            "before": before}


class Frame:
    """Turn, shift and mirror of all that is written."""

    def __init__(self, rng, mirror):
        self.turn, self.shift, self.mirror = 0.0, 0j, mirror
        if rng.random() < 0.6:
            self.turn = rng.uniform(-PI, PI)
            self.shift = complex(rng.uniform(-0.5, 0.5), rng.uniform(-0.5, 0.5))

    def place(self, z):
        z = -z.conjugate() if self.mirror else z
        return Flow(mm(z * cmath.exp(1j * self.turn) + self.shift))

    def angle(self, t):
        t = PI - t if self.mirror else t
        degrees = math.degrees(t + self.turn)
        return degrees

    def within(self, start, end):
        """Two angles of an arc, moved by whole turns into what a file may say."""
        a, b = self.angle(start), self.angle(end)
        whole = 360 * round((a + b) / 720)
        return a - whole, b - whole


def dress(rng, value, unit):
    """Now and then a text with another unit in place of the bare number; the value stays what it is."""
    if rng.random() > 0.15:
        return value
    factor, name = {"mm": (25.4, "in"), "deg": (180 / PI, "rad"), "N m": (reference.UNITS["lbf ft"], "lbf ft")}[unit]
    return f"{float(value / factor)!r} {name}"


def drive(rng, kind, holds, wrong=None):
    """Text of a drive.

    kind: inside (all ribbed), serpentine (idlers press in a little), deep (they press in a lot)
    holds: arm, lock, fixed
    wrong: None; 'long', 'short' (arm comes near its rest or its stop), 'slack' (much too long), 'wide' (long travel)
    """
    while True:
        loop = loop_of(rng, kind)
        n = len(loop.centre)
        ribs = rng.choice([4, 6, 8, 10])
        belt = {"section": "PK", "ribs": ribs}
        if rng.random() < 0.5:
            belt.update(be=rng.uniform(1.5, 2.4), back=rng.uniform(1.0, 2.0), mass=rng.uniform(0.012, 0.025),
                        stiffness=rng.uniform(9800, 29400), measuring_force=rng.uniform(60, 140),
                        friction={"design": {"rib": 0.5, "back": 0.3}, "limit": {"rib": 1.1, "back": 0.4}})
        if rng.random() < 0.3 and holds != "lock":
            belt["stretch"] = rng.uniform(0, 0.003)
        if rng.random() < 0.3:
            belt["growth"] = rng.uniform(-0.001, 0.001)
        if holds == "lock":
            belt["tolerance"] = 0  # else the slot must serve the shortest and the longest belt too, and a new one
        tension = ribs * rng.uniform(40, 110)
        carrier = rng.randrange(1, n)
        arm = arm_on(rng, loop, carrier, tension, wrong == "wide") if holds == "arm" else None
        slot = slot_on(rng, loop, carrier, rng.random() < 0.5) if holds == "lock" else None
        if (holds == "arm" and not arm) or (holds == "lock" and not slot):
            continue
        frame = Frame(rng, rng.random() < 0.35)
        pulleys = [pulley_entry(rng, loop, i, frame, belt, tension) for i in range(n)]
        if arm:
            del pulleys[carrier]["at"]
            pulleys[carrier]["arm"] = arm_entry(rng, arm, frame)
        extra = None
        if slot:
            put_slot(pulleys[carrier], slot, frame)
            pulleys[carrier]["fixed_tension"] = tension
        elif n > 3 and rng.random() < 0.3:
            extra = rng.choice([i for i in range(1, n) if i != carrier or not arm])
            beside = slot_on(rng, loop, extra, rng.random() < 0.6)
            if beside:
                put_slot(pulleys[extra], beside, frame)
        # File order may begin anywhere.
        first = rng.randrange(n)
        pulleys = pulleys[first:] + pulleys[:first]
        settings = reference.Belt(belt)
        pitch = float(loop.path().length)
        made = pitch * (1 - (tension - settings.measuring_tension) / settings.stiffness)
        belt["length"] = (made / (1 + settings.stretch) - 2 * PI * settings.be) * 1e3
        belt["length"] *= {None: 1.0, "wide": 1.0, "long": rng.uniform(1.004, 1.02), "short": rng.uniform(0.96, 0.99),
                           "slack": 1.25}[wrong]
        warm = {"engine": {"idle": 500, "redline": 9000, "growth": rng.uniform(-0.001, 0.003)}} if rng.random() < 0.3 else {}
        return text_of({"snub": 1, "title": f"{kind}, {holds}", **warm, "belt": belt, "pulleys": pulleys})


def pulley_entry(rng, loop, i, frame, belt, tension):
    settings = reference.Belt(belt)
    own = settings.cord_to_back if loop.back[i] else settings.be
    entry = {"name": "crank" if i == 0 else f"p{i}"}
    if i == 0:
        entry["role"] = "crank"
        if frame.mirror:
            entry["rotation"] = "ccw"
    if loop.back[i]:
        entry["side"] = "back"
    diameter = (loop.radius[i] - own) * 2e3
    if not loop.back[i] and rng.random() < 0.2:
        over, less = rng.choice([("outside", 0.885), ("balls", -0.990)])
        entry["diameter"] = {"value": diameter - less, "over": over}
    else:
        entry["diameter"] = dress(rng, diameter, "mm")
    entry["at"] = frame.place(loop.centre[i])
    if i > 0 and not loop.back[i] and rng.random() < 0.6:
        most = tension * loop.radius[i] * rng.uniform(0.02, 0.3)
        entry["load"] = [Flow([1000, dress(rng, most * 0.3, "N m")]), Flow([rng.uniform(2000, 6000), most]),
                         Flow([15000, most * 0.6])]
    if i > 0 and rng.random() < 0.4:
        entry["inertia"] = rng.uniform(0.0001, 0.003)
    return entry


def arm_entry(rng, arm, frame):
    winds = -arm["loads"] if frame.mirror else arm["loads"]
    rest = math.remainder(frame.angle(arm["free"]), 360)
    return {"pivot": frame.place(arm["pivot"]), "length": dress(rng, arm["length"] * 1e3, "mm"),
            "free": dress(rng, rest, "deg"), "loads": "ccw" if winds > 0 else "cw",
            "travel": math.degrees(arm["travel"]), "preload": dress(rng, arm["preload"], "N m"),
            "rate": arm["rate"] * PI / 180, "damping": arm["damping"]}


def put_slot(entry, slot, frame):
    del entry["at"]
    if "radius" in slot:
        start, end = frame.within(slot["from"], slot["to"])
        entry["slot"] = {"centre": frame.place(slot["centre"]), "radius": slot["radius"] * 1e3, "from": start,
                         "to": end, "setting": slot["before"] * 1e3}
    else:
        entry["slot"] = {"from": frame.place(slot["from"]), "to": frame.place(slot["to"]),
                         "setting": slot["before"] * 1e3}


def all_drives(count, seed=20240611):
    """(text, kind, holds, wrong), count of them."""
    rng = random.Random(seed)
    for i in range(count):
        kind = ("inside", "serpentine", "deep", "serpentine", "deep")[i % 5]
        holds = ("arm", "arm", "arm", "lock", "arm", "fixed", "arm")[i % 7]
        wrong = ("long", "short", "wide", "slack", "wide")[i // 4 % 5] if holds == "arm" and i % 4 == 0 else None
        yield drive(rng, kind, holds, wrong), kind, holds, wrong
