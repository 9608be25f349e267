"""A study of tolerances through every door: the terminal's words, JSON, CSV, histograms and the papers of the server say the same
numbers, and `snub check` says of its kits what it says. Drives: belts of the catalogue, variants, packages, a locked pulley,
inches, a centrifugal, a V8, a sample out of a table.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import base64
import csv
import io
import json
import math
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
from served import Server  # noqa: E402
from tally import check, end  # noqa: E402

SNUB, TOP = os.path.abspath(os.environ["SNUB_BIN"]), pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
KITS = 40
# key of the JSON: words, decimals, the same in inches, what one unit of the JSON is in them
SHOWN = {"worst_grip": ("worst grip", 3, 3, 1, ""), "blower_grip": ("grip of the blower", 3, 3, 1, ""),
         "blower_wrap_deg": ("wrap of the blower", 2, 2, 1, ""), "arm_wind_stopped_deg": ("arm, engine stopped", 2, 2, 1, ""), "arm_wind_redline_deg": ("arm at redline", 2, 2, 1, ""),
         "tightest_gap_mm": ("tightest gap", 2, None, 1 / 25.4, "in"), "boost_kPa": ("boost at redline", 2, None, 1 / 6.894757293168361, "psi")}


class Kit:
    """A drive, and how it is asked."""

    def __init__(self, name, file, *options, inches=False, more=()):
        self.name, self.file, self.inches = name, file, inches
        self.options = dict(options)  # as the page gives them
        self.words = [f"--{key}={value}" for key, value in options]
        self.more = list(more)  # beside them on the terminal: the catalogue, which the server has

    def run(self, folder, command, *words):
        return subprocess.run([SNUB, command, self.file, *self.more, *map(str, words)], cwd=folder, capture_output=True, timeout=200)

    def study(self, folder, *words):
        return self.run(folder, "tolerate", *self.words, f"--kits={KITS}", *words)


def says(kit, key, value, text):
    """Whether a number of a table is the JSON's, at the decimals that it is shown with."""
    if value is None:
        return text == "not known"
    factor = SHOWN[key][3] if kit.inches else 1
    have = float(text.replace("\u2212", "-"))
    return abs(have - value * factor) <= 0.5 * 10 ** -len(text.partition(".")[2]) + 1e-9


def rows_under(text, head, first=25):
    """{title: words} of the table below a head, to the next empty line."""
    lines = text.split(head, 1)[1].splitlines()[1:]
    found = {}
    for line in lines:
        if not line.strip() or not re.match(r"[a-z]", line):
            break
        found[line[:first].split(",")[0].strip() + (", engine stopped" if line.startswith("arm, e") else "")] = line[first:].split()
    return found


def terminal(kit, got, text):
    plain = " ".join(text.split())
    f = got["failing"]
    sentence = f"{f['kits']} fail: {100 * f['share']:.1f} %, with 95 % confidence {100 * f['low']:.1f} to {100 * f['high']:.1f} %. {got['verdicts']['marginal']} are marginal, {got['verdicts']['pass']} pass."
    check(f"{kit.name}, terminal: the sentence", f"Of {got['samples']} kits of this build ({got['build']['designation']}" in plain and sentence in plain, (sentence, plain[:300]))
    check(f"{kit.name}, terminal: verdicts", f"as snub check judges it: {got['checked_verdict']}; its nominal kit: {got['nominal']['verdict']}" in plain, plain[:400])
    for rule in got["rules"]:
        want = [rule["rule"], str(rule["kits"]), f"{100 * rule['low']:.1f}", "to", f"{100 * rule['high']:.1f}", "%", str(rule["marginal"])]
        check(f"{kit.name}, terminal: {rule['rule']}", any(line.split() == want for line in text.splitlines()), want)
    worst = {n["number"]: n for n in got["worst_case"]["numbers"]}
    ends = rows_under(text, "RSS, 3 sigma")
    for key, (words, *_) in SHOWN.items():
        line = next((line for line in text.splitlines() if re.match(rf"{words} +[-\u2212\d]", line)), None)
        one = got["numbers"][key]
        check(f"{kit.name}, terminal: {words} is there where a kit has it", (line is not None) == (one["kits"] > 0), line)
        if not one["kits"]:
            continue
        have = re.findall(r"[-\u2212]?\d+\.\d+", line[20:])
        want = [one[k] for k in ("nominal", "mean", "standard_deviation", "least", "greatest")]
        check(f"{kit.name}, terminal: {words}", len(have) == 5 and all(says(kit, key, w, h) for w, h in zip(want, have)), (line, want))
        row = [w for w in " ".join(ends[words]).replace("not known", "?").split() if w != "to"]
        w = worst[key]
        ranges = [(None, None), tuple((w["rss"] or {}).values()) or (None, None), tuple(w[k] and w[k]["value"] for k in ("lowest", "highest"))]
        want = [w["nominal"]] + [v for pair in ranges for v in (pair if None not in pair else ("?",))]
        check(f"{kit.name}, terminal: RSS and worst case of {words}", len(row) == len(want) and all(
            a == b == "?" or (a != "?" and b != "?" and says(kit, key, b, a)) for a, b in zip(row, want)), (row, want))
    for one in got["capability"]:
        row = rows_under(text, "\ncapability ")[SHOWN[one["number"]][0]]
        check(f"{kit.name}, terminal: capability of {one['number']}", f"{one['kits_beyond']}," in row and ("scatter" in row if one["cpk"] is None else
              f"{one['cpk']:.2f}".replace("-", "\u2212") in row), (row, one))


