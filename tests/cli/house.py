"""The house file: what it brings to every page, in which rank its defaults stand, what is wrong in one; codes of builds, and QR
codes read by zbar from pages that poppler has rendered.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import json
import os
import pathlib
import re
import struct
import subprocess
import sys
import tempfile
import zlib

import numpy
import yaml

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
HOUSE = {"snub": 1, "company": "Brightwater Kits", "address": ["14 Mill Lane", "Anytown AN1 2BC"],
         "contact": ["phone 01632 960 123"], "logo": "logo.svg", "colour": "#1a4f8b",
         "disclaimers": ["Brightwater Kits answers for the parts that it sold."],
         "sheet_number": "{kit}/{code}/{sheet}/{revision}", "qr": "https://example.invalid/k/{code}?n={kit}",
         "revisions": [{"revision": "A", "date": "2026-01-12", "reason": "first issue", "by": "J. Marsh", "approved": "P. Lund"},
                       {"revision": "B", "date": "2026-03-01", "reason": "longer bolt", "by": "J. Marsh"}]}
SVG = ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60"><rect width="200" height="60" fill="#1a4f8b"/>'
       '<circle cx="40" cy="30" r="20" fill="#fff"/></svg>')


def png(width, height, colour=b"\x20\x80\x20"):
    """A PNG of one colour, as its standard writes it."""
    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    rows = b"".join(b"\0" + colour * width for _ in range(min(height, 64)))
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
            + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


class Folder:
    """A drive file with its house beside it, in a folder of its own."""

    def __init__(self, top, house=None, head="kit_number: BW 7\nhouse: house.yaml\n", drive="three-pulleys"):
        self.top = pathlib.Path(tempfile.mkdtemp(dir=top))
        text = (TOP / f"examples/{drive}.yaml").read_text()
        self.drive = self.top / "kit.yaml"
        self.drive.write_text(re.sub("^title:", head + "title:", text, count=1, flags=re.M))
        (self.top / "maps").symlink_to(TOP / "examples/maps")
        (self.top / "logo.svg").write_text(SVG)
        self.house(house if house is not None else HOUSE)

    def house(self, house):
        (self.top / "house.yaml").write_text(house if isinstance(house, str) else yaml.safe_dump(house, sort_keys=False))

    def run(self, *arguments):
        return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=120, cwd=self.top)

    def sheet(self, kind, *more, name="sheet.pdf"):
        done = self.run("sheet", "kit.yaml", "--kind", kind, "-o", name, *more)
        check(f"{kind} {more} is printed", done.returncode in (0, 1), done.stderr)
        return self.top / name

    def asked(self, *arguments):
        return json.loads(self.run(*arguments, "--json").stdout)


def pages(path, raw=True):
    text = subprocess.run(["pdftotext", "-raw" if raw else "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    return [re.sub(r"\s+", " ", page.replace("\u00a0", " ")) for page in text.split("\f")[:-1]]


def read_codes(path, page, folder):
    """What zbar reads on a page, and the sides of the symbol in mm, as far as its dark squares reach: it is the lowest thing
    in its strip of the page but for the foot."""
    dots = 10  # to the mm
    subprocess.run(["pdftoppm", "-r", "254", "-gray", "-f", str(page), "-l", str(page), "-singlefile", path, folder / "page"], check=True)
    done = subprocess.run(["zbarimg", "-q", "--nodbus", "--raw", "-Sdisable", "-Sqrcode.enable", folder / "page.pgm"],
                          capture_output=True, text=True)
    data = (folder / "page.pgm").read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    width, height = int(head[1]), int(head[2])
    dark = numpy.frombuffer(data[head.end():], numpy.uint8).reshape(height, width)[:height - 20 * dots, 15 * dots:37 * dots] < 128
    rows = numpy.flatnonzero(dark.any(axis=1))
    blank = numpy.flatnonzero(numpy.diff(rows) > 2 * dots)
    rows = rows[blank[-1] + 1:] if len(blank) else rows
    columns = numpy.flatnonzero(dark[rows[0]:rows[-1] + 1].any(axis=0)) if len(rows) else []
    sides = [(of[-1] - of[0] + 1) / dots for of in (rows, columns) if len(of)]
    return done.stdout.splitlines(), sides, done.stderr


def letterhead(top):
    """Company, numbers, date, fingerprint and the page's number on every page of every sheet."""
    one = Folder(top)
    made = one.asked("check", "kit.yaml")
    code, fingerprint = made["build"]["row"]["code"], made["build"]["fingerprint"]
    check("kit number in JSON", made["kit_number"] == "BW 7")
    check("six signs, a letter first", re.fullmatch(f"[A-Z][{SIGNS}]{{5}}", code) and code[0] in SIGNS, code)
    for kind, letter in (("fitting", "F"), ("parts", "P"), ("report", "E"), ("template", "T"), ("chart", "A")):
        path = one.sheet(kind, "--date", "2026-04-02")
        all_pages = pages(path)
        number = f"BW 7/{'ALL' if kind == 'chart' else code}/{letter}/B"
        mark = fingerprint if kind != "chart" else one.asked("chart", "kit.yaml")["fingerprint"]
        for i, page in enumerate(all_pages, 1):
            wanted = ["Brightwater Kits", number, "revision B, 2026-03-01", "2026-04-02", mark[:16]]
            if kind != "template":
                wanted += ["14 Mill Lane", "phone 01632 960 123", f"page {i} of {len(all_pages)}", "kit BW 7"]
            for words in wanted:
                check(f"{kind}, page {i}: {words}", words in page, page)
        if kind != "template":
            check(f"{kind}: revisions", "A 2026-01-12 first issue J. Marsh P. Lund B 2026-03-01 longer bolt J. Marsh" in all_pages[-1], all_pages[-1])
        whole = " ".join(all_pages)
        check(f"{kind}: own wording once", whole.count("answers for the parts that it sold") == 1, whole)
        check(f"{kind}: and the cautions stay", all(word in whole for word in ("WARNING",)) or kind == "chart" or kind == "parts", whole)
    said = pages(one.sheet("fitting"))
    bare = Folder(top, head="")
    for sentence in re.findall(r"• [^•]{20,60}", " ".join(pages(bare.sheet("fitting")))):
        check("no caution is lost beside own wording", sentence[:40] in " ".join(said), sentence)


