"""`snub share`: the data in the page says what chart, check and fitting sheet say; geometry that closes; nothing that a kit's
words could break out of; nothing of the engineer's in what is for sales."""
import json
import math
import os
import re
import subprocess
import sys
import tempfile

import yaml

import tally

SNUB, SOURCE = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
EXAMPLES = ["sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8", "three-pulleys"]
SIZE_MOST = 600_000  # bytes
SPEEDS = 8
BOTH = r" \([-\d.,]+ (?:in|lbf ft|psi|lbf)\)"  # the second unit, which paper and page have


def run(*arguments):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, check=False)


def page_of(work, drive, *more):
    path = os.path.join(work, "kit.html")
    done = run("share", drive, "-o", path, *more)
    with open(path, encoding="utf-8") as file:
        text = file.read()
    element = re.search(r'<script type="application/json" id="kit">(.*?)</script>', text, re.S)
    return done, text, json.loads(element[1].replace("\u00a0", " "))


def value(number, unit, decimals):
    """As it stands in metric words: "31.5 mm"; ties may go either way."""
    return {f"{number + d * 10 ** -(decimals + 6):.{decimals}f} {unit}" for d in (-1, 0, 1)}


def offers(name, build, row, kit):
    """A build against its row of `snub chart --json`."""
    where = f"{name} {build['number']}"
    tally.expect(f"{where}: which", (build["code"], build["front"], build["package"], build["level"]) ==
                 (row["code"], row["variant"] or "", row["package"] or "", row["verdict"]), build, row["code"])
    for said, written in zip(build["options"], row["options"].values()):
        bare = re.fullmatch(r"[-+.\d]+", written)
        tally.expect(f"{where}: option {written}", said == written or (bare and re.fullmatch(re.escape(written) + r" \S+( \S+)?", said)), said)
    fails = row["verdict"] == "fail"
    tally.expect(f"{where}: fails", bool(build["why_not"]) == fails and (not fails or not any(k in build for k in ("belt", "steps", "drawing", "settings"))), build.keys())
    tally.expect(f"{where}: work", build["work"] == row["engine_work"], build["work"], row["engine_work"])
    told = [f["text"] for f in row["findings"] if f["level"] == ("fail" if fails else "marginal")]
    tally.expect(f"{where}: notes", len(build["notes"]) == len(told), build["notes"], told)
    if "findings" in build:
        levels = [f["level"] for f in row["findings"] if f["level"] != "pass"]
        tally.expect(f"{where}: findings with their level", [f.split(":")[0] for f in build["findings"]] == levels, build["findings"], levels)
    if fails:
        return
    tally.expect(f"{where}: belt", (build["belt"], build["part"]) == (row["designation"], row["part"]), build["belt"])
    said = {d["title"]: d["at"] for d in build["diameters"]}
    for pulley, mm in row["diameters_mm"].items():
        tally.expect(f"{where}: diameter of {pulley}", said.get(f"diameter of {pulley}", "").split(" (")[0] in value(mm, "mm", 1), said, mm)
    marks = {s["pulley"]: s["at"] for s in build["settings"]}
    want = {k: v for k, v in row["slots_mm"].items() if v is not None}
    tally.expect(f"{where}: marks", set(marks) == set(want), marks, want)
    for pulley, mm in want.items():
        tally.expect(f"{where}: mark of {pulley}", marks.get(pulley, "").split(" (")[0] in value(mm, "mm", 1), marks, mm)
    air = row["blower"]
    if air and air["boost_kPa"] is not None:
        tally.expect(f"{where}: boost", build["boost"].split(" (")[0] in value(air["boost_kPa"], "kPa", 1), build["boost"], air["boost_kPa"])
        tally.expect(f"{where}: blower speed", build["speed"] in value(air["pulley_rpm"], "rpm", 0), build["speed"], air["pulley_rpm"])
    ids = {c["id"] for c in kit["cautions"]}
    tally.expect(f"{where}: cautions are known", build["cautions"] and set(build["cautions"]) <= ids, build["cautions"])


