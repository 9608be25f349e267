#!/usr/bin/env python3
"""One mark for one number: what a default rests on is the same in the list of defaults that are tried, in the guide's tables and in the
theory. (Limits: guide_keys.py, and the page of findings is made from their list.)

Needs SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import os
import pathlib
import re
import sys

from tally import check, end

TOP = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
GUIDE = (TOP / "docs/guide/drive-file.md").read_text()
DEFAULTS = (TOP / "include/snub/default_list.inc").read_text()
THEORY = {path.name: path.read_text() for path in sorted((TOP / "docs/theory").glob("*.md"))}
MARKS = {"rule of thumb": r"rules? of thumb", "common practice": r"common practice", "memory": r"\bmemory\b"}


def marks(text):
    """What a text says that a number rests on: marks, and the numbers of standards and patents."""
    plain = re.sub(r"\s+", " ", text)
    found = {name for name, pattern in MARKS.items() if re.search(pattern, plain, re.I)}
    return found | set(re.findall(r"\b(?:ISO|SAE|DIN|US|ANSI/RMA) [J]?[\w-]*\d[\w-]*(?::\d+)?", plain))


def rows(text, heading):
    part = re.search(rf"^#+ {re.escape(heading)}\n(.*?)(?=^#+ |\Z)", text, re.M | re.S)[1]
    return [[cell.strip() for cell in re.split(r"(?<=\s)\|(?=\s|$)", line.strip()[1:])]
            for line in part.splitlines() if line.startswith("| `")]


# ---- defaults: guide against theory ---------------------------------------------------------------------------------------------

SECTIONS = ("engine", "air", "cooler", "belt", "pulleys", "arm", "slot", "blower")


def sentences(text):
    """Sentences of running text and of lists; a semicolon does not end one."""
    return [re.sub(r"\s+", " ", one) for block in re.split(r"\n\s*\n|\n(?=[-*|] )", text) for one in re.split(r"(?<=[a-z)])\. (?=[A-Z`])", block)]


compared = 0
for section in SECTIONS:
    for cells in rows(GUIDE, section):
        mark = {m for m in marks(" | ".join(cells[1:])) if m in MARKS}
        for key in re.findall(r"`(\w+)`", cells[0]):
            for page, text in THEORY.items():
                for sentence in sentences(text):
                    theirs = {m for m in marks(sentence) if m in MARKS}
                    if f"`{key}`" not in sentence or not theirs or not mark:
                        continue
                    compared += 1
                    check(f"{section}.{key}: {page} marks it as the guide does", theirs <= mark, (sentence, mark, theirs))
check("some defaults are marked in both", compared >= 3, compared)

# ---- defaults that are tried: list against guide ----------------------------------------------------------------------------------

belt = {key: cells for cells in rows(GUIDE, "belt") for key in re.findall(r"`(\w+)`", cells[0])}
for of, key, preset, low, high, source in re.findall(
        r'SNUB_DEFAULT\((\w+), *"([\w.]+)", *"[^"]*", *"([^"]*)", *"([^"]*)", *"([^"]*)", *"([^"]*)"', DEFAULTS):
    if of == "BELT" and key in belt:  # the source there is that of the range
        check(f"belt.{key}: the guide has the list's default", preset in " ".join(belt[key][1:]).replace(" ", ""), (preset, belt[key]))
stiff = re.search(r'SNUB_DEFAULT\(BELT, *"stiffness"[^\n]*', DEFAULTS)[0]
check("belt.stiffness: both patents and the range stand in guide and theory", all(
    word in re.sub(r"(?<=\d)\s(?=\d)", "", text) for text in (GUIDE, THEORY["kit.md"]) for word in ("US 6422963", "US 5362280")) and
    '"10000", "60000"' in stiff and "10 000 to 60 000" in GUIDE and "10 to 60 kN" in THEORY["kit.md"], stiff)

sys.exit(end())
