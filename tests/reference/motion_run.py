"""`snub motion --run hold` against SciPy and against the answer by harmonics.

SciPy: the same drive put down apart from the program: how much belt is in every span, how far it has run over every
pulley, speeds, arm; belt that leaves a pulley has the strain with which it ran on to it, read off a spline of what was.
Radau, in pieces shorter than the shortest arc takes, friction of the arm smoothed within a thousandth of its greatest
speed. Harmonics: amplitudes of the last cycles against `snub motion`, over friction and speed.

Usage: motion_run.py SNUB. The last line is `N passed, N failed`.
"""
import csv
import io
import json
import math
import os
import random
import subprocess
import sys
import tempfile

import numpy as np
import yaml
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline

import drive_reference as reference
import motion
import random_drives

FADES_IN = 0.2
# share of the arm's friction, tolerance: of the greatest swing. The stretch of the belt stiffens its spans by half a
# percent; one harmonic stands for the friction, and is off by most where the arm all but sticks.
HARMONIC = ((0.0, 0.02), (0.15, 0.03), (0.4, 0.1), (1.0, 0.25))
failed, passed, worst = [], 0, {}


def near(what, got, want, scale, tolerance, place):
    global passed
    off = float(np.max(np.abs(np.asarray(got) - np.asarray(want)))) / scale
    worst[what] = max(worst.get(what, (0, "")), (off, place))
    if off <= tolerance:
        passed += 1
    else:
        failed.append(f"{place}: {what}: off by {off:.3g} of {scale:.4g}, tolerance {tolerance:g}")


def run(program, text, rpm, seconds, scenario="hold", more=()):
    """(answer, rows over time by title)"""
    with tempfile.TemporaryDirectory() as folder:
        file, rows = os.path.join(folder, "drive.yaml"), os.path.join(folder, "run.csv")
        with open(file, "w", encoding="utf-8") as out:
            out.write(text)
        ran = subprocess.run([program, "motion", file, "--run", scenario, "--rpm", str(rpm), "--seconds", str(seconds), *more,
                              "--json", "--csv", rows], capture_output=True, text=True)
        if ran.returncode not in (0, 1):
            raise RuntimeError(ran.stderr[:400])
        with open(rows, encoding="utf-8") as read:
            table = list(csv.reader(io.StringIO(read.read())))
    columns = {title.rsplit(" [", 1)[0]: np.array([float(row[i] or "nan") for row in table[1:]])
               for i, title in enumerate(table[0])}
    return json.loads(ran.stdout), columns


