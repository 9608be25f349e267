"""Blower and charge: hot air, no boost, off the map, surge, several balances, several blowers.

The balance is found here from the plain equations of docs/theory/match.md and blower.md, in absolute pressures: what the
blower gives less what the engine swallows, scanned over its whole range, every root by Brent's method. Where it has a
closed form, that is used. Maps are made up: two lines, straight or broken once.
"""
import atexit
import hashlib
import math
import os
import shutil
import tempfile

import numpy as np
from scipy.optimize import brentq

from drives import FIXED, on, same
from harness import RPM, STORE, Case, shown

ZERO = 273.15
LITRE = 1e-3
CRANK = 77.0  # pitch radius, mm: half of 150 and 2 mm of be
NOBODY = {"pulley": None, "other": None}

# ---- air (docs/theory/air.md) ---------------------------------------------------------------------------------------------

DRY, VAPOUR = 8314.32 / 28.9644, 8314.32 / 18.01528  # J/(kg K): US Standard Atmosphere, 1976
BENCH = 101325 / (DRY * 298.15)  # kg/m3, in which drops are measured where the file does not say


def heat_of_dry_air(t):
    """cp, J/(kg K): the cubic of eq. 1, which gives the digits of NBS Circular 564."""
    x = (t - 400) / 200
    return 1013.276 + 25.000 * x + 14.667 * x ** 2 - 1.524 * x ** 3


class Air:
    def __init__(self, pressure=101325.0, temperature=25.0, humidity=0.0):
        self.p, self.t = pressure, temperature + ZERO
        e = humidity * 610.94 * math.exp(17.625 * temperature / (temperature + 243.04))  # eq. 2
        self.q = (e / VAPOUR) / (e / VAPOUR + (pressure - e) / DRY)  # eq. 3
        self.r = (1 - self.q) * DRY + self.q * VAPOUR
        self.rho = self.p / (self.r * self.t)

    def heat(self, t):
        return (1 - self.q) * heat_of_dry_air(t) + self.q * 1860


def at_altitude(z):
    """Pressure, Pa, at z m: troposphere of the US Standard Atmosphere, 1976."""
    h = 6356766.0 * z / (6356766.0 + z)
    return 101325 * (1 - 0.0065 * h / 288.15) ** (9.80665 * 28.9644 / (8314.32 * 0.0065))


# ---- blowers: flow and heat over a coordinate x (docs/theory/blower.md) ------------------------------------------------------


class Displacing:
    """x is the ratio."""
    looks = 9  # the balance is one

    def __init__(self, swept, slip=0.0, internal=1.0):
        self.swept, self.slip, self.v = swept * LITRE, slip / 60, internal

    def range_of(self, turns, air, swallow):
        most = 8.0
        if self.slip:  # where slip eats all flow
            most = min(most, 1 + (turns / self.slip) ** 2 / (14.7 * air.t * 1.8 / 528) - 1e-9)
        return 0.05, most

    def at(self, r, turns, air, cp):
        g = cp / (cp - air.r)
        leak = self.slip * math.copysign(math.sqrt(abs(r - 1) * 14.7 * air.t * 1.8 / 528), r - 1)
        flow = self.swept * (turns - leak)
        work = self.swept * (g / (g - 1) * (self.v ** (g - 1) - 1) + (r - self.v ** g) / self.v)  # over p1, a turn
        return {"flow": flow, "ratio": r, "hot": air.t * (1 + air.r / cp * work * turns / flow)}


class Centrifugal:
    """x is the flow. Parabola with its top at the surge point, Euler's work (eqs 4 to 7)."""
    looks = 91

    def __init__(self, step_up, speed, flow, ratio, isentropic=0.72, surge=0.65, top=1.12, t_map=25.0):
        self.__dict__.update({k: v for k, v in locals().items() if k != "self"})

    def range_of(self, turns, air, swallow):
        return 1e-6 * swallow, 6 * swallow

    def at(self, q, turns, air, cp):
        g = cp / (cp - air.r)
        n = turns * self.step_up / (self.speed / 60)
        phi = q / self.flow / n
        rise = cp * (self.t_map + ZERO) * (self.ratio ** ((g - 1) / g) - 1)
        over = max(0.0, (phi - self.surge) / (1 - self.surge))
        slope = 2 * (self.top - 1) / (1 - self.surge)
        ideal = rise * n * n * (self.top - (self.top - 1) * over ** 2)
        work = rise / self.isentropic * n * n * (1 + slope * (1 - phi))
        return {"flow": q, "ratio": max(1 + ideal / cp / air.t, 0.1) ** (g / (g - 1)), "hot": air.t + work / cp,
                "phi": phi, "surge": phi < self.surge}


