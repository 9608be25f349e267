"""The same question through every door: belt, settings, verdict, findings and exit code must be the same, to the bit.

Doors: `check` (with and without --rpm), `chart`, `sweep`, `mount`, `compare`, `draw`, `sheet`, the page's requests, and the
answer pasted back into the file. Drives: every build of every example, and random ones (fronts.py): open lengths and
settings, arms, locks, neither; slots straight and curved; options, variants, inches; blowers, hardware; without an engine.
SNUB_DOORS_COUNT: how many random drives (28). The last line is `N passed, N failed`.
"""
import http.client
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor

import yaml

import fronts

SNUB, SOURCE = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
COUNT = int(os.environ.get("SNUB_DOORS_COUNT", "28"))
PRINTED_EVERY = 6  # of the random drives, one in this many gets every view drawn and its printed pages read


def where_apart(key, got, want):
    if key == "findings" and got and want:
        only = [[f for f in one if f not in other] for one, other in ((got, want), (want, got))]
        return f"findings: got {only[0][:1]}, want {only[1][:1]}"
    return f"{key}: got {got!r}, want {want!r}"


class Tally:
    """What one drive has to tell: added up when it is done."""

    def __init__(self, name):
        self.name, self.passed, self.failed, self.kinds = name, 0, [], set()
        self.shown = 0

    def expect(self, what, good, *why):
        if good:
            self.passed += 1
        else:
            self.failed.append("\n    ".join([f"FAILED {self.name}: {what}", *(str(w)[:700] for w in why)]))

    def same(self, what, got, want):
        if isinstance(got, dict) and isinstance(want, dict):
            off = {k: (got.get(k), want.get(k)) for k in {*got, *want} if got.get(k) != want.get(k)}
            self.expect(what, not off, *(where_apart(k, g, w) for k, (g, w) in off.items()))
        else:
            self.expect(what, got == want, f"got {got!r}", f"want {want!r}")


def snub(*arguments):
    done = subprocess.run([SNUB, *arguments], capture_output=True, text=True)
    return done.returncode, done.stdout, done.stderr


def answer(*arguments):
    """(exit code, JSON); JSON is None where there is no answer."""
    code, out, err = snub(*arguments, "--json")
    try:
        return code, json.loads(out)
    except json.JSONDecodeError:
        return code, {"no answer": err}


# ---- what is to be the same -------------------------------------------------------------------------------------------------

FINDING = ("level", "rule", "area", "pulley", "other", "span", "value", "limit", "unit", "at_rpm", "state", "belt",
           "warmth", "arm_friction", "shown_by", "text")


def decided(data, build=None):
    """What an answer decides: belt, settings, verdict, findings; of a chart's row `build` is its row."""
    if "verdict" not in data:
        return data
    of = build or data["build"]
    return {**{k: of[k] for k in ("designation", "part", "ribs", "belt_length_mm", "slots_mm", "why", "runner_up")},
            "verdict": data["verdict"], "findings": [{k: f[k] for k in FINDING} for f in data["findings"]]}


def exit_of(verdict):
    return 1 if verdict == "fail" else 0


# ---- the page ---------------------------------------------------------------------------------------------------------------

class Page:
    """`snub serve` on a folder, asked as the page asks."""

    def __init__(self, folder):
        self.process = subprocess.Popen([SNUB, "serve", folder, "--port", "0"], stdout=subprocess.PIPE, text=True)
        self.host, port, key = re.fullmatch(r"http://([^/]+):(\d+)/#key=([\w-]+)", self.process.stdout.readline().strip()).groups()
        self.port, self.bearer = int(port), f"Bearer {key}"

    def ask(self, method, path, body=None):
        link = http.client.HTTPConnection(self.host, self.port, timeout=300)
        link.request(method, path, None if body is None else json.dumps(body),
                     {"Authorization": self.bearer, "Content-Type": "application/json"})
        got = link.getresponse()
        data = json.loads(got.read())
        link.close()
        return got.status, data

    def lay(self, file, text, changes=(), rpm=None):
        body = {"file": file, "text": text, "changes": list(changes), "whole": True}
        if rpm is not None:
            body["rpm"] = rpm
        status, data = self.ask("POST", "/api/lay", body)
        return data["check"] if status == 200 and data.get("check") else data

    def chart(self, file, text):
        _, data = self.ask("POST", "/api/chart", {"file": file, "text": text, "changes": []})
        job = data.get("job")
        while job is not None and data.get("state", "running") == "running":
            time.sleep(0.02)
            _, data = self.ask("GET", f"/api/job?id={job}")
        return data.get("result", data)

    def stop(self):
        self.process.terminate()
        self.process.wait(20)


