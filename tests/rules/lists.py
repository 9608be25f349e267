"""All cases."""
from cases_air import CASES as AIR
from cases_arm import CASES as ARM
from cases_balance import CASES as BALANCE
from cases_bracket import CASES as BRACKET
from cases_belt import CASES as BELT
from cases_clearance import CASES as CLEARANCE
from cases_fitting import CASES as FITTING
from cases_flap import CASES as FLAP
from cases_hardware import CASES as HARDWARE
from cases_loads import CASES as LOADS
from cases_motion import CASES as MOTION
from cases_obstacles import CASES as OBSTACLES
from cases_parts import CASES as PARTS
from cases_repair import CASES as REPAIR
from cases_slip import CASES as SLIP

CASES = BELT + REPAIR + BALANCE + ARM + SLIP + MOTION + LOADS + AIR + CLEARANCE + OBSTACLES + FITTING + FLAP + HARDWARE + BRACKET + PARTS
