"""What a build is made of: every part that a drive file names stands in exactly one list, with as many pieces as it has, as it
comes by the rules of the guide, which are worked out here from the file; the sheet says what the JSON says.

Needs SNUB_BIN and SNUB_SOURCE_DIR; SNUB_CONTENTS_ROUNDS: random drives (6). The last line is `N passed, N failed`."""
import copy
import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
from collections import Counter

import yaml

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
ROUNDS = int(os.environ.get("SNUB_CONTENTS_ROUNDS", "6"))
WAYS = ("new", "kept", "changed", "removed")


def run(*arguments):
    return subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, timeout=300)


def write(tree, path):
    path.write_text(yaml.safe_dump(tree, sort_keys=False, width=1000, allow_unicode=True))
    return path


def asked(path, *more):
    done = run("check", path, *more, "--json")
    check(f"check {path.name} {more} answers", done.returncode in (0, 1), done.stderr)
    return json.loads(done.stdout) if done.returncode in (0, 1) else None


# ---- the rules, from the file ---------------------------------------------------------------------------------------------

def comes(thing, above):
    """How a part comes: as it says, else as what it belongs to; what is changed keeps what hangs on it."""
    return thing.get("supply") or ("kept" if above == "changed" else above)


def bolts_of(bolt, way, name, owner, pieces=1):
    yield way, "bolt", name, owner, pieces
    if bolt.get("washer"):
        yield ("kept" if way == "changed" else way), "washer", name, owner, pieces


def stack_of(stack, way, owner, on_mount, standoff):
    plate = on_mount
    for part in stack or []:
        kind = part.get("kind", "spacer")
        if kind == "spacer":
            yield comes(part, way), "spacer", part["name"], owner, 1
        elif kind == "bracket" and plate:
            plate = False
        elif kind == "standoff" and standoff:
            standoff = False
        elif kind in ("bracket", "standoff"):
            yield ("kept" if way == "changed" else way), kind, part["name"], owner, 1


def parts_of(tree):
    """(way, kind, name, owner, pieces) of every part, shims and belt left out."""
    for pulley in tree["pulleys"]:
        name, way = pulley["name"], pulley.get("supply") or ("kept" if pulley.get("role") == "crank" else "new")
        yield way, "tensioner" if "arm" in pulley else "pulley", name, "", 1
        if "blower" in pulley:
            yield comes(pulley["blower"], way), "blower", name, "", 1
        if "standoff" in pulley:
            own = comes(pulley["standoff"], way)
            yield own, "standoff", "", name, 1
            bolt = pulley["standoff"]["bolt"]
            yield from bolts_of(bolt, comes(bolt, own), bolt.get("name", "standoff bolt"), name)
        if "clamp" in pulley:
            bolt = pulley["clamp"]["bolt"]
            yield from bolts_of(bolt, comes(bolt, way), bolt.get("name", "slot bolt"), name)
        if "bearing" in pulley:
            yield comes(pulley["bearing"], way), "bearing", str(pulley["bearing"]["type"]), name, pulley["bearing"].get("count", 1)
        yield from stack_of(pulley.get("stack"), way, name, False, "standoff" in pulley)
    for mount in tree.get("mounts", []):
        way = mount.get("supply", "new")
        yield way, "bracket", mount["name"], "", 1
        for bolt in mount["bolts"]:
            yield from bolts_of(bolt, comes(bolt, way), bolt["name"], mount["name"])
        yield from stack_of(mount.get("stack"), way, mount["name"], True, False)
    for thing in tree.get("obstacles", []):
        if not thing.get("tool"):
            yield thing.get("supply") or ("changed" if "taken_off" in thing else "kept"), "obstacle", thing["name"], "", 1
    for row in tree.get("contents", []):
        pieces, way = row.get("count", 1), row.get("supply", "new")
        if pieces and "bolt" in row:
            yield from bolts_of(row["bolt"], way, row["name"], "", pieces)
        elif pieces:
            yield way, "other", row["name"], "", pieces


def parts_told(contents):
    """The same from the JSON. A place of a bolt or washer has the bolt's name; other parts have their own."""
    for way in WAYS:
        for item in contents[way]:
            placed = sum(place["count"] for place in item["places"])
            check(f"{item['kind']} {item['name']}: pieces are those of its places", placed == item["count"], (placed, item["count"]))
            for place in item["places"]:
                if item["kind"] in ("belt", "shim"):
                    continue
                name = place["name"] if item["kind"] in ("bolt", "washer") else item["name"]
                if item["kind"] == "other" or (place["name"] and item["kind"] not in ("bolt", "washer")):
                    yield way, "other", place["name"], "", place["count"]
                else:
                    yield way, item["kind"], name, place["owner"], place["count"]


