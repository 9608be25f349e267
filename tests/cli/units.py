"""Inch units through every door: no metric unit is left where nobody wants one, and each number is the metric one converted.

Every command runs on an example of each kind with --inches. Its text, tables, JSON sentences, PDF sheets, drawings, plots and
workbooks are searched for metric units; what may stay is listed in FINE, each with its reason and a sample. Numbers are compared
with those of the metric run by the factors below, which are written out here (NIST SP 811, appendix B.8), not taken from snub.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import html
import io
import json
import os
import pathlib
import re
import subprocess
import tempfile
import zipfile

from tally import check as tell, end



def check(name, good, *details):
    tell(name, good, " | ".join(str(one) for one in details))


SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
ENV = {**os.environ, "COLUMNS": "400", "NO_COLOR": ""}
KIT, LOCKED, CENTRIFUGAL, V8, PLAIN = (str(TOP / "examples" / f"{name}.yaml") for name in (
    "sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8", "three-pulleys"))

# Metric unit to (inch unit, metric units in one of it, zero of it in the metric unit).
INCH = {"mm": ("in", 25.4, 0), "N": ("lbf", 4.4482216152605, 0), "kN": ("lbf", 4.4482216152605e-3, 0),
        "N m": ("lbf ft", 1.3558179483314, 0), "kPa": ("psi", 6.894757293168, 0), "MPa": ("ksi", 6.894757293168, 0),
        "kW": ("hp", 0.74569987158227, 0), "degC": ("degF", 5 / 9, -160 / 9), "kg/s": ("lb/min", 0.45359237 / 60, 0),
        "m/s": ("ft/min", 0.3048 / 60, 0), "kg/m3": ("lb/ft3", 0.45359237 / 0.3048**3, 0), "mm2/s": ("cSt", 1, 0)}


def run(*arguments):
    done = subprocess.run([SNUB, *arguments], capture_output=True, env=ENV)
    return done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace")


# ---- what must not be there ------------------------------------------------------------------------------------------

# Metric units after a number, and as a head or a word of their own; each with a sample that it must find.
METRIC = [
    (r"(?<![\w.])\d[\d.,]*(?: |\u00a0)?(?:mm|cm|kPa|MPa|N\u00a0m|N m|Nm|kW|kN|N|degC|°C|kg|m/s|L)(?![\w/])", "takes 19.5 kW, 10"),
    (r"(?<![\w.])\d[\d.,]*(?: |\u00a0)(?:kg|mm|m|MJ|kJ|N)[/ ](?:s|m|m2|m3|kg|mm|deg)\b", "weighs 1.18 kg/m3"),
    (r"(?<![\w/])(?:mm2?|kPa|MPa|kW|kN|degC|kg/s|kg/m3|kg/m|kg m2|m/s|mm2/s|N/mm|N m)(?![\w/])", "boost\n  kPa"),
    (r"^(?:[ \t]*(?:rpm|deg|%|used|grip|Hz|lbf|in|N))*[ \t]*\bN\b[ \t]*(?:rpm|deg|%|used|grip|Hz|lbf|in|N|[ \t])*$", "  deg   N   rpm"),
]
METRIC = [(re.compile(pattern, re.M), sample) for pattern, sample in METRIC]

# What may stay: (pattern, reason, sample).
FINE = [
    (r"\bmm rpm\b", "the speed number of a bearing, as catalogues have it", "379813 mm rpm"),
    (r"\d x [\d.,]+ mm \([\d.,]+ in\)", "a shim is sold in either", "1 x 0.90 mm (0.035 in)"),
    (r"\(−?-?[\d.,]+[ \u00a0](?:mm|kPa|N[ \u00a0]m)\)", "the metric value behind the inch one, where both are shown", "1.496 in (38.0 mm)"),
    (r"\(−?-?[\d.,]+\)", "the same below a head with both units", "2.051 (52.1)"),
    (r"in \(mm\)|psi \(kPa\)|lbf ft \(N m\)|lbf ft / N m", "heads of both units", "lbf ft / N m"),
    (r"[\d.,]+ x [\d.,]+ x [\d.,]+[ \u00a0]mm", "a bearing is known by its millimetres", "17 x 40 x 12 mm"),
    (r"(?:hexagon head|socket head|Sechskantkopf|Innensechskant haben)[ \u00a0]+[\d]+[ \u00a0]mm", "a spanner is known by its millimetres", "spanner or socket, hexagon head   13 mm"),
    (r"3[.,]2 mm \(1/8 in\)", "both", "3.2 mm (1/8 in)"),
    (r"(?:^|  )100[ \u00a0]mm$", "the end of the millimetre ruler", "60   80  100 mm"),
    (r"100[.,]0 mm (?:or|oder|and|und) 4[.,]0+ in", "there is a ruler in either", "100.0 mm and 4.00 in"),
    (r"[a-z_ ]+\.[a-z_]+(?: |=)[\d.,]+ (?:mm|in|N)\b", "a value as the file writes it, with the unit that it is read in", "blower.diameter 88 mm"),
    (r"^\s*(?:\d+ +)?(?:[A-HJKMNP-TV-Z][0-9A-HJKMNP-TV-Z]{5} +)?(?:(?:street|touring|track) +)?\d+ mm\b", "the same in a column", "1 KCGRJK  track  97 mm"),
    (r"\(basis: .*\)$", "a source keeps its own numbers", "(basis: rule of thumb: 250 N per rib)"),
    (r"\(range: .*?\)(?= |$)", "the same", "(range: published values, 9.8 to 59 kN)"),
    (r"rule of thumb: 250 N per rib, 4\s+to\s+1\s+and\s+50 m/s make 7\.6 kW|steel over 500 MPa, GJL-250, aluminium over 180 MPa|"
     r"Faustregel: 250 N je Rippe, 4\s+zu\s+1\s+und\s+50 m/s ergeben 7,6 kW|Stahl über 500 MPa, GJL-250, Aluminium über 180 MPa", "the same", "rule of thumb: 250 N per rib, 4 to 1 and 50 m/s make 7.6 kW"),
    (r"for N\b|--build N|--rpm N", "a placeholder of a command", "--build N"),
    (r"A bare number is in mm, deg, N, N m, kg, kg m2, kW, rpm, kPa, degC or L", "how a file is read", "A bare number is in mm, deg, N, N m, kg, kg m2, kW, rpm, kPa, degC or L"),
    (r"published values of two belt makers, 9\.8 to 59 kN", "a source", "published values of two belt makers, 9.8 to 59 kN"),
]
FINE = [(re.compile(pattern, re.M), reason, sample) for pattern, reason, sample in FINE]


def metric_units(text):
    for pattern, _, _ in FINE:
        text = pattern.sub(" ", text)
    return [text[max(0, hit.start() - 30):hit.end() + 20].replace("\n", "|") for pattern, _ in METRIC for hit in pattern.finditer(text)]


for pattern, sample in METRIC:
    check(f"the search finds: {sample!r}", pattern.search(sample) is not None, sample)
for pattern, reason, sample in FINE:
    check(f"may stay ({reason}): {sample!r}", pattern.search(sample) is not None, sample)


def clean(name, text):
    check(f"no metric unit: {name}", metric_units(text) == [], metric_units(text)[:5])


# ---- numbers with their unit, in the order of the text -----------------------------------------------------------------

PLAIN_UNITS = ("deg", "rpm", "rpm/s", "Hz", "%", "h", "arcmin")
UNITS = sorted([*INCH, *(one[0] for one in INCH.values()), *PLAIN_UNITS], key=len, reverse=True)
NUMBER = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) ?(" + "|".join(re.escape(unit) for unit in UNITS) + r")(?![\w/])")


def numbers(text):
    text = re.sub(r"\n +(?=\S)", " ", text)  # wrapped
    return [(float(number), len(number.partition(".")[2]), unit) for number, unit in NUMBER.findall(text)]


def apart(metric, shown):
    """Half a last digit of each, in the metric unit: more no two roundings of one number may differ."""
    (value, decimals, unit), (other, digits, name) = metric, shown
    inch, size, zero = INCH[unit] if unit in INCH else (unit, 1, 0)
    if name != inch:
        return f"{metric} became {shown}"
    room = 0.5000001 * 10.0**-decimals + 0.5000001 * size * 10.0**-digits
    return None if abs(other * size + zero - value) <= room else f"{metric} became {shown}: {other * size + zero} in {unit}"


def agree(name, metric, shown):
    a = numbers(re.sub(r" \(-?[\d.]+ psi\)", "", re.sub(r"\(basis: .*\)", "", metric)))
    shown = re.sub(r"(?:6203|SAE 8) in ", " ", shown)
    b = numbers(re.sub(r" \(\d+ ribs, [\d.]+ in effective\)", "", re.sub(r"\(basis: .*\)", "", shown)))
    b = [one for one in b if one[2] not in INCH or one[2] in PLAIN_UNITS]
    a = [one for one in a if one[2] not in ("in",)]
    faults = [fault for one, other in zip(a, b) if (fault := apart(one, other))]
    check(f"numbers agree: {name}", len(a) == len(b) and not faults, len(a), len(b), faults[:4])
    check(f"there are numbers: {name}", len(a) > 1, len(a))


# ---- commands for a terminal -------------------------------------------------------------------------------------------

TERMINAL = [("check", KIT), ("check", KIT, "--defaults", "--arm", "45"), ("check", LOCKED), ("check", CENTRIFUGAL), ("check", V8), ("check", PLAIN),
            ("check", KIT, "--set", "blower.diameter=70", "--set", "belt.ribs=5"), ("mount", KIT), ("mount", LOCKED), ("mount", V8), ("sweep", KIT),
            ("sweep", CENTRIFUGAL), ("sweep", V8), ("sweep", KIT, "--wet", "--set", "blower.diameter=73"), ("sweep", KIT, "--want-boost", "8 psi"),
            ("sweep", CENTRIFUGAL, "--want-boost", "60 kPa"), ("chart", KIT, "--findings"), ("chart", V8), ("chart", LOCKED),
            ("compare", KIT, "--against", "low compressor"), ("compare", V8, "--with", "belt.ribs=10"), ("compare", KIT, LOCKED)]
for command in TERMINAL:
    name = " ".join(word.rpartition("/")[2] for word in command)
    code, shown, error = run(*command, "--inches")
    other, metric, _ = run(*command, "--metric")
    check(f"answers: {name}", code in (0, 1) and code == other and len(shown) > 200, code, other, error)
    clean(name, shown)
    if command[0] not in ("chart", "compare") and (command[0], command[1]) != ("mount", LOCKED):
        agree(name, metric, shown)

# Tables: the cells of a row in the order of the columns; None is no number.
LBF, LBF_FT = 1 / 4.4482216152605, 1 / 1.3558179483314
TABLES = [(("check", KIT), "steering ", [1, 1, None, LBF_FT, LBF, LBF, 1, LBF, 1, 1]), (("check", KIT), "compressor  crank", [None, 1 / 25.4, LBF, 1]),
          (("mount", KIT), "exit idler    ", [LBF_FT, LBF_FT, LBF * 1000, LBF_FT, 1, 1 / 6.894757293168, 1, 1]),
          (("check", V8), "steering ", [1, 1, None, LBF_FT, LBF, LBF, 1, LBF, 1, 1])]
for command, head, factors in TABLES:
    rows = []
    for units in ("--metric", "--inches"):
        lines = [line for line in run(*command, units)[1].splitlines() if line.startswith(head) and len(line.split()) >= len(factors)]
        rows.append([line.split()[-len(factors):] for line in lines])
    faults = []
    for old, new in zip(*rows):
        for a, b, factor in zip(old, new, factors):
            if factor is None or not re.fullmatch(r"-?[\d.]+", a):
                continue
            room = 0.5000001 * (10.0**-len(a.partition(".")[2]) * factor + 10.0**-len(b.partition(".")[2]))
            if abs(float(a) * factor - float(b)) > room:
                faults.append((a, b, factor))
    check(f"table: {head.strip()} of {command[0]}", rows[0] and len(rows[0]) == len(rows[1]) and not faults, rows, faults)

# A comparison has the two numbers and then their unit.
LINE = re.compile(r"^  (\S.*?) +(-?[\d.]+) +(-?[\d.]+) (" + "|".join(re.escape(unit) for unit in UNITS) + r")(?: +(?:better|worse))? *$", re.M)
lines = [LINE.findall(run("compare", KIT, LOCKED, units)[1]) for units in ("--metric", "--inches")]
faults = [fault for old, new in zip(*lines) for k in (1, 2)
          if (fault := apart((float(old[k]), len(old[k].partition(".")[2]), old[3]), (float(new[k]), len(new[k].partition(".")[2]), new[3])))]
check("a comparison's numbers are converted", len(lines[0]) > 20 and len(lines[0]) == len(lines[1]) and not faults, len(lines[0]), len(lines[1]), faults[:4])

# A bolt's torque is in both.
code, text, _ = run("mount", KIT, "--inches")
both = re.findall(r"([\d.]+) / +([\d.]+)", text)
check("a torque for a wrench in both units", len(both) == 4 and all(abs(float(a) / LBF_FT - float(b)) < 0.12 for a, b in both), both)

# ---- a value and its limit never print alike ------------------------------------------------------------------------------

for units in ("--metric", "--inches"):
    for drive in (KIT, CENTRIFUGAL, V8):
        text = run("chart", drive, "--findings", units)[1]
        same = [hit.group(0) for hit in re.finditer(r": (-?[\d.]+)( [\w/ ]+?)?, limit \1\2(?=,| |\n)", text)]
        check(f"value and limit differ in print: {drive.rpartition('/')[2]} {units}", same == [], same[:3])

# ---- JSON: numbers as ever, sentences in the reader's units ------------------------------------------------------------------

SENTENCES = {"text", "advice", "assumptions", "words", "no_equilibrium", "cells", "tightening", "shims", "file_writes"}


def split(value, sentences):
    """Without its sentences, which are gathered."""
    if isinstance(value, dict):
        sentences += [str(inner) for key, inner in value.items() if key in SENTENCES and not isinstance(inner, (dict, list))]
        return {key: split(inner, sentences) for key, inner in value.items() if key not in SENTENCES or isinstance(inner, dict)}
    return [split(one, sentences) for one in value] if isinstance(value, list) else value


for command in [("check", KIT, "--set", "blower.diameter=70", "--set", "belt.ribs=5"), ("mount", V8), ("sweep", KIT), ("chart", V8),
                ("compare", KIT, LOCKED)]:
    kept, inch, old = [], [], []
    for units, sentences in (("--metric", old), ("--inches", inch)):
        kept.append(split(json.loads(run(*command, "--json", units)[1]), sentences))
    name = f"{command[0]} --json"
    check(f"numbers stay: {name}", kept[0] == kept[1])
    clean(name, "\n".join(inch))
    for metric, shown in zip(old, inch):
        a, b = numbers(metric), numbers(shown)
        check(f"sentence agrees: {name}", len(a) == len(b) and not [1 for one, other in zip(a, b) if apart(one, other)] or "(" in metric, metric, shown)

# ---- CSV and workbooks ------------------------------------------------------------------------------------------------------

with tempfile.TemporaryDirectory() as folder:
    for command in [("chart", KIT), ("chart", V8), ("sweep", KIT, "--pulleys"), ("sweep", CENTRIFUGAL)]:
        name = f"{command[0]} of {command[1].rpartition('/')[2]} as CSV"
        tables = []
        for units in ("--metric", "--inches"):
            run(*command, "--output", f"{folder}/a.csv", units)
            tables.append(list(csv.reader(io.StringIO(pathlib.Path(folder, "a.csv").read_text()))))
        faults, turned = [], 0
        for c, (old, new) in enumerate(zip(tables[0][0], tables[1][0])):
            a, b = (re.search(r" \[(.*)\]$", head) for head in (old, new))
            if a and b is None and all(y[c] == f"{x[c]} {a.group(1)}" for x, y in zip(tables[0][1:], tables[1][1:])):
                continue  # an option as the file writes it, with the unit that it is in
            digits = [max((len(row[c].partition(".")[2]) for row in table[1:]), default=0) for table in tables]
            inch, size, zero = INCH.get(a.group(1), (a.group(1), 1, 0)) if a else ("", 1, 0)
            if a and (b is None or b.group(1) != inch):
                faults.append((old, new))
            if not a or size == 1:
                continue
            turned += 1
            faults += [(old, x[c], y[c]) for x, y in zip(tables[0][1:], tables[1][1:])
                       if x[c] and abs(float(y[c]) * size + zero - float(x[c])) > 0.5001 * (10 ** -digits[0] + size * 10 ** -digits[1])]
        check(f"converted: {name}", turned >= 3 and not faults, turned, faults[:4])
        clean(f"heads of {name}", "\n".join(tables[1][0]))
    for command in [("chart", KIT), ("sweep", V8)]:
        run(*command, "--output", f"{folder}/a.xlsx", "--inches")
        with zipfile.ZipFile(f"{folder}/a.xlsx") as book:
            parts = [name for name in book.namelist() if re.match(r"xl/(sharedStrings|worksheets/[^/]+)\.xml$", name)]
            words = re.findall(r"<t(?: [^>]*)?>([^<]*)</t>", "".join(book.read(name).decode() for name in parts))
        written = pathlib.Path(command[1]).read_text()
        ours = [html.unescape(word) for word in words if html.unescape(word) not in written]
        clean(f"workbook of {command[0]}", "\n".join(ours))
        check(f"workbook of {command[0]} has inch heads", {"psi", "hp"} & set(words) and "lbf" in words or "in" in words, words[:40])

    # ---- paper ------------------------------------------------------------------------------------------------------------

    def pdf_text(path):
        return subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True).stdout.decode()

    PAIR = re.compile(r"(−?[\d.,]+)\s(in|psi|lbf\sft)\s\((−?[\d.,]+)\s(mm|kPa|N\sm)\)")
    for drive in (KIT, LOCKED, V8):
        for language in ("en", "de"):
            for kind in ("fitting", "chart", "parts", "report", "template"):
                if (drive, language) != (KIT, "en") and kind not in ("fitting", "report") or drive is LOCKED and (kind, language) != ("fitting", "en") \
                        or (drive, language) == (V8, "de"):
                    continue
                path, name = f"{folder}/{kind}.pdf", f"{kind} sheet, {language}, {drive.rpartition('/')[2]}"
                code, _, error = run("sheet", drive, "--kind", kind, "--inches", "--language", language, "-o", path)
                text = pdf_text(path) if code in (0, 1) else ""
                check(f"printed: {name}", len(text) > 200, code, error)
                # basis columns wrap in narrow cells: they are sources, and the findings above have the numbers
                clean(name, text if kind != "report" else re.sub(r"(?:250 N|50 m/s|7[.,]6(?: kW)?|500 MPa|180 MPa)|^\s*kW$", " ", text, flags=re.M))
                pairs = PAIR.findall(text)
                faults = []
                for a, inch, b, metric in pairs:
                    a, b = (one.replace("−", "-").replace(",", ".") for one in (a, b))
                    fault = apart((float(b), len(b.partition(".")[2]), re.sub(r"\s", " ", metric)), (float(a), len(a.partition(".")[2]), re.sub(r"\s", " ", inch)))
                    faults += [fault] if fault else []
                check(f"pairs agree: {name}", not faults and (pairs or kind in ("chart", "report")), len(pairs), faults[:3])
    size = subprocess.run(["pdfinfo", f"{folder}/fitting.pdf"], capture_output=True).stdout.decode()
    check("letter paper where inches are read", "612 x 792" in size, re.findall("Page size.*", size))

    # ---- drawings and plots --------------------------------------------------------------------------------------------------

    for drive in (KIT, V8):
        for view in ("front", "side", "template"):
            run("draw", drive, "--view", view, "--inches", "-o", f"{folder}/a.svg")
            words = [html.unescape(re.sub(r"<[^>]*>", "", one)) for one in re.findall(r"<text[^>]*>(.*?)</text>", pathlib.Path(folder, "a.svg").read_text(), re.S)]
            clean(f"{view} view of {drive.rpartition('/')[2]}", "\n".join(words))
            check(f"{view} view has inches", any(re.search(r"\d in\b|, in$|^in$", word) for word in words), words[:20])
    run("draw", KIT, "--inches", "-o", f"{folder}/in.dxf")
    run("draw", KIT, "--metric", "--paper", "letter", "-o", f"{folder}/mm.dxf")
    dxf = [pathlib.Path(folder, f"{name}.dxf").read_text().split("\n") for name in ("in", "mm")]
    circles = [[float(lines[i + 1]) for i, line in enumerate(lines) if line == " 40" and "CIRCLE" in lines[i - 10:i]] for lines in dxf]
    check("a DXF for inches is in inches", circles[0] and len(circles[0]) == len(circles[1]) and all(abs(a * 25.4 - b) < 2e-5 for a, b in zip(*circles)), circles[0][:3], circles[1][:3])
    units = [lines[lines.index("$INSUNITS") + 2].strip() for lines in dxf]
    check("and says so", units == ["1", "4"], units)
    for command in [("sweep", KIT), ("sweep", KIT, "--each", "blower.diameter"), ("sweep", CENTRIFUGAL)]:
        plots = []
        for unit in ("--metric", "--inches"):
            run(*command, "--plot", f"{folder}/a.svg", unit)
            plots.append(pathlib.Path(folder, "a.svg").read_text())
        words = [html.unescape(re.sub(r"<[^>]*>", "", one)) for one in re.findall(r"<text[^>]*>(.*?)</text>", plots[1], re.S)]
        clean(f"plot, {' '.join(command[2:]) or command[1].rpartition('/')[2]}", "\n".join(words))
        check("plot: boost in psi", any(word.endswith("boost, psi") for word in words), words[:20])

    # ---- parts ----------------------------------------------------------------------------------------------------------------

    catalogue = f"{folder}/parts.db"
    run("parts", "import", "--catalogue", catalogue, str(TOP / "data/parts/bearings.csv"))
    code, metric, error = run("parts", "find", "6203", "--catalogue", catalogue, "--most", "3")
    code, shown, _ = run("parts", "find", "6203", "--catalogue", catalogue, "--most", "3", "--inches")
    check("parts are listed", code == 0 and "mm" in metric, metric[:300], error)
    clean("parts find", shown)
    agree("parts find", metric, shown)

# ---- small things that a wrench hangs on -------------------------------------------------------------------------------------

code, text, _ = run("chart", KIT, "--inches")
check("an option that the file writes bare has its unit", re.search(r"^\w{6} +street +97 mm +6PK", text, re.M) and "97 mm" not in run("chart", KIT)[1], text[:600])
text = run("check", KIT, "--inches", "--set", "blower.diameter=70")[1]
shown = re.findall(r"\$ snub (.*)", text)
check("a shown command keeps the units", shown and all("--inches" in one for one in shown), shown)
check("and answers in them", "lbf" in run(*shown[0].replace("'", "").split())[1], shown[:1])
with tempfile.TemporaryDirectory() as folder:
    for units, mm, last in (("--inches", 101.6, "4 in"), ("--metric", 100.0, "100 mm")):
        run("draw", KIT, "--view", "template", units, "-o", f"{folder}/a.svg")
        svg = pathlib.Path(folder, "a.svg").read_text()
        rules = [abs(float(b) - float(a)) for a, b in re.findall(r'<line x1="([\d.]+)" y1="[\d.]+" x2="([\d.]+)"', svg)]
        check(f"a ruler of {last}", f">{last}<" in svg and any(abs(one - mm) < 1e-3 for one in rules), max(rules))
        run("draw", KIT, units, "--scale", "1", "-o", f"{folder}/a.svg")
        svg = pathlib.Path(folder, "a.svg").read_text()
        # strokes of the slot's scale: their middles along it, from its 0 end, an inch's twentieth or a millimetre apart
        strokes = [tuple(map(float, one)) for one in re.findall(r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)" stroke="#[0-9a-f]+" stroke-width="0.18"', svg)]
        middles = [((x1 + x2) / 2, (y1 + y2) / 2) for x1, y1, x2, y2 in strokes if abs(((x2 - x1)**2 + (y2 - y1)**2)**0.5 - 1.6) < 0.01]
        steps = [((c - a)**2 + (d - b)**2)**0.5 for (a, b), (c, d) in zip(middles, middles[1:])]
        check(f"the slot's scale, {units}", steps.count(min(steps)) > 0 and abs(sorted(steps)[len(steps) // 2] - (1.27 if units == "--inches" else 1)) < 0.01, sorted(steps)[:5])
code, text, _ = run("parts", "list", "--inches", "--format", "csv")
check("the CSV of parts is for import: metric, and says so", code == 2, text)

# ---- who decides, and what is said of bare numbers -------------------------------------------------------------------------------

check("the file's units hold", "lbf" in run("check", V8)[1])
check("--metric wins over the file", "lbf" not in run("check", V8, "--metric")[1])
check("a file without units is metric", "lbf" not in run("check", KIT)[1])
code, _, error = run("check", KIT, "--inches", "--metric")
check("both at once are refused", code == 2 and "leave one out" in error, error)
check("a file with all units written is told nothing", run("check", V8)[2] == "", run("check", V8)[2])
with tempfile.TemporaryDirectory() as folder:
    bare = pathlib.Path(folder, "bare.yaml")
    bare.write_text(pathlib.Path(PLAIN).read_text() + "units: us\n")
    code, text, error = run("check", str(bare))
    metric = run("check", PLAIN, "--inches")[1]
    check("units: us changes no bare number", re.sub(r"\$ snub check.*", "", text) == re.sub(r"\$ snub check.*", "", metric), text[:300], metric[:300])
    check("and the first one is pointed out, once", error.count("is read in mm") == 1 and "bare.yaml:5:" in error and "14 other" in error, error)
    check("with what to write", "Write '900 in' if you mean inch units, or '900 mm'" in error, error)
    answer = json.loads(run("check", str(bare), "--json")[1])
    check("in JSON as a hint", len(answer["hints"]) == 1 and "is read in mm" in answer["hints"][0]["message"], answer.get("hints"))
    code, _, error = run("chart", str(bare))
    check("a chart says it once as well", error.count("is read in mm") == 1, error)
    check("--metric does not silence it", "is read in mm" in run("check", str(bare), "--metric")[2])
    made, given = pathlib.Path(folder, "made.yaml"), str(pathlib.Path(folder, "parts.db"))
    run("parts", "init", "--catalogue", given)
    plain = (TOP / "examples/ironbrook-v8.yaml").read_text()
    made.write_text(re.sub(r"\n  stock: .*", "\n  stock: catalogue", plain))
    check("the example's stock is where it was", made.read_text() != plain)
    for what in (["check"], ["check", "--build", "2"], ["chart"]):
        code, text, error = run(*what[:1], str(made), *what[1:], "--catalogue", given)
        check(f"{what}: a belt of the catalogue is no bare number", code in (0, 1) and "is read in" not in error and "PK" in text, error)
    made.write_text(made.read_text().replace("diameter: 6.5 in", "diameter: 165.1"))
    error = run("check", str(made), "--catalogue", given)[2]
    check("one of the file is", "crank.diameter: is read in mm" in error and "165.1 in" in error and "other" not in error.split("Write")[0].split("number", 1)[1], error)
    bare.write_text(bare.read_text().replace("units: us", "units: inch"))
    code, _, error = run("check", str(bare))
    check("another word is refused, with those that there are", code == 2 and "metric or us" in error, error)

# What is read, as people write it: each gives the number of the other.
SAME = [("engine.redline=6500 rpm", "engine.redline=6500"), ("air.temperature=86 °F", "air.temperature=30 °C"), ("air.temperature=86 degF", "air.temperature=30"),
        ("air.pressure=29.9213 inHg", "air.pressure=101.325"), ("alternator.diameter=2.5 in", "alternator.diameter=63.5"),
        ("tensioner.arm.preload=15 lbf ft", "tensioner.arm.preload=20.33727"), ("tensioner.arm.preload=15 ft lbf", "tensioner.arm.preload=20.33727"),
        ("tensioner.arm.preload=180 lbf in", "tensioner.arm.preload=20.33727"), ("tensioner.arm.preload=180 in lbf", "tensioner.arm.preload=20.33727")]
for inch, metric in SAME:
    a, b = (json.loads(run("check", PLAIN, "--json", "--set", one)[1] or "{}").get("belt") for one in (inch, metric))
    near = a and b and all(abs(a[key] - b[key]) < 1e-4 * max(1, abs(b[key])) for key in a if isinstance(a[key], float))
    check(f"read alike: {inch}", near, a, b)
# And what is no unit is answered with the spelling that is one.
for wrong, right in [("tensioner.arm.preload=15 ft-lb", "lbf ft"), ("tensioner.arm.preload=15 lb-ft", "lbf ft"), ("tensioner.arm.preload=180 in-lb", "lbf"),
                     ("tensioner.arm.preload=180 lb-in", "lbf"), ("tensioner.arm.preload=15 ft lbs", "lbf ft"), ('alternator.diameter="2.5\\""', "in"),
                     ("alternator.diameter=2 1/2 in", "2.5 in"), ("tensioner.arm.preload=15 lbf-ft", "lbf ft")]:
    code, out, error = run("check", PLAIN, "--set", wrong)
    check(f"answered: {wrong}", code == 0 or (code == 2 and right in error), code, error)

raise SystemExit(end())
