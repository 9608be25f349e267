#!/usr/bin/env python3
"""The keys in the tables of the guide are those that the readers take, no more and no fewer, and "needed" stands where the
program says that a key is missing, and only there. The same for the columns of the catalogue.

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
DRIVE, HARDWARE, HOUSE, PARTS, MEASURE = "drive-file.md", "hardware.md", "house-file.md", "parts.md", "measure.md"
# Lists of keys in src/drive by the tables of the guide that show them.
TABLES = {
    ("Top level", DRIVE): ("snub_root_keys", "snub_hardware_root_keys"), ("engine", DRIVE): ("snub_engine_keys",),
    ("air", DRIVE): ("snub_air_keys",), ("cooler", DRIVE): ("snub_cooler_keys",), ("belt", DRIVE): ("snub_belt_keys",),
    ("pulleys", DRIVE): ("snub_pulley_keys",), ("arm", DRIVE): ("snub_arm_keys",), ("slot", DRIVE): ("snub_slot_keys",),
    ("blower", DRIVE): ("snub_blower_keys",), ("packages", DRIVE): ("read_package.package_keys",), ("limits", DRIVE): ("snub_limit_keys",),
    ("contents", DRIVE): ("snub_content_keys",), ("steps", DRIVE): ("read_steps.change_keys",), ("search", DRIVE): ("snub_search_keys",),
    ("tolerances", DRIVE): ("snub_tolerance_keys",),
    ("On a pulley", HARDWARE): ("snub_hardware_pulley_keys",), ("stack", HARDWARE): ("snub_stack_part_keys",),
    ("standoff", HARDWARE): ("snub_standoff_keys",), ("clamp", HARDWARE): ("snub_clamp_keys",),
    ("bearing", HARDWARE): ("snub_seat_keys",),
    ("mounts", HARDWARE): ("snub_mount_keys",), ("bolts", HARDWARE): ("snub_bolt_keys",),
    ("obstacles", HARDWARE): ("snub_obstacle_keys",), ("bearings", HARDWARE): ("snub_bearing_keys",),
}
# Lists of small maps, which have no table: their keys stand in code in this section.
INSIDE = {
    "read_belt.friction_keys": ("belt", DRIVE), "read_belt.friction_pair_keys": ("belt", DRIVE),
    "snub_rework_keys": ("How parts come", DRIVE), "read_package.exclusion_keys": ("packages", DRIVE),
    "read_belt.stock_keys": ("belt", DRIVE), "snub_diameter_keys": ("pulleys", DRIVE),
    "snub_outside_keys": ("belt", DRIVE), "read_engine.irregularity_keys": ("engine", DRIVE),
    "read_pulley.load_by_boost_keys": ("pulleys", DRIVE), "read_pulley.groove_keys": ("pulleys", DRIVE),
    "read_arm.branch_keys": ("arm", DRIVE), "read_cooler.density_keys": ("cooler", DRIVE),
    "read_hardware.flange_keys": ("On a pulley", HARDWARE), "read_hardware.disc_keys": ("On a pulley", HARDWARE),
    "read_mount.bracket_keys": ("mounts", HARDWARE), "read_obstacle.circle_keys": ("obstacles", HARDWARE),
    "read_obstacle.slot_keys": ("obstacles", HARDWARE), "snub_cut_keys": ("obstacles", HARDWARE), "read_hardware.shim_keys": ("shims, duty", HARDWARE),
    **{f"snub_{name}_keys": ("search", DRIVE) for name in ("move", "within", "rectangle", "circle")},
    "snub_sample_keys": ("tolerances", DRIVE), "snub_steps_keys": ("steps", DRIVE), "read_house.house_keys": ("Keys", HOUSE), "read_house.revision_keys": ("Keys", HOUSE),
    "read_supplier_map.map_keys": ("A supplier's file", PARTS), "read_supplier_map.column_keys": ("A supplier's file", PARTS),
    "read_supplier_map.leave_out_keys": ("A supplier's file", PARTS),
    **{f"read_measured.{name}_keys": ("The file of readings", MEASURE)
       for name in ("measured", "frame", "error", "pulley", "edge", "reading", "side")},
    "read_measured_arm.measured_arm_keys": ("The tensioner's spring", MEASURE),
    "read_measured_arm.arm_error_keys": ("The tensioner's spring", MEASURE),
    **{f"read_measured_pluck.{name}_keys": ("Plucked spans", MEASURE) for name in ("measured_pluck", "pluck_error", "pluck")},
    **{f"read_measured_spread.{name}_keys": ("Strips, balls, worn belts", MEASURE)
       for name in ("measured_spread", "spread_error", "change", "worn", "strip", "balls")},
    **{f"read_measured_belt.{name}_keys": ("Belts that were fitted", MEASURE) for name in ("measured_belt", "belt_error", "usual", "fitted_belt")},
}


# ---- what the sources and the guide say -----------------------------------------------------------------------------------

def key_lists():
    lists = {}
    heads = "".join(path.read_text() for path in sorted((TOP / "src/drive").glob("*.h")))
    shared = dict(re.findall(r"^#define (SNUB_\w+_KEYS?)\b((?:.*\\\n)+.*)", heads, re.M))  # rows of several lists
    for path in sorted((TOP / "src/drive").glob("*.c")):
        for static, name, body in re.findall(r"^(static )?const snub_key (\w+)\[\] = \{(.*?)\};", path.read_text(), re.M | re.S):
            body = re.sub(r"\bSNUB_\w+_KEYS?\b", lambda found: shared.get(found[0], found[0]), body)
            words = re.findall(r'\{\s*\\?\s*"(\w+)"', body)
            if name == "snub_limit_keys":
                words = re.findall(r'^SNUB_LIMIT\(\w+, *"(\w+)"', (TOP / "include/snub/limit_list.inc").read_text(), re.M)
            lists[f"{path.stem}.{name}" if static else name] = words
    return lists


def sections(page):
    """{heading: text} of a page of the guide."""
    parts = re.split(r"^#+ (.*)$", (TOP / "docs/guide" / page).read_text(), flags=re.M)
    return dict(zip(parts[1::2], parts[2::2]))


def rows(text):
    """[(key, cell that says whether it is needed)] of a section's table of keys."""
    found, column = [], None
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")] if line.startswith("|") else None
        if cells is None:
            column = None
        elif cells[0] == "key":
            column = next(i for i, cell in enumerate(cells) if cell.startswith(("default", "needed")))
        elif column is not None and not set(line) <= set("|-"):
            cells = [cell.strip() for cell in re.split(r"(?<=\s)\|(?=\s|$)", line.strip()[1:])]
            found += [(key, cells[column]) for key in re.findall(r"`(\w+)`", cells[0])]
    return found


