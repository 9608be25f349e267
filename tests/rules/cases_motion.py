"""The drive swinging: spans that hang loose, pulleys that slip at the peak, the arm at its ends, resonances.

Worked out by tests/reference: the balance of drive_reference.py, and strains, pulleys and arm as one system of complex
equations (motion.py). Which speeds are looked at, how orders are put together, and the peak of the grip (here by trying
all the moments of a swing) stand here once more, from docs/theory/motion.md. Drives have load tables and a measured
crank, so that an open and a closed throttle are alike but for the speeds.
"""
import math

import numpy as np
import yaml
from scipy.linalg import eigh

from drives import ARM, FIXED, LOCKED, on, same
from harness import DEG, MM, RPM, Case, reference, shown
import overrunning
from motion import Energy, Swing

STEPS, FULL_LOAD_FROM, MAIN_ORDER, NO_ORDER, MARGIN, ALLOWED = 6, 2.0, 0.05, 0.01, 0.15, 0.5
STEEL, RIM, ACCESSORY, WIDTH = 7850.0, 3e-3, 0.0025, (5 * 3.56 + 2 * 2.5) * MM  # ISO 9982, six ribs
FRICTION = {"rib": 0.9, "back": 0.35}  # at the limit; docs/theory/grip.md
STORE = {}


