"""Unscrambled Sobol points in all dimensions of the table against scipy.stats.qmc.Sobol, and the table against what makes it.

Usage: even_points.py SOURCE_DIR. The last line is `N passed, N failed`."""
import ctypes
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy
from scipy.stats import qmc

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
import tally  # noqa: E402
from tally import check  # noqa: E402

SOURCE = pathlib.Path(sys.argv[1])
DIMENSIONS, POINTS = 1024, 1 << 15  # 15 digits: past the degree of every polynomial of the table


def compiled(folder):
    library = pathlib.Path(folder, "sobol.so")
    subprocess.run([os.environ.get("CC", "cc"), "-std=c17", "-O2", "-shared", "-fPIC", f"-I{SOURCE}/include",
                    SOURCE / "src/num/sobol.c", "-o", library], check=True)
    function = ctypes.CDLL(str(library)).snub_sobol_point
    function.argtypes = [ctypes.c_int, ctypes.c_uint64, ctypes.c_bool, ctypes.c_uint64, ctypes.c_void_p]
    function.restype = None
    return function


with tempfile.TemporaryDirectory() as folder:
    point = compiled(folder)
    got = numpy.empty(DIMENSIONS)
    indices = {*range(64), *(1 << k for k in range(15)), *((1 << k) - 1 for k in range(16)), *range(5, POINTS, 997)}
    want = qmc.Sobol(DIMENSIONS, scramble=False).random(POINTS)
    for i in sorted(indices):
        point(DIMENSIONS, 0, False, i, got.ctypes.data)
        off = numpy.flatnonzero(got != want[i])
        check(f"point {i}", not off.size, f"{off.size} of {DIMENSIONS} coordinates differ, first {off[:3]}")
made = subprocess.run([sys.executable, "-B", SOURCE / "scripts/sobol-table.py"], capture_output=True, text=True, timeout=60)
table = (SOURCE / "src/num/sobol_table.inc").read_text(encoding="utf-8")
check("the table is what its script writes, laid out anew", made.stdout.split() and made.stdout.replace(",", " ").split() == table.replace(",", " ").split(), made.stderr)
tally.end()
