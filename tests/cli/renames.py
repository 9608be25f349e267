#!/usr/bin/env python3
"""Names of before: for every line of snub/rename_list.inc the old spelling gives what the new one gives, with one hint,
in a file, by --set, in options, in variants and in a table of parts; both spellings at once are a mistake.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import copy
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import yaml

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
LINE = re.compile(r"^SNUB_RENAME(|_INSIDE|_WORD)\(([^)]*)\)", re.M)


class Rename:
    def __init__(self, kind, words):
        self.word, self.inside = kind == "_WORD", words[2] if kind == "_INSIDE" else None
        self.context, self.old, self.now = words[0], words[1], words[-1]
        self.name = f"{self.context}: {self.old}"


RENAMES = [Rename(kind, re.findall(r'"([^"]*)"', words))
           for kind, words in LINE.findall((TOP / "include/snub/rename_list.inc").read_text())]

# A drive in which every key of the list has a say, and one whose slot sets the tension.
ARMED = yaml.safe_load("""
snub: 1
engine: {displacement: 4.0 L, cylinders: 6, idle: 750, redline: 6200, volumetric_efficiency: [[750, 0.8], [6200, 0.84]],
         accel_rate: 1500, decel_rate: 9000, work_per_air: 900}
cooler: {effectiveness: 0.7, pressure_drop: 6, inlet_pressure_drop: 2, flow: 0.25}
belt: {ribs: 8, length: 1575}
limits: {clearance: 30}
pulleys:
- {name: crank, role: crank, rotation: cw, at: [0, 0], diameter: 185}
- name: tensioner
  side: back
  diameter: 76
  arm: {pivot: [-220, 130], length: 95, free: 20, loads: cw, travel: 60, preload: 25, rate: 0.8, damping: 0.2}
- {name: alternator, at: [-235, 215], diameter: 58, rim_radius: 40, load: [[2000, 8], [12000, 5]], max_speed: 15000}
- {name: snub, side: back, diameter: 64, slot: {from: [-112, 304], to: [-75, 332], setting: 20}}
- name: blower
  at: [0, 360]
  diameter: {value: 80, over: outside}
  max_speed: 13000
  blower: {kind: twin-screw, swept: 1.6 L, internal_ratio: 1.3, leakage_speed: 850, max_rotor_speed: 13500}
- name: idler
  side: back
  at: [88, 318]
  diameter: 76
  width: 25
  flanges: {front: 8, rear: 3}
  mount: plate
  stack: [{name: seat, kind: offset, length: 10}]
  bearing: {type: small, rotating_ring: inner, clearance: CN, axial: 50}
  standoff: {outside: 30, bore: 11, length: 40, bolt: {thread: M10, class: 8.8, grip_length: 40, engagement: 6}}
- {name: pump, at: [192, 166], diameter: 130, load: [[1000, 6], [9000, 9]]}
mounts:
- name: plate
  face: -20
  tapped_in: aluminium
  stack: [{name: head, kind: face, length: -10}]
  bracket: {thickness: 12}
  bolts:
  - {name: left, at: [60, 290], thread: M8, class: 8.8, grip_length: 18, length: 24}
  - {name: right, at: [120, 290], thread: M8, class: 8.8, length: 30}
bearings:
- {designation: small, bore: 17, outside: 40, width: 12, dynamic: 9550, static: 4800, max_speed: 12000,
   max_speed_grease: 40000}
