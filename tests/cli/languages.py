"""Languages of the sheets: a catalogue is all that one takes; nothing on paper goes past it; no word is broken and none lies on
another, whatever it is long; numbers have the language's decimal mark.

The third language is made up from po/snub.pot (pseudo_language.py): what stands on paper in plain small letters is
English that nobody can translate. The names of the drive files are put into capitals first, so that no name passes for
a word of ours. German is read for English words, by the catalogue itself.
Needs SNUB_BIN, SNUB_SOURCE_DIR and SNUB_BUILD_DIR. The last line is `N passed, N failed`."""
import concurrent.futures
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

import yaml

import pseudo_language
import sheet_check
from tally import expect as check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
BUILT = pathlib.Path(os.environ["SNUB_BUILD_DIR"]) / "locale"
POT = TOP / "po/snub.pot"
WORD = re.compile(r"[^\W\d_]+")
CUT = {"template"}  # its pages cut words that go on overleaf

KINDS = {kind: ["--kind", kind] for kind in ("fitting", "chart", "parts", "bill", "template", "strip", "report")}
MORE = {"every build": ["--kind", "report", "--all-builds"],
        "wet, defaults": ["--kind", "report", "--wet", "--defaults"],
        "marginal": ["--kind", "report", "--set", "belt.ribs=4"],
        "fails": ["--kind", "fitting", "--set", "BLOWER.diameter=62"],
        "shims": ["--kind", "report", "--set", "STEERING.stack.0.length=-43.9"],
        "shims, steps": ["--kind", "fitting", "--set", "STEERING.stack.0.length=-43.9"],
        "no loads": ["--kind", "report", "--set", "air={pressure: 60, temperature: 80, humidity: 1}"]}
# a drive with packages, metal to be taken off and parts to be reworked; a locked one; a centrifugal; one in inches
DRIVES = {"sedgemere": {**KINDS, **MORE, "reworked": ["--kind", "parts", "--package", "TRACK"],
                        "house, steps": ["--kind", "fitting", "--house", "house.yaml", "--date", "2026-01-31"],
                        "house, chart": ["--kind", "chart", "--house", "house.yaml", "--paper", "letter"],
                        "inches": ["--kind", "report", "--inches"]},
          "sedgemere-locked": {kind: KINDS[kind] for kind in KINDS if kind != "strip"},  # there is none to print
          "sedgemere-centrifugal": KINDS,
          "ironbrook-v8": {**KINDS, "marginal": MORE["marginal"]}}
HOUSE = """snub: 1
company: BRIGHT KITS
address: [MILL LANE]
disclaimers: [WHAT WAS SOLD IS ANSWERED FOR.]
language: xx
revisions:
  - {revision: A, date: 2026-01-12, reason: FIRST ISSUE, by: MARSH, approved: LUND}
"""
DENSE = {"sedgemere": ("chart", "parts", "bill", "report", "every build", "marginal"),
         "ironbrook-v8": ("chart", "fitting", "report", "marginal")}

# ---- what may stand in plain letters ---------------------------------------------------------------------------------------

# units are the same in every language but those that are words: deg, rpm, degC are in the catalogue
UNITS = ("ft/min", "kg/m", "lb/ft", "lbf/in", "m/s", "mm", "in", "m", "kg", "lb", "ft", "lbf", "hp", "kPa", "psi", "kW", "kN", "MPa",
         "ksi", "Hz", "h", "N", "L", "K")
UNIT = "(?:%s)[23]?" % "|".join(UNITS)
IDS = re.findall(r'SNUB_(?:RULE|LIMIT)\(\w+,\s*"([a-z]+)"', (TOP / "include/snub/rule_list.inc").read_text()
                 + (TOP / "include/snub/limit_list.inc").read_text())
