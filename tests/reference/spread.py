"""Paper strips, measuring balls and worn belts: values by geometry that is drawn here anew, and both sides of every limit.

Usage: spread.py SNUB. The last line is `N passed, N failed`."""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
import tally  # noqa: E402
from tally import check  # noqa: E402

SNUB = sys.argv[1]
DRIVE = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples/sedgemere.yaml")
Z = 1.959964


def near(name, got, want, tolerance):
    check(name, got is not None and abs(got - want) <= tolerance, f"got {got!r}, want {want!r}, tolerance {tolerance!r}")


def ask(text, *more, drive=DRIVE):
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(f"snub: 1\ndrive: {drive}\n{text}\n")
        file.flush()
        done = subprocess.run([SNUB, "measure", "spread", file.name, "--json", *more], capture_output=True, text=True, timeout=60)
    return done.returncode, json.loads(done.stdout) if done.returncode != 2 else None, done.stderr


def one(d, what, pulley=None):
    return next(c for c in d["checks"] if c["what"] == what and c["pulley"] == pulley)


def drive_now(*more):
    done = subprocess.run([SNUB, "check", str(DRIVE), "--rpm", "0", "--json", *more], capture_output=True, text=True, timeout=60)
    return json.loads(done.stdout)


def strips():
    wraps = {p["name"]: p["wrap_deg"] for p in drive_now()["pulleys"]}
    # Rib tips of a blower of 88 mm effective: 0.885 mm less (summary of the standard). The exit idler's back runs on 74 mm.
    for pulley, diameter in (("blower", None), ("exit idler", 74.0), ("steering", 126 - 0.885)):
        if diameter is None:
            diameter = 2 * next(p["pitch_radius_mm"] for p in drive_now()["pulleys"] if p["name"] == pulley) - 4 - 0.885
        degree = math.pi * diameter / 360
        for off, verdict, code in ((0.9, "pass", 0), (1.1, "marginal", 0), (1.9, "marginal", 0), (2.1, "fail", 1), (-2.1, "fail", 1), (-0.9, "pass", 0)):
            got, d, err = ask(f"strips: [{{pulley: {pulley}, arc: {wraps[pulley] * degree + off * Z * 1.2!r}}}]\nerrors: {{arc: 1.2}}")
            check(f"{pulley}, {off} of its error: {verdict}", d is not None and (one(d, "wrap", pulley)["verdict"], d["verdict"], got) == (verdict, verdict, code), (d, err))
            if d:
                near(f"{pulley}: wrap", one(d, "wrap", pulley)["value"], wraps[pulley] + off * Z * 1.2 / degree, 1e-3)
                near(f"{pulley}: its error", one(d, "wrap", pulley)["error"], 1.2 / degree, 1e-3)
                near(f"{pulley}: the layout's", one(d, "wrap", pulley)["expected"], wraps[pulley], 1e-6)
    _, d, _ = ask("strips: [{pulley: blower, arc: 157.0796327, diameter: 90}]")
    near("over a diameter that is given", one(d, "wrap", "blower")["value"], 200, 1e-6)
    _, d, err = ask("strips: [{pulley: blower, arc: 130}]", "--set", "belt.length=1932")
    near("another belt, another wrap", one(d, "wrap", "blower")["expected"], next(p["wrap_deg"] for p in drive_now("--set", "belt.length=1932")["pulleys"] if p["name"] == "blower"), 1e-6)


def over(effective, ball, angle=40.0, worn=0.0):
    """Two balls in a groove, drawn: flanks through the place where a ball of 2.5 mm sits 0.990 mm high, sunk by wear."""
    h = math.radians(angle / 2)
    apex = (effective + 0.990) / 2 - 1.25 - 1.25 / math.sin(h)  # radius at which the flanks meet
    centre = apex + ball / 2 / math.sin(h)
    return 2 * (centre + ball / 2) - 2 * worn


