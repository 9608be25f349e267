"""Sheets that snub writes, read by openpyxl and csv, compared cell by cell with what they were made from.

Tolerance: XLSX keeps 16 significant digits, JSON 12, CSV all 17. Prints `N passed, M failed`.
"""
import csv
import json
import math
import os
import re
import shutil
import subprocess
import sys
import tempfile

import openpyxl

BUILD, SNUB, SOURCE = os.environ["SNUB_BUILD_DIR"], os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
XLSX_DIGITS = 5.1e-12  # relative: 12 digits written
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
    want = [("F5:F404", "equal", [f'"{word}"']) for word in ("pass", "note", "marginal", "fail")]
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
            if kind == "text" and want[:1] in ("=", "@"):  # a spreadsheet would run it; the other signs do not occur here
                want = "'" + want
            if kind == "number" and column == "1":  # shown with one decimal: two more in CSV
                expect(f"CSV row {row}: to the digits that mean anything", float(got) in near_decimals(float(want), 3), got, want)
                continue
            same = float(got) == float(want) if kind == "number" else got == want
            expect(f"CSV row {row} column {column}", same, f"got {got!r}", f"want {want!r}")


def near_decimals(value, decimals):
    """The numbers that a value may be rounded to: a tie may go either way."""
    return {round(value + d * 10 ** -(decimals + 6), decimals) for d in (-1, 0, 1)}


# ---- the chart ------------------------------------------------------------------------------------------------------

# Written down once more, by hand: title in CSV, XLSX and on paper, and where JSON has the same value.
TOP = {"code": "code", "verdict": "verdict", "ribs": "ribs", "belt": "designation", "part number": "part", "own number": "own_number", "belt length": "belt_length_mm",
       "grip used, worst": "grip_used", "grip used, at engine": "grip_at_rpm", "least clearance": "gap_mm",
       "work on the engine": "engine_work", "the file writes": "file_writes", "first reason": "first_reason"}
AIR = {"boost at redline": "boost_kPa", "blower pulley speed": "pulley_rpm", "rotor speed": "rotor_rpm",
       "blower power": "drive_power_kW", "blower torque": "torque_N_m", "blower belt force": "belt_force_N",
       "air out of the blower": "outlet_degC", "air into the engine": "charge_degC", "air flow": "air_kg_s",
       "slips from": "slip_onset_rpm"}
HARDWARE = {"bearing life": "bearing_life_h", "joint friction used": "bolt_slip_used", "bolt margin": "bolt_margin",
            "belt entry angle": "entry_angle_deg",
            "tolerance of the entry angle": "entry_tolerance_deg", "shims in the verdict": "shims", "crank's swing in the loads": "crank_swing", "conflicts of hardware": "conflicts"}
UNITS = {"belt length": "mm", "grip used, at engine": "rpm", "wrap gain": "%", "least clearance": "mm", "arm angle, engine stopped": "deg",
         "boost at redline": "kPa", "rotor speed": "rpm", "blower power": "kW", "blower torque": "N m",
         "air out of the blower": "degC", "bearing life": "h", "grip used, worst": "", "shortest belt that would do": "mm"}


def as_number(written):
    """A bare number of an option is a number in a table."""
    try:
        return float(written)
    except ValueError:
        return written


def chart_row(build, number, options, air, hardware, arm):
    """What a row of the chart's sheets must hold, from JSON: title -> value."""
    row = {"build": number, "variant": build["variant"] or None}
    if build["package"]:
        row["package"] = build["package"]
    row.update((title, build[key]) for title, key in TOP.items())
    for path in options:
        row[path] = as_number(build["options"][path])
    for pulley, value in build["slots_mm"].items():
        row[f"slot setting of {pulley}"] = value
    for pulley, value in build["diameters_mm"].items():
        row[f"diameter of {pulley}"] = value
    for pulley, value in build["wrap_deg"].items():
        row[f"wrap of {pulley}"] = value
    if arm:
        row["arm angle, engine stopped"], row["arm angle, redline"] = build["arm_wind_deg"] or (None, None)
    if air:
        gains = list(build["wrap_gain_pct"].values())
        row["wrap gain"] = gains[0] if gains else None
        row["grip used by the blower"] = build["blower_grip_used"]
    for there, names, key in ((air, AIR, "blower"), (hardware, HARDWARE, "hardware")):
        for title, name in names.items() if there else ():
            row[title] = build[key] and build[key][name]
    second = build["runner_up"]
    row["second choice"] = second and second["designation"] + (f" ({second['part']})" if second["part"] not in (None, second["designation"]) else "")
    row["shortest belt that would do"], row["longest belt that would do"] = build["wanted_length_mm"]
    row["findings"] = "\n".join(f"{f['level']}: {f['rule']}: {f['text']}" for f in build["findings"]) or None
    return row