def all_once(name, tree, contents):
    want, got = Counter(parts_of(tree)), Counter(parts_told(contents))
    check(f"{name}: every part once, in its list, and no other", want == got,
          f"lost {list((want - got).elements())}, too many {list((got - want).elements())}")
    lines = [json.dumps([way, {k: v for k, v in i.items() if k not in ("count", "places", "supply_given")}], sort_keys=True)
             for way in WAYS for i in contents[way] if way != "changed"]
    check(f"{name}: no line twice", len(lines) == len(set(lines)), [l for l in lines if lines.count(l) > 1])


# ---- drives ---------------------------------------------------------------------------------------------------------------

def example(name):
    tree = yaml.safe_load((TOP / f"examples/{name}.yaml").read_text())
    for key in ("options", "variants", "packages"):
        tree.pop(key, None)
    return tree


def told_kit():
    """An invented kit, with all of it said."""
    tree = yaml.safe_load((TOP / "tests/cli/contents/kit.yaml").read_text())
    by_name = {p["name"]: p for p in tree["pulleys"]}
    for kept in ("alternator", "steering", "compressor"):
        by_name[kept]["supply"] = "kept"
    for new in ("tensioner", "wrap idler", "exit idler", "blower"):
        by_name[new].update(supply="new", number=f"SG-{new}")
    by_name["steering"]["stack"].insert(1, {"name": "pump spacer", "length": 3, "supply": "new", "number": "SG-9"})
    by_name["steering"]["stack"][-1]["length"] = 40
    bridge = tree["mounts"][0]
    bridge.update(supply="new", number="SG-bridge")
    bridge["bolts"][3].update(supply="changed", rework={"do": "Shorten it.", "remove": "2 mm"})
    by_name["wrap idler"]["standoff"]["bolt"]["name"] = "long bolt"
    tree["obstacles"][0].update(supply="changed", rework={"do": "Mill the lug.", "remove": "1.5 mm", "where": "its upper edge", "caution": "metal",
                                                          "drill": "5.5 mm", "ream": "6 mm", "tap": "M8"})
    tree["obstacles"].append({"name": "old neck", "circle": {"at": [40, 190], "diameter": 30}, "z": [-58, 12], "supply": "removed"})
    tree["obstacles"].append({"name": "wrench", "circle": {"at": [-300, 400], "diameter": 10}, "z": [0, 10], "tool": True})
    tree["contents"] = [
        {"name": "hose", "number": "SG-4410", "count": 2, "note": "cut to length"},
        {"name": "spare bolts", "count": 3, "bolt": {"thread": "M8", "class": 10.9, "length": 38, "washer": 16, "condition": "zinc"}},
        {"name": "oiled bolts", "count": 2, "bolt": {"thread": "M6", "class": 8.8, "length": 20, "condition": "oiled", "torque": 9}},
        {"name": "old tensioner", "supply": "removed"},
        {"name": "air box", "supply": "changed", "rework": {"do": "Cut the lid.", "caution": "edges"}},
        {"name": "spare idler", "number": "SG-exit idler"},
        {"name": "nothing", "count": 0}]
    return tree


def one(contents, way, **what):
    found = [i for i in contents[way] if all(i[k] == v for k, v in what.items())]
    check(f"{way}: one line with {what}", len(found) == 1, [(i["kind"], i["name"]) for i in found])
    return found[0] if found else {"count": None, "places": [], "rework": None, "number": None}


