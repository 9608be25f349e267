"""RSS and worst case of snub tolerate: the gap of two pulleys in closed form (a published stack too), kits at the ends against
snub check, values that move as one, a stop, numbers that are missing.

Usage: worst_case.py SNUB. The last line is `N passed, N failed`."""
import dataclasses
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

import two_pulley_scatter as two
from tally import check, end
from two_pulley_scatter import near

TOP = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
THREE = TOP / "examples/three-pulleys-scatter.yaml"
TIGHT = ["--set", "belt.length=990", "--set", "tensioner.arm.work=[10, 16]", "--set", "tensioner.arm.travel=17"]
# standard deviation of a normal value cut at three of its own
CUT = math.sqrt(1 - 6 * math.exp(-4.5) / math.sqrt(2 * math.pi) / math.erf(3 / math.sqrt(2)))
DOOR = {"worst_grip": lambda a: a["worst_grip_used"], "tightest_gap_mm": lambda a: a["tightest_gap_mm"],
        "arm_wind_stopped_deg": lambda a: a["arm"] and a["arm"]["wind_at_rest_deg"], "arm_wind_redline_deg": lambda a: a["arm"] and a["arm"]["wind_deg"],
        "boost_kPa": lambda a: a["blower"] and a["blower"]["boost_kPa"]}


def run(path, command, *more):
    done = subprocess.run([sys.argv[1], command, path, *map(str, more)], capture_output=True, text=True, timeout=120)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} {more}: {done.stderr}")
    return done.stdout


def study(text, *more, kits=200):
    with tempfile.TemporaryDirectory() as work:
        path = pathlib.Path(work) / "two.yaml"
        path.write_text(text)
        return json.loads(run(path, "tolerate", "--kits", kits, "--json", *more))


def number(answer, key):
    return next(n for n in answer["worst_case"]["numbers"] if n["number"] == key)


def range_is(name, got, low, high, tolerance=1e-7):
    near(f"{name}, low", got["low"], low, tolerance)
    near(f"{name}, high", got["high"], high, tolerance)


def worst_is(name, got, low, high, tolerance=1e-7):
    near(f"{name}: lowest kit", got["lowest"]["value"], low, tolerance)
    near(f"{name}: highest kit", got["highest"]["value"], high, tolerance)


# ---- closed form: the gap between two rims is C - (d1 + d2)/2 -----------------------------------------------------------------

SHORT = two.Drive(ends=(0.5, 0.1, 0.2, 0.6))  # a belt that stays taut at every end


def gap():
    answer = study(two.text_of(SHORT), kits=2048)
    got, parts = number(answer, "tightest_gap_mm"), (0.5, 0.05, 0.1)
    worst, rss = sum(parts), CUT * math.hypot(*parts)
    range_is("gap, linear", got["linear"], 180 - worst, 180 + worst)
    range_is("gap, RSS", got["rss"], 180 - rss, 180 + rss)
    worst_is("gap", got, 180 - worst, 180 + worst)
    check("gap: the belt has no part in it", got["lowest"]["set"]["belt.length"] == "975.5", got["lowest"])
    near("RSS is three standard deviations of the kits", rss, 3 * answer["numbers"]["tightest_gap_mm"]["standard_deviation"], 0.005)
    by = {p["path"]: (p["at_low"], p["at_high"]) for p in got["parts"]}
    for path, low, high in (("pump.at.1", 179.5, 180.5), ("crank.diameter", 180.05, 179.95), ("pump.diameter", 180.1, 179.9), ("belt.length", 180, 180)):
        near(f"{path} at its low end", by[path][0], low, 1e-7)
        near(f"{path} at its high end", by[path][1], high, 1e-7)
    check("two kits for each value, two for each number", answer["worst_case"]["kits"] == 2 * 4 + 2 * 2, answer["worst_case"]["kits"])
    check("ends are those of the tolerances", {e["from"] for e in answer["worst_case"]["ends"]} == {"tolerance"}, answer["worst_case"]["ends"])