def compare_cells(name, build, columns, want):
    """The cells of a build in JSON, which the page shows, against its keys."""
    got = {}
    for column, cell in zip(columns, build["cells"]):
        got[column["title"]] = cell
    expect(name + ": a cell for each column", len(build["cells"]) == len(columns))
    for title, value in got.items():
        expect(f"{name}: cell of {title}", value == want[title] or value == str(want[title]).removesuffix(".0"), f"got {value!r}", f"want {want[title]!r}")


# ---- what people read: the terminal's table and the printed chart -----------------------------------------------------

def rounded(value, decimals):
    """As a program that rounds to the nearest writes it; a tie is either neighbour's."""
    if value is None:
        return [""]
    near_by = {f"{value + d * 10 ** -(decimals + 6):.{decimals}f}" for d in (-1, 0, 1)}
    return [re.sub(r"^-(0(\.0*)?)$", r"\1", one).replace("-", "\u2212") for one in near_by]


def compare_text(example, drive, data):
    """`snub chart` as wide as it gets: every column of it in every row."""
    done = subprocess.run([SNUB, "chart", drive], capture_output=True, text=True, env={**os.environ, "COLUMNS": "400"})
    lines = done.stdout.split("\n")
    head = next(i for i, line in enumerate(lines) if " belt " in f" {line} " and "grip" in line)
    arm = any(b["arm_wind_deg"] for b in data["builds"])
    rows = [line for line in lines[head + 2:] if re.search(r"\d+PK(\d| none)", line) and "(" not in line]
    expect(f"{example}: text rows", len(rows) == len(data["builds"]), f"got {len(rows)}, want {len(data['builds'])}")
    for i, (line, b) in enumerate(zip(rows, data["builds"])):
        want = [[b["code"]]] + [[p] for p in [b["package"]] if p] + [[b["options"][path]] for path in b["options"] if path != "belt.ribs"]
        want += [[b["designation"] or f"{b['ribs']}PK none"]]
        want += [rounded(v, 1) for v in b["slots_mm"].values()] + [rounded(v, 1) for v in list(b["wrap_deg"].values())[:1]]
        want += [rounded(v, 1) for v in b["wrap_gain_pct"].values()]
        want += [rounded(v, 0) for v in b["arm_wind_deg"]] if arm and b["arm_wind_deg"] else []
        want += [rounded(b["blower"]["boost_kPa"], 0), rounded(b["blower_grip_used"], 2)] if b["blower"] else []
        want += [rounded(b["grip_used"], 2), rounded(b["grip_at_rpm"], 0), [b["verdict"]], [b["first_reason"] or ""]]
        want = [w for w in want if w != [""]]
        got = [one for one in re.split(r"\s{2,}", line.strip())]
        same = len(got) == len(want) and all(g in w or g.replace("-", "\u2212") in w for g, w in zip(got, want))
        expect(f"{example}: text, build {i + 1}", same, f"got {got}", f"want {want}")


