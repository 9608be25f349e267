"""Random drives through the program and through drive_reference: every number of `snub check --json` compared.

Usage: equilibria.py SNUB [COUNT]. SNUB is the program. The last line is `N passed, N failed`.
"""
import json
import math
import os
import subprocess
import sys
import tempfile
import warnings
from concurrent.futures import ThreadPoolExecutor

import numpy as np

import drive_reference as reference
import random_drives

GEOMETRY = 1e-9  # of the drive's size, or of a turn
TENSION = 1e-7   # of the greatest tension, moment or force
REDLINE = 6000
STATES = ((0, 0), (1500, 0), (6500, 0), (4000, 2500))  # engine rpm, rpm/s
COUNT = 100


class Worst:
    def __init__(self):
        self.worst, self.count, self.failed = {}, {}, []

    def compare(self, what, got, want, scale, tolerance, place):
        self.count[what] = self.count.get(what, 0) + 1
        if got is None:
            got = math.inf if "grip" in what else math.nan
        same = got == want or (math.isinf(want) and math.isinf(got))
        off = 0.0 if same else abs(got - want) / scale
        if not off <= tolerance:
            self.failed.append(f"{place}: {what}: got {got!r}, want {want!r}, off by {off:.3g}, tolerance {tolerance:g}")
        if off > self.worst.get(what, (-1, ""))[0] and not math.isinf(off):
            self.worst[what] = (off, place)


def turn_between(a, b):
    return math.remainder(a - b, 360)


def compare_path(worst, got, answer, place, touches):
    path, pulleys, spans = answer.path, got["pulleys"], got["spans"]
    size = float(path.length) * 1e3
    worst.compare("path length", got["belt"]["path_length_mm"], size, size, GEOMETRY, place)
    for i, (pulley, span) in enumerate(zip(pulleys, spans)):
        worst.compare("wrap", pulley["wrap_deg"], math.degrees(path.wrap[i]), 360, GEOMETRY, place)
        for k, part in enumerate((path.centre[i].real, path.centre[i].imag)):
            worst.compare("centre", pulley["centre_mm"][k], part * 1e3, size, GEOMETRY, place)
        worst.compare("span length", span["length_mm"], path.span[i] * 1e3, size, GEOMETRY, place)
    # The reference's own touch points, found another way, must make the same spans.
    for i in range(len(pulleys) if touches else 0):
        j = (i + 1) % len(pulleys)
        p1, p2 = reference.touch_points(path.centre[i], path.radius[i], path.centre[j], path.radius[j],
                                        path.direction[i])
        worst.compare("span between touch points", spans[i]["length_mm"], abs(p2 - p1) * 1e3, size, GEOMETRY, place)


def compare_pulleys(worst, got, answer, drive, place):
    force = float(np.max(np.abs(answer.tension))) + 1
    slack = bool(np.min(answer.tension) <= answer.state.flux)
    for i, pulley in enumerate(got["pulleys"]):
        def check(what, key, want, scale, tolerance=TENSION):
            worst.compare(what, pulley[key], want, scale, tolerance, f"{place} {pulley['name']}")
        check("entry tension", "entry_tension_N", answer.entry[i], force)
        check("exit tension", "exit_tension_N", answer.exit[i], force)
        speed = answer.speed[i] * 30 / math.pi
        check("rpm", "rpm", speed, max(1.0, abs(speed)), GEOMETRY)
        check("torque", "torque_N_m", answer.torque[i], force * abs(drive.radius[i]))
        check("creep", "creep_pct", answer.creep[i] * 100, 100 * force / drive.belt.stiffness)
        check("hub load", "hub_load_N", abs(answer.hub[i]), force)
        if abs(answer.hub[i]) > 1e-3 * force:
            want = math.degrees(np.angle(answer.hub[i]))
            off = turn_between(pulley["hub_load_deg"], want)
            worst.compare("hub load direction", off, 0.0, 57.3, TENSION * force / abs(answer.hub[i]), place)
        if slack:
            continue  # near a slack side grip goes over all bounds
        # ln(hi/lo) moves by dT/T'lo.
        least = min(answer.entry[i], answer.exit[i]) - answer.state.flux
        give = force / least / max(answer.path.wrap[i], 0.1) * 10
        check("grip, design", "grip_used", answer.grip["design"][i], give)
        check("grip, limit", "grip_used_limit", answer.grip["limit"][i], give)
    for i, span in enumerate(got["spans"]):
        worst.compare("span tension", span["tension_N"], answer.tension[i], force, TENSION, place)
        if slack:
            continue
        wave = math.sqrt(answer.tension[i] / drive.belt.mass)
        scale = wave / answer.path.span[i] * force / answer.tension[i]
        worst.compare("span frequency", span["frequency_Hz"], answer.frequency[i], scale, TENSION, place)