class Apart:
    """Equations of the drive in time."""

    def __init__(self, drive, answer, inertia, arm_inertia, order, angle, friction):
        self.drive, self.n, self.crank = drive, drive.n, drive.crank
        self.ea, self.mass = drive.belt.stiffness, drive.belt.mass
        self.radius = drive.radius * drive.sense if hasattr(drive, "sense") else drive.radius
        self.inertia, self.arm_inertia, self.order, self.angle = inertia, arm_inertia, order, angle
        self.friction, self.wind0 = friction, answer.wind
        self.omega = answer.speed
        winds = answer.wind + np.linspace(-0.08, 0.08, 33)
        paths = [reference.Path(drive.centres(w)[0], drive.radius, drive.sense) for w in winds]
        self.radius = drive.radius
        span = np.array([p.span for p in paths])
        turn = np.unwrap(np.array([np.angle(p.u / answer.path.u) for p in paths]), axis=0)
        self.span, self.turn = CubicSpline(winds, span), CubicSpline(winds, turn)
        self.arc = np.abs(self.radius) * answer.path.wrap
        self.flux = self.mass * (abs(self.radius[self.crank]) * self.omega) ** 2
        strain = answer.tension / self.ea
        content = answer.path.span / (1 + strain)
        flow = self.omega * abs(self.radius[self.crank]) / (1 + np.roll(strain, 1)[self.crank])
        speed = flow * (1 + np.roll(strain, 1)) / np.abs(self.radius)
        self.start = np.concatenate([content, np.zeros(self.n), speed, [answer.wind, 0.0]])
        way = np.array([-1.0, 0.0])[:, None] * self.arc * 1.2
        self.way, self.came = way, np.repeat(np.roll(strain, 1)[None], 2, axis=0)
        self.fastest = 1e-3 * self.order * self.omega * 0.01
        self.refit()

    def refit(self):
        keep = -4000
        self.way, self.came = self.way[keep:], self.came[keep:]
        self.spline = [CubicSpline(self.way[:, i], self.came[:, i]) if len(self.way) > 3
                       else (lambda x, i=i: np.interp(x, self.way[:, i], self.came[:, i])) for i in range(self.n)]

    def crank_speed(self, t):
        fade = 0.5 * (1 - math.cos(math.pi * t / FADES_IN)) if t < FADES_IN else 1.0
        return self.omega * (1 - fade * self.angle * self.order * math.sin(self.order * self.omega * t))

    def look(self, y):
        n, wind = self.n, y[3 * self.n]
        span, turn = self.span(wind), self.turn(wind)
        strain = span / y[:n] - 1
        return span, turn, strain, np.maximum(self.ea * strain - self.flux, 0.0)

    def rates(self, t, y):
        n, wind, swing = self.n, y[3 * self.n], y[3 * self.n + 1]
        span, turn, strain, pull = self.look(y)
        turn1 = self.turn(wind, 1)
        speed = y[2 * n:3 * n].copy()
        speed[self.crank] = self.crank_speed(t)
        belt = np.abs(self.radius) * speed
        off = np.array([self.spline[i](y[n + i] + self.radius[i] * turn[i] - self.arc[i]) for i in range(n)])
        ahead = np.roll(self.radius, -1)
        out = np.zeros_like(y)
        out[:n] = ((belt + self.radius * turn1 * swing) / (1 + off)
                   - (np.roll(belt, -1) + ahead * turn1 * swing) / (1 + strain))
        out[n:2 * n] = belt
        torque = np.array([p.torque(w) for p, w in zip(self.drive.pulleys, speed)])
        out[2 * n:3 * n] = (np.abs(self.radius) * (pull - np.roll(pull, 1)) - torque) / self.inertia
        out[2 * n + self.crank] = 0.0
        if self.arm_inertia is not None:
            arm = self.drive.arm
            lever = self.span(wind, 1) + (ahead - self.radius) * turn1
            spring = arm.preload + arm.rate * wind
            rub = self.friction * spring * np.clip(swing / self.fastest, -1, 1)
            out[3 * n], out[3 * n + 1] = swing, (-spring - rub - np.dot(pull, lever)) / self.arm_inertia
        return out

    def go(self, seconds, samples):
        n, t, y = self.n, 0.0, self.start
        piece = 0.6 * np.min(self.arc) / (np.abs(self.radius[self.crank]) * self.omega)
        at, tensions, winds = 0, [], []
        while at < len(samples):
            end = t + piece
            found = solve_ivp(self.rates, (t, end), y, method="Radau", rtol=1e-6, atol=1e-8, dense_output=True)
            for when in np.linspace(t, end, 9)[(0 if t == 0 else 1):]:
                state = found.sol(when)
                _, turn, strain, _ = self.look(state)
                self.way = np.vstack([self.way, state[n:2 * n] + self.radius * np.roll(turn, 1)])
                self.came = np.vstack([self.came, np.roll(strain, 1)])
            if t == 0:  # the line before the start and its first point are one
                self.way, self.came = np.delete(self.way, 1, axis=0), np.delete(self.came, 1, axis=0)
            while at < len(samples) and samples[at] <= end:
                state = found.sol(samples[at])
                _, _, _, pull = self.look(state)
                tensions.append(pull + self.flux)
                winds.append(state[3 * n])
                at += 1
            t, y = end, found.y[:, -1]
            self.refit()
        return np.array(tensions), np.array(winds)


def drives(count):
    rng, done = random.Random(11), 0
    for i, (text, kind, holds, wrong) in enumerate(random_drives.all_drives(60)):
        if holds != "arm" or wrong or done == count:
            continue
        entry = yaml.safe_load(motion.with_inertias(text, rng))
        for pulley in entry["pulleys"]:
            pulley["inertia"] = max(pulley.get("inertia", 0), 1.5e-3) if pulley.get("role") != "crank" else 0
        entry["engine"]["growth"] = 0
        entry["belt"]["friction"] = {"design": {"rib": 0.4, "back": 0.3}, "limit": {"rib": 2, "back": 2}}  # nothing slips
        arm = next(p["arm"] for p in entry["pulleys"] if "arm" in p)
        if arm.get("damping", 0) < 0.02:
            continue
        drive = reference.Drive(yaml.safe_dump(entry))
        try:
            answer = reference.solve(drive, 2400 * math.pi / 30)
        except reference.NoEquilibrium:
            continue
        if answer.where != "working":
            continue
        done += 1
        yield f"drive {i} ({kind})", entry, arm


