"""Springs from torques against SciPy's curve_fit, against the drive file's own reader, and by drawing readings: how often the intervals
of 95 % hold, how often good readings are refused, which bad ones are.

Usage: arm.py SNUB. The last line is `N passed, N failed`."""
import json
import math
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile

import numpy as np
import scipy.stats
from scipy.optimize import curve_fit

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
import tally  # noqa: E402
from tally import check  # noqa: E402

SNUB = sys.argv[1]
TOP = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])


def run(*arguments):
    done = subprocess.run([SNUB, *arguments], capture_output=True, text=True, timeout=60)
    return done.returncode, json.loads(done.stdout) if done.stdout.startswith("{") else None, done.stderr


def ask(free, stop, torque, angle, rows):
    lines = ["snub: 1", f"free: {free!r}", f"stop: {stop!r}", f"errors: {{torque: {torque!r}, angle: {angle!r}}}"]
    for branch, name in ((1, "winding"), (-1, "releasing")):
        lines.append(f"{name}: [" + ", ".join(f"[{a!r}, {t!r}]" for b, a, t in rows if b == branch) + "]")
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write("\n".join(lines) + "\n")
        file.flush()
        return run("measure", "arm", file.name, "--json")


def spring(x, p, k, d):
    w, b = x
    return (p + k * w) * (1 + b * d)


def draw(r, free=14.0, sense=1, travel=58.0, p=34.0, k=0.9, d=0.12, torque=0.5, angle=0.4, bend=0.0, drag=0.0, n=8):
    """Readings of a made-up arm with errors; the protractor misreads free and stop, too."""
    rows = []
    for b in (1, -1):
        for i in range(n):
            w = 6 + (travel - 12) * i / (n - 1)
            t = (p + k * w + bend * w * w) * (1 + b * d) + b * drag + r.gauss(0, torque)
            rows.append((b, free + sense * (w + r.gauss(0, angle)), t))
    return free + sense * r.gauss(0, angle), free + sense * (travel + r.gauss(0, angle)), rows


def near(name, got, want, tolerance):
    check(name, abs(got - want) <= tolerance, f"got {got!r}, want {want!r}, tolerance {tolerance!r}")


def compare(seed, damping=(0.05, 0.3)):
    r = random.Random(seed)
    torque, angle, sense = r.uniform(0.3, 1.5), r.uniform(0.1, 0.8), r.choice([-1, 1])
    free, stop, rows = draw(r, r.uniform(-60, 60), sense, r.uniform(40, 80), r.uniform(10, 50), r.uniform(0.3, 1.4),
                            r.uniform(*damping), torque, angle, n=r.randint(3, 12))
    code, got, err = ask(free, stop, torque, angle, rows)
    if got is None:
        check(f"spring {seed}", False, err)
        return
    b = np.array([row[0] for row in rows])
    w = np.array([sense * (row[1] - free) for row in rows])
    t = np.array([row[2] for row in rows])
    sigma = np.full(len(t), torque)
    for _ in range(3):
        x, c = curve_fit(spring, (w, b), t, p0=(20, 1, 0.1), sigma=sigma, absolute_sigma=True, ftol=1e-15, xtol=1e-15, gtol=1e-15)
        used, sigma = sigma, np.hypot(torque, x[1] * (1 + b * x[2]) * angle)
    off = (spring((w, b), *x) - t) / used
    f, total = len(t) - 3, float(off @ off)
    chance = scipy.stats.chi2.sf(total, f)
    taken = math.sqrt(total / f) if chance < 0.05 else 1
    name = f"spring {seed}, {len(t)} readings"
    near(f"{name}: preload", got["preload_N_m"], x[0], 1e-5)
    near(f"{name}: rate", got["rate_N_m_deg"], x[1], 1e-6)
    near(f"{name}: damping", got["damping"], x[2], 1e-6)
    near(f"{name}: chi-square", got["chi_square"], total, 1e-4 * total)
    near(f"{name}: factor", got["errors_multiplied_by"], taken, 1e-5)
    errors = taken * np.sqrt(np.diag(c))
    near(f"{name}: error of preload", got["preload_error_N_m"], math.hypot(errors[0], x[1] * angle), 2e-4 * errors[0])
    near(f"{name}: error of rate", got["rate_error_N_m_deg"], errors[1], 2e-4 * errors[1])
    near(f"{name}: error of damping", got["damping_error"], errors[2], 2e-4 * errors[2])
    near(f"{name}: of travel", got["travel_error_deg"], math.sqrt(2) * angle, 1e-9)
    surely = {"falls": x[1] < 2 * errors[1], "swapped": x[2] < 2 * errors[2], "pushes": x[0] < -2 * math.hypot(errors[0], x[1] * angle)}
    check(f"{name}: signs that are not sure", all((key in got["no_spring"]) == want for key, want in surely.items()), got["no_spring"])
    near(f"{name}: within", got["errors_within_95"], scipy.stats.t.ppf(0.975, f) if taken > 1 else 1.959964, 1e-5)
    further(name, got, w, b, t, used, x, f)


