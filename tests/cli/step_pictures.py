"""Pictures of steps: what is dark in each, worked out from the drive file and the step's own words; which steps share one; that
each stands with its steps on one page of the printed sheet; pictures of the file's own, and what is wrong with some.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import json
import math
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile

import numpy
import yaml

import tally
from house import png

SNUB, EXAMPLES = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")
ENV = {**os.environ, "LC_ALL": "C.UTF-8"}
SVG = ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100"><rect width="200" height="100" fill="#00c040"/></svg>')


def run(*arguments, cwd=None, env=None):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, env=env or ENV, cwd=cwd, timeout=120)


def steps_of(drive, *more):
    done = run("sheet", drive, "--json", *more)
    tally.expect(f"{drive.name} {more}: JSON", done.returncode in (0, 1), done.stderr)
    return json.loads(done.stdout)["steps"] if done.returncode in (0, 1) else []


# Nothing that stands still is in reach of the idler: no distance is measured, its mark is read on a span.
FAR = """snub: 1
title: A far idler
engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 5000 rpm}
belt: {section: PK, ribs: 6, stock: {from: 3300, to: 4200, step: 2}, tolerance: 1}
pulleys:
"""
FAR_PULLEYS = ("  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n",
               "  - {name: alternator, at: [0, 1500], diameter: 90, load: [[0, 2], [15000 rpm, 2]]}\n",
               "  - {name: idler, diameter: 90, slot: {from: [%d, %d], to: [%d, %d]}}\n")


# ---- the reference -----------------------------------------------------------------------------------------------------

KEYS = ("pulleys", "slots", "spans", "obstacles", "bolts", "arm", "belt", "belt_is_on", "setting", "plucked", "arm_moves", "slider_moves",
        "turns", "measured")


def nothing():
    return {"pulleys": [], "slots": [], "spans": [], "obstacles": [], "bolts": [], "arm": False, "belt": False,
            "belt_is_on": False, "setting": False, "plucked": False, "arm_moves": None, "slider_moves": None, "turns": None, "measured": []}


def length_of(circles):
    """Of a belt round circles (x, y, r), r > 0 where it turns clockwise: tangents and arcs."""
    n, ways, total = len(circles), [], 0.0
    for i in range(n):
        (x1, y1, r1), (x2, y2, r2) = circles[i], circles[(i + 1) % n]
        dx, dy, h = x2 - x1, y2 - y1, r1 - r2
        square = dx * dx + dy * dy
        straight = math.sqrt(square - h * h)
        ways.append(((straight * dx + h * dy) / square, (straight * dy - h * dx) / square))
        total += straight
    for i, (_, _, r) in enumerate(circles):
        (ax, ay), (bx, by) = ways[i - 1], ways[i]
        turn = -math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        total += abs(r) * ((turn if r > 0 else -turn) % (2 * math.pi)) if abs(turn) > 1e-9 else 0
    return total


class Front:
    """What the drive file says of the front of the engine."""

    def __init__(self, data):
        self.pulleys = data["pulleys"]
        self.names = [p["name"] for p in self.pulleys]
        self.by_name = {p["name"]: p for p in self.pulleys}
        self.crank = next(p["name"] for p in self.pulleys if p.get("role") == "crank")
        self.arm = next((p["name"] for p in self.pulleys if "arm" in p), None)
        self.obstacles = [o["name"] for o in data.get("obstacles", [])]
        self.mounts = [m["name"] for m in data.get("mounts", [])]

    def supply(self, name):
        return self.by_name[name].get("supply", "kept" if name == self.crank else "new")

    def around(self, name):
        at = self.names.index(name)
        return self.names[at - 1], self.names[(at + 1) % len(self.names)]

    def tight(self, name):
        """Which way along its slot a slider makes the belt longer."""
        slot = self.by_name[name]["slot"]
        a, b = slot["from"], slot["to"]
        at = slot.get("setting", 0.5 * math.dist(a, b)) / math.dist(a, b)

        def circles(part):
            for p in self.pulleys:
                x, y = p["at"] if "at" in p else [a[k] + part * (b[k] - a[k]) for k in (0, 1)]
                size = p["diameter"]["value"] if isinstance(p["diameter"], dict) else p["diameter"]
                yield x, y, size / 2 * (-1 if p.get("side") == "back" else 1)
        more, less = (length_of(list(circles(at + d))) for d in (0.02, -0.02))
        return "from zero" if more > less else "to zero"


def spans_of(front, name):
    before, after = front.around(name)
    return [[before, name], [name, after]]


def in_order(front, spans):
    return sorted(spans, key=lambda s: front.names.index(s[0]))


def about(front, name):
    """A pulley with what holds it."""
    p = front.by_name[name]
    return {"pulleys": [name], "slots": [name] if "slot" in p else [], "arm": "arm" in p}


def of_mark(front, name, text):
    """What the check of a mark is read on, by its words."""
    other = re.search(r"the (?:bolt|rim) of ([\w ]+?) must be", text)
    if other:
        return {**about(front, name), "measured": [[name, other[1]]]}
    span = re.search(r"(?:length of belt|the span) between it and ([\w ]+?)(?: must be|, plucked)", text)
    if span:
        pair = [span[1], name] if front.around(name)[0] == span[1] else [name, span[1]]
        return {**about(front, name), "spans": [pair], "plucked": "plucked" in text}
    if "pluck the span from" in text:
        return {**about(front, name), "spans": in_order(front, spans_of(front, name)), "plucked": True}
    return {"pulleys": sorted([name, front.arm], key=front.names.index), "slots": [name], "arm": True}


def of_place(front, name, bolts):
    """What comes off or is reworked."""
    return {"obstacles": [name] if name in front.obstacles else [], "bolts": bolts.get(name, []),
            **(about(front, name) if name in front.by_name else {})}


def reference(front, step, bolts, plucked):
    """What is dark in the picture of a step; None: it has none. By its kind, the file and its words."""
    kind, text, pulley = step["kind"], step["text"], step["pulley"]
    on = {"belt_is_on": True}
    named = step["id"][len(kind) + 1:]
    if kind == "take off old belt":
        return {**about(front, front.arm), "arm_moves": "to its stop"} if front.arm and front.supply(front.arm) == "kept" else None
    if kind == "look at pulleys":
        said = any(p.get("supply") == "kept" for p in front.pulleys)
        return {"pulleys": [n for n in front.names if front.supply(n) == "kept"]} if said else None
    if kind == "clearance":
        piece = re.search(r"The (?:rim|belt on|front flange|rear flange) (?:of )?([\w ]+?) passes", text)
        obstacle, owner = named.split(" of ")
        return {"obstacles": [obstacle], "pulleys": [owner] if piece and piece[1] == owner else ["?"]}
    if kind in ("remove", "rework"):
        return of_place(front, re.sub(r" \d+$", "", named), bolts)
    if kind == "shims" and pulley is None or kind in ("place", "first round", "tighten"):
        return {"bolts": bolts.get(step["mount"], [])}
    if kind in ("shims", "fit"):
        return about(front, pulley)
    if kind in ("set", "clamp") and "fixed_tension" not in front.by_name[pulley]:
        return {**about(front, pulley), "setting": True, "measured": [[pulley, n] for n in plucked["centres"][pulley]]}
    if kind == "clamp":
        return {**about(front, pulley), **on}
    if kind == "slacken":
        way = "to zero" if front.tight(pulley) == "from zero" else "from zero"
        return {**about(front, pulley), "slider_moves": way}
    if kind == "tension":
        return {**about(front, pulley), **on, "slider_moves": front.tight(pulley), "spans": [plucked["span"]], "plucked": True}
    if kind == "lay belt":
        return {**(about(front, front.arm) if front.arm else {}), **on, "belt": True,
                "arm_moves": "to its stop" if front.arm else None}
    if kind == "belt over last rim":
        last = re.match(r"(?:Slip the belt on at|Pass the belt over) ([\w ]+?) last", text)
        return {"pulleys": [last[1]], "spans": in_order(front, spans_of(front, last[1])), **on} if last else None
    if kind == "ease arm":
        return {**about(front, front.arm), **on, "arm_moves": "back"}
    if kind == "turn engine":
        return {"pulleys": [front.crank], "turns": front.crank, **on}
    if kind == "check mark":
        return {**of_mark(front, pulley, text), **on}
    if kind == "read arm":
        return {**about(front, front.arm), **on}
    if kind in ("pluck span", "tell owner"):
        return {"spans": [plucked["span"]], "plucked": True, **on}
    return None


def facts(steps):
    """What one step says for others: the order of bolts, the span to pluck, the centres that are measured to."""
    bolts, plucked = {}, {"span": None, "centres": {}}
    for step in steps:
        if step["kind"] == "tighten":
            order = int(re.search(r"bolt (\d+),", step["text"])[1])
            bolts.setdefault(step["mount"], {})[order] = step["bolt"]
        span = re.search(r"the span ([\w ]+?) to ([\w ]+?)(?: in its middle|, plucked)", step["text"], re.I)
        if span and step["kind"] in ("pluck span", "tension"):
            plucked["span"] = [span[1], span[2]]
        if step["kind"] == "set":
            first = re.search(r"to the middle of the bolt of ([\w ]+?)(?:, and|\.)", step["text"])
            second = re.search(r"to that of ([\w ]+?)\.", step["text"])
            plucked["centres"][step["pulley"]] = [m[1] for m in (first, second) if m]
    return {mount: [by[k] for k in sorted(by)] for mount, by in bolts.items()}, plucked


def empty(parts):
    return not any(parts.get(k) for k in ("pulleys", "spans", "obstacles", "bolts", "arm", "belt"))


def compare(title, front, steps):
    """Each step's picture, and which share one."""
    bolts, plucked = facts(steps)
    before, number = None, 0
    for step in steps:
        want = reference(front, step, bolts, plucked)
        want = None if want is None or empty(want) else {**nothing(), **want}
        got = step["picture"]
        tally.expect(f"{title}: {step['id']} has a picture", (got is None) == (want is None), got, want)
        if got is None or want is None:
            before = None
            continue
        for key in KEYS:
            tally.expect(f"{title}: {step['id']}: {key}", got[key] == want[key], got[key], want[key])
        number += 0 if want == before and not step["cautions"] else 1
        tally.expect(f"{title}: {step['id']}: number of its picture", got["number"] == number, got["number"], number)
        before = want
    return number


