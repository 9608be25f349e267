"""Runs every case."""
import sys

import harness
from lists import CASES

if __name__ == "__main__":
    sys.exit(0 if harness.run(CASES) else 1)
