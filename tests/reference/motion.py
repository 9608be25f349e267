"""Random drives through `snub motion --json` and by other means: the balance of drive_reference, stiffness as second
differences of the potential energy over the exact path, frequencies by SciPy's generalised eigenproblem.

Energy of a displacement: every free span EA/(2 L) (stretch + T' L/EA)^2, the arm's spring, less the work of the torques
that hold the balance. A span stretches by its change of length and by what its ends wind on to the pulleys as it turns.

Spans: finite elements (cubic, of string or beam on hinges) with the skew matrix of the running belt.

Arm and spans together: polynomials for the two spans with the skew matrix of the running belt, all modes at once.

Response: strains, pulleys and arm in one system of complex equations, the arm's friction as a dashpot that is sought by
bisection until it takes what dry friction takes.

Usage: motion.py SNUB [COUNT]. The last line is `N passed, N failed`.
"""
import functools
import json
import math
import os
import random
import subprocess
import sys
import tempfile

import numpy as np
import yaml
from scipy.linalg import eigh
from scipy.optimize import brentq

import drive_reference as reference
import random_drives

COUNT, STEP = 30, 1e-4    # rad
POLYNOMIALS = 30          # of a span whose end moves
ELEMENTS = 48             # of a span
FREQUENCY = 2e-6          # relative to a frequency, or of the greatest where differences leave no more
REDLINE = 6000


def with_inertias(text, rng):
    """The drive with an inertia for all that moves."""
    entry = yaml.safe_load(text)
    own = random.Random(len(text))  # so that the inertias stay those without it
    if own.random() < 0.7:
        entry["belt"]["bending_stiffness"] = 10 ** own.uniform(-4, -1.3)
    for pulley in entry["pulleys"]:
        if pulley.get("role") != "crank":
            pulley["inertia"] = 10 ** rng.uniform(-4, -2.3)
        if "arm" in pulley:
            pulley["arm"]["inertia"] = 10 ** rng.uniform(-3.3, -2.5)
    entry.setdefault("engine", {"idle": 500, "redline": 9000})["inertia"] = rng.uniform(0.05, 0.4)
    entry["engine"]["irregularity"] = {"speed": [500, 9000], "order": [1.5, 4], "angle": [[2, 0.8], [0.1, 0.02]]}
    return yaml.safe_dump(entry, sort_keys=False)


def span_frequencies(tension, mass, bending, speed, length):
    """First two of a moving span, Hz."""
    h, size = length / ELEMENTS, 2 * ELEMENTS + 2
    x, weight = np.polynomial.legendre.leggauss(6)
    s, weight = (x + 1) / 2, weight / 2
    shape = np.array([1 - 3 * s**2 + 2 * s**3, h * (s - 2 * s**2 + s**3), 3 * s**2 - 2 * s**3, h * (s**3 - s**2)])
    slope = np.array([-6 * s + 6 * s**2, h * (1 - 4 * s + 3 * s**2), 6 * s - 6 * s**2, h * (3 * s**2 - 2 * s)]) / h
    bend = np.array([-6 + 12 * s, h * (-4 + 6 * s), 6 - 12 * s, h * (6 * s - 2)]) / h**2
    over = lambda a, b: h * (a * weight) @ b.T
    inertia, turn, spring = np.zeros((3, size, size))
    for k in range(ELEMENTS):
        at = np.ix_(range(2 * k, 2 * k + 4), range(2 * k, 2 * k + 4))
        inertia[at] += mass * over(shape, shape)
        turn[at] += 2 * mass * speed * over(shape, slope)
        spring[at] += (tension - mass * speed**2) * over(slope, slope) + bending * over(bend, bend)
    keep = [i for i in range(size) if i not in (0, size - 2)]
    inertia, turn, spring = (m[np.ix_(keep, keep)] for m in (inertia, turn, spring))
    none = np.zeros_like(inertia)
    # Scaled so that both halves of the state are of one size.
    w0 = math.pi / length * math.sqrt(tension / mass)
    fall = np.linalg.solve(inertia, np.hstack([spring / w0**2, turn / w0]))
    state = np.vstack([np.hstack([none, np.eye(len(keep))]), -fall])
    found = np.sort(np.linalg.eigvals(state).imag) * w0 / (2 * math.pi)
    return found[found > 0][:2]


