"""Parts of a catalogue that are no longer sold."""
import atexit
import os
import shutil
import subprocess
import tempfile

from drives import ARM, text
from harness import SNUB, Case

FOLDER = tempfile.mkdtemp(prefix="snub-rules-parts-")
atexit.register(shutil.rmtree, FOLDER, True)
ROWS = """key,kind,source,section,ribs,length [mm],diameter [mm],discontinued,replaced by
BELT-OLD,belt,invented,PK,6,1016,,yes,BELT-NEW
BELT-NEW,belt,invented,PK,6,1016,,,
BELT-LAST,belt,invented,PK,6,1016,,yes,
BELT-SOLD,belt,invented,PK,6,1016,,no,BELT-NEW
PUMP-OLD,pulley,invented,PK,6,,70,yes,
PUMP-NEW,pulley,invented,PK,6,,70,no,
"""


def catalogue():
    table, made = os.path.join(FOLDER, "parts.csv"), os.path.join(FOLDER, "parts.db")
    with open(table, "w") as file:
        file.write(ROWS)
    subprocess.run([SNUB, "parts", "import", table, "--catalogue", made], check=True, capture_output=True)
    return made


WITH = ("--catalogue", catalogue())


def of_belt(fires, quiet):
    return lambda p: text(ARM, {"belt": {"part": fires if p else quiet}})


def of_pump(p):
    return text(ARM, {"pulleys.pump.diameter": None, "pulleys.pump.part": "PUMP-OLD" if p else "PUMP-NEW"})


def of_stock(p):
    """Of belts that are alike the one that is sold is offered; in its own list it is no part at all."""
    return text(ARM, {"belt": {"ribs": 6, "stock": "catalogue" if p else [1016]}})


SAME = {"source": "the catalogue of parts", "arguments": WITH}
CASES = [
    Case("DISCONTINUED_REPLACED", "marginal", of_belt("BELT-OLD", "BELT-NEW"), 1, 0, subject={"other": "BELT-OLD"},
         places=lambda p: {"new": "BELT-NEW"}, silent_on=[of_belt("BELT-SOLD", "")(1), of_stock(1), of_stock(0)], **SAME),
    Case("DISCONTINUED", "marginal", of_belt("BELT-LAST", "BELT-NEW"), 1, 0, subject={"other": "BELT-LAST"},
         silent_on=[of_belt("BELT-OLD", "")(1), of_stock(1)], **SAME),
    Case("DISCONTINUED", "marginal", of_pump, 1, 0, subject={"other": "PUMP-OLD"}, **SAME),
]
