#!/usr/bin/env python3
"""Quantiles of scatters by SciPy, as test_scatter.c includes them: scatter_values.py >scatter_values.inc.

Upper tails are mirror images of lower ones, since a chance near 1 has no digits left. Of the skew-normal SciPy's own
share is good to 1e-11 only, so that its density is integrated here, and the quantile is a root of that.
"""
import math

from scipy import integrate, optimize, stats

CHANCES = [1e-12, 1e-9, 1e-6, 1e-3, 0.1, 0.37, 0.5]


def c_text(kind, centre, sigma, alpha, low, high):
    ends = ["-INFINITY" if e == -math.inf else "INFINITY" if e == math.inf else repr(e) for e in (low, high)]
    return (f"{{.kind = {kind}, .centre = {centre!r}, .sigma = {sigma!r}, .alpha = {alpha!r}, .low = {ends[0]}, "
            f".high = {ends[1]}}}")


def skewed(chance, alpha):
    density = stats.skewnorm(alpha)

    def share(z):
        pieces = [-math.inf, z - 3, z - 1, z - 0.3, z] if z < 0 else [-math.inf, -1, -0.3, 0, z / 2, z]
        parts = [integrate.quad(density.pdf, a, b, epsabs=0, epsrel=1e-13)[0] for a, b in zip(pieces, pieces[1:])]
        return math.fsum(parts)
    return optimize.brentq(lambda z: math.log(max(share(z), 1e-300)) - math.log(chance), -12, 6, xtol=1e-15,
                           rtol=1e-14)


for chance in CHANCES:
    print(f"    {{{c_text('SNUB_NORMAL', 0.0, 1.0, 0.0, -math.inf, math.inf)}, {chance!r}, "
          f"{float(stats.norm.ppf(chance))!r}}},")
    for low, high in ((-3.0, 3.0), (-1.0, 2.0), (-2.0, math.inf)):
        value = stats.truncnorm.ppf(chance, low, high)
        print(f"    {{{c_text('SNUB_NORMAL', 0.0, 1.0, 0.0, low, high)}, {chance!r}, {float(value)!r}}},")
    print(f"    {{{c_text('SNUB_TRIANGULAR', 1.0, 0.0, 0.0, 0.0, 4.0)}, {chance!r}, "
          f"{float(stats.triang.ppf(chance, 0.25, 0, 4))!r}}},")
    for alpha in (-8.0, -1.5, 0.7, 3.0):
        print(f"    {{{c_text('SNUB_SKEWED', 0.0, 1.0, alpha, -math.inf, math.inf)}, {chance!r}, "
              f"{skewed(chance, alpha)!r}}},")