LISTS = key_lists()
GUIDE = {(heading, page): text for page in (DRIVE, HARDWARE, HOUSE, PARTS, MEASURE) for heading, text in sections(page).items()}
ROWS = {where: rows(GUIDE.get(where, "")) for where in TABLES}


def compare_tables():
    for where, names in TABLES.items():
        in_guide, in_source = [key for key, _ in ROWS[where]], [word for name in names for word in LISTS.get(name, [])]
        check(f"{where}: keys of the guide", len(in_source) > 0 and sorted(in_guide) == sorted(in_source),
              (f"not in the guide: {sorted(set(in_source) - set(in_guide))}, "
               f"not taken, or twice: {[k for k in in_guide if k not in in_source or in_guide.count(k) > 1]}"))
    for name, where in INSIDE.items():
        code = " ".join(re.findall(r"`[^`]*`", GUIDE.get(where, "")))
        missing = [word for word in LISTS.get(name, ["no such list"]) if not re.search(rf"\b{word}\b", code)]
        check(f"{name} in {where}", not missing, missing)
    known = set(INSIDE) | {name for names in TABLES.values() for name in names}
    check("every list of keys is looked for in the guide", set(LISTS) == known, set(LISTS) ^ known)


# Units as the guide writes them, by the list's unit.
SHOWN = {"MM": "mm", "DEG": "deg", "M_S": "m/s", "N": "N", "MM_RPM": "mm rpm", "H": "h", "KW": "kW", "DEGC": "degC", "NONE": ""}


def compare_limits():
    """Default, unit and source of every limit in the guide's table are those of the program's list."""
    listed, words = {}, {}
    text = (TOP / "include/snub/limit_list.inc").read_text()
    for name, body in re.findall(r'^#define (\w+) SNUB_MESSAGE\("([^"]*)"\)', text, re.M):
        words[name] = body
    for line in re.findall(r"^SNUB_LIMIT\((.*),$", text, re.M):
        _, key, _, unit, default, _, _, source = [cell.strip() for cell in line.split(",", 7)]
        said = re.match(r'(?:SNUB_MESSAGE\()?"([^"]*)"', source)
        listed[key.strip('"')] = (float(default), SHOWN[unit], said.group(1) if said else words[source.split(",")[0]])
    seen = {}
    for line in sections(DRIVE)["limits"].splitlines():
        cells = [cell.strip() for cell in line.strip("|").split(" | ")]
        keys = re.findall(r"`(\w+)`", cells[0]) if line.startswith("|") else []
        number = re.match(r"([\d ]*\d(?:\.\d+)?)(?: ([a-zA-Z/ ]+?))?(?: each| per rib| after| of the span|$|,| \()", cells[1]) if keys else None
        for key in keys:
            seen[key] = (float(number.group(1).replace(" ", "")), number.group(2) or "", cells[2].strip(" |")) if number else cells
    check("limits of the guide", set(seen) == set(listed), set(seen) ^ set(listed))
    for key, want in listed.items():
        check(f"limits.{key} in the guide", seen.get(key) == want, f"got {seen.get(key)}, want {want}")