def further(name, got, w, b, t, sigma, x, f):
    """The two further unknowns over their errors."""
    models = {"bend_over_error": lambda X, p, k, d, q: (p + k * X[0] + q * X[0] ** 2) * (1 + X[1] * d),
              "drag_over_error": lambda X, p, k, d, q: (p + k * X[0]) * (1 + X[1] * d) + X[1] * q}
    for key, model in models.items():
        y, c = curve_fit(model, (w, b), t, p0=(*x, 0), sigma=sigma, absolute_sigma=True, ftol=1e-15, xtol=1e-15, gtol=1e-15)
        off = (model((w, b), *y) - t) / sigma
        scale = max(1, math.sqrt(float(off @ off) / (f - 1)))
        want = y[3] / (scale * math.sqrt(c[3, 3]))
        near(f"{name}: {key}", got[key], want, 2e-3 * max(1, abs(want)))
    near(f"{name}: their limit", got["further_limit"], scipy.stats.t.ppf(0.995, f - 1), 1e-4)


def same_as_the_drive_file():
    """Without errors of angle both doors fit by plain least squares."""
    free, stop, rows = draw(random.Random(77), 0.0, angle=0.0)
    rows = [(b, round(a, 3), round(t, 2)) for b, a, t in rows]
    code, got, err = ask(0.0, 58.0, 0.5, 0.0, rows)
    branches = {name: [[a, t] for b, a, t in rows if b == branch] for branch, name in ((1, "up"), (-1, "down"))}
    text, changed = re.subn(r"preload: 34, rate: 0.9 N m/deg, damping: 0.12", f"readings: {json.dumps(branches).replace(chr(34), '')}",
                            (TOP / "examples/sedgemere.yaml").read_text())
    check("the example has a spring to replace", changed == 1)
    points = []
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text)
        file.flush()
        for length in (1920, 1932):
            arm = run("check", file.name, "--rpm", "0", "--json", "--set", f"belt.length={length}")[1]["arm"]
            points.append((arm["wind_deg"], arm["moment_N_m"]))
    rate = (points[1][1] - points[0][1]) / (points[1][0] - points[0][0])
    near("rate as the drive file fits it", got["rate_N_m_deg"], rate, 1e-7)
    near("preload as the drive file fits it", got["preload_N_m"], points[0][1] - rate * points[0][0], 1e-6)


def coverage(trials=120):
    r = random.Random(99)
    inside, alarms, suspects = [0, 0, 0, 0], 0, 0
    for _ in range(trials):
        free, stop, rows = draw(r)
        code, got, err = ask(free, stop, 0.5, 0.4, rows)
        within = got["errors_within_95"]
        for i, (key, error, true) in enumerate((("preload_N_m", "preload_error_N_m", 34), ("rate_N_m_deg", "rate_error_N_m_deg", 0.9),
                                                ("damping", "damping_error", 0.12), ("travel_deg", "travel_error_deg", 58))):
            inside[i] += abs(got[key] - true) <= within * got[error]
        alarms += bool(got["no_spring"])
        suspects += any(x["suspect"] for x in got["readings"])
    four = 4 * math.sqrt(0.05 * 0.95 / trials)
    for name, n in zip(("preload", "rate", "damping", "travel"), inside):
        near(f"{name} lies within its 95 %", n / trials, 0.955, four)
    check("good springs are seldom refused", alarms / trials <= 0.02 + four, alarms)
    check("good readings are seldom suspect", suspects / trials <= 0.05 + four, suspects)


def no_springs():
    r = random.Random(3)
    cases = {"bends": dict(bend=0.012), "constant_drag": dict(d=0.0, drag=6.0), "falls": dict(k=-0.3, p=60), "swapped": dict(d=-0.1),
             "pushes": dict(p=-8.0, k=1.5)}
    for want, how in [*cases.items(), ("falls", dict(k=0.0, p=40))]:  # the last: flat, which may be rising or falling
        free, stop, rows = draw(r, torque=0.2, angle=0.05, n=12, **how)
        rows = [(b, a, max(t, 0.01)) for b, a, t in rows]
        code, got, err = ask(free, stop, 0.2, 0.05, rows)
        check(f"{want} is told", code == 1 and want in got["no_spring"] and got["verdict"] == "fail", got and got["no_spring"])
    free, stop, rows = draw(r)
    rows[5] = (rows[5][0], rows[5][1], rows[5][2] + 8)
    code, got, err = ask(free, stop, 0.5, 0.4, rows)
    check("8 N m too much in one", code == 1 and [k for k, x in enumerate(got["readings"]) if x["suspect"]] == [5])


for number in range(int(os.environ.get("SNUB_RIGS", "12"))):
    compare(number)
for number in range(40, 46):  # friction near to its error
    compare(number, (0.005, 0.05))
same_as_the_drive_file()
coverage()
no_springs()
sys.exit(tally.end())