def worst_case(example, data, flat):
    """A note on several builds has the sentence of the one that is farthest from the limit, and says which that is."""
    for mark, rows, said in re.findall(r"(?<= )([a-zA-Z]) \(no\. (\d+(?:, \d+)+)\) (.*?) The figures are those of no\. (?=\d)", flat):
        number = re.search(re.escape(said) + r" The figures are those of no\. (\d+)\.", flat)[1]
        where = f"{example}: note {mark} on {rows}"
        said = re.sub(r" \([-\d.]+ (in|lbf ft|lbf|psi|degF|ft/min|kW|hp)\)", "", said)
        own = [f for f in data["builds"][int(number) - 1]["findings"] if f["level"] == "marginal" and f["text"] == said]
        expect(f"{where}: the sentence of no. {number}", len(own) == 1, said, [f["text"] for f in data["builds"][int(number) - 1]["findings"]])
        if len(own) != 1 or own[0]["value"] is None or own[0]["limit"] is None:
            continue
        far = {r: abs(f["value"] - f["limit"]) for r in map(int, rows.split(", ")) for f in data["builds"][r - 1]["findings"]
               if f["level"] == "marginal" and (f["rule"], f["pulley"]) == (own[0]["rule"], own[0]["pulley"]) and f["value"] is not None}
        expect(f"{where}: the worst", far[int(number)] >= max(far.values()) - 1e-9, far)


def compare_sales(example, drive, data, work):
    """The printed application chart: what is sold on which belt and mark with what boost; what fails is not sold; notes on the
    builds that they are about alone, and no rule's name anywhere."""
    path = os.path.join(work, "sales.pdf")
    subprocess.run([SNUB, "sheet", drive, "--kind", "chart", "-o", path], check=False)
    text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout.replace("\u00a0", " ")
    rows = {m[2]: m[0] for m in re.finditer(r"^ *(\d+) +([A-Z][0-9A-Z]{5}) .*$", text, re.M)}
    expect(f"{example}: sales rows", set(rows) == {b["code"] for b in data["builds"]}, str(sorted(rows)))
    heads = text[:text.index(data["builds"][0]["code"])].split("\n")[-3:]
    bare = any(re.fullmatch(r"[-+.\d]+", v) for v in data["builds"][0]["options"].values())
    diameter = any(k.endswith(".diameter") for k in data["builds"][0]["options"])
    expect(f"{example}: a bare diameter has its unit", not (bare and diameter) or any(re.search(r"(^|\s)mm\s", line) for line in heads), heads)
    notes = {m[1]: set(m[2].split(", ")) for m in re.finditer(r"^ *([a-zA-Z]) +\(no\. ([\d, ]+)\)", text, re.M)}
    for i, b in enumerate(data["builds"], 1):
        row = " ".join(rows.get(b["code"], "").split())
        failing = b["verdict"] == "fail"
        for words in [f"{i} {b['code']}", b["package"], *b["options"].values()]:
            expect(f"{example}: sales, build {i} has {words}", words in row, row)
        if failing:  # nothing that could be ordered or set
            left = row.replace(f"{i} {b['code']}", "", 1)
            for words in [b["package"], *b["options"].values()]:
                left = left.replace(words, "", 1)
            expect(f"{example}: no belt, mark or boost of {i}", not re.search(r"\d", left.partition("not sold: ")[0]), row)
        else:
            figures = [(b["designation"], [b["designation"]])]
            figures += [("mark", [f"{m} ({u})" for m in rounded(v, 1) for u in rounded(v / 25.4, 3)]) for v in b["slots_mm"].values()]
            boost = (b["blower"] or {}).get("boost_kPa")
            if boost is not None:
                figures.append(("boost", [f"{m} ({u})" for m in rounded(boost, 1) for u in rounded(boost / 6.894757293168361, 2)]))
            for figure, ways in figures:
                expect(f"{example}: {figure} of {i}", any(w in row for w in ways), row)
        expect(f"{example}: {i} is sold or not", ("not sold: " in row) == failing and (failing or " sold" in row), row)
        marks = re.search(r"note ([a-zA-Z ]+)$", row)
        marks = set(marks[1].split()) if marks else set()
        marginal = {f["rule"] for f in b["findings"] if f["level"] == "marginal"}
        expect(f"{example}: notes of {i} only where it is marginal", bool(marks) == bool(marginal and not failing), (row, marginal))
        expect(f"{example}: each note names {i}", {k for k, of in notes.items() if str(i) in of} == marks, (marks, notes))
    flat = " ".join(text.split())
    worst_case(example, data, flat)
    for rule in {f["rule"] for b in data["builds"] for f in b["findings"] if "_" in f["rule"]}:
        expect(f"{example}: no rule's name: {rule}", rule not in flat)
    expect(f"{example}: no source", "basis" not in flat and "rule of thumb" not in flat and "ISO" not in flat, flat[:300])


