"""Sheets read back with poppler: words inside the margins and apart, the template's ruler measured in the picture.
Usage: sheet_check.py words FILE | ruler FILE PAGE [mm|in] | tiles FILE | strip FILE SLOT_MM SETTING_MM... | catalogue FILE.po |
       cautions FILE LIST FILE.po|- ID...
       sheet_check.py sentences LIST [ID...]
cautions: those named, and no others, stand on the sheet, each once;
sentences: the list's English. Prints what is wrong; nothing means good."""
import re
import subprocess
import sys
import tempfile
import os
import xml.etree.ElementTree as tree

POINT_MM = 25.4 / 72
MARGIN_MM = 10.0        # nearer to the edge, common printers print nothing
OVERLAP_SHARE = 0.35    # of the smaller word's area: neighbours' line boxes may touch, letters may not
RULER_MM = 100.0
RULER_TOLERANCE_MM = 0.1
DOTS_PER_INCH = 600


def boxes_of(path):
    """Every word with its box, as poppler writes it."""
    text = subprocess.run(["pdftotext", "-bbox", path, "-"], capture_output=True, check=True).stdout.decode()
    return re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "", text)


def faults_of(text, margin=MARGIN_MM):
    """What is wrong with the words of boxes_of: past the margins, on each other, too few."""
    root = tree.fromstring(text)
    count = 0
    for number, page in enumerate(root.iter("{http://www.w3.org/1999/xhtml}page"), 1):
        width, height = float(page.get("width")) * POINT_MM, float(page.get("height")) * POINT_MM
        boxes = []
        for word in page.iter("{http://www.w3.org/1999/xhtml}word"):
            box = [float(word.get(k)) * POINT_MM for k in ("xMin", "yMin", "xMax", "yMax")]
            # poppler's box is as high as the face's ascent and descent: the letters fill its middle
            inset = (box[3] - box[1]) * 0.2
            box[1] += inset
            box[3] -= inset
            boxes.append((word.text, box))
            count += 1
            if box[0] < margin or box[2] > width - margin or box[1] < margin or box[3] > height - margin:
                yield f"page {number}: \"{word.text}\" at {box} leaves the margins of {margin:g} mm"
        boxes.sort(key=lambda word: word[1][1])  # by their tops: from one that begins under the foot, none lies on it
        for i, (one, a) in enumerate(boxes):
            for two, b in boxes[i + 1:]:
                if b[1] >= a[3]:
                    break
                over = max(0, min(a[2], b[2]) - max(a[0], b[0])) * max(0, min(a[3], b[3]) - max(a[1], b[1]))
                least = min((a[2] - a[0]) * (a[3] - a[1]), (b[2] - b[0]) * (b[3] - b[1]))
                if least > 0 and over > OVERLAP_SHARE * least:
                    yield f"page {number}: \"{one}\" and \"{two}\" lie on each other"
    if count < 20:
        yield f"only {count} words"


def words(path, margin=MARGIN_MM):
    for fault in faults_of(boxes_of(path), float(margin)):
        print(fault)


def read_pgm(path):
    data = open(path, "rb").read()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    width, height = int(head[1]), int(head[2])
    return width, height, data[head.end():]


def strip(path, check, *settings):
    """The lines across the slot of a setting strip, measured in the picture: each where it belongs, and no other."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(DOTS_PER_INCH), "-gray", "-f", "1", "-l", "1", "-singlefile", path,
                        os.path.join(folder, "page")], check=True)
        width, height, grey = read_pgm(os.path.join(folder, "page.pgm"))
    dot = 25.4 / DOTS_PER_INCH
    column = grey[round(27 / dot)::width]  # left of the slot, where its lines reach out and nothing else stands
    blobs, y = [], round(65 / dot)  # below the words on top
    while y < round(250 / dot):
        start, weight, moment = y, 0, 0
        while column[y] < 230:
            weight += 255 - column[y]
            moment += (255 - column[y]) * (y + 0.5)
            y += 1
        if weight:
            blobs.append((start * dot, moment / weight * dot, y * dot))
        y += 1
    if len(blobs) < 3:
        print(f"only {len(blobs)} lines")
        return
    wanted = sorted({0.0, float(check), *map(float, settings)})
    zero = blobs[0][1]
    for want in wanted:
        near = [b for b in blobs if b[0] - RULER_TOLERANCE_MM <= zero + want <= b[2] + RULER_TOLERANCE_MM]
        alone = all(other == want or abs(other - want) > 0.4 for other in wanted)
        if not near or (alone and abs(near[0][1] - zero - want) > RULER_TOLERANCE_MM):
            print(f"no line at {want} mm: {[round(b[1] - zero, 3) for b in blobs]}")
    for low, middle, high in blobs:
        if not any(low - RULER_TOLERANCE_MM <= zero + want <= high + RULER_TOLERANCE_MM for want in wanted):
            print(f"a line at {middle - zero:.3f} mm that no build has")


def strokes_at(picture, above_line, end, tallest):
    """Middles [mm] of the strokes that reach a height over a ruler's line, from its left end on."""
    width, height, grey = picture
    dot = 25.4 / DOTS_PER_INCH
    row = height - round((10 + 3 + above_line + tallest) / dot)
    line = grey[row * width:(row + 1) * width]
    strokes, x = [], round(11 / dot)
    while x < round(end / dot):
        if line[x] < 200:
            start = x
            weight = moment = 0
            while line[x] < 250:
                weight += 255 - line[x]
                moment += (255 - line[x]) * (x + 0.5)
                x += 1
            if (x - start) * dot < 1:
                strokes.append(moment / weight * dot)
        x += 1
    return strokes