# ---- needed -------------------------------------------------------------------------------------------------------------

# Nothing but what is needed; `also` lists what must be there for another reason, such as one of several ways.
LEAST = yaml.safe_load("""
snub: 1
engine: {idle: 800, redline: 6000}
cooler: {effectiveness: 0.7}
belt: {ribs: 6}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 150}
- name: carrier
  at: [0, 350]
  diameter: 110
  mount: plate
  stack: [{name: seat, length: 10}]
  standoff: {outside: 30, length: 40, bolt: {thread: M10, class: 8.8}}
  bearing: {type: small}
- name: slider
  side: back
  diameter: 70
  slot: {from: [-200, 200], to: [-160, 200]}
  clamp: {bolt: {thread: M10, class: 8.8}}
mounts: [{name: plate, bolts: [{name: one, at: [0, 300], thread: M8, class: 8.8}]}]
bearings: [{designation: small, bore: 17, outside: 40, dynamic: 9550, static: 4800}]
obstacles: [{name: post, circle: {at: [300, 300], diameter: 20}, z: [-30, 30]}]
contents: [{name: hose}]
search: {move: [{what: carrier.diameter, from: 90, to: 120}], aims: [worst grip]}
tolerances: [{of: belt.length, fixed: true}]
""")
ARMED = yaml.safe_load("""
snub: 1
belt: {ribs: 6}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 150}
- {name: tensioner, side: back, diameter: 95,
   arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw, travel: 32, preload: 20, rate: 0.4}}
- {name: fan, at: [-20, 320], diameter: 70}
""")
BLOWN = yaml.safe_load("""
snub: 1
engine: {idle: 800, redline: 6000, displacement: 2.0 L, cylinders: 4, volumetric_efficiency: [[800, 0.9]]}
belt: {ribs: 6}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 150}
- {name: blower, at: [0, 350], diameter: 80, blower: {kind: twin-screw, swept: 1.6, internal_ratio: 1.3}}
""")
SPUN = copy.deepcopy(BLOWN)
SPUN["pulleys"][1]["blower"] = {"kind": "centrifugal", "design_speed": 40000, "design_flow": 0.3, "design_ratio": 1.8}
DROP = copy.deepcopy(LEAST)
DROP["cooler"].update(pressure_drop=5, flow=0.2)
PAIR = copy.deepcopy(LEAST)
PAIR["pulleys"][1]["bearing"].update(count=2, spacing=20)
# (table, drive, where it is written, keys beside the needed ones, what "needed ..." the drive meets)
NEEDED = [
    (("Top level", DRIVE), LEAST, [], {"engine", "cooler", "mounts", "bearings", "obstacles", "contents", "search", "tolerances"}, ()),
    (("engine", DRIVE), LEAST, ["engine"], set(), ()), (("air", DRIVE), None, [], set(), ()),
    (("cooler", DRIVE), LEAST, ["cooler"], set(), ()),
    (("cooler", DRIVE), DROP, ["cooler"], {"pressure_drop"}, ("needed with a drop",)), (("belt", DRIVE), LEAST, ["belt"], set(), ()),
    (("pulleys", DRIVE), ARMED, ["pulleys", 2], {"at"}, ()), (("slot", DRIVE), LEAST, ["pulleys", 2, "slot"], set(), ()),
    (("arm", DRIVE), ARMED, ["pulleys", 1, "arm"], set(), ("needed without `readings`",)),
    (("search", DRIVE), LEAST, ["search"], set(), ()),
    (("blower", DRIVE), BLOWN, ["pulleys", 1, "blower"], set(), ()), (("limits", DRIVE), None, [], set(), ()),
    (("engine", DRIVE), BLOWN, ["engine"], set(), ("needed with a blower",)),
    (("blower", DRIVE), SPUN, ["pulleys", 1, "blower"], {"kind"}, ("needed without a map",)),
    (("On a pulley", HARDWARE), LEAST, ["pulleys", 1], {"name", "at", "diameter", "mount", "stack", "standoff", "bearing"}, ()),
    (("stack", HARDWARE), LEAST, ["pulleys", 1, "stack", 0], set(), ()),
    (("standoff", HARDWARE), LEAST, ["pulleys", 1, "standoff"], set(), ()),
    (("clamp", HARDWARE), LEAST, ["pulleys", 2, "clamp"], set(), ()),
    (("bearing", HARDWARE), LEAST, ["pulleys", 1, "bearing"], set(), ()),
    (("bearing", HARDWARE), PAIR, ["pulleys", 1, "bearing"], {"count"}, ("needed with two",)),
    (("mounts", HARDWARE), LEAST, ["mounts", 0], set(), ()),
    (("bolts", HARDWARE), LEAST, ["pulleys", 1, "standoff", "bolt"], {"thread", "class"}, ()),
    (("bolts", HARDWARE), LEAST, ["mounts", 0, "bolts", 0], {"thread", "class"}, ("needed on a mount",)),
    (("obstacles", HARDWARE), LEAST, ["obstacles", 0], {"circle"}, ()),
    (("bearings", HARDWARE), LEAST, ["bearings", 0], set(), ()),
    (("packages", DRIVE), None, [], set(), ()), (("contents", DRIVE), LEAST, ["contents", 0], set(), ()), (("steps", DRIVE), None, [], set(), ()),
    (("tolerances", DRIVE), LEAST, ["tolerances", 0], {"fixed"}, ()),
]
CENTRIFUGAL_ONLY = {"swept", "internal_ratio"}  # needed by the other kinds, which the table's last column says


