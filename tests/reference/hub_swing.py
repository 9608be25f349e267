"""Hub loads and bearings with the swing of the crank in them, through `snub mount` and `snub check` and by other means:
the balance of drive_reference, the swings of motion.py in complex numbers, the crank's cycle in fine steps, the cubic mean
by quadrature. Drives on an arm, with a slot that is locked, with nothing that takes up slack; measured cranks of several
orders. Also: nothing changes where a key is missing or the crank turns evenly.

Usage: hub_swing.py. The last line is `N passed, N failed`."""
import json
import math
import os
import subprocess
import sys
import tempfile

import numpy as np

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path[:0] = [HERE, os.path.join(HERE, "..", "rules"), os.path.join(HERE, "..", "cli")]
import tally  # noqa: E402
import yaml  # noqa: E402
from cases_motion import FULL_LOAD_FROM, Judged, table  # noqa: E402
from drives import ARM, FIXED, LOCKED, text, vary  # noqa: E402
from drive_reference import forces  # noqa: E402
from harness import RPM  # noqa: E402

SNUB = os.environ["SNUB_BIN"]
MISSED = 0.012  # of a load: the program looks at 8 points in a period of the highest order
FINE = 720  # steps of a cycle of two turns, for each order
BEARING = {"designation": "6203", "bore": 17, "outside": 40, "width": 12, "dynamic": 9550, "static": 4800, "f0": 13.2,
           "seal": "low-contact", "max_speed": 19000}
DUTY = [[900, 0.3], [1500, 0.2], [2600, 0.35], [5200, 0.15]]
CALM = {"engine.accel_rate": None, "engine.decel_rate": None, "belt.tolerance": 0}
CASES = {
    "fixed": vary(FIXED, {**CALM, "belt.length": 1105, "pump.inertia": 0.004,
                          "engine.irregularity": table(0.09, 0.05, order=(2, 4))}),
    "half orders": vary(LOCKED, {**CALM, "fan.inertia": 0.002, "idler.inertia": 0.0004,
                                 "engine.irregularity": table(0.03, 0.06, order=(1.5, 4))}),
    "locked": vary(LOCKED, {**CALM, "fan.inertia": 0.003, "idler.inertia": 0.0004,
                            "engine.irregularity": table(0.07, 0.03, order=(2, 6))}),
    "arm": vary(ARM, {**CALM, "tensioner.inertia": 0.0002, "pump.inertia": 0.002, "tensioner.arm.inertia": 0.0015,
                      "engine.irregularity": table(0.06, 0.02, order=(2, 4))}),
}