# ---- drives ------------------------------------------------------------------------------------------------------------

def own_front(text):
    return Front(yaml.safe_load(text))


def examples():
    pictures = 0
    for name in ("sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8", "three-pulleys"):
        drive = EXAMPLES / f"{name}.yaml"
        front = own_front(drive.read_text())
        for more in ((), ("--inches",)):
            pictures += compare(f"{name} {more}", front, steps_of(drive, *more))
    drive = EXAMPLES / "sedgemere.yaml"
    track = steps_of(drive, "--package", "track")
    front = own_front(drive.read_text())
    front.by_name["compressor"]["supply"] = "changed"
    compare("track", front, track)
    lug = next(s for s in track if s["id"] == "rework block lug")["picture"]
    tally.expect("what metal is taken off is dark", lug and lug["obstacles"] == ["block lug"] and not lug["pulleys"], lug)
    near = steps_of(drive, "--set", "obstacles.0.clearance=6")
    compare("too near", own_front(drive.read_text()), near)
    tally.expect("what is too near is dark", any(s["kind"] == "clearance" for s in near), near)
    tally.expect("there are many", pictures > 80, pictures)


def random_fronts(work, count=24):
    """Fronts with and without what a step could be about; each kind of tensioner comes."""
    pick, seen = random.Random(20261128), set()
    for k in range(count):
        data = yaml.safe_load((EXAMPLES / ("sedgemere-locked.yaml" if k % 3 == 0 else "sedgemere.yaml")).read_text())
        for gone in ("options", "variants", "packages", "duty"):
            data.pop(gone, None)
        for p in data["pulleys"]:
            p.pop("supply", None)
            if p.get("role") != "crank" and pick.random() < 0.4:
                p["supply"] = pick.choice(["kept", "new"])
        for m in data.get("mounts", []):
            pick.shuffle(m["bolts"])
            for bolt in m["bolts"]:
                bolt["locates"] = pick.random() < 0.3
        for part in ("obstacles", "contents"):
            if pick.random() < 0.3:
                data.pop(part, None)
        for o in data.get("obstacles", []):
            if pick.random() < 0.5:
                o["supply"] = "removed"
        slot = next((p for p in data["pulleys"] if p["name"] == "wrap idler" and "slot" in p), None)
        if slot and pick.random() < 0.5:
            s = slot["slot"]
            s["setting"] = round(math.dist(s["from"], s["to"]) - s["setting"], 6)
            s["from"], s["to"] = s["to"], s["from"]
        locked = next((p for p in data["pulleys"] if "fixed_tension" in p), None)
        if locked and pick.random() < 0.5:
            s = locked["slot"]
            s.pop("setting", None)
            s["from"], s["to"] = s["to"], s["from"]
        drive = work / f"front{k}.yaml"
        drive.write_text(yaml.safe_dump(data, sort_keys=False))
        steps = steps_of(drive)
        compare(drive.name, Front(data), steps)
        seen |= {(s["kind"], (s["picture"] or {}).get("slider_moves")) for s in steps}
    for kind in (("tension", "from zero"), ("tension", "to zero"), ("slacken", "to zero"), ("slacken", "from zero"), ("remove", None), ("ease arm", None)):
        tally.expect(f"random fronts had {kind}", kind in seen, seen)