def by_hand(work):
    """Sums, numbers, reworks and tools of that kit, counted by hand."""
    tree = told_kit()
    contents = asked(write(tree, work / "told.yaml"))["contents"]
    spare = [r for r in tree["contents"] if r["name"] != "spare idler"]  # a row with an idler's number: one more of that part
    all_once("told", {**tree, "contents": spare + [{"name": "spare idler"}]}, contents)
    m8 = one(contents, "new", kind="bolt", thread="M8")
    check("M8: three of the bridge and three spare are one line", m8["count"] == 6 and m8["class"] == "10.9" and m8["length_mm"] == 38 and
          m8["finish"] == "zinc" and m8["washer_mm"] == 16, m8)
    check("their washers too", one(contents, "new", kind="washer", diameter_mm=16)["count"] == 6)
    check("a shortened bolt is no new one", one(contents, "changed", kind="bolt")["thread"] == "M10")
    check("its washer stays", one(contents, "kept", kind="washer")["diameter_mm"] == 20)
    check("bearings of two idlers", one(contents, "new", kind="bearing")["count"] == 4)
    idler = one(contents, "new", number="SG-exit idler")
    check("a spare idler is one more of that number", idler["count"] == 2 and idler["kind"] == "pulley", idler)
    lug = one(contents, "changed", name="block lug")
    check("rework of the lug", lug["rework"] == {"do": "Mill the lug.", "remove_mm": 1.5, "where": "its upper edge", "caution": "metal",
                                                 "drill_mm": 5.5, "ream_mm": 6.0, "tap": "M8", "taken_off": []}, lug["rework"])
    # ISO 272 and ISO 4762, from memory of the standard's usual table: M6 10 and 5, M8 13 and 6, M10 16 and 8, M12 18 and 10
    tools = [(t["kind"], t["size_mm"], t["bolts"]) for t in contents["tools"]]
    want = [("spanner", 10, 2), ("spanner", 13, 6), ("spanner", 16, 1), ("spanner", 18, 2), ("hex key", 5, 2), ("hex key", 6, 6), ("hex key", 8, 1), ("hex key", 10, 2),
            ("torque wrench", None, 5), ("torque wrench", None, 6), ("drill", 5.5, 0), ("drill", 6.8, 0), ("reamer", 6, 0), ("tap", 8, 0), ("oil", None, 3)]
    check("tools", tools == want, tools)
    # 9, 31, 41 and 110 N m, and halves of 31 and 41 in the bridge's first round: a fifth of 110 is 22, so 9 to 20.5 need a wrench of
    # their own; the bridge's four bolts are turned with both, and counted once with each
    check("torque wrenches", [(t["low_N_m"], t["high_N_m"]) for t in contents["tools"] if t["kind"] == "torque wrench"] == [(9, 20.5), (31, 110)], contents["tools"])
    check("nothing is left open", not [i for way in WAYS for i in contents[way] if not i["supply_given"]], contents["kept"])
    clash = copy.deepcopy(tree)
    clash["pulleys"][3]["number"] = "SG-4410"
    clash["pulleys"][5]["number"] = "SG-bridge"
    contents = asked(write(clash, work / "clash.yaml"))["contents"]
    check("a number on a bracket and on an idler", one(contents, "new", kind="bracket")["number_also_of"] == "exit idler")
    check("and the other way round", one(contents, "new", name="exit idler")["number_also_of"] == "idler bridge")


def shims(work):
    tree = yaml.safe_load((TOP / "tests/cli/contents/kit.yaml").read_text())
    pump = next(p for p in tree["pulleys"] if p["name"] == "steering")
    pump["supply"] = "kept"
    pump["stack"][1]["length"] = 0.5
    del tree["shims"]
    contents = asked(write(tree, work / "shim.yaml"))["contents"]
    check("a shim that is there stays as its pump does", one(contents, "kept", kind="shim")["length_mm"] == 0.5)
    tree["shims"] = [0.15, 0.35, 0.5, 0.9]
    pump["stack"][0]["length"] = -44
    contents = asked(write(tree, work / "shim.yaml"))["contents"]
    done = json.loads(run("mount", work / "shim.yaml", "--json").stdout)["shims"]
    advised = Counter(size for place in done["places"] for size in place["pack_mm"])
    told = {i["length_mm"]: i["count"] for i in contents["new"] if i["kind"] == "shim"}
    check("shims that are advised are new", done["wanted"] and len(told) > 0 and told == advised, (told, done))
    check("what they replace is gone", all(i["kind"] != "shim" for way in WAYS[1:] for i in contents[way]), contents["kept"])


def removed(work):
    """An obstacle across the belt fails the build; one that comes off does not, and no door shows it."""
    tree = example("sedgemere")
    tree["obstacles"].append({"name": "old fan", "circle": {"at": [-180, 100], "diameter": 90}, "z": [-20, 20]})
    before = asked(write(tree, work / "fan.yaml"))
    tree["obstacles"][-1]["supply"] = "removed"
    after = asked(write(tree, work / "fan.yaml"))
    hit = [f for f in before["findings"] if "old fan" in f["text"]]
    check("a fan in the belt's way is found", len(hit) > 0, [f["text"] for f in before["findings"]])
    check("one that comes off is not", "old fan" not in json.dumps(after["findings"]) and one(after["contents"], "removed", name="old fan")["count"] == 1)
    run("draw", work / "fan.yaml", "-o", work / "fan.svg")
    drawn = (work / "fan.svg").read_text()
    check("nor drawn", drawn.startswith("<") and "old fan" not in drawn and  "block lug" in drawn, drawn[:200])
    tree["obstacles"][-1].update(supply="changed", taken_off=[{"depth": 2, "towards": "front"}])
    del tree["obstacles"][-1]["supply"]
    tree["obstacles"][-1]["z"] = [-60, -30]
    cut = one(asked(write(tree, work / "fan.yaml"))["contents"], "changed", name="old fan")
    check("metal taken off is a rework", cut["rework"]["taken_off"] == [{"from": "front", "depth_mm": 2.0, "towards": None, "towards_mm": None}], cut["rework"])