def ask(command, drive, *more):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text(drive))
        file.flush()
        ran = subprocess.run([SNUB, command, file.name, "--json", *more], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise SystemExit(ran.stderr)
    return json.loads(ran.stdout)


def curve(judge, rpm):
    """Hub forces over two turns of the crank, [step, pulley], complex; None where a span hangs loose."""
    swing = judge.swing(rpm)
    answer, moves = swing.answer, swing.e.moves
    friction = judge.drive.arm.damping * answer.moment if moves else 0.0
    amplitude = {o: swing.drive.belt.stiffness * swing.rub(o * rpm * RPM, a, friction)[3][swing.e.count:]
                 for o, a in judge.angles(rpm).items()}
    carried = answer.tension - answer.state.flux
    if (np.sqrt(sum(np.abs(t) ** 2 for t in amplitude.values())) >= carried).any():
        return answer, None
    theta = np.arange(FINE) * 4 * math.pi / FINE
    tension = sum((t * np.exp(1j * o * theta)[:, None]).real for o, t in amplitude.items())
    return answer, forces(answer.state, answer.path, answer.tension + np.maximum(tension, -carried))


def near(what, got, want, tolerance):
    tally.expect(what, abs(got / want - 1) < tolerance, got, want)


def with_hardware(drive):
    entry = vary(drive, {"bearings": [BEARING], "duty": DUTY})
    for pulley in entry["pulleys"][1:2]:  # hubs without hardware swing as well
        pulley["bearing"] = {"type": "6203"}
    return entry


def on_plate(drive):
    """The idler clamped in its slot, the fan beside it on one plate, both on their bolts alone."""
    bolts = [{"name": n, "at": at, "thread": "M8", "class": "8.8"} for n, at in
             {"a": [-120, 180], "b": [40, 180], "c": [-120, 460], "d": [40, 460]}.items()]
    return vary(drive, {"idler.clamp": {"bolt": {"thread": "M8", "class": "8.8"}}, "idler.mount": "plate", "fan.mount": "plate",
                        "mounts": [{"name": "plate", "face": 0, "friction": 0.15, "bolts": bolts}]})


def mounted(name, drive, inertia):
    """Slot, plate and bolts see the hubs of one moment together."""
    here, still = ask("mount", on_plate(drive)), ask("mount", on_plate(vary(drive, {inertia: 0})))
    judge = Judged(text(drive))
    curves = [c for c in (curve(judge, s["rpm"])[1] for s in judge.states) if c is not None]
    idler, fan = judge.names.index("idler"), judge.names.index("fan")
    along, both = (max(f(c).max() for c in curves) for f in (lambda c: np.abs(c[:, idler].real),
                                                             lambda c: np.abs(c[:, idler] + c[:, fan])))
    slot = [next(p for p in a["pulleys"] if p["name"] == "idler")["slot"]["load_N"] for a in (here, still)]
    plate = [a["mounts"][0] for a in (here, still)]
    for what, got, most, without in (("slot", slot[0], along, slot[1]),
                                     ("plate", plate[0]["force_N"], both, plate[1]["force_N"])):
        tally.expect(f"{name}: {what} carries more", most > 1.005 * without, most, without)
        tally.expect(f"{name}: {what}", -0.02 < got / most - 1 < 1e-3, got, most)
    for key in ("shear_N", "slip_used"):
        most, without = (max(b[key] for b in m["bolts"]) for m in plate)
        tally.expect(f"{name}: {key} of the worst bolt", most > 1.005 * without, most, without)


def compare(name, drive):
    entry = with_hardware(drive)
    mount, check = ask("mount", entry), ask("check", entry)
    judge = Judged(text(drive))
    tally.expect(f"{name}: it counts", mount["swing_counts"] is True)
    states = [curve(judge, s["rpm"])[1] for s in judge.states]
    states = [c for c in states if c is not None]
    duty = [curve(judge, rpm) for rpm, _ in DUTY]
    pulls = {h["pulley"]: h for h in check["hub_loads"]}
    swung = 0
    for i, got in enumerate(mount["pulleys"]):
        hub, where = got["hub"], f"{name}, {got['name']}"
        most = max(np.abs(c[:, i]).max() for c in states)
        swung += hub["swing"]
        share = hub["worst_N"] / max(most, hub["worst_without_swing_N"]) - 1
        tally.expect(f"{where}: worst", -MISSED < share < 1e-3, hub["worst_N"], most, hub["worst_without_swing_N"])
        tally.expect(f"{where}: swings where that is more", hub["swing"] == (hub["worst_N"] > hub["worst_without_swing_N"]))
        if got["name"] in pulls:
            near(f"{where}: as check", pulls[got["name"]]["hub_load_N"], hub["worst_N"], 1e-9)
            near(f"{where}: without it, as check", pulls[got["name"]]["without_swing_N"], hub["worst_without_swing_N"], 1e-9)
        if got["bearing"] is None:
            continue
        # a share counts by the turns of the pulley; the belt's tolerance is small
        turns = np.array([q * abs(a.speed[i]) for (_, q), (a, _) in zip(DUTY, duty)])
        cubes = {True: [(np.abs(c[:, i]) ** 3).mean() if c is not None else abs(a.hub[i]) ** 3 for a, c in duty],
                 False: [abs(a.hub[i]) ** 3 for a, _ in duty]}
        mean = {with_it: (np.dot(turns, c) / turns.sum()) ** (1 / 3) for with_it, c in cubes.items()}
        near(f"{where}: mean of the duty", hub["duty_mean_N"], mean[True], 6e-3)
        near(f"{where}: mean of the duty without it", hub["duty_mean_without_swing_N"], mean[False], 6e-3)
        near(f"{where}: by how much it is more", hub["duty_mean_N"] / hub["duty_mean_without_swing_N"],
             mean[True] / mean[False], 2e-3)
        bearing = got["bearing"]
        near(f"{where}: load of the bearing", bearing["load_N"], 1.2 * hub["duty_mean_N"], 1e-3)
        tally.expect(f"{where}: life is less", bearing["life_h"] < bearing["life_without_swing_h"], bearing["life_h"],
                     bearing["life_without_swing_h"])
    if len(drive["pulleys"]) > 2:  # both spans of two pulleys swing against each other, and the hubs stand still
        tally.expect(f"{name}: some hub is pulled hardest in its swing", swung > 0)


def slid(name, drive, inertia):
    """A clamp alone, on no mount: its slot sees the swing of its hub."""
    clamped = vary(drive, {"idler.clamp": {"bolt": {"thread": "M8", "class": "8.8"}}})
    here, still = ask("mount", clamped), ask("mount", vary(clamped, {inertia: 0}))
    judge = Judged(text(drive))
    idler = judge.names.index("idler")
    most = max(np.abs(c[:, idler].real).max() for c in (curve(judge, s["rpm"])[1] for s in judge.states) if c is not None)
    slot, without = (next(p for p in a["pulleys"] if p["name"] == "idler")["slot"]["load_N"] for a in (here, still))
    tally.expect(f"{name}: a slot without a mount carries more", most > 1.005 * without, most, without)
    tally.expect(f"{name}: a slot without a mount", -0.02 < slot / most - 1 < 1e-3, slot, most)


def duty_ends(name, drive, idle, redline):
    """A duty swings from idle to redline, both counted in, and not beyond."""
    for rpm, swings in ((0.99 * idle, False), (idle, True), (redline, True), (1.01 * redline, False)):
        for p in ask("mount", vary(with_hardware(drive), {"duty": [[rpm, 1.0]]}))["pulleys"]:
            if p["bearing"] is not None:
                hub = p["hub"]
                tally.expect(f"{name}: a duty at {rpm} rpm", (hub["duty_mean_N"] > hub["duty_mean_without_swing_N"]) is swings, hub)


def all_but(answer, *keys):
    """Without what says whether it counts."""
    if isinstance(answer, dict):
        return {k: all_but(v, *keys) for k, v in answer.items() if k not in keys}
    return [all_but(v, *keys) for v in answer] if isinstance(answer, list) else answer


def unchanged(name, drive):
    """An even crank, and a crank of which nothing is known, are one; so is one whose keys are missing."""
    said = ("swing_missing", "swing_counts", "fingerprint", "findings", "not_judged", "verdict", "build")
    plain = with_hardware(vary(drive, {"engine.irregularity": None}))
    want = all_but(ask("mount", plain), *said)
    for how, change in {"even": {"engine.irregularity": table(0.0, order=(2,))},
                        "a key is missing": {[p["name"] for p in drive["pulleys"] if "load" in p][0] + ".inertia": 0}}.items():
        got = ask("mount", with_hardware(vary(drive, change)))
        same = all_but(got, *said)
        if how == "a key is missing":
            without = with_hardware(vary(drive, {**change, "engine.irregularity": None}))
            want_now = all_but(ask("mount", without), *said)
            tally.expect(f"{name}: names it", ".inertia" in (got["swing_missing"] or ""), got["swing_missing"])
        else:
            want_now = want
        tally.expect(f"{name}: to the bit where {how}", same == want_now)
        tally.expect(f"{name}: does not count where {how}", got["swing_counts"] is False)


def duty_at(rpm, steady):
    """Below twice idle a duty swings without load, from there at full load: a crank whose table has the angles that
    `snub motion` shows of that throttle gives the same loads, and one with the other's does not."""
    with open(os.path.join(os.environ["SNUB_SOURCE_DIR"], "examples", "sedgemere-locked.yaml"), encoding="utf-8") as file:
        drive = yaml.safe_load(file)
    drive["engine"]["inertia"] = 0.15
    next(p for p in drive["pulleys"] if p["name"] == "steering")["inertia"] = 0.003
    drive["duty"] = [[rpm, 1.0]]
    with_tables = {}
    for throttle, case in ((True, ()), (False, ("--case", "closed-throttle"))):
        orders = ask("motion", drive, "--rpm", str(rpm), *case)["irregularity"]["orders"]
        engine = {**drive["engine"], "irregularity": {"speed": [rpm], "order": [o["order"] for o in orders],
                                                      "angle": [[o["angle_deg"] for o in orders]]}}
        with_tables[throttle] = ask("mount", {**drive, "engine": engine})
    asked, seen = ask("mount", drive), 0
    for i, pulley in enumerate(asked["pulleys"]):
        got, want, other = (a["pulleys"][i]["hub"]["duty_mean_N"] for a in (asked, with_tables[steady], with_tables[not steady]))
        where = f"a duty at {rpm} rpm, {pulley['name']}"
        tally.expect(where, abs(got / want - 1) < 1e-4, got, want, other)
        seen += abs(other / want - 1) > 1e-3
    tally.expect(f"a duty at {rpm} rpm: the throttle is seen", seen > 0)


for label, one in CASES.items():
    compare(label, one)
    unchanged(label, one)
mounted("locked", CASES["locked"], "fan.inertia")
slid("locked", CASES["locked"], "fan.inertia")
duty_ends("fixed", CASES["fixed"], 800, 6000)
for speed, full in ((1260, False), (1300, True)):  # twice idle is 1280 rpm
    duty_at(speed, full)
sys.exit(tally.end())
