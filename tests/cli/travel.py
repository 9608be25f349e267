"""Text that travels: hidden characters are refused in names; what a spreadsheet, a CAD program or a terminal would obey
comes out as it was written. The readers are csv, openpyxl, ezdxf, an XML parser and json.
"""
import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

import ezdxf
import ezdxf.lldxf.encoding
import openpyxl
from tally import check, end

SNUB = os.environ["SNUB_BIN"]
EXAMPLE = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples/three-pulleys.yaml")
HIDDEN = [0x01, 0x1B, 0x7F, 0x85, 0x9B, 0xAD, 0x61C, 0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2028, 0x202A, 0x202B, 0x202C,
          0x202D, 0x202E, 0x2060, 0x2066, 0x2067, 0x2068, 0x2069, 0xFEFF, 0xFDD0, 0xFDEF, 0xFFFE, 0xFFFF, 0x1FFFE, 0x10FFFF,
          0xE0041]
NAMES = ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "'=marked", "100%%c", "%%u under %%d", "5%°", "a^J b", "\\U+0041", "\\P x",
         "Größe é", "皮帯", "wrench 🔧", "<b>&\"'", "http://x/", "%s%n", "a;b,c"]
OBEYED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufffe\uffff]")


def run(folder, *arguments, **more):
    return subprocess.run([SNUB, *arguments], cwd=folder, capture_output=True, timeout=120, **more)


def is_safe(data):
    """UTF-8 without anything that a terminal obeys or does not show."""
    try:
        return not OBEYED.search(data.decode())
    except UnicodeDecodeError:
        return False


def refused(title, done, code):
    words = done.stderr.decode(errors="replace")
    check(f"{title} U+{code:04X}: refused", done.returncode == 2 and f"U+{code:04X}" in words, words)
    check(f"{title} U+{code:04X}: nothing obeyed", is_safe(done.stderr) and is_safe(done.stdout), done.stderr)


def hidden_characters(folder):
    text = EXAMPLE.read_text()
    head = "key,kind,name,source,note,bore [mm],outside [mm],thickness [mm]\n"
    run(folder, "parts", "init", "--bare", "--catalogue", "c.db")
    for code in HIDDEN:
        letter, escape = chr(code), f"\\U{code:08X}"
        for title, old, new in (("name", "name: crank", f'name: "cr{escape}ank"'), ("title", text.split("\n")[0], f'title: "a{escape}"'),
                                ("variant", "\nbelt:", f'\nvariants: {{"v{escape}": {{}}}}\nbelt:')):
            wrong = re.sub("(?m)^title:.*\n", "", text) if title == "title" else text
            wrong = new + "\n" + wrong if title == "title" else wrong.replace(old, new, 1)
            check("the example has the place", wrong != text)
            (folder / "kit.yaml").write_text(wrong)
            refused(f"{title} of a drive file", run(folder, "check", "kit.yaml"), code)
        if code != 0x85:  # a line break to YAML, which folds it into a blank
            done = run(folder, "check", str(EXAMPLE), "--set", f"title=a{letter}b")
            check(f"--set U+{code:04X}", done.returncode == 2 and is_safe(done.stderr), done.stderr)
        done = run(folder, "check", str(EXAMPLE), "--variant", f"a{letter}b")
        check(f"--variant U+{code:04X}", done.returncode == 2 and is_safe(done.stderr), done.stderr)
        for column in range(5):
            if column == 1:
                continue
            row = ["key", "shim", "name", "source", "note", "10", "20", "1"]
            row[column] += letter
            (folder / "parts.csv").write_text(head + ",".join(row) + "\n", newline="")
            done = run(folder, "parts", "import", "parts.csv", "--catalogue", "c.db")
            refused(f"column {column} of parts", done, code)
    for stray in (b"\x9b31m", b"\xed\xa0\x80", b"\xff", b"\xc0\xaf"):
        done = run(folder, "check", str(EXAMPLE), "--variant", stray)
        check(f"stray bytes {stray}", done.returncode == 2 and is_safe(done.stderr), done.stderr)


