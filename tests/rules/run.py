"""Runs every case."""
import sys

import harness
from cases_belt import CASES as BELT
from cases_hardware import CASES as HARDWARE

sys.exit(0 if harness.run(BELT + HARDWARE) else 1)
