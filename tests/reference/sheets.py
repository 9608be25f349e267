"""Sheets that snub writes, read by openpyxl and csv, compared cell by cell with what they were made from.

Tolerance: XLSX keeps 16 significant digits, JSON 12, CSV all 17. Prints `N passed, M failed`.
"""
import csv
import json
import math
import os
import shutil
import subprocess
import sys
import tempfile

import openpyxl

BUILD, SNUB, SOURCE = os.environ["SNUB_BUILD_DIR"], os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
XLSX_DIGITS = 2e-16 * 8  # relative: 16 digits written
JSON_DIGITS = 1e-11      # relative: 12 digits written
passed = failed = 0


def expect(name, good, *why):
    global passed, failed
    if good:
        passed += 1
        return
    failed += 1
    if failed < 30:
        print("FAILED", name, *why, sep="\n    ")


def near(got, want, tolerance):
    if want is None:
        return got is None
    return got is not None and abs(got - want) <= tolerance * abs(want)


def table_of(sheet, head):
    """Rows of a sheet as dictionaries by title, units by title, and their cells. `head` counts from 1."""
    titles = [c.value for c in sheet[head]]
    units = {t: c.value for t, c in zip(titles, sheet[head + 1])}
    rows = []
    for row in sheet.iter_rows(min_row=head + 2):
        if all(c.value is None for c in row):
            break
        rows.append({t: c.value for t, c in zip(titles, row)})
    return rows, units