LEVELS = ("pass", "note", "marginal", "fail")


def worst_of(builds, shown):
    """Kinds of findings, by rule and pulley, in the order in which they come: builds that have one, the worst, its build."""
    notes = {}
    for i, b in builds:
        for f in filter(lambda f: shown(b, f), b["findings"]):
            over = None if f["value"] is None else abs(f["value"] - (f["limit"] or 0))
            note = notes.setdefault((f["rule"], f["pulley"]), {"builds": [], "level": f["level"], "over": over, "worst": i})
            if i not in note["builds"]:
                note["builds"].append(i)
            higher = LEVELS.index(f["level"]) - LEVELS.index(note["level"])
            further = None not in (over, note["over"]) and over > note["over"] * (1 + 1e-9)
            if higher > 0 or higher == 0 and further:
                note.update(level=f["level"], over=over, worst=i)
    return list(notes.values())


def paper_of(drive, work, *more):
    path = os.path.join(work, "notes.pdf")
    subprocess.run([SNUB, "sheet", drive, *more, "-o", path], check=False)
    text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    return text.replace("\u00a0", " ")


def compare_notes(name, drive, work, *more):
    """Notes on paper: every build once, the worst of all findings, and the build whose figures it has. @return kinds of them"""
    data = json.loads(subprocess.run([SNUB, "chart", drive, "--json", *more], capture_output=True, text=True, check=False).stdout)
    builds = list(enumerate(data["builds"], 1))
    want = [(n["level"], n["worst"]) for n in worst_of(builds, lambda b, f: True)]
    text = paper_of(drive, work, "--kind", "report", "--all-builds", *more)
    got = [(m[1], int(m[2])) for m in re.finditer(r"^ *[a-zA-Z] +(note|marginal|fail), no\. (\d+): ", text, re.M)]
    expect(f"{name}: worst cases in the report", got == want, f"got {got}", f"want {want}")
    fronts = list(dict.fromkeys(b["variant"] for _, b in builds))
    sold = [n for front in fronts for n in worst_of([(i, b) for i, b in builds if b["variant"] == front],
                                                    lambda b, f: b["verdict"] != "fail" and f["level"] == "marginal")]
    want = [(n["builds"], n["worst"] if len(n["builds"]) > 1 else None) for n in sold]
    text = paper_of(drive, work, "--kind", "chart", *more)
    notes = re.split(r"^ *[a-zA-Z] +\(no\. ", text, flags=re.M)[1:]
    figures = [re.search(r"The figures are those of no\. (\d+)\.", " ".join(n.split())) for n in notes]
    got = [([int(i) for i in n.split(")")[0].split(", ")], int(f[1]) if f else None) for n, f in zip(notes, figures)]
    expect(f"{name}: notes of the chart", got == want, f"got {got}", f"want {want}")
    return len(want)