def ranks(top):
    """Command line, then (for units) the drive file, then the house."""
    def size(path):
        return re.search(r"Page size: +(\S+) x (\S+)", subprocess.run(["pdfinfo", path], capture_output=True, text=True).stdout).groups()
    one = Folder(top, {**HOUSE, "language": "de", "paper": "letter", "units": "us"})
    path = one.sheet("fitting")
    check("house: letter", size(path) == ("612", "792"), size(path))
    text = " ".join(pages(path))
    check("house: German", "Einbaublatt" in text, text)
    check("house: inches first", re.search(r"\d,\d+ in \(\d+,\d mm\)", text), text)
    path = one.sheet("fitting", "--paper", "A4", "--language", "en", "--metric")
    text = " ".join(pages(path))
    check("options: A4, English, metric", size(path)[0].startswith("595") and "Fitting sheet" in text and re.search(r"\d mm \(", text), text)
    one.drive.write_text(one.drive.read_text().replace("title:", "units: metric\ntitle:", 1))
    text = " ".join(pages(one.sheet("fitting")))
    check("the drive's own units before the house's", re.search(r"\d,\d mm \(\d", text), text)
    other = {**HOUSE, "company": "Second House"}
    (one.top / "second.yaml").write_text(yaml.safe_dump(other))
    text = " ".join(pages(one.sheet("fitting", "--house", "second.yaml")))
    check("--house before the file's", "Second House" in text and "Brightwater" not in text.replace("Brightwater Kits answers", ""), text)


def fingerprints(top):
    """The house and its logo are part of what a sheet was made from."""
    one = Folder(top)
    seen = [one.asked("check", "kit.yaml")["build"]["fingerprint"]]
    one.house({**HOUSE, "company": "Brightwater Kits Ltd"})
    seen.append(one.asked("check", "kit.yaml")["build"]["fingerprint"])
    (one.top / "logo.svg").write_text(SVG.replace("#fff", "#ffe"))
    seen.append(one.asked("check", "kit.yaml")["build"]["fingerprint"])
    check("each change changes it", len(set(seen)) == 3, seen)
    for target, role in (("house.yaml", "house file"), ("logo.svg", "logo")):
        before = (one.top / target).read_bytes()
        done = one.run("sheet", "kit.yaml", "-o", target)
        check(f"no sheet in the place of the {role}", done.returncode == 2 and (role in done.stderr or target.endswith("yaml")) and (one.top / target).read_bytes() == before, done.stderr)
    (one.top / "link.pdf").hardlink_to(one.top / "logo.svg")
    done = one.run("sheet", "kit.yaml", "-o", "link.pdf")
    check("nor by another name", done.returncode == 2 and "logo" in done.stderr, done.stderr)