class Judged:
    """A drive at every state in which its motion is judged."""

    def __init__(self, text):
        self.entry, self.drive = yaml.safe_load(text), reference.Drive(text)
        engine = self.entry["engine"]
        self.idle, self.redline, self.table = engine["idle"], engine["redline"], engine["irregularity"]
        self.names = [p.name for p in self.drive.pulleys]
        self.states, self.meetings = [], []
        ways = [("closed throttle", self.idle), ("steady", min(FULL_LOAD_FROM * self.idle, self.redline))]
        found = self.find_meetings()
        for way, start in ways:
            for k in range(STEPS + 1):
                self.states.append(self.state(start + (self.redline - start) * k / STEPS, way))
            for order, frequency, mover, held in found:
                rpm = 60 * frequency / order
                if way == "steady" and rpm < FULL_LOAD_FROM * self.idle:
                    continue
                state = self.state(rpm, way)
                if rpm >= self.idle:
                    self.states.append(state)
                if state["moves"] and held != state["stuck"][order]:
                    continue
                self.meetings.append({**state, "order": order, "frequency": frequency, "mover": mover,
                                      "near": rpm <= self.idle * (1 + MARGIN)})

    def inertias(self, moves):
        """Those that the file leaves out by the rules of thumb of docs/theory/motion.md."""
        out = []
        for radius, entry in zip(np.abs(self.drive.radius), self.entry["pulleys"]):
            rim = 2 * math.pi * STEEL * RIM * width_of(entry) * radius ** 3
            out.append(entry.get("inertia") or rim + (ACCESSORY if "load" in entry else 0.0))
        if moves:
            out.append(self.entry["pulleys"][self.drive.arm_index]["arm"]["inertia"])
        return np.array(out)

    def angles(self, rpm):
        every = {o: float(np.interp(rpm, self.table["speed"], [row[j] for row in self.table["angle"]])) * DEG
                 for j, o in enumerate(self.table["order"])}
        return {o: a for o, a in every.items() if a > NO_ORDER * max(every.values())}

    def swing(self, rpm):
        answer = reference.solve(self.drive, rpm * RPM)
        energy = Energy(self.drive, answer)
        return Swing(energy, self.inertias(energy.moves))

    def find_meetings(self):
        swing = self.swing(self.idle)
        energy, n = swing.e, self.drive.n
        loose = swing.mass.copy()
        for i, entry in enumerate(self.entry["pulleys"]):
            if entry.get("overruns"):
                loose[i] = overrunning.rim_of(self.drive.radius[i], width_of(entry), loose[i])
        stiffness = swing.gradient.T @ np.diag(energy.spring) @ swing.gradient
        if energy.moves:
            stiffness[n, n] += swing.arm
        angles, out = self.angles(self.idle), []
        states = [(mass, held) for mass in ([swing.mass] if (loose == swing.mass).all() else [swing.mass, loose])
                  for held in ([False, True] if energy.moves else [False])]
        for mass, held in states:
            keep = [i for i in range(energy.count) if i != self.drive.crank and not (held and i == n)]
            square, shape = eigh(stiffness[np.ix_(keep, keep)], np.diag(mass[keep]))
            for order in sorted(angles):
                for value, x in zip(square, shape.T):
                    frequency = math.sqrt(value) / (2 * math.pi)
                    inside = self.idle * (1 - MARGIN) <= 60 * frequency / order <= self.redline
                    if inside and angles[order] >= MAIN_ORDER * max(angles.values()):
                        most = keep[int(np.argmax(mass[keep] * x * x))]
                        out.append((order, frequency, "the arm" if most == n else self.names[most], held))
        return out

    def rub(self, swing, w, angle, friction):
        """With the arm's friction, and a clutch that lets go."""
        clutches = [i for i, p in enumerate(self.entry["pulleys"]) if p.get("overruns")]
        if not clutches:
            return swing.rub(w, angle, friction)
        i, = clutches
        whole, width = swing.mass[i].real, width_of(self.entry["pulleys"][i])
        shaft = whole - overrunning.rim_of(self.drive.radius[i], width, whole)

        def respond(share):
            swing.mass = swing.mass.astype(complex)
            swing.mass[i] = whole + (share - 1) * shaft
            return swing.rub(w, angle, friction)
        found = overrunning.greatest(respond, i, shaft * w * w, swing.answer.torque[i])[1]
        swing.mass[i] = whole
        return found

    def state(self, rpm, way):
        swing = self.swing(rpm)
        answer, n, moves = swing.answer, self.drive.n, swing.e.moves
        friction = self.drive.arm.damping * answer.moment if moves else 0.0
        carried = answer.tension - answer.state.flux
        orders = {o: self.rub(swing, o * rpm * RPM, a, friction) for o, a in self.angles(rpm).items()}
        tension = np.array([swing.drive.belt.stiffness * one[3][swing.e.count:] for one in orders.values()])
        pull = {o: np.abs(swing.mass[:n] * one[1][:n] / np.abs(self.drive.radius)) for o, one in orders.items()}
        for one in pull.values():
            one[self.drive.crank] = 0.0
        state = {"rpm": rpm, "way": way, "moves": moves, "friction": friction, "carried": carried,
                 "stuck": {o: one[0] for o, one in orders.items()}, "sticks": moves and all(one[0] for one in orders.values()),
                 "single": {o: np.abs(t) for o, t in zip(orders, tension)}, "squares": np.sqrt((np.abs(tension) ** 2).sum(0)),
                 "added": np.abs(tension).sum(0), "heavy": {o: self.names[int(np.argmax(one))] for o, one in pull.items()}}
        state["main"] = [max(orders, key=lambda o: state["single"][o][i]) for i in range(n)]
        state["loose"] = bool((state["squares"] >= carried).any())
        hangs = state["squares"] >= carried
        state["grip"] = [0.0 if hangs[i - 1] or hangs[i] else self.peak_grip(i, carried, tension, answer) for i in range(n)]
        if moves:
            state["wind"] = answer.wind
            state["arm"] = math.sqrt(sum(one[1][n] ** 2 for one in orders.values()))
            state["arm main"] = max(orders, key=lambda o: orders[o][1][n])
        return state

    def peak_grip(self, i, carried, tension, answer):
        """Tensions of one order in step; of several, along the ellipse with their squares added."""
        both = np.array([[tension[:, i - 1].real, tension[:, i - 1].imag], [tension[:, i].real, tension[:, i].imag]])
        root = np.linalg.cholesky(np.einsum("akm,bkm->ab", both, both) + 1e-18 * np.eye(2))
        turn = np.linspace(0, 2 * math.pi, 20001)
        swing = root @ np.array([np.cos(turn), np.sin(turn)])
        ratio = np.log((carried[i] + swing[1]) / (carried[i - 1] + swing[0]))
        side = "back" if self.entry["pulleys"][i].get("side") == "back" else "rib"
        if self.entry["pulleys"][i].get("overruns"):  # it lets go of what would drive the belt
            ratio = np.maximum(ratio, 0.0)
        return float(np.abs(ratio).max()) / (FRICTION[side] * float(answer.path.wrap[i]))