def far_idlers(work):
    """On either side of the belt, so that the span that is read comes before the idler, or behind it."""
    sides, seen = {1: (0, 1, 2), -1: (0, 2, 1)}, set()
    for side, order in sides.items():
        for y in (600, 760, 900):
            drive = work / "far.yaml"
            text = FAR + "".join(FAR_PULLEYS[i] for i in order) % (420 * side, y, 380 * side, y)
            drive.write_text(text)
            steps = steps_of(drive, "--free")
            compare(f"far {side} {y}", Front(yaml.safe_load(text)), steps)
            by_id = {s["id"]: s["picture"] for s in steps}
            tally.expect(f"far {side} {y}: set is another picture than fit", by_id["set idler"]["number"] > by_id["fit idler"]["number"]
                         and by_id["set idler"]["measured"] == [], by_id)
            seen |= {(side, tuple(by_id["check mark idler"]["spans"][0]).index("idler"))} if by_id["check mark idler"]["spans"] else set()
    tally.expect("spans before and behind", {i for _, i in seen} == {0, 1}, seen)


# ---- paper -------------------------------------------------------------------------------------------------------------

def flat(text):
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ").replace("\u2212", "-"))


def pages_of(path):
    text = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, text=True, check=True).stdout
    return [flat(page) for page in text.split("\f")[:-1]]