ALLOWED = [re.compile(pattern, re.M) for pattern in (
    r"`[^`]*`",                                       # a key of the drive file, or a command
    r"[\w-]+\.yaml|snub \d[\w.]*|SHA-256 [0-9a-f]+",  # of every page's foot: the file, the version, the fingerprint
    r"\b[0-9a-f]{20,}\b",                             # the whole fingerprint, on a line of its own
    r"\b\w+(?:\.\w+)*=(?:\{.*?\}|\S+)",               # what --set says: belt.ribs=4
    r"\b[a-z]+(?:\.[a-z_]+)+\b",                      # a path of the drive file: belt.friction.limit.rib
    r"\b[a-z0-9]+(?:_[a-z0-9]+)+\b",                  # id of a rule or limit: bearing_speed
    r"^(?:\S+ )?(?:%s)\b" % "|".join(IDS),            # one of a single word, in its column or behind the level
    rf"^(?:(?:{UNIT}|%|\({UNIT}\)|1/min|Grad|\[[^\]]*\])(?: |$))+$",  # the row of units under a table's head
    rf"(?<=[\d)–]) (?:{UNIT} )*{UNIT}(?![\w/])|\({UNIT}\)",  # a unit after a number; the other one
    rf"(?<=, ){UNIT}$|(?<=\] ){UNIT}$|(?<=\[){UNIT}(?= )",  # of a plot's axis; of a row; "N per rib"
    r"\b(?:ALL|[0-9A-HJKMNP-TV-Z]{6})\+?(?:-[A-Z])?(?!\w)|\b\d+PK\d+\b",  # code of a build, number of a sheet, a belt's name
    r"\bISO(?= \d)|\bSAE(?= [J\d])|\bCN\b",          # standards, clearance of a bearing
    r"\b[a-zA-Z]\b")]                                 # letter of a note; x, y
# "8.8" and "10.9" are property classes; B18.2.1 and the version have no decimal mark
NO_DECIMALS = re.compile(r"(?<![\d.])(?:8\.8|10\.9)(?![\d.])|B18\.\d(?:\.\d)?|snub \d[\w.]*|[\w.]+=\S+")


def stripped(text):
    for pattern in ALLOWED:
        text = pattern.sub(" ", text)
    return text


# ---- drive files with their names in capitals --------------------------------------------------------------------------------

FREE = ("title", "about", "reason", "note", "do", "where", "kit_number")
LISTS = ("packages", "variants", "options")


def names_in(node, names):
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            if key.value == "name":
                names.add(value.value)
            names_in(value, names)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            names_in(value, names)


def capital_path(path, names):
    steps = path.split(".")
    for i, step in enumerate(steps[:2]):
        if step in names:
            steps[i] = step.upper()
            break
    return ".".join(steps)


def put_capitals(node, depth, section, key, names):
    if isinstance(node, yaml.MappingNode):
        for name, value in node.value:
            under = name.value
            if depth > 0 and section in LISTS and (depth == 1 and section != "options"):
                name.value = under.upper()
            elif depth > 0 and section in LISTS:
                name.value = capital_path(under, names)
            put_capitals(value, depth + 1, under if depth == 0 else section, under, names)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            put_capitals(value, depth + 1, section, key, names)
    elif key in FREE or (key in ("name", "mount") and node.value in names):
        node.value = node.value.upper()


def capitals(text):
    """A drive file with every name and free text in capitals; keys, numbers and words that a key takes stay."""
    root, names = yaml.compose(text), set()
    names_in(root, names)
    put_capitals(root, 0, "", "", names)
    return yaml.serialize(root, allow_unicode=True, width=10000)


# ---- languages and sheets ------------------------------------------------------------------------------------------------------

class Desk:
    """A folder with catalogues, drives and what is printed."""

    def __init__(self, folder):
        self.folder = pathlib.Path(folder)
        self.environment = {**os.environ, "SNUB_DATA": folder}
        (self.folder / "locale").mkdir()
        (self.folder / "maps").symlink_to(TOP / "examples/maps")
        self.texts = {name: capitals((TOP / f"examples/{name}.yaml").read_text()) for name in DRIVES}
        (self.folder / "house.yaml").write_text(HOUSE)
        for name, text in self.texts.items():
            (self.folder / f"{name}.yaml").write_text(text)

    def compile(self, po, code):
        subprocess.run(["msgfmt", "-o", self.folder / f"locale/{code}.mo", po], check=True)

    def run(self, *arguments):
        return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=120, env=self.environment,
                              cwd=self.folder)

    def sheet(self, drive, options, language, out):
        """Text of a printed sheet; None where it could not be printed, which counts."""
        done = self.run("sheet", f"{drive}.yaml", *options, "--language", language, "-o", out)
        good = done.returncode in (0, 1)
        check(f"{drive}, {options}, {language} is printed", good, done.stderr)
        if not good:
            return None
        text = subprocess.run(["pdftotext", "-raw", self.folder / out, "-"], capture_output=True, text=True, check=True).stdout
        return text.replace("\xa0", " ").replace("\f", "\n")


def broken(text, vocabulary, foreign):
    """Pieces of words: what `foreign` letters make, and the language has no such word."""
    return sorted({word for word in WORD.findall(text) if foreign(word) and word not in vocabulary})


def vocabulary_of(texts):
    return {word for text in texts for word in WORD.findall(pseudo_language.KEPT.sub(" ", text))}


LEAST_PRINT = 5.5  # points from the ascent to the descent of a word, whichever way it is turned: 4.9 pt of type
BOX = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.{4,})</word>')


