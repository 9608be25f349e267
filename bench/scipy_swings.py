"""The peer of bench_swings on SciPy and NumPy: the same drive by tests/reference, which is put down apart from the program.

Usage: scipy_swings.py map FILE SPEEDS   seconds per speed (balance, six orders with the arm's friction), and the greatest
                                         swing of tension there, N
       scipy_swings.py run FILE RPM S    seconds for one second of the engine (Radau), greatest tension of all spans, N
"""
import math
import os
import sys
import time

here = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(here, "..", "tests", "reference"))
import drive_reference as reference  # noqa: E402
import motion  # noqa: E402
import motion_run  # noqa: E402
import numpy as np  # noqa: E402
import yaml  # noqa: E402


def angles_at(entry, rpm):
    """(order, amplitude of the crank's angle) at a speed."""
    table = entry["engine"]["irregularity"]
    return [(o, math.radians(np.interp(rpm, table["speed"], [row[k] for row in table["angle"]])))
            for k, o in enumerate(table["order"])]


def inertias(drive, entry, arm):
    mass = np.array([p.inertia or 0.0 for p in drive.pulleys] + ([arm] if arm is not None else []))
    mass[drive.crank] = entry["engine"]["inertia"]
    return mass


def one_speed(text, entry, rpm):
    drive = reference.Drive(text)
    answer = reference.solve(drive, rpm * math.pi / 30)
    energy = motion.Energy(drive, answer)
    arm = entry["pulleys"][drive.arm_index]["arm"]["inertia"] if energy.moves else None
    swing = motion.Swing(energy, inertias(drive, entry, arm))
    friction = drive.arm.damping * answer.moment
    return max(np.max(swing.rub(order * rpm * math.pi / 30, angle, friction)[2])
               for order, angle in angles_at(entry, rpm))


class Uneven(motion_run.Apart):
    """A crank with several orders."""

    def __init__(self, orders, *rest):
        self.orders = orders
        super().__init__(*rest)

    def crank_speed(self, t):
        fade = 0.5 * (1 - math.cos(math.pi * t / motion_run.FADES_IN)) if t < motion_run.FADES_IN else 1.0
        return self.omega * (1 - fade * sum(a * o * math.sin(o * self.omega * t) for o, a in self.orders))


def one_run(text, entry, rpm, seconds):
    drive = reference.Drive(text)
    answer = reference.solve(drive, rpm * math.pi / 30)
    answer.speed = rpm * math.pi / 30
    orders = angles_at(entry, rpm)
    main, size = max(orders, key=lambda x: x[0] * x[1])
    arm = entry["pulleys"][drive.arm_index]["arm"]["inertia"]
    inertia = np.array([p.inertia if p.inertia else 1.0 for p in drive.pulleys])
    apart = Uneven(orders, drive, answer, inertia, arm, main, size, drive.arm.damping)
    return float(np.max(apart.go(seconds, np.arange(0, seconds + 5e-4, 1e-3))[0]))


def main():
    with open(sys.argv[2], encoding="utf-8") as file:
        text = file.read()
    entry = yaml.safe_load(text)
    engine = entry["engine"]
    start = time.process_time()
    if sys.argv[1] == "map":
        speeds = int(sys.argv[3])
        found = max(one_speed(text, entry, engine["idle"] + (engine["redline"] - engine["idle"]) * k / (speeds - 1))
                    for k in range(speeds))
        per = speeds
    else:
        per = float(sys.argv[4])
        found = one_run(text, entry, float(sys.argv[3]), per)
    print(f"{(time.process_time() - start) / per:.6e} {found:.12e}")


if __name__ == "__main__":
    main()