def caption(numbers, words=("Step", "Steps {} and {}", "Steps {} to {}")):
    first, last = numbers[0], numbers[-1]
    return f"{words[0]} {first} " if len(numbers) == 1 else words[1 + (len(numbers) > 2)].format(first, last) + " "


def sheet(drive, work, *more):
    path = work / "sheet.pdf"
    done = run("sheet", drive, "-o", path, *more)
    tally.expect(f"{drive.name} {more} is printed", done.returncode == 0, done.stderr)
    return path


def on_paper(drive, work):
    """A caption for each picture, once, on the page of its steps; on A4 and Letter, in German; none where they are not wanted."""
    german = ("Schritt", "Schritte {} und {}", "Schritte {} bis {}")
    for more in ((), ("--paper", "letter"), ("--language", "de"), ("--inches",)):
        name = f"{drive.name} {more}"
        steps = steps_of(drive, *more)
        groups = {}
        for number, step in enumerate(steps, 1):
            if step["picture"]:
                groups.setdefault(step["picture"]["number"], []).append(number)
        pages = pages_of(sheet(drive, work, *more))
        for numbers in groups.values():
            words = caption(numbers, german) if "de" in more else caption(numbers)
            at = [i for i, page in enumerate(pages) if words in page + " "]
            tally.expect(f"{name}: '{words}' once", len(at) == 1, at)
            parts = steps[numbers[0] - 1]["picture"]
            for order, bolt in enumerate(parts.get("bolts", []), 1):
                tally.expect(f"{name}: {words}: bolt {order}", at and f" {order} {bolt} " in pages[at[0]] + " ", bolt)
            for number in numbers:
                start = f"{number} {flat(steps[number - 1]['text'])[:12]}"
                where = [i for i, page in enumerate(pages) if start in page]
                tally.expect(f"{name}: step {number} on the page of its picture", at and at[0] in where, start, at, where)
    first = sheet(drive, work).read_bytes()
    tally.expect(f"{drive.name}: the same bytes twice", first == sheet(drive, work).read_bytes())
    plain = sheet(drive, work, "--no-pictures")
    tally.expect(f"{drive.name}: without pictures", not re.search(r"\bSteps? \d+( and | to |\s)", " ".join(pages_of(plain))), pages_of(plain))
    tally.expect(f"{drive.name}: and shorter", len(plain.read_bytes()) < len(first))


