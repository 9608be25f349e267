"""Random drives, each broken on purpose in every way that a hand breaks one: does `snub check` name the repair?

Usage: repairs.py SNUB [COUNT]. A drive that is right must name nothing. Of each way of breaking, the change that takes
it back must be among those named in at least 95 of 100 drives that do not run any more. The last line is `N passed, N failed`.
"""
import json
import os
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

import yaml

import random_drives

COUNT = 200
LEAST = 0.95
MOST_NAMED = 4
# A failing finding of one of these says that the belt does not run, or that things run into each other.
LAYOUT = {"overlap", "no_belt", "lost_belt", "no_equilibrium", "arm_travel", "lock", "gap"}


def findings_of(snub, text):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml", delete=False) as out:
        out.write(text)
    try:
        got = subprocess.run([snub, "check", "--json", out.name], capture_output=True, text=True, timeout=120)
        return json.loads(got.stdout)["findings"] if got.returncode in (0, 1) else None
    finally:
        os.unlink(out.name)


def runs(findings):
    """The nominal belt does: what fails for a belt at an end of its tolerance alone is a matter of its length."""
    return not any(f["level"] == "fail" and f["rule"] in LAYOUT and f["belt"] in (None, "nominal belt") for f in findings)


def named(findings):
    return [f for f in findings if f["rule"] in ("repair", "overlap")]


# ---- ways of breaking; each gives (drive, the finding that takes it back) ---------------------------------------------------

def wrong_side(rng, drive):
    p = rng.choice([p for p in drive["pulleys"] if p.get("role") != "crank"])
    if p.get("side") == "back":
        del p["side"]
    else:
        p["side"] = "back"
        if isinstance(p["diameter"], dict):
            p["diameter"] = p["diameter"]["value"]
    key = p["name"] + ".side"
    return lambda f: f["rule"] == "repair" and key in f["text"]


def swapped(rng, drive):
    all_pulleys = drive["pulleys"]
    n = len(all_pulleys)
    if n < 4:
        return None
    i = rng.randrange(n)
    j = (i + 1) % n
    all_pulleys[i], all_pulleys[j] = all_pulleys[j], all_pulleys[i]
    pair = {all_pulleys[i]["name"], all_pulleys[j]["name"]}
    return lambda f: f["rule"] == "repair" and {f.get("pulley"), f.get("other")} == pair


def reversed_order(rng, drive):
    drive["pulleys"].reverse()
    return lambda f: f["rule"] == "repair" and ".rotation" in f["text"]


def arm_other_way(rng, drive):
    p = next((p for p in drive["pulleys"] if "arm" in p), None)
    if p is None:
        return None
    p["arm"]["loads"] = "cw" if p["arm"]["loads"] == "ccw" else "ccw"
    key = p["name"] + ".arm.loads"
    return lambda f: f["rule"] == "repair" and key in f["text"]


def length_spots(drive):
    """(holder, key, name) of every bare length that a file may give in inches by mistake and still be read."""
    for p in drive["pulleys"]:
        for holder, path in ((p, ""), (p.get("arm", {}), "arm."), (p.get("slot", {}), "slot.")):
            for key, value in holder.items():
                if isinstance(value, list) and len(value) == 2 and key in ("at", "pivot", "from", "to", "centre"):
                    for k, axis in enumerate("xy"):
                        yield value, k, f"{p['name']}.{path}{key} {axis}"
        if isinstance(p["diameter"], float) and p["diameter"] > 8 * 25.4:
            yield p, "diameter", p["name"] + ".diameter"
        if "arm" in p and isinstance(p["arm"]["length"], float) and p["arm"]["length"] > 5 * 25.4:
            yield p["arm"], "length", p["name"] + ".arm.length"


def without_unit(rng, drive):
    spots = [s for s in length_spots(drive) if abs(s[0][s[1]]) > 40]
    if not spots:
        return None
    holder, key, name = rng.choice(spots)
    holder[key] /= 25.4
    return lambda f: f["rule"] == "repair" and name in f["text"]


def inches_for_mm(rng, drive):
    spots = [s for s in length_spots(drive) if 40 < abs(s[0][s[1]]) < 5000 / 25.4]
    if not spots:
        return None
    holder, key, name = rng.choice(spots)
    holder[key] = f"{holder[key]!r} in"
    if isinstance(key, int):  # a point with a unit on one number alone is refused
        holder[1 - key] = f"{holder[1 - key]!r} mm"
    return lambda f: f["rule"] == "repair" and name in f["text"]