def table(kit, got, rows):
    check(f"{kit.name}, CSV: verdicts", all(sum(r["verdict"] == level for r in rows) == got["verdicts"][level] for level in ("pass", "marginal", "fail")) and len(rows) == got["samples"])
    for rule in got["rules"]:
        check(f"{kit.name}, CSV: {rule['rule']}", sum(rule["rule"] in r["rules that fail"].split() for r in rows) == rule["kits"], rule["rule"])
    for key, (words, *_) in SHOWN.items():
        one = got["numbers"][key]
        values = [float(r[h]) for r in rows for h in r if h.startswith(words) and r[h] != ""]
        check(f"{kit.name}, CSV: kits with {words}", len(values) == one["kits"], len(values))
        if values:
            check(f"{kit.name}, CSV: {words}", all(math.isclose(a, b, rel_tol=1e-6, abs_tol=1e-6) for a, b in (
                (min(values), one["least"]), (max(values), one["greatest"]), (sum(values) / len(values), one["mean"]))), one)


def drawing(kit, got, svg, pdf):
    words = [re.sub("<[^>]*>", "", t) for t in re.findall(r"<text[^>]*>(.*?)</text>", svg.decode(), re.S)]
    notes = [(m[1], int(m[2])) for t in words for m in re.finditer(r"(below|above) [^:;]*: (\d+) kits", t)]
    want = [(side, one[f"kits_{side}"]) for one in got["distributions"] for side, limit in (("below", "low_limit"), ("above", "high_limit")) if one[limit] is not None]
    check(f"{kit.name}, histograms: kits beyond the limits", notes == want, (notes, want))
    check(f"{kit.name}, histograms: how many fail", any(f"By all rules {got['failing']['kits']} kits fail" in t for t in words), words[-3:])
    printed = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    check(f"{kit.name}, PDF: the notes of the SVG", all(re.sub(r"\s+", "", t) in re.sub(r"\s+", "", printed) for t in words if "kits" in t and len(t) > 6), printed[:300])


def papers(kit, server, folder):
    for form in ("text", "json", "svg", "pdf"):
        want = kit.study(folder, f"--format={form}", "-o", "paper.out")
        etag = server.ask(f"/api/drive?file={kit.file}")[1]["etag"]
        status, answer, _ = server.ask("/api/paper", {"file": kit.file, "etag": etag, "command": "tolerate", "kind": "", "form": form,
                                                      "options": {**kit.options, "kits": str(KITS)}})
        job = answer.get("job")
        while status == 202 and answer.get("state", "running") == "running":
            time.sleep(0.02)
            answer = server.ask(f"/api/job?id={job}")[1]
        made = answer.get("result", answer)
        check(f"{kit.name}, the server's paper, {form}: the very bytes", "data" in made and base64.b64decode(made["data"]) == (folder / "paper.out").read_bytes()
              and made["code"] == want.returncode, (status, str(made)[:300], want.stderr))


