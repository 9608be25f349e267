#!/usr/bin/env python3
"""Checks that nothing which a user sees names a maker, a maker's suffix code or the author of a book.

Usage: names-check.py [SOURCE_DIR]      check the tree
       names-check.py --self-test       check that a name that is planted is found
       names-check.py --hash NAME...    print the lines to add to scripts/names-hashed.txt
The names themselves stand nowhere: scripts/names-hashed.txt has a salted hash of each word and of each pair of words, case
and accents folded. Looked through are the code of src, app and include without its comments, the page, the
translations, data, examples, the docs but for docs/theory, and the name of every file and folder. Full citations belong in
docs/theory and in the comments beside a check. Changes nothing. The last line is `N passed, N failed`.
"""
import hashlib
import os
import pathlib
import re
import sys
import tempfile
import unicodedata

import tally

SALT = "snub names 1 "
LIST = "scripts/names-hashed.txt"
CODE = ("src", "app", "include")
WHOLE = ("page/src", "po", "data", "examples", "docs", "README.md", "CHANGELOG.md", "CONTRIBUTING.md")
LEFT_OUT = ("docs/theory",)
NOT_OURS = {".git", "build", "node_modules", "__pycache__"}
PICTURES = {".png", ".jpg", ".gif", ".ico", ".woff2"}

# A text or a character constant, which a comment's opening may stand in; else a comment.
TEXT_OR_COMMENT = re.compile(r'"(?:[^"\\]|\\.)*"|\'(?:[^\'\\\n]|\\.)*\'|/\*.*?\*/|//[^\n]*', re.DOTALL)
SPLIT_TEXT = re.compile(r'"\s*"')
ESCAPE = re.compile(r"\\(x[0-9a-fA-F]{1,2}|[0-7]{1,3}|.)", re.DOTALL)
WORD = re.compile(r"[^\W_]+")


def folded(text):
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in plain if not unicodedata.combining(c))


def words_of(text):
    return WORD.findall(folded(text))


def hashed(words):
    return hashlib.sha256((SALT + " ".join(words)).encode()).hexdigest()[:16]


def found(text, names):
    """Words and pairs of words of a text that are in the list, in their order."""
    words = words_of(text)
    seen = {}
    for i in range(len(words)):
        for length in (1, 2):
            few = tuple(words[i:i + length])
            if len(few) == length and few not in seen:
                seen[few] = hashed(few) in names
    return [" ".join(few) for few, named in seen.items() if named]


def without_comments(text):
    """C without its comments, with a text that is split over lines in one piece."""
    text = TEXT_OR_COMMENT.sub(lambda m: " " if m[0].startswith("/") else m[0], text)
    text = SPLIT_TEXT.sub("", text)
    return ESCAPE.sub(lambda m: "" if m[1][0] in "x01234567" else " ", text)


def files_of(top):
    for folder, folders, files in os.walk(top):
        folders[:] = sorted(set(folders) - NOT_OURS)
        for name in sorted(folders) + sorted(files):
            yield pathlib.Path(folder, name).relative_to(top).as_posix()


def inside(path, places):
    return any(path == place or path.startswith(place + "/") for place in places)


def text_to_check(top, path):
    """What a user may see of a file; None: nothing."""
    file = top / path
    if not file.is_file() or file.suffix in PICTURES or inside(path, LEFT_OUT):
        return None
    if inside(path, CODE):
        return without_comments(file.read_text(encoding="utf-8", errors="replace"))
    if inside(path, WHOLE):
        return file.read_text(encoding="utf-8", errors="replace")
    return None


def check(top, names):
    """(checks, mistakes): one check for each name of a file or folder, one for each text."""
    checks, mistakes = 0, []
    for path in files_of(top):
        checks += 1
        mistakes += [f"{path}: its name has {name!r}" for name in found(pathlib.Path(path).name, names)]
        text = text_to_check(top, path)
        if text is not None:
            checks += 1
            mistakes += [f"{path}: names {name!r}" for name in found(text, names)]
    return checks, mistakes


def read_list(path):
    return {line for line in path.read_text(encoding="ascii").split() if line}


# Made up; in the list for this test alone.
ONE, TWO = "Quvarto", "Zyxwell Racing"
PLANTED = [
    ("src/base/a.c", f'puts("as {ONE} has it");', True),
    ("src/base/a.c", f"/* {ONE}, p. 3 */ int a; // {TWO}", False),
    ("src/base/a.c", f'puts("/*"); puts("{ONE}"); puts("*/");', True),
    ("src/base/a.c", f'puts("\\n{ONE.upper()}\\n");', True),
    ("src/base/a.c", 'puts("Zyxwell "\n     "Racing");', True),
    ("src/base/a.c", 'puts("Zyxwell");', False),
    ("src/base/a.c", 'puts("Qu" "varto");', True),
    ("include/snub/rule_list.inc", f'SNUB_RULE(A, "see {ONE}\'s table")', True),
    ("include/snub/a.h", f"/** {ONE} 8-38. */", False),
    ("app/cli/cmd_a.c", '{"help", "Zyxwell-Racing"}', True),
    ("page/src/a.ts", f"say(`from ${{x}} {ONE}`)", True),
    ("po/de.po", f'msgstr "nach {ONE.lower()}"', True),
    ("data/parts/a.csv", "6203,QUVÄRTO", True),
    ("data/parts/a.csv", "6203,Quvartos", False),
    ("examples/a.yaml", "title: zyxwell_racing", True),
    ("docs/guide/a.md", f"({ONE})", True),
    ("docs/theory/a.md", f"({ONE})", False),
    ("tests/published/a/test_a.c", f"/* {ONE} */", False),
    ("tests/published/quvarto_9th/test_a.c", "", True),
    ("data/parts/zyxwell-racing.csv", "", True),
]


def self_test():
    names = read_list(pathlib.Path(__file__).resolve().parent / "names-hashed.txt")
    failed = 0
    for path, text, wanted in PLANTED:
        with tempfile.TemporaryDirectory() as folder:
            file = pathlib.Path(folder, path)
            file.parent.mkdir(parents=True)
            file.write_text(text, encoding="utf-8")
            _, mistakes = check(pathlib.Path(folder), names)
        if bool(mistakes) != wanted:
            print(f"self-test: {path}: {text}: wanted {wanted}, got {mistakes}")
            failed += 1
    if any(not re.fullmatch("[0-9a-f]{16}", name) for name in names) or len(names) < 100:
        print(f"self-test: the list has {len(names)} names, or one that is no hash")
        failed += 1
    return len(PLANTED) + 1, failed


def check_tree(top):
    try:
        return check(top, read_list(top / LIST))
    except OSError as trouble:
        return 1, [f"the tree could not be read: {trouble}"]


def main():
    if sys.argv[1:2] == ["--hash"]:
        print(*sorted(hashed(words_of(name)) for name in sys.argv[2:]), sep="\n")
        return 0
    return tally.check_main(self_test, check_tree)


if __name__ == "__main__":
    sys.exit(main())
