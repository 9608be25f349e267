"""What is summed up over pulleys and mounts, on the drive of every case about hardware: the chart's columns against the details
that `snub mount` gives, the advised shims put into the file, a bracket's slope worked out from its loads; the tightest gap."""
import json
import math
import os
import re
import subprocess
import tempfile

import cases_advice as advice
import yaml
from cases_clearance import AHEAD, Swept
from cases_hardware import ALUMINIUM, BEARING, PAIR, TWISTS, WORST, bolt, evenly, mounted, short_boss, standing_off, tube
from cases_loads import CHECKS as LOAD_CHECKS
from cases_slip import LIMIT, RATIO, WRAP, pair, pair_cases, share
from drives import FIXED, LOCKED, at_p, on, text, vary
from harness import ARCMIN, EVERYTHING, MM, SNUB, Sample, WORDINGS, expect, found, judge
from mechanics import taut


def asked(command, file, *arguments):
    done = subprocess.run([SNUB, command, "-", "--json", *arguments], input=file, capture_output=True, text=True)
    return json.loads(done.stdout) if done.returncode in (0, 1) else None


def same(what, got, want, *why, tolerance=1e-9):
    close = (got is None) == (want is None) and (want is None or abs(got - want) <= tolerance * max(abs(want), 1e-9))
    expect(what, close, f"got {got}, want {want}", *why)


def least(values):
    return min((v for v in values if v is not None), default=None)


def most(values):
    return max((v for v in values if v is not None), default=None)


def columns(file, mount):
    """The worst pulley's and the worst bolt's stand in the chart."""
    chart = asked("chart", file)
    row = chart["builds"][0] if chart and len(chart["builds"]) == 1 else None
    if row is None or row.get("hardware") is None or row["designation"] != mount["build"]["designation"] or \
            row["slots_mm"] != mount["build"]["slots_mm"]:
        return
    got, pulleys = row["hardware"], mount["pulleys"]
    bolts = [b for m in mount["mounts"] for b in m["bolts"]]
    tubes, slots = ([p[k] for p in pulleys if p[k]] for k in ("standoff", "slot"))
    same("entry angle of the chart with its tolerance", got["entry_angle_deg"] + got["entry_tolerance_deg"], most(
        max(abs(p["plane"]["entry_deg"]), abs(p["plane"]["entry_loaded_deg"])) + p["plane"]["tolerance_rss_deg"]
        for p in pulleys), file)
    expect("the two are one pulley's", any(
        abs(got["entry_tolerance_deg"] - p["plane"]["tolerance_rss_deg"]) < 1e-9 and abs(got["entry_angle_deg"] - max(
            abs(p["plane"]["entry_deg"]), abs(p["plane"]["entry_loaded_deg"]))) < 1e-9 for p in pulleys), got, file)
    told = [f["text"] for f in mount["findings"] if f["rule"] == "shims"]
    expect("the chart has the shims of the verdict", bool(told) == (got["shims"] is not None) and
           all(got["shims"] in text for text in told), got["shims"], told, file)
    same("bearing life of the chart", got["bearing_life_h"], least(p["bearing"] and p["bearing"]["life_h"]
                                                                  for p in pulleys), file)
    slips = [b["slip_used"] for b in bolts + tubes + slots]  # none where nothing is left that rubs: then the worst has none either
    same("bolt slip of the chart", got["bolt_slip_used"], None if None in slips else most(slips), file)
    same("bolt margin of the chart", got["bolt_margin"],
         least([v for b in bolts for v in (b["separation_safety"], b["proof_safety"])] +
               [v for t in tubes for v in (t["opens_at_N_m"] / t["moment_N_m"], t["proof_safety"])] +
               [c["proof_safety"] for c in slots]), file)
    same("conflicts of the chart", got["conflicts"], len(mount["obstacles"]), file)


def stacks_of(drive, name):
    return [one["stack"] for one in (*drive["pulleys"], *drive.get("mounts", [])) if one["name"] == name and "stack" in one]