def compare_paper(example, drive, data, work):
    """The report of all builds: numbers in metric and inch units, each row in the order of its columns."""
    path = os.path.join(work, "chart.pdf")
    subprocess.run([SNUB, "sheet", drive, "--kind", "report", "--all-builds", "-o", path], check=False)
    text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    rows = {int(m[1]): m[2] for m in re.finditer(r"^ *(\d+) +(.*(?:\d+PK\d+|no belt).*)$", text, re.M)}
    expect(f"{example}: paper rows", sorted(rows) == list(range(1, len(data["builds"]) + 1)), str(sorted(rows)))

    def both(value, decimals, us, us_decimals):
        if value is None:
            return [""]
        return [f"{m} ({u})" for m in rounded(value, decimals) for u in rounded(value / us, us_decimals)]
    for i, b in enumerate(data["builds"]):
        want = [[b["code"]]] + [[p] for p in [b["package"]] if p] + [[v] for v in b["options"].values()] + [[b["designation"] or "no belt"]]
        want += [both(v, 1, 25.4, 3) for v in b["slots_mm"].values()] + [rounded(v, 1) for v in list(b["wrap_deg"].values())[:1]]
        want += [rounded(v, 1) for v in b["wrap_gain_pct"].values()]
        if b["blower"]:
            want += [both(b["blower"]["boost_kPa"], 1, 6.894757293168361, 2), rounded(b["blower"]["pulley_rpm"], 0)]
        want += [rounded(b["grip_used"], 2), rounded(b["grip_at_rpm"], 0)]
        want += [rounded(b["blower_grip_used"], 2)] if b["blower"] else []
        want += [rounded(v, 1) for v in b["arm_wind_deg"]] if b["arm_wind_deg"] else []
        want += [rounded(b["blower"]["slip_onset_rpm"], 0)] if b["blower"] else []
        want += [[b["verdict"]]]
        got = " ".join(rows.get(i + 1, "").replace("\u00a0", " ").split())
        pattern = " ".join("(?:" + "|".join(re.escape(o) for o in w) + ")" for w in want if w != [""])
        expect(f"{example}: paper, build {i + 1}", re.match(pattern + "( [a-zA-Z]*)?$", got), f"got {got}", f"want {pattern}")


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


# Decimals on paper by the end of a title's unit; CSV has two more, so that a value is off by half of the last at most.
CSV_ERROR = {"mm": 0.5e-3, "deg": 0.5e-3, "%": 0.5e-3, "kPa": 0.5e-3, "rpm": 0.5e-2, "kW": 0.5e-3, "N m": 0.5e-3, "N": 0.5e-2,
             "degC": 0.5e-2, "kg/s": 0.5e-5, "h": 0.5e-2, "": 0.5e-4}


def compare_csv(name, got, want, units):
    """A row of CSV against JSON, to the digits that CSV has, and no more digits than those."""
    expect(name + ": columns", set(got) == set(want), f"got {sorted(got)}", f"want {sorted(want)}")
    for title in set(got) & set(want):
        value, exact = from_csv(got[title], want[title]), want[title]
        if not isinstance(exact, (int, float)) or value is None:
            expect(f"{name}: {title}", value == exact, f"got {value!r}", f"want {exact!r}")
            continue
        least = CSV_ERROR[units[title]]
        expect(f"{name}: {title}", abs(value - exact) <= least * 1.0001, f"got {value!r}", f"want {exact!r}")
        digits = len(got[title].partition(".")[2])
        expect(f"{name}: digits of {title}", digits <= 5 and "e" not in got[title], got[title])


def sales_titles(options, blower):
    """What whoever sells wants to know, in the order of the worksheet: before it the build, behind it the engineering."""
    return ["variant", "package", *options, "ribs", "belt", "part number", "own number", "belt length",
            *(["boost at redline"] if blower else []), "work on the engine"]


def compare_scale(name, sheet, pixels, keys, wide, breaks):
    """As few pages beside one another as 60 per cent gives, and as large as those pages take, in steps of five."""
    scale = int(sheet.page_setup.scale or 100)
    mm = [((p / 7 - 0.7109375) * 7.43 + 5) * 25.4 / 96 for p in pixels]

    titles = [c.value for c in sheet[3]]
    second = titles.index("work on the engine") + 1 if sheet.title == "builds" else None

    def pages(per_cent):
        count, used, keyed = 1, 0, sum(mm[:keys])
        for c, width in enumerate(mm):
            if c >= keys and used > keyed and (used + width > (wide - 0.6) * 100 / per_cent or c == second):
                count, used = count + 1, keyed
            used += width
        return count

    if (sheet.page_setup.orientation or "portrait") == "landscape":
        expect(f"{name}: as few pages as can be", len(breaks) - 1 == pages(60), (len(breaks) - 1, pages(60)))
        expect(f"{name}: as large as those take", scale == 100 or pages(scale + 5) > len(breaks) - 1, (scale, pages(scale + 5), breaks))
    else:
        expect(f"{name}: upright at a size that is easily read", scale >= 80, scale)
        expect(f"{name}: as large as one page takes", scale == 100 or sum(mm) * (scale + 5) / 100 > wide - 0.6, (scale, sum(mm)))