def kit_of(names):
    """The example with these names for its first pulleys, quoted as YAML in JSON's manner."""
    text, found = EXAMPLE.read_text(), re.findall(r"name: ([^,}\n]+)", EXAMPLE.read_text())
    for old, new in zip(found, names):
        quoted = json.dumps(new, ensure_ascii=False)
        text = text.replace(f"name: {old}", f"name: {quoted}", 1)
        text = re.sub(rf"(?m)^(\s*){re.escape(old)}\.", lambda m: f"{m[1]}{new}.", text)
    return text


def as_read(text):
    """What a DXF reader shows: ezdxf, and %%nnn, which it leaves; surrogates are two halves of one character."""
    plain = ezdxf.tools.text.plain_text(ezdxf.lldxf.encoding.decode_dxf_unicode(text))
    plain = re.sub(r"%%(\d{3})", lambda m: chr(int(m[1])), plain)
    return plain.encode("utf-16", "surrogatepass").decode("utf-16")


def names_in_outputs(folder):
    for name in NAMES:
        text = kit_of([name])
        if f"name: {json.dumps(name, ensure_ascii=False)}" not in text:
            check("the example has a pulley", False)
        (folder / "kit.yaml").write_text(text)
        state = run(folder, "check", "kit.yaml", "--json")
        check(f"{name}: read", state.returncode in (0, 1), state.stderr)
        if state.returncode == 2:
            continue
        check(f"{name}: JSON", name in [p["name"] for p in json.loads(state.stdout)["pulleys"]])
        check(f"{name}: text", name in run(folder, "check", "kit.yaml").stdout.decode())
        run(folder, "draw", "kit.yaml", "-o", "kit.dxf")
        document = ezdxf.readfile(folder / "kit.dxf")
        shown = [as_read(e.dxf.text) for e in document.modelspace().query("TEXT")]
        check(f"{name}: DXF", name in shown, shown[:12])
        check(f"{name}: DXF is ASCII", (folder / "kit.dxf").read_bytes().isascii())
        run(folder, "draw", "kit.yaml", "-o", "kit.svg")
        tree = xml.etree.ElementTree.parse(folder / "kit.svg")
        check(f"{name}: SVG", name in ["".join(e.itertext()) for e in tree.iter() if e.tag.endswith("text")])
        sweep = run(folder, "sweep", "kit.yaml", "--pulleys", "--format", "csv", "--speeds", "2")
        check(f"{name}: no formula in CSV", not any(formula(cell) for row in rows_of(sweep.stdout) for cell in row))
        run(folder, "sweep", "kit.yaml", "--speeds", "2", "-o", "kit.xlsx")
        run(folder, "chart", "kit.yaml", "-o", "chart.xlsx")
        for book in ("kit.xlsx", "chart.xlsx"):
            cells = [c for sheet in openpyxl.load_workbook(folder / book) for row in sheet.iter_rows() for c in row if c.value is not None]
            check(f"{name}: {book} has no formula and no link", cells and not any(c.data_type == "f" or c.hyperlink for c in cells))


def rows_of(data):
    return list(csv.reader(io.StringIO(data.decode(), newline="")))


def formula(cell):
    if not cell or cell[0] not in "=+-@\t\r\n＝＋－＠":
        return False
    try:
        float(cell)
    except ValueError:
        return True
    return False