class Mapped:
    """x is the flow. Lines of (flow, ratio, efficiency); between them linear in speed at equal shares of the range."""

    def __init__(self, step_up, lines, at_temperature=None, centrifugal=True, surge=0.0):
        self.step_up, self.lines = step_up, sorted(lines.items())
        self.t_map, self.centrifugal = 25.0 if at_temperature is None else at_temperature, centrifugal
        self.surge = surge  # its place in the flow range of every line
        self.looks = 91 if all(len(line) == 2 for line in lines.values()) else 601  # broken lines: two balances may lie close

    def range_of(self, turns, air, swallow):
        return 1e-6 * swallow, 6 * swallow

    @staticmethod
    def between(flow, q, values):
        k = next(k for k in range(1, len(q)) if flow <= q[k] or k == len(q) - 1)
        return values[k - 1] + (values[k] - values[k - 1]) * (flow - q[k - 1]) / (q[k] - q[k - 1])

    def line(self, points, t):
        q, r, eta = zip(*points)
        width = q[-1] - q[0]
        flow = q[0] + t * width
        if t < 0:
            slope = 0 if self.centrifugal else min((r[1] - r[0]) / (q[1] - q[0]), 0)
            return r[0] + slope * (flow - q[0]), eta[0]
        if t > 1:
            slope = min((r[-1] - r[-2]) / (q[-1] - q[-2]), -0.5 * r[-1] / width)
            return r[-1] + slope * (flow - q[-1]), eta[-1]
        return self.between(flow, q, r), self.between(flow, q, eta)

    def lines_at(self, points, t):
        """`line` at many places."""
        q, r, eta = zip(*points)
        width = q[-1] - q[0]
        flow = q[0] + t * width
        before = 0 if self.centrifugal else min((r[1] - r[0]) / (q[1] - q[0]), 0)
        after = min((r[-1] - r[-2]) / (q[-1] - q[-2]), -0.5 * r[-1] / width)
        return np.interp(flow, q, r) + np.where(t < 0, before * (flow - q[0]), 0) + np.where(t > 1, after * (flow - q[-1]), 0), np.interp(flow, q, eta)

    def at(self, q, turns, air, cp):
        """At one flow; at an array of them, to find where the balances are."""
        many = isinstance(q, np.ndarray)
        line, greater, choose = (self.lines_at, np.maximum, np.where) if many else (self.line, max, lambda test, a, b: a if test else b)
        g = cp / (cp - air.r)
        corrected = math.sqrt((self.t_map + ZERO) / air.t) if self.centrifugal else 1.0
        rotor, flow = turns * 60 * self.step_up * corrected, q * corrected
        (slow, low), (fast, high) = next((a, b) for a, b in zip(self.lines, self.lines[1:])
                                         if rotor < b[0] or b == self.lines[-1])
        share = min(max((rotor - slow) / (fast - slow), 0), 1)
        scale = rotor / (slow + share * (fast - slow))
        left, right = ((1 - share) * low[end][0] + share * high[end][0] for end in (0, -1))
        t = (flow / scale - left) / (right - left)
        (ra, ea), (rb, eb) = line(low, t), line(high, t)
        ratio, eta = (1 - share) * ra + share * rb, (1 - share) * ea + share * eb
        k = (g - 1) / g
        if self.centrifugal:
            ratio = greater(1 + (greater(ratio, 0.1) ** k - 1) * scale ** 2, 0.1) ** (1 / k)
        ideal = greater(ratio, 0.1) ** k - 1
        hot = air.t * (1 + choose(ideal > 0, ideal / eta, ideal * eta))
        if many:
            return {"flow": q, "ratio": ratio, "hot": hot}
        outside = max(abs(scale - 1), 1 - flow / scale / left, flow / scale / right - 1)
        return {"flow": q, "ratio": ratio, "hot": hot,
                "outside": outside if outside > 1e-12 else 0.0, "surge": self.centrifugal and t < self.surge, "share": t}


# ---- blower and engine (docs/theory/match.md) ---------------------------------------------------------------------------------