def closes(name, build, row):
    """Touch points lie on their pulleys, spans are tangent to both ends, and all together are the belt's pitch length."""
    drawing = build["drawing"]
    pulleys = drawing["pulleys"]
    for frame in drawing["frames"]:
        at = f"{name} {build['number']} at {frame['rpm']} rpm"
        # the drawing has the pulleys where they are cold; a warm engine has grown by some tenths of a millimetre
        near = 0.03 if frame["rpm"] == 0 else 0.6
        points = [frame["run"][6 * i:6 * i + 6] for i in range(len(pulleys))]
        length = 0
        for i, (p, (x, y, ex, ey, lx, ly)) in enumerate(zip(pulleys, points)):
            off = max(abs(math.hypot(ex - x, ey - y) - p["pitch"]), abs(math.hypot(lx - x, ly - y) - p["pitch"]))
            tally.expect(f"{at}: on {p['name']}", off < near, off)
            after, q = points[(i + 1) % len(points)], pulleys[(i + 1) % len(points)]
            dx, dy = after[2] - lx, after[3] - ly
            span = math.hypot(dx, dy)
            for cx, cy, who in ((x - lx, y - ly, p), (after[0] - after[2], after[1] - after[3], q)):
                lean = abs(dx * cx + dy * cy) / (span * who["pitch"])
                tally.expect(f"{at}: tangent to {who['name']}", lean < near / min(span, who["pitch"]) * 2 + 1e-3, lean)
            wrap = (math.atan2(ey - y, ex - x) - math.atan2(ly - y, lx - x)) * (1 if p["cw"] else -1) % (2 * math.pi)
            length += span + wrap * p["pitch"]
        frame["length"] = length
    lengths = [f["length"] for f in drawing["frames"]]
    # a belt under tension is a little longer than it was made, at all speeds by about as much
    want = row["belt_length_mm"]
    tally.expect(f"{name} {build['number']}: one belt", max(lengths) - min(lengths) < 0.012 * want and
                 abs(lengths[0] - want) < 0.025 * want, lengths, want)


def arms(name, drive, build, kit):
    """The arm's angle at idle and at redline is that of `snub check`."""
    frames = build["drawing"]["frames"]
    tally.expect(f"{name}: speeds", len(frames) == SPEEDS + 1 and frames[0]["rpm"] == 0, [f["rpm"] for f in frames])
    with open(drive, encoding="utf-8") as file:
        engine = yaml.safe_load(file)["engine"]
    idle, redline = (float(str(engine[k]).removesuffix(" rpm")) for k in ("idle", "redline"))
    even = [0] + [idle + k / (SPEEDS - 1) * (redline - idle) for k in range(SPEEDS)]
    tally.expect(f"{name}: from idle to redline", all(abs(f["rpm"] - want) <= 0.5 for f, want in zip(frames, even)), [f["rpm"] for f in frames], even)
    for frame in (frames[0], frames[1], frames[-1]):
        data = json.loads(run("check", drive, "--build", build["number"], "--rpm", frame["rpm"], "--json").stdout)
        wind = data["arm"] and data["arm"]["wind_deg"]
        said = frame["arm"]
        tally.expect(f"{name}: arm at {frame['rpm']}", (said is None) if wind is None else said in value(wind, "deg", 1), said, wind)


def steps(name, drive, build):
    data = json.loads(run("sheet", drive, "--build", build["number"], "--json", "--metric").stdout)
    got = [(re.sub(BOTH, "", s["text"]), s["cautions"]) for s in build["steps"]]
    want = [(s["text"], s["cautions"]) for s in data["steps"]]
    tally.expect(f"{name} {build['number']}: steps of the fitting sheet", got == want, len(got), [w for w in want if w not in got][:1])
    said = {c for s in data["steps"] for c in s["cautions"]} | set(data["cautions_last"])
    tally.expect(f"{name} {build['number']}: the sheet's cautions", set(build["cautions"]) == said, said ^ set(build["cautions"]))
    tally.expect(f"{name} {build['number']}: last cautions", build["cautions_last"] == data["cautions_last"])


def alone(name, text):
    """Nothing is fetched, and no data can end its element."""
    tally.expect(f"{name}: fetches nothing", not re.search(r'\b(src|href)\s*=|@import|url\(|https?://(?!www\.w3\.org)', text), re.findall(r'.{20}(?:src|href)\s*=.{20}', text))
    tally.expect(f"{name}: two scripts", len(re.findall(r"<script", text)) == 2 and len(re.findall(r"</script>", text)) == 2)
    tally.expect(f"{name}: size", len(text.encode()) < SIZE_MOST, len(text))