def by_scipy(program, place, entry, arm, share, tolerance):
    full = arm["damping"]
    arm["damping"] = full * share
    entry["engine"]["irregularity"] = {"speed": [500], "order": [2], "angle": [[0.6]]}
    text, rpm, seconds = yaml.safe_dump(entry, sort_keys=False), 2400, 0.12
    _, rows = run(program, text, rpm, seconds)
    drive = reference.Drive(text)
    answer = reference.solve(drive, rpm * math.pi / 30)
    answer.speed = rpm * math.pi / 30
    inertia = np.array([p.inertia if p.inertia else 1.0 for p in drive.pulleys])
    apart = Apart(drive, answer, inertia, arm["inertia"], 2, math.radians(0.6), full * share)
    tensions, winds = apart.go(seconds, rows["time"])
    names = [p.name for p in drive.pulleys]
    swing = np.max(np.ptp(tensions[len(tensions) // 2:], axis=0)) / 2
    for i in range(drive.n):
        got = rows[f"tension of {names[i]} - {names[(i + 1) % drive.n]}"]
        near(f"span in time, {share} of friction", got, tensions[:, i], swing, tolerance, place)
    near(f"arm in time, {share} of friction", rows["arm"], np.degrees(winds),
         np.degrees(np.ptp(winds)) / 2 + 1e-3, tolerance, place)
    arm["damping"] = full


def amplitude(times, values, w):
    cycles = 2 * math.pi / w
    last = times > times[-1] - 8 * cycles
    basis = np.column_stack([np.cos(w * times[last]), np.sin(w * times[last]), np.ones(last.sum())])
    found = np.linalg.lstsq(basis, values[last], rcond=None)[0]
    return math.hypot(found[0], found[1])


def by_harmonics(program, place, entry, arm, rpm, share, tolerance, free):
    """`free`: the arm's amplitude without friction, kept from the first share"""
    full = arm["damping"]
    arm["damping"] = full * share
    entry["engine"]["irregularity"] = {"speed": [500], "order": [2], "angle": [[0.25]]}
    text, w = yaml.safe_dump(entry, sort_keys=False), 2 * rpm * math.pi / 30
    want = motion.ask(program, text, rpm)["orders"][0]
    answer, rows = run(program, text, rpm, 0.8)
    arm["damping"] = full
    free.append(want["arm_deg"])
    if any(e["what"] in ("slack", "slips") for e in answer["events"]):
        return None  # no harmonic answer knows of that
    most = max(want["tension_N"].values())
    for span, size in want["tension_N"].items():
        near(f"span, {share} of friction", amplitude(rows["time"], rows[f"tension of {span}"], w), size, most,
             tolerance, f"{place}, {rpm} rpm")
    near(f"arm, {share} of friction", amplitude(rows["time"], rows["arm"], w), want["arm_deg"],
         free[0], tolerance, f"{place}, {rpm} rpm")
    if want["arm_sticks"]:
        near("sticks", answer["arm"]["sticks_share"], 1.0, 1.0, 0.3, place)
    return want["arm_sticks"]


def main():
    program, stuck, all_ = os.path.abspath(sys.argv[1]), 0, 0
    for k, (place, entry, arm) in enumerate(drives(3)):
        if k < 2:
            by_scipy(program, place, entry, arm, 0.0, 1e-3)
            by_scipy(program, place, entry, arm, 0.5, 6e-3)
        for pulley in entry["pulleys"]:  # the answer by harmonics knows no slopes of loads
            if "load" in pulley:
                pulley["load"] = [[1, 4], [30000, 4]]
        for rpm in (1500, 3200):
            free = []
            for share, tolerance in HARMONIC:
                found = by_harmonics(program, place, entry, arm, rpm, share, tolerance, free)
                all_ += found is not None
                stuck += bool(found)
    if passed + len(failed) < 150 or all_ < 12:
        failed.append("too few drives")
    print(f"{all_} states by harmonics, {stuck} with the arm stuck")
    for what, (off, place) in sorted(worst.items()):
        print(f"  {what:36s} {off:9.2e}   {place}")
    for line in failed[:30]:
        print("FAILED " + line)
    print(f"{passed} passed, {len(failed)} failed")
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
