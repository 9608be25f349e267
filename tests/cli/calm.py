"""What calms a drive, held against runs with the values set by hand: slopes as differences of the printed swings, the
best values by the whole range with them, verdicts and findings by `check`, and no better value on a coarse grid.

Usage: calm.py SNUB SOURCE. The last line is `N passed, N failed`.
"""
import json
import math
import subprocess
import sys

import tally

PROGRAM, SOURCE = sys.argv[1], sys.argv[2]
SPEEDS, STEP = 31, 2e-3
FACTORS = (0.5, 0.7, 1.4, 2)


def ask(command, drive, *options):
    ran = subprocess.run([PROGRAM, command, drive, "--json", *options], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise RuntimeError(ran.stderr[:300])
    return json.loads(ran.stdout)


def shares(answer):
    """(rpm, order, span) to swing over mean; (rpm, order) to the arm's."""
    mean = {f"{s['from']} - {s['to']}": dict(map(tuple, s["tension_N"])) for s in answer["spans"]}
    swing = {(o["rpm"], o["order"], span): t / mean[span][o["rpm"]]
             for o in answer["orders"] for span, t in o["tension_N"].items()}
    return swing, {(o["rpm"], o["order"]): o["arm_deg"] or 0 for o in answer["orders"]}


def value_text(change, value, base):
    if change["key"].endswith(".at"):
        at = list(base["at"][change["key"]])
        at[0 if change["what"].endswith("x") else 1] = value
        return json.dumps(at)
    return repr(value)


def fixed(base):
    return [part for one in base["set"] for part in ("--set", one)]


def compare_slope(check, drive, base, change):
    spot = (base["now"]["rpm"], base["now"]["order"], base["now"]["span"])
    step = 0.1 if change["key"].endswith(".at") else STEP if change["what"] == "arm friction" else STEP * change["now"]
    at = []
    for sign in (-1, 1):
        text = value_text(change, change["now"] + sign * step, base)
        swing, _ = shares(ask("motion", drive, "--rpm", repr(spot[0]), "--set", f"{change['key']}={text}", *fixed(base)))
        at.append(next(v for (_, order, span), v in swing.items() if (order, span) == spot[1:]))
    want = 100 * math.log(at[1] / at[0]) / (2 * step) * change["each"]
    got = change["worst_swing_by_pct"]
    check(f"{drive}: {change['key']} ({change['what']}): slope", abs(got - want) <= 0.02 * abs(want) + 0.02, (got, want))


def compare_best(check, drive, base, change):
    best, key = change["best"], change["key"]
    name = f"{drive}: {key} ({change['what']})"
    options = fixed(base) + ["--set", f"{key}={best['set']}"]
    swing, arm = shares(ask("motion", drive, "--speeds", str(SPEEDS), *options))
    check(f"{name}: worst swing", abs(max(swing.values()) / best["worst_swing_share"] - 1) < 1e-6, max(swing.values()))
    check(f"{name}: arm", abs(max(arm.values()) - best["arm_deg"]) < 1e-6 * (1 + best["arm_deg"]), max(arm.values()))
    compare_verdict(check, drive, base, change, options, name)


def compare_verdict(check, drive, base, change, options, name):
    judged, before = ask("check", drive, *options), ask("check", drive)
    best = change["best"]
    check(f"{name}: verdict", judged["verdict"] == best["verdict"], (judged["verdict"], best["verdict"]))

    def grave(answer):
        return {(f["level"], f["rule"], f["pulley"]) for f in answer["findings"] if f["level"] in ("marginal", "fail")}
    for field, want in (("findings_that_come", grave(judged) - grave(before)),
                        ("findings_that_go", grave(before) - grave(judged))):
        got = {(f["level"], f["rule"], f["about"]) for f in best[field]}
        check(f"{name}: {field}", got == want or best["findings_not_listed"] > 0, (got, want))


def compare_grid(check, drive, base, change):
    """No value of a coarse grid is better than the best one."""
    if change["what"] not in ("inertia", "spring rate", "belt stiffness"):
        return
    best = change["best"]["worst_swing_share"] if change["best"] else base["now"]["worst_swing_share"]
    for factor in FACTORS:
        swing, _ = shares(ask("motion", drive, "--speeds", str(SPEEDS), *fixed(base), "--set",
                              f"{change['key']}={change['now'] * factor!r}"))
        check(f"{drive}: {change['key']} x {factor}", max(swing.values()) > 0.97 * best, (max(swing.values()), best))


def compare(check, drive, keep, at, grids, every):
    answer = ask("motion", drive, "--remedies")
    base = dict(answer["remedies"], set=keep, at=at)
    changes = base["changes"]
    swing, arm = shares(ask("motion", drive, "--speeds", str(SPEEDS), *fixed(base)))
    check(f"{drive}: worst swing now", abs(max(swing.values()) / base["now"]["worst_swing_share"] - 1) < 1e-6)
    check(f"{drive}: worst arm now", abs(max(arm.values()) - base["now"]["arm_deg"]) < 1e-6)
    helped = [c["best"]["worst_swing_share"] for c in changes if c["best"]]
    check(f"{drive}: what helps stands first, best first",
          helped == sorted(helped) and [bool(c["best"]) for c in changes] == [True] * len(helped) + [False] * (len(changes) - len(helped)))
    check(f"{drive}: each is less than now", all(h < base["now"]["worst_swing_share"] for h in helped) and helped)
    for k, change in enumerate(changes):
        if change["worst_swing_by_pct"] is not None and k % every == 0:
            compare_slope(check, drive, base, change)
        if change["best"] and k % every == 0:
            compare_best(check, drive, base, change)
        if k < grids:
            compare_grid(check, drive, base, change)
    clutches = [c for c in changes if c["what"] == "overrunning clutch"]
    check(f"{drive}: clutches have no slope", clutches and all(c["worst_swing_by_pct"] is None for c in clutches))


def main():
    check, end = tally.check, tally.end
    compare(check, f"{SOURCE}/examples/sedgemere.yaml", [], {"exit idler.at": [132, 296]}, 5, 1)
    compare(check, f"{SOURCE}/examples/sedgemere-locked.yaml", ["belt.length=1938"],
            {"exit idler.at": [132, 296], "wrap idler.at": [-47, 340]}, 0, 3)
    return end()


sys.exit(main())
