"""All cases."""
from cases_arm import CASES as ARM
from cases_balance import CASES as BALANCE
from cases_belt import CASES as BELT
from cases_hardware import CASES as HARDWARE

CASES = BELT + BALANCE + ARM + HARDWARE