def image(path):
    """Rows of pixels of a PGM or PPM file, each with its colours."""
    data = path.read_bytes()
    head = re.match(rb"P[56]\s+(\d+)\s+(\d+)\s+255\s", data)
    return numpy.frombuffer(data[head.end():], numpy.uint8).reshape(int(head[2]), int(head[1]), -1)


def filled(path, work):
    """No page but the last is less than six tenths full: how far down the ink reaches, above the foot."""
    subprocess.run(["pdftoppm", "-r", "25.4", "-gray", path, work / "p"], check=True)
    names = sorted(work.glob("p-*.pgm"))
    shares = []
    for name in names:
        body = image(name)[26:-22, :, 0] < 200
        rows = numpy.flatnonzero(body.any(axis=1))
        shares.append((rows[-1] + 1) / body.shape[0] if len(rows) else 0)
        name.unlink()
    return shares


def captions_of(path, page):
    """Heights at which the captions of a page stand, by their step, from the top, points."""
    text = subprocess.run(["pdftotext", "-bbox", "-f", str(page), "-l", str(page), path, "-"], capture_output=True, text=True, check=True).stdout
    words = re.findall(r'yMin="([\d.]+)"[^>]*>([^<]+)<', text)
    return {int(b[1]): float(a[0]) for a, b in zip(words, words[1:]) if a[1] in ("Step", "Steps") and b[1].isdigit()}


def side_by_side(work):
    """Two short ones share a row where a page begins, one with long texts has its own."""
    at = captions_of(sheet(EXAMPLES / "sedgemere.yaml", work), 3)
    tally.expect("two in a row", len(at) >= 4 and at[13] == at[14] < at[16] < at[17], at)


def as_tall_as_its_texts(work):
    """A picture beside long texts is as tall as they are: its frame is a line at the right edge of the page."""
    path = sheet(EXAMPLES / "sedgemere.yaml", work)
    subprocess.run(["pdftoppm", "-r", "254", "-gray", "-f", "2", "-l", "2", "-singlefile", path, work / "tall"], check=True)
    longest = run_length = 0
    for dark in (image(work / "tall.pgm")[:, 1955:1966, 0] < 190).any(axis=1):
        run_length = run_length + 1 if dark else 0
        longest = max(longest, run_length)
    tally.expect("the frame of steps 5 to 10", 60 < longest / 10 < 84, longest / 10)


def no_half_empty_pages(work):
    for name in ("sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8"):
        for more in ((), ("--paper", "letter"), ("--language", "de")):
            shares = filled(sheet(EXAMPLES / f"{name}.yaml", work, *more), work)
            tally.expect(f"{name} {more}: pages are full", min(shares[:-1]) > 0.6, shares)


# ---- pictures of the file's own ----------------------------------------------------------------------------------------

OWN = """
steps:
  turn engine: {picture: turn.svg}
  ease arm: {picture: none}
  lay belt: {say: Lay it., picture: sub/lay.png}
  fill up: {before: run at idle, say: Fill coolant., picture: turn.svg}
packages:
  street: {about: for the street, changes: {steps.read arm.picture: street.svg}}
"""


def folder(work, text=OWN):
    top = pathlib.Path(tempfile.mkdtemp(dir=work))
    (top / "sub").mkdir()
    (top / "kit.yaml").write_text((EXAMPLES / "three-pulleys.yaml").read_text() + text)
    for name in ("turn.svg", "street.svg"):
        (top / name).write_text(SVG)
    (top / "sub/lay.png").write_bytes(png(120, 60, b"\xf0\x10\xd0"))
    return top


def share_of(path, work, colour):
    """Of the sheet's pages: how many mm2 have a colour."""
    subprocess.run(["pdftoppm", "-r", "25.4", path, work / "c"], check=True)
    count = 0
    for name in work.glob("c-*.ppm"):
        count += int((abs(image(name).astype(int) - colour).max(axis=2) < 24).sum())
        name.unlink()
    return count