def ruler(path, page, first="mm"):
    """Both rulers, the reader's own at the foot and the other 10 mm above it; only the strokes of every 10 mm, or of every
    inch, reach 4.2 mm over a ruler's line."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(DOTS_PER_INCH), "-gray", "-f", page, "-l", page, "-singlefile", path,
                        os.path.join(folder, "page")], check=True)
        picture = read_pgm(os.path.join(folder, "page.pgm"))
    for unit in ("mm", "in"):
        step, count = (10, 11) if unit == "mm" else (25.4, 5)
        strokes = strokes_at(picture, 0 if unit == first else 10, 125, 4.2)
        if len(strokes) != count:
            print(f"page {page}: {len(strokes)} strokes of the ruler in {unit}, want {count}: {strokes}")
            continue
        length = strokes[-1] - strokes[0]
        if abs(length - step * (count - 1)) > RULER_TOLERANCE_MM:
            print(f"page {page}: the ruler in {unit} is {length:.3f} mm, want {step * (count - 1)} within {RULER_TOLERANCE_MM} mm")
        for i in range(count - 1):
            if abs(strokes[i + 1] - strokes[i] - step) > RULER_TOLERANCE_MM:
                print(f"page {page}: stroke {i + 1} in {unit} is {strokes[i + 1] - strokes[i]:.3f} mm from the last, want {step}")


def tiles(path):
    """Every page of a template behind its first has something of the drawing, says which of how many it is, and is on the first."""
    edge, foot, overlap, dots = 10, 24, 8.5, 4  # mm; crosses lie in the overlap
    count = int(re.search(r"Pages:\s+(\d+)", subprocess.run(["pdfinfo", path], capture_output=True, text=True).stdout)[1])
    text = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout.split("\f")
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(25.4 * dots), "-gray", "-f", "2", path, os.path.join(folder, "page")], check=True)
        for number, name in enumerate(sorted(os.listdir(folder)), 2):
            width, height, grey = read_pgm(os.path.join(folder, name))
            left, top, bottom = int((edge + overlap) * dots), int((edge + overlap) * dots), height - int((edge + foot + overlap) * dots)
            ink = sum(sum(v < 200 for v in grey[y * width + left:(y + 1) * width - left]) for y in range(top, bottom))
            if ink < 20:
                print(f"page {number} of the template is blank")
            if f"page {number} of {count}" not in text[number - 1]:
                print(f"page {number} does not say which of {count} it is")
            tile = re.findall(r"\b([A-Z]{1,2}\d+)\b", text[number - 1])
            if not any(t in text[0].split() for t in tile):
                print(f"page {number} is not on the first page: {tile}")
    if f"Join the {count - 1} pages" not in " ".join(text[0].split()):
        print("the first page has another number of pages")


def catalogue(path):
    text = open(path, encoding="utf-8").read()
    join = lambda block: "".join(re.findall(r'"(.*)"', block))
    count = 0
    for entry in text.split("\n\n")[1:]:
        match = re.search(r'msgid ((?:".*"\n?)+)msgstr ((?:".*"\n?)+)', entry)
        if not match:
            continue
        source, said = join(match[1]), join(match[2])
        count += 1
        names = lambda s: sorted(re.findall(r"\{\w+\}", s))
        if not said:
            print(f"not translated: {source}")
        elif names(source) != names(said):
            print(f"other names: {source} -> {said}")
    if count < 150:
        print(f"only {count} messages")


def read_cautions(path):
    """Sentences by id."""
    text = open(path, encoding="utf-8").read()
    return {found[1]: found[2] for found in re.finditer(
        r'^SNUB_CAUTION\(\w+, "([\w-]+)", \w+, \w+, \w+,\s*SNUB_MESSAGE\("([^"]*)"\)\)', text, re.M)}


def said_in(path):
    """Messages of a .po by their English."""
    join = lambda block: "".join(re.findall(r'"(.*)"', block))
    return {join(found[1]): join(found[2]) for found in re.finditer(
        r'msgid ((?:".*"\n?)+)msgstr ((?:".*"\n?)+)', open(path, encoding="utf-8").read())}


def cautions(path, list_path, catalogue_path, *ids):
    page = subprocess.run(["pdftotext", "-raw", path, "-"], check=True, capture_output=True, text=True).stdout
    page = " ".join(page.split())
    listed = read_cautions(list_path)
    said = said_in(catalogue_path) if catalogue_path != "-" else {}
    for one in ids:
        if one not in listed:
            print(f"{one}: not in the list")
    for one, words in listed.items():
        got, want = page.count(said.get(words, words)), int(one in ids)
        if got != want:
            print(f"{one}: got {got} times, want {want}")


def sentences(path, *ids):
    for one, words in read_cautions(path).items():
        if not ids or one in ids:
            print(words)


if __name__ == "__main__":
    {"words": words, "ruler": ruler, "strip": strip, "tiles": tiles, "catalogue": catalogue, "cautions": cautions, "sentences": sentences}[sys.argv[1]](*sys.argv[2:])
