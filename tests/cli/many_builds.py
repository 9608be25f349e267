"""A kit with many builds: what a chart of it takes in memory and time, in every form, and how that grows with builds.

SNUB_MANY_BUILDS=1 goes on to 5000 and 20000 builds, and to the sheet on paper."""
import json
import os
import subprocess
import sys
import tempfile
import time

import tally

# Kept of a build of this kit (three pulleys, two to four findings), its row and its part of the lists: 2 kB by count.
# From 300 to 3000 builds, eight times: 1.7 to 2.1 kB a build.
KB_PER_BUILD = 2.5
RESIDENT_MOST_MB = 200  # of the most builds that a file may give, in every form
BELTS = "[985, 990, 995, 1000]"


def drive(pulleys, ribs, idlers, variants):
    """A drive that gives pulleys * ribs * idlers * variants builds."""
    diameters = ", ".join(f"{60 - 4 * i / pulleys:.3f}" for i in range(pulleys))
    rib_counts = ", ".join(str(4 + i) for i in range(ribs))
    idler_sizes = ", ".join(f"{70 + 0.05 * i:.2f}" for i in range(idlers))
    fronts = "".join(f"  front {k}: {{pump.at: [{-20 + 0.1 * k:.1f}, 320]}}\n" for k in range(1, variants))
    return f"""snub: 1
title: Many builds
engine: {{displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6500 rpm}}
belt: {{ribs: 6, stock: {BELTS}}}
pulleys:
  - {{name: crank, role: crank, at: [0, 0], diameter: 150}}
  - name: tensioner
    side: back
    diameter: 70
    arm: {{pivot: [-120, 75], length: 110, free: 40, loads: ccw, travel: 32, preload: 20, rate: 0.4 N m/deg,
          damping: 0.2, work: [3, 21]}}
  - {{name: pump, at: [-20, 320], diameter: 60, load: [[2000 rpm, 8], [12000 rpm, 4]]}}
options:
  pump.diameter: [{diameters}]
  belt.ribs: [{rib_counts}]
  tensioner.diameter: [{idler_sizes}]
{"variants:" if fronts else ""}
{fronts}"""


KITS = {300: (10, 5, 3, 2), 3000: (10, 5, 12, 5), 5000: (20, 5, 10, 5), 20000: (40, 5, 20, 5)}


def check(good, what):
    print(("ok   " if good else "FAIL ") + what)
    tally.check(what, good)


def run(folder, *arguments):
    """Worst exit code of three runs; least of their most resident memory in kB, since now and then 2 MB come on top; processor seconds."""
    codes, sizes, seconds = zip(*(once(folder, *arguments) for _ in range(3)))
    return max(codes), min(sizes), min(seconds)


def once(folder, *arguments):
    taken = os.path.join(folder, "taken")
    measure = os.path.join(os.environ["SNUB_BUILD_DIR"], "taken")
    code = subprocess.run([measure, taken, os.environ["SNUB_BIN"], *arguments], stdout=subprocess.DEVNULL).returncode
    with open(taken) as file:
        kb, seconds = file.read().split()
    return code, int(kb), float(seconds)


def measure(folder, builds):
    """Every form of a chart of so many builds: form to memory and time for a build."""
    path = os.path.join(folder, f"{builds}.yaml")
    with open(path, "w") as file:
        file.write(drive(*KITS[builds]))
    out = {form: os.path.join(folder, f"{builds}.{form}") for form in ("json", "csv", "xlsx", "pdf")}
    forms = {
        "JSON, CSV and XLSX": ("chart", path, "-o", out["json"], "--csv", out["csv"], "--xlsx", out["xlsx"]),
        "text": ("chart", path, "--findings"),
    }
    if SOAK:
        forms["paper"] = ("sheet", path, "--kind", "chart", "-o", out["pdf"])
    taken = {}
    for form, arguments in forms.items():
        code, kb, seconds = run(folder, *arguments)
        print(f"     {builds} builds, {form}: {kb} kB, {1000 * seconds / builds:.2f} ms a build")
        check(code in (0, 1), f"{builds} builds: {form}")
        taken[form] = kb, seconds / builds
    with open(out["json"]) as file:
        check(len(json.load(file)["builds"]) == builds, f"{builds} builds are in the JSON")
    with open(out["csv"]) as file:
        check(sum(1 for line in file if line.startswith(tuple("0123456789"))) == builds, f"{builds} are in the CSV")
    return taken


SOAK = os.environ.get("SNUB_MANY_BUILDS", "0") != "0"
sizes = [300, 3000, 5000, 20000] if SOAK else [300, 3000]
with tempfile.TemporaryDirectory(prefix="snub-many-") as work:
    taken = {builds: measure(work, builds) for builds in sizes}
    few = sizes[0]
    for many in sizes[1:]:
        for form, (kb, seconds) in taken[many].items():
            grown = (kb - taken[few][form][0]) / (many - few)
            check(grown <= KB_PER_BUILD, f"{form}: {grown:.2f} kB more for a build from {few} to {many}, at most {KB_PER_BUILD}")
            slower = seconds / taken[few][form][1]
            check(slower < 2, f"{form}: {slower:.2f} times as long for a build")
            check(kb < 1024 * RESIDENT_MOST_MB, f"{form}: {kb / 1024:.0f} MB of {RESIDENT_MOST_MB} MB")
sys.exit(tally.end())