def small_print(boxes):
    """Words that were made too small to be read, so that they fit."""
    return sorted({m[5] for m in BOX.finditer(boxes) if min(float(m[3]) - float(m[1]), float(m[4]) - float(m[2])) < LEAST_PRINT})


def look(desk, job):
    """One sheet in one language, looked at in every way."""
    drive, kind, options, language, vocabulary, foreign, english = job
    name = f"{drive}, {kind}, {language}"
    out = f"{drive}-{kind}-{language}.pdf".replace(" ", "-").replace(",", "")
    text = desk.sheet(drive, options, language, out)
    if text is None:
        return
    lines = stripped(text).splitlines()
    names = WORD.findall(desk.texts[drive] + HOUSE)
    own = lambda word: word.isupper() and (any(word in name for name in names) if kind in CUT else word in names)
    past = [(line, bad) for line in lines if (bad := [word for word in english(line) if not own(word)])]
    check(f"{name}: nothing in English", not past, *past[:4])
    marks = [line for line in NO_DECIMALS.sub(" ", text).splitlines() if re.search(r"(?<![\w.-])\d+\.\d+(?![\w.])", line)
             and not re.search(r"[A-Z]{3,} .*\d\.\d", line)]  # capitals: the file's own text
    check(f"{name}: decimal marks", not marks, *marks[:4])
    check(f"{name}: has numbers", re.search(r"\d,\d", text))
    if kind not in CUT:
        check(f"{name}: no word is broken", not (pieces := broken("\n".join(lines), vocabulary, foreign)), pieces)
        boxes = sheet_check.boxes_of(desk.folder / out)
        check(f"{name}: nothing too small to be read", not (small := small_print(boxes)), small)
        check(f"{name}: words inside the margins and apart", not (wrong := list(sheet_check.faults_of(boxes))), wrong)


# ---- the made-up language, German ------------------------------------------------------------------------------------------------

def plain_words(line):
    """Words in ASCII letters, which the made-up language has none of."""
    return [word for word in WORD.findall(line) if len(word) > 1 and word.isascii()]


def english_of(german):
    """Finder of words that only the English of the messages has."""
    words = [vocabulary_of(texts) for texts in (german.keys(), german.values())]
    only = {word for word in words[0] - words[1] if len(word) > 1}
    return lambda line: [word for word in WORD.findall(line) if word in only], only


def jobs_of(messages, german):
    small = lambda word: re.search("[a-zäöüß]{2}", word)
    accented = lambda word: re.search(r"[^\x00-\x7fØ]", word)
    finder, only = english_of(german)
    made_up = {code: vocabulary_of(pseudo_language.said(message, code == "xy") for message in messages) for code in ("xx", "xy")}
    plain = vocabulary_of(german.values())
    for nth, (drive, kinds) in enumerate(DRIVES.items()):
        for k, (kind, options) in enumerate(kinds.items()):
            # the first drive in both; of the others a kind in one of them, by turns (SNUB_LANGUAGES_EVERYTHING=1: in both)
            both = nth == 0 or os.environ.get("SNUB_LANGUAGES_EVERYTHING")
            if both or (nth + k) % 2 == 0:
                yield drive, kind, options, "xx", made_up["xx"], accented, plain_words
            if both or (nth + k) % 2:
                yield drive, kind, options, "de", plain, lambda word: small(word) and word not in only, finder
        for kind in DENSE.get(drive, ()):
            yield drive, kind, kinds[kind], "xy", made_up["xy"], accented, plain_words


# ---- what a catalogue brings ------------------------------------------------------------------------------------------------------

