"""A drive whose failing kits are known: two pulleys at fixed centres, no load, no arm (docs/theory/tolerate.md).

Shares by quadrature of the exact geometry, and by the closed form of equal pulleys; the rule of a single kit against snub.

Usage: two_pulley_scatter.py SNUB. The last line is `N passed, N failed`. As a module: Drive, Scatter, closed, text_of."""
import dataclasses
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import numpy
from scipy.special import ndtr, ndtri
from scipy.stats import qmc

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
import tally  # noqa: E402
from tally import check  # noqa: E402

NODES = 64


@dataclasses.dataclass(frozen=True)
class Drive:
    """mm, N, kg/m, rpm. `ends`: half tolerances of centre distance, crank, pump, belt; each is three standard deviations."""
    centres: float = 300.0
    crank: float = 120.0
    pump: float = 120.0
    length: float = 975.5
    ends: tuple = (0.5, 0.1, 0.1, 4.0)
    ribs: int = 6
    rib_stiffness: float = 28000.0
    rib_measuring: float = 100.0
    rib_mass: float = 0.019
    be: float = 2.0
    redline: float = 6000.0
    rib_most: float = 160.0

    @property
    def stiffness(self):
        return self.ribs * self.rib_stiffness

    @property
    def measuring(self):
        return self.ribs * self.rib_measuring / 2  # each span carries half of the rig's force


def path(drive, centres, crank, pump):
    """Pitch length of an open belt around two pulleys."""
    a, b = crank / 2 + drive.be, pump / 2 + drive.be
    angle = numpy.arcsin((a - b) / centres)
    return 2 * centres * numpy.cos(angle) + math.pi * (a + b) + 2 * angle * (a - b)


def tension(drive, centres, crank, pump, length):
    """In both spans: the belt's stretch over the whole path."""
    return drive.measuring + drive.stiffness * (1 - (length + 2 * math.pi * drive.be) / path(drive, centres, crank, pump))


def length_for(drive, wanted, centres, crank, pump):
    return path(drive, centres, crank, pump) * (1 + (drive.measuring - wanted) / drive.stiffness) - 2 * math.pi * drive.be


def momentum(drive, crank):
    """Tension that the belt's momentum takes at the redline."""
    speed = drive.redline * math.pi / 30 * (crank / 2 + drive.be) / 1000
    return drive.ribs * drive.rib_mass * speed**2


class Scatter:
    """Normal values, cut at their ends or not; tension when stopped, share of kits slack at the redline, and over the limit."""

    def __init__(self, drive, cut=True):
        self.drive, self.cut = drive, cut
        mean = numpy.array([drive.centres, drive.crank, drive.pump])
        nodes, weights = numpy.polynomial.legendre.leggauss(NODES)
        reach = 3.0 if cut else 8.0
        z, w = reach * nodes, reach * weights * numpy.exp(-0.5 * (reach * nodes)**2) / math.sqrt(2 * math.pi)
        w = w / w.sum()
        grid = numpy.meshgrid(z, z, z, indexing="ij")
        values = [m + g * e / 3 for m, g, e in zip(mean, grid, drive.ends)]
        weight = w[:, None, None] * w[None, :, None] * w[None, None, :]
        self.mean, self.sd = self.moments(values, weight)
        over = length_for(drive, momentum(drive, values[1]), *values)
        self.slack = float((weight * (1 - self.below(over))).sum())
        self.high = float((weight * self.below(length_for(drive, drive.ribs * drive.rib_most, *values))).sum())

    def below(self, length):
        """Share of belts shorter."""
        z = (length - self.drive.length) / (self.drive.ends[3] / 3)
        return numpy.clip((ndtr(z) - ndtr(-3)) / (ndtr(3) - ndtr(-3)), 0, 1) if self.cut else ndtr(z)

    def moments(self, values, weight):
        d, sd = self.drive, self.drive.ends[3] / 3
        kept = 1 - 6 * math.exp(-4.5) / math.sqrt(2 * math.pi) / (ndtr(3) - ndtr(-3)) if self.cut else 1.0
        once, pitch = tension(d, *values, d.length), sd * math.sqrt(kept) * d.stiffness / path(d, *values)
        mean = (weight * once).sum()
        return float(mean), math.sqrt((weight * ((once - mean)**2 + pitch**2)).sum())


def closed(drive, wanted):
    """Share of kits with less than a wanted tension: equal pulleys, values not cut, their difference of no account. The
    belt is longer than k times the path: a sum of normal values."""
    k = 1 + (drive.measuring - wanted) / drive.stiffness
    mean = drive.length + 2 * math.pi * drive.be * (1 - k) - k * (2 * drive.centres + math.pi / 2 * (drive.crank + drive.pump))
    slopes = (2 * k, math.pi / 2 * k, math.pi / 2 * k, 1)
    return float(ndtr(mean / math.sqrt(sum((s * e / 3)**2 for s, e in zip(slopes, drive.ends)))))


