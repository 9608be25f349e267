"""Fitted belts: winds and marks of drives that are off in one thing, as `snub check` has them, and what `snub measure belt` makes of them;
sizes and errors against SciPy's least squares over differences of `snub check`.

Usage: belt.py SNUB. The last line is `N passed, N failed`."""
import json
import math
import os
import pathlib
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
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")
BLOWER = (46.0, 384.0)


def near(name, got, want, tolerance):
    check(name, got is not None and abs(got - want) <= tolerance, f"got {got!r}, want {want!r}, tolerance {tolerance!r}")


class Drive:
    """Sedgemere with the belt's back given as `back`, so that cord height is felt."""

    def __init__(self, folder, name="sedgemere.yaml", back=True):
        text = (EXAMPLES / name).read_text(encoding="utf-8")
        if back:
            text, count = re.subn(r"outside: \{[^}]*\}", "back: 0.86", text)
            assert count == 1
        self.path = os.path.join(folder, f"{'back' if back else 'outside'}-{name}")
        pathlib.Path(self.path).write_text(text, encoding="utf-8")
        self.seen = {}

    def wind(self, length, mark=None, cord=0.0, blower=(0.0, 0.0)):
        """deg; with a fixed tensioner its mark in mm."""
        key = (length, mark, cord, blower)
        if key not in self.seen:
            sets = [f"belt.length={length!r}", f"belt.be={2 + cord!r}"] + ([f"wrap idler.slot.setting={mark!r}"] if mark is not None else [])
            if blower != (0.0, 0.0):
                sets.append(f"blower.at=[{self.blower()[0] + blower[0]!r}, {self.blower()[1] + blower[1]!r}]")
            out = subprocess.run([SNUB, "check", self.path, "--rpm", "0", "--json", *[w for s in sets for w in ("--set", s)]],
                                 capture_output=True, text=True, timeout=60)
            d = json.loads(out.stdout)
            self.seen[key] = d["arm"]["wind_at_rest_deg"] if d["arm"] else d["build"]["slots_mm"]["tensioner"]
        return self.seen[key]

    def blower(self):
        out = subprocess.run([SNUB, "check", self.path, "--rpm", "0", "--json"], capture_output=True, text=True, timeout=60)
        return next(p["centre_mm"] for p in json.loads(out.stdout)["pulleys"] if p["name"] == "blower")

    def ask(self, rows, errors="wind: 0.3, length: 0", key="wind", usual="length: 2"):
        """rows: (length, mark of the wrap idler, what was read)"""
        text = f"snub: 1\ndrive: {self.path}\nerrors: {{{errors}}}\nusual: {{{usual}}}\nbelts:\n" + "".join(
            f"  - {{length: {length!r}, {key}: {read!r}" + (f", settings: {{wrap idler: {mark!r}}}" if mark is not None else "") + "}\n" for length, mark, read in rows)
        path = self.path + ".readings"
        pathlib.Path(path).write_text(text, encoding="utf-8")
        done = subprocess.run([SNUB, "measure", "belt", path, "--json"], capture_output=True, text=True, timeout=60)
        return done.returncode, json.loads(done.stdout) if done.returncode != 2 else None, done.stderr


def cause(d, name, pulley=None):
    return next(c for c in d["causes"] if c["cause"] == name and c["pulley"] == pulley)