def packages(work):
    tree = told_kit()
    tree["packages"] = {"street": {"changes": {"contents.hose.count": 0}},
                        "race": {"changes": {"alternator": {"supply": "new", "number": "SG-alt"}, "contents.hose.count": 5,
                                             "contents.+": {"name": "puller"}, "obstacles.block lug": None}}}
    del tree["packages"]["race"]["changes"]["obstacles.block lug"]
    path = write(tree, work / "packages.yaml")
    street, race = asked(path, "--package", "street")["contents"], asked(path, "--package", "race")["contents"]
    check("street: no hose", not [i for way in WAYS for i in street[way] if i["name"] == "hose"])
    check("race: five", one(race, "new", name="hose")["count"] == 5)
    check("race: a new alternator, no old one", one(race, "new", name="alternator")["number"] == "SG-alt" and not [i for i in race["kept"] if i["name"] == "alternator"])
    check("race: a puller more", one(race, "new", name="puller")["count"] == 1)


def rounds(work):
    """Random ways on everything that takes one."""
    names = ["sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8", "three-pulleys"]
    for turn in range(ROUNDS + len(names)):
        tree = example(names[turn % len(names)])
        dice = random.Random(turn)
        holders = list(tree["pulleys"]) + [p[k] for p in tree["pulleys"] for k in ("standoff", "bearing", "blower") if k in p]
        holders += [p[k]["bolt"] for p in tree["pulleys"] for k in ("standoff", "clamp") if k in p]
        holders += [m for m in tree.get("mounts", [])] + [b for m in tree.get("mounts", []) for b in m["bolts"]]
        for holder in holders + tree.get("obstacles", []):
            if turn < len(names) or holder.get("tool") or dice.random() < 0.4:
                continue
            holder["supply"] = dice.choice(WAYS if holder in tree.get("obstacles", []) else WAYS[:3])
            if holder["supply"] == "changed":
                holder["rework"] = {"do": "Work."}
        path = write(tree, work / "round.yaml")
        if "map" in json.dumps(tree):
            (work / "maps").mkdir(exist_ok=True)
            for file in (TOP / "examples/maps").iterdir():
                (work / "maps" / file.name).write_bytes(file.read_bytes())
        answer = asked(path)
        if answer:
            all_once(f"round {turn}", tree, answer["contents"])


# ---- the sheet ------------------------------------------------------------------------------------------------------------

def paper(path, work, *more):
    pdf = work / "parts.pdf"
    done = run("sheet", path, "--kind", "parts", "-o", pdf, *more)
    check(f"sheet {more} answers", done.returncode in (0, 1), done.stderr)
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True).stdout
    return text.replace("\u00a0", " ")


HEADS = ["In the box: new parts", "On the engine already: these stay", "Rework on parts of the engine", "Comes off and is not fitted again"]


def sheets(work):
    path = write(told_kit(), work / "told.yaml")
    contents, text = asked(path)["contents"], paper(path, work)
    at, line = 0, 0
    for way, head in zip(WAYS, HEADS):
        check(f"sheet: {head}", text.find(head) >= at, text[:2000])
        at = text.find(head)
        for item in contents[way]:
            line += 1
            pattern = rf"^ *{line} +" + ("" if way == "changed" else rf"{item['count']} +")
            row = next((l for l in text[at:].splitlines() if re.match(pattern, l)), "")
            # the columns are narrow: words that stand on the next line are looked for by their first
            first = (item["name"] or item["kind"]).split()[0]
            check(f"sheet: line {line} is {way} {item['kind']} {item['name']}", first in row, row)
            if item["number"] and way != "changed":
                check(f"sheet: line {line} has the number", item["number"].split()[0] in row, row)
    check("sheet: no line more", not re.search(rf"^ *{line + 1} +\d+ +\w", text, re.M), text)
    check("sheet: how far", all(w in " ".join(text.split()) for w in ("take off 1.50 mm (0.0590 in)", "drill 5.50 mm", "tap M8")), text)
    check("sheet: the rework's caution", "oil and coolant run behind" in " ".join(text.split()), text)
    check("sheet: nothing is left open", "does not say how these come" not in text)
    german = paper(path, work, "--language", "de")
    check("German: no English heading", not [h for h in HEADS + ["Tools and consumables", "quantity"] if h in german], german[:1500])
    inches = paper(path, work, "--inches")
    check("inches first", "1.496 in (38.0 mm) long" in inches and "0.0590 in (1.50 mm)" in inches, inches[:2500])
    said = example("three-pulleys")
    for pulley in said["pulleys"]:
        pulley.pop("supply", None)
    open_ = paper(write(said, work / "three.yaml"), work)
    check("what is left open is named", "does not say how these come" in open_, open_)
    bolts = paper(TOP / "examples/ironbrook-v8.yaml", work)
    check("inch spanners are fractions", re.search(r"\d/\d+ in", bolts), bolts)