def slot_in_crank(rng, drive):
    p = next((p for p in drive["pulleys"] if "slot" in p and "radius" not in p["slot"]), None)
    crank = next(p for p in drive["pulleys"] if p.get("role") == "crank")
    if p is None:
        return None
    x, y = crank["at"]
    p["slot"]["from"], p["slot"]["to"] = random_drives.Flow([x - 10, y]), random_drives.Flow([x + 10, y])
    p["slot"]["setting"] = 5
    if "fixed_tension" in p:
        del p["slot"]["setting"]
    pair = {p["name"], "crank"}
    return lambda f: f["rule"] == "overlap" and {f.get("pulley"), f.get("other")} == pair


WAYS = (wrong_side, swapped, reversed_order, arm_other_way, without_unit, inches_for_mm, slot_in_crank)


class Tally:
    def __init__(self):
        self.right, self.accused, self.most = 0, [], 0
        self.broken, self.found, self.still, self.refused = {}, {}, {}, {}
        self.missed = []


def try_one(snub, seed):
    rng = random.Random(seed)
    kind = ("inside", "serpentine", "deep", "serpentine", "deep")[seed % 5]
    holds = ("arm", "arm", "arm", "lock", "arm", "fixed", "arm")[seed % 7]
    text = random_drives.drive(rng, kind, holds)
    if holds == "arm" and seed % 3 == 0:  # nor is a belt given that would tell the right loop from another
        drive = yaml.safe_load(text)
        length = drive["belt"].pop("length")
        drive["belt"]["stock"] = {"from": length - 30, "to": length + 30, "step": 6}
        text = random_drives.text_of(drive)
    base = findings_of(snub, text)
    result = {"seed": seed, "right": runs(base), "accused": named(base), "text": text, "ways": {}}
    if not result["right"]:
        return result
    for way in WAYS:
        drive = yaml.safe_load(text)
        back = way(rng, drive)
        if back is None:
            continue
        broken = random_drives.text_of(drive)
        findings = findings_of(snub, broken)
        result["ways"][way.__name__] = (findings, findings is not None and any(back(f) for f in findings), broken)
    return result


def main():
    snub, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else COUNT
    tally, seed = Tally(), 0
    with ThreadPoolExecutor(2) as pool:
        while tally.right < count:
            batch = list(pool.map(lambda s: try_one(snub, s), range(seed, seed + 40)))
            seed += 40
            for one in batch[:]:
                if tally.right == count or not one["right"]:
                    continue
                tally.right += 1
                if one["accused"]:
                    tally.accused.append(one["seed"])
                for way, (findings, found, broken) in one["ways"].items():
                    where = (tally.refused if findings is None else tally.still if runs(findings) else tally.broken)
                    where[way] = where.get(way, 0) + 1
                    if where is not tally.broken:
                        continue
                    tally.found[way] = tally.found.get(way, 0) + found
                    tally.most = max(tally.most, sum(f["rule"] == "repair" for f in findings))
                    if not found:
                        tally.missed.append((way, one["seed"], broken, findings))
    keep = os.environ.get("SNUB_REPAIRS_KEEP")
    for way, seed, broken, findings in tally.missed if keep else ():
        with open(os.path.join(keep, f"{way}-{seed}.yaml"), "w") as out:
            out.write("# " + json.dumps([(f["rule"], f["text"]) for f in findings]) + "\n" + broken)
    report(tally)


def report(tally):
    passed = failed = 0
    print(f"{tally.right} drives that are right; accused: {len(tally.accused)} {tally.accused[:5]}")
    good = not tally.accused and tally.most <= MOST_NAMED
    passed, failed = passed + good, failed + (not good)
    for way in WAYS:
        name = way.__name__
        broken, found = tally.broken.get(name, 0), tally.found.get(name, 0)
        share = found / broken if broken else 0
        good = broken >= 20 and share >= LEAST
        passed, failed = passed + good, failed + (not good)
        print(f"{'ok ' if good else 'BAD'} {name:16} broken {broken:4}, repair named {found:4} ({share:.3f}, least {LEAST}); "
              f"runs all the same {tally.still.get(name, 0)}, refused by the reader {tally.refused.get(name, 0)}")
    print(f"{passed} passed, {failed} failed")
    sys.exit(failed > 0)


main()