def compare_arm(worst, got, answer, drive, edges, place):
    arm = got["arm"]
    if drive.arm is None:
        worst.compare("arm state", 0.0 if arm is None or arm.get("wind_deg") is None else 1.0, 0.0, 1, 0, place)
        return
    worst.compare("arm state", 0.0 if arm["state"] == answer.where else 1.0, 0.0, 1, 0, place)
    worst.compare("wind", arm["wind_deg"], math.degrees(answer.wind), 57.3, TENSION, place)
    worst.compare("moment", arm["moment_N_m"], answer.moment, answer.moment, TENSION, place)
    travel = math.degrees(drive.arm.travel)
    worst.compare("room to rest", arm["room_to_rest_deg"], math.degrees(answer.wind), 57.3, TENSION, place)
    worst.compare("room to stop", arm["room_to_stop_deg"], travel - math.degrees(answer.wind), 57.3, TENSION, place)
    for k, edge in enumerate(edges):
        if edge is not None:
            worst.compare("friction band", arm["friction_band_deg"][k], math.degrees(edge), 57.3, TENSION, place)


def run(program, file, rpm, rate):
    command = [program, "check", file, "--rpm", str(rpm), "--json"] + (["--rate", str(rate)] if rate else [])
    return subprocess.run(command, capture_output=True, text=True, check=False)


def compare_state(worst, tally, ran, drive, solved, rpm, rate, place, torques=None):
    if ran.returncode not in (0, 1):
        worst.failed.append(f"{place}: exit {ran.returncode}: {ran.stderr.strip()[:400]}")
        return
    got = json.loads(ran.stdout)
    speed, gain = rpm * math.pi / 30, rate * math.pi / 30

    def wanted(speed, gain, side):
        key = (speed, gain, side)
        if key not in solved:
            try:
                solved[key] = reference.solve(drive, speed, gain, side, torques if speed > 0 else None)
            except reference.NoEquilibrium as reason:
                solved[key] = str(reason)
        return solved[key]
    answer = wanted(speed, gain, 0.0)
    rest = wanted(0.0, 0.0, 0.0)
    laid = got["belt"]["speed_m_s"] is not None
    # The program shows nothing where the engine at rest has no equilibrium either.
    want_laid = not isinstance(answer, str) and not isinstance(rest, str)
    worst.compare("has an equilibrium", float(laid), float(want_laid), 1, 0, f"{place} ({answer if isinstance(answer, str) else ''})")
    if not want_laid:
        tally[answer if isinstance(answer, str) else "at rest: " + rest] = tally.get(answer, 0) + 1
        fails = [f for f in got["findings"] if f["level"] == "fail"]
        # past the redline only the state says so; within it the build fails as well
        told = got["state"]["no_equilibrium"] and (rpm > REDLINE or (len(fails) > 0 and ran.returncode == 1))
        worst.compare("told as a failure", float(bool(told)), 1.0, 1, 0, place)
        return
    if not laid:
        return
    tally[answer.where] = tally.get(answer.where, 0) + 1
    if np.min(answer.tension) <= answer.state.flux:
        tally["slack somewhere"] = tally.get("slack somewhere", 0) + 1
    worst.compare("belt speed", got["belt"]["speed_m_s"], answer.state.belt_speed, 1 + answer.state.belt_speed,
                  GEOMETRY, place)
    worst.compare("centrifugal tension", got["belt"]["centrifugal_tension_N"], answer.state.flux,
                  1 + answer.state.flux, GEOMETRY, place)
    edges = []
    if drive.arm:
        edges = [wanted(speed, gain, side) for side in (-1.0, 1.0)]
        edges = [None if isinstance(e, str) else e.wind for e in edges]
        worst.compare("stable equilibria", got["arm"]["equilibria"], answer.equilibria, 1, 0, place)
        if answer.equilibria != 1:
            word = f"{answer.equilibria} equilibria and {answer.where}"
            tally[word] = tally.get(word, 0) + 1
    compare_path(worst, got, answer, place, rpm == STATES[1][0])
    compare_pulleys(worst, got, answer, drive, place)
    compare_arm(worst, got, answer, drive, edges, place)