def compare_print(name, book, data, paper, blower):
    """How the workbook prints, from openpyxl: ECMA-376 has the names of what is looked at."""
    for sheet in book.worksheets:
        head = 3
        right = sheet.max_column
        expect(f"{name}: {sheet.title}: paper", int(sheet.page_setup.paperSize) == paper, sheet.page_setup.paperSize)
        expect(f"{name}: {sheet.title}: titles on each page", sheet.print_title_rows == f"${head}:${head + 1}", sheet.print_title_rows)
        expect(f"{name}: {sheet.title}: the title over each page", sheet.oddHeader.left.text and sheet.oddFooter.right.text == "&P / &N",
               sheet.oddHeader.left.text)
        filtered = sheet.auto_filter.ref
        expect(f"{name}: {sheet.title}: filter", filtered is not None and filtered.startswith(f"A{head + 1}:"), filtered)
        expect(f"{name}: {sheet.title}: heads stay", sheet.freeze_panes is not None and sheet.freeze_panes.endswith(str(head + 2)))
        expect(f"{name}: {sheet.title}: a size that is read", 60 <= int(sheet.page_setup.scale or 100) <= 100, sheet.page_setup.scale)
        # every page's columns are narrower than the paper at that scale: a digit has 7 pixels; the width in the file has the rim of the column in it
        wide = {"portrait": (210, 215.9), "landscape": (297, 279.4)}[sheet.page_setup.orientation or "portrait"][paper == 1] - 25.4
        breaks = [0] + [b.id for b in sheet.col_breaks.brk] + [right]
        keys = openpyxl.utils.column_index_from_string(sheet.print_title_cols.replace("$", "").split(":")[1]) if sheet.print_title_cols else 0
        pixels = [7 * (sheet.column_dimensions[openpyxl.utils.get_column_letter(c + 1)].width or 9) for c in range(right)]
        for first, end in zip(breaks, breaks[1:]):
            need = (sum(pixels[first:end]) + (sum(pixels[:keys]) if first else 0)) * 25.4 / 96 * int(sheet.page_setup.scale or 100) / 100
            expect(f"{name}: {sheet.title}: columns {first} to {end} on one page", need <= wide, f"{need:.0f} of {wide:.0f} mm")
        compare_scale(f"{name}: {sheet.title}", sheet, pixels, keys, wide, breaks)
    sheet = book["builds"]
    titles = [c.value for c in sheet[3]]
    second = [b.id for b in sheet.col_breaks.brk]
    expect(f"{name}: each page says which build", sheet.print_title_cols == "$A:$C" and titles[:3] == ["build", "code", "verdict"], sheet.print_title_cols)
    sold = sales_titles(list(data["builds"][0]["options"]), blower)
    of = [t in sold or t.startswith(("slot setting of ", "diameter of ")) for t in titles]
    last = titles.index("work on the engine")
    expect(f"{name}: the sales columns stand together", all(of[3:last + 1]) and not any(of[last + 1:]), titles)
    expect(f"{name}: the engineering begins a page", last + 1 in second, (second, last))
    expect(f"{name}: landscape", sheet.page_setup.orientation == "landscape" and book["belts"].page_setup.orientation != "landscape")


def compare_findings(name, sheet, data):
    rows, _ = table_of(sheet, 3)
    want = [{"build": i, "code": b["code"], "level": f["level"], "rule": f["rule"], "finding": f["text"]}
            for i, b in enumerate(data["builds"], 1) for f in b["findings"]]
    expect(f"{name}: findings", rows == want, f"got {len(rows)}, want {len(want)}", [r for r in rows if r not in want][:2])
    for r, row in enumerate(want, 5):
        cell = sheet.cell(r, 5)
        height, width = sheet.row_dimensions[r].height or 15, sheet.column_dimensions["E"].width
        expect(f"{name}: finding {r} wraps and is not cut", cell.alignment.wrap_text and height / 15 * width >= len(row["finding"]), (height, width))