class Match:
    """At full throttle. engine rpm; ratio: turns of the blower's pulley to one of the crank."""

    def __init__(self, blower, ratio, displacement=2.0, fill=0.9, air=None, cooler=None, bypass=False, redline=6000):
        self.blower, self.ratio, self.displacement, self.air = blower, ratio, displacement * LITRE, air or Air()
        self.fill = fill if isinstance(fill, list) else [[800, fill], [redline, fill]]
        self.cooler, self.bypass, self.redline = cooler or {}, bypass, redline

    def swallow(self, rpm):
        return self.displacement * rpm / 120 * np.interp(rpm, *zip(*self.fill))

    def chain(self, x, rpm, cp, swallow):
        a, c, one = self.air, self.cooler, self.blower.at(x, rpm / 60 * self.ratio, self.air, cp)
        k1, k2 = (1e3 * c.get(key, 0) * BENCH / c.get("flow", 1) ** 2 for key in ("inlet_pressure_drop", "pressure_drop"))
        # p0 - p1 = K1 m^2/rho0, m = p1 q/(R T1)
        b = k1 / a.rho * (one["flow"] / (a.r * a.t)) ** 2
        p1 = 2 * a.p / (1 + (1 + 4 * b * a.p) ** 0.5)
        mass, p2 = p1 * one["flow"] / (a.r * a.t), p1 * one["ratio"]
        manifold = p2 - k2 * mass ** 2 * a.r * one["hot"] / p2
        e = c.get("effectiveness", 0.0)
        charge = one["hot"] - e * (one["hot"] - (c["coolant"] + ZERO if "coolant" in c else a.t))
        one.update(manifold=manifold, charge=charge, mass=mass, miss=mass - swallow * manifold / (a.r * charge))
        return one

    def roots(self, rpm, cp, swallow):
        """Every balance that is stable: more flow gives the engine more than it swallows."""
        low, high = self.blower.range_of(rpm / 60 * self.ratio, self.air, swallow)
        rising = not isinstance(self.blower, Displacing)

        def miss(x):
            return self.chain(x, rpm, cp, swallow)["miss"]
        grid = np.linspace(low, high, self.blower.looks)
        values = miss(grid).tolist() if isinstance(self.blower, Mapped) else [miss(x) for x in grid.tolist()]
        grid = grid.tolist()
        return [brentq(miss, a, b, xtol=1e-14 * high, rtol=1e-13) for a, b, va, vb in zip(grid, grid[1:], values, values[1:])
                if (va < 0 <= vb if rising else va > 0 >= vb)]

    def point(self, rpm):
        """The balance; of several that of most flow. Heat at the middle of inlet and outlet temperature."""
        swallow = self.swallow(rpm)
        cp, roots = self.air.heat(self.air.t), []
        for _ in range(60):
            last = roots[-1] if roots else None
            close = [last * (1 - 1e-3), last * (1 + 1e-3)] if len(roots) == 1 else None
            sides = [self.chain(x, rpm, cp, swallow)["miss"] for x in close] if close else [1, 1]
            roots = [brentq(lambda x: self.chain(x, rpm, cp, swallow)["miss"], *close, xtol=1e-14 * last, rtol=1e-13)] \
                if sides[0] * sides[1] < 0 else self.roots(rpm, cp, swallow)
            one = self.chain(roots[-1], rpm, cp, swallow)
            before, cp = cp, self.air.heat(0.5 * (self.air.t + one["hot"]))
            if abs(cp / before - 1) < 1e-7:
                break
        one.update(rpm=rpm, balances=len(roots))
        one["no_boost"] = one["manifold"] <= self.air.p or self.bypass and one["ratio"] < 1
        return one

    def speeds(self):
        """Where the program looks: 41 from idle to redline, and the points of the table of fill."""
        return sorted({round(800 + (self.redline - 800) * k / 40, 9) for k in range(41)} | {float(n) for n, _ in self.fill})

    def points(self):
        key = repr((self.blower.__dict__, self.ratio, self.displacement, self.fill, self.air.__dict__, self.cooler,
                    self.bypass, self.redline))
        if key not in STORE:
            STORE[key] = [self.point(n) for n in self.speeds()]
            STORE["changed"] = True
        return STORE[key]

    def hottest(self):
        return max(self.points(), key=lambda one: one["hot"])

    def where(self, what):
        """Speeds at which it holds, with how they are told."""
        marks = [bool(what(one)) for one in self.points()]
        speeds = [one["rpm"] for one, mark in zip(self.points(), marks) if mark]
        gaps = sum(marks[marks.index(True):len(marks) - marks[::-1].index(True)]) < \
            len(marks) - marks[::-1].index(True) - marks.index(True)
        return {"from": f"{speeds[0]:.0f} rpm", "to": f"{speeds[-1]:.0f} rpm", "gaps": "with gaps, " if gaps else ""}

    def first(self, what):
        return steady(next(one["rpm"] for one in self.points() if what(one)))


