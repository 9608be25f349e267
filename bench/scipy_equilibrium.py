"""Equilibria per second of the independent implementation on SciPy (tests/reference/drive_reference.py): the peer of
bench_equilibrium, which runs it with the same torques and compares.

Usage: scipy_equilibrium.py [FILE [RPM [NAME=TORQUE...]]]; torque in N m for pulleys that have no table, blowers.
Prints: seconds per equilibrium (least, median), wind in rad, tension behind the crank in N.
"""
import math
import os
import statistics
import sys
import time

here = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(here, "..", "tests", "reference"))
import drive_reference as reference  # noqa: E402

RUNS = 25
reference.WINDS = 65  # as many as the program tabulates


def main():
    path = sys.argv[1] if len(sys.argv) > 1 else os.path.join(here, "..", "examples", "sedgemere.yaml")
    rpm = float(sys.argv[2]) if len(sys.argv) > 2 else 4000.0
    torques = {name: float(value) for name, value in (word.split("=") for word in sys.argv[3:])}
    if not torques and path.endswith("sedgemere.yaml"):
        torques = {"blower": 13.0}
    with open(path, encoding="utf-8") as file:
        drive = reference.Drive(file.read())
    took = []
    for _ in range(RUNS + 1):
        start = time.perf_counter()
        answer = reference.solve(drive, rpm * math.pi / 30, torques=torques)
        took.append(time.perf_counter() - start)
    took = took[1:]  # the first one warms up
    crank = drive.crank
    print(f"{min(took):.6e} {statistics.median(took):.6e} {answer.wind:.12e} {answer.tension[crank]:.12e}")
    print(f"SciPy: {1 / statistics.median(took):.0f} equilibria/s (median), {1 / min(took):.0f} (best of {RUNS})",
          file=sys.stderr)


if __name__ == "__main__":
    main()