def codes(top):
    """A code is of variant, package and option values: not of their order, number or writing."""
    drive = "ironbrook-v8"
    one = Folder(top, drive=drive)
    builds = one.asked("chart", "kit.yaml")["builds"]
    by_code = {b["code"]: (b["variant"], json.dumps(b["options"], sort_keys=True)) for b in builds}
    check("every build its own", len(by_code) == len(builds), f"{len(by_code)} of {len(builds)}")
    text = one.drive.read_text()
    tree = yaml.safe_load(text)
    tree["options"] = dict(reversed(tree["options"].items()))
    first = next(iter(tree["options"]))
    tree["options"][first] = list(reversed(tree["options"][first]))[:-1]
    one.drive.write_text(yaml.safe_dump(tree, sort_keys=False))
    again = {b["code"]: (b["variant"], json.dumps(b["options"], sort_keys=True)) for b in one.asked("chart", "kit.yaml")["builds"]}
    check("other order, fewer values: the same codes", len(again) < len(by_code) and all(by_code.get(c) == v for c, v in again.items()), again)
    one.drive.write_text(text)
    for b in (builds[1], builds[-1]):
        typed = f"{b['code'][:3].lower()}-{b['code'][3:]}".replace("0", "o").replace("1", "l")
        got = one.asked("check", "kit.yaml", "--build", typed)["build"]
        check(f"--build {typed}", (got["row"]["variant"], got["row"]["options"], got["row"]["code"]) == (b["variant"], b["options"], b["code"]), got)
    done = one.run("check", "kit.yaml", "--build", "ZZZZZZ")
    check("an unknown code", done.returncode == 2 and "a code" in done.stderr, done.stderr)
    own = one.asked("check", "kit.yaml")["build"]["row"]["code"]
    values = {path: tree_value for path, tree_value in builds[0]["options"].items()}
    path, value = next(iter(values.items()))
    other = one.asked("check", "kit.yaml", "--set", f"{path}={value}")["build"]["row"]["code"]
    check("--set of an option's value is another build of the kit", other != own and not other.endswith("+"), (own, other))
    marked = one.asked("check", "kit.yaml", "--set", "belt.wet=0.3")["build"]["row"]["code"]
    check("--set of anything else is marked", marked == own + "+", (own, marked))
    done = one.run("chart", "kit.yaml", "--csv", "chart.csv")
    with open(one.top / "chart.csv", newline="", encoding="utf-8-sig") as file:
        check("codes in CSV", [row["code"] for row in csv.DictReader(file)] == [b["code"] for b in builds])
    paper = " ".join(pages(one.sheet("chart")))
    check("codes on the chart", all(b["code"] in paper for b in builds), paper)


def the_code(path, folder):
    """The one page that has the code under its number in letters, read."""
    with_it = [i for i, page in enumerate(pages(path), 1) if "Have it ready when you call" in page]
    check(f"{path.name}: the code stands once", len(with_it) == 1, with_it)
    return read_codes(path, with_it[0], folder) if with_it else ([], [], "")


def qr(top):
    one = Folder(top)
    code = one.asked("check", "kit.yaml")["build"]["row"]["code"]
    for kind in ("fitting", "parts"):
        path = one.sheet(kind)
        said, sides, noise = the_code(path, one.top)
        check(f"{kind}: the address", said == [f"https://example.invalid/k/{code}?n=BW%207"], (said, noise))
        check(f"{kind}: a square of 18 mm", len(sides) == 2 and all(abs(side - 18) <= 0.2 for side in sides), sides)
    plain = {k: v for k, v in HOUSE.items() if k != "qr"}
    one.house(plain)
    path = one.sheet("report")
    said, _, noise = the_code(path, one.top)
    check("without an address the numbers", said == [f"BW 7 {code}"], (said, noise))
    bare = Folder(top, head="")
    path = bare.sheet("fitting", "--set", "belt.wet=0.3")
    said, _, noise = the_code(path, bare.top)
    check("without kit number and house the code", said == [code + "+"], (said, noise))
    check("a chart has none", read_codes(one.sheet("chart"), 1, one.top)[0] == [])