def width_of(entry):
    return entry["width"] * MM if "width" in entry else WIDTH


def judged(text):
    if text not in STORE:
        STORE[text] = Judged(text)
    return STORE[text]


def worst(states, share):
    """The first of the greatest: (share, state)."""
    best = None
    for state in states:
        value = share(state)
        if value is not None and (best is None or value > best[0] * (1 + 1e-9)):
            best = (value, state)
    return best


def at(state):
    return {"rpm": state["rpm"], "state": state["way"], "belt": "nominal belt", "friction": "middle"}


def number(order):
    return f"{order:.0f}" if order == int(order) else f"{order:.1f}"


def mend(judge, state, order, pull, heavy=None):
    heavy = heavy or state["heavy"][order]
    words = f"Use {'a tensioner with less friction, ' if state['sticks'] else ''}more {pull}, or less inertia on {heavy}."
    return {"order": number(order), "mend": words}


# ---- what is worst: share of the limit, value, limit, state, subject, places -------------------------------------------------

def span_names(judge, i):
    return {"span": [judge.names[i], judge.names[(i + 1) % judge.drive.n]]}


def loose(kind, pull="static tension"):
    def pick(judge):
        share, state = worst([{**s, "on": i} for s in judge.states for i in range(judge.drive.n)],
                             lambda s: s[kind][s["on"]] / s["carried"][s["on"]])
        i = state["on"]
        return dict(share=share, value=float(state[kind][i]), limit=float(state["carried"][i]), state=state,
                    subject=span_names(judge, i), places=mend(judge, state, state["main"][i], pull))
    return pick


def slips(judge, pull="static tension"):
    share, state = worst([{**s, "on": i} for s in judge.states for i in range(judge.drive.n)], lambda s: s["grip"][s["on"]])
    i = state["on"]
    idles = i != judge.drive.crank and "load" not in judge.entry["pulleys"][i]
    return dict(share=share, value=share, limit=1.0, state=state, subject={"pulley": judge.names[i]},
                places={"share": shown(share, "PERCENT", 0), **mend(judge, state, state["main"][i], pull, judge.names[i] if idles else None)})


def ends(judge, stop):
    travel = judge.entry["pulleys"][judge.drive.arm_index]["arm"]["travel"] * DEG
    share, state = worst([s for s in judge.states if s["moves"] and not s["loose"]],
                         lambda s: (s["wind"] + s["arm"]) / travel if stop else s["arm"] / s["wind"])
    order = state["arm main"]
    return dict(share=share, value=state["wind"] + state["arm"] if stop else state["arm"], limit=travel if stop else state["wind"],
                state=state, subject={"pulley": "tensioner"},
                places={"order": number(order), "heavy": state["heavy"][order]})


def meets(near):
    def pick(judge):
        share, state = worst([{**m, "on": i} for m in judge.meetings if m["near"] == near for i in range(judge.drive.n)],
                             lambda m: m["single"][m["order"]][m["on"]] / m["carried"][m["on"]])
        places = {"order": number(state["order"]), "frequency": f"{state['frequency']:.1f} Hz", "part": state["mover"]}
        if near:
            places["margin"] = shown(abs(state["rpm"] / judge.idle - 1), "PERCENT", 0)
        return dict(share=share / ALLOWED, value=share, limit=ALLOWED, state=state, subject=span_names(judge, state["on"]),
                    places=places)
    return pick


def held(judge):
    share, state = worst([{**s, "on": i} for s in judge.states if s["sticks"] for i in range(judge.drive.n)],
                         lambda s: s["squares"][s["on"]] / s["carried"][s["on"]])
    return dict(share=share, value=state["friction"], limit=None, state=state, subject={"pulley": "tensioner"}, places={})


def guessed(pick, what, missing):
    """The same by rules of thumb: what it says of the worst."""
    def of(judge):
        got = pick(judge)
        a, b = (got["subject"].get("span") or [got["subject"].get("pulley"), ""])
        return {**got, "value": got["share"] * (ALLOWED if "resonance" in what else 1), "limit": ALLOWED if "resonance" in what else 1.0,
                "subject": {"rule": "swing_assumed"}, "places": {"what": what.format(a=a, b=b), "missing": missing}}
    return of


