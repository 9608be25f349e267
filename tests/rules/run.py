"""Runs every case, and what is summed up over them."""
import sys

import harness
import summaries
from lists import CASES

if __name__ == "__main__":
    sys.exit(0 if harness.run(CASES, summaries.run) else 1)