obstacles:
- {name: post, circle: {at: [60, 150], diameter: 40}, z: [-60, 60], clearance: 50}
""")
LOCKED = yaml.safe_load("""
snub: 1
engine: {idle: 800, redline: 6000}
belt: {ribs: 6, length: 1273.5}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 150}
- {name: idler, side: back, diameter: 95, slot: {from: [-90, 210], to: [-30, 210]}, fixed_tension: 500}
- {name: fan, at: [0, 420], diameter: 120, load: [[500, 2], [20000, 2]]}
""")
# Where each stands in those drives, and another value for it.
SPOTS = {
    "engine.volumetric_efficiency": ("engine", [[750, 0.7], [6200, 0.9]]), "engine.accel_rate": ("engine", 3000),
    "engine.decel_rate": ("engine", 12000), "engine.work_per_air": ("engine", 1200),
    "cooler.pressure_drop": ("cooler", 12), "cooler.inlet_pressure_drop": ("cooler", 5), "limits.clearance": ("limits", 70),
    "pulleys.*.rotation": ("crank", "ccw"), "pulleys.*.flanges": ("idler", {"front": 1, "rear": 1}),
    "pulleys.*.rim_radius": ("alternator", 45), "pulleys.*.max_speed": ("alternator", 9000),
    "pulleys.*.fixed_tension": ("idler", 600), "pulleys.*.diameter.over.outside": ("blower.diameter.over", "balls"),
    "pulleys.*.arm.free": ("tensioner.arm", 22), "pulleys.*.arm.loads": ("tensioner.arm", "ccw"),
    "pulleys.*.slot.setting": ("snub.slot", 25), "pulleys.*.blower.leakage_speed": ("blower.blower", 500),
    "pulleys.*.blower.max_rotor_speed": ("blower.blower", 11000), "pulleys.*.bearing.rotating_ring": ("idler.bearing", "outer"),
    "pulleys.*.bearing.clearance.CN": ("idler.bearing.clearance", "C3"),
    "pulleys.*.standoff.bolt.grip_length": ("idler.standoff.bolt", 60), "mounts.*.tapped_in": ("mounts.plate", "steel"),
    "mounts.*.bolts.*.grip_length": ("mounts.plate.bolts.0", 20), "obstacles.*.clearance": ("obstacles.0", 60),
    "bearings.*.max_speed": ("bearings.0", 8000), "bearings.*.max_speed_grease": ("bearings.0", 50000),
}
NEEDED = {"volumetric_efficiency", "free", "loads"}


def step(at, word):
    if isinstance(at, list):
        return at[int(word)] if word.isdigit() else next(one for one in at if one.get("name") == word)
    return at[word] if isinstance(at.get(word), (dict, list)) else next(one for one in at["pulleys"] if one["name"] == word)


def parent(drive, spot):
    at = drive
    for word in spot.split("."):
        at = step(at, word)
    return at


def respelled(rename, drive, spot):
    """The drive with the old spelling at the spot, the key in its old place."""
    drive = copy.deepcopy(drive)
    if rename.word:
        parent(drive, spot.rpartition(".")[0])[spot.rpartition(".")[2]] = rename.old
        return drive
    at = parent(drive, spot)
    items = [(rename.old, {rename.inside: value} if rename.inside else value) if key == rename.now else (key, value)
             for key, value in at.items()]
    at.clear()
    at.update(items)
    return drive


def write(drive, name="drive.yaml"):
    path = work / name
    path.write_text(yaml.safe_dump(drive, sort_keys=False, width=1000) if not isinstance(drive, str) else drive)
    return path


class Answer:
    def __init__(self, *arguments):
        done = subprocess.run([SNUB, *map(str, arguments)], capture_output=True, text=True, env={**os.environ, "NO_COLOR": "1"})
        self.code, self.err = done.returncode, done.stderr
        self.json = json.loads(done.stdout) if done.stdout.startswith("{") else None
        self.told = [line for line in self.err.splitlines() if ": now called " in line]
        self.hints = self.json.pop("hints", []) if self.json else []


def plain(value):
    """Without the fingerprint, which is one of the file's bytes."""
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items() if key != "fingerprint"}
    return [plain(one) for one in value] if isinstance(value, list) else value


def same(name, old, new, rename, at):
    check(f"{name}: no hint for the new name", not new.told and not new.hints, new.err)
    check(f"{name}: the same answer", old.json is not None and plain(old.json) == plain(new.json) and old.code == new.code != 2,
          (old.code, new.code, old.err, new.err))
    want = f"{at}: {rename.old}: now called {rename.now}"
    check(f"{name}: one hint", old.told == [want], (old.told, want))
    check(f"{name}: one hint in JSON", len(old.hints) == 1 and old.hints[0]["key"] == rename.old and
          old.hints[0]["message"] == f"now called {rename.now}", old.hints)


def place_of(old, new, rename):
    """line:column of the key or path in which two files differ first."""
    for n, (a, b) in enumerate(zip(old.read_text().splitlines(), new.read_text().splitlines()), 1):
        if a != b:
            start = a.index(rename.old) if rename.word else re.match(r"(?:\s|- )*", a).end()
            return f"{n}:{start + 1}"
    return "nowhere"


