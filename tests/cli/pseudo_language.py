"""A made-up language out of po/snub.pot: every message in accents and brackets, a third longer, its {places} kept.
Usage: pseudo_language.py SNUB.POT OUT.PO CODE
What the program prints in plain letters has then gone past the catalogue."""
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "scripts"))
catalogue = __import__("messages-check")

# each in the face of the sheets, none of ASCII
PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
ACCENTED = "àбćďéфġħíĵķľщńóпюŕśťúжŵяýžÀБĆĎÉФĠĦÍĴĶĽЩŃÓПЮŔŚŤÚЖŴЯÝŽ"
LONGER = 0.35
# of a message: a place to be filled, a key of the drive file
KEPT = re.compile(r"(\{\w+\}|`[^`]*`)")


def lengthened(message):
    """Vowels are doubled from the front until the message is a third longer: words grow as those of a language do."""
    left = int(LONGER * len(KEPT.sub("", message)) + 0.999)
    out = []
    for part in KEPT.split(message):
        for letter in part:
            out.append(letter)
            if left > 0 and not KEPT.fullmatch(part) and letter in "aeiouAEIOU":
                out.append(letter.lower())
                left -= 1
    return "".join(out)


def said(message):
    inner = message.strip(" \n")
    start = message.index(inner) if inner else 0
    accents = str.maketrans(PLAIN, ACCENTED)
    told = "".join(p if KEPT.fullmatch(p) else p.translate(accents) for p in KEPT.split(lengthened(inner)))
    return f"{message[:start]}[{told}]{message[start + len(inner):]}"


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t") + '"'


def main(pot, out, code):
    messages = catalogue.Catalogue(open(pot, encoding="utf-8").read()).said
    with open(out, "w", encoding="utf-8") as po:
        po.write(f'msgid ""\nmsgstr ""\n"Language: {code}\\n"\n"Content-Type: text/plain; charset=UTF-8\\n"\n')
        for message in messages:
            po.write(f"\nmsgid {quoted(message)}\nmsgstr {quoted(said(message))}\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