def published_stack():
    """Shigley's Mechanical Engineering Design, 9th ed., Example 1-3: w = a - b - c - d, tolerances 0.003, 0.001, 0.005, 0.001,
    worst case 0.010; derived: RSS 0.006. Here as the gap: centre, half of two diameters, the crank's centre."""
    text = two.text_of(SHORT)
    for written in (" +- 0.5", " +- 0.1", " +- 0.2", " +- 0.6"):
        text = text.replace(written, "")
    text += ("tolerances:\n  - {of: pump.at.1, sigma: 0.001 mm}\n  - {of: pump.diameter, sigma: 0.00066666666666666667 mm}\n"
             "  - {of: crank.diameter, sigma: 0.0033333333333333333 mm}\n  - {of: crank.at.1, sigma: 0.00033333333333333333 mm}\n"
             "  - {of: belt.length, fixed: true}\n")
    answer = study(text)
    got = number(answer, "tightest_gap_mm")
    range_is("shouldered screw, worst case", got["linear"], 180 - 0.010, 180 + 0.010, 1e-8)
    range_is("shouldered screw, RSS", got["rss"], 180 - 0.006, 180 + 0.006, 1e-8)
    worst_is("shouldered screw", got, 180 - 0.010, 180 + 0.010, 1e-8)
    check("no ends: three sigma, and that is said", {e["from"] for e in answer["worst_case"]["ends"]} == {"three sigma"}, answer["worst_case"]["ends"])


def uneven():
    """+0.2 -0.6 has its middle at -0.2, and so do mean and RSS; what is measured ends at its least and greatest."""
    text = two.text_of(SHORT).replace("300.0 +- 0.5", "300.0 +0.2 -0.6").replace(" +- 0.2", "")
    answer = study(text + "tolerances: [{of: pump.diameter, sample: [119.9, 120.0, 120.3]}]\n")
    got = number(answer, "tightest_gap_mm")
    range_is("uneven, linear", got["linear"], 180 - 0.6 - 0.05 - 0.15, 180 + 0.2 + 0.05 + 0.05)
    worst_is("uneven", got, 180 - 0.6 - 0.05 - 0.15, 180 + 0.2 + 0.05 + 0.05)
    middle = 180 - 0.2 - (0.2 / 3) / 2  # of the sample its mean
    near("uneven: middle of the RSS", 0.5 * (got["rss"]["low"] + got["rss"]["high"]), middle, 1e-7)
    check("measured ends", {e["path"]: e["from"] for e in answer["worst_case"]["ends"]}["pump.diameter"] == "measured", answer["worst_case"]["ends"])


def together():
    """Both centres in one group: with 1 the gap does not see them, with -1 twice, with 0.8 the root of the sum says how much."""
    rest, own = 0.05 + 0.1, 0.2
    for r in (1, -1, 0.8):
        text = two.text_of(SHORT).replace("300.0 +- 0.5", "300.0")
        one, other = (f"  - {{of: {path}, plus_minus: {own}, group: casting, correlation: {c}}}\n" for path, c in (("pump.at.1", abs(r)), ("crank.at.1", r)))
        got = number(study(text + "tolerances:\n" + one + other), "tightest_gap_mm")
        worst = rest + (0 if r == 1 else 2 * own)
        range_is(f"group, {r}: linear", got["linear"], 180 - worst, 180 + worst)
        worst_is(f"group, {r}", got, 180 - worst, 180 + worst)
        common, alone = own * (abs(r) - r), own * math.sqrt(1 - r * r)
        rss = CUT * math.hypot(0.05, 0.1, common, alone, alone)
        range_is(f"group, {r}: RSS", got["rss"], 180 - rss, 180 + rss)
        if r == 1:
            ends = got["lowest"]["set"]
            near("group, 1: they stay together", float(ends["pump.at.1"]) - 300, float(ends["crank.at.1"]), 1e-9)


# ---- verdict of the kit at the ends, by its tension ---------------------------------------------------------------------------