def own(work):
    top = folder(work)
    drive = top / "kit.yaml"
    steps = {s["id"]: s["picture"] for s in steps_of(drive)}
    tally.expect("an SVG", steps["turn engine"]["file"] == "turn.svg" and "pulleys" not in steps["turn engine"], steps)
    tally.expect("a PNG", steps["lay belt"]["file"] == "sub/lay.png", steps)
    tally.expect("none", steps["ease arm"] is None, steps)
    tally.expect("of a step of its own", steps["fill up"]["file"] == "turn.svg", steps)
    tally.expect("snub's stay", steps["read arm"]["file"] is None and steps["read arm"]["arm"], steps)
    street = {s["id"]: s["picture"] for s in steps_of(drive, "--package", "street")}
    tally.expect("of a package", street["read arm"]["file"] == "street.svg", street)
    one = {s["id"]: s["picture"] for s in steps_of(drive, "--set", "steps.read arm.picture=turn.svg")}
    tally.expect("by --set", one["read arm"]["file"] == "turn.svg", one)
    width = 75
    pdf = sheet(drive, work)
    green, pink = share_of(pdf, work, (0, 0xc0, 0x40)), share_of(pdf, work, (0xf0, 0x10, 0xd0))
    tally.expect("the SVG is printed twice, as large as its place", abs(green - 2 * width * width / 2) < 0.3 * width * width, green)
    tally.expect("the PNG once", abs(pink - width * width / 2) < 0.3 * width * width, pink)
    tally.expect("the same bytes twice", pdf.read_bytes() == sheet(drive, work).read_bytes())
    none = sheet(drive, work, "--no-pictures")
    tally.expect("none where they are not wanted", share_of(none, work, (0, 0xc0, 0x40)) == 0)


def neighbours(work):
    """Two steps with one file share it; other files, or a file and snub's own, do not."""
    top = folder(work, "\nsteps:\n  turn engine: {picture: turn.svg}\n  read arm: {picture: turn.svg}\n  pluck span: {picture: street.svg}\n")
    numbers = {s["id"]: (s["picture"] or {}).get("number") for s in steps_of(top / "kit.yaml")}
    tally.expect("one file, one picture", numbers["turn engine"] == numbers["read arm"], numbers)
    tally.expect("two files", numbers["pluck span"] == numbers["read arm"] + 1, numbers)
    tally.expect("snub's and a file", numbers["turn engine"] == numbers["ease arm"] + 1, numbers)
    parted = folder(work, "\nsteps:\n  pluck span: {picture: turn.svg}\n  run at idle: {picture: turn.svg}\n")
    numbers = {s["id"]: (s["picture"] or {}).get("number") for s in steps_of(parted / "kit.yaml")}
    tally.expect("cautions part them", numbers["run at idle"] == numbers["pluck span"] + 1, numbers)
    same = folder(work, "\nsteps:\n  ease arm: {picture: turn.svg}\n  turn engine: {picture: none}\n  read arm: {picture: turn.svg}\n")
    numbers = {s["id"]: (s["picture"] or {}).get("number") for s in steps_of(same / "kit.yaml")}
    tally.expect("what stands between parts them", numbers["turn engine"] is None and numbers["read arm"] == numbers["ease arm"] + 1, numbers)


def fingerprints(work):
    """The pictures' bytes are in the fingerprint of every command; a file without pictures keeps the one that it had."""
    top = folder(work)

    def of(*arguments):
        done = run(*arguments, "--json")
        return json.loads(done.stdout)["build"]["fingerprint"]
    before = of("check", top / "kit.yaml")
    tally.expect("check and sheet have one", before == of("sheet", top / "kit.yaml"))
    tally.expect("it is on the sheet", before[:16] in pages_of(sheet(top / "kit.yaml", work))[0])
    (top / "sub/lay.png").write_bytes(png(120, 60, b"\xf0\x10\xd1"))
    after = of("check", top / "kit.yaml")
    tally.expect("another picture, another fingerprint", before != after, before)


