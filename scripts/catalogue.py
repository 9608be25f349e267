"""Reads a gettext catalogue: .po or .pot."""
import re

TEXT = re.compile(r'"((?:[^"\\]|\\.)*)"\s*$')
ESCAPE = re.compile(r"\\(.)")
ESCAPED = {"n": "\n", "t": "\t", "r": "\r"}


class Catalogue:
    """Messages of a .po or .pot without its head; double are those that stand in it more than once."""

    def __init__(self, text):
        self.said, self.fuzzy, self.double, self.obsolete, self.head = {}, set(), [], [], {}
        self._begin()
        for line in text.splitlines():
            self._take(line)
        self._end()

    def _begin(self):
        self._message, self._part, self._is_fuzzy = {}, None, False

    def _take(self, line):
        comment = line.startswith("#")
        if self._part == "msgstr" and (comment or line.startswith("msg")):
            self._end()
        if comment:
            self._is_fuzzy = self._is_fuzzy or line.startswith("#,") and "fuzzy" in line
            if line.startswith("#~ msgid"):
                self.obsolete.append(line[3:])
        elif text := TEXT.search(line):
            self._part = line.split()[0] if line.startswith("msg") else self._part
            self._message.setdefault(self._part, []).append(ESCAPE.sub(lambda m: ESCAPED.get(m[1], m[1]), text[1]))

    def _end(self):
        english = "".join(self._message.get("msgid", []))
        if english in self.said:
            self.double.append(english)
        elif english == "":
            fields = "".join(self._message.get("msgstr", [])).splitlines()
            self.head.update(field.split(": ", 1) for field in fields if ": " in field)
        else:
            self.said[english] = "".join(self._message.get("msgstr", []))
            if self._is_fuzzy:
                self.fuzzy.add(english)
        self._begin()
