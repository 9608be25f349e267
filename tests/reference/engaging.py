"""`snub motion --run engage` against SciPy: the drive of motion_run.py with a rim and a shaft at the blower, the clutch's torque
by the difference of their speeds, smoothed within 0.02 rad/s. Radau.

Usage: engaging.py SNUB. The last line is `N passed, N failed`.
"""
import json
import math
import os
import sys

import numpy as np
import yaml

import drive_reference as reference
import motion_run
from overrunning import rim_of

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "cli"))
import tally  # noqa: E402

PROGRAM = os.path.abspath(sys.argv[1])
CLOSES, SMOOTH, FADES_BELOW = 0.3, 0.02, 0.2  # s; rad/s; share of the speed without slip
RPM, SECONDS = 1800, 0.42


class Engaging(motion_run.Apart):
    def __init__(self, blower, rim, clutch, *rest):
        super().__init__(*rest)
        self.blower, self.rim, self.clutch = blower, rim, clutch
        self.behind = self.inertia[blower] - rim
        self.inertia[blower] = rim
        self.free = abs(self.radius[self.crank] / self.radius[blower]) * self.omega  # without slip
        self.start = np.append(self.start, 0.0)
        self.locks = math.inf

    def rates(self, t, y):
        out, b = np.append(super().rates(t, y[:-1]), 0.0), 2 * self.n + self.blower
        curve = self.drive.pulleys[self.blower].torque
        torque, rise = self.clutch
        can = torque * min(max((t - CLOSES) / rise, 0.0), 1.0)
        handed = can * max(-1.0, min((y[b] - y[-1]) / SMOOTH, 1.0))
        if t > CLOSES and abs(y[b] - y[-1]) < SMOOTH:
            self.locks = min(self.locks, t)
        load = curve(max(y[-1], 0.0)) * min(max(y[-1], 0.0) / self.free / FADES_BELOW, 1.0)
        out[b] += (curve(y[b]) - handed) / self.rim
        out[-1] = (handed - load) / self.behind
        return out


def run(text, clutch):
    return motion_run.run(PROGRAM, text, RPM, SECONDS, "engage", ("--clutch-torque", str(clutch[0]), "--clutch-rise", str(clutch[1])))


def with_blower(entry):
    """The first pulley with a load is a blower that takes as much as its table says."""
    blower = next(p for p in entry["pulleys"] if "load" in p)
    blower.update(blower={"kind": "roots", "swept": 1.0}, inertia=0.0012)
    entry["engine"].update(displacement=3.0, cylinders=6, idle=600, volumetric_efficiency=[[600, 0.8], [9000, 0.8]], irregularity={"speed": [500], "order": [2], "angle": [[0.15]]})
    return blower["name"]


def main():
    for place, entry, arm in motion_run.drives(1):
        arm["damping"] = 0.0
        name, clutch = with_blower(entry), (8.5, 0.05)
        text = yaml.safe_dump(entry, sort_keys=False)
        answer, rows = run(text, clutch)
        del entry["pulleys"][[p["name"] for p in entry["pulleys"]].index(name)]["blower"]
        drive = reference.Drive(yaml.safe_dump(entry, sort_keys=False))
        names = [p.name for p in drive.pulleys]
        at = names.index(name)
        balance = reference.solve(drive, RPM * math.pi / 30, torques={name: 0.0})
        balance.speed = RPM * math.pi / 30
        inertia = np.array([p.inertia if p.inertia else 1.0 for p in drive.pulleys])
        width = ((entry["belt"]["ribs"] - 1) * 3.56 + 2 * 2.5) * 1e-3  # ISO 9982
        rim = rim_of(drive.radius[at], width, inertia[at])
        apart = Engaging(at, rim, clutch, drive, balance, inertia, arm["inertia"], 2, math.radians(0.15), 0.0)
        tensions, winds = apart.go(SECONDS, rows["time"])
        print(place, apart.locks, json.dumps(answer["clutch"]), [e["what"] for e in answer["events"]])
        swing = np.ptp(tensions, axis=0).max() / 2
        for i in range(drive.n):
            got = rows[f"tension of {names[i]} - {names[(i + 1) % drive.n]}"]
            off = np.max(np.abs(got - tensions[:, i])) / swing
            tally.check(f"{place}: span {names[i]}", off < 1e-2, off)
        tally.check(f"{place}: arm", np.max(np.abs(rows["arm"] - np.degrees(winds))) < 1e-2 * np.ptp(np.degrees(winds)))
        tally.check(f"{place}: locks", abs(answer["clutch"]["locks_at_s"] - apart.locks) < 3e-4, (answer["clutch"], apart.locks))
        tally.check(f"{place}: rim", abs(answer["clutch"]["rim_kg_m2"] / rim - 1) < 1e-9, (answer["clutch"], rim))
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
