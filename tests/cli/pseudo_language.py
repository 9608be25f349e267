"""A made-up language out of po/snub.pot: every message in accents and brackets, a third longer, its {places} kept.
Usage: pseudo_language.py SNUB.POT OUT.PO CODE [--compounds]
What the program prints in plain letters has then gone past the catalogue. --compounds: words are joined two and two, as
long as words get anywhere."""
import os
import re
import sys

sys.path.append(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "scripts"))
from catalogue import Catalogue  # noqa: E402

PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
SMALL = "àбćďéфġħíĵķľщńóпюŕśťúжŵяýž"  # each in the face of the sheets, none of ASCII
ACCENTS = str.maketrans(PLAIN, SMALL + SMALL.upper())
LONGER = 0.35
NAME = "Éxample"
# of a message: a place to be filled, a key of the drive file
KEPT = re.compile(r"(\{\w+\}|`[^`]*`)")
NUMBER = re.compile(r"(?<![\w.])(\d+)\.(\d+)(?![\w.])")
PAIR = re.compile(r"(?<![\w}])([^\W\d_]{3,}) ([^\W\d_]{3,})(?![\w{])")
HEAD = 'msgid ""\nmsgstr ""\n"Language: {code}\\n"\n"Content-Type: text/plain; charset=UTF-8\\n"\n"X-Language-Name: {name}\\n"\n"X-Decimal-Mark: comma\\n"\n'


def lengthened(message):
    """Vowels are doubled from the front until the message is a third longer."""
    left = int(LONGER * len(KEPT.sub("", message)) + 0.999)
    out = []
    for part in KEPT.split(message):
        for letter in part:
            out.append(letter)
            if left > 0 and not KEPT.fullmatch(part) and letter in "aeiouAEIOU":
                out.append(letter.lower())
                left -= 1
    return "".join(out)


def said(message, compounds=False):
    """A message in the language; blanks and line ends around it stay."""
    inner = message.strip(" \n")
    start = message.index(inner) if inner else 0
    told = "".join(p if KEPT.fullmatch(p) else p.translate(ACCENTS) for p in KEPT.split(lengthened(inner)))
    told = NUMBER.sub(r"\1,\2", told)
    if compounds:
        told = PAIR.sub(r"\1\2", told)
    return f"{message[:start]}[{told}]{message[start + len(inner):]}"


def messages_of(pot):
    with open(pot, encoding="utf-8") as file:
        return Catalogue(file.read()).said


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t") + '"'


def write(pot, out, code, compounds=False):
    with open(out, "w", encoding="utf-8") as po:
        po.write(HEAD.format(code=code, name=NAME))
        for message in messages_of(pot):
            po.write(f"\nmsgid {quoted(message)}\nmsgstr {quoted(said(message, compounds))}\n")


if __name__ == "__main__":
    write(*sys.argv[1:4], compounds="--compounds" in sys.argv)