def template_pages(work):
    """A pulley's name stands at its centre on the template: on the page that its rework names."""
    tree = told_kit()
    names = ("tensioner", "blower", "compressor", "alternator")
    for pulley in tree["pulleys"]:
        if pulley["name"] in names:
            pulley.update(supply="changed", rework={"do": "Paint it."})
    path = write(tree, work / "template.yaml")
    text = paper(path, work)
    run("sheet", path, "--kind", "template", "-o", work / "template.pdf")
    pages = subprocess.run(["pdftotext", "-layout", work / "template.pdf", "-"], capture_output=True, text=True).stdout.split("\f")[1:]
    found = set()
    for name in names:
        told = re.search(rf"{name} .*Paint it.* ([A-Z]\d) *$", text, re.M)
        here = [p for p in pages if told and re.search(rf"\b{told.group(1)}\b", p)]
        check(f"template page of {name}", len(here) == 1 and name in here[0], told and told.group(0))
        found.add(told and told.group(1))
    check("they stand on several pages", len(found) >= 3, found)


WRONG = [
    ("wrap idler.supply=removed", "takes off a part that this drive runs with"),
    ("mounts.0.supply=removed", "takes off a part that this drive runs with"),
    ("mounts.0.bolts.0.supply=removed", "takes off a part that this drive runs with"),
    ("alternator.supply=old", "need new, kept, changed or removed"),
    ("alternator.supply=changed", "is missing, and the part is changed"),
    ("alternator.rework={do: x}", "is given for a part that is not changed"),
    ("obstacles.0.rework={remove: 1 mm}", "do: is missing"),
    ("obstacles.0.rework={do: x, remove: 1.9 mm}", "takes off more than may be taken off there"),
    ("obstacles.0.rework={do: x, remove: 0}", "remove"),
    ("obstacles.0.rework={do: x, caution: mettal}", "need "),
    ("obstacles.0.rework={do: x, tap: M8x}", "is not a known thread"),
    ("obstacles.2.supply=kept", "no part of the kit" ),
    ("wrap idler.stack.1.supply=new", "does not belong here"),
    ("contents.hose.part=none", "no catalogue"),
    ("contents.hose.count=-1", "0 to 10000"),
    ("contents.hose.count=1.5", "count"),
    ("contents.1.name=hose", "is already used in this list"),
    ("contents.1.bolt.supply=kept", "the row's own key"),
    ("contents.1.bolt.at=[1, 2]", "does not belong here"),
    ("contents.1.bolt.thread=M99", "is not a known thread"),
    ("contents.hose.colour=red", "colour"),
    ("alternator.number=" + "x" * 41, "number"),
]


def refusals(work):
    tree = told_kit()
    tree["obstacles"] = tree["obstacles"][:2] + [tree["obstacles"][3]]
    path = write(tree, work / "wrong.yaml")
    for change, says in WRONG:
        if change.startswith("obstacles.2"):
            says = "a tool's room is no part"
        done = run("check", path, "--set", change, "--catalogue", work / "no.db") if "catalogue" in says else run("check", path, "--set", change)
        check(f"{change}: is refused", done.returncode == 2 and (says in done.stderr or "catalogue" in says), done.stderr)
    done = run("check", path, "--set", "contents=[]")
    check("an empty list of contents", done.returncode == 2 and "contents" in done.stderr, done.stderr)


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        by_hand(work)
        shims(work)
        removed(work)
        packages(work)
        rounds(work)
        sheets(work)
        template_pages(work)
        refusals(work)
    return end()


if __name__ == "__main__":
    sys.exit(main())