def kit(work, example):
    drive = os.path.join(SOURCE, "examples", example + ".yaml")
    chart = json.loads(run("chart", drive, "--json", "--metric").stdout)
    done, text, data = page_of(work, drive, "--metric", "--date", "2026-11-28", "--watermark", "for <dealers>")
    alone(example, text)
    tally.expect(f"{example}: exit code", done.returncode == (1 if any(b["verdict"] == "fail" for b in chart["builds"]) else 0), done.stderr)
    tally.expect(f"{example}: every build", len(data["builds"]) == len(chart["builds"]))
    tally.expect(f"{example}: of what", (data["title"], data["date"], data["watermark"], data["file"]) ==
                 (chart["title"], "2026-11-28", "for <dealers>", example + ".yaml"), data["title"])
    tally.expect(f"{example}: fingerprint", data["fingerprint"] == chart["fingerprint"], data["fingerprint"])
    for build, row in zip(data["builds"], chart["builds"]):
        offers(example, build, row, data)
        if "drawing" in build:
            closes(example, build, row)
    sold = [b for b in data["builds"] if "drawing" in b]
    for build in (sold[0], sold[-1]):
        arms(example, drive, build, data)
        steps(example, drive, build)
    return drive, data


def sales(work, drive, full):
    """For sales: no figure of the engineer's, no note on parts; the same offer."""
    _, text, data = page_of(work, drive, "--metric", "--sales", "--no-steps")
    for build, whole in zip(data["builds"], full["builds"]):
        tally.expect(f"sales {build['number']}: no engineering", not {"figures", "findings", "steps"} & set(build), build.keys())
        same = all(build.get(k) == whole.get(k) for k in ("code", "belt", "settings", "boost", "work", "notes", "why_not", "cautions"))
        tally.expect(f"sales {build['number']}: the same offer", same)
        for frame in build.get("drawing", {"frames": []})["frames"]:
            tally.expect(f"sales {build['number']}: no arm angle", frame["arm"] is None)
    tally.expect("sales: says so", data["sales"] is True and full["sales"] is False)
    titles = {f["title"] for f in full["builds"][0]["figures"]}
    tally.expect("the engineer's page has grip and wrap", {"grip used, worst", "wrap of blower"} <= titles, titles)
    for word in ("grip used, worst", "wrap of blower"):
        tally.expect(f"sales: nothing of {word}", word not in text)


def foreign(work):
    """German words; a title that would end the page's script; a package that is narrowed; too many builds; wrong options."""
    drive = os.path.join(SOURCE, "examples", "sedgemere.yaml")
    _, _, data = page_of(work, drive, "--language", "de", "--metric")
    tally.expect("German", data["language"] == "de" and data["words"]["belt"] == "Riemen" and data["builds"][0]["work"] == "nichts", data["words"]["belt"], data["builds"][0]["work"])
    tally.expect("German decimals", re.match(r"\d+,\d kPa", data["builds"][0]["boost"]) is not None, data["builds"][0]["boost"])
    evil = os.path.join(work, "evil.yaml")
    with open(drive, encoding="utf-8") as file:
        text = file.read()
    with open(evil, "w", encoding="utf-8") as file:
        file.write(text.replace("title: Sedgemere inline six, twin-screw kit", 'title: "</script><script>alert(1)</script><!--"'))
    _, page, data = page_of(work, evil)
    alone("evil title", page)
    tally.expect("evil title is kept", data["title"] == "</script><script>alert(1)</script><!--", data["title"])
    _, _, data = page_of(work, drive, "--package", "track", "--metric")
    tally.expect("one package", {b["package"] for b in data["builds"]} == {"track"}, len(data["builds"]))
    inches = page_of(work, drive, "--inches")[2]["builds"][0]
    tally.expect("inches first", " in (" in inches["settings"][0]["at"] and "psi (" in inches["boost"], inches["settings"])
    tally.expect("an option keeps its unit", inches["options"] == ["97 mm"], inches["options"])
    many = os.path.join(work, "many.yaml")
    with open(many, "w", encoding="utf-8") as file:
        file.write(re.sub(r"blower\.diameter: \[.*?\]", "blower.diameter: [" + ", ".join(str(60 + i) for i in range(60)) + "]", text, flags=re.S))
    for arguments, want in (((many, "-o", "x.html"), "too many for one page"), ((drive,), "--output"), ((drive, "-o", "x.html", "--watermark", ""), "--watermark"),
                            ((drive, "-o", "x.html", "--date", "31.1.2026"), "--date"), ((drive, "-o", drive), "")):
        done = run("share", *arguments)
        tally.expect(f"refused: {want or 'its own drive file'}", done.returncode == 2 and want in done.stderr, done.returncode, done.stderr[-300:])
        tally.expect("nothing is written", not os.path.exists("x.html"))


def main():
    with tempfile.TemporaryDirectory() as work:
        os.chdir(work)
        for example in EXAMPLES:
            drive, data = kit(work, example)
            if example == "sedgemere":
                sales(work, drive, data)
        foreign(work)
    tally.end()


if __name__ == "__main__":
    sys.exit(main())
