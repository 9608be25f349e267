#!/usr/bin/env python3
"""`snub keys` and GET /api/keys list what the readers take: every key of the readers' lists is in it, and read; every number
is taken within its bounds and refused outside, with the bounds, by /api/entries, /api/lay and `snub check`; it is read back
from the text that /api/apply writes.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import yaml

import guide_keys
from served import Server
from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
NUMBERS = ("number", "number or range", "whole number")
REWORK = "supply: changed, rework: {do: cut it}"
# Every section, and each kind of what has kinds; two arms and two tensioners are wrong together, and no key of theirs is.
FULL = f"""
snub: 1
engine: {{idle: 800, redline: 6000, compression: 9}}
air: {{temperature: 20}}
cooler: {{effectiveness: 0.7, density: {{pressure: 101, temperature: 20}}, inlet_density: {{pressure: 101, temperature: 20}}}}
belt: {{ribs: 6, outside: {{value: 2030, length: 2000}}, stock: {{from: 1900, to: 2000, step: 5}}}}
pulleys:
- {{name: crank, role: crank, at: [0, 0], diameter: {{value: 150, over: outside}}, groove: {{angle: 40}}}}
- {{name: carrier, at: [0, 350], diameter: 110, mount: plate, stack: [{{name: seat, length: 10, {REWORK}}}], {REWORK},
   flanges: {{front: 2}}, discs: [{{name: disc, diameter: 90, z: [1, 2]}}], load: [[900, 1]],
   standoff: {{outside: 30, length: 40, {REWORK}, bolt: {{thread: M10, class: 8.8, washer: 20, {REWORK}}}}},
   bearing: {{type: small, count: 2, spacing: 20, {REWORK}}}}}
- {{name: slider, side: back, diameter: 70, slot: {{from: [-200, 200], to: [-160, 200]}}, fixed_tension: 400,
   clamp: {{bolt: {{thread: M10, class: 8.8, washer: 20, {REWORK}}}}}}}
- {{name: curved, side: back, diameter: 70, slot: {{centre: [200, 200], radius: 100, from: 10, to: 40}}}}
- {{name: tensioner, side: back, diameter: 95, arm: {{pivot: [-120, 75], length: 110, free: 40, loads: ccw, travel: 32,
     preload: 20, rate: 0.4}}}}
- {{name: screw, at: [200, 350], diameter: 80, blower: {{kind: twin-screw, swept: 1.6, internal_ratio: 1.3, {REWORK}}}}}
- {{name: wheel, at: [400, 350], diameter: 80, blower: {{kind: centrifugal, design_speed: 40000, design_flow: 0.3, design_ratio: 1.8}}}}
mounts: [{{name: plate, {REWORK}, stack: [{{name: pad, length: 5, {REWORK}}}], bracket: {{thickness: 10, width: 60, reach: 40}},
   mass: 9, mass_at: [0, 0, 0], vibration: 5, bolts: [{{name: one, at: [0, 300], thread: M8, class: 8.8, washer: 17, {REWORK}}}]}}]
bearings: [{{designation: small, rows: 2, bore: 17, outside: 40, dynamic: 9550, static: 4800}}]
shims: {{sizes: [1, 2], most: 3}}
obstacles:
- {{name: post, circle: {{at: [900, 900], diameter: 20}}, z: [-30, 30], taken_off: [{{towards: [0, 0], depth: 2}}]}}
- {{name: rail, slot: {{from: [700, 900], to: [800, 900], width: 20}}, z: [-30, 30], {REWORK}}}
contents: [{{name: hose, {REWORK}}}, {{name: bolt, bolt: {{thread: M10, class: 8.8, washer: 20}}}}]
search: {{aims: [wrap], pulley: carrier, hold: pass, move: [
   {{what: carrier.at, within: {{circle: {{at: [0, 350], diameter: 20}}}}, step: 1}},
   {{what: slider.slot.from, within: {{rectangle: {{from: [-220, 190], to: [-190, 210]}}}}}},
   {{what: tensioner.arm.free, from: 30, to: 50}}]}}
