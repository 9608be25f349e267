"""Random engine fronts whose belt and settings are to be decided: drive files as text. The same seed gives the same ones."""
import os
import random
import sys

import yaml

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "reference"))
import random_drives  # noqa: E402

BEARING = {"designation": "made up", "bore": 17, "outside": 40, "width": 12, "dynamic": 9000, "static": 4700, "f0": 13,
           "seal": "contact", "max_speed": 13000}


def belts_of(rng, belt, made):
    """What the file says of the length: written, a stock, both, or nothing."""
    del belt["length"]
    way = rng.choice(("written", "stock", "stock", "both", "open"))
    step = rng.choice((1, 2.5, 5, 10, 12.7))
    if way in ("written", "both"):
        belt["length"] = round(made, rng.choice((0, 1, 3))) if rng.random() < 0.7 else f"{made / 25.4!r} in"
    if way in ("stock", "both"):
        low = made - step * rng.randint(2, 12)
        belt["stock"] = {"from": round(low), "to": round(low) + step * rng.randint(6, 30), "step": step}
    if rng.random() < 0.4:
        belt["worn"] = max(rng.choice((0.002, 0.004)), belt.get("stretch", 0))


def options_of(rng, drive, ribbed):
    """Pulley sizes and rib counts on offer."""
    options = {}
    if ribbed and rng.random() < 0.7:
        pulley = rng.choice(ribbed)
        size = pulley["diameter"]
        plain = size["value"] if isinstance(size, dict) else size
        if isinstance(plain, (int, float)):
            options[pulley["name"] + ".diameter"] = [round(plain * share, 1) for share in sorted(rng.sample((0.94, 0.97, 1, 1.04), 2))]
    if rng.random() < 0.4 and "mass" not in drive["belt"]:
        options["belt.ribs"] = [drive["belt"]["ribs"], drive["belt"]["ribs"] + 2]
    return options


def air_of(rng, drive, ribbed):
    """An engine that breathes, and a blower on one of the ribbed pulleys."""
    pulley = rng.choice(ribbed)
    pulley.pop("load", None)
    drive["engine"].update(displacement=f"{rng.uniform(1.6, 5):.2f} L", cylinders=rng.choice((4, 6, 8)),
                           fill=[[800, 0.75], [3000, 0.9], [6000, 0.8]])
    swept = rng.uniform(0.15, 0.4) * float(drive["engine"]["displacement"].split()[0])
    pulley["blower"] = {"kind": rng.choice(("roots", "twin-screw")), "swept": f"{swept:.3f} L", "leakage_speed": 600}
    if pulley["blower"]["kind"] == "twin-screw":
        pulley["blower"]["internal_ratio"] = 1.3
    if rng.random() < 0.5:
        drive["air"] = {"altitude": f"{rng.randint(0, 2500)} m", "temperature": rng.randint(-5, 40)}
    if rng.random() < 0.5:
        drive["cooler"] = {"effectiveness": 0.7, "pressure_drop": 5, "flow": 0.2}


def front(rng, i):
    holds = ("arm", "arm", "lock", "arm", "fixed", "arm")[i % 6]
    kind = ("inside", "serpentine", "deep")[i % 3]
    wrong = rng.choice(("long", "wide", "short")) if holds == "arm" and rng.random() < 0.25 else None
    drive = yaml.safe_load(random_drives.drive(rng, kind, holds, wrong))
    drive["title"] = f"front {i}: {drive['title']}"
    belt, pulleys = drive["belt"], drive["pulleys"]
    made = belt["length"]
    if holds == "lock":
        belt["tolerance"] = rng.choice((0, 0.5, 2))
    belts_of(rng, belt, made)
    for pulley in pulleys:
        if "slot" in pulley and ("fixed_tension" in pulley or rng.random() < 0.7):
            pulley["slot"].pop("setting", None)
    ribbed = [p for p in pulleys if p.get("role") != "crank" and p.get("side") != "back" and "arm" not in p and "fixed_tension" not in p]
    if rng.random() < 0.85:
        drive["engine"] = {"idle": rng.randint(600, 900), "redline": rng.randint(4500, 7500)}
        if rng.random() < 0.8:
            drive["engine"].update(accel_rate=rng.randint(500, 3000), decel_rate=rng.randint(2000, 12000))
        if ribbed and rng.random() < 0.45:
            air_of(rng, drive, ribbed)
    fixed = [p for p in pulleys if p.get("role") != "crank" and "at" in p]
    if fixed and rng.random() < 0.35:
        drive["bearings"] = [dict(BEARING)]
        rng.choice(fixed)["bearing"] = {"type": "made up"}
    options = options_of(rng, drive, ribbed) if rng.random() < 0.6 else {}
    if options:
        drive["options"] = options
    if fixed and rng.random() < 0.4:
        moved = rng.choice(fixed)
        drive["variants"] = {"other front": {moved["name"] + ".at": random_drives.Flow(
            [round(c + rng.uniform(-6, 6), 3) for c in moved["at"]])}}
    strains_of(random.Random(1000 + i), drive)  # numbers of its own: the fronts stay as they were
    if rng.random() < 0.3:
        drive["limits"] = {"rib_tension": rng.choice((150, 300, 500)), "wrap_blower": 90}
    packages_of(random.Random(2000 + i), drive, ribbed)
    return random_drives.text_of(drive)


def packages_of(rng, drive, ribbed):
    """Two packages: one as the file is, one with a pulley moved or made larger; it may exclude a value or a front."""
    options = drive.get("options", {})
    movable = [p for p in ribbed if "at" in p]
    if not movable or rng.random() < 0.65 or len(drive.get("variants", {})) * len(options) > 1:
        return
    moved = rng.choice(movable)
    changes = {moved["name"]: {"at": random_drives.Flow([round(c + rng.uniform(-3, 3), 3) for c in moved["at"]])}, "belt.be": 1.3}
    if moved["name"] in drive.get("variants", {}).get("other front", {}):
        return
    other = {"about": "a pulley moved", "changes": changes}
    excludes = [{path: values[-1], "reason": "Not wanted."} for path, values in list(options.items())[:1]]
    if excludes and "variants" in drive and rng.random() < 0.5:
        excludes[0]["variant"] = "other front"
    if excludes:
        other["excludes"] = excludes
    drive["packages"] = {"plain": {"about": "as the file is"}, "moved": other}


def strains_of(rng, drive):
    """Blips, clutches, torque peaks, and what makers allow at hubs and the crank nose."""
    if "engine" in drive and rng.random() < 0.4:
        drive["engine"]["blips"] = rng.randint(4000, 14000)
    for pulley in drive["pulleys"]:
        if rng.random() < 0.2:
            pulley["max_hub"] = rng.randint(500, 3000)
        if pulley.get("role") == "crank":
            if rng.random() < 0.2:
                pulley["max_torque"] = rng.randint(20, 200)
            continue
        if rng.random() < 0.15:
            pulley["overruns"] = True
        if ("load" in pulley or "blower" in pulley) and rng.random() < 0.3:
            pulley["peak"] = round(rng.uniform(1, 3), 2)


def all_fronts(count, seed=int(os.environ.get("SNUB_SEED", "20261127"))):
    rng = random.Random(seed)
    for i in range(count):
        yield front(rng, i)