# ---- doors ------------------------------------------------------------------------------------------------------------------

def tables_of(tally, path, more, rpms):
    """The decision of `check`, and that of `check` at other speeds, sweep and mount."""
    code, whole = answer("check", path, *more)
    want = decided(whole)
    if "verdict" not in want:
        tally.expect("a drive that is read gets an answer", False, want)
        return None
    tally.same("exit code of check", code, exit_of(want["verdict"]))
    for rpm in rpms:
        code, data = answer("check", path, *more, "--rpm", str(rpm))
        tally.same(f"check --rpm {rpm}", decided(data), want)
        tally.same(f"exit code of check --rpm {rpm}", code, exit_of(want["verdict"]))
        tally.same("fingerprint of check --rpm", data["build"]["fingerprint"], whole["build"]["fingerprint"])
    for command in (["sweep", path, *more, "--no-offers", "-n", "2"], ["mount", path, *more]):
        code, data = answer(*command)
        if command[0] == "sweep" and "no answer" in data:
            tally.expect("no sweep without blower, engine or belt", code == 2, data)
            continue
        tally.same(command[0], decided(data), want)
        tally.same(f"exit code of {command[0]}", code, exit_of(want["verdict"]))
        tally.same(f"fingerprint of {command[0]}", data["build"]["fingerprint"], whole["build"]["fingerprint"])
    return whole


def value_shown(data, finding):
    """What a check in the finding's case shows of the quantity that the finding speaks of; NotImplemented: nothing."""
    pulley = next((p for p in data["pulleys"] if p["name"] == finding["pulley"]), {})
    span = next((s for s in data["spans"] if finding["span"] == [s["from"], s["to"]]), {})
    tight = span.get("tension_N")
    shown = {"grip": [pulley.get("grip_used"), pulley.get("grip_used_limit")], "grip_wet": [pulley.get("grip_used_wet")],
             "wrap": [pulley.get("wrap_deg")], "pulley_speed": [pulley.get("rpm")], "belt_speed": [data["belt"]["speed_m_s"]],
             "rib_tension": [tight and tight / float(re.match(r"\d+", data["build"]["designation"]).group())],
             "slack": [tight and tight - data["belt"]["centrifugal_tension_N"]], "arm_travel": [(data["arm"] or {}).get("wind_deg")]}
    return shown.get(finding["rule"], NotImplemented)


def cases_shown(tally, path, more, whole):
    """The command that a finding prints shows the very value."""
    seen = 0
    for f in whole["findings"]:
        if f["shown_by"] is None or f["value"] is None or value_shown(whole, f) is NotImplemented:
            continue
        code, data = answer("check", path, *more, *f["shown_by"].split())
        if data.get("state", {}).get("no_equilibrium") or not data.get("pulleys"):
            tally.expect(f"{f['rule']} by {f['shown_by']} has an answer", False, data.get("state", data))
            continue
        got = value_shown(data, f)
        tally.expect(f"{f['rule']} by {f['shown_by']}: {f['value']}",
                     any(g is not None and abs(g - f["value"]) <= 1e-8 * max(1.0, abs(f["value"])) for g in got), got)
        tally.same("the verdict does not go by what is shown", (code, data["verdict"]), (exit_of(whole["verdict"]), whole["verdict"]))
        seen += 1
    return seen


