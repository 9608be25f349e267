#!/usr/bin/env python3
"""Distributions of snub tolerate: `distributions` of the JSON against the kits of --csv, worked through again here.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import csv
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
SCATTER = TOP / "examples/three-pulleys-scatter.yaml"
HEADS = {"worst_grip": "worst grip", "blower_grip": "grip of the blower", "arm_wind_stopped_deg": "arm, engine stopped",
         "arm_wind_redline_deg": "arm at redline", "tightest_gap_mm": "tightest gap", "boost_kPa": "boost at redline"}
CHANCES = [0.1, 1, 5, 25, 50, 75, 95, 99, 99.9]


def study(work, path, *words):
    kits = pathlib.Path(work) / "kits.csv"
    kits.unlink(missing_ok=True)
    done = subprocess.run([SNUB, "tolerate", path, *words, "--csv", kits, "--json"], capture_output=True, text=True, timeout=200)
    if not kits.exists():
        raise SystemExit(f"no kits: {path} {done.stderr}")
    with open(kits, newline="", encoding="utf-8") as file:
        return json.loads(done.stdout), list(csv.DictReader(file))


def quantile(values, percent):
    """Straight between kits, kit i of n at (i - 1/2)/n."""
    at = percent / 100 * len(values) - 0.5
    i = math.floor(at)
    return values[i] + (at - i) * (values[i + 1] - values[i]) if i + 1 < len(values) else values[-1]


def near(a, b):
    return abs(a - b) <= 1e-7 * max(1.0, abs(a))


def compare(name, got, rows):
    listed = [one["number"] for one in got["distributions"]]
    for key, head in HEADS.items():
        column = next((c for c in rows[0] if c.startswith(head)), None)
        values = sorted(float(row[column]) for row in rows if row[column] != "")
        check(f"{name}: {key} is there where a kit has it", (key in listed) == bool(values), listed)
        if not values:
            continue
        one = got["distributions"][listed.index(key)]
        n = len(values)
        check(f"{name}: {key}: kits", (one["kits"], one["kits_without"]) == (n, len(rows) - n), one)
        check(f"{name}: {key}: nominal", one["nominal"] == got["numbers"][key]["nominal"], one["nominal"])
        check(f"{name}: {key}: chances", [q["percent"] for q in one["quantiles"]] == CHANCES, one["quantiles"])
        for q in one["quantiles"]:
            far = n * min(q["percent"], 100 - q["percent"]) / 100 >= 1 - 1e-9
            check(f"{name}: {key}: {q['percent']} %", near(q["value"], quantile(values, q["percent"])) if far else q["value"] is None, q)
        for side, beyond in (("low", lambda v, l: v < l), ("high", lambda v, l: v > l)):
            limit, counted = one[f"{side}_limit"], one["kits_below" if side == "low" else "kits_above"]
            want = 0 if limit is None else sum(beyond(v, limit) for v in values)
            check(f"{name}: {key}: kits beyond the {side} limit", counted == want, (limit, counted, want))
        many = min(40, math.ceil(2 * n ** (1 / 3) - 1e-9)) if values[0] < values[-1] else 1
        check(f"{name}: {key}: classes", len(one["classes"]) == many and sum(c["kits"] for c in one["classes"]) == n, (many, one["classes"]))
        ends = one["classes"][0]["from"], one["classes"][-1]["to"]
        check(f"{name}: {key}: ends", near(ends[0], values[0]) and near(ends[1], values[-1]), ends)
        inner = [c["kits"] for c in one["classes"]]
        slack = 1e-7 * max(1.0, abs(values[-1]))
        good = all(sum(c["from"] + slack < v < c["to"] - slack for v in values) <= kits <= sum(c["from"] - slack <= v <= c["to"] + slack for v in values)
                   for c, kits in zip(one["classes"], inner))
        check(f"{name}: {key}: kits of each class", good, inner)


def limits(work):
    """Limits follow the file."""
    got, _ = study(work, SCATTER, "--kits", "16", "--set", "limits.grip_design=0.5", "--set", "limits.clearance=12 mm", "--set", "tensioner.arm.work=[11, 13]")
    by = {one["number"]: one for one in got["distributions"]}
    check("design grip", by["worst_grip"]["high_limit"] == 0.5 and by["worst_grip"]["low_limit"] is None, by["worst_grip"])
    for key in ("arm_wind_stopped_deg", "arm_wind_redline_deg"):
        check(f"{key}: work range", near(by[key]["low_limit"], 11) and near(by[key]["high_limit"], 13), by[key])
    if "tightest_gap_mm" in by:
        check("clearance", near(by["tightest_gap_mm"]["low_limit"], 12), by["tightest_gap_mm"])


def main():
    with tempfile.TemporaryDirectory() as work:
        inches = pathlib.Path(work) / "inches.yaml"
        inches.write_text(SCATTER.read_text() + "units: us\n")
        for name, path, kits in [("three pulleys", SCATTER, 1000), ("a blower", TOP / "examples/sedgemere.yaml", 100),
                                 ("locked", TOP / "examples/sedgemere-locked.yaml", 20), ("centrifugal", TOP / "examples/sedgemere-centrifugal.yaml", 20),
                                 ("V8", TOP / "examples/ironbrook-v8.yaml", 12), ("one kit", SCATTER, 1)]:
            compare(name, *study(work, path, "--kits", str(kits)))
        metric, us = study(work, SCATTER, "--kits", "40"), study(work, inches, "--kits", "40")
        check("inches: the same JSON", metric[0]["distributions"] == us[0]["distributions"], us[0]["distributions"][:1])
        limits(work)
    return end()


sys.exit(main())