def balls():
    for ball in (2.0, 2.5, 3.0):
        for effective in (162.0, 161.7):
            _, d, err = ask(f"balls: [{{pulley: crank, ball: {ball}, over: [{over(effective, ball)!r}]}}]")
            near(f"ball of {ball}", one(d, "diameter", "crank")["value"], effective, 1e-6)
            check("one groove: no variation", len(d["checks"]) == 1, d["checks"])
    for worn, verdict in ((0.29, "pass"), (0.305, "marginal"), (0.34, "fail"), (-0.34, "fail")):
        code, d, _ = ask(f"balls: [{{pulley: crank, ball: 2.5, over: [{over(162, 2.5, worn=worn)!r}]}}]\nerrors: {{over: 0.02}}")
        check(f"worn by {worn} a side: {verdict}", one(d, "diameter", "crank")["verdict"] == verdict and code == (verdict == "fail"), d["checks"])
    # groove to groove: 0.15 mm (ISO 9981:2020); its error is sqrt(2) of 0.02, 95 % is 0.055.
    for spread, verdict in ((0.14, "pass"), (0.19, "marginal"), (0.22, "fail")):
        w = over(162, 2.5)
        code, d, _ = ask(f"balls: [{{pulley: crank, ball: 2.5, over: [{w!r}, {w - 0.4 * spread!r}, {w + 0.6 * spread!r}]}}]\nerrors: {{over: 0.02}}")
        check(f"grooves {spread} apart: {verdict}", one(d, "grooves", "crank")["verdict"] == verdict and code == (verdict == "fail"), d["checks"])
        near("as they are", one(d, "grooves", "crank")["value"], spread, 1e-9)
        near("the mean of three", one(d, "diameter", "crank")["error"], 0.02 / math.sqrt(3), 1e-9)
    # Angle by two sizes, 40 deg in the drive file; 1 deg either way.
    for angle, verdict in ((40.0, "pass"), (40.9, "pass"), (41.1, "marginal"), (42.5, "fail"), (37.5, "fail")):
        code, d, _ = ask(f"balls: [{{pulley: crank, ball: 2.5, over: [{over(162, 2.5, angle)!r}]}}, {{pulley: crank, ball: 3.5, over: [{over(162, 3.5, angle)!r}]}}]\nerrors: {{over: 0.01}}")
        check(f"{angle} deg: {verdict}", one(d, "angle", "crank")["verdict"] == verdict, d["checks"])
        near("angle", one(d, "angle", "crank")["value"], angle, 1e-6)
        step = 1e-5
        slope = (over(162, 3.5, angle + step) - over(162, 2.5, angle + step) - over(162, 3.5, angle - step) + over(162, 2.5, angle - step)) / (2 * step)
        near("its error", one(d, "angle", "crank")["error"], math.sqrt(2) * 0.01 / abs(slope), 1e-5)
    for want, text in (("no grooves of section PK", "balls: [{pulley: exit idler, ball: 2.5, over: [100]}]"), ("no pulley of this name: pump", "balls: [{pulley: pump, ball: 2.5, over: [100]}]"),
                       ("no pulley of this name: pump", "strips: [{pulley: pump, arc: 100}]"),
                       ("do not sit in one groove", "balls: [{pulley: crank, ball: 2.5, over: [163]}, {pulley: crank, ball: 3, over: [163.4]}]")):
        code, d, err = ask(text)
        check(want, code == 2 and want in err, err)


def worn():
    # belt.worn of the example is 0.003; tape 0.5 mm: error of the growth sqrt(2) 0.5/2000, 95 % of it 0.069 %.
    for growth, verdict in ((0.19, "pass"), (0.21, "marginal"), (0.29, "marginal"), (0.31, "fail")):
        code, d, _ = ask(f"worn: {{outside: {{new: 2000, now: {2000 * (1 + growth / 100)!r}}}}}\nerrors: {{tape: 0.5}}")
        g = one(d, "growth")
        check(f"grown by {growth} %: {verdict}", g["verdict"] == verdict and code == (verdict == "fail"), d)
        near("growth", g["value"], growth, 1e-9)
        near("its error", g["error"], 100 * math.sqrt(2) * 0.5 / 2000, 1e-9)
        near("the drive's limit", g["limit"], 0.3, 1e-9)
    code, d, _ = ask("worn: {outside: {new: 2000, now: 2003.6}}\nerrors: {tape: 2}")
    check("not surely under it: watched", one(d, "growth")["verdict"] == "marginal")
    code, d, _ = ask("worn: {outside: {new: 2000, now: 2006.5}}", "--set", "belt.worn=0.004")
    check("--set moves the limit", one(d, "growth")["verdict"] == "marginal" and code == 0)
    code, d, err = ask("worn: {outside: {new: 2000, now: 2003}}", "--set", "belt.worn=0")
    check("no limit in the drive", code == 2 and "how far a belt may grow" in err, err)
    for now, verdict in ((0.3, "pass"), (0.25, "marginal"), (0.01, "marginal"), (0.0, "fail"), (-0.1, "fail")):
        code, d, _ = ask(f"worn: {{pin: {{new: 0.8, now: {now}}}}}")
        check(f"a pin {now} over the ribs: {verdict}", one(d, "pin")["verdict"] == verdict and code == (verdict == "fail"), d)
    _, d, _ = ask("worn: {pin: {new: 0.8, now: 0.35}}\nerrors: {pin: 0.2}")
    check("not surely over: watched", one(d, "pin")["verdict"] == "marginal")


def main():
    strips()
    balls()
    worn()
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
