"""Belt length of drives whose pulleys are all inside of the belt, against the convex hull of the circles by GEOS.

The belt lies on the outside of all pulleys, so it is the hull's boundary. GEOS knows polygons only: each circle is
drawn twice, with the corners on it and with the sides on it; the two hulls enclose the truth from inside and outside.
A corner is short by x - sin x = x^3/6 and over by tan x - x = x^3/3: with weights 2:1 the m^-2 term goes out.
Usage: hull.py SNUB [COUNT]. The last line is `N passed, N failed`.
"""
import json
import math
import os
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import yaml
from shapely.geometry import MultiPoint

CORNERS = 480
TOLERANCE = 1e-6  # of the length
COUNT = 220


def corners(circles, outside):
    """Corners of all polygons: on the circles, or such that the sides touch them."""
    turn = np.arange(CORNERS) * 2 * math.pi / CORNERS
    grow = 1 / math.cos(math.pi / CORNERS) if outside else 1.0
    return np.concatenate([np.column_stack((x + r * grow * np.cos(turn), y + r * grow * np.sin(turn)))
                           for x, y, r in circles])


def hull_length(circles):
    inner, outer = (MultiPoint(corners(circles, outside)).convex_hull.length for outside in (False, True))
    assert inner < outer
    return (2 * inner + outer) / 3, outer - inner


def inside_drive(rng):
    """Circles of a drive that all touch the hull, in the order of a belt that goes clockwise; None if it is none."""
    n = rng.randint(2, 10)
    a, b, tilt = rng.uniform(120, 400), rng.uniform(120, 400), rng.uniform(0, 2 * math.pi)
    circles = []
    for i in range(n):
        t = tilt - 2 * math.pi * (i + rng.uniform(-0.3, 0.3)) / n
        circles.append((a * math.cos(t) + rng.uniform(-9, 9), b * math.sin(t) + rng.uniform(-9, 9),
                        rng.uniform(50, 95) if i == 0 else rng.uniform(27, 75)))
    for i in range(n):
        for j in range(i):
            if math.dist(circles[i][:2], circles[j][:2]) < circles[i][2] + circles[j][2] + 5:
                return None
    # A pulley belongs on the belt if its circle reaches further than all others in some direction.
    way = np.linspace(0, 2 * math.pi, 7200, endpoint=False)
    reach = np.array([x * np.cos(way) + y * np.sin(way) + r for x, y, r in circles])
    first = np.argmax(reach, axis=0)
    if any(np.count_nonzero(first == i) < 40 for i in range(n)):
        return None
    # and the belt meets them in the order in which those directions turn, clockwise.
    order = [int(i) for i in first[::-1]]
    met = [i for k, i in enumerate(order) if i != order[k - 1]]
    return [circles[i] for i in met] if len(met) == n else None


def write(circles, be, path):
    """Drive of fixed pulleys with the belt that has measuring tension at rest."""
    pulleys = [{"name": f"p{i}", "at": [x, y], "diameter": 2 * (r - be)} for i, (x, y, r) in enumerate(circles)]
    big = max(range(len(circles)), key=lambda i: circles[i][2])
    pulleys[big]["role"] = "crank"
    length, bound = hull_length(circles)
    text = yaml.safe_dump({"snub": 1, "title": "all inside", "pulleys": pulleys,
                           "belt": {"ribs": 6, "be": be, "length": round(length - 2 * math.pi * be, 3)}})
    with open(path, "w", encoding="utf-8") as out:
        out.write(text)
    return length, bound / length


def main():
    program, count = os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else COUNT
    rng = random.Random(7)
    passed, failed, worst, bound, turns = 0, 0, 0.0, 0.0, 0.0
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        runs = []
        while len(runs) < count:
            circles = inside_drive(rng)
            if circles is None:
                continue
            path = os.path.join(folder, f"{len(runs)}.yaml")
            want, wide = write(circles, rng.uniform(1.5, 2.5), path)
            bound = max(bound, wide)
            command = [program, "check", path, "--rpm", "0", "--json"]
            runs.append((want, circles, pool.submit(subprocess.run, command, capture_output=True, text=True)))
        for k, (want, circles, run) in enumerate(runs):
            ran = run.result()
            got = json.loads(ran.stdout) if ran.returncode in (0, 1) else None
            length = got["belt"]["path_length_mm"] if got else None
            off = abs(length - want) / want if length else math.inf
            turn = abs(sum(p["wrap_deg"] for p in got["pulleys"]) - 360) if got else math.inf
            worst, turns = max(worst, off), max(turns, turn)
            if off <= TOLERANCE and turn <= 1e-8:
                passed += 1
            else:
                failed += 1
                print(f"FAILED drive {k}: got {length} mm, want {want} mm, off by {off:.3g}, tolerance {TOLERANCE}; "
                      f"wraps miss one turn by {turn:.3g} deg; circles {circles} {ran.stderr[:300]}")
    print(f"worst deviation of length {worst:.2e} (polygons enclose the truth within {bound:.2e}), "
          f"wraps miss one turn by {turns:.2e} deg at most")
    print(f"{passed} passed, {failed} failed")
    return failed > 0


if __name__ == "__main__":
    sys.exit(main())
