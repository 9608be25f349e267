#!/usr/bin/env python3
"""Checks that every message of the sources is in po/snub.pot, and in every po/LANGUAGE.po with the same {places}.

Usage: messages-check.py [SOURCE_DIR]      check the tree; collects the messages as scripts/messages.sh does
       messages-check.py --self-test       check that made-up mistakes are found
One check for each message of each catalogue, one for its leftovers, one for each message of the sources. Changes
nothing in the tree. The last line is `N passed, N failed`.
"""
import pathlib
import re
import subprocess
import sys
import tempfile

import tally
from catalogue import Catalogue

PLACE = re.compile(r"\{\w+\}")
KEY = re.compile(r"`[^`]*`|\{\w+\}")
# what the sheets' English has and an English of America writes otherwise; a key of the drive file stays
BRITISH = re.compile(r"\b(aluminium|axle stands?|catalogues?|cent(?:re[sd]?|ring)|colou\w+|counter-clockwise|grey|lit(?:re|res)"
                     r"|metres?|neighbou\w+|spanners?|tyres?|vapour|\w{3,}(?:yse|isation)[sd]?|(?:recogn|organ|real)is\w+)\b",
                     re.IGNORECASE)


def wrong(english, catalogue, own=True):
    """What is wrong with a message's translation; None: nothing. An English of another country (own: false) has only
    what it writes otherwise."""
    said = catalogue.said.get(english)
    if not own:
        if BRITISH.search(KEY.sub(" ", english if said is None else said)):
            return "is British"
        if said is None:
            return None
        if said == english:
            return "is the same"
    if said is None:
        return "is missing"
    if said.strip() == "":
        return "is not translated"
    if english in catalogue.fuzzy:
        return "is fuzzy"
    if sorted(PLACE.findall(english)) != sorted(PLACE.findall(said)):
        return f"has other places: {said!r}"
    return None


def check_head(code, head):
    """What is wrong with what a catalogue says of its language, which is all that the program knows of it."""
    wrongs = [] if head.get("Language") == code else [f"Language is {head.get('Language')!r}, not {code!r}"]
    wrongs += [] if head.get("X-Language-Name", "").strip() else ["X-Language-Name has no name"]
    mark = head.get("X-Decimal-Mark")
    return wrongs + ([] if mark in ("point", "comma") else [f"X-Decimal-Mark is {mark!r}, not point or comma"])


def check_catalogue(name, catalogue, messages):
    """(checks, mistakes) of a .po against the messages of snub.pot."""
    mistakes = [f"{name}: {why}" for why in check_head(name.removesuffix(".po"), catalogue.head)]
    own = not name.startswith("en_")
    mistakes += [f"{name}: {english!r} {why}" for english in messages if (why := wrong(english, catalogue, own))]
    left = [f"obsolete entry: {text}" for text in catalogue.obsolete]
    left += [f"not in snub.pot: {text!r}" for text in catalogue.said if text not in messages]
    left += [f"twice: {text!r}" for text in catalogue.double]
    if left:
        mistakes.append("\n".join(f"{name}: {text}" for text in left))
    return len(messages) + 4, mistakes


def check_sources(collected, messages):
    """(checks, mistakes) of snub.pot against the messages marked in the sources."""
    mistakes = [f"snub.pot: lacks {text!r} of the sources" for text in collected if text not in messages]
    mistakes += [f"snub.pot: {text!r} is in no source" for text in messages if text not in collected]
    return len(set(collected) | set(messages)), mistakes


def collect(top):
    with tempfile.TemporaryDirectory() as folder:
        pot = pathlib.Path(folder) / "snub.pot"
        subprocess.run(["sh", str(top / "scripts/messages.sh"), str(pot)], check=True)
        return Catalogue(pot.read_text(encoding="utf-8")).said


def check(top):
    messages = Catalogue((top / "po/snub.pot").read_text(encoding="utf-8")).said
    checks, mistakes = check_sources(collect(top), messages)
    if not messages:
        checks, mistakes = checks + 1, mistakes + ["snub.pot: no messages"]
    for path in sorted((top / "po").glob("*.po")):
        more, wrongs = check_catalogue(path.name, Catalogue(path.read_text(encoding="utf-8")), messages)
        checks, mistakes = checks + more, mistakes + wrongs
    return checks, mistakes


HEAD = 'msgid ""\nmsgstr "Language: de\\n"\n"X-Language-Name: Deutsch\\n"\n"X-Decimal-Mark: comma\\n"\n\n'
GOOD = HEAD + 'msgid "{a} at {b}"\nmsgstr "bei {b}: {a}"\n\nmsgid ""\n"more "\n"words"\nmsgstr "mehr \\"Wörter\\""\n'
MADE_UP = [
    (GOOD, None),
    (GOOD.replace("\n\n", "\n"), None),
    (GOOD.replace("{a}\"\n\n", "{c}\"\n\n"), "other places"),
    (GOOD.replace("bei {b}: {a}", "bei {b}"), "other places"),
    (GOOD.replace("bei {b}: {a}", "{a} {a} {b}"), "other places"),
    (GOOD.replace("bei {b}: {a}", ""), "not translated"),
    (GOOD.replace('msgid "{a}', '#, fuzzy\nmsgid "{a}'), "fuzzy"),
    (GOOD.replace("{a} at", "{a}  at"), "missing"),
    (GOOD + '\n#~ msgid "old"\n#~ msgstr "alt"\n', "obsolete"),
    (GOOD.replace("Language: de", "Language: fr"), "Language is"),
    (GOOD.replace("Name: Deutsch", "Name: "), "no name"),
    (GOOD.replace("Mark: comma", "Mark: ,"), "X-Decimal-Mark"),
    (GOOD + '\nmsgid "new"\nmsgstr "neu"\n', "not in snub.pot"),
    (GOOD + '\nmsgid "more words"\nmsgstr "mehr"\n', "twice"),
]


AMERICAN = HEAD.replace("Language: de", "Language: en_US") + 'msgid "grey"\nmsgstr "gray"\n'
AMERICANS = [
    (AMERICAN, None),
    (AMERICAN.replace('"gray"', '"grey tone"'), "British"),
    (AMERICAN.replace('"grey"', '"belt"'), "British"),
    (AMERICAN + '\nmsgid "belt"\nmsgstr "belt"\n', "is the same"),
    (AMERICAN + '\nmsgid "{a} `grey`"\nmsgstr "{b} `grey`"\n', "other places"),
]


def self_test():
    american = {"grey": "", "belt": "", "{a} `grey`": ""}
    pot = {"{a} at {b}": "", "more words": ""}
    failed = 0
    cases = [("de.po", pot, *case) for case in MADE_UP] + [("en_US.po", american, *case) for case in AMERICANS]
    for name, of, text, want in cases:
        _, mistakes = check_catalogue(name, Catalogue(text), of)
        if not (any(want in mistake for mistake in mistakes) if want else not mistakes):
            print(f"self-test: wanted {want}, got {mistakes}:\n{text}")
            failed += 1
    for collected, want in ((pot, 0), ({**pot, "new": ""}, 1), ({"more words": ""}, 1)):
        if len(check_sources(collected, pot)[1]) != want:
            print(f"self-test: sources {collected}: wanted {want} mistakes")
            failed += 1
    return len(cases) + 3, failed


def check_tree(top):
    try:
        return check(top)
    except (OSError, UnicodeDecodeError, subprocess.CalledProcessError) as trouble:
        return 1, [f"messages could not be read: {trouble}"]


if __name__ == "__main__":
    sys.exit(tally.check_main(self_test, check_tree))
