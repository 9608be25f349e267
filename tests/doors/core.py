"""The core in the browser against the program: the same numbers to 1e-12, the same words, on the examples and on random drives.

Writes a folder of drives (fronts.py; parts of a catalogue, a map, a unit of no table, files with errors, names of before) and has
core.mjs ask the server and the compiled core the same questions. SNUB_CORE_COUNT: how many random drives (250). The last line is
`N passed, N failed`.
"""
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

import fronts

SNUB, SOURCE = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
COUNT = int(os.environ.get("SNUB_CORE_COUNT", "250"))

PARTS = "kind,key,section,ribs,length [mm],source\n" + "".join(f"belt,INV-{length},PK,6,{length},invented\n" for length in (980, 985, 990, 1000))
THREE = SOURCE / "examples" / "three-pulleys.yaml"


def special(folder):
    """Drives that ask for more than their own text."""
    three = THREE.read_text(encoding="utf-8")
    lines = three.splitlines(keepends=True)
    (folder / "wrong.yaml").write_text(three.replace("ribs:", "ribbs:", 1), encoding="utf-8")
    (folder / "no-section.yaml").write_text("".join(line for line in lines if not line.startswith("belt:")), encoding="utf-8")
    (folder / "rare-unit.yaml").write_text(rare_units(three), encoding="utf-8")
    (folder / "swings.yaml").write_text(swinging((SOURCE / "examples" / "sedgemere-locked.yaml").read_text(encoding="utf-8")), encoding="utf-8")
    (folder / "stock-of-parts.yaml").write_text(stock_of_parts(three), encoding="utf-8")


def rare_units(text):
    """The first centre in units that stand in no table."""
    before, mark, after = text.partition("at: [")
    inside, _, rest = after.partition("]")
    x, y = (part.strip() for part in inside.split(","))
    feet = [f"{float(value) / 304.8!r} international_foot" for value in (x, y)]
    return f"{before}{mark}{', '.join(feet)}]{rest}"


def swinging(text):
    """With the inertias that let its motion count in the verdict."""
    out = text.replace("  displacement:", "  inertia: 0.25\n  displacement:", 1).replace("{name: steering,", "{name: steering, inertia: 0.003,", 1)
    assert out.count("inertia:") == text.count("inertia:") + 2
    return out


def stock_of_parts(text):
    out = []
    for line in text.splitlines(keepends=True):
        if line.strip().startswith("length:"):
            line = line[:len(line) - len(line.lstrip())] + "stock: catalogue\n"
        out.append(line)
    return "".join(out)


def catalogue_of(folder):
    table, catalogue = folder / "parts.csv", folder / "parts.db"
    table.write_text(PARTS, encoding="utf-8")
    for arguments in (("init", "--bare"), ("import", str(table))):
        subprocess.run([SNUB, "parts", *arguments, "--catalogue", str(catalogue)], check=True, capture_output=True)
    return catalogue


def printed():
    """How C prints numbers: kind, digits, the number and its text, with many that lie just between two."""
    random, out = fronts.random.Random(5), []
    numbers = [0.0, 1e21, 1e300, 5e-324, 1e-4, 1e-5, 999999.5, 9.995, 2.675]
    for _ in range(400):
        numbers += [random.randrange(8000) / 16, random.uniform(-50, 50) ** 2, 10 ** random.uniform(-30, 30), random.randrange(10 ** 5) / 1000]
    for number in numbers:
        for kind, digits in (("f", 0), ("f", 1), ("f", 3), ("g", 1), ("g", 6), ("g", 15), ("g", 17), ("e", 0), ("e", 6)):
            out.append(f"{kind} {digits} {number!r} {number:.{digits}{kind}}")
    return "\n".join(out)


def main():
    folder = pathlib.Path(tempfile.mkdtemp(prefix="snub-core-"))
    try:
        kits = folder / "kits"
        shutil.copytree(SOURCE / "examples", kits)
        special(kits)
        for i, drive in enumerate(fronts.all_fronts(COUNT)):
            (kits / f"front-{i:04d}.yaml").write_text(drive, encoding="utf-8")
        (folder / "kits" / "printed.txt").write_text(printed(), encoding="utf-8")
        return subprocess.run(["node", str(SOURCE / "tests" / "doors" / "core.mjs"), str(kits), str(catalogue_of(folder))], check=False).returncode
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    sys.exit(main())
