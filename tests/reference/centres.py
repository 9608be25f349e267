"""Centres of random networks against SciPy's least squares, with a model of its own: centres, errors, ellipses, what is left of
each reading, the share checked; edges; blunders; the other layout; too few readings; the drive's errors by brute force.

Usage: centres.py SNUB. The last line is `N passed, N failed`."""
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
from scipy.optimize import least_squares

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
import tally  # noqa: E402
from tally import check  # noqa: E402

SNUB = sys.argv[1]
TOP = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])


def snub(*arguments):
    done = subprocess.run([SNUB, *arguments], capture_output=True, text=True, timeout=120)
    return done.returncode, json.loads(done.stdout) if done.stdout.startswith("{") else None, done.stderr


def near(name, got, want, tolerance):
    got, want = np.asarray(got, float), np.asarray(want, float)
    check(name, got.shape == want.shape and np.all(np.abs(got - want) <= tolerance),
          f"got {got.tolist()}, want {want.tolist()}, tolerance {tolerance} mm")


class Network:
    """A made-up engine front: places, rims, readings with errors; perhaps an edge."""

    def __init__(self, seed):
        r = self.r = random.Random(seed)
        self.n = r.randint(3, 9)
        self.at = []
        while len(self.at) < self.n:
            p = (r.uniform(-300, 300), r.uniform(-50, 450))
            if all(math.dist(p, q) > 130 for q in self.at):
                self.at.append(p)
        self.diameter = [r.uniform(50, 120) for _ in self.at]
        self.sure = [r.random() < 0.3 for _ in self.at]
        self.edge = (r.uniform(-0.3, 0.3) - math.pi / 2, -500.0) if seed % 3 == 0 else None  # normal, offset: below all
        self.readings = []
        pairs = [(i, k) for i in range(self.n) for k in range(i + 1, self.n)]
        for i, k in pairs:
            if r.random() < 0.75 or self.n < 5:
                self.read(r.choice(["outside", "inside", "centres"]), i, k)
        if self.edge:
            self.edge = (self.edge[0] + math.pi, -500.0)
            for i in range(self.n):
                self.read("edge", i, None)

    def model(self, reading, at, diameter, edge):
        kind, i, k = reading[:3]
        if kind == "edge":
            return at[i][0] * math.cos(edge[0]) + at[i][1] * math.sin(edge[0]) - edge[1] - diameter[i] / 2
        apart = math.dist(at[i], at[k])
        return apart + {"outside": 0.5, "inside": -0.5, "centres": 0}[kind] * (diameter[i] + diameter[k])

    def read(self, kind, i, k):
        error = round(self.r.uniform(0.1, 0.8), 2)
        value = self.model((kind, i, k), self.at, self.diameter, self.edge) + self.r.gauss(0, error)
        self.readings.append((kind, i, k, round(value, 2), error))

    def file(self, sides=True):
        a, b = self.at[0], self.at[1]
        self.direction = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        lines = ["snub: 1", f"frame: {{origin: p0, at: [{a[0]!r}, {a[1]!r}], towards: p1, direction: {self.direction!r}}}",
                 "errors: {diameter: 0.15}", "pulleys:"]
        self.given = [round(d + (0 if s else self.r.gauss(0, 0.15)), 3) for d, s in zip(self.diameter, self.sure)]
        lines += [f"  - {{name: p{i}, diameter: {d}{', error: 0' if s else ''}}}"
                  for i, (d, s) in enumerate(zip(self.given, self.sure))]
        if self.edge:
            lines += ["edges:", "  - {name: face}"]
        lines += ["readings:"]
        for kind, i, k, value, error in self.readings:
            names = f"[face, p{i}]" if kind == "edge" else f"[p{i}, p{k}]"
            lines.append(f"  - {{{kind}: {names}, value: {value}, error: {error}}}")
        if sides:
            left = [(b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0 for p in self.at]
            lines += ["sides:"] + [f"  - {{{'left' if left[i] else 'right'}: p{i}, of: [p0, p1]}}" for i in range(2, self.n)]
        return "\n".join(lines) + "\n"

    def solve(self):
        """By SciPy, from the true places."""
        a, turn = self.at[0], math.radians(self.direction)
        rims = [i for i in range(self.n) if not self.sure[i]
                and any(r[0] != "centres" and i in (r[1], r[2]) for r in self.readings)]

        def take(x):
            at = [a, (a[0] + x[0] * math.cos(turn), a[1] + x[0] * math.sin(turn))]
            at += [(x[1 + 2 * i], x[2 + 2 * i]) for i in range(self.n - 2)]
            rest = x[1 + 2 * (self.n - 2):]
            diameter = list(self.given)
            for j, i in enumerate(rims):
                diameter[i] = rest[j]
            return at, diameter, rest[len(rims):]

        def off(x):
            at, diameter, edge = take(x)
            out = [(self.model(r, at, diameter, edge) - r[3]) / r[4] for r in self.readings]
            return np.array(out + [(diameter[i] - self.given[i]) / 0.15 for i in rims])

        start = [math.dist(self.at[0], self.at[1])] + [v for p in self.at[2:] for v in p] + [self.given[i] for i in rims]
        start += list(self.edge) if self.edge else []
        answer = least_squares(off, start, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
        answer = least_squares(off, answer.x, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
        self.x, self.take, self.off = answer.x, take, off
        j = answer.jac
        self.c = np.linalg.pinv(j.T @ j)
        self.share = 1 - np.einsum("ij,jk,ik->i", j, self.c, j)
        self.sum, self.f = float(answer.fun @ answer.fun), len(answer.fun) - len(answer.x)
        return take(answer.x)


def compare(seed):
    network = Network(seed)
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(network.file())
        file.flush()
        code, got, err = snub("measure", "centres", file.name, "--json")
    name = f"network {seed}, {network.n} pulleys, {len(network.readings)} readings"
    if got is None or "errors" in got:
        loose(name, network, code, err)
        return
    at, diameter, edge = network.solve()
    f, chance = network.f, scipy.stats.chi2.sf(network.sum, network.f) if network.f else math.nan
    s0 = math.sqrt(network.sum / f) if f else 1.0
    taken = s0 if f and chance < 0.05 else 1.0
    check(f"{name}: freedom", got["fit"]["redundancy"] == f)
    near(f"{name}: sum", got["fit"]["chi_square"], network.sum, 1e-5 * max(1, network.sum))
    if f:
        near(f"{name}: chance", got["fit"]["chance"], chance, 1e-5)
    near(f"{name}: factor", got["fit"]["errors_multiplied_by"], taken, 1e-5)
    near(f"{name}: centres", [c["centre_mm"] for c in got["centres"]], at, 2e-5)
    c = taken ** 2 * network.c
    turn = math.radians(network.direction)
    for i in range(1, network.n):
        block = c[0, 0] * np.outer([math.cos(turn), math.sin(turn)], [math.cos(turn), math.sin(turn)]) if i == 1 \
            else c[2 * i - 3:2 * i - 1, 2 * i - 3:2 * i - 1]
        near(f"{name}: errors of p{i}", got["centres"][i]["error_mm"], np.sqrt(np.maximum(np.diag(block), 0)), 2e-5)
        k2 = scipy.stats.chi2.ppf(0.95, 2) if taken == 1 else 2 * scipy.stats.f.ppf(0.95, 2, f)
        values, vectors = np.linalg.eigh(block)
        near(f"{name}: ellipse of p{i}", got["centres"][i]["ellipse_mm"], np.sqrt(np.maximum(values[::-1], 0) * k2), 1e-4)
        if values[1] > 1.01 * values[0]:
            way = math.radians(got["centres"][i]["ellipse_deg"])
            near(f"{name}: its direction", abs(vectors[:, 1] @ [math.cos(way), math.sin(way)]), 1, 1e-6)
    next_readings(name, network, got, taken ** 2, scipy.stats.chi2.ppf(0.95, 2) if taken == 1 else 2 * scipy.stats.f.ppf(0.95, 2, f))
    near(f"{name}: shares", [r["share_checked"] for r in got["readings"]], network.share, 1e-5)
    errors = [r[4] for r in network.readings]
    left = network.off(network.x)[:len(errors)] * errors
    near(f"{name}: residuals", [r["residual_mm"] for r in got["readings"][:len(errors)]], left, 2e-5)
    student(name, network, got)
    if got["layout"]["chosen_by"] == "undecided":
        other(name, network, got["layout"])


def other(name, network, layout):
    """Another layout on the same sides: it must fit as well, to a likelihood of 1:1000, and the distance that is named differs."""
    at = [layout["other_mm"][f"p{i}"] for i in range(network.n)]
    start = network.x.copy()
    start[0] = math.dist(at[0], at[1])
    start[1:1 + 2 * (network.n - 2)] = [v for p in at[2:] for v in p]
    answer = least_squares(network.off, start, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    scatter = max(1, network.sum / network.f) if network.f else 1
    check(f"{name}: another layout fits", float(answer.fun @ answer.fun) - network.sum < 2 * math.log(1000) * scatter + 1e-6)
    there = network.take(answer.x)[0]
    near(f"{name}: the other layout", at, there, 1e-4)
    if layout["settles"]:
        i, k = (int(n[1:]) for n in layout["settles"]["between"])
        near(f"{name}: what settles it", layout["settles"]["other_mm"], math.dist(there[i], there[k]), 1e-3)


def next_readings(name, network, got, c, k2):
    """Each gap between two rims with nothing between them, added to the inverse of the covariance: the best three, and how long the
    longest ellipse is then."""
    at, diameter, _ = network.take(network.x)
    errors = [r[4] for r in network.readings if r[0] in ("outside", "inside")]
    sd = sum(errors) / len(errors) if errors else 0.3

    def longest(cov):
        blocks = [cov[2 * i - 3:2 * i - 1, 2 * i - 3:2 * i - 1] for i in range(2, network.n)]
        return math.sqrt(k2 * max([cov[0, 0]] + [np.linalg.eigvalsh(b)[1] for b in blocks]))

    def hidden(i, k):
        p, q = np.array(at[i]), np.array(at[k])
        u = (q - p) / np.linalg.norm(q - p)
        for j in set(range(network.n)) - {i, k}:
            d = np.array(at[j]) - p
            if 0 < d @ u < np.linalg.norm(q - p) and abs(d[0] * u[1] - d[1] * u[0]) < diameter[j] / 2 + 2:
                return True
        return False

    found = []
    for i in range(network.n):
        for k in range(i + 1, network.n):
            if hidden(i, k):
                continue
            g = np.array([(network.model(("inside", i, k), *network.take(network.x + h))
                           - network.model(("inside", i, k), *network.take(network.x - h))) / 2e-4
                          for h in 1e-4 * np.eye(len(network.x))])
            found.append((longest(c * np.linalg.inv(np.linalg.inv(network.c) + np.outer(g, g) / sd ** 2)), i, k))
    found = [f for f in sorted(found) if f[0] < 0.95 * longest(c * network.c)][:3]
    near(f"{name}: the longest ellipse with the best next reading", [n["longest_ellipse_mm"] for n in got["next"]],
         [f[0] for f in found], 1e-3)
    if len(found) > 1 and found[1][0] > found[0][0] * 1.001:
        check(f"{name}: which reading", got["next"][0]["between"] == [f"p{found[0][1]}", f"p{found[0][2]}"], got["next"])


def loose(name, network, code, err):
    """Refused for a pulley that floats: then the derivatives at places without order lack rank, and those named move."""
    network.solve()
    size = len(network.x)
    rng = np.random.default_rng(1)
    x = network.x.copy()
    x[1:1 + 2 * (network.n - 2)] = rng.uniform(-300, 300, 2 * (network.n - 2))
    j = np.array([(network.off(x + h) - network.off(x - h)) / 2e-3 for h in 1e-3 * np.eye(size)]).T
    _, values, v = np.linalg.svd(j)
    rank = int(np.sum(values > 1e-6 * values[0]))
    null = np.linalg.norm(v[rank:], axis=0)
    moves = {1} if null[0] > 1e-4 else set()
    moves |= {i for i in range(2, network.n) if np.linalg.norm(null[2 * i - 3:2 * i - 1]) > 1e-4}
    told = {i for i in range(network.n) if f"p{i} floats" in err}
    check(f"{name}: what floats", code == 2 and rank < size and told == moves, f"told {told}, moves {moves}\n{err}")
    check(f"{name}: each with a reading that would help", err.count("need another reading") == len(moves), err)


def student(name, network, got):
    """A reading left out: its studentised residual is how far the rest are from it, over their own scatter."""
    if network.f < 2:
        return
    for k in (0, len(network.readings) // 2):
        if network.share[k] < 0.1 or got["readings"][k]["others_error_mm"] > 2:  # far off a straight line
            continue
        keep = network.readings[k]
        rest = [i for i in range(len(network.off(network.x))) if i != k]
        answer = least_squares(lambda x: network.off(x)[rest], network.x, jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15,
                               x_scale="jac")
        at, diameter, edge = network.take(answer.x)
        there = network.model(keep, at, diameter, edge)
        scatter = math.sqrt(answer.fun @ answer.fun / (network.f - 1))
        t = (there - keep[3]) / keep[4] * math.sqrt(network.share[k]) / scatter
        step = [1e-4 * np.eye(len(network.x))[i] for i in range(len(network.x))]
        g = np.array([(network.model(keep, *network.take(answer.x + h)) - network.model(keep, *network.take(answer.x - h))) / 2e-4
                      for h in step])
        sure = got["fit"]["errors_multiplied_by"] * math.sqrt(g @ np.linalg.pinv(answer.jac.T @ answer.jac) @ g)
        near(f"{name}: how surely reading {k}", got["readings"][k]["others_error_mm"], sure, 0.02 * sure + 1e-6)
        near(f"{name}: others put reading {k}", got["readings"][k]["others_mm"], there, 0.02)
        near(f"{name}: against others {k}", got["readings"][k]["against_others"], t, 0.03 * max(1, abs(t)))


def blunders():
    """5 mm off in a reading that the others check, at 0.2 mm: it is found, alone, and the others say what it should be."""
    found = tried = 0
    for seed in range(400, 470):
        network = Network(seed)
        network.readings = [(k, i, j, v, 0.2) for k, i, j, v, _ in network.readings]
        network.readings = [(k, i, j, round(network.model((k, i, j), network.at, network.diameter, network.edge)
                                            + network.r.gauss(0, 0.2), 2), e) for k, i, j, _, e in network.readings]
        text = network.file()
        network.solve()
        k = max(range(len(network.readings)), key=lambda i: network.share[i])
        if network.share[k] < 0.4 or network.f < 4:
            continue
        kind, i, j, value, error = network.readings[k]
        names = f"[face, p{i}]" if kind == "edge" else f"[p{i}, p{j}]"
        old = f"  - {{{kind}: {names}, value: {value}, error: {error}}}"
        wrong = text.replace(old, old.replace(f"value: {value}", f"value: {value + 5:.2f}"))
        assert wrong != text
        with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
            file.write(wrong)
            file.flush()
            code, got, err = snub("measure", "centres", file.name, "--json")
        tried += 1
        suspects = [n for n, r in enumerate(got["readings"]) if r["suspect"]]
        good = suspects == [k] and code == 1 and got["verdict"] == "fail"
        off = got["readings"][k]["others_mm"] - value
        good = good and abs(off) < 4 * math.hypot(0.2, got["readings"][k]["others_error_mm"])
        found += good
    check("blunders of 5 mm are found, and put right", tried >= 15 and found == tried, f"{found} of {tried}")


def suspects():
    """5 mm off in any reading: those are named whose leaving out explains it, to a third of the likelihood of the best. Every
    other network states errors so large that only the scatter of the rest shows it."""
    tried = several = scattered = 0
    for seed in range(600, 660):
        network = Network(seed)
        wide = 8 if seed % 2 else 1
        network.readings = [(*r[:4], round(wide * r[4], 2)) for r in network.readings]
        k = network.r.randrange(len(network.readings))
        kind, i, j, value, error = network.readings[k]
        network.readings[k] = (kind, i, j, round(value + 5, 2), error)
        with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
            file.write(network.file())
            file.flush()
            code, got, err = snub("measure", "centres", file.name, "--json")
        if got is None or "errors" in got:
            continue
        network.solve()
        f, n = network.f, len(network.share)
        if f < 2 or abs(network.sum - got["fit"]["chi_square"]) > 1e-4 * network.sum:  # another layout fits better
            continue
        seen = network.share > 1e-6
        off = np.where(seen, network.off(network.x) ** 2 / np.where(seen, network.share, 1), 0)
        rest = (network.sum - off) / (f - 1)
        over = (off > scipy.stats.norm.isf(0.0125 / n) ** 2) | (off / rest > scipy.stats.t.isf(0.0125 / n, f - 1) ** 2)
        worst = int(np.argmax(np.where(over, off, -1)))
        stated = off[worst] > scipy.stats.norm.isf(0.0125 / n) ** 2
        drop = (off[worst] - off) / (max(1, rest[worst]) if stated else rest[worst]) if over.any() else np.full(n, math.inf)
        if np.any(np.abs(drop - 2 * math.log(3)) < 1e-2):
            continue
        want = {int(m) for m in np.flatnonzero(drop < 2 * math.log(3))}
        named = {m for m, r in enumerate(got["readings"]) if r["suspect"]}
        check(f"network {seed}, reading {k} 5 mm off: who is named", named == want and len(named) == got["fit"]["suspects"],
              f"named {named}, want {want}")
        tried += 1
        several += len(want) > 1
        scattered += bool(want) and not stated
    check("blunders that others could be, too", tried >= 20 and several >= 3, f"{several} of {tried}")
    check("blunders within the stated errors", scattered >= 2, f"{scattered} of {tried}")


def mirrored():
    for seed in (501, 503, 505):
        network = Network(seed)
        with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
            file.write(network.file(sides=False))
            file.flush()
            code, got, err = snub("measure", "centres", file.name, "--json")
        check(f"network {seed} without sides is open", code == 1 and got["layout"]["chosen_by"] == "undecided"
              and got["verdict"] == "fail" and got["layout"]["that_fit"] >= 2, got and got["layout"])
        a, b = np.array(network.at[0]), np.array(network.at[1])
        u = (b - a) / np.linalg.norm(b - a)
        for i, c in enumerate(got["centres"]):
            p = np.array(c["centre_mm"]) - a
            want = a + 2 * (p @ u) * u - p
            if got["layout"]["that_fit"] == 2:
                near(f"network {seed}: p{i} in the mirror", got["layout"]["other_mm"][f"p{i}"], want, 1e-4)


def prisms():
    """Two triangles and three readings between them: rigid, and no pulley crosses two readings to the first triangle. Every layout that
    comes out has the readings, its sides, and its direction."""
    for seed in (601, 602, 603, 604, 605):
        network = Network(seed)
        network.n, network.edge = 6, None
        while len(network.at) < 6:
            network.at.append((network.r.uniform(-300, 300), network.r.uniform(-50, 450)))
        network.at, network.diameter, network.sure, network.readings = network.at[:6], [60.0] * 6, [True] * 6, []
        for i, k in ((0, 1), (1, 2), (0, 2), (3, 4), (4, 5), (3, 5), (0, 3), (1, 4), (2, 5)):
            network.readings.append(("centres", i, k, round(math.dist(network.at[i], network.at[k]), 6), 0.1))
        text = network.file(sides=False).replace("towards: p1", "towards: p5")
        a, b = network.at[0], network.at[5]
        turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        code, got, err = run_text(re.sub(r"direction: [-0-9.]+", f"direction: {turn!r}", text))
        if got is None or "errors" in got:
            check(f"prism {seed}", False, err)
            continue
        layouts = [[c["centre_mm"] for c in got["centres"]], [got["layout"]["other_mm"][f"p{i}"] for i in range(6)]]
        for at in layouts:
            near(f"prism {seed}: its readings", [math.dist(at[r[1]], at[r[2]]) for r in network.readings],
                 [r[3] for r in network.readings], 1e-5)
            near(f"prism {seed}: its direction", math.degrees(math.atan2(at[5][1] - a[1], at[5][0] - a[0])), turn, 1e-9)
        check(f"prism {seed}: the true layout is found, or one of more than two", got["layout"]["that_fit"] > 2
              or any(np.allclose(at, network.at, atol=1e-3) for at in layouts), got["layout"]["that_fit"])


def drive_errors():
    """Errors of the drive's results, by drawing centres of the covariance that the errors and a second solution give: here from many
    files whose readings are drawn anew."""
    source = (TOP / "examples/measured/sedgemere.yaml").read_text()
    source = source.replace("../sedgemere.yaml", str(TOP / "examples/sedgemere.yaml"))
    code, base, err = run_text(source)
    r = random.Random(5)
    pattern = re.compile(r"(value: )([0-9.]+)(?:, error: ([0-9.]+))?")
    fitted = iter([x["read_mm"] + x["residual_mm"] for x in base["readings"]])
    true = pattern.sub(lambda m: f"{m[1]}{next(fitted):.6f}" + (f", error: {m[3]}" if m[3] else ""), source)
    drawn = []
    for _ in range(90):
        text = pattern.sub(lambda m: f"{m[1]}{float(m[2]) + r.gauss(0, float(m[3] or 0.3)):.4f}"
                           + (f", error: {m[3]}" if m[3] else ""), true)
        text = re.sub(r"(name: [a-z ]+, diameter: )([0-9.]+)", lambda m: f"{m[1]}{float(m[2]) + r.gauss(0, 0.1):.4f}", text)
        code, got, err = run_text(text)
        d = got["drive"]
        drawn.append([d["length_mm"], d["wind_deg"]] + [p["wrap_deg"] for p in d["pulleys"]])
    drawn = np.array(drawn)
    d = base["drive"]
    stated = [d["length_error_mm"], d["wind_error_deg"]] + [p["wrap_error_deg"] for p in d["pulleys"]]
    ratio = drawn.std(axis=0, ddof=1) / stated
    # Length and mark: what they move the arm by, from the same drive with another belt and another mark.
    slopes = []
    for path, ends in (("belt.length", (1924, 1928)), ("wrap idler.slot.setting", (37, 39))):
        winds = [run_text(source, "--set", f"{path}={end}")[1]["drive"]["wind_deg"] for end in ends]
        slopes.append(abs((ends[1] - ends[0]) / (winds[1] - winds[0])))
    near("error of the length over that of the arm", d["length_error_mm"] / d["wind_error_deg"], slopes[0], 0.06 * slopes[0])
    mark = [p["mark_error_mm"] for p in d["pulleys"] if p["mark_error_mm"] is not None]
    check("one pulley is set", len(mark) == 1, mark)
    near("error of the mark over that of the arm", mark[0] / d["wind_error_deg"], slopes[1], 0.06 * slopes[1])
    # Each drawn drive's length is taken where its own arm stands: no check.
    check("errors of arm and wraps are those of drawn readings", np.all(np.abs(ratio[1:] - 1) < 0.2), ratio.tolist())


def run_text(text, *more):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text)
        file.flush()
        return snub("measure", "centres", file.name, "--json", *more)


for number in range(int(os.environ.get("SNUB_RIGS", "18"))):
    compare(number)
blunders()
suspects()
mirrored()
prisms()
drive_errors()
sys.exit(tally.end())
