"""What a verdict leaves out because the file does not give it. Each row is shown to be true: without its key nothing of it
is found, with a key that nothing can keep it is found and the row is gone. Then the same list through every door.

Usage: unjudged.py. The last line is `N passed, N failed`."""
import json
import os
import subprocess
import sys
import tempfile

import tally

SNUB, EXAMPLES = os.environ["SNUB_BIN"], os.path.join(os.environ["SNUB_SOURCE_DIR"], "examples")
FOLDER = tempfile.TemporaryDirectory()
# Invented, in inches, without a length: as little as can be judged, a blower with no limit at all.
BARE = """\
snub: 1
title: Bare
engine: {displacement: 350 in3, cylinders: 8, idle: 700 rpm, redline: 5800 rpm, volumetric_efficiency: [[700, 0.8], [6500, 0.8]]}
belt: {ribs: 8, stock: {from: 40 in, to: 80 in, step: 0.5 in}}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 6.5 in}
  - {name: slack idler, side: back, diameter: 3 in, slot: {from: [-5.8 in, 4 in], to: [-1 in, 7 in]}, fixed_tension: 180 lbf}
  - {name: blower, at: [1.2 in, 15 in], diameter: 3.6 in, blower: {kind: roots, swept: 90 in3, leakage_speed: 900 rpm}}
  - {name: pump, at: [8.6 in, 6 in], diameter: 5.2 in, load: [[800 rpm, 1.5], [7500 rpm, 5]], supply: kept}
"""


def write(name, text):
    path = os.path.join(FOLDER.name, name)
    with open(path, "w", encoding="utf-8") as out:
        out.write(text)
    return path