def shims_put_in(file, mount):
    """The packs that are advised, written as lengths: each pulley's angle is what the advice says."""
    advice = mount["shims"]
    if not advice or not advice["places"]:
        return
    drive = yaml.safe_load(file)
    for place in advice["places"]:
        part = [p for s in stacks_of(drive, place["of"]) for p in s if p["name"] == place["part"]]
        expect("a shim's place is in the file", len(part) == 1, place, file)
        part[0]["length"] = place["thickness_mm"] * (-1 if part[0]["length"] < 0 else 1)
    after = asked("mount", text(drive))
    for was, now in zip(mount["pulleys"], after["pulleys"]):
        for key in ("plane_mm", "entry_deg", "entry_loaded_deg"):
            expect(f"{was['name']}: {key} with the advised shims", was["plane"][key] == now["plane"][key] or
                   abs(was["plane"][key] - now["plane"][key]) < 1e-9, was["plane"], now["plane"], file)
        for part, key in (("hub", "worst_N"), ("standoff", "moment_N_m"), ("bearing", "tilt_arcmin")):
            if was[part]:
                same(f"{was['name']}: {key} with the advised shims", was[part][key], now[part][key], file, tolerance=1e-9)
    kept = [f for f in mount["findings"] if f["rule"] != "shims"]
    got = [f for f in after["findings"] if f["rule"] != "shims"]
    expect("findings with the advised shims", [f["text"] for f in kept] == [f["text"] for f in got], kept, got, file)


def without_shims_on_hand(file, mount):
    """What the angles were with the stack as the file has it: those of the drive that has no shims to choose from."""
    if not mount["shims"]:
        return
    bare = asked("mount", text({key: value for key, value in yaml.safe_load(file).items() if key != "shims"}))
    for was, now in zip(mount["pulleys"], bare["pulleys"]):
        want = max(now["plane"]["entry_deg"], now["plane"]["entry_loaded_deg"], key=abs)
        same(f"{was['name']}: entry angle without shims", was["plane"]["entry_unshimmed_deg"], want, file)


def shims_verdict(file, mount):
    """Whether the packs do, by the angles that the build has with them; where none are advised, those that are there."""
    advice = mount["shims"]
    if not advice:
        return
    limit = yaml.safe_load(file).get("limits", {}).get("misalignment", 0.33)
    worst = max(max(abs(p["plane"]["entry_deg"]), abs(p["plane"]["entry_loaded_deg"])) +
                (p["plane"]["tolerance_rss_deg"] if p["plane"]["guides"] else 0) for p in mount["pulleys"])
    same("worst angle with the shims", advice["worst_deg"], worst, file)
    expect("whether the shims do", advice["passes"] == (worst <= limit), advice, file)
    if not advice["wanted"]:
        expect("what is there stays", all(p["thickness_mm"] == p["now_mm"] for p in advice["places"]), advice, file)
        same("worst angle as it is", advice["worst_now_deg"], worst, file)


def packs_that_stay():
    """Nothing to mend; 2.2 mm too far out, where shims only add; a plate so soft that a shim leans it by more than it mends, which
    shows only when the shim is in."""
    soft = vary(PAIR, at_p(standing_off(0), 0.2))
    soft["mounts"][0]["bracket"]["reach"] = 200
    for file in (on(PAIR, short_boss())(0), on(PAIR, short_boss())(-2.2), text(soft)):
        mount = asked("mount", file)
        expect("no shims are advised", mount["shims"] and not mount["shims"]["wanted"], mount["shims"], file)
        shims_verdict(file, mount)


