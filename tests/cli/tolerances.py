#!/usr/bin/env python3
"""A drive file with tolerances gets the answers of the same file without them, from every command and the page; a value that
is dragged keeps its tolerance.

Tolerances are put behind the numbers of each example by this test. Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is
`N passed, N failed`."""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

from served import Server
from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
EXAMPLES = ["three-pulleys", "sedgemere", "sedgemere-locked", "sedgemere-centrifugal", "ironbrook-v8"]
# Of a file's bytes, not of what it says; and the command to type again, which has the file's name.
OF_THE_FILE = {"fingerprint", "line", "column", "command", "read_from"}
SECTION = "\ntolerances:\n  - {of: crank.at, plus_minus: 0.2, group: block, correlation: 0.9}\n"


def tolerated(text):
    """Tolerances behind diameters, coordinates, rates and the like; in three ways of writing them."""
    count = 0

    def behind(found):
        nonlocal count
        count += 1
        number, unit = found[2], found[3] or ""
        way = (f"{number}{unit} +- 1 %", f"{number}{unit} +0.01 -0", f"{number}{unit} \u00b1 {float(number) / 256}{unit}")[count % 3]
        return found[1] + way
    out = re.sub(r"\b((?:diameter|value|pivot_radius|preload|rate|damping|inertia|width|swept|outside|travel|torque|thickness|fixed_tension): )"
                 r"(\d+(?:\.\d+)?)( (?:mm|in|N m/deg|N m|lbf ft|lbf|N|L|deg))?(?=[,}\n]| *#)", behind, text)
    # a point: its coordinates with tolerances
    out, points = re.subn(r"\b(at: \[)(?!0, 0\])(-?\d+(?:\.\d+)?)( in| mm)?, (-?\d+(?:\.\d+)?)( in| mm)?\]",
                          r"\g<1>\2\3 +- 0.1, \4\5 +- 0.1]", out)
    return out + SECTION, count + points


def stripped(answer):
    if isinstance(answer, dict):
        return {key: stripped(value) for key, value in answer.items() if key not in OF_THE_FILE}
    return [stripped(one) for one in answer] if isinstance(answer, list) else answer


def run(folder, *words):
    done = subprocess.run([SNUB, *words], cwd=folder, capture_output=True, text=True)
    return done.returncode, done.stdout, done.stderr


def compare(top, name):
    plain = (TOP / "examples" / f"{name}.yaml").read_text()
    text, count = tolerated(plain)
    # the same number of lines, so that findings are at the same places
    for kind, body in (("plain", plain), ("with", text)):
        folder = top / kind
        folder.mkdir(exist_ok=True)
        if not (folder / "maps").exists():
            (folder / "maps").symlink_to(TOP / "examples/maps")
        (folder / "kit.yaml").write_text(body)
    check(f"{name}: tolerances were put in", count >= 5, count)
    for words in (("check",), ("chart",), ("sheet",), ("mount",), ("motion",), ("bill",)):
        got = {kind: run(top / kind, *words, "kit.yaml", "--json") for kind in ("plain", "with")}
        check(f"{name}: {words[0]}: read", got["with"][1].startswith("{") and got["with"][0] == got["plain"][0], got["with"][2] or got["with"][1][:800])
        if got["with"][1].startswith("{") and got["plain"][1].startswith("{"):
            a, b = (stripped(json.loads(got[kind][1])) for kind in ("plain", "with"))
            check(f"{name}: {words[0]}: the same answer", a == b, difference(a, b))


def difference(a, b, at=""):
    if type(a) is not type(b):
        return f"{at}: {a!r} and {b!r}"
    if isinstance(a, dict):
        found = [difference(a.get(k), b.get(k), f"{at}.{k}") for k in sorted(set(a) | set(b)) if a.get(k) != b.get(k)]
        return "; ".join(found[:3])
    if isinstance(a, list) and len(a) == len(b):
        return "; ".join([difference(x, y, f"{at}.{i}") for i, (x, y) in enumerate(zip(a, b)) if x != y][:3])
    return f"{at}: {a!r} and {b!r}"


def without_words(answer):
    """Without what is laid over, as it was typed."""
    if isinstance(answer, dict):
        return {key: without_words(value) for key, value in answer.items() if key != "set"}
    return [without_words(one) for one in answer] if isinstance(answer, list) else answer


def try_overlays(top):
    """--set with a tolerance is the number; one that is wrong is refused."""
    folder = top / "plain"
    (folder / "kit.yaml").write_text((TOP / "examples/three-pulleys.yaml").read_text())
    answers = [run(folder, "check", "kit.yaml", "--json", "--set", f"alternator.diameter={value}") for value in ("62", "62 +- 0.1", "62 mm +0.1 -0")]
    a = without_words(stripped(json.loads(answers[0][1])))
    for code, out, _ in answers[1:]:
        b = without_words(stripped(json.loads(out)))
        check("--set with a tolerance", code == answers[0][0] and a == b, difference(a, b))
    code, out, told = run(folder, "check", "kit.yaml", "--set", "alternator.diameter=62 +- 0")
    check("--set with a tolerance of zero is refused", code == 2 and "tolerance of zero" in told + out, (code, told))
    code, out, told = run(folder, "check", "kit.yaml", "--set", "belt.ribs=6 +- 1")
    check("--set of a count with a tolerance is refused", code == 2 and "takes no tolerance" in told + out, (code, told))


def try_page(top):
    text = (TOP / "examples/three-pulleys-scatter.yaml").read_text()
    (top / "page").mkdir()
    server = Server(top / "page")
    try:
        def apply(path, value):
            status, body, _ = server.ask("/api/apply", {"file": "kit.yaml", "text": text, "changes": [{"path": path, "value": value}]})
            return body.get("text", "") if status == 200 else f"status {status}: {body}"
        check("a diameter that is changed keeps its tolerance", "diameter: 151.5 +- 0.1}" in apply("crank.diameter", 151.5), apply("crank.diameter", 151.5)[:900])
        check("uneven ones, too", "diameter: 72 +0 -0.2\n" in apply("tensioner.diameter", 72))
        check("a length with its unit", "length: 112 mm +- 0.15 mm" in apply("tensioner.arm.length", 112), apply("tensioner.arm.length", 112)[:900])
        check("a tolerance that is typed", 'diameter: "151.5 +- 0.3"}' in apply("crank.diameter", "151.5 +- 0.3"), apply("crank.diameter", "151.5 +- 0.3")[:900])
        moved = apply("alternator.at", [-21, 321])
        check("a pulley that is dragged", "at: [-21, 321]" in moved and "bracket casting" in moved, moved[:900])
        outside = text.replace("diameter: 150 +- 0.1", "diameter: {value: 150 +- 0.1, over: outside}")
        shapes = []
        for one in (outside, outside.replace("150 +- 0.1", "150")):
            status, body, _ = server.ask("/api/lay", {"file": "kit.yaml", "text": one, "changes": []})
            shapes.append(stripped(body) if status == 200 else (status, body))
        check("the page shows the number", shapes[0] == shapes[1] and "150" in json.dumps(shapes[0]), difference(*shapes))
    finally:
        server.stop()


with tempfile.TemporaryDirectory() as folder:
    top = pathlib.Path(folder)
    for example in EXAMPLES:
        compare(top, example)
    try_overlays(top)
    try_page(top)
sys.exit(end())
