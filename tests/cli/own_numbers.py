"""The house's own number for a part of the catalogue, and who sells it, on everything that names the part: check, chart, sheets,
parts list, bill; the terminal, JSON, CSV, workbook and paper say the same.

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

import openpyxl

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
KIT = """snub: 1
title: kit of parts
engine: {displacement: 4 L, cylinders: 6, idle: 750, redline: 6200, volumetric_efficiency: [[750, 0.8], [6200, 0.85]], accel_rate: 1500, decel_rate: 9000}
belt: {part: 8PK1575}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 185}
- {name: tensioner, part: SM-TENSIONER, arm: {part: SM-TENSIONER, pivot: [-220, 130], free: 20, loads: cw}}
- {name: blower, part: PULLEY-8PK-80, at: [0, 360], blower: {part: SM-SCREW-1.45}}
"""
OWN = """key,own number,supplier,supplier number
8PK1575,H-8PK1575,Riemen Nord,RN 8-1575
PULLEY-8PK-80,H-80,Sedgemere,
SM-TENSIONER,H-7,,
"""


def run(*arguments):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=300)


def paper(path, work, kind, *more):
    pdf = work / "sheet.pdf"
    done = run("sheet", path, "--kind", kind, "-o", pdf, *more)
    check(f"sheet {kind} {more}", done.returncode in (0, 1), done.stderr)
    return " ".join(subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True).stdout.replace("\u00a0", " ").split())


def chart(path, store, work, own):
    """@param own: the belts have own numbers, each H- and its key"""
    rows = json.loads(run("chart", path, "--json", *store).stdout)["builds"]
    numbers = {b["own_number"] for b in rows} - {None}
    check("chart, JSON", any(b["part"] for b in rows) and all(b["own_number"] == (f"H-{b['part']}" if own and b["part"] else None) for b in rows),
          [(b["part"], b["own_number"]) for b in rows])
    table = list(csv.DictReader(io.StringIO(run("chart", path, "--format", "csv", *store).stdout)))
    check("chart, CSV", [r["own number"] or None for r in table] == [b["own_number"] for b in rows], table[:1])
    run("chart", path, "-o", work / "chart.xlsx", *store)
    sheet = list(openpyxl.load_workbook(work / "chart.xlsx").worksheets[0].iter_rows(values_only=True))
    head = next(i for i, r in enumerate(sheet) if "part number" in r)
    at = sheet[head].index("own number")
    check("chart, workbook", [r[at] for r in sheet[head + 1:] if str(r[0]).isdigit()][:len(rows)] == [b["own_number"] for b in rows], sheet[head:head + 3])
    run("share", path, "-o", work / "kit.html", *store)
    page = json.loads(re.search(r'id="kit">(.*?)</script>', (work / "kit.html").read_text(), re.S)[1])
    sold = [(b["own"], r["own_number"]) for b, r in zip(page["builds"], rows) if "belt" in b]
    check("the page for a phone", len(sold) == sum(b["verdict"] != "fail" for b in rows) and all(there == want for there, want in sold), sold)
    text = paper(path, work, "chart", *store)
    on_sale = {b["own_number"] for b in rows if b["verdict"] != "fail" and b["own_number"]}
    check("chart, paper", ("own number" in text) == own and all(n in text for n in on_sale), text[:1500])
    wide = subprocess.run([SNUB, "chart", str(path), *map(str, store)], capture_output=True, text=True, env=dict(os.environ, COLUMNS="200")).stdout
    check("chart, wide terminal", ("own no." in wide) == own and all(n in wide for n in numbers), wide[:900])


def lists(path, store, work):
    data = json.loads(run("check", path, "--json", *store).stdout)
    check("check, JSON", (data["build"]["part"], data["build"]["own_number"]) == ("8PK1575", "H-8PK1575"), data["build"])
    items = {i["part"]: (i["number"], i["supplier"], i["supplier_number"]) for way in data["contents"].values() if isinstance(way, list) for i in way if i.get("part")}
    check("contents, JSON", items["8PK1575"] == ("H-8PK1575", "Riemen Nord", "RN 8-1575") and items["PULLEY-8PK-80"] == ("H-80", "Sedgemere", None) and
          items["SM-TENSIONER"] == ("H-7", None, None), items)
    check("check, terminal", "own number H-8PK1575, part 8PK1575" in " ".join(run("check", path, *store).stdout.split()), run("check", path, *store).stdout[:600])
    text = paper(path, work, "parts", *store)
    check("parts list", all(w in text for w in ("supplier", "H-8PK1575", "H-80", "H-7", "Riemen Nord, RN 8-1575", "Sedgemere")), text[:2500])
    check("parts list, German", "Lieferant" in paper(path, work, "parts", "--language", "de", *store))
    check("fitting sheet", "(H-8PK1575)" in paper(path, work, "fitting", *store))
    report = paper(path, work, "report", *store)
    check("report", "own number H-8PK1575" in report and "part number 8PK1575" in report, report[:3000])
    bill = {p["part"]: (p["number"], p["supplier"], p["supplier_number"]) for p in json.loads(run("bill", path, "--json", *store).stdout)["parts"] if p["part"]}
    check("bill is the parts list", bill == items, (bill, items))


def without(path, work):
    """A catalogue that says nothing of it: no empty column anywhere on paper."""
    store = ["--catalogue", work / "bare.db"]
    run("parts", "init", *store)
    text = paper(path, work, "parts", *store)
    check("no empty column of suppliers", "supplier" not in text, text[:1500])
    check("the key where there is no own number", "8PK1575" in text)
    chart(path, store, work, False)


def fingerprint(path, store):
    """What the sheets print of it belongs to the fingerprint; a price does not."""
    def of():
        return json.loads(run("check", path, "--json", *store).stdout)["build"]["fingerprint"]

    def update(text):
        done = subprocess.run([SNUB, "parts", "update", "-", *map(str, store)], input=text, capture_output=True, text=True)
        check("update", done.returncode == 0, done.stderr)
    before = of()
    update("key,price,stock\n8PK1575,9 EUR,4\n")
    check("a price is not printed", of() == before)
    update("key,supplier number\n8PK1575,RN other\n")
    check("a supplier's number is", of() != before)


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        store = ["--catalogue", work / "parts.db"]
        run("parts", "init", *store)
        (work / "own.csv").write_text(OWN)
        done = run("parts", "update", work / "own.csv", *store)
        check("own numbers", done.returncode == 0 and "changed 3" in done.stdout, done.stderr)
        (work / "metric.yaml").write_text(KIT)
        chart(work / "metric.yaml", store, work, True)
        belts = json.loads(run("parts", "list", "--kind", "belt", "--most", 100000, "--json", *store).stdout)["parts"]
        (work / "belts.csv").write_text("key,own number\n" + "".join(f"{b['key']},H-{b['key']}\n" for b in belts))
        done = run("parts", "update", work / "belts.csv", *store)
        check("every belt's own number", f"changed {len(belts) - 1}, added 0, unchanged 1" in done.stdout, done.stdout + done.stderr)
        for name, units in (("stock", "snub: 1\n"), ("inches", "snub: 1\nunits: us\n")):
            path, text = work / f"{name}.yaml", (TOP / "examples/sedgemere.yaml").read_text()
            text, n = re.subn(r"stock: \{from: \d+, to: \d+, step: \d+\}", "stock: catalogue", text)
            check("the example's stock is where it was", n == 1 and text.count("snub: 1\n") == 1)
            path.write_text(text.replace("snub: 1\n", units))
            chart(path, store, work, True)
        lists(work / "metric.yaml", store, work)
        without(work / "metric.yaml", work)
        fingerprint(work / "metric.yaml", store)
    return end()


if __name__ == "__main__":
    sys.exit(main())