def case(wording, level, drive, fires, quiet, pick, **more):
    def got(p):
        return pick(judged(drive(p)))
    given = dict(value=lambda p: got(p)["value"], limit=lambda p: got(p)["limit"], at=lambda p: at(got(p)["state"]),
                 places=lambda p: got(p)["places"], measure=lambda p: got(p)["share"], threshold=1.0,
                 subject=got(fires)["subject"], tolerance=1e-4, near=1e-3)
    return Case(wording, level, drive, fires, quiet, **{**given, **more})


# ---- drives ------------------------------------------------------------------------------------------------------------------

def table(*angles, order=(2,), speed=(400, 9000)):
    """The engine's unevenness: amplitudes of its orders, alike at all speeds, deg."""
    return {"speed": list(speed), "order": list(order), "angle": [list(angles)] * len(speed)}


SLOW = {"engine.accel_rate": None, "engine.decel_rate": None}
# Two pulleys have one mode: the second order meets it at 4220 rpm, the fourth at 2110.
PAIR = {**SLOW, "belt": {"ribs": 6, "length": 1105.0, "tolerance": 0.1}, "pump.inertia": 0.004}
SHAKEN = on(FIXED, {**PAIR, "engine.irregularity": lambda p: table(p)})
TWICE = on(FIXED, {**PAIR, "engine.irregularity": lambda p: table(p, 0.6 * p, order=(2, 4))})
# The fourth order is small beside the second, and alone in meeting the mode below redline.
SIDE = on(FIXED, {**PAIR, "engine.redline": 3000, "engine.irregularity": lambda p: table(p, 0.12 * p, order=(2, 4))})
CLUTCHED = on(FIXED, {**PAIR, "pump.overruns": True, "engine.irregularity": lambda p: table(p)})
# A rim so wide and heavy that a shaft which has let go leaves it a resonance of its own in the range.
LOOSE_RIM = on(FIXED, {**PAIR, "pump.overruns": True, "pump.width": 200, "pump.inertia": 0.02, "pump.load": [[1, 3], [30000, 3]],
                       "engine.irregularity": lambda p: table(p, order=(4,))})
# A heavy idler that drives the belt hardest just when it slows down: with an overrunning clutch it cannot.
DRIVING = {**SLOW, "engine.idle": 5700, "belt.tolerance": 0.1, "idler.inertia": 0.001, "fan.inertia": 0.004,
           "engine.irregularity": lambda p: table(p)}
DRIVES, LETS_GO = on(LOCKED, DRIVING), on(LOCKED, {**DRIVING, "idler.overruns": True})
# Heavy enough to be met at idle.
AT_IDLE = on(FIXED, {**PAIR, "pump.inertia": 0.1, "engine.irregularity": lambda p: table(p)})


def near_idle(times):
    """Met at so many times idle: 844 rpm with 0.1 kg m2, and the frequency goes with its root."""
    return on(FIXED, {**PAIR, "pump.inertia": 0.1 * (844.05 / 800 / times) ** 2, "engine.irregularity": lambda p: table(p)})


# Its inertia is a rule of thumb.
GUESSED = on(FIXED, {**PAIR, "pump.inertia": 0, "engine.irregularity": lambda p: table(p)})
# On an arm: nearly without friction, and held by it.
ARMED = {**SLOW, "belt": {"ribs": 6, "length": 1016, "tolerance": 0.1}, "tensioner.inertia": 0.0002, "pump.inertia": 0.001,
         "tensioner.arm.inertia": 0.0015, "tensioner.arm.damping": 0.02}
ON_STOP = on(ARM, {**ARMED, "engine.irregularity": table(0.1), "tensioner.arm.travel": same, "tensioner.arm.work": [1, 13]})
LOOSE = on(ARM, {**ARMED, "engine.irregularity": table(1), "tensioner.arm.travel": same, "tensioner.arm.work": [1, 15]})
ON_REST = on(ARM, {**ARMED, "engine.irregularity": table(0.1), "belt.length": same})
RINGING = on(ARM, {**ARMED, "engine.irregularity": lambda p: table(p)})
# As cranks do, it turns more evenly the faster it is: a lighter pulley is met where less shakes it.
FALLING = on(FIXED, {**PAIR, "engine.irregularity": lambda p: {"speed": [400, 1500, 3000, 6000, 9000], "order": [2],
                                                              "angle": [[14 * p], [4 * p], [p], [p / 4], [p / 9]]}})