def in_file(rename, drive, spot):
    new, old = write(drive, "new.yaml"), respelled(rename, drive, spot)
    for command in ("check", "mount"):
        a, path = Answer(command, new, "--json"), write(old, "old.yaml")
        same(f"{rename.name}, file, {command}", Answer(command, path, "--json"), a, rename,
             f"{path}:{place_of(path, new, rename)}")
    if not rename.word and rename.now not in NEEDED:
        without = copy.deepcopy(drive)
        del parent(without, spot)[rename.now]
        path = write(without)
        check(f"{rename.name}: has a say", any(plain(Answer(c, path, "--json").json) != plain(Answer(c, new, "--json").json)
                                               for c in ("check", "mount")))


def both(rename, drive, spot):
    for first, second in ((rename.old, rename.now), (rename.now, rename.old)):
        two = copy.deepcopy(drive)
        at = parent(two, spot)
        value = at.pop(rename.now)
        values = {rename.now: value, rename.old: {rename.inside: value} if rename.inside else value}
        at.update({first: values[first], second: values[second]})
        path = write(two)
        answer = Answer("check", path, "--json")
        place = [n for n, line in enumerate(path.read_text().splitlines(), 1) if re.match(rf"[-\s]*{second}:", line)]
        error = (answer.json or {}).get("errors", [{}])[0]
        check(f"{rename.name}: {first} and {second}", answer.code == 2 and len(answer.json["errors"]) == 1 and
              error["key"] == second and error["line"] in place and first in error["message"] and answer.hints, answer.err)


def by_paths(rename, drive, spot, value):
    word = rename.word
    old_path, new_path = (spot, spot) if word else (f"{spot}.{rename.old}", f"{spot}.{rename.now}")
    ways = [(old_path, rename.old if word else {rename.inside: value} if rename.inside else value)]
    if rename.inside:
        ways.append((f"{old_path}.{rename.inside}", value))
    other = rename.now if word else value
    path = write(drive)
    base = copy.deepcopy(drive)
    if word:
        parent(base, spot.rpartition(".")[0])[spot.rpartition(".")[2]] = value
        path = write(base)
    for old, given in ways:
        text = json.dumps(given)
        same(f"{rename.name}, --set {old}", Answer("check", path, "--json", "--set", f"{old}={text}"),
             Answer("check", path, "--json", "--set", f"{new_path}={json.dumps(other)}"), rename, f"--set {old}={text}")
        tell = lambda path, to: {**base, "variants": {"other": {path: to}}}
        in_offer(rename, f"variant {old}", tell(old, given), tell(new_path, other), ("check", "--variant", "other"))
        pulley = old.split(".")[0] not in ("engine", "cooler", "limits", "mounts", "bearings", "obstacles")
        if pulley:
            tell = lambda path, to: {**base, "variants": {"other": {path.partition(".")[0]: {path.partition(".")[2]: to}}}}
            in_offer(rename, f"variant with a map, {old}", tell(old, given), tell(new_path, other), ("check", "--variant", "other"))
        now = (rename.old if word else {rename.inside: valued(drive, spot, rename)} if rename.inside and "{" in text
               else valued(drive, spot, rename))
        tell = lambda path, *to: {**base, "options": {path: list(to)}}
        in_offer(rename, f"option {old}", tell(old, now, given) if not word else tell(old, given, value),
                 tell(new_path, valued(drive, spot, rename), other) if not word else tell(new_path, other, value), ("chart",))


def valued(drive, spot, rename):
    return rename.now if rename.word else parent(drive, spot)[rename.now]


def in_offer(rename, name, old, new, command):
    path_new, path_old = write(new, "new.yaml"), write(old, "old.yaml")
    verb, *rest = command
    same(f"{rename.name}, {name}", Answer(verb, path_old, *rest, "--json"), Answer(verb, path_new, *rest, "--json"), rename,
         f"{path_old}:{place_of(path_old, path_new, rename)}")


# ---- tables of parts ---------------------------------------------------------------------------------------------------

