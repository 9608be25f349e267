#!/usr/bin/env python3
"""Writes docs/guide/cautions.md, the page of all cautions, from the list that the program is made of.

Usage: cautions-page.py [SOURCE_DIR]           print the page
       cautions-page.py --check [SOURCE_DIR]   compare the page, and look for copies of a caution; changes nothing
       cautions-page.py --self-test            check that made-up lists are read well, and that faults are found
Reads include/snub/caution_list.inc. After a change of the list:
    scripts/cautions-page.py >docs/guide/cautions.md
A caution stands in the list alone. The README has the gravest in the list's own words; no other page, source or script
of the program may have them. The last line of --check and --self-test is `N passed, N failed`.
"""
import re
import sys
import textwrap

import tally

WIDTH = 120
LIST, PAGE, README = "include/snub/caution_list.inc", "docs/guide/cautions.md", "README.md"
SIGNALS = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
PLACES = {"START": "Before you start", "BELT": "Belt and tensioner, before the old belt comes off",
          "METAL": "Before metal is taken off", "BOLTS": "Bolts", "RUN": "Running check", "LOAD": "First full load"}
WHENS = {"ALWAYS": "", "ARM": "with a spring arm", "LOCK": "with a fixed tensioner",
         "BLOWER": "with a blower", "METAL": "where a finding recommends that metal be taken off",
         "CRANK": "where a finding recommends another crank pulley"}
# Where a sentence may not stand a second time; translations, tests and what is made from the list may.
NO_COPIES = ["src/**/*.c", "src/**/*.h", "app/**/*.c", "include/snub/*.h", "include/snub/rule_list.inc", "page/src/*",
             "docs/**/*.md", "CONTRIBUTING.md"]
ENTRY = re.compile(r'^SNUB_CAUTION\((\w+), "([\w-]+)", (\w+), (\w+), (\w+),\s*SNUB_MESSAGE\("((?:[^"\\]|\\.)*)"\)\)', re.M)

INTRODUCTION = """\
# Cautions

<!-- Made by scripts/cautions-page.py from include/snub/caution_list.inc: change that, not this page. -->

snub computes; it does not inspect. Its answers are a basis for an engineer's judgement, not a substitute for it.

The fitting sheet (`snub sheet FILE -o fitting.pdf`) has each of these that applies to the build, once, before the step that
it is for; the engineering report lists them. Commands, the other sheets and the page show the one that is nearest to what they
are for, and those that their findings call for. Signal words as in ANSI Z535.6 and ISO 3864-2: DANGER kills or maims for
certain, and is not used here; WARNING may; CAUTION is a minor or moderate injury; NOTICE is property or law, and has no
triangle.
"""


class ListError(Exception):
    """The list cannot be read."""


def read_list(text):
    """Cautions in order: name, id, signal, place, when, words."""
    keys = ("name", "id", "signal", "place", "when", "words")
    cautions = [dict(zip(keys, found.groups())) for found in ENTRY.finditer(text)]
    if len(cautions) != len(re.findall(r"^SNUB_CAUTION\(", text, re.M)) or not cautions:
        raise ListError("an entry cannot be read")
    return cautions


def faults(cautions):
    """What is wrong with the list as such."""
    for key, known in (("signal", SIGNALS), ("place", PLACES), ("when", WHENS)):
        for one in cautions:
            if one[key] not in known:
                yield f"{one['id']}: unknown {key} {one[key]}"
    for key in ("id", "words"):
        for i, one in enumerate(cautions):
            if one[key] in [other[key] for other in cautions[:i]]:
                yield f"{one['id']}: its {key} stand twice"


def page_of(cautions):
    lines = INTRODUCTION.splitlines()
    for place, title in PLACES.items():
        lines += ["", f"## {title}", ""]
        for one in (c for c in cautions if c["place"] == place):
            when = f" (_{WHENS[one['when']]}_)" if WHENS[one["when"]] else ""
            lines += textwrap.wrap(f"<a id=\"{one['id']}\"></a>**{one['signal']}** {one['words']}{when}", WIDTH,
                                   initial_indent="- ", subsequent_indent="  ", break_long_words=False,
                                   break_on_hyphens=False)
    return "\n".join(lines) + "\n"