STIFF = on(ARM, {**ARMED, "pump.inertia": 0.004, "tensioner.arm.damping": 0.9, "engine.irregularity": lambda p: table(p)})

CASES = [
    case("SWINGS_SLACK", "fail", SHAKEN, 0.25, 0.1, loose("squares"), source="a belt cannot push", silent_on=[CLUTCHED(0.25)]),
    case("SWINGS_SLACK", "fail", TWICE, 0.2, 0.1, loose("squares")),
    case("SWINGS_SLACK", "fail", CLUTCHED, 3, 0.25, loose("squares")),
    case("SWINGS_SLACK", "fail", STIFF, 0.3, 0.05, loose("squares", "arm moment"), threshold=None),
    case("SWINGS_SLACK", "fail", FALLING, 0.8, 0.1, loose("squares")),
    # each order by itself, and both by the root of their squares, leave something
    case("MAY_SWING_SLACK", "marginal", TWICE, 0.145, 0.1, loose("added")),
    case("SLIPS_IN_SWING", "fail", SHAKEN, 0.4, 0.2, slips, threshold=None, limit_key=("grip_slip", "NONE"), default=1.0,
         source="a belt slips at 1"),
    case("SLIPS_IN_SWING", "fail", TWICE, 0.4, 0.1, slips, threshold=None),
    case("SLIPS_IN_SWING", "fail", DRIVES, 0.12, 0.05, lambda j: slips(j, "set tension"), threshold=None, silent_on=[LETS_GO(0.12)]),
    case("SLIPS_IN_SWING", "fail", STIFF, 0.2, 0.05, lambda j: slips(j, "arm moment"), threshold=None),
    # a span hangs loose, and the pulley that is not beside it slips
    case("SLIPS_IN_SWING", "fail", STIFF, 1, 0.05, lambda j: slips(j, "arm moment"), threshold=None),
    # where a span hangs loose the arm is not looked at
    case("SWINGS_ON_STOP", "fail", ON_STOP, 13.38, 14.5, lambda j: ends(j, True), source="arm.travel", silent_on=[LOOSE(16)]),
    case("SWINGS_ON_REST", "fail", ON_REST, 1034.5, 1030, lambda j: ends(j, False), source="arm.travel"),
    case("RESONANCE_AT_IDLE", "marginal", AT_IDLE, 0.2, 0.01, meets(True), limit_key=("resonance_swing", "NONE"), default=0.5),
    case("RESONANCE_AT_IDLE", "marginal", near_idle(0.86), 0.2, 0.01, meets(True), tolerance=5e-3, threshold=None),  # loads fade below idle
    case("RESONANCE_AT_IDLE", "marginal", near_idle(1.147), 0.2, 0.01, meets(True)),
    case("RESONANCE_IN_RANGE", "marginal", near_idle(1.153), 0.2, 0.01, meets(False)),
    # an arm that sticks has not the resonance of one that moves, nor the other way round
    case("RESONANCE_IN_RANGE", "marginal", RINGING, 0.12, 0.05, meets(False), subject={}, silent_on=[STIFF(0.3)]),
    case("RESONANCE_IN_RANGE", "marginal", SIDE, 0.5, 0.1, meets(False)),
    case("RESONANCE_IN_RANGE", "marginal", SHAKEN, 0.15, 0.05, meets(False), limit_key=("resonance_swing", "NONE"), default=0.5),
    case("RESONANCE_IN_RANGE", "marginal", LOOSE_RIM, 0.2, 0.03, meets(False)),
    case("ARM_HELD", "note", STIFF, 0.3, 0.05, held),
    case("SWING_ASSUMED", "note", GUESSED, 0.4, 0.05,
         guessed(loose("squares"), "The span {a} to {b} hangs loose for a part of each swing", "`pump.inertia`"), threshold=None,
         source="rule of thumb"),
]