def pictures_of(tally, path, more, whole, work, views):
    """Drawing and printed pages: exit code, belt, verdict, DO NOT FIT."""
    verdict, belt = whole["verdict"], whole["build"]["designation"]
    none = belt is None
    for view in views:
        svg = os.path.join(work, f"{tally.name}-{view}.svg")
        code, _, err = snub("draw", path, *more, "--view", view, "-o", svg)
        tally.same(f"exit code of draw --view {view}", code, exit_of(verdict))
        if not os.path.exists(svg):
            tally.expect(f"draw --view {view} draws", False, err)
            continue
        with open(svg, encoding="utf-8") as file:
            words = re.findall(r"<text[^>]*>([^<]*)", file.read())
        tally.expect(f"{view}: the drawing's verdict", verdict in words, err)
        tally.expect(f"{view}: the drawing's belt", none or any(belt in w for w in words), belt)
        tally.same(f"{view}: the drawing's DO NOT FIT", any(w.startswith("DO NOT FIT") for w in words), verdict == "fail")
        tally.expect(f"{view}: the drawing's fingerprint", any(whole["build"]["fingerprint"][:8] in w for w in words))
        os.remove(svg)


def line_of(whole):
    """How every printed page names the build, without what differs from the file."""
    return whole["build"]["designation"] or "no belt", f"verdict: {whole['verdict']}"


def pages_of(tally, path, more, whole, work):
    for kind in ("fitting", "parts", "template", "report"):
        pdf = os.path.join(work, f"{tally.name}-{kind}.pdf")
        code, _, err = snub("sheet", path, *more, "--kind", kind, "-o", pdf)
        tally.same(f"exit code of sheet --kind {kind}", code, exit_of(whole["verdict"]))
        if not os.path.exists(pdf):
            tally.expect(f"sheet --kind {kind} is printed", False, err)
            continue
        text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
        for number, page in enumerate(text.rstrip("\f").split("\f"), 1):
            flat = " ".join(page.split())
            for words in line_of(whole):
                tally.expect(f"{kind}, page {number} says {words}", words in flat, flat)
            tally.same(f"{kind}, page {number}: DO NOT FIT", "DO NOT FIT" in flat, whole["verdict"] == "fail")
        os.remove(pdf)


def compared(tally, path, more, whole, twice):
    code, data = answer("compare", *twice, *more)
    tally.same("exit code of compare", code, exit_of(whole["verdict"]))
    if "a" not in data:
        tally.expect("compare answers", False, data)
        return
    for side in ("a", "b"):
        tally.same(f"compare, {side}", (data[side]["verdict"], data[side]["build"]), (whole["verdict"], whole["build"]))
    tally.expect("a build differs from itself in nothing", data["differences"] == [], data["differences"])


def pasted(tally, path, more, whole, page=None):
    """Belt and settings as printed, written over the file: the same build."""
    build = whole["build"]
    if build["designation"] is None:
        return
    sets = {"belt.length": build["belt_length_mm"]}
    for name, at in build["slots_mm"].items():
        if at is not None:
            sets[f"{name}.slot.setting"] = at
    arguments = [a for path_, value in sets.items() for a in ("--set", f"{path_}={value!r}")]
    code, data = answer("check", path, *[m for m in more if m != "--free"], *arguments)
    if "no answer" in data and "lock" in data["no answer"]:  # a locked slot has no setting to write
        keep = [a for p, v in sets.items() if p == "belt.length" for a in ("--set", f"{p}={v!r}")]
        code, data = answer("check", path, *[m for m in more if m != "--free"], *keep)
    got, want = decided(data), decided(whole)
    for side in (got, want):
        for key in ("why", "runner_up", "part"):
            side.pop(key, None)
    with open(path, encoding="utf-8") as file:
        chosen_freely = "stock" not in file.read()
    if chosen_freely:  # with the length written there is no choice left for the note on the choice to doubt
        for side in (got, want):
            side["findings"] = [f for f in side["findings"] if f["rule"] != "belt_back"]
    tally.same("pasted back", got, want)
    tally.same("exit code, pasted back", code, exit_of(whole["verdict"]))