def one_belt(drive):
    slope = (drive.wind(1927, 30) - drive.wind(1925, 30)) / 2
    code, d, err = drive.ask([(1926, 30, drive.wind(1926, 30))])
    check("as the drive file has it", code == 0 and d["agrees"] and d["verdict"] == "pass" and d["chi_square"] < 1e-12, err)
    code, d, _ = drive.ask([(1926, 30, drive.wind(1928.5, 30))], "wind: 0.3, length: 2", usual="length: 2")
    near("a belt that is longer: by how much", cause(d, "length")["size_mm"], 2.5, 0.01)
    near("its error is that of the reading", cause(d, "length")["error_mm"], 0.3 / abs(slope), 0.02)
    near("how strange: over what is usual and its error", cause(d, "length")["strange"], 2.5 / math.hypot(2, 0.3 / abs(slope)), 0.02)
    near("the belt's own error is in the reading's", d["belts"][0]["off_in_errors"], (drive.wind(1928.5, 30) - drive.wind(1926, 30)) / math.hypot(0.3, 2 * slope), 0.02)
    near("and in the error of a centre", cause(d, "centre", "blower")["error_mm"] / cause(d, "length")["error_mm"],
         math.hypot(0.3, 2 * slope) / 0.3 * abs(slope) / abs(by_blower(drive, 1926, 30)), 0.05)
    check("one reading: the drive agrees within the belts' error", code == 0 and d["agrees"] and d["together"] is None)
    code, d, _ = drive.ask([(1926, 30, drive.wind(1928.5, 30))], "wind: 0.3, length: 0", usual="length: 1.5")
    check("off by less than twice what is usual explains", cause(d, "length")["explains"])
    code, d, _ = drive.ask([(1926, 30, drive.wind(1934, 30))], "wind: 0.3, length: 0.5", usual="length: 1.5")
    check("8 mm of a length that is usually off by 1.5 does not", not cause(d, "length")["explains"] and code == 1 and d["verdict"] == "fail", d["causes"][:2])


def along(drive):
    """The line that halves the blower's wrap, from where the belt meets and leaves it."""
    out = subprocess.run([SNUB, "check", drive.path, "--rpm", "0", "--json", "--set", "wrap idler.slot.setting=45", "--set", "belt.length=1914"],
                         capture_output=True, text=True, timeout=60)
    d = json.loads(out.stdout)
    pulley = next(p for p in d["pulleys"] if p["name"] == "blower")
    angle = math.radians(pulley["hub_load_deg"])
    return -math.cos(angle), -math.sin(angle)


def by_blower(drive, length, mark):
    x, y = along(drive)
    return (drive.wind(length, mark, blower=(0.5 * x, 0.5 * y)) - drive.wind(length, mark, blower=(-0.5 * x, -0.5 * y)))


def several(drive):
    lengths = [(1914, 45), (1920, 30), (1926, 30), (1932, 15), (1920, 10)]
    r = np.random.default_rng(8)
    error = 0.002
    rows = [(length, mark, drive.wind(length + 1.5, mark, 0.2) + r.normal(0, error)) for length, mark in lengths]
    code, d, err = drive.ask(rows, f"wind: {error}, length: 0")
    check("it does not agree", d is not None and not d["agrees"], err)
    if d is None:
        return

    slopes = np.array([[(drive.wind(length + 0.5, mark) - drive.wind(length - 0.5, mark)), (drive.wind(length, mark, 0.05) - drive.wind(length, mark, -0.05)) / 0.1]
                       for length, mark in lengths])
    covariance = np.linalg.inv(slopes.T @ slopes / error ** 2)
    fit = least_squares(lambda x: [(drive.wind(length + round(x[0], 7) - 10, mark, round(x[1], 7) - 1) - read) / error for length, mark, read in rows], [10.0, 1.0],
                        diff_step=3e-3, x_scale=[1, 0.1], xtol=1e-7)
    fit.x -= (10, 1)
    near("length and cord together, as SciPy has them: length", d["together"]["length_mm"], fit.x[0], 0.02 * math.sqrt(covariance[0, 0]) + 0.005)
    near("cord", d["together"]["cord_mm"], fit.x[1], 0.02 * math.sqrt(covariance[1, 1]) + 0.005)
    near("error of the length", d["together"]["length_error_mm"], math.sqrt(covariance[0, 0]), 0.02 * math.sqrt(covariance[0, 0]))
    near("error of the cord", d["together"]["cord_error_mm"], math.sqrt(covariance[1, 1]), 0.02 * math.sqrt(covariance[1, 1]))
    off = (d["together"]["length_mm"] - 1.5, d["together"]["cord_mm"] - 0.2)
    check("and they are those that it was made of", abs(off[0]) < 4 * d["together"]["length_error_mm"] and abs(off[1]) < 4 * d["together"]["cord_error_mm"], off)
    near("length alone: its chance", cause(d, "length")["chance"], scipy.stats.chi2.sf(least_squares(
        lambda x: [(drive.wind(length + round(x[0], 7) - 10, mark) - read) / error for length, mark, read in rows], [10.0], diff_step=1e-2).cost * 2, 4), 0.02)
    told = {e: drive.ask(rows, f"wind: {e}, length: 0")[1]["together"] for e in (0.002, 0.02)}
    check("told apart by sharp readings only", told[0.002]["told_apart"] and not told[0.02]["told_apart"], told)
    # At 0.02 deg both errors are over what is usual (2.8 and 0.57 mm): either alone is enough.
    for usual, want in (("length: 50, cord: 5", True), ("length: 50", False), ("length: 2, cord: 5", False)):
        check(f"told apart with {usual}: {want}", drive.ask(rows, "wind: 0.02, length: 0", usual=usual)[1]["together"]["told_apart"] == want)
    # Two belts whose lengths are off each by itself: the error of what they share has both in it.
    twice = [(1920, 30, drive.wind(1920, 30)), (1932, 30, drive.wind(1932, 30))]
    _, sharp, _ = drive.ask(twice, "wind: 0.01, length: 1")
    near("two belts of 1 mm each: 1/sqrt(2)", cause(sharp, "length")["error_mm"], 1 / math.sqrt(2), 0.02)
    same = [(1920, 30, drive.wind(1920, 30)), (1920, 15, drive.wind(1920, 15))]
    _, one, _ = drive.ask(same, "wind: 0.01, length: 1")
    check("one belt at two marks is one belt", cause(one, "length")["error_mm"] < 0.1, cause(one, "length"))


