#!/usr/bin/env python3
"""Checks that rooms know only the rooms above them, that the core rooms leave files and terminals alone, that
no file has unit constants of its own, and that the files of a room do not go round in circles.

Usage: include-check.py [SOURCE_DIR]           check the includes of the tree
       include-check.py --objects BUILD_DIR    check what the compiled files of each room call of one another
       include-check.py --self-test            check that made-up violations are found
Two files that each call the other are one thing in two places, or share a piece that belongs in a third below both.
Objects are asked for that, not includes: several files may stand behind one header.
The last line is `N passed, N failed`.
"""
import pathlib
import re
import sys
import tempfile

from symbols import read_listing, symbols_of

ROOMS = "base num drive layout demand balance motion mount kit study measure trace parts draw report".split()
# Libraries that belong to one room (or few): a second user is a sign of a job done twice.
OWNERS = {
    "udunits2.h": {"base"}, "csv.h": {"base"}, "yaml.h": {"drive"}, "sqlite3.h": {"parts"},
    "cairo": {"draw", "report"}, "pango": {"draw", "report"}, "xlsxwriter.h": {"report"}, "jansson.h": {"report"},
    "microhttpd.h": set(), "librsvg": {"report"}, "qrencode.h": {"report"},
    "lapacke.h": {"measure"}, "cvode": {"motion"}, "nvector": {"motion"}, "sun": {"motion"}, "zlib.h": {"trace"}, "mpi.h": {"study"}, "nlopt.h": {"study"}, "sleef.h": {"balance"},
}
# Public headers that do not bear their room's name; draw_drive.h belongs to draw by its name.
HEADER_ROOM = {"batch": "balance", "csv": "base", "locale": "base", "units": "base", "limit_list": "drive", "house": "drive", "pictures": "drive", "supplier_map": "drive", "snapshot": "drive", "rename_list": "drive", "findings": "kit",
               "sensitivity": "num", "shares": "num", "sobol": "num", "tighten": "num",
               "rule_list": "kit", "default_list": "drive", "keys": "drive", "key_list": "report", "defaults": "kit", "caution_list": "drive", "cautions": "report",
               "hardware": "kit", "drawn": "kit", "contents": "kit", "bill": "kit", "steps": "kit", "step_list": "kit", "clearance": "layout", "sweep": "kit", "sheet": "report", "share": "report",
               "sweep_plot": "report", "trace_report": "report", "fit_report": "report", "json": "report", "distributions": "num", "linear": "num", "measured": "drive", "vibration": "kit", "pluck": "measure", "sound": "measure", "fitted": "measure", "adjust": "measure", "circles": "measure", "spread": "measure", "flap": "motion", "flapping": "kit", "calm": "kit", "unjudged": "kit", "coupled": "motion", "scenario": "kit", "ranks": "study", "scenario_plot": "report", "scatter": "num", "search": "study", "search_report": "report", "tolerate": "study", "kit_histogram": "study", "tolerate_plot": "report", "tolerate_report": "report", "worst_case": "study"}


def room_of_header(name):
    return HEADER_ROOM.get(name, name.split("_")[0])


# Files that exist to read and write; nothing else in the rooms may. The catalogue is a file by nature.
MAY_DO_IO = {"src/base/file_read.c", "src/base/file_write.c", "src/base/spill.c", "src/base/neighbour.c", "src/base/left_over.c", "src/base/file_swap.c",
             "src/report/xlsx.c"}
ROOMS_WITH_FILES = {"parts"}
FILE_IO = re.compile(
    r"\b(f(re)?open|fdopen|popen|system|tmpfile|mkstemps?|printf|vprintf|fprintf|vfprintf|puts|fputs|putchar|putc|fputc"
    r"|perror|scanf|fscanf|getchar|gets|fgets|getline|fread|fwrite|opendir|creat|openat|unlink|remove|rename|getenv|exit)"
    r"\s*\(|\b(stdin|stdout|stderr)\b|(?<![\w.>])open\s*\(")
# What a unit is in SI stands in snub/units.h alone; the table of the units that users write may name more of them.
OWN_UNIT = re.compile(
    r"^\s*#\s*define\s+(?:MM|CM|INCH|DEG|DEGREE|ARCMIN|RPM|MINUTE|HOUR|KN|KW|HP|KPA|MPA|KSI|PSI|BAR|LBF|LITRE|GRAVITY"
    r"|ATMOSPHERE|PI)\b[^\n]*|\bM_PI\b|\bPI\s*/\s*(?:30|180)\b|\b(?:30|180)(?:\.0)?\s*/\s*SNUB_PI\b"
    r"|\b(?:273\.15|101325(?:\.0)?|25\.4|0\.0254|9\.80665|3\.14159\d*)\b", re.M)