def through_all(path, work, page, printed):
    name = os.path.splitext(os.path.basename(path))[0]
    tally = Tally(name)
    with open(path, encoding="utf-8") as file:
        text = file.read()
    views = ("front", "side", "template") if printed else ("front",)
    whole = tables_of(tally, path, [], (0, 2345))
    if whole is None:
        return tally
    tally.shown = cases_shown(tally, path, [], whole)
    pictures_of(tally, path, [], whole, work, views)
    if printed:
        pages_of(tally, path, [], whole, work)
    compared(tally, path, [], whole, (path, path))
    pasted(tally, path, [], whole)
    laid = page.lay(os.path.basename(path), text)
    tally.same("the page", decided(laid), decided(whole))
    tally.same("the page's fingerprint", laid.get("build", {}).get("fingerprint"), whole["build"]["fingerprint"])
    tally.kinds = {whole["verdict"], *(f["rule"] for f in whole["findings"])}

    code, chart = answer("chart", path)
    if "builds" not in chart:
        tally.expect("the chart answers", False, chart)
        return tally
    tally.same("exit code of chart", code, max(exit_of(b["verdict"]) for b in chart["builds"]))
    offered = page.chart(os.path.basename(path), text)
    if "builds" not in offered:
        tally.expect("the page's chart answers", False, offered)
        return tally
    tally.same("builds of the page's chart", [decided(b, b) for b in offered["builds"]], [decided(b, b) for b in chart["builds"]])
    free_code, free = answer("check", path, "--free")
    belt = yaml.safe_load(text)["belt"]
    only_length = "length" in belt and "stock" not in belt  # which --free alone leaves open
    if not chart["builds"][0]["options"] and not only_length:
        tally.same("check --free and row 1", decided(free), decided(chart["builds"][0], chart["builds"][0]))
    fewest(tally, path, chart)
    rows = {1, len(chart["builds"]), 1 + sum(map(ord, name)) % len(chart["builds"])}
    for n in sorted(rows):
        row = chart["builds"][n - 1]
        more = ["--build", str(n)]
        one = tables_of(tally, path, more, (3210,))
        if one is None:
            continue
        tally.same(f"row {n} of the chart", decided(row, row), decided(one))
        for chart_key, key in (("grip_used", "worst_grip_used"), ("grip_at_rpm", "worst_grip_at_rpm"), ("gap_mm", "tightest_gap_mm")):
            tally.same(f"row {n}: {chart_key}", row[chart_key], one[key])
        tally.kinds |= {row["verdict"], *(f["rule"] for f in row["findings"])}
        compared(tally, path, [], one, (path, *more, *more))
        pictures_of(tally, path, more, one, work, views)
        if printed and n == max(rows):
            pages_of(tally, path, more, one, work)
        if row["designation"] is None:  # nothing to put onto the bench
            continue
        benched = page.lay(os.path.basename(path), text, offered["builds"][n - 1]["changes"])
        got, want = decided(benched), decided(one)
        for side in (got, want):
            for key in ("why", "runner_up", "part"):
                side.pop(key, None)
        tally.same(f"row {n} put onto the page's bench", got, want)
    return tally


def fewest(tally, path, chart):
    """The kit on its fewest belts: those alone, and no build worse."""
    code, short = answer("chart", path, "--fewest")
    tally.same("exit code of chart --fewest", code, max(exit_of(b["verdict"]) for b in short["builds"]))
    allowed = {b["designation"] for b in chart["fewest_belts"]["belts"]} | {None}
    order = ("pass", "marginal", "fail")
    for n, (few, all_) in enumerate(zip(short["builds"], chart["builds"]), 1):
        tally.expect(f"row {n} on the fewest belts takes one of them", few["designation"] in allowed, few["designation"], allowed)
        tally.expect(f"row {n} on the fewest belts is no worse", order.index(few["verdict"]) <= order.index(all_["verdict"]),
                     few["designation"], few["verdict"], all_["designation"], all_["verdict"])


# ---- a length, a stock, the catalogue ---------------------------------------------------------------------------------------