def steady(rpm):
    return {"rpm": rpm, "state": "steady", "belt": "nominal belt", "friction": "middle"}


def memo(function):
    """Each p once: a case asks for value, place and words of the same match."""
    kept = {}
    return lambda p: kept[p] if p in kept else kept.setdefault(p, function(p))


# ---- drives -------------------------------------------------------------------------------------------------------------------

ENGINE = {"displacement": "2.0 L", "cylinders": 4, "idle": 800, "redline": 6000, "volumetric_efficiency": [[800, 0.9], [6000, 0.9]]}


def blown(blower, diameter=80, **more):
    """Crank and blower. A blower's pulley of 80 mm turns 77/42 as fast as the crank."""
    drive = {"engine": ENGINE, "belt.length": 1062,
             "pulleys": [FIXED["pulleys"][0], {"name": "blower", "at": [0, 350], "diameter": diameter, "blower": blower}]}
    return on(FIXED, {**drive, **more})


def ratio_of(diameter):
    return CRANK / (diameter / 2 + 2)


FOLDER = tempfile.mkdtemp(prefix="snub-maps-")
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)


def map_file(lines):
    """A map on disk; its name goes by what is in it, so that it is the same in every run."""
    rows = "".join(f"{q:.12g},{r:.12g},{n:.12g},{eta:.12g}\n" for n, line in lines.items() for q, r, eta in line)
    path = os.path.join(FOLDER, hashlib.sha256(rows.encode()).hexdigest()[:16] + ".csv")
    if not os.path.exists(path):
        with open(path, "w", encoding="utf-8") as file:
            file.write("flow [m3/s], pressure_ratio, speed [rpm], efficiency\n" + rows)
    return path


# ---- the air is hot -------------------------------------------------------------------------------------------------------------

SLUMP = [[800, 0.9], [3000, 0.75], [6000, 0.9]]  # the engine swallows least, over its turns, at 3000 rpm
ROOTS = {"kind": "roots", "swept": same}  # of p litres


def closed(p, fill=0.75):
    """A Roots without slip or cooler: Q = V N/(Ve fill), r = Q (1 - k)/(1 - Q k), T2 = T1 (1 + k (r - 1)); k = R/cp."""
    q = p * ratio_of(80) * 2 / (2.0 * fill)
    cp = heat_of_dry_air(298.15)
    for _ in range(60):
        k = DRY / cp
        hot = 298.15 * (1 + k * (q * (1 - k) / (1 - q * k) - 1))
        cp = heat_of_dry_air(0.5 * (298.15 + hot))
    return hot


@memo
def worked(p):
    """Slip, a filter and a cooler that choke, 1500 m, damp air."""
    return Match(Displacing(0.9, slip=600), ratio_of(p), fill=SLUMP, air=Air(at_altitude(1500), 30, 0.6),
                 cooler={"effectiveness": 0.7, "coolant": 60, "pressure_drop": 8, "inlet_pressure_drop": 3, "flow": 0.15})


WORKED = blown({"kind": "roots", "swept": 0.9, "leakage_speed": 600}, same,
               **{"engine.volumetric_efficiency": SLUMP, "air": {"altitude": "1500 m", "temperature": 30, "humidity": 0.6},
                  "cooler": {"effectiveness": 0.7, "coolant": 60, "pressure_drop": 8, "inlet_pressure_drop": 3, "flow": "0.15 kg/s"}})


@memo
def screwed(p):
    """A twin-screw that presses inside, in hot air."""
    return Match(Displacing(0.95, slip=400, internal=1.4), ratio_of(80), air=Air(temperature=p))


SCREW = blown({"kind": "twin-screw", "swept": 0.95, "leakage_speed": 400, "internal_ratio": 1.4}, **{"air.temperature": same})

# A centrifugal by its map: two lines that fall straight, one efficiency.
FALLING = {2000: [(0.002, 1.02, 0.7), (0.02, 1.005, 0.7)], 40000: [(0.04, 3.2, 0.7), (0.4, 1.4, 0.7)]}