def centres(drive):
    x, y = along(drive)
    rows = [(length, mark, drive.wind(length, mark, blower=(round(0.9 * x, 9), round(0.9 * y, 9)))) for length, mark in ((1914, 45), (1926, 30), (1932, 10))]
    code, d, err = drive.ask(rows, "wind: 0.1, length: 0.4")
    blower = cause(d, "centre", "blower")
    near("a blower that stands off", blower["size_mm"], 0.9, 0.03)
    check("which way", abs((blower["direction_deg"] - math.degrees(math.atan2(y, x)) + 180) % 360 - 180) < 1.5, (blower, x, y))
    check("it explains it", blower["explains"] and code == 0 and d["verdict"] == "marginal", d["causes"])
    check("what fits stands first", [c["explains"] for c in d["causes"]] == sorted((c["explains"] for c in d["causes"]), reverse=True))
    check("neither the crank nor what slides or swings is a cause", {c["pulley"] for c in d["causes"]} == {None, "alternator", "blower", "exit idler", "steering", "compressor"})


def others(folder):
    outside = Drive(folder, back=False)
    rows = [(length, mark, outside.wind(length + 1.5, mark)) for length, mark in ((1914, 45), (1926, 30), (1932, 10))]
    code, d, err = outside.ask(rows, "wind: 0.1, length: 1")
    check("with `outside` cord height explains nothing", not cause(d, "cord")["explains"] and not (d["together"] or {}).get("told_apart"), (cause(d, "cord"), d["together"]))
    locked = Drive(folder, "sedgemere-locked.yaml", back=False)
    marks = [(1920, None, locked.wind(1922)), (1926, None, locked.wind(1928))]
    code, d, err = locked.ask(marks, "mark: 0.2, length: 2", key="mark")
    check("a fixed tensioner", d is not None, err)
    near("its marks: 2 mm longer", cause(d, "length")["size_mm"], 2, 0.02)
    for drive, rows, key, want in ((locked, marks, "wind", "the drive has no arm"), (outside, rows, "mark", "the drive has no fixed tensioner")):
        code, d, err = drive.ask(rows, "wind: 0.1", key=key)
        check(want, code == 2 and want in err, err)
    code, d, err = outside.ask([(1926, None, 30.0), (2600, 30, 38.0)])
    check("a belt that does not lie", code == 2 and "does not lie" in err and ":7:5: belts" in err, err)
    pathlib.Path(outside.path + ".slot").write_text(f"snub: 1\ndrive: {outside.path}\nbelts: [{{length: 1926, wind: 38, settings: {{blower: 3}}}}]\n", encoding="utf-8")
    done = subprocess.run([SNUB, "measure", "belt", outside.path + ".slot"], capture_output=True, text=True, timeout=60)
    check("no such slot", done.returncode == 2 and "no slot of this name to be set: blower" in done.stderr, done.stderr)


def main():
    with tempfile.TemporaryDirectory(prefix="snub-belt-") as folder:
        drive = Drive(folder)
        one_belt(drive)
        several(drive)
        centres(drive)
        others(folder)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