def offered_alike(work):
    """A belt written as `length`, alone in a stock, or alone in the catalogue: the same verdict and findings."""
    tally = Tally("offered alike")
    with open(os.path.join(SOURCE, "examples/sedgemere.yaml"), encoding="utf-8") as file:
        text = file.read().replace("slot: {from: [-78, 318], to: [-32, 350], setting: 38}", "slot: {from: [-78, 318], to: [-32, 350]}")
    line = "  length: 1926               # effective length; leave out to let snub pick from the stock\n"
    stock = "  stock: {from: 1860, to: 1980, step: 6}\n"
    assert line in text and stock in text
    for length in (1902, 1914, 1920, 1926, 1932, 1938, 1944, 1956):
        answers = {}
        catalogue = catalogue_of(tally, work, str(length), [length])
        for name, length_line, stock_line in (("length", f"  length: {length}\n", ""), ("both", f"  length: {length}\n", stock),
                                              ("stock", "", f"  stock: [{length}]\n"), ("catalogue", "", "  stock: catalogue\n")):
            answers[name] = offered(work, f"alike-{length}-{name}", text.replace(line, length_line).replace(stock, stock_line),
                                    catalogue)
            for key in ("why", "runner_up", "part"):
                answers[name].pop(key, None)
        for name in ("both", "stock", "catalogue"):
            kept = answers[name]
            if kept["designation"] is None:  # none on offer will do: told is which would
                kept = {**answers["length"], "verdict": kept["verdict"], "exit code": kept["exit code"]}
            tally.same(f"{length} by {name} and by length", kept, answers["length"])

    # A great catalogue has no silent end: the belt is the one that a stock of those near it gives.
    catalogue = catalogue_of(tally, work, "great", [round(300 + 0.5 * i, 1) for i in range(12500)])
    by_catalogue = offered(work, "great", text.replace(line, "").replace(stock, "  stock: catalogue\n"), catalogue)
    by_stock = offered(work, "near", text.replace(line, "").replace(stock, "  stock: {from: 1860, to: 2060, step: 0.5}\n"), catalogue)
    tally.same("every belt of the catalogue is on offer", by_catalogue["why"]["on_offer"], 12500)
    tally.same("as many fit", by_catalogue["why"]["that_fit"], by_stock["why"]["that_fit"])
    for key in ("designation", "belt_length_mm", "slots_mm", "verdict", "findings"):
        tally.same(f"{key} by 12500 belts and by 401", by_catalogue[key], by_stock[key])
    return tally


def catalogue_of(tally, work, name, lengths):
    table, catalogue = (os.path.join(work, f"{name}.{end}") for end in ("csv", "db"))
    with open(table, "w", encoding="utf-8") as file:
        file.write("kind,key,section,ribs,length [mm],source\n")
        file.writelines(f"belt,SM-{length},PK,7,{length},invented\n" for length in lengths)
    for arguments in (("init", "--bare"), ("import", table)):
        code, _, err = snub("parts", *arguments, "--catalogue", catalogue)
        tally.expect(f"parts {arguments[0]}", code == 0, err)
    return catalogue


def offered(work, name, text, catalogue):
    path = os.path.join(work, name + ".yaml")
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    code, data = answer("check", path, "--catalogue", catalogue)
    return {**decided(data), "exit code": code}


# ---- all --------------------------------------------------------------------------------------------------------------------

def main():
    work = tempfile.mkdtemp(prefix="snub-doors-")
    kits = os.path.join(work, "kits")
    shutil.copytree(os.path.join(SOURCE, "examples"), kits)
    examples = sorted(f for f in os.listdir(kits) if f.endswith(".yaml"))
    paths = [(os.path.join(kits, f), True) for f in examples]
    for i, text in enumerate(fronts.all_fronts(COUNT)):
        path = os.path.join(kits, f"front-{i:03d}.yaml")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        paths.append((path, i % PRINTED_EVERY == 0))
    page = Page(kits)
    try:
        with ThreadPoolExecutor(os.cpu_count()) as pool:
            tallies = list(pool.map(lambda one: through_all(one[0], work, page, one[1]), paths))
        tallies.append(offered_alike(work))
    finally:
        page.stop()
        shutil.rmtree(work, ignore_errors=True)
    kinds = {}
    for tally in tallies:
        for kind in tally.kinds:
            kinds[kind] = kinds.get(kind, 0) + 1
    print(len(tallies), "drives; of them with", ", ".join(f"{k} {n}" for k, n in sorted(kinds.items(), key=lambda x: -x[1])))
    shown = sum(t.shown for t in tallies)
    tallies[0].expect(f"cases that findings point to were looked at: {shown}", shown > len(examples))
    failures = [f for tally in tallies for f in tally.failed]
    for failure in failures[:40]:
        print(failure)
    print(f"{sum(t.passed for t in tallies)} passed, {len(failures)} failed")
    return len(failures) > 0


if __name__ == "__main__":
    sys.exit(main())
