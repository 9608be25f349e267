"""Pages of the printed sheets as pictures: at 100 dpi, by poppler, against those that were looked at when they were kept.

What moved, vanished or lies on something else shows here, whatever the text says. Both pictures are averaged over squares of ten
dots, so that another version's edges of letters do not count. SNUB_PICTURES=1 keeps the pages as they are now: look at each before
you keep it."""
import os
import struct
import subprocess
import sys
import tempfile
import zlib

SNUB, SOURCE = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
KEPT = os.path.join(SOURCE, "tests", "reference", "pages")
DPI, SQUARE, LEVELS = 100, 10, 4  # dots per inch; dots; greys that are kept
DIFFERS = 0.10  # of a square's mean between white and black
SHARE_MOST = 0.004  # of the squares: a line of a paragraph is more
PAGES = [  # example, options, page
    ("sedgemere", "", 1), ("sedgemere", "", 3), ("sedgemere", "--package track --free --language de", 2),
    ("sedgemere-locked", "--paper letter", 3), ("sedgemere-centrifugal", "--language de", 4), ("ironbrook-v8", "", 1),
    ("sedgemere", "--kind chart", 1), ("sedgemere", "--kind parts --package track --free --language de", 1), ("sedgemere", "--kind bill", 1),
    ("sedgemere", "--kind strip", 1), ("sedgemere", "--kind template", 1), ("ironbrook-v8", "--kind report", 2),
    ("sedgemere", "--set blower.diameter=50", 1)]
COARSE = bytes((v * (LEVELS - 1) + 127) // 255 * 255 // (LEVELS - 1) for v in range(256))  # the greys that are kept
passed = failed = 0


def expect(name, good, *why):
    global passed, failed
    passed, failed = passed + bool(good), failed + (not good)
    if not good:
        print("FAILED", name)
        for line in why:
            print("   ", line)


def page_of(example, options, number, work):
    """Grey of each dot, 0 black to 255, with width and height."""
    pdf = os.path.join(work, "sheet.pdf")
    subprocess.run([SNUB, "sheet", os.path.join(SOURCE, "examples", example + ".yaml"), "-o", pdf, *options.split()], check=False,
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    pgm = subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-f", str(number), "-l", str(number), pdf], capture_output=True, check=True).stdout
    head, size, _, data = pgm.split(b"\n", 3)
    width, height = map(int, size.split())
    assert head == b"P5" and len(data) == width * height
    return width, height, data.translate(COARSE)


def squares(width, height, data):
    """Mean of each square, 0 black to 1."""
    out = []
    for y in range(0, height - SQUARE + 1, SQUARE):
        rows = [data[(y + k) * width:(y + k + 1) * width] for k in range(SQUARE)]
        out.append([sum(sum(row[x:x + SQUARE]) for row in rows) / (255 * SQUARE * SQUARE) for x in range(0, width - SQUARE + 1, SQUARE)])
    return out


def write_png(path, width, height, data):
    """Four greys, two bits each (PNG, ISO/IEC 15948), every row unfiltered."""
    def chunk(name, body):
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    rows = bytearray()
    for y in range(height):
        row = [v * (LEVELS - 1) // 255 for v in data[y * width:(y + 1) * width]] + [0, 0, 0]
        rows.append(0)
        rows.extend(row[x] << 6 | row[x + 1] << 4 | row[x + 2] << 2 | row[x + 3] for x in range(0, width, 4))
    with open(path, "wb") as file:
        file.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 2, 0, 0, 0, 0)) +
                   chunk(b"IDAT", zlib.compress(bytes(rows), 9)) + chunk(b"IEND", b""))


def read_png(path):
    with open(path, "rb") as file:
        data = file.read()
    width, height, bits, kind = struct.unpack(">IIBB", data[16:26])
    assert (bits, kind) == (2, 0), f"{path}: not kept by this test"
    at, body = 8, b""
    while at < len(data):
        length, name = struct.unpack(">I4s", data[at:at + 8])
        body += data[at + 8:at + 8 + length] if name == b"IDAT" else b""
        at += 12 + length
    rows, step, out = zlib.decompress(body), 1 + (width + 3) // 4, bytearray()
    for y in range(height):
        row = rows[y * step + 1:(y + 1) * step]
        out.extend([(row[x // 4] >> (6 - 2 * (x % 4)) & 3) * 85 for x in range(width)])
    return width, height, bytes(out)


def differing(one, other):
    return [(x * SQUARE, y * SQUARE) for y, (a, b) in enumerate(zip(one, other)) for x, (p, q) in enumerate(zip(a, b)) if abs(p - q) > DIFFERS]


def compare(name, now, kept):
    expect(f"{name}: size", now[:2] == kept[:2], now[:2], kept[:2])
    if now[:2] != kept[:2]:
        return
    one, other = squares(*now), squares(*kept)
    off = differing(one, other)
    expect(f"{name}: looks as it did", len(off) <= SHARE_MOST * len(one) * len(one[0]), f"{len(off)} squares differ, at dots {off[:8]}")


def self_test(page):
    """A page moved by a line, one without a paragraph, one with a bar across: all are seen. The page itself is not."""
    width, height, data = page
    ink = [sum(255 - v for v in data[y * width:(y + 1) * width]) for y in range(height - 40)]
    busy = max(range(height - 80), key=lambda y: sum(ink[y:y + 40])) * width
    spoilt = {"moved down by 3 mm": data[-12 * width:] + data[:-12 * width],
              "a paragraph gone": data[:busy] + b"\xff" * (40 * width) + data[busy + 40 * width:],
              "a bar across": data[:500 * width] + b"\x40" * (6 * width) + data[506 * width:]}
    one = squares(*page)
    for name, other in spoilt.items():
        off = differing(one, squares(width, height, other))
        expect(f"noticed: {name}", len(off) > SHARE_MOST * len(one) * len(one[0]), len(off))
    expect("the same page is the same", not differing(one, one))


def main():
    with tempfile.TemporaryDirectory() as work:
        for k, (example, options, number) in enumerate(PAGES):
            name = "-".join([example, *options.replace("--", "").replace("=", "-").split(), str(number)]).replace(".", "-")
            page = page_of(example, options, number, work)
            path = os.path.join(KEPT, name + ".png")
            if os.environ.get("SNUB_PICTURES"):
                write_png(path, *page)
            compare(name, page, read_png(path))
            if k == 0:
                self_test(page)
    print(f"{passed} passed, {failed} failed")
    return failed > 0


if __name__ == "__main__":
    sys.exit(main())
