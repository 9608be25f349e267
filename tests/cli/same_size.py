"""Of belts of one size the part that the house can buy is taken: each word that the catalogue has of a part is worth more than
all behind it, and any of them more than a better grip. A belt that is no longer sold comes after one of the same verdict.
Every door takes the same part. The parts are invented.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

from served import Server
from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
HEAD = "key,kind,source,section,ribs,length [mm],length tolerance [mm],supplier,own number,stock,discontinued\n"
# From the one to take on; each is sorted finer than the one before it, so that it has the better grip, and has the smaller key.
LADDER = [("Z-ALL", "Nord", "H-1", 3, ""), ("Y-SUPPLIER-OWN", "Nord", "H-2", 0, ""), ("X-SUPPLIER-STOCK", "Nord", "", 3, ""),
          ("W-SUPPLIER", "Nord", "", "", ""), ("V-OWN-STOCK", "", "H-5", 3, ""), ("U-OWN", "", "H-6", "", ""),
          ("T-STOCK", "", "", 3, ""), ("S-PLAIN", "", "", "", ""), ("A-GONE", "Nord", "H-9", 9, "yes")]


def run(*arguments):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=300)


def rows(length, ladder=LADDER):
    return HEAD + "".join(f"{key},belt,invented,PK,6,{length},{6 - 0.5 * i},{supplier},{own},{stock},{gone}\n"
                          for i, (key, supplier, own, stock, gone) in enumerate(ladder))


class Kit:
    """The example on a catalogue of its own."""

    def __init__(self, work, name):
        text, n = re.subn(r"stock: \{from: \d+, to: \d+, step: \d+\}", "stock: catalogue", (TOP / "examples/sedgemere.yaml").read_text())
        check("the example's stock is where it was", n == 1)
        self.path, self.work, self.store = work / "kit.yaml", work, ["--catalogue", work / f"{name}.db"]
        self.path.write_text(text)
        self.parts("init")

    def parts(self, *what):
        done = run("parts", *what, *self.store)
        check(f"parts {what[0]}", done.returncode == 0, done.stderr)

    def change(self, way, text):
        (self.work / "rows.csv").write_text(text)
        self.parts(way, self.work / "rows.csv")

    def build(self, number=1):
        return json.loads(run("check", self.path, "--build", number, "--json", *self.store).stdout)["build"]

    def chart(self):
        return json.loads(run("chart", self.path, "--json", *self.store).stdout)["builds"]


def every_door(kit, key):
    charted = kit.chart()[0]
    table = list(csv.DictReader(io.StringIO(run("chart", kit.path, "--format", "csv", *kit.store).stdout)))
    sheet = json.loads(run("sheet", kit.path, "--build", 1, "--json", *kit.store).stdout)
    check("chart, JSON", charted["part"] == key, charted["part"])
    check("chart, CSV", table[0]["part number"] == key, table[0]["part number"])
    check("sheet, JSON", key in json.dumps(sheet), key)
    page = Server(kit.path, more=("--port", "0", *map(str, kit.store)))
    try:
        answer = page.ask("/api/chart", {"file": kit.path.name, "text": kit.path.read_text(), "changes": []})[1]
        job = answer["job"]
        while answer.get("state", "running") == "running":
            time.sleep(0.02)
            answer = page.ask(f"/api/job?id={job}")[1]
        check("page", answer["result"]["builds"][0]["part"] == key, answer)
    finally:
        page.stop()


def one_size(work):
    kit = Kit(work, "ladder")
    length = kit.build()["belt_length_mm"]
    kit.change("import", rows(length))
    shipped = f"6PK{length:.0f}"
    for i, (key, *_) in enumerate(LADDER):
        if key == "S-PLAIN":  # alike in all that the catalogue says of its sale but for the key; it has the better grip
            check("among equals the better grip", kit.build()["part"] == "S-PLAIN", kit.build()["part"])
            kit.parts("remove", shipped)
        now = kit.build()
        if key == "A-GONE":
            check("a discontinued part gives way to another size", now["belt_length_mm"] != length, now["part"])
            break
        check(f"{key} is taken", now["part"] == key, now["part"])
        check(f"after {key}", now["runner_up"]["part"] == LADDER[i + 1][0] or i + 2 == len(LADDER) or key == "T-STOCK", now["runner_up"])
        if i in (0, 4):
            every_door(kit, key)
        kit.parts("remove", key)


def main():
    with tempfile.TemporaryDirectory() as folder:
        one_size(pathlib.Path(folder))
    return end()


if __name__ == "__main__":
    sys.exit(main())