def languages_are_found(desk):
    """A catalogue in the folder is a language, in help, completion, errors, the house file."""
    listed = f"en (English), de (Deutsch), en_US (English (US)), xx ({pseudo_language.NAME}), xy ({pseudo_language.NAME})"
    flat = lambda text: re.sub(r"\s+", " ", text)
    check("help lists the languages", listed in flat(desk.run("help", "sheet").stdout), desk.run("help", "sheet").stdout[:1500])
    check("so does the manual page", listed in flat(desk.run("man").stdout))
    for shell, form in (("bash", "'en de en_US xx xy'"), ("zsh", "(en de en_US xx xy)"), ("fish", "'en de en_US xx xy'")):
        check(f"completion of {shell}", form in desk.run("completion", shell).stdout)
    none = desk.run("sheet", "sedgemere.yaml", "--language", "fr", "-o", "x.pdf")
    check("one that is not there", none.returncode == 2 and f"--language fr; there is {listed}" in none.stderr, none.stderr)
    house = desk.run("sheet", "sedgemere.yaml", "--house", "house.yaml", "-o", "house.pdf")
    text = subprocess.run(["pdftotext", desk.folder / "house.pdf", "-"], capture_output=True, text=True).stdout
    check("a house's language", house.returncode == 0 and pseudo_language.said("Fitting sheet") in text, house.stderr, text[:300])
    (desk.folder / "locale/xz.mo").write_bytes(b"no catalogue")
    check("a damaged catalogue has no name", ", xy (Éxample), xz" in flat(desk.run("help", "sheet").stdout))
    damaged = desk.run("sheet", "sedgemere.yaml", "--language", "xz", "-o", "x.pdf")
    check("and is refused", damaged.returncode == 2 and "not a message catalogue" in damaged.stderr, damaged.stderr)
    (desk.folder / "locale/xz.mo").unlink()
    mark = desk.sheet("sedgemere", ["--decimal", "point"], "xx", "point.pdf") or ""
    check("--decimal outranks the language", re.search(r"38\.0 mm", mark) and not re.search(r"\d,\d", mark), mark[:400])


def json_has_no_language(desk):
    """Only the sentences of the steps, which are for people, follow the language."""
    english, other = (json.loads(desk.run("sheet", "sedgemere.yaml", "--json", "--language", code).stdout) for code in ("en", "xx"))
    differ = set()

    def compare(a, b, key):
        if isinstance(a, dict) and isinstance(b, dict) and a.keys() == b.keys():
            for k in a:
                compare(a[k], b[k], k)
        elif isinstance(a, list) and isinstance(b, list) and len(a) == len(b):
            for one, two in zip(a, b):
                compare(one, two, key)
        elif a != b:
            differ.add(key)
    compare(english, other, "")
    check("sentences follow the language", "text" in differ, differ)
    check("nothing else of the JSON does", differ <= {"text"}, differ)
    for command in ("check", "chart"):
        check(f"{command} has no language", desk.run(command, "sedgemere.yaml", "--json", "--language", "xx").returncode == 2)


def a_table_that_is_too_wide(desk):
    """Names longer than a page has room for are broken; all others, and numbers, stay whole and inside of the page."""
    text = desk.texts["sedgemere"]
    for name in ("STREET", "TOURING", "TRACK"):
        text = text.replace(f"  {name}:", f"  {name * 12}"[:62] + ":")
    (desk.folder / "wide.yaml").write_text(text)
    said = vocabulary_of(pseudo_language.said(message) for message in pseudo_language.messages_of(POT))
    paper = desk.sheet("wide", ["--kind", "bill"], "xx", "wide.pdf") or ""
    names = re.findall(r"^  ([A-Z]{50,}):", text, re.M)
    tables = paper.split(pseudo_language.said("Builds"))[0]
    check("the names are longer than their columns", len(names) == 3 and not any(name in tables for name in names), names, tables[:600])
    check("no other word is broken", not (pieces := broken(paper, said, lambda word: re.search(r"[^\x00-\x7fØ]", word))), pieces)
    check("no number is", all(word in paper for word in ("1926,0", "(75,827", "SG-3068", "7PK1920")), paper[:900])
    check("all of it stands inside the margins and apart", not (wrong := list(sheet_check.faults_of(sheet_check.boxes_of(desk.folder / "wide.pdf")))), wrong)


def american(desk):
    text = desk.sheet("ironbrook-v8", ["--kind", "parts"], "en_US", "us.pdf") or ""
    check("American words", all(word in text for word in ("aluminum", "wrench or socket, hex head", "torque wrench")), text[:900])
    check("no British ones", not re.search("aluminium|spanner|catalogue", text), text[:900])
    check("inches first, with a point", re.search(r"0\.500 in \(12\.7 mm\) thick", text), text[:900])
    british = desk.sheet("ironbrook-v8", ["--kind", "parts"], "en", "gb.pdf") or ""
    check("the English of the sources beside", "aluminium" in british and "spanner or socket" in british, british[:900])


def main():
    messages = pseudo_language.messages_of(POT)
    german = pseudo_language.messages_of(TOP / "po/de.po")
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(folder)
        for code in ("de", "en_US"):
            shutil.copy(BUILT / f"{code}.mo", desk.folder / "locale")
        for code in ("xx", "xy"):
            pseudo_language.write(POT, desk.folder / f"{code}.po", code, code == "xy")
            desk.compile(desk.folder / f"{code}.po", code)
        languages_are_found(desk)
        json_has_no_language(desk)
        american(desk)
        a_table_that_is_too_wide(desk)
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            list(pool.map(lambda job: look(desk, job), jobs_of(messages, german)))


main()
sys.exit(end())