def on_one_bracket():
    """Two pulleys on one strip, bolted between them: force and moment of both; its slope is the worst of both; first the one, then the other pulls
    more. Bending M L/(E I) along the way to the pulley, twist M L/(G J) across it, at the worst case."""
    for shift in (-30, 30):
        base = vary(TWISTS, {"mounts": [{"name": "plate", "face": -30, "friction": 0.15, "bracket": {
            "thickness": 8, "width": 60, "reach": 40}, "bolts": [bolt("a", shift, 260), bolt("b", shift, 240)]}]})
        file = text(base)
        mount = asked("mount", file)
        sample = Sample(file, every=20)
        sample.load()
        stiff, want = ALUMINIUM * 60 * MM * (8 * MM) ** 3, {}
        torsion = stiff / 2.6 * (1 - 0.63 * 8 / 60) / 3
        for name, x in (("left", -150), ("right", 150)):
            towards = complex(x - shift, 260 - 250)
            towards /= abs(towards)
            lever = -base["mounts"][0]["face"] - 4
            want[name] = max(abs(lever) * MM * 40 * MM * math.hypot(
                (v[f"force {name}"] * towards.conjugate()).real / (stiff / 12),
                (v[f"force {name}"] * towards.conjugate()).imag / torsion) for at, v in sample.cases)
        got = mount["mounts"][0]["bracket_slope_arcmin"] * ARCMIN
        force = max(abs(v["force left"] + v["force right"]) for at, v in sample.cases)
        same("force on a mount with two pulleys", mount["mounts"][0]["force_N"], force, tolerance=1e-6)
        same("its tilting moment", mount["mounts"][0]["tilting_N_m"], force * 30 * MM, tolerance=1e-6)
        expect("slope of a bracket with two pulleys", abs(got - max(want.values())) < 1e-6 * got, got, want)


def tightest_gap():
    """Of a drive that has room: nearest where the arm points at the pump, between the winds that are looked at."""
    for rim in (35, 38):
        want, _ = Swept(AHEAD, AHEAD(35)).least(rim, lambda laid, rim=rim: laid.pulleys("tensioner", "pump", 47.5, rim))
        got = judge(AHEAD(rim))["tightest_gap_mm"]
        expect(f"tightest gap, rim {rim}", abs(got - want) < 1e-6 * want, got, want)


def slip_onset():
    """The lowest speed at which a pulley slips while the engine holds its speed or gains it, with any belt: by the closed form of
    two pulleys. Speeding up an inertia slips first; slowing it down does not count; a load that grows slips late."""
    grows = [[500, 2], [1000 * RATIO, 2], [6000 * RATIO, 140]]
    for given in ({"load": 88, "inertia": 0.05}, {"load": 2, "inertia": 0.3}, {"load": grows}, {"load": grows, "inertia": 0.1},
                  {"load": 120}, {"load": 40}):
        given = {"length": taut(200), **given}
        slipping = [at["rpm"] for at, enters, leaves in pair_cases(**given) if at["rpm"] and at["state"] in ("steady", "accelerating")
                    and max(share(pulley, LIMIT)(enters, leaves) for pulley in WRAP) > 1]
        same(f"slips from, {given}", judge(pair(**given))["slip_onset_rpm"], min(slipping, default=None))


def shear_of_bolts():
    """Two bolts beside the hub, as high as it is: half of the worst hub load on each, whatever comes after it."""
    for bolt_of in asked("mount", evenly()(0.15))["mounts"][0]["bolts"]:
        same("worst shear of a bolt", bolt_of["shear_N"], WORST / 2)
    for reused, percent in ((True, 75), (False, 90)):  # Shigley, 9th ed., eqs 8-31 and 8-32
        for bolt_of in asked("mount", evenly(reused=reused)(0.15))["mounts"][0]["bolts"]:
            expect("how tight a bolt is drawn", bolt_of["torque_source"].startswith(f"{percent} % of proof load, K = 0.12 (anti-seize)"),
                   bolt_of["torque_source"])


def compared(files):
    """What `snub compare` says of two builds, by subject and name."""
    with tempfile.TemporaryDirectory() as work:
        paths = [os.path.join(work, f"{k}.yaml") for k in "ab"]
        for path, file in zip(paths, files):
            with open(path, "w", encoding="utf-8") as out:
                out.write(file)
        done = subprocess.run([SNUB, "compare", *paths, "--json"], capture_output=True, text=True)
    return {(d["subject"], d["what"]): (d["a"], d["b"]) for d in json.loads(done.stdout)["differences"]}