def chart(work, example):
    drive = os.path.join(SOURCE, "examples", example)
    done = subprocess.run([SNUB, "chart", drive, "--json"], capture_output=True, text=True)
    data = json.loads(done.stdout)
    options = list(data["builds"][0]["options"])
    air, hardware, arm = (any(b[key] for b in data["builds"]) for key in ("blower", "hardware", "arm_wind_deg"))
    expect(f"{example}: the example has a blower", air)
    want = [chart_row(b, i + 1, options, air, hardware, arm) for i, b in enumerate(data["builds"])]
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
    names = ["builds", "findings", "belts", "inputs", "limits and sources"]
    expect(f"{example}: sheets", book.sheetnames == names, f"got {book.sheetnames}", f"want {names}")
    rows, units = table_of(book["builds"], 3)
    compare_print(example, book, data, 9, any(b["blower"] for b in data["builds"]))
    compare_findings(example, book["findings"], data)
    expect(f"{example}: builds", len(rows) == len(want), f"got {len(rows)}, want {len(want)}")
    for got, row in zip(rows, want):
        compare_row(f"{example} build {row['build']}", got, {k: v for k, v in row.items() if k != "findings"}, lambda value, _: value)
    for title, unit in UNITS.items():
        expect(f"{example}: unit of {title}", title not in units or (units[title] or "") == unit, f"got {units.get(title)!r}")
        column = [c for c in data["columns"] if c["title"] == title]
        expect(f"{example}: unit of {title} in JSON", not column or column[0]["unit"] == unit)
    for b, row in zip(data["builds"], want):
        compare_cells(f"{example} JSON build {row['build']}", b, data["columns"], row)
    compare_text(example, drive, data)
    compare_paper(example, drive, data, work)
    compare_sales(example, drive, data, work)
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
    of_title = {t.split(" [")[0]: t.partition(" [")[2].rstrip("]") for t in flat_rows[0]}
    for got, row in zip(flat_rows[1:], want):
        compare_csv(f"{example} CSV build {row['build']}", dict(zip(titles, got)), row, of_title)
    inches = os.path.join(work, "inches.xlsx")
    subprocess.run([SNUB, "chart", drive, "--inches", "--output", inches], capture_output=True, check=False)
    compare_print(f"{example} in inches", openpyxl.load_workbook(inches), data, 1, any(b["blower"] for b in data["builds"]))
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
                want = {True: "yes", False: None, "": None}.get(want, want) if not isinstance(want, float | int) or isinstance(want, bool) else want
                same = near(value, want, JSON_DIGITS) if isinstance(want, (int, float)) else value == want
                expect(f"part {row['key']}: {title}", same, f"got {value!r}", f"want {want!r}")
    expect("every part is in a sheet", seen == len(data), f"got {seen}, want {len(data)}")
    again = os.path.join(work, "again.xlsx")
    parts("export", "--output", again)
    expect("the same bytes again", open(again, "rb").read() == open(os.path.join(work, "parts.xlsx"), "rb").read())


work = tempfile.mkdtemp()
try:
    every_kind_of_cell(work)
    for example in ("sedgemere.yaml", "sedgemere-locked.yaml", "sedgemere-centrifugal.yaml"):
        chart(work, example)
    ironbrook, sedgemere = (os.path.join(SOURCE, "examples", name) for name in ("ironbrook-v8.yaml", "sedgemere.yaml"))
    loose = ["--set", "mounts.0.bolts.0.torque=16 N m", "--set", "mounts.0.bolts.1.torque=16.25 N m"]
    for drive, more, kinds in ((ironbrook, [], 0), (ironbrook, loose, 2), (sedgemere, [], 1), (sedgemere, ["--set", "belt.ribs=4"], 1)):
        seen = compare_notes(f"notes of {os.path.basename(drive)} {more}", drive, work, *more)
        expect(f"notes of {os.path.basename(drive)} {more}: kinds", seen >= kinds, seen)
    catalogue(work)
finally:
    shutil.rmtree(work, ignore_errors=True)
print(f"{passed} passed, {failed} failed")
sys.exit(failed != 0)
