"""Random drives through `snub motion --json` and step by step in time: belt that runs round with its strain, arm with dry
friction (its sign smoothed within a hundredth of its greatest speed). One
harmonic stands for the friction in the program, so they agree to a few percent where
the arm slips, and better where it hardly rubs.

Usage: motion_in_time.py SNUB. The last line is `N passed, N failed`.
"""
import math
import os
import random
import sys

import numpy as np
import yaml

import drive_reference as reference
import motion
import random_drives

CYCLES, SAMPLED = 14, 4
# share of the file's friction, tolerance: of the greatest tension swing, and of the arm's swing
FRICTIONS = ((0.0, 4e-3), (0.15, 5e-3), (0.4, 0.012), (1.0, 0.04))
failed, passed, worst = [], 0, {}


def near(what, got, want, scale, tolerance):
    global passed
    worst[tolerance] = max(worst.get(tolerance, 0), abs(got - want) / scale)
    if abs(got - want) <= tolerance * scale:
        passed += 1
    else:
        failed.append(f"{what}: got {got:.6g}, want {want:.6g}, off by {abs(got - want) / scale:.3g}")


def in_time(swing, w, crank_angle, friction):
    """First harmonics of arm and tensions after some cycles, from a start that is near to them."""
    e, n, crank = swing.e, swing.drive.n, swing.drive.crank
    v, ea, path = swing.answer.state.belt_speed, swing.drive.belt.stiffness, swing.answer.path
    found = swing.solve(w, crank_angle)[2]
    fastest = max(w * abs(found[n]), 1e-9)
    free = [i for i in range(e.count) if i != crank]
    stiffest = math.sqrt(ea / np.min(path.span) * np.max((swing.gradient ** 2).sum(axis=0)[free] / swing.mass[free]))
    steps = int(max(400, 2 * math.pi / w * stiffest * 8))
    h = 2 * math.pi / w / steps
    delay = np.maximum(1, np.rint(path.arc / v / h)).astype(int)
    wave = np.exp(1j * w * h * np.arange(-np.max(delay) - 2, 1))
    strain = [np.real(found[e.count:] * x) for x in wave]  # newest last
    q, speed = np.real(found[:e.count]), np.real(1j * w * found[:e.count])
    rows, before = np.arange(n), (np.arange(n) - 1) % n
    total = np.zeros(n + 1, complex)
    for step in range(CYCLES * steps):
        t = step * h
        # Half-implicit steps: speeds by today's forces, places by the new speeds.
        force = -ea * strain[-1] @ swing.gradient
        force[n] -= swing.arm * q[n] + friction * np.clip(speed[n] / (0.01 * fastest), -1, 1)
        speed = speed + h * force / swing.mass
        speed[crank] = -w * crank_angle * math.sin(w * (t + h / 2))
        q = q + h * speed
        q[crank] = crank_angle * math.cos(w * (t + h))
        came = np.array([strain[-1 - delay[i]][before[i]] for i in rows])
        rate = (swing.gradient @ speed - v * (strain[-1] - came)) / path.span
        strain.append(strain[-1] + h * rate)
        strain.pop(0)
        if step >= (CYCLES - SAMPLED) * steps:
            turned = np.exp(-1j * w * (t + h)) * 2 / (SAMPLED * steps)
            total += np.append(strain[-1] * ea, q[n]) * turned
    return abs(total[n]), np.abs(total[:n])


def main():
    program, rng, done = os.path.abspath(sys.argv[1]), random.Random(5), 0
    for i, (text, kind, holds, wrong) in enumerate(random_drives.all_drives(40)):
        if holds != "arm" or wrong or done == 3:
            continue
        entry = yaml.safe_load(motion.with_inertias(text, rng))
        for pulley in entry["pulleys"]:  # idlers that are heavy enough for steps of a run in Python
            pulley["inertia"] = max(pulley.get("inertia", 0), 2e-3) if pulley.get("role") != "crank" else 0
        entry["engine"]["irregularity"] = {"speed": [500], "order": [2], "angle": [[1.5]]}
        arm = next(p["arm"] for p in entry["pulleys"] if "arm" in p)
        full = arm.get("damping", 0)
        drive = reference.Drive(yaml.safe_dump(entry))
        rpm = 2400
        try:
            answer = reference.solve(drive, rpm * math.pi / 30)
        except reference.NoEquilibrium:
            continue
        energy = motion.Energy(drive, answer)
        if not energy.moves or full < 0.02:
            continue
        mass = np.array([p.inertia for p in drive.pulleys] + [arm["inertia"]])
        mass[drive.crank] = 1.0
        swing, w = motion.Swing(energy, mass), 2 * rpm * math.pi / 30
        for share, tolerance in FRICTIONS:
            arm["damping"] = full * share
            got = motion.ask(program, yaml.safe_dump(entry, sort_keys=False), rpm)["orders"][0]
            place = f"drive {i} ({kind}), {share} of its friction"
            if got["arm_sticks"]:
                continue
            arm_swing, tension = in_time(swing, w, 1.5 * math.pi / 180, full * share * answer.moment)
            near(f"{place}: arm", got["arm_deg"], math.degrees(arm_swing), math.degrees(arm_swing), tolerance)
            for name, want in zip(got["tension_N"], tension):
                near(f"{place}: {name}", got["tension_N"][name], want, np.max(tension), tolerance)
        done += 1
    if done < 3 or passed + len(failed) < 30:
        failed.append(f"only {done} drives run")
    print("worst, by tolerance:", {k: f"{v:.2g}" for k, v in worst.items()})
    for line in failed[:30]:
        print("FAILED " + line)
    print(f"{passed} passed, {len(failed)} failed")
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