def text_of(drive, kit=None, limit=None):
    """The drive file: with its tolerances, or of one kit (centres, crank, pump, length) whose belt has none."""
    centres, crank, pump, length = kit or (drive.centres, drive.crank, drive.pump, drive.length)
    ends = [""] * 4 if kit else [f" +- {e!r}" for e in drive.ends]
    return (f"snub: 1\nengine: {{displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: {drive.redline!r}}}\n"
            f"belt: {{section: PK, ribs: {drive.ribs}, length: {length!r}{ends[3]}, be: {drive.be!r}, mass: {drive.rib_mass!r},\n"
            f"       stiffness: {drive.rib_stiffness!r}, measuring_force: {drive.rib_measuring!r}"
            + (", tolerance: 0" if kit else "") + "}\npulleys:\n"
            f"  - {{name: crank, role: crank, at: [0, 0], diameter: {crank!r}{ends[1]}}}\n"
            f"  - {{name: pump, at: [0, {centres!r}{ends[0]}], diameter: {pump!r}{ends[2]}}}\n"
            f"limits: {{rib_tension: {drive.rib_most if limit is None else limit!r}}}\n")


def ask(text, *more):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text)
        file.flush()
        done = subprocess.run([sys.argv[1], "check", file.name, "--json", *more], capture_output=True, text=True, timeout=60)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{done.stderr}\n{text}")
    return json.loads(done.stdout)


def near(name, got, want, tolerance):
    check(name, abs(got - want) <= tolerance, f"got {got!r}, want {want!r}, tolerance {tolerance!r}")


def rules(answer):
    return {f["rule"] for f in answer["findings"] if f["level"] in ("fail", "marginal")}


def single_kits(drive):
    """A kit's tension, and both sides of both limits."""
    places = qmc.Sobol(4, scramble=True, seed=1).random(16)
    middle = (drive.centres, drive.crank, drive.pump, drive.length)
    for place in places:
        kit = tuple(m + e / 3 * z for m, e, z in zip(middle, drive.ends, map(float, ndtri(place))))
        spans = ask(text_of(drive, kit), "--rpm", "0")["spans"]
        check(f"taut when stopped: {kit}", (len(spans) == 2) == (tension(drive, *kit) > 0))
        for span in spans:
            near(f"tension of {kit}", span["tension_N"], tension(drive, *kit), 1e-6)
        for side in (-1e-4, 1e-4):
            slack = length_for(drive, momentum(drive, kit[1]), *kit[:3]) + side
            check(f"slack {side:+}, {kit}", ("no_equilibrium" in rules(ask(text_of(drive, (*kit[:3], slack))))) == (side > 0))
            taut = length_for(drive, drive.ribs * drive.rib_most, *kit[:3]) + side
            check(f"taut {side:+}, {kit}", ("rib_tension" in rules(ask(text_of(drive, (*kit[:3], taut))))) == (side < 0))


def shares(drive):
    """Quadrature against kits drawn at random, and against the closed form where nothing is cut."""
    middle = numpy.array([drive.centres, drive.crank, drive.pump, drive.length])
    for cut in (True, False):
        s = Scatter(drive, cut)
        chance = qmc.Sobol(4, scramble=True, seed=2).random(1 << 17)
        kits = middle + ndtri(ndtr(-3) + chance * (ndtr(3) - ndtr(-3)) if cut else chance) * numpy.array(drive.ends) / 3
        pulls = tension(drive, *kits.T)
        near("mean", s.mean, pulls.mean(), 0.02)
        near("sd", s.sd, pulls.std(), 1e-3 * s.sd)
        near("slack", s.slack, (pulls <= momentum(drive, kits[:, 1])).mean(), 3e-4)
        near("over the limit", s.high, (pulls > drive.ribs * drive.rib_most).mean(), 3e-4)
    still = dataclasses.replace(drive, rib_mass=1e-12)  # no momentum: slack is a tension of nothing
    near("slack, closed form", Scatter(still, cut=False).slack, closed(still, 0.0), 2e-6)
    near("over the limit, closed form", Scatter(drive, cut=False).high, 1 - closed(drive, drive.ribs * drive.rib_most), 2e-6)


def main():
    other = Drive(centres=254.0, crank=150.0, pump=150.0, length=978.3, ends=(0.3, 0.2, 0.05, 3.0), ribs=8, redline=4000.0, rib_most=140.0)
    for drive in (Drive(), other):
        single_kits(drive)
        shares(drive)
    unequal = dataclasses.replace(Drive(), crank=160.0, pump=100.0)
    single_kits(dataclasses.replace(unequal, length=float(length_for(unequal, 500.0, 300.0, 160.0, 100.0))))
    tally.end()


if __name__ == "__main__":
    main()
