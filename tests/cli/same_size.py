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

import openpyxl

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
        answer = json.loads(run("check", self.path, "--build", number, "--json", *self.store).stdout)
        return {**answer["build"], "verdict": answer["verdict"]}

    def words(self, number):
        return " ".join(run("check", self.path, "--build", number, *self.store).stdout.split())[:700]

    def chart(self):
        return json.loads(run("chart", self.path, "--json", *self.store).stdout)["builds"]


def every_door(kit, key):
    charted = kit.chart()[0]
    table = list(csv.DictReader(io.StringIO(run("chart", kit.path, "--format", "csv", *kit.store).stdout)))
    sheet = json.loads(run("sheet", kit.path, "--build", 1, "--json", *kit.store).stdout)
    check("chart, JSON", charted["part"] == key, charted["part"])
    check("chart, CSV", table[0]["part number"] == key, table[0]["part number"])
    second = f"{charted['runner_up']['designation']} ({charted['runner_up']['part']})"
    run("chart", kit.path, "-o", kit.work / "chart.xlsx", *kit.store)
    cells = {c for row in openpyxl.load_workbook(kit.work / "chart.xlsx").worksheets[0].iter_rows(values_only=True) for c in row}
    check("second choice, CSV", table[0]["second choice"] == second, (table[0]["second choice"], second))
    check("second choice, workbook", second in cells, second)
    check("second choice, check", f"next {second} (pass)" in kit.words(1), kit.words(1))
    check("a key that is the size is not said twice", any(r["second choice"] == "7PK1930" for r in table), [r["second choice"] for r in table])
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
        if i == 0:
            check("why", "the best of those that can be bought" in kit.words(1), kit.words(1))
        if i in (0, 4):
            every_door(kit, key)
        kit.parts("remove", key)


def discontinued(work):
    """A build that is marginal with any belt: the one that is sold is taken, though the discontinued one holds better."""
    kit = Kit(work, "gone")
    now, passing = kit.build(3), kit.build(1)
    check("a build that no belt mends", now["verdict"] == "marginal", now["verdict"])
    kit.change("update", f"key,discontinued\n{now['part']},yes\n")
    after = kit.build(3)
    check("the next is taken", (after["part"], after["verdict"]) == (now["runner_up"]["part"], "marginal"), (now["runner_up"], after["part"]))
    check("the runner-up is sold too", after["runner_up"]["part"] != now["part"], after["runner_up"])
    listed = json.loads(run("parts", "list", "--kind", "belt", "--most", 100000, "--json", *kit.store).stdout)["parts"]
    six = [b["key"] for b in listed if b["key"].startswith("6PK")]
    kit.change("update", "key,discontinued\n" + "".join(f"{key},{'no' if key == after['part'] else 'yes'}\n" for key in six))
    alone = kit.build(3)
    check("where all others are discontinued", (alone["part"], alone["runner_up"]["part"]) == (after["part"], now["part"]), alone["runner_up"])
    check("why", "the best of those that can be bought" in kit.words(3), kit.words(3))
    kit.change("update", f"key,discontinued\n{after['part']},yes\n")
    none = kit.build(1)
    check("where all are, they keep their order", none["part"] == passing["part"] and
          none["runner_up"]["part"] == passing["runner_up"]["part"], (none["part"], none["runner_up"]))


def main():
    with tempfile.TemporaryDirectory() as folder:
        one_size(pathlib.Path(folder))
        discontinued(pathlib.Path(folder))
    return end()


if __name__ == "__main__":
    sys.exit(main())
