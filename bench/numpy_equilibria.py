"""Many kits at once by NumPy: the same table of winds and Newton over arrays of all kits. The peer of bench_batch, which
writes the kits into a file.

Usage: numpy_equilibria.py FILE. Prints: processor seconds for all kits (median), greatest difference of wind in rad, and of tension
as a share of itself, from the answers in the file.
"""
import statistics
import sys
import time

import numpy as np

RUNS, PLACES = 5, 65


def tangent(x1, y1, r1, x2, y2, r2):
    dx, dy, h = x2 - x1, y2 - y1, r1 - r2
    square = dx * dx + dy * dy
    length = np.sqrt(square - h * h)
    return (length * dx + h * dy) / square, (length * dy - h * dx) / square, length


def wrap(before, after, r):
    angle = np.arctan2(before[0] * after[1] - before[1] * after[0], before[0] * after[0] + before[1] * after[1])
    angle = -angle if r > 0 else angle
    return np.where(angle < -1e-12, angle + 2 * np.pi, np.maximum(angle, 0))


class Kits:
    def __init__(self, path):
        data = np.fromfile(path)
        self.n, self.crank, self.arm, count = (int(v) for v in data[:4])
        self.sense, self.winds, self.mass, self.measuring, self.friction, self.speed, px, py, self.travel = data[4:13]
        self.pivot, n = (px, py), self.n
        self.r, self.torque = data[13:13 + n], data[13 + n:13 + 2 * n]
        columns = data[13 + 2 * n:].reshape(-1, count)
        self.x, self.y = columns[0:2 * n:2], columns[1:2 * n:2]
        (self.arm_length, self.rest, self.preload, self.rate, self.ea, self.belt, self.wind,
         self.tension) = columns[2 * n:]

    def prepare(self):
        n, a, r = self.n, self.arm, self.r
        p, q = (a - 1) % n, (a + 1) % n
        rise = np.zeros(n)
        for k in range(1, n):
            i = (self.crank + k) % n
            rise[i] = rise[i - 1] + self.torque[i] / abs(r[i])
        mean = [0.5 * (rise[i - 1] + rise[i]) for i in range(n)]
        self.u = {}
        self.fixed_length, self.fixed = 0.0, 0.0
        for i in set(range(n)) - {p, a}:
            j = (i + 1) % n
            *self.u[i], span = tangent(self.x[i], self.y[i], r[i], self.x[j], self.y[j], r[j])
            self.fixed_length, self.fixed = self.fixed_length + span, self.fixed + rise[i] * span
        for i in set(range(n)) - {p, a, q}:
            arc = abs(r[i]) * wrap(self.u[(i - 1) % n], self.u[i], r[i])
            self.fixed_length, self.fixed = self.fixed_length + arc, self.fixed + mean[i] * arc
        self.rise, self.mean, self.p, self.q = rise, mean, p, q
        self.centrifugal = self.mass * (self.speed * abs(r[self.crank])) ** 2

    def unbalance(self, wind):
        """R, tension."""
        p, a, q, r, n = self.p, self.arm, self.q, self.r, self.n
        angle = self.rest + self.winds * wind
        x, y = self.arm_length * np.cos(angle), self.arm_length * np.sin(angle)
        cx, cy = self.pivot[0] + x, self.pivot[1] + y
        ix, iy, before = tangent(self.x[p], self.y[p], r[p], cx, cy, r[a])
        ox, oy, behind = tangent(cx, cy, r[a], self.x[q], self.y[q], r[q])
        arcs = [abs(r[i]) * wrap(b, e, r[i]) for i, b, e in
                ((p, self.u[(p - 1) % n], (ix, iy)), (a, (ix, iy), (ox, oy)), (q, (ox, oy), self.u[q]))]
        length = self.fixed_length + before + behind + sum(arcs)
        weighted = (self.fixed + self.rise[p] * before + self.rise[a] * behind +
                    sum(self.mean[i] * arc for i, arc in zip((p, a, q), arcs)))
        tension = self.measuring + (self.ea * (length - self.belt) - weighted) / length
        lever_in, lever_out = self.winds * (x * iy - y * ix), self.winds * (x * oy - y * ox)
        taken = tension - self.centrifugal
        moment = (taken + self.rise[a]) * lever_out - (taken + self.rise[p]) * lever_in
        return (self.preload + self.rate * wind) * (1 + self.friction) - moment, tension

    def solve(self):
        self.prepare()
        step, low = self.travel / (PLACES - 1), np.full(self.x.shape[1], np.nan)
        last = None
        for k in range(PLACES):
            r, _ = self.unbalance(np.full(low.shape, step * k))
            if last is not None:
                low = np.where((last < 0) & (r >= 0), step * (k - 1), low)
            last = r
        wind, other = low + step, low
        r_other, _ = self.unbalance(other)
        for _ in range(8):  # secant: converges in 4 to 5 steps from a cell
            r, tension = self.unbalance(wind)
            with np.errstate(all="ignore"):
                step = np.where(r == r_other, 0, r * (wind - other) / (r - r_other))
            other, r_other, wind = wind, r, wind - step
            if not np.nanmax(np.abs(step)) > 1e-13:
                break
        return wind, tension


def main():
    kits = Kits(sys.argv[1])
    took = []
    for _ in range(RUNS + 1):
        start = time.process_time()
        wind, tension = kits.solve()
        took.append(time.process_time() - start)
    free = ~np.isnan(wind)
    if free.sum() < 0.9 * len(wind):
        sys.exit("the kits are to be free ones")
    print(f"{statistics.median(took[1:]):.6e} {np.max(np.abs(wind - kits.wind)[free]):.3e} "
          f"{np.max(np.abs(tension / kits.tension - 1)[free]):.3e}")


if __name__ == "__main__":
    main()
