"""Runs every case."""
import sys

import harness
from cases_air import CASES as AIR
from cases_arm import CASES as ARM
from cases_balance import CASES as BALANCE
from cases_belt import CASES as BELT
from cases_hardware import CASES as HARDWARE

sys.exit(0 if harness.run(BELT + BALANCE + ARM + AIR + HARDWARE) else 1)
