"""The server's shape of drives that are wrong: the arm on its stop with what the belt is too short by, the end of a slot,
pulleys that reach into each other, and what comes too near to an obstacle before anything was judged. What the belt is
wrong by is also in the findings, and the depths come from centres and radii.
"""
import json
import math
import os
import pathlib
import re
import subprocess
import sys

import served
from tally import check, end

SNUB = os.environ["SNUB_BIN"]
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")


class Asker:
    def __init__(self):
        self.server = served.Server(str(EXAMPLES / "sedgemere.yaml"))

    def lay(self, file, over, rpm=0, whole=False):
        body = {"file": file, "text": (EXAMPLES / file).read_text(), "rpm": rpm, "whole": whole,
                "changes": [{"path": p, "value": v} for p, v in over.items()]}
        status, answer, _ = self.server.ask("/api/lay", body)
        check(f"{file} {over}: an answer", status == 200, answer)
        return answer["geometry"] if status == 200 else None


def told(file, over, rule, *options):
    """What the finding of a rule says in words that the belt is wrong by, mm."""
    sets = [word for p, v in over.items() for word in ("--set", f"{p}={json.dumps(v)}")]
    found = json.loads(subprocess.run([SNUB, "check", str(EXAMPLES / file), *sets, *options, "--json"], capture_output=True, text=True,
                                      timeout=120).stdout)
    texts = [found["state"]["no_equilibrium"]] if rule is None else [f["text"] for f in found["findings"] if f["rule"] == rule]
    return float(re.search(r"([\d.]+) mm (?:too|longer)|too (?:short|long) by ([\d.]+) mm", texts[0]).group(1) or
                 re.search(r"by ([\d.]+) mm", texts[0])[1])


def near(a, b, tolerance):
    return a is not None and abs(a - b) <= tolerance


def live(asker, file):
    """A hand that still moves sees what the whole check says of the same place, the locked slot slid to its tension."""
    over = {"belt.length": 1910, "belt.stock": None}
    body = {"file": file, "text": (EXAMPLES / file).read_text(), "rpm": 3000, "changes": [{"path": p, "value": v} for p, v in over.items()]}
    moving, judged = (asker.server.ask("/api/lay", {**body, "whole": whole})[1] for whole in (False, True))
    pairs = zip(moving["check"]["pulleys"], judged["check"]["pulleys"], strict=True)
    check(f"{file}: not judged, it has the numbers of the judged one", all(p["hub_load_N"] == q["hub_load_N"] for p, q in pairs) and
          moving["check"]["build"]["slots_mm"] == judged["check"]["build"]["slots_mm"], [moving["check"]["build"]["slots_mm"], judged["check"]["build"]["slots_mm"]])


def ends(asker):
    free = {"belt.stock": None}
    file, short, long = "sedgemere.yaml", {"belt.length": 1700, **free}, {"belt.length": 2100, **free}
    e = asker.lay(file, short)
    want = told(file, short, "arm_travel")
    check("too short: the arm on its stop", e["end"]["pulley"] == "tensioner" and e["end"]["at_deg"] == 58 and not e["end"]["too_long"], e["end"])
    # the finding is of the worst belt in tolerance, what is drawn of the one that is shown
    check("by no more than the finding says, and little less", want - 15 < e["end"]["by_mm"] < want, f"{e['end']}, want {want}")
    e = asker.lay(file, long)
    want = told(file, long, None, "--rpm", "0")
    check("too long: the arm at its free position", e["end"]["at_deg"] == 0 and e["end"]["too_long"] and e["wind_deg"] is None, e["end"])
    check("by what the state says", near(e["end"]["by_mm"], want, 0.05), f"{e['end']}, want {want}")
    arm = next(p for p in e["pulleys"] if "arm" in p)
    at = [arm["arm"]["pivot_mm"][k] + arm["arm"]["length_mm"] * (math.cos, math.sin)[k](math.radians(arm["arm"]["rest_deg"])) for k in (0, 1)]
    check("and it is drawn there", math.dist(at, arm["centre_mm"]) < 1e-6, arm["centre_mm"])
    check("a belt that fits has no end", asker.lay(file, {})["end"] is None)
    file = "sedgemere-locked.yaml"
    live(asker, file)
    for length, too_long in ((1700, False), (2100, True)):
        over = {"belt.length": length, **free}
        e, want = asker.lay(file, over), told(file, over, "lock")
        slot = next(p for p in e["pulleys"] if p["name"] == "tensioner")
        other = [asker.lay(file, {**free, "belt.length": n})["pulleys"] for n in (1890, 1920)]
        grows = [next(p for p in one if p["name"] == "tensioner")["slot"]["setting_mm"] for one in other]
        at = slot["slot"]["length_mm"] if (grows[1] > grows[0]) == too_long else 0.0
        check(f"locked, {length}: the slot's end that the belt drives it to", near(e["end"]["at_mm"], at, 1e-9), f"{e['end']}, want {at}")
        check(f"locked, {length}: drawn there", near(slot["slot"]["setting_mm"], at, 1e-9), slot["slot"])
        check(f"locked, {length}: by what the finding says", e["end"]["too_long"] == too_long and near(e["end"]["by_mm"], want, 0.05), f"{e['end']}, want {want}")


