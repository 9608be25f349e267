#!/usr/bin/env python3
"""Checks that every public function has a caller: a function of include/snub that no other room, no command and no page
request calls belongs to its room alone, or to nobody.

Usage: public-check.py BUILD_DIR [SOURCE_DIR]   check a build of the tree
       public-check.py --self-test              check that made-up faults are found
Tests, benches and fuzz targets are no callers. What is there for other programs alone stands in ENTRY_POINTS with its
reason. The last line is `N passed, N failed`.
"""
import pathlib
import re
import sys

import tally
from symbols import symbols_of

# Called by programs that use the library: each with its reason.
STUDY = "sampling and statistics for a study of one's own"
CELL = "fills a snub_data_table of one's own; of one family with snub_cell_text"
BATCH = "thousands of kits of one's own at once; a build's own cases are solved one by one"
ENTRY_POINTS = {
    "snub_batch_solve": BATCH, "snub_batch_has": BATCH,
    "snub_file_write": "bytes of one's own; a program here writes texts",
    "snub_cantilever": "a bar of one's own whose root cannot lift",
    "snub_flap_spans": "the small core in the browser has a stand-in for it: app/wasm/core.c",
    "snub_snapshot_read": "the core in the browser, which is compiled apart: app/wasm",
    "snub_catalogue_add": "one part at a time, where there is no table to import",
    "snub_cell_level": CELL, "snub_cell_number": CELL, "snub_cell_truth": CELL,
    "snub_sensitivity_add": STUDY,     "snub_beta_under": STUDY, "snub_beta_value": STUDY, "snub_kits_needed": STUDY, "snub_share_one_sided": STUDY, "snub_share_wilson": STUDY,
    "snub_width_changed": STUDY,
}
COMMENT_OR_LINE = re.compile(r"/\*.*?\*/|//[^\n]*|^\s*#(?:\\\n|[^\n])*", re.S | re.M)
NAME_AND_BRACKET = re.compile(r"\b(snub_\w+)(?:\[\])?\s*(?=[(;,=\[])")


def words_of(header_text):
    """Every snub_ word of a header that may be a declared function or object; types among them do no harm."""
    return set(NAME_AND_BRACKET.findall(COMMENT_OR_LINE.sub(" ", header_text)))


def judge(headers, rooms, callers, entry_points):
    """(checks, messages). headers: {file: text}; rooms: {room: (defined, used)}; callers: names used by the programs."""
    messages, checks = [], 0
    home = {name: room for room, (defined, _) in rooms.items() for name in defined}
    declared = {}
    for file, text in headers.items():
        for name in words_of(text):
            if name in home:
                declared.setdefault(name, file)
    for name, file in sorted(declared.items(), key=lambda pair: (pair[1], pair[0])):
        checks += 1
        called = name in callers or any(name in used for room, (_, used) in rooms.items() if room != home[name])
        if name in entry_points:
            if called:
                messages.append(f"{file}: {name} is called; it needs no reason in ENTRY_POINTS")
        elif not called:
            messages.append(f"{file}: {name} has no caller outside of {home[name]}")
    for name in sorted(set(entry_points) - set(declared)):
        checks += 1
        messages.append(f"ENTRY_POINTS: {name} is no public function")
    return checks, messages


def merged(members):
    defined, used = set(), set()
    for more_defined, more_used in members.values():
        defined |= more_defined
        used |= more_used
    return defined, used


def check(build, source):
    headers = {f"include/snub/{path.name}": path.read_text(encoding="utf-8")
               for path in sorted((source / "include/snub").glob("*.h"))}
    archives = {path.stem.removeprefix("libsnub_"): merged(symbols_of(path)) for path in build.glob("libsnub_*.a")}
    callers = set(archives.pop("serve", (set(), set()))[1])
    objects = sorted(one for weight in ("full", "whole") for one in (build / f"CMakeFiles/snub_{weight}.dir/app/cli").glob("*.o"))
    callers |= merged(symbols_of(*objects))[1] if objects else set()
    checks, messages = judge(headers, archives, callers, ENTRY_POINTS)
    if checks == 0 or not objects:
        checks, messages = checks + 1, messages + [f"{build} has no finished build"]
    return checks, messages


HEADER = ("/** snub_old(x) is no more. */\n#define SNUB_X snub_macro(1)\nextern const int snub_list[];\n"
          "typedef struct snub_thing { int a; } snub_thing;\nint *snub_used(snub_thing *t,\n    int snub_count);\n"
          "void snub_inner(void) __attribute__((x));\n")
ROOMS = {"low": ({"snub_list", "snub_used", "snub_inner", "snub_old"}, {"snub_inner"}), "high": (set(), {"snub_used"})}
MADE_UP = [
    (HEADER, ROOMS, {"snub_list", "snub_inner"}, {}, 3, []),
    (HEADER, ROOMS, {"snub_list"}, {}, 3, ["snub_inner has no caller outside of low"]),
    (HEADER, ROOMS, {"snub_list"}, {"snub_inner": "why"}, 3, []),
    (HEADER, ROOMS, {"snub_list", "snub_inner"}, {"snub_inner": "why"}, 3, ["needs no reason"]),
    (HEADER, ROOMS, {"snub_list", "snub_inner"}, {"snub_gone": "why"}, 4, ["is no public function"]),
]


def self_test():
    failed = 0
    for text, rooms, callers, entries, checks_wanted, wanted in MADE_UP:
        checks, messages = judge({"a.h": text}, rooms, callers, entries)
        good = checks == checks_wanted and len(messages) == len(wanted) and all(map(str.__contains__, messages, wanted))
        failed += not good
        if not good:
            print(f"self-test: {callers} {entries}: got {checks} checks, {messages}; want {checks_wanted}, {wanted}")
    return len(MADE_UP), failed


def main():
    arguments = sys.argv[1:]
    if arguments == ["--self-test"]:
        return tally.end(*self_test())
    if not arguments:
        print(__doc__)
        return 2
    return tally.end_with(*check(pathlib.Path(arguments[0]), tally.top_of(arguments[1:])))


if __name__ == "__main__":
    sys.exit(main())