def checked(kit, got, folder):
    """The nominal kit, the first that fails, and two at the ends, by `snub check --set`."""
    kits = [("nominal", got["nominal"])] + [(r["rule"], r["example"]) for r in got["rules"] if r["example"]][:1]
    kits += [(n["number"], n[side]) for n in got["worst_case"]["numbers"] if n["known"] for side in ("lowest", "highest")][:2]
    own = [w for w in kit.words if not w.startswith(("--kits", "--seed"))]
    for name, one in kits:
        done = kit.run(folder, "check", *own, "--json", *(w for path, text in one["set"].items() for w in ("--set", f"{path}={text}")))
        answer = json.loads(done.stdout) if done.stdout else {}
        fails = sorted({f["rule"] for f in answer.get("findings", []) if f["level"] == "fail"})
        check(f"{kit.name}, check: {name}", answer.get("verdict") == one.get("verdict") and ("rules" not in one or sorted(one["rules"]) == fails), (one, done.stderr, fails))


def through_all(kit, server, folder):
    done = kit.study(folder, "--json", "--csv", "kits.csv")
    got = json.loads(done.stdout)
    if "samples" not in got:
        raise SystemExit(f"{kit.name}: {got}")
    check(f"{kit.name}: there are numbers, and something scatters", got.get("samples") == KITS and got["tolerances"] and got["worst_case"]["numbers"], done.stderr)
    check(f"{kit.name}: exit code", done.returncode == (1 if got["checked_verdict"] == "fail" else 0), done.returncode)
    terminal(kit, got, kit.study(folder).stdout.decode())
    with open(folder / "kits.csv", newline="", encoding="utf-8") as file:
        table(kit, got, list(csv.DictReader(io.StringIO(file.read()))))
    drawing(kit, got, kit.study(folder, "--format=svg", "-o", "-").stdout, kit.study(folder, "--format=pdf", "-o", "-").stdout)
    papers(kit, server, folder)
    if "build" not in kit.options:  # check of a row of the chart chooses its belt anew
        checked(kit, got, folder)
    return got


def kits_in(folder):
    three = (TOP / "examples/three-pulleys-scatter.yaml").read_text()
    shutil.copytree(TOP / "examples", folder, dirs_exist_ok=True)
    (folder / "inches.yaml").write_text(three + "units: us\n")
    (folder / "tight.yaml").write_text(three.replace("stock: {from: 900, to: 1100, step: 5}", "length: 990").replace("work: [3, 21]", "work: [10, 16]").replace("travel: 32", "travel: 17"))
    (folder / "table.yaml").write_text(three.replace("plus_minus: 0.1, shape: triangular", "sample: {file: bores.csv, column: bore}"))
    (folder / "bores.csv").write_text("part,bore [mm]\nA1,59.95\nA2,60.02\nA3,60.05\n")
    (folder / "catalogue.yaml").write_text(three.replace("stock: {from: 900, to: 1100, step: 5}, tolerance: 5", "stock: catalogue"))
    (folder / "belts.csv").write_text("key,kind,source,section,ribs,length [mm]\n" + "".join(f"BELT-{i},belt,invented,PK,6,{900 + 5 * i}\n" for i in range(40)))
    subprocess.run([SNUB, "parts", "import", "belts.csv", "--catalogue", "parts.db"], cwd=folder, check=True, capture_output=True)
    return [Kit("three pulleys", "three-pulleys-scatter.yaml"), Kit("kits that fail", "tight.yaml", ("seed", "5")), Kit("inches", "inches.yaml", inches=True),
            Kit("belts of the catalogue", "catalogue.yaml", more=["--catalogue", "parts.db"]), Kit("a table", "table.yaml"), Kit("a blower", "sedgemere.yaml"),
            Kit("a variant and a package", "sedgemere.yaml", ("variant", "low compressor"), ("package", "touring")), Kit("a row of the chart", "sedgemere.yaml", ("build", "4")),
            Kit("locked", "sedgemere-locked.yaml"), Kit("centrifugal", "sedgemere-centrifugal.yaml"), Kit("V8", "ironbrook-v8.yaml", inches=True)]


def main():
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work)
        kits = kits_in(folder)
        server = Server(str(folder), more=("--port", "0", "--catalogue", str(folder / "parts.db")), program=SNUB)
        try:
            answers = {kit.name: through_all(kit, server, folder) for kit in kits}
        finally:
            server.stop()
    check("some kits fail in one of them", 0 < answers["kits that fail"]["failing"]["kits"] < KITS, answers["kits that fail"]["failing"])
    check("the catalogue's belt", answers["belts of the catalogue"]["build"]["part"] is not None, answers["belts of the catalogue"]["build"])
    return end()


sys.exit(main())