PARTS = {
    "pulley": "P,pulley,invented,PK,6,80 mm,outside,44 mm,16000 rpm",
    "idler": "I,idler,invented,back,70 mm,40 mm,12000 rpm",
    "tensioner": "T,tensioner,invented,back,76 mm,95 mm,60 deg,25 N m,0.8 N m/deg,ccw,12000 rpm",
    "bearing": "B,bearing,invented,6203,17 mm,40 mm,12 mm,9550 N,4800 N,1,12000 rpm,17000 rpm",
    "blower": "W,blower,invented,roots,1.6 L,850 rpm,14000 rpm",
}
COLUMNS = {
    "pulley": "key,kind,source,section,ribs,diameter,over,rim_radius,max_speed",
    "idler": "key,kind,source,side,diameter,rim_radius,max_speed",
    "tensioner": "key,kind,source,side,diameter,arm_length,travel,preload,rate,loads,max_speed",
    "bearing": "key,kind,source,designation,bore,outside,width,dynamic,static,rows,max_speed,max_speed_grease",
    "blower": "key,kind,source,blower_kind,swept,leakage_speed,max_rotor_speed",
}


def imported(name, text):
    path, catalogue = work / f"{name}.csv", work / f"{name}.db"
    path.write_text(text)
    catalogue.unlink(missing_ok=True)
    answer = Answer("parts", "import", path, "--catalogue", catalogue, "--json")
    return answer, Answer("parts", "export", "--catalogue", catalogue, "--format", "json").json if answer.code == 0 else None


def in_table(rename):
    kind = rename.context.split(".")[1]
    new, parts = imported("new", f"{COLUMNS[kind]}\n{PARTS[kind]}\n")
    if rename.word:
        text, line = f"{COLUMNS[kind]}\n{PARTS[kind].replace(rename.now, rename.old)}\n", 2
    else:
        titles = [rename.old.replace("_", " ") if one == rename.now else one for one in COLUMNS[kind].split(",")]
        text, line = f"{','.join(titles)}\n{PARTS[kind]}\n", 1
    old, old_parts = imported("old", text)
    check(f"{rename.name}: the same part", parts and old_parts and parts["parts"] == old_parts["parts"], (old.err, new.err))
    check(f"{rename.name}: one hint", old.told == [f"{work}/old.csv:{line}: {rename.old}: now called {rename.now}"] and
          len(old.hints) == 1 and not new.told and not new.hints, (old.told, new.told))
    if not rename.word:
        two, _ = imported("two", f"{COLUMNS[kind]},{rename.old}\n{PARTS[kind]},1 mm\n")
        check(f"{rename.name}: with the new one", two.code == 2 and "is repeated" in two.err, two.err)
    field = rename.context.split(".")[-1] if rename.word else rename.old
    old_where, now_where = (f"{field}={rename.old if rename.word else 'cw'}", None)
    value = {"winds": "ccw", "rim": "44 mm" if kind == "pulley" else "40 mm"}.get(rename.old, "1 rpm..90000 rpm")
    value = rename.old if rename.word else value
    found = Answer("parts", "find", "--kind", kind, "--where", f"{field}={value}", "--catalogue", work / "new.db", "--json")
    check(f"{rename.name}: --where", found.code == 0 and len(found.json["parts"]) == 1 and
          found.told == [f"--where {field}={value}: {rename.old}: now called {rename.now}"] and len(found.hints) == 1,
          (found.err, found.json))


def mixed_table():
    answer, parts = imported("mixed", "key,kind,source,side,diameter,blower_kind,swept,max\n"
                             "A,idler,invented,back,70 mm,,,9000 rpm\n"
                             "B,blower,invented,,,roots,1.6 L,14000 rpm\nC,idler,invented,back,75 mm,,,9500 rpm\n")
    check("max of two kinds is told for each", [one.rpartition(": ")[2] for one in answer.told] ==
          ["now called max_speed", "now called max_rotor_speed"], answer.told)
    got = [(one["key"], one.get("max_speed_rpm"), one.get("max_rotor_speed_rpm")) for one in (parts or {"parts": []})["parts"]]
    check("each under its own", sorted(got, key=lambda one: one[0]) ==
          [("A", 9000, None), ("B", None, 14000), ("C", 9500, None)], got)