MAY_NAME_UNITS = {"include/snub/units.h", "src/base/units_table.c"}
# Calls of the JSON library that can lose a part without a word: snub/json.h has them with their failures seen.
JSON_LOSES = re.compile(
    r"\bjson_(object_(set|update)\w*|object_del|array_(append|insert|set|extend)\w*|dump\w*|v?sprintf|stringn?(_nocheck)?"
    r"|string_set\w*|real|deep_copy|copy)\s*\(")
MAY_LOSE_JSON = {"src/report/json_tree.c", "app/wasm/json_stand_in.c"}  # the other stands in the library's place
INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]', re.M)
COMMENT_OR_TEXT = re.compile(r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.S)


def blank(match):
    return re.sub(r"[^\n]", " ", match.group(0))


def line_of(text, position):
    return text.count("\n", 0, position) + 1


def check_file(top, path, room, public):
    """Yields one message for each breach in a file of a room."""
    text = path.read_text(encoding="utf-8")
    name = path.relative_to(top).as_posix()
    known = ROOMS[: ROOMS.index(room) + 1]
    for match in INCLUDE.finditer(text):
        form, header = match.groups()
        at = f"{name}:{line_of(text, match.start())}"
        parts = header.split("/")
        if header.startswith("snub/"):
            other = room_of_header(parts[1].removesuffix(".h").removesuffix(".inc"))
            if other not in known:
                yield f"{at}: room {room} includes {header}, which is not above it"
        elif form == '"':
            if public:
                yield f"{at}: a public header includes a private one ({header})"
            elif not (path.parent / header).is_file() or ".." in parts:
                yield f"{at}: \"{header}\" is not of room {room}"
        for library, owners in OWNERS.items():
            if parts[0].startswith(library) and room not in owners:
                yield f"{at}: {header} is used by {', '.join(sorted(owners)) or 'the program'} only, not by {room}"
    if name in MAY_DO_IO or room in ROOMS_WITH_FILES:
        return
    code = COMMENT_OR_TEXT.sub(blank, text)
    for match in FILE_IO.finditer(code):
        yield f"{name}:{line_of(code, match.start())}: the core does no input or output: {match.group(0).strip()}"


def check_units(top, path):
    """Yields one message for each unit constant of a file's own."""
    name = path.relative_to(top).as_posix()
    code = COMMENT_OR_TEXT.sub(blank, path.read_text(encoding="utf-8"))
    for match in OWN_UNIT.finditer(code) if name not in MAY_NAME_UNITS else ():
        at = match.start() + len(match[0]) - len(match[0].lstrip())
        yield f"{name}:{line_of(code, at)}: a unit constant of its own ({match[0].strip()}): snub/units.h has them"


def check_json(top, path):
    """Yields one message for each call that makes JSON past snub/json.h."""
    name = path.relative_to(top).as_posix()
    code = COMMENT_OR_TEXT.sub(blank, path.read_text(encoding="utf-8"))
    for match in JSON_LOSES.finditer(code) if name not in MAY_LOSE_JSON else ():
        yield f"{name}:{line_of(code, match.start())}: {match[0].strip()}) may lose a part unseen: snub/json.h has its like"


def check(top):
    """Returns (files looked at, messages)."""
    files, messages = 0, []
    for room in ROOMS:
        headers = sorted((top / "include" / "snub").glob("*.h"))
        jobs = [(header, True) for header in headers if room_of_header(header.stem) == room]
        jobs += [(path, False) for path in sorted((top / "src" / room).rglob("*.[ch]"))]
        for path, public in jobs:
            found = list(check_file(top, path, room, public))
            messages += found
            files += 1
    for folder in ("include", "src", "app"):
        for path in sorted((top / folder).rglob("*.[ch]")):
            messages += check_units(top, path)
            messages += check_json(top, path)
    strangers = {p.name for p in (top / "src").iterdir() if p.is_dir()} - set(ROOMS)
    messages += [f"src/{name}: no room of that name" for name in sorted(strangers)]
    messages += [f"include/snub/{header.name}: no room of that name"
                 for header in sorted((top / "include" / "snub").glob("*.h"))
                 if room_of_header(header.stem) not in ROOMS]
    return files, messages


def calls(members):
    """{file: {other file: names}} for a room's members."""
    home = {name: member for member, (defined, _) in members.items() for name in defined}
    graph = {member: {} for member in members}
    for member, (_, used) in members.items():
        for name in sorted(used):
            if home.get(name, member) != member:
                graph[member].setdefault(home[name], []).append(name)
    return graph


def reached(graph, start):
    """Files that a file leads to; itself among them only by a circle."""
    seen, open_ = set(), [start]
    while open_:
        for other in graph[open_.pop()]:
            if other not in seen:
                seen.add(other)
                open_.append(other)
    return seen