@memo
def spun(p):
    return Match(Mapped(p, FALLING), ratio_of(80))


SPUN = blown({"kind": "centrifugal", "map": map_file(FALLING), "step_up": same})

HOT = dict(limit=150 + ZERO, threshold=150 + ZERO, subject={"pulley": "blower", "other": None}, tolerance=2e-4)
OWN = dict(limit_key=("charge_temperature", "DEGC"), default=150 + ZERO, source="rule of thumb", near=5e-4)

HOTS = [
    # closed form; hottest where the engine swallows least, between two steps of speed
    Case("CHARGE_HOT", "marginal", blown(ROOTS, **{"engine.volumetric_efficiency": SLUMP}), 0.735, 0.70, value=closed, at=steady(3000), **HOT, **OWN),
    # a larger blower pulley makes less boost; halved on it
    Case("CHARGE_HOT", "marginal", WORKED, 68, 74, value=lambda p: worked(p).hottest()["hot"],
         at=lambda p: steady(worked(p).hottest()["rpm"]), **HOT, **OWN),
    Case("CHARGE_HOT", "marginal", SCREW, 65, 40, value=lambda p: screwed(p).hottest()["hot"],
         at=lambda p: steady(screwed(p).hottest()["rpm"]), **HOT, **OWN),
    # hottest at redline
    Case("CHARGE_HOT", "marginal", SPUN, 3.6, 3.3, value=lambda p: spun(p).hottest()["hot"],
         at=lambda p: steady(spun(p).hottest()["rpm"]), **HOT, **OWN),
    # a limit of the file's own, in degF
    Case("CHARGE_HOT", "marginal", blown(ROOTS, **{"engine.volumetric_efficiency": SLUMP, "limits": {"charge_temperature": "200 degF"}}), 0.62,
         0.56, value=closed, at=steady(3000), limit=(200 - 32) / 1.8 + ZERO, threshold=(200 - 32) / 1.8 + ZERO,
         source="the drive file, line", tolerance=2e-4),
]

# ---- no boost ---------------------------------------------------------------------------------------------------------------------

RISING = [[800, 0.75], [6000, 1.05]]  # fill: a blower of fixed size is outrun from some speed on
HUMPED = [[800, 1.0], [2000, 0.8], [3500, 0.9], [5000, 0.8], [6000, 1.0]]
DIPPED = [[800, 1.0], [3395, 1.0], [3400, 0.8], [3405, 1.0], [6000, 1.0]]
STEADY_AIR = {"subject": {"pulley": "blower", "other": None}}


def outrun(p, fill, bypass=False):
    return Match(Displacing(p), ratio_of(80), fill=fill, bypass=bypass)


def least(fill):
    """Q of the closed form at its least: at 1 the blower gives just what the engine swallows."""
    return lambda p: p * ratio_of(80) * 2 / (2.0 * max(f for _, f in fill))


@memo
def throttled_by_filter(p):
    return Match(Displacing(0.6), ratio_of(80), cooler={"effectiveness": 0.6, "pressure_drop": 20, "inlet_pressure_drop": p, "flow": 0.107})


def told(match, what="no_boost"):
    """Case's `at` and `places` of a flag."""
    return dict(at=lambda p: match(p).first(lambda one: one[what]),
                places=lambda p: match(p).where(lambda one: one[what]), **STEADY_AIR)


NO_BOOSTS = [
    Case("NO_BOOST", "note", blown(ROOTS, **{"engine.volumetric_efficiency": RISING}), 0.5, 0.6, measure=least(RISING), threshold=1.0,
         source="blower and engine matched", **told(memo(lambda p: outrun(p, RISING)))),
    # at both ends of the range and not between
    Case("NO_BOOST", "note", blown(ROOTS, **{"engine.volumetric_efficiency": HUMPED}), 0.52, 0.56, measure=least(HUMPED), threshold=1.0,
         **told(memo(lambda p: outrun(p, HUMPED)))),
    # everywhere but at one speed
    Case("NO_BOOST", "note", blown(ROOTS, **{"engine.volumetric_efficiency": DIPPED}), 0.52, 0.56, measure=least(DIPPED), threshold=1.0,
         **told(memo(lambda p: outrun(p, DIPPED)))),
    # a bypass opens: level pressures are no boost
    Case("NO_BOOST", "note", blown({**ROOTS, "bypass": True}, **{"engine.volumetric_efficiency": RISING}), 0.5, 0.6, measure=least(RISING),
         threshold=1.0, **told(memo(lambda p: outrun(p, RISING, True)))),
    # the blower presses, but the filter and the cooler take it all
    Case("NO_BOOST", "note", blown({"kind": "roots", "swept": 0.6}, **{
        "cooler": {"effectiveness": 0.6, "pressure_drop": 20, "inlet_pressure_drop": same, "flow": 0.107}}), 35, 10,
         measure=lambda p: min(one["manifold"] for one in throttled_by_filter(p).points()), threshold=101325.0,
         **told(throttled_by_filter)),
]