@functools.cache
def string_shapes():
    """Weights of the points of a sum over a span, shapes there and their slopes, of a span of length 2."""
    legendre = np.polynomial.legendre
    x, weight = legendre.leggauss(POLYNOMIALS + 4)
    rise = [np.full_like(x, 0.5)] + [legendre.legval(x, np.eye(POLYNOMIALS + 1)[j]) for j in range(1, POLYNOMIALS)]
    shape = [(1 + x) / 2] + [legendre.legval(x, legendre.legint(np.eye(POLYNOMIALS + 1)[j], lbnd=-1))
                             for j in range(1, POLYNOMIALS)]
    return weight, np.array(shape), np.array(rise)


def moved_string(tension, mass, speed, length):
    """Inertia, skew and stiffness matrices of a span whose end 1 moves across; the first shape is that end's."""
    weight, shape, rise = string_shapes()
    rise = rise * 2 / length
    over = lambda a, b: length / 2 * (a * weight) @ b.T
    turn = over(shape, rise)
    return (mass * over(shape, shape), mass * speed * (turn - turn.T),
            (tension - mass * speed**2) * over(rise, rise))


class Energy:
    def __init__(self, drive, answer):
        self.drive, self.answer = drive, answer
        self.moves = drive.arm is not None and answer.where == "working"
        self.tractive = answer.tension - answer.state.flux
        self.path0 = answer.path
        self.spring = drive.belt.stiffness / self.path0.span
        self.count = drive.n + self.moves

    def stretch(self, q):
        drive, n = self.drive, self.drive.n
        path = self.path0
        if self.moves and q[n] != 0:
            path = reference.Path(drive.centres(self.answer.wind + q[n])[0], drive.radius, drive.sense)
        turned = np.angle(path.u / self.path0.u)  # counter-clockwise, of each span
        ahead = np.roll(drive.radius, -1)
        # Clockwise pulleys take belt up where the span before them turns counter-clockwise.
        wound = (ahead - drive.radius) * turned
        size = np.abs(drive.radius)
        return path.span - self.path0.span + wound - size * q[:n] + np.roll(size * q[:n], -1)

    def __call__(self, q):
        drive, n = self.drive, self.drive.n
        energy = np.sum(0.5 * self.spring * (self.stretch(q) + self.tractive / self.spring) ** 2)
        # The torque that each pulley takes out of the belt does work against its turning.
        energy += np.dot(self.answer.torque, q[:n])
        if self.moves:
            wind = self.answer.wind + q[n]
            energy += drive.arm.preload * wind + 0.5 * drive.arm.rate * wind ** 2
        return energy

    def gradient(self):
        return np.array([(self(STEP * e) - self(-STEP * e)) / (2 * STEP) for e in np.eye(self.count)])

    def stiffness(self):
        e, h = np.eye(self.count), STEP
        out = np.empty((self.count, self.count))
        for a in range(self.count):
            for b in range(a + 1):
                out[a, b] = out[b, a] = (self(h * (e[a] + e[b])) - self(h * (e[a] - e[b])) - self(h * (e[b] - e[a]))
                                         + self(-h * (e[a] + e[b]))) / (4 * h * h)
        return out