tolerances:
- {{of: [carrier.at, slider.diameter], plus_minus: 0.1, group: casting, correlation: 0.5, cost: 1}}
- {{of: screw.diameter, sigma: 0.01, shape: skewed, skew: 0.5}}
- {{of: wheel.diameter, sample: {{file: castings.csv, column: bore}}}}
"""
# Numbers that are in the list and not in FULL, with the reason.
LEFT = {"snub": "the format of the file, which no change may set"}


# ---- the list and the readers' own lists ------------------------------------------------------------------------------------

def compare_lists(keys):
    """Each list of keys in src/drive stands somewhere in the list, whole."""
    check("every key is read", not [k["key"] for k in keys if k["kind"] == "unread"], [k["key"] for k in keys if k["kind"] == "unread"])
    below = {}
    for one in keys:
        above, _, word = ("." + one["key"]).rpartition(".")
        below.setdefault(above, set()).add(word)
    lists = {name: set(words) for name, words in guide_keys.LISTS.items()
             if not name.startswith(("read_house", "read_supplier", "read_measured")) and name != "snub_steps_keys"}
    check("there are lists", len(lists) > 30, len(lists))
    for name, words in lists.items():
        check(f"{name} is in `snub keys`", any(words <= found for found in below.values()),
              min((sorted(words - found) for found in below.values()), key=len))
    known = set().union(*lists.values())
    strange = sorted(k["key"] for k in keys if k["key"].rpartition(".")[2] not in known)
    check("nothing else is", not strange, strange)


def compare_sources(keys):
    """Limits and defaults are those of their lists."""
    by = {k["key"]: k for k in keys}
    limits = re.findall(r'^SNUB_LIMIT\(\w+, *"(\w+)", *\w+, *\w+, *([\d.e]+), *([\d.e]+), *([\d.e]+),',
                        (TOP / "include/snub/limit_list.inc").read_text(), re.M)
    check("limits were found", len(limits) > 20, len(limits))
    for key, preset, least, most in limits:
        got = by.get(f"limits.{key}", {})
        check(f"limits.{key}", (float(got.get("default", "nan")), got.get("least"), got.get("most")) == (float(preset), float(least), float(most)), got)
        check(f"limits.{key} has a source", bool(got.get("source")), got)
    of = {"BELT": "belt", "ENGINE": "engine", "BLOWER": "pulleys.*.blower", "SEAT": "pulleys.*.bearing"}
    rows = re.findall(r'^SNUB_DEFAULT\((\w+), *"([\w.]+)", *"[^"]*", *"([^"]*)", *"([^"]*)", *"([^"]*)"',
                      (TOP / "include/snub/default_list.inc").read_text(), re.M)
    check("defaults were found", len(rows) > 10, len(rows))
    per_section = {"belt.stiffness", "belt.mass", "belt.be"}  # another belt section has another, or none
    for section, key, preset, low, high in rows:
        path = f"{of[section]}.{key}"
        got = by.get(path, {})
        check(f"{path}: usual range", got.get("usual") == [low, high], got)
        if path not in per_section and got.get("default") is not None:
            check(f"{path}: default", float(got["default"]) == float(preset), got)


def compare_meanings(keys, german):
    """Each key has one line that says something of its own, in both languages."""
    for one in keys:
        means, word = one.get("means", ""), one["key"].rpartition(".")[2].replace("_", " ")
        check(f"{one['key']} has a meaning", 20 <= len(means) <= 130 and means.endswith(".") and "\n" not in means, means)
        check(f"{one['key']}: it is more than the key", not re.fullmatch(rf"(The |An? )?{word}( of (the|an?) \w+)?\.", means, re.I), means)
    check("as many keys in German", [k["key"] for k in german] == [k["key"] for k in keys], len(german))
    same = [k["key"] for k, other in zip(keys, german) if other.get("means") in ("", None, k.get("means"))]
    check("each meaning is in German", not same, same)


# ---- every number ---------------------------------------------------------------------------------------------------------

def places(tree, words, at=()):
    """Paths in the tree that a pattern's words lead to, the map before the last word being there."""
    if len(words) == 1:
        return [(*at, words[0])] if isinstance(tree, dict) else []
    head, rest = words[0], words[1:]
    if head == "*":
        return [p for i, one in enumerate(tree if isinstance(tree, list) else []) for p in places(one, rest, (*at, str(i)))]
    if isinstance(tree, dict) and head in tree:
        return places(tree[head], rest, (*at, head))
    return [(*at, *words)] if isinstance(tree, dict) and "*" not in words else []


def overlay(tree, path):
    """As a change names it: pulleys by their names."""
    if path[0] == "pulleys":
        path = (tree["pulleys"][int(path[1])]["name"], *path[2:])
    return ".".join(path)