def circles(members):
    """(files looked at, messages): one message for each file in a circle, with what it calls there."""
    graph = calls(members)
    reach = {member: reached(graph, member) for member in graph}
    messages = []
    for member in sorted(graph):
        back = {other: names for other, names in graph[member].items() if member in reach[other]}
        if back:
            called = "; ".join(f"{', '.join(names)} of {other}" for other, names in sorted(back.items()))
            messages.append(f"{member}: in a circle: uses {called}")
    return len(members), messages


def check_objects(build):
    files, messages = 0, []
    for archive in sorted(build.glob("libsnub_*.a")):
        room = archive.stem.removeprefix("libsnub_")
        more, found = circles(symbols_of(archive))
        files += more
        messages += [f"{room}/{message}" for message in found]
    return files, messages


VIOLATIONS = [
    ("num", '#include "snub/drive.h"\n', "not above it"),
    ("num", '#include "snub/report.h"\n', "not above it"),
    ("kit", '#include "../layout/path.h"\n', "is not of room"),
    ("kit", '#include "missing.h"\n', "is not of room"),
    ("kit", "#include <sqlite3.h>\n", "only, not by kit"),
    ("balance", '#include <stdio.h>\nvoid f(void) { printf("x"); }\n', "no input or output"),
    ("drive", 'void f(void) { FILE *a = fopen ("x", "r"); }\n', "no input or output"),
    ("mount", "int f(void) { return open(0, 0); }\n", "no input or output"),
    ("motion", "void f(void) { fflush(stderr); }\n", "no input or output"),
    ("mount", "#define DEG (SNUB_PI / 180)\n", "unit constant"),
    ("demand", "double f(double k) { return k - 273.15; }\n", "unit constant"),
    ("layout", "double f(double a) { return a * 180.0 / SNUB_PI; }\n", "unit constant"),
    ("report", "void f(json_t *a) { json_object_set_new (a, k, b); }\n", "may lose a part"),
    ("report", "void f(json_t *a) { json_object_set(a, k, b); }\n", "may lose a part"),
    ("report", "void f(json_t *a) { json_array_append_new(a, b); }\n", "may lose a part"),
    ("report", "char *f(json_t *a) { return json_dumps(a, 0); }\n", "may lose a part"),
    ("report", "json_t *f(void) { return json_string(\"a\"); }\n", "may lose a part"),
    ("report", "json_t *f(double x) { return json_real(x); }\n", "may lose a part"),
]
INNOCENT = [
    ("kit", '#include "snub/balance.h"\n#include <math.h>\n'),
    ("demand", "/* 273.15 K */ double f(double k) { return (k - SNUB_ZERO_CELSIUS) * 2 * SNUB_PI / 3; }\n"),
    ("drive", "#include <yaml.h>\n/* never printf() here, nor stdout */\n"),
    ("layout", 'static const char *text = "open(stdin)";\nvoid snprintf_all(void);\n'),
    ("report", "double f(json_t *a) { /* json_dumps(a) */ snub_json_put(a, k, b); return json_real_value(a); }\n"),
    ("balance", "void f(struct arm *arm) { arm->open(1); reopen(2); }\n"),
]


# nm's words for an archive of three files, and how many of them stand in a circle.
PLAIN = "x.a[a.c.o]:\nf T 0 5\ng U\nmalloc U\nx.a[b.c.o]:\ng T 0 5\nh U\nx.a[c.c.o]:\nh D 0 8\n"
LISTINGS = [
    (PLAIN, 0),
    (PLAIN + "g U\n", 2),
    (PLAIN + "f U\n", 3),
    (PLAIN + "malloc U\nh U\nf t 0 5\n", 0),
]


def self_test():
    passed = failed = 0
    for listing, want in LISTINGS:
        _, messages = circles(read_listing(listing))
        passed += len(messages) == want
        if len(messages) != want:
            failed += 1
            print(f"self-test: {listing!r}: got {messages}, want {want} files in circles")
    for room, text, *want in VIOLATIONS + INNOCENT:
        with tempfile.TemporaryDirectory() as folder:
            top = pathlib.Path(folder)
            (top / "src" / room).mkdir(parents=True)
            (top / "src" / room / "made_up.c").write_text(text, encoding="utf-8")
            _, messages = check(top)
        good = (len(messages) == 1 and want[0] in messages[0]) if want else not messages
        passed += good
        failed += not good
        if not good:
            print(f"self-test: {room}: {text!r}: got {messages}, want {want or 'none'}")
    return passed, failed


def main():
    arguments = sys.argv[1:]
    if arguments == ["--self-test"]:
        passed, failed = self_test()
    else:
        top = pathlib.Path(arguments[-1]) if arguments else pathlib.Path(__file__).resolve().parent.parent
        files, messages = check_objects(top) if arguments[:1] == ["--objects"] else check(top)
        for message in messages:
            print(message)
        bad = len({message.split(":")[0] for message in messages})
        passed, failed = files - bad, bad
        if files == 0:
            print("no files found")
            failed += 1
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