class Swing:
    """Unknowns: angle of every pulley, the arm's wind, strain of every span."""

    def __init__(self, energy, mass):
        self.e, self.mass, self.drive, self.answer = energy, mass, energy.drive, energy.answer
        count, n = energy.count, energy.drive.n
        self.gradient = np.array([(energy.stretch(STEP * q) - energy.stretch(-STEP * q)) / (2 * STEP)
                                  for q in np.eye(count)]).T
        self.arm = 0.0
        if energy.moves:
            q = np.eye(count)[n] * STEP
            second = (energy.stretch(q) - 2 * energy.stretch(0 * q) + energy.stretch(-q)) / STEP ** 2
            self.arm = energy.drive.arm.rate + np.dot(energy.tractive, second)

    def solve(self, w, crank_angle, dashpot=0.0, held=False):
        """Amplitudes of what moves, and of tension."""
        count, n, crank = self.e.count, self.drive.n, self.drive.crank
        matrix, right = np.zeros((count + n, count + n), complex), np.zeros(count + n, complex)
        ea, v, path = self.drive.belt.stiffness, self.answer.state.belt_speed, self.answer.path
        for a in range(count):  # inertia, and pull of the spans against a stretch
            matrix[a, a] = -w * w * self.mass[a]
            matrix[a, count:] = ea * self.gradient[:, a]
        if self.e.moves:
            matrix[n, n] += self.arm + 1j * w * dashpot
        for i in range(n):  # what runs in less what runs out
            row = count + i
            matrix[row, row] += 1j * w * path.span[i] + v
            matrix[row, count + (i - 1) % n] -= v * np.exp(-1j * w * path.arc[i] / v)
            matrix[row, :count] -= 1j * w * self.gradient[i]
        for fixed, value in [(crank, crank_angle)] + ([(n, 0.0)] if held else []):
            matrix[fixed], right[fixed] = 0.0, value
            matrix[fixed, fixed] = 1.0
        found = np.linalg.solve(matrix, right)
        return np.abs(found[:count]), ea * np.abs(found[count:]), found

    def rub(self, w, crank_angle, friction):
        """With the arm's friction: (sticks, angles, tensions, all of it in complex numbers)."""
        n = self.drive.n
        if not self.e.moves or friction == 0:
            return (False,) + self.solve(w, crank_angle)

        def excess(log_dashpot):
            c = math.exp(log_dashpot)
            return math.log(w * c * self.solve(w, crank_angle, c)[0][n] / (4 * friction / math.pi))
        if excess(25) < 0:  # even a dashpot that hardly lets it move takes less
            return (True,) + self.solve(w, crank_angle, held=True)
        c = math.exp(brentq(excess, -25, 25, xtol=1e-13))
        return (False,) + self.solve(w, crank_angle, c)


def compare_response(run, got, swing, names, rpm, place):
    drive, n = swing.drive, swing.drive.n
    friction = drive.arm.damping * swing.answer.moment if swing.e.moves else 0.0
    for o in got["orders"]:
        angle = np.interp(rpm, [500, 9000], {1.5: [2, 0.1], 4: [0.8, 0.02]}[o["order"]]) * math.pi / 180
        w = o["order"] * rpm * math.pi / 30
        sticks, angles, tensions, _ = swing.rub(w, angle, friction)
        if swing.e.moves:
            near_edge = o["arm_sticks"] != sticks and max(o["arm_deg"], math.degrees(angles[n])) < 1e-6
            run.near("sticks", float(o["arm_sticks"]), float(sticks), 1, float(near_edge), place)
            run.near("arm swings", o["arm_deg"], math.degrees(angles[n]), 1e-3 + math.degrees(angles[n]), 2e-5, place)
            run.stuck += sticks
        for i in range(n):
            speed = angles[i] * w * 30 / math.pi
            run.near("pulley swings", o["speed_rpm"][names[i]], speed, 1 + speed, 2e-5, place)
            span = f"{names[i]} - {names[(i + 1) % n]}"
            run.near("span swings", o["tension_N"][span], tensions[i], np.max(tensions), 2e-5, place)
            loose = tensions[i] / swing.e.tractive[i] - 1
            if abs(loose) > 1e-4:
                run.near("slack", float(span in o["slack"]), float(loose > 0 or swing.e.tractive[i] < 0), 1, 0, place)
        run.swings += 1


class Run:
    def __init__(self):
        self.swings = self.stuck = self.bent = self.coupled = 0
        self.compared, self.modes, self.worst, self.failed, self.passed = 0, 0, {}, [], 0

    def near(self, what, got, want, scale, tolerance, place):
        off = abs(got - want) / scale
        self.worst[what] = max(self.worst.get(what, (-1, "")), (off, place))
        if not off <= tolerance:
            self.failed.append(f"{place}: {what}: got {got!r}, want {want!r}, off by {off:.2g}")