def corner():
    """No value fails the kit alone, but all of the gap's together do: slack at the redline."""
    drive = dataclasses.replace(SHORT, ends=(0.5, 1.0, 1.0, 0.05))
    taut = two.length_for(drive, two.momentum(drive, 120.0), 300.0, 120.0, 120.0)
    for off, fails in ((-2.5, False), (-1.85, True)):  # the belt is so much shorter than the longest that is taut
        here = dataclasses.replace(drive, length=float(taut) + off, rib_most=1000.0)
        answer = study(two.text_of(here))
        corners = {"lowest": (299.5, 121, 121), "highest": (300.5, 119, 119)}
        for side, kit in corners.items():
            slack = bool(two.tension(here, *kit, here.length) <= two.momentum(here, kit[1]))
            got = number(answer, "tightest_gap_mm")[side]
            check(f"{off}, {side}: the case is the one that is meant", slack == (fails and side == "highest"), (here, kit))
            check(f"{off}, {side}: verdict by the tension of the kit", (got["verdict"] == "fail") == slack and ("no_equilibrium" in got["rules"]) == slack,
                  (got, slack))
        alone = [e for e in answer["worst_case"]["ends"] if "fail" in (e["verdict_at_low"], e["verdict_at_high"])]
        want = []
        for path, values in (("pump.at.1", ((299.5, 120, 120), (300.5, 120, 120))), ("crank.diameter", ((300, 119, 120), (300, 121, 120))),
                             ("pump.diameter", ((300, 120, 119), (300, 120, 121)))):
            if any(two.tension(here, *v, here.length) <= two.momentum(here, v[1]) for v in values):
                want.append(path)
        check(f"{off}: no value fails the kit alone", not alone and not want, (alone, want))


def missing():
    """The long end of the belt has no tension: there is no number, and none is made up."""
    answer = study(two.text_of(two.Drive()))
    for got in answer["worst_case"]["numbers"]:
        check(f"{got['number']}: not known", not got["known"] and got["rss"] is None and got["linear"] is None and got["lowest"] is None, got)
    belt = next(e for e in answer["worst_case"]["ends"] if e["path"] == "belt.length")
    check("the long belt fails", (belt["verdict_at_low"], belt["verdict_at_high"]) == ("marginal", "fail"), belt)
    with tempfile.TemporaryDirectory() as work:
        path = pathlib.Path(work) / "two.yaml"
        path.write_text(two.text_of(two.Drive()))
        text = run(path, "tolerate", "--kits", 1000)
    check("in words", text.count("not known          not known\n") == 2 and "the rest nominal, this fails the kit: belt.length capability" in " ".join(text.split()), text)
    with tempfile.TemporaryDirectory() as work:  # its work range does not fit into the travel at the low end
        path = pathlib.Path(work) / "travel.yaml"
        path.write_text(THREE.read_text().replace("travel: 32", "travel: 21.5 +- 1"))
        worst = json.loads(run(path, "tolerate", "--kits", 2, "--seed", 3, "--json"))["worst_case"]
    travel = next(e for e in worst["ends"] if e["path"] == "tensioner.arm.travel")
    check("an end that does not go with the rest", travel["verdict_at_low"] == "fail" and not any(n["known"] for n in worst["numbers"]), travel)
    parts = {p["path"]: p for p in worst["numbers"][0]["parts"]}
    check("and what is known beside it", parts["tensioner.arm.travel"]["at_low"] is None and parts["crank.diameter"]["at_low"] is not None, parts)


# ---- the other door -----------------------------------------------------------------------------------------------------------

def sets(values):
    return [word for path, text in values.items() for word in ("--set", f"{path}={text}")]


def checked(path, values, *more):
    return json.loads(run(path, "check", *more, *sets(values), "--json"))


def same_in_check(name, path, *more, study_with=()):
    answer = json.loads(run(path, "tolerate", "--kits", 16, "--json", *more, *study_with))
    nominal, n = answer["nominal"]["set"], len(answer["tolerances"])
    known = [got for got in answer["worst_case"]["numbers"] if got["known"]]
    check(f"{name}: kits", answer["worst_case"]["kits"] == 2 * n + 2 * len(known) and known, (answer["worst_case"]["kits"], n, len(known)))
    for got in known:
        door = DOOR.get(got["number"])
        if door is None:
            continue
        for i, e in list(enumerate(answer["worst_case"]["ends"]))[:4]:
            for side in ("low", "high"):
                want = door(checked(path, {**nominal, e["path"]: repr(e[side])}, *more))
                have = got["parts"][i][f"at_{side}"]
                check(f"{name}: {got['number']} with {e['path']} at its {side} end", want is not None and abs(have - want) < 1e-6, (have, want))
        for side in ("lowest", "highest"):
            kit = got[side]
            want = checked(path, kit["set"], *more)
            fails = sorted({f["rule"] for f in want["findings"] if f["level"] == "fail"})
            check(f"{name}: {got['number']}, {side}: check says the same", kit["verdict"] == want["verdict"] and sorted(kit["rules"]) == fails
                  and door(want) is not None and abs(kit["value"] - door(want)) < 1e-6, (kit, want["verdict"], fails, door(want)))
        half = [p["at_high"] - p["at_low"] for p in got["parts"]]
        at = {e["path"]: e for e in answer["worst_case"]["ends"]}
        for p, d in zip(got["parts"], half):
            ends = at[p["path"]]
            near_low = abs(float(got["lowest"]["set"][p["path"]]) - ends["low" if d > 0 else "high"])
            if abs(d) > 1e-12 and not answer["tolerances"][got["parts"].index(p)]["group"]:
                check(f"{name}: {got['number']}: {p['path']} at the end of its slope", near_low < 1e-9, (got["lowest"]["set"], ends))


