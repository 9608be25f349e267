"""Pages that a run takes, by what the system counted. The last line is `N passed, N failed`; 77 where it has no huge pages to give."""
import os
import pathlib
import resource
import subprocess
import sys

SNUB, DRIVE = os.environ["SNUB_BIN"], os.path.join(os.environ["SNUB_SOURCE_DIR"], "examples/sedgemere.yaml")


def refused():
    """How often the system had no huge page for one who asked."""
    lines = pathlib.Path("/proc/vmstat").read_text().splitlines()
    return sum(int(line.split()[1]) for line in lines if line.startswith("thp_fault_fallback"))


def pages(*words):
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_minflt
    done = subprocess.run([SNUB, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_minflt - before, done.returncode


try:
    given = "[never]" not in pathlib.Path("/sys/kernel/mm/transparent_hugepage/enabled").read_text()
    before = refused()
except OSError:
    given = False
if not given:
    print("no huge pages here")
    sys.exit(77)
start, check = min(pages("--version") for _ in range(5)), min(pages("check", DRIVE) for _ in range(5))
if check[0] >= 2 * start[0] and refused() > before:
    print("the system has no huge page left")
    sys.exit(77)
good = start[1] == check[1] == 0 and check[0] < 2 * start[0]
print(f"pages: {start[0]} to start, {check[0]} for a check" if good else f"FAILED pages: {start} to start, {check} for a check, which should be less than twice as many")
print(f"{int(good)} passed, {int(not good)} failed")
sys.exit(not good)