def ask(program, text, rpm):
    with tempfile.TemporaryDirectory() as folder:
        file = os.path.join(folder, "drive.yaml")
        with open(file, "w", encoding="utf-8") as out:
            out.write(text)
        ran = subprocess.run([program, "motion", file, "--rpm", str(rpm), "--coupled", "--json"], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise RuntimeError(ran.stderr[:400])
    return json.loads(ran.stdout)


def compare_modes(run, got, energy, mass, held, names, place):
    n = energy.drive.n
    keep = [i for i in range(energy.count) if not (held and i == energy.drive.crank)]
    stiffness = energy.stiffness()[np.ix_(keep, keep)]
    square, shape = eigh(stiffness, np.diag(mass[keep]))
    modes = [m for m in got["modes"] if m["crank"] == ("held" if held else "free")]
    want = square if held else square[1:]
    if not held:
        run.near("the whole drive turns", square[0], 0.0, square[-1], 1e-8, place)
    if len(modes) != len(want):
        run.failed.append(f"{place}: {len(modes)} modes, want {len(want)}")
        return
    for i, mode in enumerate(modes):
        f = math.sqrt(want[i]) / (2 * math.pi)
        run.near("frequency", mode["frequency_Hz"], f, f + 1e-3 * math.sqrt(want[-1]), FREQUENCY, place)
        x = shape[:, i + (not held)]
        share = mass[keep] * x * x
        share /= share.sum()
        # Two modes that lie close mix with the least rounding.
        others = np.delete(want, i)
        apart = np.min(np.abs(others - want[i])) / want[i] if len(others) else 1
        for k, part in zip(keep, share):
            run.near("energy", mode["energy_share"][names[k]], part, 1, 1e-5 / min(apart, 1), place)
        run.modes += 1


def compare_coupled(run, got, energy, mass, held, place):
    """The frequencies of arm and spans together."""
    drive, answer, n = energy.drive, energy.answer, energy.drive.n
    keep = [i for i in range(energy.count) if not (held and i == drive.crank)]
    arm, at = keep.index(n), drive.arm_index
    speed, stiffness = answer.state.belt_speed, energy.stiffness()[np.ix_(keep, keep)]
    moved = (drive.centres(answer.wind + STEP)[0][at] - drive.centres(answer.wind - STEP)[0][at]) / (2 * STEP)
    size = len(keep) + 2 * (POLYNOMIALS - 1)
    m, g, k = np.zeros((3, size, size))
    m[:len(keep), :len(keep)], k[:len(keep), :len(keep)] = np.diag(mass[keep]), stiffness
    for side, span in enumerate(((at - 1) % n, at)):
        across = (np.conj(energy.path0.u[span]) * moved).imag
        tension, length = answer.tension[span], energy.path0.span[span]
        # Mirrored for the span whose start moves: the belt then runs the other way.
        parts = moved_string(tension, drive.belt.mass, speed if side == 0 else -speed, length)
        first = len(keep) + side * (POLYNOMIALS - 1)
        rows = [arm] + list(range(first, first + POLYNOMIALS - 1))
        scale = np.array([across] + [1.0] * (POLYNOMIALS - 1))
        for whole, part in zip((m, g, k), parts):
            whole[np.ix_(rows, rows)] += part * np.outer(scale, scale)
        k[arm, arm] -= (tension - drive.belt.mass * speed**2) * across**2 / length
    none, w0 = np.zeros((size, size)), 2 * math.pi * 100
    fall = np.linalg.solve(m, np.hstack([k / w0**2, g / w0]))
    found = np.sort(np.linalg.eigvals(np.vstack([np.hstack([none, np.eye(size)]), -fall])).imag) * w0 / (2 * math.pi)
    found = found[found > 1e-3]
    modes = [mode for mode in got["coupled"]["modes"] if mode["crank"] == ("held" if held else "free")]
    run.near("coupled: how many", len(modes), 12, 1, 0, place)
    for mode, want in zip(modes[:8], found):
        run.near("coupled", mode["frequency_Hz"], want, want, 1e-5, place)
        run.near("coupled: energy", sum(mode["energy_share"].values()), 1, 1, 1e-9, place)
        run.coupled += 1


def compare(run, program, text, rpm, place):
    drive = reference.Drive(text)
    got = ask(program, text, rpm)
    try:
        answer = reference.solve(drive, rpm * math.pi / 30)
        reference.solve(drive, 0.0)
        answer = reference.solve(drive, rpm * math.pi / 30)
    except reference.NoEquilibrium:
        return
    if got["modes_at_rpm"] is None:
        return  # not laid with the engine stopped
    entry = yaml.safe_load(text)
    energy = Energy(drive, answer)
    mass = np.array([p.inertia for p in drive.pulleys] + ([0.0] if energy.moves else []))
    mass[drive.crank] = entry["engine"]["inertia"]
    names = [p.name for p in drive.pulleys]
    if energy.moves:
        arm = entry["pulleys"][drive.arm_index]
        mass[drive.n], names = arm["arm"]["inertia"], names + [arm["name"] + ".arm"]
    # The balance of the statics is where this energy is stationary.
    force = float(np.max(np.abs(answer.tension))) * 0.1
    for part in energy.gradient():
        run.near("stationary", part, 0.0, force, 2e-6, place)
    run.near("arm moves", float(got["arm_moves"]), float(energy.moves), 1, 0, place)
    if got["modes_missing"]:
        lowest = eigh(energy.stiffness(), np.diag(mass), eigvals_only=True)[0]
        run.near("no modes: unstable", float(lowest < 0), 1.0, 1, 0, place)
        return
    for held in (True, False):
        compare_modes(run, got, energy, mass, held, names, place)
        if energy.moves and min(energy.tractive[[drive.arm_index - 1, drive.arm_index]]) > 0.05 * answer.state.flux:
            compare_coupled(run, got, energy, mass, held, place)
    for i, span in enumerate(got["spans"]):
        row = span["frequencies_Hz"][0]
        if answer.tension[i] > 1.01 * answer.state.flux:
            bending = entry["belt"].get("bending_stiffness", 0) * entry["belt"]["ribs"]
            first, second, elements = answer.frequency[i], 2 * answer.frequency[i], 0
            if bending > 0:
                first, second = span_frequencies(answer.tension[i], drive.belt.mass, bending,
                                                 answer.state.belt_speed, answer.path.span[i])
                elements = 2e-5  # near the wave's speed
            run.near("span, first", row[1], first, first, 1e-6 + elements / 10, place)
            run.near("span, second", row[2], second, second, 1e-6 + elements, place)
            run.bent += bending > 0
        wave = math.sqrt(max(answer.tension[i], 0) / drive.belt.mass)
        if wave > 0:
            run.near("belt over wave", span["belt_over_wave_speed"][0][1], answer.state.belt_speed / wave,
                     1 + answer.state.belt_speed / wave, 1e-6, place)
    compare_response(run, got, Swing(energy, mass), names, rpm, place)
    run.compared += 1


def main():
    program, count = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else COUNT
    run, bad, rng = Run(), 0, random.Random(57)
    arms = 0
    for i, (text, kind, holds, wrong) in enumerate(random_drives.all_drives(count)):
        before, text = len(run.failed), with_inertias(text, rng)
        for rpm in (1500, 6000):
            compare(run, program, text, rpm, f"drive {i} ({kind}, {holds}, {wrong}) at {rpm} rpm")
        bad += len(run.failed) > before
        arms += holds == "arm"
    if run.compared < count:
        run.failed.append(f"only {run.compared} states compared")
        bad += 1
    print(f"{run.compared} states of {count} drives ({arms} with an arm), {run.modes} modes, {run.swings} swings, "
          f"{run.stuck} with the arm stuck, {run.bent} spans that do not bend freely, {run.coupled} modes with the arm's spans")
    if not 0 < run.stuck < run.swings:
        run.failed.append("no arm that sticks, or none that does not")
        bad += 1
    for what, (off, place) in sorted(run.worst.items()):
        print(f"  {what:24s} {off:9.2e}   {place}")
    for line in run.failed[:30]:
        print("FAILED " + line)
    print(f"{count + 1 - bad} passed, {bad} failed")
    return bad > 0


if __name__ == "__main__":
    sys.exit(main())