def wrong(work):
    """Each is an error at the line that names it, and no sheet is written."""
    big = png(4001, 10)
    cases = [  # name, bytes (None: no file), words
        ("missing.svg", None, ["no such file", "missing.svg"]),
        ("broken.svg", b"<svg", ["cannot be read as SVG"]),
        ("text.png", b"not a picture\0", ["neither SVG nor PNG"]),
        ("half.png", png(30, 30)[:60], ["damaged"]),
        ("large.png", big, ["too many pixels", "4000"]),
        ("outside.svg", SVG.replace("<rect", '<image href="photo.jpg"/><rect').encode(), ["refers to something outside"]),
        ("size.svg", b'<svg xmlns="http://www.w3.org/2000/svg"><rect width="3" height="3"/></svg>', ["has no size"]),
        ("heavy.svg", SVG.encode() + b" " * (1 << 20), ["1048576"]),
    ]
    for name, data, words in cases:
        top = folder(work, f"\nsteps:\n  turn engine:\n    picture: {name}\n")
        if data is not None:
            (top / name).write_bytes(data)
        line = (top / "kit.yaml").read_text().split("\n").index(f"    picture: {name}") + 1
        for more in (["-o", "x.pdf"], ["--json"]):
            done = run("sheet", "kit.yaml", *more, cwd=top)
            good = done.returncode == 2 and f"kit.yaml:{line}:14: " in done.stderr and "picture" in done.stderr and all(w in done.stderr for w in words)
            tally.expect(f"{name} {more}", good and not (top / "x.pdf").exists(), done.stderr)
            told = json.loads(done.stdout)["errors"][0] if more == ["--json"] else {"line": line, "key": "picture"}
            tally.expect(f"{name} {more}: for programs", told["line"] == line and told["key"].endswith("picture"), done.stdout)
    # The library that draws SVG is fetched for the first one: another file of its name is told, and a PNG does without it.
    top, no_library = folder(work, "\nsteps:\n  turn engine:\n    picture: good.svg\n"), work / "no library"
    (top / "good.svg").write_text(SVG)
    no_library.mkdir()
    (no_library / "librsvg-2.so.2").write_text("not a library")
    without = {**ENV, "LD_LIBRARY_PATH": str(no_library)}
    tally.expect("with the library", run("sheet", "kit.yaml", "-o", "x.pdf", cwd=top).returncode == 0)
    (top / "x.pdf").unlink()
    done = run("sheet", "kit.yaml", "-o", "x.pdf", cwd=top, env=without)
    tally.expect("no library for SVG", done.returncode == 2 and "librsvg" in done.stderr and "a PNG file" in done.stderr and
                 ":14: " in done.stderr and not (top / "x.pdf").exists(), done.stderr)
    (top / "good.svg").write_bytes(png(30, 30))
    tally.expect("PNG without it", run("sheet", "kit.yaml", "-o", "x.pdf", cwd=top, env=without).returncode == 0)
    top = folder(work)
    for name in ("turn.svg", "street.svg"):
        (top / name).write_text("<svg")
    done = run("sheet", "kit.yaml", "--json", cwd=top)
    tally.expect("all that are broken", len(json.loads(done.stdout)["errors"]) == 2, done.stdout)
    os.unlink(top / "turn.svg")
    os.unlink(top / "street.svg")
    done = run("check", "kit.yaml", cwd=top)
    tally.expect("all that are missing, also of a package, in any command",
                 done.returncode == 2 and "turn.svg" in done.stderr and "street.svg" in done.stderr, done.stderr)
    top = folder(work, "\npicture: nowhere.svg\n")
    done = run("check", "kit.yaml", cwd=top)
    tally.expect("a picture of nothing is no key", done.returncode == 2 and "is not a key" in done.stderr and "no such file" not in done.stderr, done.stderr)
    done = run("sheet", "kit.yaml", "--kind", "parts", "--no-pictures", "-o", "x.pdf", cwd=folder(work))
    tally.expect("--no-pictures is of the fitting sheet", done.returncode == 2 and "--no-pictures" in done.stderr, done.stderr)


def main():
    with tempfile.TemporaryDirectory() as name:
        work = pathlib.Path(name)
        examples()
        random_fronts(work)
        far_idlers(work)
        for drive in ("sedgemere", "sedgemere-locked", "ironbrook-v8"):
            on_paper(EXAMPLES / f"{drive}.yaml", work)
        no_half_empty_pages(work)
        side_by_side(work)
        as_tall_as_its_texts(work)
        own(work)
        neighbours(work)
        fingerprints(work)
        wrong(work)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