EXAMPLES = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "examples")


def compare_examples(worst, tally, program):
    """The example files, as the program builds them: belt, settings and a blower's torque are taken from its answer
    (blowers have a reference of their own, match.py), all else must follow."""
    done = 0
    for name in sorted(os.listdir(EXAMPLES)):
        if not name.endswith(".yaml"):
            continue
        file = os.path.join(EXAMPLES, name)
        with open(file, encoding="utf-8") as text:
            drive = reference.Drive(text.read())
        for rpm in (0, 1000, 5000):
            ran = run(program, file, rpm, 0)
            if ran.returncode not in (0, 1):
                worst.failed.append(f"{name}: exit {ran.returncode}: {ran.stderr.strip()[:400]}")
                continue
            got = json.loads(ran.stdout)
            if got["belt"]["speed_m_s"] is None:
                continue
            drive.belt.effective = got["build"]["belt_length_mm"] * 1e-3
            for i, pulley in enumerate(drive.pulleys):
                if pulley.slot and i != drive.lock_index:
                    drive.settings[i] = got["build"]["slots_mm"][pulley.name] * 1e-3
            torques = {p["name"]: p["torque_N_m"] for p, own in zip(got["pulleys"], drive.pulleys) if own.has_blower}
            compare_state(worst, tally, ran, drive, {}, rpm, 0, f"{name} at {rpm} rpm", torques)
            done += 1
    if done < 6:
        worst.failed.append(f"only {done} states of the examples could be compared")


# States that chance found: what a part of the solver is for. File, engine rpm, rpm/s.
FOUND = (("led-back.yaml", 6685, 0),)


def compare_found(worst, tally, program):
    for name, rpm, rate in FOUND:
        file = os.path.join(os.path.dirname(os.path.abspath(__file__)), "drives", name)
        with open(file, encoding="utf-8") as text:
            drive = reference.Drive(text.read())
        compare_state(worst, tally, run(program, file, rpm, rate), drive, {}, rpm, rate, f"{name} at {rpm} rpm")


def main():
    program, count = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else COUNT
    warnings.simplefilter("error")
    worst, tally, bad = Worst(), {}, 0
    drives = list(random_drives.all_drives(count))
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        answers = []
        for i, made in enumerate(drives):
            file = os.path.join(folder, f"drive-{i}.yaml")
            with open(file, "w", encoding="utf-8") as out:
                out.write(made[0])
            answers.append([pool.submit(run, program, file, rpm, rate) for rpm, rate in STATES])
        for i, (text, kind, holds, wrong) in enumerate(drives):
            drive = reference.Drive(text)
            before, solved = len(worst.failed), {}
            for (rpm, rate), ran in zip(STATES, answers[i]):
                place = f"drive {i} ({kind}, {holds}{', ' + wrong if wrong else ''}) at {rpm} rpm"
                compare_state(worst, tally, ran.result(), drive, solved, rpm, rate, place)
            if len(worst.failed) > before:
                bad += 1
                keep = os.environ.get("SNUB_KEEP_FAILING")
                if keep:
                    os.makedirs(keep, exist_ok=True)
                    with open(os.path.join(keep, f"drive-{i}.yaml"), "w", encoding="utf-8") as out:
                        out.write(text)
    before = len(worst.failed)
    compare_examples(worst, tally, program)
    compare_found(worst, tally, program)
    bad += len(worst.failed) > before
    print(f"{count} drives at {len(STATES)} states, and the examples")
    print("states met: " + ", ".join(f"{k}: {v}" for k, v in sorted(tally.items())))
    print("worst deviation, relative:")
    for what, (off, place) in sorted(worst.worst.items()):
        print(f"  {what:28s} {off:9.2e}  of {worst.count[what]:6d}   {place}")
    for line in worst.failed[:40]:
        print("FAILED " + line)
    print(f"{count + 1 - bad} passed, {bad} failed")
    return bad > 0


if __name__ == "__main__":
    sys.exit(main())