def facts():
    """The worst bolt of a mount and the worst obstacle, as compared, against the details."""
    plate = mounted(bolt("a", -20, 290, torque=lambda p: 14 * p), bolt("b", 22, 310, torque=lambda p: 11 * p),
                    bolt("c", 0, 330, torque=lambda p: 12 * p), face=-30, bracket={"thickness": 20})
    in_the_way = [{"name": name, "circle": {"at": [x, 150], "diameter": 20}, "z": [-30, 30]} for name, x in
                  (("near", 70), ("nearer", -66))]
    files = [text(vary(yaml.safe_load(plate(p)), {"limits": {"clearance": 6 * p}, "obstacles": in_the_way})) for p in (1, 1.3)]
    told, mounts = compared(files), [asked("mount", file) for file in files]
    for what, of, pick in (("joint friction used, worst bolt", "slip_used", most), ("separation safety, least", "separation_safety", least),
                           ("proof safety, least", "proof_safety", least), ("fatigue safety, least", "fatigue_safety", least)):
        for side, mount in enumerate(mounts):
            same(what, told[("plate", what)][side], pick(b[of] for b in mount["mounts"][0]["bolts"]), *files)
    for side, mount in enumerate(mounts):
        lacks = [o["needed_mm"] - o["gap_mm"] for o in mount["obstacles"]]
        expect("two things are in the way", len(lacks) == 2 and abs(lacks[0] - lacks[1]) > 0.1, lacks, files[side])
        same("greatest lack", told[("obstacles", "greatest lack of clearance")][side], max(lacks), *files)


OF_PULLEY = {
    "hub load, mean of the duty": lambda p: p["hub"]["duty_mean_N"],
    "entry angle under load, size": lambda p: abs(p["plane"]["entry_loaded_deg"]),
    "standoff: moment over opening moment": lambda p: p["standoff"]["moment_N_m"] / p["standoff"]["opens_at_N_m"],
    "standoff: slope": lambda p: p["standoff"]["slope_arcmin"],
    "standoff: deflection": lambda p: p["standoff"]["deflection_mm"],
    "standoff: bending stress": lambda p: p["standoff"]["bending_MPa"],
    "standoff: fatigue safety": lambda p: p["standoff"]["fatigue_safety"],
    "bearing: mean load over the duty": lambda p: p["bearing"]["load_N"],
    "bearing: life": lambda p: p["bearing"]["life_h"],
    "bearing: grease life": lambda p: p["bearing"]["grease_life_h"],
}
OF_BOLT = {"torque": lambda b: b["torque_N_m"], "preload": lambda b: b["preload_N"] / 1000, "pull, worst": lambda b: b["pull_N"],
           "joint friction used": lambda b: b["slip_used"], "stress, greatest": lambda b: b["stress_MPa"], "shear, worst": lambda b: b["shear_N"]}


def facts_of_one():
    """What is compared of a pulley and of a bolt is what `snub mount` has of it, in the same units: a tube, duty and torques differ."""
    def drive(p):
        pump = {"pump.standoff": tube(30 * p), "pump.bearing": {"type": "6203"}, "bearings": [BEARING],
                "duty": [[2000, 0.5 * p], [5000, 1 - 0.5 * p]]}
        return mounted(bolt("a", -20, 290, torque=14 * p), bolt("b", 40 * p, 310, torque=11 * p), bolt("c", 0, 330, torque=12 * p),
                       face=-30, bracket={"thickness": 20}, base=vary(PAIR, pump))(1)
    files = [drive(1), drive(1.2)]
    told, mounts = compared(files), [asked("mount", file) for file in files]
    for side, mount in enumerate(mounts):
        pump = next(p for p in mount["pulleys"] if p["name"] == "pump")
        for what, of in OF_PULLEY.items():
            same(f"compared: {what}", told.get(("pump", what), (None, None))[side], of(pump), files[side])
        for one in mount["mounts"][0]["bolts"]:
            for what, of in OF_BOLT.items():
                same(f"compared: {what} of {one['name']}", told.get((f"plate, {one['name']}", what), (None, None))[side], of(one),
                     files[side])