# ---- off the map ------------------------------------------------------------------------------------------------------------------
# step_up 3: the rotor turns 5.5 times as fast as the crank, 4400 to 33000 rpm. A turn of the crank swallows 0.9 L; the
# first lines hold all flows between 0.6 and 2.5 of that at every speed, so that only their speeds end.


def wide(rotor, ratio):
    swallowed = 0.9 * LITRE * rotor / 5.5 / 60
    return [(0.6 * swallowed, 1.2 * ratio, 0.7), (2.5 * swallowed, 0.9 * ratio, 0.7)]


def ends(slow, fast):
    return {slow: wide(slow, 1.15), fast: wide(fast, 1.5)}


def mapped(lines, kind="centrifugal", **more):
    """A drive whose map goes with p."""
    blower = {"kind": kind, "step_up": 3, "map": lambda p: map_file(lines(p)), **more}
    return blown({**blower, **({"swept": 0.9} if kind == "roots" else {})})


def by_map(lines, at_temperature=None, centrifugal=True):
    return memo(lambda p: Match(Mapped(3, lines(p), at_temperature, centrifugal), ratio_of(80)))


def off(match):
    """What a case of OUTSIDE_MAP needs: the worst share and where; from and to."""
    def worst(p):
        return max(match(p).points(), key=lambda one: one["outside"])
    return dict(value=lambda p: worst(p)["outside"], at=lambda p: steady(worst(p)["rpm"]),
                places=lambda p: match(p).where(lambda one: one["outside"] > 0), **STEADY_AIR)


# The engine's line: with no cooler flow over ratio settles near 1.3 of what is swallowed. Lines that end before it.
def narrow(p, left, right):
    def line(rotor, ratio):
        swallowed = 0.9 * LITRE * rotor / 5.5 / 60
        return [(left(p) * swallowed, 1.2 * ratio, 0.7), (right(p) * swallowed, 0.9 * ratio, 0.7)]
    return {4000: line(4000, 1.15), 34000: line(34000, 1.5)}


def shares_of(match):
    """Flow in shares of what is swallowed, at every speed."""
    return lambda p: [one["flow"] / match(p).swallow(one["rpm"]) for one in match(p).points()]


TOP = by_map(lambda p: ends(4000, p))
BOTTOM = by_map(lambda p: ends(p, 34000))
BOTH = by_map(lambda p: ends(p, 33000 * 4400 / p))
COLD = by_map(lambda p: ends(4000, p), at_temperature=60)
GEARED = by_map(lambda p: ends(4000, p), centrifugal=False)
LEFT = by_map(lambda p: narrow(p, same, lambda p: 2.5))
RIGHT = by_map(lambda p: narrow(p, lambda p: 0.6, same))

OFF = [
    # faster than the top line by 33000/p - 1
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: ends(4000, p)), 30000, 33500, measure=lambda p: 33000 / p - 1,
         threshold=0.0, source="the blower's map", tolerance=1e-9, **off(TOP)),
    # slower than the lowest: by 1 - 4400/p at idle
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: ends(p, 34000)), 5600, 4200, measure=lambda p: 1 - 4400 / p,
         threshold=0.0, tolerance=1e-9, **off(BOTTOM)),
    # at both ends, not between: 1 - 4400/p at idle, p/4400 - 1 at redline
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: ends(p, 33000 * 4400 / p)), 5600, 4300,
         measure=lambda p: p / 4400 - 1, threshold=0.0, tolerance=1e-9, **off(BOTH)),
    # measured at 60 degC: colder air makes the rotor faster by the root of the temperatures
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: ends(4000, p), map_temperature=60), 33500, 36000,
         measure=lambda p: 33000 * math.sqrt((60 + ZERO) / 298.15) / p - 1, threshold=0.0, tolerance=1e-9, **off(COLD)),
    # of a Roots: taken as it is
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: ends(4000, p), "roots", map_temperature=60), 30000, 33500,
         measure=lambda p: 33000 / p - 1, threshold=0.0, tolerance=1e-9, **off(GEARED)),
    # less flow than the lines hold; more
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: narrow(p, same, lambda p: 2.5)), 1.3, 0.9, threshold=0.0,
         measure=lambda p: max(p - share for share in shares_of(LEFT)(p)), tolerance=2e-5, **off(LEFT)),
    Case("OUTSIDE_MAP", "marginal", mapped(lambda p: narrow(p, lambda p: 0.6, same)), 1.15, 1.6, threshold=0.0,
         measure=lambda p: max(share - p for share in shares_of(RIGHT)(p)), tolerance=2e-5, **off(RIGHT)),
]