class Page:
    def __init__(self, server, text):
        self.server, self.text, self.own, self.tree = server, text, None, yaml.safe_load(text)

    def entries(self, path, value):
        status, body, _ = self.server.ask("/api/entries", {"file": "k.yaml", "text": self.text, "changes": [{"path": path, "value": value}]})
        return body if status == 200 else {"entries": [], "errors": [{"key": path, "need": f"status {status}", "message": str(body), "line": 1}]}

    def as_is(self):
        if self.own is None:
            self.own = self.server.ask("/api/entries", {"file": "k.yaml", "text": self.text, "changes": []})[1]["entries"]
        return self.own

    def at(self, body, path):
        found = [e for e in body["entries"] if e["path"] == path]
        wrong = [e for e in body["errors"] if e["key"].removeprefix("pulleys.") == path]
        return found, wrong


def tried(key, found):
    """Values within the bounds, the default first."""
    least, most = found.get("least"), found.get("most")
    first = [float(found["default"])] if found.get("default") else []
    values = first + [least, most, (least + most) / 2, least + 0.1 * (most - least), least + 0.01 * (most - least)]
    values = [round(v) if key["kind"] == "whole number" else v for v in values]
    if found.get("unit_needed"):
        return [f"{v:.10g} {found['unit']}" for v in values]
    return values


def try_number(pages, key):
    """Taken within its bounds at one of its places, and there refused outside."""
    last, reason = None, "no place"
    for page, path in [(page, path) for page in pages for path in places(page.tree, key["key"].split("."))]:
        name = overlay(page.tree, path)
        found = [e for e in page.as_is() if e["path"] == name and e["kind"] == key["kind"]] or [key]
        if not found or found[0].get("least") is None or found[0].get("most") is None:
            continue
        found = found[0]
        for value in tried(key, found):
            back, wrong = page.at(page.entries(name, value), name)
            if not wrong and any(e.get("value") in (json.dumps(value), f"{value:.15g}" if not isinstance(value, str) else value) or same(e.get("value"), value) for e in back):
                last = (name, found, value, page)
                break
            reason = (name, value, wrong[:1], [e.get("value") for e in back])
        if last:
            break
    check(f"{key['key']}: a value within its bounds is taken and read back", last is not None, reason)
    if last is None:
        return None
    refuse_outside(last[3], last[0], last[1])
    return last


def same(text, value):
    try:
        return float(text) == float(value)
    except (TypeError, ValueError):
        return False


def refuse_outside(page, name, found):
    span = 0.05 * (found["most"] - found["least"])  # not below absolute zero, which is told in other words
    for value, bound in ((found["most"] + span, found["most"]), (found["least"] - span, found["least"])):
        given = f"{value:.10g} {found['unit']}" if found.get("unit_needed") else value
        _, wrong = page.at(page.entries(name, given), name)
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?", wrong[0]["need"])] if wrong else []
        scale = 1000 if found.get("unit_needed") else 1  # a length that needs its unit is told in mm
        check(f"{name}: {given} is refused with the bounds", any(abs(n - bound * scale) <= 1e-6 * abs(n) for n in numbers), wrong)


def other_doors(page, work, tried_ones):
    """A few through /api/lay, /api/apply and the terminal as well: the same refusal, the same value in the text."""
    for name, found, value, _ in tried_ones:
        change = [{"path": name, "value": value}]
        status, body, _ = page.server.ask("/api/apply", {"file": "k.yaml", "text": page.text, "changes": change})
        check(f"{name}: /api/apply writes it", status == 200, body)
        if status == 200:
            saved = Page(page.server, body["text"])
            back, wrong = saved.at(saved.entries("title", "x"), name)
            check(f"{name}: read back from the text", not wrong and any(same(e.get("value"), value) or e.get("value") == value for e in back), (wrong, back))
        outside = found["most"] + abs(found["most"]) + 1
        status, body, _ = page.server.ask("/api/lay", {"file": "k.yaml", "text": page.text, "changes": [{"path": name, "value": outside}], "rpm": 3000})
        told = [e for e in body.get("errors", []) if e["key"].removeprefix("pulleys.") == name]
        check(f"{name}: /api/lay refuses {outside:g}", status == 422 and bool(told), body)
        done = subprocess.run([SNUB, "check", work / "k.yaml", "--set", f"{name}={outside:.10g}", "--json"], capture_output=True, text=True)
        said = [e for e in json.loads(done.stdout or "{}").get("errors", []) if e["key"].removeprefix("pulleys.") == name]
        check(f"{name}: so does the terminal, in the same words", bool(told) and [e["need"] for e in said] == [e["need"] for e in told], (said, told))


# Missing where the kind of blower asks for them.
BY_KIND = {f"pulleys.*.blower.design_{what}" for what in ("speed", "flow", "ratio")}