def parts_round_trip(folder):
    texts = NAMES + ["'quoted'", "''=x", "-5", "'-5", "+5", "-", "=", "@", "＝wide", "'＠", "\ttab", " blank ", "line\nbreak", "'"]
    run(folder, "parts", "init", "--bare", "--catalogue", "one.db")
    run(folder, "parts", "init", "--bare", "--catalogue", "two.db")
    with open(folder / "in.csv", "w", newline="") as file:
        writer = csv.writer(file, quoting=csv.QUOTE_ALL)
        writer.writerow(["key", "kind", "name", "source", "note", "bore [mm]", "outside [mm]", "thickness [mm]"])
        for number, text in enumerate(texts):
            # what a spreadsheet would have to write for the text to be taken as it is
            marked = "'" + text if re.match("'*[=+\\-@\t\r\n＝＋－＠]", text) and (text[0] == "'" or formula(text)) else text
            writer.writerow([f"{number:03d}{text.strip()}", "shim", marked, marked, marked, 10, 20, 1])
    done = run(folder, "parts", "import", "in.csv", "--catalogue", "one.db")
    check("import", done.returncode == 0, done.stderr)
    first = run(folder, "parts", "export", "--catalogue", "one.db").stdout
    check("no formula in an export", not any(formula(cell) for row in rows_of(first) for cell in row))
    (folder / "out.csv").write_bytes(first)
    done = run(folder, "parts", "import", "out.csv", "--catalogue", "two.db")
    check("import of an export", done.returncode == 0, done.stderr)
    one, two = (json.loads(run(folder, "parts", "export", "--json", "--catalogue", name).stdout)["parts"]
                for name in ("one.db", "two.db"))
    check("the same parts", one == two)
    got = {part["name"] for part in two}
    check("every text as it was written", got == set(texts), set(texts) ^ got)
    run(folder, "parts", "export", "--catalogue", "one.db", "-o", "parts.xlsx")
    cells = [c for sheet in openpyxl.load_workbook(folder / "parts.xlsx") for row in sheet.iter_rows() for c in row if c.value is not None]
    check("XLSX of parts has no formula and no link", not any(c.data_type == "f" or c.hyperlink for c in cells))
    check("XLSX of parts has the texts", {t for t in texts if "\n" not in t and t == t.strip()} <= {str(c.value) for c in cells})


def file_names(folder):
    """A file's own name in what is printed about it."""
    for name in (b"esc\x1b[31m.yaml", b"turn\xe2\x80\xaered.yaml", b"stray\xff.yaml", b"=1+1.yaml", b"csi\xc2\x9b1m.yaml", b"nl\nx.yaml"):
        path = os.path.join(os.fsencode(folder), name)
        pathlib.Path(os.fsdecode(path)).write_text(EXAMPLE.read_text())
        for command in ([b"check", path], [b"check", path, b"--json"], [b"compare", path, bytes(EXAMPLE)],
                        [b"compare", path, bytes(EXAMPLE), b"--json"], [b"check", path, b"--set", b"belt.ribs=99"],
                        [b"check", path + b"x"], [b"parts", b"import", path], [b"parts", b"init", b"--bare", b"--catalogue", path + b".db"],
                        [b"parts", b"check", b"--catalogue", path + b".db"], [b"parts", b"backup", b"--catalogue", path + b".db", path + b".copy"],
                        [b"parts", b"list", b"--json", b"--catalogue", path + b".db"], [b"sweep", path, b"--speeds", b"2"],
                        [b"sweep", path, b"--plot", path + b".svg"], [b"draw", path, b"-o", path + b".svg"],
                        [b"sheet", path, b"-o", path + b".pdf"], [b"chart", path]):
            done = run(folder, *command)
            title = b" ".join(command[:2]).decode(errors="replace")
            check(f"{title}: ends", done.returncode in (0, 1, 2), done.returncode)
            check(f"{title} {name}: output", is_safe(done.stdout), done.stdout)
            check(f"{title} {name}: errors", is_safe(done.stderr), done.stderr)
            if b"--json" in command:
                json.loads(done.stdout)
        for made in (b".svg",):
            if os.path.exists(path + made):
                xml.etree.ElementTree.parse(os.fsdecode(path + made))
        check(f"{name}: a sheet", os.path.exists(path + b".pdf"))


def main():
    with tempfile.TemporaryDirectory() as name:
        for part in (hidden_characters, names_in_outputs, parts_round_trip, file_names):
            part(pathlib.Path(name))
    return end()


if __name__ == "__main__":
    sys.exit(main())
