#!/usr/bin/env python3
"""Writes src/num/sobol_table.inc: direction numbers of Sobol's points, DIMENSIONS of them.

Usage: scripts/sobol-table.py >src/num/sobol_table.inc && clang-format -i src/num/sobol_table.inc

S. Joe and F. Y. Kuo, Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput. 30 (2008)
2635, table new-joe-kuo-6, as python3-scipy installs it. A table of facts; each dimension is its primitive polynomial (its
coefficients as bits, the highest first) and as many odd numbers as the polynomial has degree.
"""
import pathlib

import numpy
import scipy.stats

DIMENSIONS = 1024
ON_A_LINE = 24

table = numpy.load(pathlib.Path(scipy.stats.__file__).parent / "_sobol_direction_numbers.npz")
numbers = []
for polynomial, first in zip(table["poly"][1:DIMENSIONS], table["vinit"][1:DIMENSIONS]):
    degree = int(polynomial).bit_length() - 1
    numbers += [int(polynomial), *map(int, first[:degree])]
print("/* Made by scripts/sobol-table.py: new-joe-kuo-6 (Joe and Kuo 2008), dimensions 2 to %d, each its polynomial and its\n"
      " * first direction numbers. */" % DIMENSIONS)
for i in range(0, len(numbers), ON_A_LINE):
    print("".join(f"{n}," for n in numbers[i:i + ON_A_LINE]))