def compare_needed(keys, work):
    """What may not be left out is missing without it, and nothing else is, but for a reason that is told."""
    tree, file, tried_ones = yaml.safe_load(FULL), work / "without.yaml", 0
    needed = {k["key"]: any(other["needed"] for other in keys if other["key"] == k["key"]) for k in keys}
    for key, want in needed.items():
        for path in places(tree, key.split(".")):
            less = json.loads(json.dumps(tree))
            at = less
            for word in path[:-1]:
                at = at[int(word)] if isinstance(at, list) else (at or {}).get(word)
            if not isinstance(at, dict) or path[-1] not in at:
                continue
            del at[path[-1]]
            file.write_text(yaml.safe_dump(less, sort_keys=False, width=10000))
            said = subprocess.run([SNUB, "check", str(file)], capture_output=True, text=True).stderr
            bare = bool(re.search(rf"[ .]{re.escape(path[-1])}: is missing$", said, re.M))
            some = bool(re.search(rf"[ .]{re.escape(path[-1])}: is missing", said, re.M))
            tried_ones += want
            check(f"{'.'.join(path)}: needed", some if want else not bare or key in BY_KIND, (want, said[:400]))
    check("many are needed", tried_ones > 60, tried_ones)


def german_page(path, german):
    server = Server(str(path), more=("--port", "0", "--language", "de"))
    try:
        body = server.ask("/api/keys")[1]
        check("the page's list in German", body["keys"] == german and body["language"] == "de", body["language"])
        entries = server.ask("/api/entries", {"file": "k.yaml", "text": FULL, "changes": []})[1]["entries"]
        check("entries of a file come without meanings", entries and not any("means" in one for one in entries))
    finally:
        server.kill()


def main():
    done = subprocess.run([SNUB, "keys", "--json"], capture_output=True, text=True)
    check("snub keys --json", done.returncode == 0, done.stderr)
    keys = json.loads(done.stdout)["keys"]
    compare_lists(keys)
    compare_sources(keys)
    in_german = subprocess.run([SNUB, "keys", "--language", "de", "--json"], capture_output=True, text=True)
    compare_meanings(keys, json.loads(in_german.stdout)["keys"])
    refused = subprocess.run([SNUB, "keys", "--language", "xx"], capture_output=True, text=True)
    check("a language that there is not", refused.returncode == 2 and "no message catalogue for --language xx" in refused.stderr, refused)
    text = subprocess.run([SNUB, "keys"], capture_output=True, text=True).stdout
    missing = [k["key"] for k in keys if not re.search(rf"^{re.escape(k['key'])}\s", text, re.M)]
    check("the terminal's list has every key", not missing, missing)
    flat = " ".join(text.split())
    unsaid = [k["key"] for k in keys if k.get("means", "?") not in flat]
    check("and what it means", not unsaid, unsaid)
    check("a word that no key has", subprocess.run([SNUB, "keys", "no-such-word"], capture_output=True).returncode == 2)
    some = subprocess.run([SNUB, "keys", "slot", "from"], capture_output=True, text=True).stdout
    check("words choose", "pulleys.*.slot.from" in some and "belt" not in some, some)
    with tempfile.TemporaryDirectory(prefix="snub-keys-") as folder:
        work = pathlib.Path(folder)
        (work / "k.yaml").write_text(FULL)
        (work / "castings.csv").write_text("bore\n79.9\n80.1\n")
        compare_needed(keys, work)
        server = Server(str(work / "k.yaml"))
        try:
            status, body, _ = server.ask("/api/keys")
            check("GET /api/keys is the same list", status == 200 and body["keys"] == keys and body["language"] == "en", status)
            german_page(work / "k.yaml", json.loads(in_german.stdout)["keys"])
            page = Page(server, FULL)
            locked = Page(server, re.sub(r"- \{name: tensioner.*?\}\}\n", "", FULL, flags=re.S).replace("outside: {value: 2030, length: 2000}, ", ""))
            check("one has no arm", "arm:" not in locked.text and "value: 2030" not in locked.text and "name: screw" in locked.text, locked.text)
            numbers = [k for k in keys if k["kind"] in NUMBERS]
            check("there are numbers", len(numbers) > 150, len(numbers))
            taken = [one for one in (try_number((locked, page), k) for k in numbers if k["key"] not in LEFT) if one]
            (work / "k.yaml").write_text(locked.text)
            taken = [one for one in taken if one[3] is locked]
            other_doors(locked, work, [one for one in taken if not one[1].get("unit_needed")][::12])
        finally:
            server.kill()
    return end()


if __name__ == "__main__":
    sys.exit(main())