def doors(work):
    inches = work / "inches.yaml"
    inches.write_text(THREE.read_text() + "units: us\n")
    same_in_check("three pulleys", THREE)
    same_in_check("a stop", THREE, *TIGHT)
    same_in_check("inches", inches)
    for name in ("sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8"):
        same_in_check(name, TOP / f"examples/{name}.yaml")


def beside_the_kits(work):
    """Where nothing bends, RSS is about the middle 99.7 % of the kits and no kit lies beyond the worst case; at a stop of the arm
    slopes miss it, and the kits at the ends do not."""
    three = json.loads(run(THREE, "tolerate", "--kits", 2000, "--json"))
    for key in ("worst_grip", "arm_wind_stopped_deg", "arm_wind_redline_deg"):
        got, kits = number(three, key), three["numbers"][key]
        near(f"{key}: RSS beside the kits", got["rss"]["high"] - got["rss"]["low"], 6 * kits["standard_deviation"], 0.02 * 6 * kits["standard_deviation"])
        check(f"{key}: no kit beyond the worst case", got["lowest"]["value"] <= kits["least"] and kits["greatest"] <= got["highest"]["value"], (got["lowest"], kits))
        near(f"{key}: linear beside judged", got["linear"]["high"], got["highest"]["value"], 0.05 * (got["linear"]["high"] - got["linear"]["low"]))
    stop = json.loads(run(THREE, "tolerate", "--kits", 16, "--json", *TIGHT))
    got = number(stop, "arm_wind_stopped_deg")
    near("at the stop: the kit at the ends", got["highest"]["value"], 17.0, 1e-6)
    check("at the stop: the slopes miss it", got["linear"]["high"] > 17.5 and "arm_travel" in got["highest"]["rules"], got)
    text = run(THREE, "tolerate", "--kits", 1000, *TIGHT)
    rows = {line[:25].strip(): line[25:].split() for line in text.split("worst case\n")[1].splitlines()[:4]}
    whole = json.loads(run(THREE, "tolerate", "--kits", 1000, "--json", *TIGHT))
    for got in whole["worst_case"]["numbers"]:
        title = {"worst_grip": "worst grip", "arm_wind_stopped_deg": "arm, engine stopped, deg", "arm_wind_redline_deg": "arm at redline, deg",
                 "tightest_gap_mm": "tightest gap, mm"}[got["number"]]
        quantiles = next(d for d in whole["distributions"] if d["number"] == got["number"])["quantiles"]
        digits = 3 if got["number"] == "worst_grip" else 2
        want = [got["nominal"], quantiles[0]["value"], quantiles[-1]["value"], got["rss"]["low"], got["rss"]["high"], got["lowest"]["value"], got["highest"]["value"]]
        check(f"{title}: text is the JSON", [w for w in rows.get(title, []) if w != "to"] == [f"{w:.{digits}f}" for w in want], (rows, want))
    fails = sum(kit["verdict"] == "fail" for got in whole["worst_case"]["numbers"] for kit in (got["lowest"], got["highest"]))
    check("how many of them fail, in words", fails > 0 and f"Of the 8 worst-case kits {fails} fail, by:" in text, text)
    inches = work / "inches.yaml"
    us = run(inches, "tolerate", "--kits", 1000)
    row = next(line for line in us.split("worst case\n")[1].splitlines() if line.startswith("tightest gap, in"))
    want = number(three, "tightest_gap_mm")
    have = [float(w) for w in row[25:].split() if w != "to"]
    near("inches in the table", have[-1] * 25.4, want["highest"]["value"], 0.02)


def main():
    gap()
    published_stack()
    uneven()
    together()
    corner()
    missing()
    with tempfile.TemporaryDirectory() as work:
        doors(pathlib.Path(work))
        beside_the_kits(pathlib.Path(work))
    end()


if __name__ == "__main__":
    main()