def run(command, file, *arguments):
    ran = subprocess.run([SNUB, command, file, *arguments], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise SystemExit(f"{command} {file} {arguments}: {ran.stderr}")
    return ran.stdout


def ask(command, file, *arguments):
    return json.loads(run(command, file, *arguments, "--json"))


def rows(answer):
    return {row["what"]: row["pulleys"] for row in answer["not_judged"]}


def example(name):
    return os.path.join(EXAMPLES, name)


def sets(*values):
    return [a for value in values for a in ("--set", value)]


bare = write("bare.yaml", BARE)
three, sedgemere = example("three-pulleys.yaml"), example("sedgemere.yaml")

# ---- who is in which row, by hand from the files --------------------------------------------------------------------

LISTS = [
    (three, {"shaft_speed": ["alternator"], "hub": ["crank", "alternator"], "nose": ["crank"], "bearing": ["tensioner"],
             "plane": ["tensioner", "alternator"], "obstacles": [], "air": []}),
    (bare, {"shaft_speed": ["pump"], "rotor_speed": ["blower"], "hub": ["crank", "blower", "pump"], "nose": ["crank"],
            "bearing": ["slack idler"], "bolts": ["slack idler", "blower"], "plane": ["slack idler", "blower", "pump"],
            "obstacles": []}),
    (sedgemere, {"shaft_speed": ["steering", "compressor"], "hub": ["crank", "alternator", "blower", "steering", "compressor"],
                 "nose": ["crank"], "bearing": ["tensioner"], "bolts": ["blower"], "strip": ["wrap idler", "exit idler"],
                 "plane": ["tensioner", "alternator", "blower", "compressor"]}),
]
for file, want in LISTS:
    got = rows(ask("check", file))
    tally.expect(f"{os.path.basename(file)}: rows", got == want, got, want)

WORDS = ["highest speed of pump (`max_speed`)", "highest rotor speed of blower (`blower.max_rotor_speed`)",
         "belt pull that crank, blower and pump may bear (`max_hub`)", "torque that the crank nose may carry (`max_torque`)",
         "bearing of slack idler (`bearing`)", "bracket and bolts of slack idler and blower (`mount`)",
         "belt plane of slack idler, blower and pump (`plane`)", "what stands near the belt (`obstacles`)"]
got = [row["text"] for row in ask("check", bare)["not_judged"]]
tally.expect("bare.yaml: words", got == WORDS, got)

# ---- a row is true -------------------------------------------------------------------------------------------------

BEARING = ("bearings=[{designation: tiny, dynamic: 600, static: 300, bore: 6, outside: 13, width: 5, f0: 12, max_speed: 3000 rpm}]",
           "tensioner.bearing={type: tiny}")
BOX = "obstacles=[{name: post, circle: {at: [-120, 250], diameter: 90}, z: [-30, 30]}]"
# file, row, pulley (None: of the whole drive), changes that nothing can keep, rule that then speaks
TRUE = [
    (three, "shaft_speed", "alternator", ["alternator.max_speed=1000 rpm"], "pulley_speed"),
    (bare, "shaft_speed", "pump", ["pump.max_speed=1000 rpm"], "pulley_speed"),
    (bare, "rotor_speed", "blower", ["blower.blower.max_rotor_speed=1000 rpm"], "rotor_speed"),
    (bare, "rotor_speed", "blower", ["blower.max_speed=1000 rpm"], "pulley_speed"),
    (three, "hub", "alternator", ["alternator.max_hub=20"], "max_hub"),
    (three, "hub", "crank", ["crank.max_hub=20"], "max_hub"),
    (bare, "hub", "blower", ["blower.max_hub=20 lbf"], "max_hub"),
    (three, "nose", "crank", ["crank.max_torque=1"], "max_torque"),
    (three, "bearing", "tensioner", BEARING, "bearing_static"),
    (three, "plane", "alternator", ["alternator.plane=9"], "misalignment"),
    (bare, "plane", "pump", ["pump.plane=0.4 in"], "misalignment"),
    (three, "obstacles", None, [BOX], "obstacle"),
]
for file, row, pulley, changes, rule in TRUE:
    name = f"{os.path.basename(file)}, {row} of {pulley}"
    before, after = ask("check", file), ask("check", file, *sets(*changes))
    speaks = [[f for f in answer["findings"] if f["rule"] == rule and (pulley is None or f["pulley"] == pulley)]
              for answer in (before, after)]
    tally.expect(f"{name}: without its key it is listed", row in rows(before) and (pulley is None or pulley in rows(before)[row]))
    tally.expect(f"{name}: and {rule} does not speak", not speaks[0], speaks[0])
    tally.expect(f"{name}: with it {rule} speaks", speaks[1], [f["rule"] for f in after["findings"]])
    gone = row not in rows(after) if pulley is None else pulley not in rows(after).get(row, [])
    tally.expect(f"{name}: and it is not listed", gone, rows(after))
    others = {k: [p for p in v if p != pulley] for k, v in rows(before).items() if k != row}
    kept = {k: [p for p in v if p != pulley] for k, v in rows(after).items() if k != row}
    tally.expect(f"{name}: no other row loses anybody else", all(kept.get(k) == v for k, v in others.items()), others, kept)

# a bracket: its bolts are judged once there are some, the plate itself once its strip is described
MOUNT = ("mounts=[{name: arm bracket, faces: steel-steel, %s bolts: [{name: a, at: [-4 in, 4 in], thread: M8, class: 8.8, "
         "torque: 25}, {name: b, at: [-4 in, 7 in], thread: M8, class: 8.8, torque: 25}]}]")
ON_IT = "slack idler.mount=arm bracket"
before, rigid = ask("mount", bare), ask("mount", bare, *sets(MOUNT % "", ON_IT))
thin = ask("mount", bare, *sets(MOUNT % "bracket: {thickness: 2, width: 10, reach: 60},", ON_IT))
half = ask("mount", bare, *sets(MOUNT % "bracket: {thickness: 2},", ON_IT))
tally.expect("bolts: without a mount there is none", before["mounts"] == [] and "slack idler" in rows(before)["bolts"], rows(before))
tally.expect("bolts: with one it is judged", [m["name"] for m in rigid["mounts"]] == ["arm bracket"] and
             rows(rigid)["bolts"] == ["blower"], rows(rigid))
stood = ask("mount", bare, *sets("slack idler.standoff={outside: 30, bore: 11, length: 20, bolt: {thread: M10, class: 10.9, torque: 60}}"))
tally.expect("bolts: so is that of a standoff on the engine itself", rows(stood)["bolts"] == ["blower"] and "strip" not in rows(stood), rows(stood))
for name, answer in (("without a plate", rigid), ("without its width", half)):
    tally.expect(f"strip: {name} it is rigid", rows(answer).get("strip") == ["slack idler"] and
                 not any(f["rule"] == "bracket_strength" for f in answer["findings"]), rows(answer))
tally.expect("strip: no mount, no strip", "strip" not in rows(before), rows(before))
tally.expect("strip: with both it is judged", "strip" not in rows(thin) and any(f["rule"] == "bracket_strength" for f in thin["findings"]),
             rows(thin), [f["rule"] for f in thin["findings"]])

# the crank's swing, by what snub motion has of it
AIR = "engine.volumetric_efficiency=[[700, 0.8], [6500, 0.8]]"
SWING = [
    (three, [], "air", False), (three, [AIR], None, True),
    (bare, [], None, True),
    (three, ["engine.irregularity={speed: [800, 6500], order: [2], angle: [[0.5], [0.2]]}"], None, True),
]
no_size = write("no-size.yaml", open(three, encoding="utf-8").read().replace("displacement: 2.0 L, cylinders: 4, ", ""))
SWING += [(no_size, [], "engine", False), (no_size, [AIR], "engine", False)]
for one in ("displacement: 2.0 L, ", "cylinders: 4, "):
    SWING.append((write(f"without-{one[:5]}.yaml", open(three, encoding="utf-8").read().replace(one, "")), [AIR], "engine", False))
for file, changes, row, known in SWING:
    name = f"{os.path.basename(file)} {changes}: swing"
    check, motion = ask("check", file, *sets(*changes)), ask("motion", file, *sets(*changes))
    there = [w for w in ("engine", "air") if w in rows(check)]
    tally.expect(f"{name}, row", there == ([row] if row else []), there)
    tally.expect(f"{name}, as snub motion has it", bool(motion["orders"]) == known, motion["irregularity"])

# what the engine has already is held by its maker's bolts
tally.expect("kept: no bolts", rows(ask("check", bare, *sets("blower.supply=kept")))["bolts"] == ["slack idler"])
# nothing is listed where nothing was judged: the verdict is fail
for name, text in (("lost belt", BARE.replace("side: back, diameter: 3 in, slot: {from: [-5.8", "side: back, diameter: 3 in, slot: {from: [-7.8")
                    .replace("to: [-1 in", "to: [-6 in")), ("too short", BARE.replace("to: 80 in", "to: 41 in"))):
    tally.expect(f"{name}: changed", text != BARE)
    answer = ask("check", write("failed.yaml", text))
    tally.expect(f"{name}: fails, and lists nothing", answer["verdict"] == "fail" and answer["not_judged"] == [], answer["not_judged"])

# ---- the same in every door ----------------------------------------------------------------------------------------


def flat(text):
    return " ".join(text.split())


def printed(command, file, *arguments):
    """Words of a paper."""
    out = os.path.join(FOLDER.name, "paper.pdf")
    run(command, file, *arguments, "-o", out)
    return flat(subprocess.run(["pdftotext", "-raw", out, "-"], capture_output=True, text=True, check=True).stdout)


def listed(text):
    """Rows that a command shows for people, its lines joined again."""
    said, inside = [], False
    for line in text.splitlines():
        inside = line.startswith("not judged ") or (inside and line.startswith(" " * 11))
        if inside and not line.startswith(" " * 13):
            said.append(line[11:].strip())
        elif inside:
            said[-1] += " " + line.strip()
    return said


for file in (three, bare, sedgemere, example("ironbrook-v8.yaml"), example("sedgemere-locked.yaml")):
    name = os.path.basename(file)
    check = ask("check", file)
    want = check["not_judged"]
    words = [row["text"] for row in want]
    tally.expect(f"{name}: something is left out", want)
    tally.expect(f"{name}: each names its key", all(all(f"`{key}`" in row["text"] for key in row["key"].split(", ")) for row in want), words)
    tally.expect(f"{name}: and its pulleys", all(p in row["text"] or row["what"] == "nose" for row in want for p in row["pulleys"]), words)
    for command in ("mount", "motion", "sweep", "sheet"):
        tally.expect(f"{name}: snub {command} --json", ask(command, file)["not_judged"] == want)
    for command in ("check", "mount", "motion", "sweep"):
        tally.expect(f"{name}: snub {command} in words", listed(run(command, file)) == words, listed(run(command, file)), words)
    for paper in ([], ["--kind", "report"]):
        text = printed("sheet", file, *paper)
        fails = check["verdict"] == "fail" and not paper
        tally.expect(f"{name}: sheet {paper}", (flat("; ".join(words) + ".") in text) == (not fails), text[-900:])

HOLD = ("--run", "hold", "--seconds", "0.2")
want = ask("check", sedgemere)["not_judged"]
tally.expect("a run in time: JSON", ask("motion", sedgemere, *HOLD)["not_judged"] == want)
tally.expect("a run in time: in words", listed(run("motion", sedgemere, *HOLD)) == [row["text"] for row in want])

for file in (sedgemere, example("ironbrook-v8.yaml")):
    name = os.path.basename(file)
    chart = ask("chart", file)
    pulleys, builds = {}, len(chart["builds"])
    for i in range(builds):
        for what, of in rows(ask("check", file, "--build", str(i + 1))).items():
            pulleys.setdefault(what, set()).update(of)
    got = {what: set(of) for what, of in rows(chart).items()}
    tally.expect(f"{name}: the chart has what any of its builds leaves out", got == pulleys, got, pulleys)
    tally.expect(f"{name}: in words", listed(run("chart", file)) == [row["text"] for row in chart["not_judged"]])
    for paper in (["--kind", "chart"], ["--kind", "report", "--all-builds"]):
        text = printed("sheet", file, *paper)
        tally.expect(f"{name}: {paper}", flat("; ".join(row["text"] for row in chart["not_judged"]) + ".") in text, text[-900:])

# a build that has what the others have not: one option brings a limit, another takes a bearing away
mixed = write("mixed.yaml", open(three, encoding="utf-8").read() + """
variants:
  guarded: {alternator.max_speed: 18000 rpm, alternator.max_hub: 2500}
""")
chart = ask("chart", mixed)
tally.expect("mixed: a chart lists what one of its builds leaves out", rows(chart)["shaft_speed"] == ["alternator"], rows(chart))
alone = ask("chart", mixed, "--variant", "guarded")
tally.expect("mixed: and not what none does", "shaft_speed" not in rows(alone) and rows(alone)["hub"] == ["crank"], rows(alone))

# ---- where builds are set beside each other, scatter, or are sought ---------------------------------------------------


def listed_by_side(text):
    """Rows beneath each side of a comparison."""
    heads = [i for i, line in enumerate(text.splitlines()) if line[:3] in ("A  ", "B  ", "C  ")]
    lines = text.splitlines()
    return [listed("\n".join(lines[i:j])) for i, j in zip(heads, heads[1:] + [len(lines)])]


def texts(answer):
    return [row["text"] for row in answer["not_judged"]]


bare_words, three_words = texts(ask("check", bare)), texts(ask("check", three))
guarded = texts(ask("check", mixed, "--variant", "guarded"))
tally.expect("compare: these differ", bare_words != three_words != guarded)
for sides, want in (((bare, three), [bare_words, three_words]), ((mixed, "--against", "guarded"), [three_words, guarded]),
                    ((three, "--with", "belt.ribs=7"), [[], three_words]),  # the same in both: once, beneath the last
                    ((three, "--with", "belt.ribs=7", "--with", "alternator.max_hub=2500"),
                     [three_words, three_words, [t.replace("crank and alternator", "crank") for t in three_words]])):
    name = " ".join(os.path.basename(side) for side in sides)
    got = listed_by_side(run("compare", *sides))
    tally.expect(f"compare {name}: in words", got == want, got, want)
    answer = ask("compare", *sides)
    got = [texts(answer["a"])] + [texts(side) for side in answer["against_a"]]
    tally.expect(f"compare {name}: JSON", got == [w or want[-1] for w in want], got, want)

FEW = ("--kits", "16")
for file, scatter in ((three, "crank.diameter=150 +- 0.1"), (bare, "crank.diameter=6.5 in +- 0.004 in"),
                      (sedgemere, "crank.diameter=162 +- 0.1")):
    name, want = os.path.basename(file), ask("check", file)["not_judged"]
    tally.expect(f"{name}: tolerate, JSON", ask("tolerate", file, *FEW, *sets(scatter))["not_judged"] == want)
    got = listed(run("tolerate", file, *FEW, *sets(scatter)))
    tally.expect(f"{name}: tolerate, in words", got == [row["text"] for row in want], got)
SCATTERS = sets("crank.diameter=150 +- 0.1")
for more, want in (([], three_words), (["--variant", "guarded"], guarded)):
    got = listed(run("tolerate", mixed, "--builds", "all", *FEW, *SCATTERS, *more))
    tally.expect(f"tolerate, all builds {more}: in words", got == want, got, want)
    answer = ask("tolerate", mixed, "--builds", "all", *FEW, *SCATTERS, *more)
    tally.expect(f"tolerate, all builds {more}: JSON", texts(answer) == want, answer["not_judged"])
    tally.expect(f"tolerate, all builds {more}: each has its own", [texts(one) for one in answer["builds"]] ==
                 ([three_words, guarded] if not more else [guarded]), [texts(one) for one in answer["builds"]])

bare_first = write("bare-first.yaml", open(three, encoding="utf-8").read().replace("name: alternator", "name: alternator, max_speed: 18000 rpm", 1) +
                   "variants:\n  open: {alternator.max_speed: null}\n")
answer = ask("tolerate", bare_first, "--builds", "all", *FEW, *SCATTERS)
tally.expect("tolerate, all builds: what only the second leaves out", rows(answer)["shaft_speed"] == ["alternator"] and
             ["shaft_speed" in rows(one) for one in answer["builds"]] == [False, True], answer["not_judged"])
got = listed(run("tolerate", bare_first, "--builds", "all", *FEW, *SCATTERS))
tally.expect("tolerate, all builds: so in words", got == texts(answer), got)

for base, what, region in ((three, "tensioner.arm.pivot", "[-120, 75], diameter: 6"), (bare, "pump.at", "[8.6 in, 6 in], diameter: 0.4 in")):
    section = f"search: {{move: [{{what: {what}, within: {{circle: {{at: {region}}}}}}}], aims: [worst grip], hold: today}}\n"
    file = write("sought.yaml", open(base, encoding="utf-8").read() + section)
    name, want = os.path.basename(base), texts(ask("check", base))
    answer = ask("search", file, "--tries", "20")
    tally.expect(f"{name}: search, JSON", texts(answer) == want, answer["not_judged"])
    got = listed(run("search", file, "--tries", "20"))
    tally.expect(f"{name}: search, in words", got == want, got)
sys.exit(tally.end())