# ---- the whole ---------------------------------------------------------------------------------------------------------

def all_old_at_once():
    """A file with every old name has each hint once, and the same drive."""
    old, count = copy.deepcopy(ARMED), set()
    for rename in sorted((r for r in RENAMES if key_of(r) in SPOTS), key=lambda r: -r.context.count(".")):
        if rename.now == "fixed_tension":
            continue
        old = respelled(rename, old, SPOTS[key_of(rename)][0])
        count.add((rename.old, rename.now))
    answer, new = Answer("check", write(old, "old.yaml"), "--json"), Answer("check", write(ARMED, "new.yaml"), "--json")
    check("all at once: the same answer", plain(answer.json) == plain(new.json), answer.err)
    told = [tuple(line.rpartition(": now called ")[::2]) for line in answer.told]
    check("all at once: each once", sorted((place.rpartition(": ")[2], now) for place, now in told) == sorted(count),
          (told, count))


def mistakes_keep_new_names():
    bad = copy.deepcopy(ARMED)
    bad["pulleys"][1]["arm"]["windz"] = "cw"
    bad["pulleys"][5]["lipz"] = 1
    bad["engine"]["fuel_powr"] = 1
    answer = Answer("check", write(bad), "--json")
    check("no old name is proposed", answer.code == 2 and len(answer.json["errors"]) == 3 and
          not re.search(r"'(winds|lips|fuel_power)'", answer.err), answer.err)
    old = respelled(next(r for r in RENAMES if r.old == "rises"), ARMED, "engine")
    old["engine"]["idle"] = "slow"
    answer = Answer("check", write(old), "--json")
    check("hints stand beside mistakes", answer.code == 2 and len(answer.json["errors"]) == 1 and len(answer.hints) == 1, answer.err)


def key_of(rename):
    return f"{rename.context}.{rename.now}"


def in_guide():
    """The guide's table of old names is the list: a line that is lost from the one is told by the other."""
    guide = (TOP / "docs/guide/drive-file.md").read_text().partition("\n## Old names\n")[2].partition("\n## ")[0]
    rows = [[re.findall(r"`([^`]*)`", cell) for cell in line.split("|")[1:4]] for line in guide.splitlines()
            if line.startswith("| ") and "`" in line]
    of_files = {(word(old), word(now)) for _, olds, nows in rows[:-1] for old, now in zip(olds, nows * len(olds))}
    listed = {(one.old, one.now) for one in RENAMES if not one.context.startswith("catalogue.")}
    check("old names of the guide and of the list", of_files == listed, of_files ^ listed)
    columns = {(kind, old, now) for kind, old, now in re.findall(
        r"ALTER TABLE (\w+) RENAME COLUMN (\w+) TO (\w+);", (TOP / "src/parts/schema.c").read_text())}
    of_tables = {(one.context.partition(".")[2], one.old, one.now) for one in RENAMES
                 if one.context.startswith("catalogue.") and not one.word}
    check("old columns of the catalogue's file and of its tables", columns == of_tables, columns ^ of_tables)
    in_tables = {one.old for one in RENAMES if one.context.startswith("catalogue.")}
    check("old names in tables", set(rows[-1][1]) == in_tables, set(rows[-1][1]) ^ in_tables)


def word(cell):
    """`over: tips` is about the word, `fixed_tension: N` about the key."""
    key, _, value = cell.partition(": ")
    return value if value and not re.match(r"[{N]\b|{", value) else key


with tempfile.TemporaryDirectory() as folder:
    work = pathlib.Path(folder)
    in_guide()
    check("every spot is of a line of the list", SPOTS.keys() <= {key_of(one) for one in RENAMES}, SPOTS.keys())
    for one in RENAMES:
        if one.context.startswith("catalogue."):
            in_table(one)
            continue
        check(f"{one.name}: is tried here", key_of(one) in SPOTS)
        where, another = SPOTS.get(key_of(one), (None, None))
        if where is None:
            continue
        of = LOCKED if one.now == "fixed_tension" else ARMED
        in_file(one, of, where)
        by_paths(one, of, where, another)
        if not one.word:
            both(one, of, where)
    mixed_table()
    all_old_at_once()
    mistakes_keep_new_names()
sys.exit(end())