# ---- surge -----------------------------------------------------------------------------------------------------------------------

DESIGN = {"kind": "centrifugal", "step_up": 8, "design_speed": 60000, "design_ratio": 1.6}


def modelled(flow=None, step_up=None, **more):
    flow, step_up = flow or same, step_up or (lambda p: 8)
    return memo(lambda p: Match(Centrifugal(step_up(p), 60000, flow(p), 1.6, **more), ratio_of(80)))


def margin(match, surge=0.65):
    """The least flow coefficient over the surge point's, over all speeds."""
    return lambda p: min(one["phi"] for one in match(p).points()) / surge


LARGE, EARLY, GEAR = modelled(), modelled(surge=0.8, top=1.05), modelled(lambda p: 0.15, same)

SURGES = [
    # too large a blower; halved on its design flow
    Case("SURGE", "marginal", blown({**DESIGN, "design_flow": same}), 0.2, 0.08, measure=margin(LARGE), threshold=1.0,
         source="the blower's surge point", **told(LARGE, "surge")),
    # a surge point of the file's own
    Case("SURGE", "marginal", blown({**DESIGN, "design_flow": same, "surge_flow": 0.8, "surge_head": 1.05}), 0.14, 0.06,
         measure=margin(EARLY, 0.8), threshold=1.0, **told(EARLY, "surge")),
    # a lower step-up takes it out of surge
    Case("SURGE", "marginal", blown({**DESIGN, "design_flow": 0.15, "step_up": same}), 9, 5, measure=margin(GEAR),
         threshold=1.0, **told(GEAR, "surge")),
]

# A measured map: its surge point is where its lines begin, or where a column says.


def surging(least, middle=1.6):
    def line(rotor, ratio):
        swallowed = 0.9 * LITRE * rotor / 5.5 / 60
        return [(least * swallowed, 1.25 * ratio, 0.7), (middle * swallowed, 1.1 * ratio, 0.7), (2.5 * swallowed, 0.9 * ratio, 0.7)]
    return {4000: line(4000, 1.15), 34000: line(34000, 1.5)}


def marked(p):
    """The map as a file, its middle points marked."""
    path = map_file(surging(0.7, p))
    with open(path, encoding="utf-8") as file:
        head, *rows = file.read().splitlines()
    path = path[:-4] + "-surge.csv"
    with open(path, "w", encoding="utf-8") as file:
        file.write("\n".join([head + ", surge"] + [row + (", x" if k % 3 == 1 else ",") for k, row in enumerate(rows)]) + "\n")
    return path


BEGINS = by_map(surging)
MARKED = memo(lambda p: Match(Mapped(3, surging(0.7, p), surge=(p - 0.7) / 1.8), ratio_of(80)))

SURGES += [
    Case("SURGE", "marginal", blown({"kind": "centrifugal", "step_up": 3, "map": lambda p: map_file(surging(p))}), 1.5, 0.7,
         measure=lambda p: min(one["share"] for one in BEGINS(p).points()), threshold=0.0, **told(BEGINS, "surge")),
    Case("SURGE", "marginal", blown({"kind": "centrifugal", "step_up": 3, "map": marked}), 1.7, 0.9, threshold=0.0,
         measure=lambda p: min(one["share"] for one in MARKED(p).points()) - (p - 0.7) / 1.8, **told(MARKED, "surge")),
]

# ---- several balances -------------------------------------------------------------------------------------------------------------
# A line that dips under the engine's, rises over it and falls again: balances near 1.1 and 1.5 of what is swallowed.