def overlaps(asker):
    for file in ("sedgemere.yaml", "ironbrook-v8.yaml", "sedgemere-locked.yaml"):
        rest = asker.lay(file, {})
        check(f"{file}: nothing reaches into anything", rest["overlaps"] == [], rest["overlaps"])
    rest = asker.lay("sedgemere.yaml", {})
    a, b = (next(p for p in rest["pulleys"] if p["name"] == name) for name in ("exit idler", "steering"))
    towards = [(y - x) / math.dist(a["centre_mm"], b["centre_mm"]) for x, y in zip(a["centre_mm"], b["centre_mm"])]
    at = [y - 30 * t for y, t in zip(b["centre_mm"], towards)]
    moved = asker.lay("sedgemere.yaml", {"steering.at": at})
    pair = [o for o in moved["overlaps"] if o["pulleys"] == ["exit idler", "steering"]]
    least = a["rim_radius_mm"] + b["rim_radius_mm"] - math.dist(a["centre_mm"], at)
    check("two pulleys pushed together are named", len(pair) == 1, moved["overlaps"])
    check("by at least what the rims say, and at most two belts more", pair and least <= pair[0]["by_mm"] <= least + 20, f"{pair}, rims {least}")
    buried = asker.lay("sedgemere.yaml", {"steering.at": [c + 1 for c in a["centre_mm"]]})
    check("one on top of the other as well, where no belt can be laid", any(o["pulleys"] == ["exit idler", "steering"] for o in buried["overlaps"]),
          buried["overlaps"])
    high = asker.lay("sedgemere-locked.yaml", {"steering.at": at})
    check("of the locked drive too", any(o["pulleys"] == ["exit idler", "steering"] for o in high["overlaps"]), high["overlaps"])
    high = asker.lay("sedgemere-locked.yaml", {"steering.at": at, "steering.plane": 200})
    check("far apart along the crank they do not", not any("steering" in o["pulleys"] for o in high["overlaps"]), high["overlaps"])


def obstacles(asker):
    got = [asker.lay("sedgemere.yaml", {"exit idler.at": [100, 230]}, whole=whole)["near"] for whole in (False, True)]
    for near_ in got:
        check("what runs into an obstacle is named", any((n["obstacle"], n["what"], n["level"]) == ("thermostat neck", "exit idler", "fail") and
                                                         n["gap_mm"] < 0 for n in near_), near_)
    check("as drawn no more is missing than at its worst", all(a["gap_mm"] >= b["gap_mm"] - 1e-9 for a, b in zip(*got, strict=True)), got)
    check("and nothing where all is well", asker.lay("sedgemere.yaml", {})["near"] == [])


def main():
    asker = Asker()
    try:
        ends(asker)
        overlaps(asker)
        obstacles(asker)
    finally:
        asker.server.kill()
    return end()


if __name__ == "__main__":
    sys.exit(main())