def errors_of(drive):
    path = work / "drive.yaml"
    path.write_text(yaml.safe_dump(drive, sort_keys=False))
    done = subprocess.run([SNUB, "check", path, "--json"], capture_output=True, text=True)
    return json.loads(done.stdout).get("errors", []) if done.stdout.startswith("{") else [{"key": "", "message": done.stderr}]


def try_needed(where, drive, path, also, conditions):
    marked = {key for key, cell in ROWS[where] if cell in ("needed", "yes", *conditions)}
    if drive is SPUN:
        marked -= CENTRIFUGAL_ONLY
    if drive is None:
        check(f"{where}: nothing is needed", not marked, marked)
        return
    at = drive
    for word in path:
        at = at[word]
    check(f"{where}, {path}: what is needed is marked needed", set(at) - also == marked - also, (set(at) - also, marked))
    for key in sorted(set(at) - also):
        without = copy.deepcopy(drive)
        inner = without
        for word in path:
            inner = inner[word]
        del inner[key]
        told = errors_of(without)
        check(f"{where}, {path}: without {key}", any(one["key"].split(".")[-1] == key and "is missing" in one["message"]
                                                     for one in told), told)


def try_all_needed():
    for name, drive in (("LEAST", LEAST), ("ARMED", ARMED), ("BLOWN", BLOWN), ("SPUN", SPUN), ("PAIR", PAIR), ("DROP", DROP)):
        check(f"{name} needs no more", not errors_of(drive), errors_of(drive))
    for one in NEEDED:
        try_needed(*one)
    met = {(where, condition) for where, *_, conditions in NEEDED for condition in conditions}
    told = {(where, cell) for where in ROWS for _, cell in ROWS[where] if cell.startswith("needed ")}
    check("every condition is tried", met == told, met ^ told)
    check("every table is tried", {one[0] for one in NEEDED} == set(TABLES), {one[0] for one in NEEDED} ^ set(TABLES))


# ---- the catalogue --------------------------------------------------------------------------------------------------------

def fields_of_source():
    """{kind: {(name, needed, tolerance)}} of src/parts/fields.c."""
    kinds = {}
    text = (TOP / "src/parts/fields.c").read_text()
    for name, body in re.findall(r"^static const snub_part_field (\w+)\[\] = \{(.*?)^\};", text, re.M | re.S):
        fields = kinds.setdefault(name.lower(), set())
        for macro, arguments in re.findall(r"^    (NUMBER|COUNT|WORD|TEXT|PART)\((.*)\),$", body, re.M):
            words = [word.strip() for word in arguments.split(",")]
            needed = {"NUMBER": words[-2], "PART": "false"}.get(macro, words[-1])
            fields.add((words[0].strip('"'), needed == "true", macro == "NUMBER" and words[-1] == "true"))
    return kinds


def compare_columns():
    guide = {}
    for kind, cell in re.findall(r"^\| (\w+) \| (.*) \|$", (TOP / "docs/guide/parts.md").read_text(), re.M):
        guide[kind] = {(re.match(r"\**(\w+)", one).group(1), one.startswith("**"), one.endswith("±")) for one in cell.split(", ")}
    guide.pop("kind", None)
    guide.pop("key", None)  # heads of tables
    source = fields_of_source()
    check("kinds of parts", set(guide) == set(source), set(guide) ^ set(source))
    for kind, fields in source.items():
        check(f"columns of a {kind}", len(fields) > 2 and guide.get(kind) == fields, guide.get(kind, set()) ^ fields)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        compare_tables()
        compare_limits()
        try_all_needed()
        compare_columns()
    sys.exit(end())