def logos(top):
    one = Folder(top)
    images = lambda path: subprocess.run(["pdfimages", "-list", path], capture_output=True, text=True).stdout.splitlines()[2:]
    check("SVG is drawn as vectors", images(one.sheet("parts")) == [])
    (one.top / "logo.png").write_bytes(png(64, 20))
    one.house({**HOUSE, "logo": "logo.png"})
    check("PNG is there", any(re.search(r"\b64 +20\b", line) for line in images(one.sheet("parts"))))

    def refused(name, bytes_or_text, want, logo="bad"):
        (one.top / "bad").write_bytes(bytes_or_text if isinstance(bytes_or_text, bytes) else bytes_or_text.encode())
        one.house({**HOUSE, "logo": logo})
        done = one.run("sheet", "kit.yaml", "-o", "x.pdf")
        place = re.search(r"^house\.yaml:\d+:\d+: logo: ", done.stderr, re.M)
        check(f"{name}: {want}", done.returncode == 2 and place and want in done.stderr and "logo:" in done.stderr.split("\n")[1], done.stderr)
        check(f"{name}: nothing is written", not (one.top / "x.pdf").exists())
    refused("missing", "", "no such file", logo="none.svg")
    refused("empty", "", "cannot be read as SVG")
    refused("text", "hello", "cannot be read as SVG")
    refused("cut off", png(64, 20)[:60], "is damaged")
    refused("many pixels", png(5000, 5000), "too many pixels")
    refused("large", b"\x89PNG\r\n\x1a\n" + b"x" * (1 << 20), "larger than")
    refused("no size", '<svg xmlns="http://www.w3.org/2000/svg" width="100%" height="100%"><path d="M0 0h9v9z"/></svg>', "has no size")
    outside = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9">%s</svg>'
    for what in ('<image href="logo.png" width="9" height="9"/>', '<image xlink:href = "file:///etc/hostname" width="9" height="9"/>',
                 '<rect width="9" height="9" fill="url(other.svg#a)"/>', '<style>@import "http://example.invalid/a.css";</style>'):
        refused("outside", outside % what, "outside of the file")
    refused("entity", '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hostname">]>' + outside % "&a;", "outside of the file")
    inside = outside % '<defs><linearGradient id="a"/></defs><rect width="9" height="9" fill="url(#a)"/><use href="#a"/>'
    (one.top / "logo.svg").write_text(inside)
    one.house(HOUSE)
    one.sheet("parts")


def mistakes(top):
    one = Folder(top)

    def wrong(name, change, *wants):
        house = {**HOUSE, **change}
        one.house({k: v for k, v in house.items() if v is not None})
        done = one.run("check", "kit.yaml")
        check(name, done.returncode == 2 and all(want in done.stderr for want in wants) and "house.yaml:" in done.stderr, done.stderr)
    wrong("unknown key", {"colours": "#000000"}, "colours: ", "did you mean 'colour'")
    wrong("no company", {"company": None}, "company: is missing")
    wrong("no format", {"snub": None}, "snub: is missing")
    wrong("format of another day", {"snub": 7}, "newer format")
    wrong("a pale colour", {"colour": "#ffcc00"}, "too pale", "darker")
    wrong("no colour", {"colour": "blue"}, "is no colour")
    wrong("a name that is none", {"sheet_number": "{kit}-{cod}"}, "{cod}", "did you mean 'code'")
    wrong("half a brace", {"qr": "a{code"}, "brace")
    wrong("paper", {"paper": "A3"}, "paper: is not known", "A4 or letter")
    wrong("a date", {"revisions": [{"revision": "A", "date": "12.1.2026"}]}, "revisions.0.date: is no date")
    wrong("a day that is none", {"revisions": [{"revision": "A", "date": "2026-02-30"}]}, "revisions.0.date: is no date")
    wrong("a day", {"revisions": [{"revision": "A", "date": "2026-13-01"}]}, "is no date")
    wrong("order", {"revisions": [{"revision": "A", "date": "2026-02-01"}, {"revision": "B", "date": "2026-01-01"}]}, "before that of the revision above")
    wrong("twice", {"revisions": [{"revision": "A", "date": "2026-01-01"}, {"revision": "A", "date": "2026-02-01"}]}, "comes twice")
    wrong("no revision's name", {"revisions": [{"date": "2026-01-01"}]}, "revision: is missing")
    wrong("two at once", {"units": "inch", "company": ""}, "units: is not known", "company: is empty")
    wrong("too many lines", {"address": list("abcdefg")}, "has 7 items")
    one.house("snub: 1\ncompany: [\n")
    done = one.run("check", "kit.yaml")
    check("no YAML", done.returncode == 2 and "house.yaml:" in done.stderr, done.stderr)
    one.house({**HOUSE, "language": "xx"})
    done = one.run("sheet", "kit.yaml", "-o", "x.pdf")
    check("a language that there is not", done.returncode == 2 and re.search(r"house\.yaml:\d+:\d+: language: ", done.stderr), done.stderr)
    (one.top / "house.yaml").unlink()
    done = one.run("check", "kit.yaml")
    check("no such house", done.returncode == 2 and re.search(r"kit\.yaml:\d+:\d+: house: no such file \(got house\.yaml\)", done.stderr), done.stderr)
    done = one.run("sheet", "kit.yaml", "--house", "gone.yaml", "-o", "x.pdf")
    check("nor by option", done.returncode == 2 and "gone.yaml: no such file" in done.stderr, done.stderr)
    done = one.run("check", "kit.yaml", "--set", "kit_number=7")
    check("a kit number is no option", done.returncode == 2, done.stderr)


def main():
    with tempfile.TemporaryDirectory() as top:
        for part in (letterhead, ranks, fingerprints, codes, qr, logos, mistakes):
            part(top)
    sys.exit(end())


if __name__ == "__main__":
    main()