def plain(text):
    """Words alone, so that a copy is found however it is broken into lines or strings."""
    return re.sub(r'[\s"\\*>]+', " ", text)


def copies(cautions, texts):
    """Sentences of the list that stand in a text. texts: {name: text}."""
    for name, text in texts.items():
        words = plain(text)
        for one in cautions:
            if plain(one["words"]) in words:
                yield f"{name}: has the caution `{one['id']}` in words of its own; refer to {PAGE}#{one['id']}"


def readme_faults(cautions, readme):
    """Every caution of the README is one of the list, with its signal word."""
    section = readme.partition("\n## Cautions\n")[2].partition("\n## ")[0]
    known = {plain(f"{c['signal']} {c['words']}").strip() for c in cautions}
    items = [plain(item).strip() for item in re.findall(r"^[*-] (.*(?:\n  .*)*)", section, re.M)]
    if not items:
        yield f"{README}: has no caution"
    for item in items:
        if item not in known:
            yield f"{README}: not in the list: {item}"


def check(top):
    try:
        cautions = read_list((top / LIST).read_text(encoding="utf-8"))
        messages = list(faults(cautions))
        page = top / PAGE
        if not page.is_file() or (not messages and page.read_text(encoding="utf-8") != page_of(cautions)):
            messages.append(f"{PAGE}: is not what the list says")
        files = sorted({path for pattern in NO_COPIES for path in top.glob(pattern) if path.is_file() and path != page})
        messages += copies(cautions, {str(f.relative_to(top)): f.read_text(encoding="utf-8", errors="replace") for f in files})
        messages += readme_faults(cautions, (top / README).read_text(encoding="utf-8"))
        return 2 + len(cautions) + len(files), messages
    except (ListError, OSError) as trouble:
        return 1, [f"the list cannot be read: {trouble}"]


MADE_UP = ('SNUB_CAUTION(ONE, "one", WARNING, START, ALWAYS,\n    SNUB_MESSAGE("Keep hands off."))\n'
           'SNUB_CAUTION(TWO, "two", NOTICE, BELT, ARM,\n    SNUB_MESSAGE("Ease it slowly."))\n')


def self_test():
    cautions = read_list(MADE_UP)
    changed = [list(faults(read_list(MADE_UP.replace(*change)))) for change in
               (("WARNING", "ALARM"), ("START", "SOMEWHERE"), ("ARM", "NEVER"), ('"two"', '"one"'),
                ("Ease it slowly", "Keep hands off"))]
    try:
        read_list(MADE_UP.replace('"two"', "two"))
        refused = False
    except ListError:
        refused = True
    readme = "# x\n\n## Cautions\n\nWords.\n\n* **WARNING** Keep\n  hands off.\n\n## More\n* else\n"
    cases = [
        ("read", [c["id"] for c in cautions], ["one", "two"]),
        ("faults", [len(one) for one in changed], [1, 1, 1, 1, 1]),
        ("an entry that cannot be read", refused, True),
        ("page", "- <a id=\"two\"></a>**NOTICE** Ease it slowly. (_with a spring arm_)" in page_of(cautions), True),
        ("a copy", len(list(copies(cautions, {"a": 'say("Keep "\n    "hands off.")', "b": "Hands off"}))), 1),
        ("README", list(readme_faults(cautions, readme)), []),
        ("README, other words", len(list(readme_faults(cautions, readme.replace("Keep", "Hold")))), 1),
        ("README, other signal word", len(list(readme_faults(cautions, readme.replace("WARNING", "NOTICE")))), 1),
        ("README without", len(list(readme_faults(cautions, "# x\n"))), 1),
    ]
    return tally.run_cases(cases)


def show(top):
    sys.stdout.write(page_of(read_list((top / LIST).read_text(encoding="utf-8"))))
    return 0


if __name__ == "__main__":
    sys.exit(tally.page_main(self_test, check, show))