def dipping(p):
    def line(rotor, ratios):
        swallowed = 0.9 * LITRE * rotor / 5.5 / 60
        return [(share * swallowed, ratio, 0.7) for share, ratio in zip((0.8, 1.1, 1.3, 1.9), ratios)]
    return {4000: line(4000, (1.30, 1.2, 1.1, 1.0)), 34000: line(34000, (1.32, 1.3 - 0.25 * p, 1.3 + 0.6 * p, 1.2))}


DIPS = by_map(dipping)

SEVERAL = [
    Case("SEVERAL_MATCHES", "note", mapped(dipping), 1.0, 0.2, source="blower and engine matched",
         at=lambda p: DIPS(p).first(lambda one: one["balances"] > 1),
         places=lambda p: DIPS(p).where(lambda one: one["balances"] > 1), **STEADY_AIR),
]

# ---- several blowers --------------------------------------------------------------------------------------------------------------

TWIN = {"kind": "roots", "swept": 0.45}


def blowers(p):
    """p of them, each on a pulley of its own."""
    return on(FIXED, {"engine": ENGINE, "belt.length": 1300, "pulleys": [FIXED["pulleys"][0]] + [
        {"name": f"blower {k}", "at": [120 * k - 100, 350 - 40 * k], "diameter": 80,
         **({"blower": TWIN} if k < p else {})} for k in range(3)]})(p)


BLOWERS = [
    Case("SEVERAL_BLOWERS", "marginal", blowers, 2, 1, value=float, limit=1.0, subject=NOBODY,
         source="blower and engine matched"),
    Case("SEVERAL_BLOWERS", "marginal", blowers, 3, 1, value=float, limit=1.0, subject=NOBODY),
]

# ---- what the file leaves out -----------------------------------------------------------------------------------------------------

TIGHT = {"kind": "twin-screw", "internal_ratio": 1.3}


def left_out(blower, key, value):
    """The key is not there at 1, and there at 0."""
    return lambda p: blown(blower if p else {**blower, key: value})(p)


def leaks(swept, step_up=1.0):
    """800 rpm of a rotor that sweeps 1 L; with one over the rotor's size, the cube root of what it sweeps."""
    rpm = 800 * (swept / step_up) ** (-1 / 3) / step_up
    tight, leaking = (Match(Displacing(swept, slip, 1.3), ratio_of(80)) for slip in (0.0, rpm))

    def boost(match, n, decimals=0):
        return shown(match.point(n)["manifold"] - 101325, "KPA", decimals)
    return dict(value=lambda p: tight.point(800)["manifold"] - 101325, at=steady(800), **STEADY_AIR,
                source="rule of thumb", tolerance=2e-4,
                places=lambda p: {"idle": "800 rpm", "redline": "6000 rpm", "most": boost(tight, 6000), "leakage": f"{rpm:.0f} rpm",
                                  "value_leaking": boost(leaking, 800), "most_leaking": boost(leaking, 6000)})


LEAKAGES = [
    # said to be tight, it is taken by its word
    Case("NO_LEAKAGE", "marginal", left_out({**TIGHT, "swept": 0.75}, "leakage_speed", 0), 1, 0, **leaks(0.75)),
    # a small rotor behind gears
    Case("NO_LEAKAGE", "marginal", left_out({**TIGHT, "swept": 0.9, "step_up": 2}, "leakage_speed", 300), 1, 0, **leaks(0.9, 2)),
]

TURNS = 6000 * ratio_of(80)  # of the pulley at redline


def ungeared(**more):
    return dict(value=lambda p: TURNS * RPM, at=steady(6000), **STEADY_AIR, threshold=0.5, tolerance=1e-9,
                source="a quarter of its pressure rise", measure=lambda p: TURNS / p,
                places=lambda p: {"design": f"{p:.0f} rpm", "share": shown(TURNS / p, "PERCENT", 0)}, **more)


STEP_UPS = [
    # half of its design speed
    Case("NO_STEP_UP", "marginal", blown({"kind": "centrifugal", "design_speed": same, "design_flow": 0.1, "design_ratio": 1.6}), 60000,
         12000, silent_on=[blown({**DESIGN, "design_flow": 0.1, "step_up": 1})(0)], **ungeared()),
    # of the fastest line of its map
    Case("NO_STEP_UP", "marginal", blown({"kind": "centrifugal", "map": lambda p: map_file(ends(2000, p))}), 40000, 15000, **ungeared()),
]

CASES = LEAKAGES + STEP_UPS + HOTS + NO_BOOSTS + OFF + SURGES + SEVERAL + BLOWERS
