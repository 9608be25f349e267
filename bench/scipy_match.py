"""The peer of bench_sweep: a twin-screw matched with an engine as five plain equations by scipy.optimize.root."""
import math
import time

from scipy.optimize import root

R, CP, P0, T1 = 287.05, 1006.0, 101325.0, 298.15
G = CP / (CP - R)


def residuals(x, crank, shaft):
    p2, pm, t2, t3, m = x[0] * P0, x[1] * P0, x[2] * T1, x[3] * T1, x[4] * 0.1
    rho1, n = P0 / (R * T1), shaft / (2 * math.pi)
    dp = p2 - P0
    leak = 720 / 60 * math.copysign(math.sqrt(abs(dp) / 6894.757 * 1.8 * T1 / 528), dp)
    work = 1.45e-3 * (G / (G - 1) * P0 * (1.25 ** (G - 1) - 1) + (p2 - P0 * 1.25 ** G) / 1.25)
    return [(rho1 * 1.45e-3 * (n - leak) - m) / 0.1, (m * CP * (t2 - T1) - work * n) / (0.1 * CP * T1),
            (p2 - pm - 5000 * (m / 0.162) ** 2 * rho1 * R * t2 / p2) / P0, (t2 - t3 - 0.66 * (t2 - 321.15)) / T1,
            (pm / (R * t3) * 3.65e-3 * crank / (4 * math.pi) * 0.86 - m) / 0.1]


def round_of_matches(n=40):
    start = time.perf_counter()
    for k in range(n):
        crank = (700 + 4900 * k / n) * math.pi / 30
        answer = root(residuals, [1.4, 1.35, 1.2, 1.1, 1.5], args=(crank, 1.79 * crank), tol=1e-11)
        assert answer.success
    return (time.perf_counter() - start) / n * 1e6


round_of_matches()
times = sorted(round_of_matches() for _ in range(7))
print(f"{'match, one speed, SciPy':52} {times[0]:10.1f} {times[3]:10.1f}  us")