def repairs(cases):
    """A repair stands at the line of its pulley, though the key that it names may not be there yet. Two pulleys that overlap, the last of
    the list and the first, are told of once."""
    for case in cases:
        if WORDINGS[case.wording]["rule"] != "repair" or case.subject.get("other", "").startswith("belt."):
            continue
        file = case.drive(case.fires)
        told = found(judge(file), case.wording, **case.subject)
        name = case.subject.get("pulley") or case.subject["other"].split(".")[0]
        want = next(k for k, line in enumerate(file.split("\n"), 1) if f"name: {name}," in line)
        expect(f"{case.wording}: line", told["line"] == want, told["line"], want, file)
    three = text(FIXED, {"pulleys": [FIXED["pulleys"][0], {"name": "fan", "at": [0, 350], "diameter": 110},
                                     {"name": "pump", "at": [90, -20], "diameter": 70, "load": [[500, 2], [20000, 2]]}]})
    slotted = vary(LOCKED, {"idler.slot": {"from": [-10, 20], "to": [10, 20]}})
    slotted = text({**slotted, "pulleys": slotted["pulleys"][1:] + slotted["pulleys"][:1]})
    for file, pair_of in ((three, ["crank", "pump"]), (slotted, ["crank", "idler"])):
        pairs = [sorted((f["pulley"], f["other"])) for f in judge(file)["findings"] if f["pulley"] and f["other"]]
        expect("an overlap is told once", pairs.count(pair_of) == 1, *judge(file)["findings"], file)


# ---- sheets ------------------------------------------------------------------------------------------------------------

def printed(kind, file):
    """Words of a sheet, lines and hard blanks undone, without the inches that follow."""
    with tempfile.TemporaryDirectory() as work:
        path = os.path.join(work, "sheet.pdf")
        with open(os.path.join(work, "drive.yaml"), "w", encoding="utf-8") as out:
            out.write(file)
        subprocess.run([SNUB, "sheet", out.name, "--kind", kind, "-o", path], capture_output=True)
        words = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, text=True).stdout
    return re.sub(r" \(-?[\d.]+ (in|lbf ft|lbf|psi|degF)\)", "", " ".join(words.replace("\u00a0", " ").replace("\u2212", "-").split()))


def on_sheets(cases):
    """The fitting sheet has every hardware finding, the report every third, as all go the same way to it: DO NOT FIT with what fails; what is to watch stands on page 1
    and at no step, where a designer's advice would speak against the torque that is printed there."""
    seen = set()
    for case in cases:
        info = WORDINGS[case.wording]
        if info["area"] != "hardware" or case.wording in seen or info["level"] == "note":
            continue
        file = case.drive(case.fires)
        data = judge(file, *case.arguments)
        told = found(data, case.wording, **case.subject)
        if told is None or case.arguments or data["verdict"] != info["level"]:
            continue
        seen.add(case.wording)
        text = " ".join(told["text"].split())
        for kind in ("fitting", "report") if EVERYTHING or len(seen) % 3 == 1 else ("fitting",):
            sheet = printed(kind, file)
            expect(f"{case.wording} is on the {kind} sheet", text in sheet, text, sheet[:900])
            expect(f"{kind} sheet of a build that fails", ("DO NOT FIT" in sheet) == (data["verdict"] == "fail"), sheet[:300])
            expect(f"{case.wording} is said once on the {kind} sheet", kind != "fitting" or sheet.count(text) == 1, sheet.count(text))
    lacking = {name for name, info in WORDINGS.items() if info["area"] == "hardware" and info["level"] == "fail"} - seen
    expect("every hardware wording that fails was looked for on a sheet", not lacking, lacking)


def run(cases):
    files = {case.drive(case.fires) for case in cases if WORDINGS[case.wording]["area"] == "hardware"}
    for k, file in enumerate(sorted(files)):
        # every third, and each with shims, which are looked at one by one
        if not (EVERYTHING or k % 3 == 0 or "\nshims:" in file):
            continue
        mount = asked("mount", file)
        if mount is not None and mount["hardware_given"]:
            columns(file, mount)
            shims_put_in(file, mount)
            without_shims_on_hand(file, mount)
            shims_verdict(file, mount)
    advice.run(cases)
    for check in LOAD_CHECKS:
        check()
    packs_that_stay()
    on_one_bracket()
    tightest_gap()
    slip_onset()
    shear_of_bolts()
    facts()
    facts_of_one()
    repairs(cases)
    on_sheets(cases)