def every_kind_of_cell(work):
    subprocess.run([os.path.join(BUILD, "test_reference_sheet_cells"), "--write", work], check=True)
    book = openpyxl.load_workbook(os.path.join(work, "sheets.xlsx"))
    names = ["cells", "Cells 2", "a name- -with- what-may-not- be", "no title, no rows"]
    expect("names", book.sheetnames == names, f"got {book.sheetnames}", f"want {names}")
    expect("title", book["cells"]["A1"].value == "Every kind of cell")
    expect("frozen", book["cells"].freeze_panes == "A5" and book["no title, no rows"].freeze_panes == "A3",
           book["cells"].freeze_panes, book["no title, no rows"].freeze_panes)
    expect("units", [c.value for c in book["cells"][4]] == [None, "deg", "N", None, None, None])
    expect("notes", [book["cells"].cell(406, 1).value, book["cells"].cell(407, 1).value] == ["Source: invented", "second note"])
    expect("created", book.properties.created.isoformat() == "2000-01-01T00:00:00", str(book.properties.created))
    fills = {}
    with open(os.path.join(work, "cells.txt"), encoding="utf-8", newline="\n") as file:
        for line in file:
            name, row, column, kind, want = line.rstrip("\n").split("\t")
            cell = book[name].cell(int(row) + 5, int(column) + 1)
            where = f"{name} row {row} column {column}"
            if kind == "number":
                expect(where, cell.data_type == "n" and near(cell.value, float(want), XLSX_DIGITS), f"got {cell.value!r}", f"want {want}")
            elif kind == "truth":
                expect(where, cell.data_type == "b" and cell.value == (want == "1"), f"got {cell.value!r}")
            elif kind == "text":
                expect(where, (cell.data_type, cell.value) == ("s", want.replace("\\n", "\n")), f"got {cell.value!r} ({cell.data_type})")
            else:
                expect(where, cell.value is None, f"got {cell.value!r}")
            if column == "1":
                expect(where + " decimals", cell.number_format == "0.0" or cell.value is None, cell.number_format)
                fills.setdefault(int(row) % 5, set()).add(cell.fill.fgColor.rgb if cell.fill.fill_type else None)
    expect("each mark has a colour of its own", all(len(f) == 1 for f in fills.values()) and len(set.union(*fills.values())) == 5, str(fills))
    rules = [(str(area.sqref), rule.operator, rule.formula) for area in book["cells"].conditional_formatting for rule in area.rules]
    want = [("F5:F404", "equal", [f'"{word}"']) for word in ("pass", "note", "watch", "fail")]
    expect("levels are coloured by rule", sorted(rules) == sorted(want), str(rules))

    with open(os.path.join(work, "sheets.csv"), encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    expect("CSV header", rows[0] == ["name", "wrap [deg]", "tension, entry [N]", "ribs", "in stock", "verdict"], rows[0])
    expect("CSV rows", len(rows) == 401, len(rows))
    with open(os.path.join(work, "cells.txt"), encoding="utf-8", newline="\n") as file:
        for line in file:
            name, row, column, kind, want = line.rstrip("\n").split("\t")
            if name != "cells":
                continue
            got = rows[int(row) + 1][int(column)]
            want = {"number": want, "truth": "yes" if want == "1" else "no", "text": want.replace("\\n", "\n"), "empty": ""}[kind]
            same = float(got) == float(want) if kind == "number" else got == want
            expect(f"CSV row {row} column {column}", same, f"got {got!r}", f"want {want!r}")


# ---- the chart ------------------------------------------------------------------------------------------------------

AIR = {"boost at redline": "boost_kPa", "blower pulley speed": "pulley_rpm", "rotor speed": "rotor_rpm",
       "blower power": "drive_power_kW", "blower torque": "torque_N_m", "blower belt force": "belt_force_N",
       "air out of the blower": "outlet_degC", "air into the engine": "charge_degC", "air flow": "air_kg_s",
       "slips from": "slip_onset_rpm"}
HARDWARE = {"bearing life": "bearing_life_h", "bolt slip used": "bolt_slip_used", "bolt margin": "bolt_margin",
            "belt entry angle": "entry_angle_deg", "conflicts of hardware": "conflicts"}


def chart_row(build, number, options, air, hardware):
    """What a row of the chart's sheets must hold, from JSON: title -> value."""
    row = {"build": number, "verdict": build["verdict"], "variant": build["variant"] or None, "ribs": build["ribs"],
           "belt": build["designation"], "belt length": build["belt_length_mm"], "grip used": build["grip_used"],
           "grip used at": build["grip_at_rpm"], "tightest gap": build["gap_mm"]}
    for path in options:
        row[path] = build["options"][path]
    for pulley, value in build["slots_mm"].items():
        row[f"{pulley} along slot"] = value
    for pulley, value in build["diameters_mm"].items():
        row[f"diameter of {pulley}"] = value
    for pulley, value in build["wrap_deg"].items():
        row[f"wrap of {pulley}"] = value
    gains = list(build["wrap_gain_pct"].values())
    row["wrap gain"] = gains[0] if gains else None
    row["arm wind at rest"], row["arm wind at redline"] = build["arm_wind_deg"] or (None, None)
    for there, names, key in ((air, AIR, "blower"), (hardware, HARDWARE, "hardware")):
        for title, name in names.items() if there else ():
            row[title] = build[key] and build[key][name]
    row["second choice"] = build["runner_up"] and build["runner_up"]["designation"]
    row["shortest belt that would do"], row["longest belt that would do"] = build["wanted_length_mm"]
    row["findings"] = "\n".join(f"{f['level']}: " + ", ".join(x for x in (f["rule"], f["pulley"], f["other"]) if x) + f": {f['text']}"
                                for f in build["findings"]) or None
    return row


def compare_row(name, got, want, convert):
    expect(name + ": columns", set(got) == set(want), f"got {sorted(got)}", f"want {sorted(want)}")
    for title in set(got) & set(want):
        value = convert(got[title], want[title])
        same = near(value, want[title], JSON_DIGITS) if isinstance(want[title], (int, float)) else value == want[title]
        expect(f"{name}: {title}", same, f"got {got[title]!r}", f"want {want[title]!r}")


def from_csv(got, want):
    if got == "":
        return None
    return float(got) if isinstance(want, (int, float)) else got


def chart(work, example):
    drive = os.path.join(SOURCE, "examples", example)
    done = subprocess.run([SNUB, "chart", drive, "--json"], capture_output=True, text=True)
    data = json.loads(done.stdout)
    options = list(data["builds"][0]["options"])
    air, hardware = (any(b[key] for b in data["builds"]) for key in ("blower", "hardware"))
    expect(f"{example}: the example has a blower", air)
    want = [chart_row(b, i + 1, options, air, hardware) for i, b in enumerate(data["builds"])]
    xlsx, flat = os.path.join(work, "chart.xlsx"), os.path.join(work, "chart.csv")
    for path in (xlsx, flat):
        again = subprocess.run([SNUB, "chart", drive, "--output", path], capture_output=True, text=True)
        expect(f"{example}: exit code", again.returncode == done.returncode, again.stderr)
    both = subprocess.run([SNUB, "chart", drive, "--json", "--csv", flat + "2", "--xlsx", xlsx + "2"], capture_output=True, text=True)
    expect(f"{example}: three forms in one run", both.stdout == done.stdout and both.returncode == done.returncode, both.stderr)
    for path in (xlsx, flat):
        expect(f"{example}: the same file either way", open(path, "rb").read() == open(path + "2", "rb").read())
    bad = subprocess.run([SNUB, "chart", drive, "--json", "--csv", os.path.join(work, "no", "such.csv")], capture_output=True, text=True)
    expect(f"{example}: a file that cannot be written is told", bad.returncode == 2 and bad.stderr, bad.stderr)

    book = openpyxl.load_workbook(xlsx)
    ribs = sorted({b["ribs"] for b in data["builds"]})
    names = ["all builds"] + [f"{n} ribs" for n in ribs] + ["belts", "inputs", "limits and sources"]
    expect(f"{example}: sheets", book.sheetnames == names, f"got {book.sheetnames}", f"want {names}")
    rows, units = table_of(book["all builds"], 3)
    expect(f"{example}: builds", len(rows) == len(want), f"got {len(rows)}, want {len(want)}")
    for got, row in zip(rows, want):
        compare_row(f"{example} build {row['build']}", got, row, lambda value, _: value)
    expect(f"{example}: units", units["belt length"] == "mm" and units["grip used at"] == "rpm" and units["wrap gain"] == "%", units)
    for n in ribs:
        some, _ = table_of(book[f"{n} ribs"], 3)
        expect(f"{example}: {n} ribs", some == [r for r in rows if r["ribs"] == n])
    belts, _ = table_of(book["belts"], 3)
    best = {b["designation"]: b["builds"] for b in data["belts"]}
    expect(f"{example}: belts", {b["belt"]: b["builds"] for b in belts if b["builds"]} == best)
    fewest = {b["designation"] for b in data["fewest_belts"]["belts"]}
    expect(f"{example}: fewest belts", {b["belt"] for b in belts if b["in the fewest"]} == fewest)

    inputs, _ = table_of(book["inputs"], 3)
    lines = open(drive, encoding="utf-8").read().split("\n")
    for row in inputs:
        there = row["value as written"] is None or row["line"] and row["value as written"].split("\n")[0] in lines[row["line"] - 1]
        expect(f"{example}: input {row['key']} stands in its line", there, row)
    limits, _ = table_of(book["limits and sources"], 3)
    expect(f"{example}: limits have sources", len(limits) >= 20 and all(r["source"] for r in limits))

    with open(flat, encoding="utf-8", newline="") as file:
        flat_rows = list(csv.reader(file))
    titles = [t.split(" [")[0] for t in flat_rows[0]]
    for got, row in zip(flat_rows[1:], want):
        compare_row(f"{example} CSV build {row['build']}", dict(zip(titles, got)), row, from_csv)
    expect(f"{example}: CSV rows", len(flat_rows) == len(want) + 1)


# ---- the catalogue ---------------------------------------------------------------------------------------------------

def catalogue(work):
    path = os.path.join(work, "catalogue.db")
    env = {**os.environ, "SNUB_CATALOGUE": path, "SNUB_DATA": os.path.join(SOURCE, "data")}
    parts = lambda *arguments: subprocess.run([SNUB, "parts", *arguments], env=env, capture_output=True, text=True, check=True).stdout
    parts("init")
    data = json.loads(parts("export", "--format", "json"))["parts"]
    parts("export", "--output", os.path.join(work, "parts.xlsx"))
    book = openpyxl.load_workbook(os.path.join(work, "parts.xlsx"))
    by_key = {p["key"]: p for p in data}
    seen = 0
    for sheet in book:
        rows, units = table_of(sheet, 3)
        for row in rows:
            part = by_key[row["key"]]
            seen += 1
            for title, value in row.items():
                field, _, side = title.partition(", ")
                key = field + {"": "", "lower deviation": "_minus", "upper deviation": "_plus"}[side]
                unit = units[title]
                key += "_" + unit.replace(" ", "_").replace("/", "_") if unit else ""
                want = part.get(key)
                want = None if want == "" else want
                same = near(value, want, JSON_DIGITS) if isinstance(want, (int, float)) else value == want
                expect(f"part {row['key']}: {title}", same, f"got {value!r}", f"want {want!r}")
    expect("every part is in a sheet", seen == len(data), f"got {seen}, want {len(data)}")
    again = os.path.join(work, "again.xlsx")
    parts("export", "--output", again)
    expect("the same bytes again", open(again, "rb").read() == open(os.path.join(work, "parts.xlsx"), "rb").read())


work = tempfile.mkdtemp()
try:
    every_kind_of_cell(work)
    for example in ("harrow-lake.yaml", "harrow-lake-locked.yaml"):
        chart(work, example)
    catalogue(work)
finally:
    shutil.rmtree(work, ignore_errors=True)
print(f"{passed} passed, {failed} failed")
sys.exit(failed != 0)
