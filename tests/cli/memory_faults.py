"""Commands and requests of which the n-th allocation is refused (tests/preload/refusing_malloc.c).

Whatever n is, a run gives the answer that it gives with all its memory, byte for byte, or says "out of memory" and
exits with 2 (a request: 503). Nothing that was there before is changed, and nothing is left behind. n is refused alone,
and with all allocations after it.

A sample of n is tried, spread evenly with a random shift. SNUB_MEMORY_SHARE=10 takes ten times as many,
SNUB_MEMORY_SHARE=every all of them; SNUB_MEMORY_ONLY=REGEX some cases; SNUB_MEMORY_SEED another sample. With
SNUB_MEMORY_TABLE=1 it prints counts for each case. Under a sanitizer, whose allocator is the process's, it passes over.
"""
import atexit
import concurrent.futures
import http.client
import json
import os
import pathlib
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

import tally

BIN = pathlib.Path(os.environ["SNUB_BIN"])
FULL, WHOLE = BIN.with_name("snub-full"), BIN.with_name("snub-whole")
BUILD = pathlib.Path(os.environ["SNUB_BUILD_DIR"])
SOURCE = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
SHIM = BUILD / "refusing_malloc.so"
SHARE = os.environ.get("SNUB_MEMORY_SHARE", "1")
ONLY = re.compile(os.environ.get("SNUB_MEMORY_ONLY", ""))
SEED = int(os.environ.get("SNUB_MEMORY_SEED", "20250611"))
TABLE = "SNUB_MEMORY_TABLE" in os.environ
SECONDS = 60  # within which every run ends
BEFORE = b"what was there before\n"
LOGS = ("parts.db-wal", "parts.db-shm")  # beside a catalogue that was read: SQLite's own
READINGS = "measured/sedgemere.yaml"
LOG = "logs/sedgemere-pull.csv"
SLIPS = "logs/sedgemere-slips.csv"
SMALL, LARGE, GERMAN = "three-pulleys.yaml", "sedgemere.yaml", ["--language", "de"]


class Case:
    """A command. `tries` are the refusals of the normal run; `full`: run by snub-full itself, or snub-whole, as snub would."""

    def __init__(self, name, arguments, tries=4, full=False, out=None, stdin=None, catalogue=False,
                 writes=False):
        self.name, self.arguments, self.tries = name, arguments, tries
        self.program = BIN if not full else WHOLE if (out or "").endswith(".xlsx") else FULL
        self.out, self.stdin, self.catalogue, self.writes = out, stdin, catalogue, writes


def file_case(name, arguments, suffix, tries=3):
    return Case(name, [*arguments, "--output", "made" + suffix], tries, True, "made" + suffix)


CASES = [
    Case("check", ["check", SMALL], 6),
    Case("check --json", ["check", SMALL, "--json"], 6),
    Case("check --rpm", ["check", LARGE, "--rpm", "3000", "--json"]),
    Case("check of a bad file", ["check", "bad.yaml"]),
    Case("check of a bad file --json", ["check", "bad.yaml", "--json"]),
    Case("check --defaults", ["check", SMALL, "--defaults"]),
    Case("check -", ["check", "-"], stdin=SMALL),
    Case("check of a map", ["check", "sedgemere-centrifugal.yaml"]),
    Case("check in inches", ["check", SMALL, "--set", "belt.length=40 in"]),
    Case("sweep", ["sweep", LARGE, "--no-offers"]),
    Case("sweep --json", ["sweep", SMALL, "--json"]),
    Case("motion", ["motion", LARGE, "--speeds", "3"], 6, True),
    Case("motion --json", ["motion", LARGE, "--speeds", "3", "--json"], 6, True),
    Case("motion --run", ["motion", LARGE, "--run", "engage", "--seconds", "0.41", "--even"], 8, True),
    Case("motion --run --json", ["motion", LARGE, "--run", "hold", "--rpm", "700", "--seconds", "0.05", "--json"], 6, True),
    Case("motion --run --csv", ["motion", LARGE, "--run", "hold", "--seconds", "0.05", "--csv", "made.csv"], 6, True, "made.csv"),
    Case("motion --run --plot", ["motion", LARGE, "--run", "hold", "--seconds", "0.05", "--plot", "made.svg"], 6, True, "made.svg"),
    Case("log", ["log", LOG, LARGE, "--set", "blower.diameter=70"], 6, True),
    Case("log --json", ["log", LOG, LARGE, "--json"], 6, True),
    Case("fit", ["fit", SLIPS, LARGE, "--set", "blower.diameter=70", "--no-chart"], 6, True),
    Case("fit --json", ["fit", SLIPS, LARGE, "--set", "blower.diameter=70", "--fit", "friction", "--fit", "leakage", "--no-chart", "--json"], 6, True),
    Case("log, by boost", ["log", LOG, LARGE, "--by", "boost"], 4, True),
    Case("log --svg", ["log", LOG, LARGE, "--svg", "made.svg"], 4, True, "made.svg"),
    Case("sweep csv", ["sweep", SMALL, "--output", "made.csv"], out="made.csv"),
    Case("sweep for a boost", ["sweep", LARGE, "--want-boost", "0.7 bar", "--json"]),
    Case("chart", ["chart", SMALL]),
    Case("chart --json", ["chart", SMALL, "--json"]),
    Case("chart csv", ["chart", SMALL, "--output", "made.csv"], out="made.csv"),
    file_case("chart xlsx", ["chart", SMALL], ".xlsx"),
    file_case("sweep xlsx", ["sweep", SMALL], ".xlsx"),
    Case("mount", ["mount", LARGE]),
    Case("mount --json", ["mount", LARGE, "--json"]),
    Case("measure", ["measure", "centres", READINGS], 10, True),
    Case("measure --json", ["measure", "centres", READINGS, "--json"], 6, True),
    Case("measure arm", ["measure", "arm", "measured/sedgemere-arm.yaml"], 6, True),
    Case("measure, a picture in German", ["measure", "centres", READINGS, "--picture", "made.svg", *GERMAN], 10, True, "made.svg"),
    Case("measure circles of a sketch", ["measure", "circles", "measured/sedgemere.dxf", LARGE, "--output", "made.yaml"], 8, True, "made.yaml"),
    Case("measure circles of points", ["measure", "circles", "measured/sedgemere-scan.csv", "--json"], 8, True),
    Case("measure circles, a picture in German", ["measure", "circles", "measured/sedgemere-scan.csv", "--picture", "made.svg", *GERMAN], 8, True, "made.svg"),
    Case("measure circles of bad points", ["measure", "circles", "wrong.csv", "--unit", "mm"], 4, True),
    Case("compare", ["compare", LARGE, "sedgemere-locked.yaml"]),
    Case("compare --json", ["compare", LARGE, "sedgemere-locked.yaml", "--json"]),
    *(file_case("draw " + kind, ["draw", SMALL], "." + kind) for kind in ("svg", "dxf", "pdf", "png")),
    *(file_case(f"sheet {kind}", ["sheet", SMALL, "--kind", kind, "--date", "2026-01-31"], ".pdf")
      for kind in ("fitting", "chart", "parts", "template", "report")),
    *(file_case(f"sheet {kind}, German", ["sheet", SMALL, "--kind", kind, "--date", "2026-01-31", *GERMAN], ".pdf")
      for kind in ("fitting", "report")),
    Case("handed over", ["draw", SMALL, "--output", "made.svg"], out="made.svg"),
    Case("parts init", ["parts", "init", "--bare"], 6, catalogue=True, writes=True),
    Case("parts import", ["parts", "import", "more.csv"], 8, catalogue=True, writes=True),
    Case("parts import, bad rows", ["parts", "import", "wrong.csv"], catalogue=True, writes=True),
    Case("parts import by a map", ["parts", "import", "--map", "map.yaml", "theirs.csv", "--date", "2026-01-31T00:00:00Z"], 10, catalogue=True, writes=True),
    Case("parts import, wrong map", ["parts", "import", "--map", "wrong.yaml", "theirs.csv"], catalogue=True, writes=True),
    Case("parts update", ["parts", "update", "changes.csv", "--date", "2026-01-31T00:00:00Z"], 10, catalogue=True, writes=True),
    Case("parts update -n --json", ["parts", "update", "changes.csv", "-n", "--json"], catalogue=True, writes=True),
    Case("parts history", ["parts", "history", "BELT-1"], catalogue=True),
    Case("parts history --json", ["parts", "history", "BELT-1", "--json"], catalogue=True),
    Case("parts maps", ["parts", "maps"], catalogue=True),
    Case("parts remove", ["parts", "remove", "BELT-1"], 6, catalogue=True, writes=True),
    Case("parts backup", ["parts", "backup", "copy.db"], 6, catalogue=True, writes=True),
    Case("parts list", ["parts", "list"], catalogue=True),
    Case("parts find --json", ["parts", "find", "BELT", "--ribs", "6", "--json"], catalogue=True),
    Case("parts show", ["parts", "show", "BELT-1"], catalogue=True),
    Case("parts export", ["parts", "export"], catalogue=True),
    Case("parts check", ["parts", "check"], catalogue=True),
    Case("completion", ["completion", "bash"], 2),
    Case("man", ["man"], 2),
    Case("help", ["help"], 2),
    Case("help of a command", ["help", "check"], 2),
    Case("unknown command", ["chekc"], 2),
    Case("wrong option", ["check", SMALL, "--rmp", "3"], 2),
]


def numbers_to_try(total, tries, random_):
    """n from 1 to total + 1 (nothing is refused then) and whether all after it are refused as well."""
    if SHARE == "every":
        return [(n, every) for n in range(1, total + 2) for every in (False, True)]
    tries = int(tries * float(SHARE))
    step = max(1.0, total / tries)
    spread = {min(total, int(k * step + random_.random() * step) + 1) for k in range(tries)}
    return [(n, random_.random() < 0.3) for n in sorted(spread)]


def contents(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*")) if path.is_file()}


def environment(folder, **more):
    keep = {key: value for key, value in os.environ.items() if key in ("PATH", "LOCPATH", "SNUB_LOCALE")}
    return {**keep, "HOME": str(folder), "XDG_CACHE_HOME": str(CACHE), "LC_ALL": "C.UTF-8", "NO_COLOR": "1", "COLUMNS": "80",
            "SOURCE_DATE_EPOCH": "1769817600", "OMP_NUM_THREADS": "2", **more}


def fill(folder, case):
    """The folder in which a case runs: its drives, and what its outputs would replace."""
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copytree(SOURCE / "examples", folder, dirs_exist_ok=True)
    (folder / "bad.yaml").write_text("snub: 1\ntitle: x\nbelt: {ribs: -3, lenght: 900}\npulleys:\n"
                                     "  - {name: a, role: crank, at: [0, 0], diameter: 15 kg}\n")
    head = "key,kind,source,section,ribs,length [mm],note\n"
    rows = [f"NEW-{i},belt,invented,PK,6,{900 + 5 * i},\n" for i in range(20)]
    (folder / "more.csv").write_text(head + "".join(rows))
    (folder / "wrong.csv").write_text(head + rows[0] + "NEW-B,belt,invented,PK,six,900,\nNEW-C,belt,,PK,6,,\n")
    mapping = "snub: 1\nsupplier: Riemen Nord\nkind: belt\ndecimal: comma\nencoding: windows-1252\ncolumns:\n  key: Nummer\n  length: {title: L\u00e4nge, unit: mm}\n" \
              "constants: {section: PK, ribs: '6', source: invented}\nleave_out: [{title: Nummer, begins: '#'}]\n"
    (folder / "map.yaml").write_text(mapping)
    (folder / "wrong.yaml").write_text(mapping.replace("key: Nummer", "key: Numer"))
    (folder / "theirs.csv").write_bytes("Nummer;L\u00e4nge\n#;\nT-1;900,5\nT-2;901\n".encode("cp1252"))
    (folder / "changes.csv").write_text("key,note,length\nBELT-1,changed,\nBELT-2,,905 mm\n")
    if case.out:
        (folder / case.out).write_bytes(BEFORE)
    if case.catalogue and case.name != "parts init":
        shutil.copy(CATALOGUE, folder / "parts.db")


def run(case, folder, n=None, every=False, count=None):
    more = {"LD_PRELOAD": str(SHIM), "SNUB_REFUSE_AT": str(n or 0), "SNUB_REFUSE_ALL": "1" if every else "0"}
    if count:
        more["SNUB_REFUSE_COUNT"] = str(count)
    if n is None and not count:
        more = {}
    arguments = case.arguments + (["--catalogue", "parts.db"] if case.catalogue else [])
    stdin = open(folder / case.stdin, "rb") if case.stdin else subprocess.DEVNULL
    try:
        done = subprocess.run([case.program, *arguments], cwd=folder, stdin=stdin, capture_output=True,
                              timeout=SECONDS, env=environment(folder, **more))
        return done.returncode, done.stdout, done.stderr
    except subprocess.TimeoutExpired:
        return "no end", b"", b""
    finally:
        if case.stdin:
            stdin.close()


def same_catalogue(folder):
    """What a catalogue says, or None where it is damaged."""
    if not (folder / "parts.db").exists():
        return "none"
    def ask(*words):
        return subprocess.run([BIN, "parts", *words, "--catalogue", "parts.db"], cwd=folder, capture_output=True,
                              stdin=subprocess.DEVNULL, env=environment(folder))
    checked = ask("check")
    if b"is empty" in checked.stderr: # as good as none: `parts init` fills it
        return "none" if ask("init", "--bare").returncode == 0 else None
    return ask("export").stdout if checked.returncode == 0 else None


def judge(case, folder, got, want, before, after, says):
    """"same", "clean", or what is wrong."""
    code, out, err = got
    there = contents(folder)
    for name in LOGS + (("parts.db",) if case.writes else ()):
        there.pop(name, None)
    if got == want and there == after:
        if case.writes and same_catalogue(folder) != says[1]:
            return f"says that it is done, but the catalogue is {same_catalogue(folder)!r:.200}"
        return "same"
    if code != 2:
        return f"exit code {code}; stdout {out[-200:]!r}, stderr {err[-300:]!r}"
    if b"out of memory" not in err:
        return f"no \"out of memory\": {err[-300:]!r}"
    if out:
        return f"half an answer: {out[-200:]!r}"
    if case.writes:
        if same_catalogue(folder) not in says:
            return f"the catalogue is neither as before nor as after: {same_catalogue(folder)!r:.300}"
        if there not in (before, after):
            return f"left behind: {sorted(set(there) ^ set(before))}"
        return "clean"
    if there != before:
        return f"changed or left behind: {sorted(k for k in {**there, **before} if there.get(k) != before.get(k))}"
    return "clean"


def try_case(case, work, pool):
    random_ = random.Random(f"{SEED} {case.name}")
    folder = work / re.sub(r"\W+", "_", case.name)
    fill(folder / "0", case)
    before = contents(folder / "0")
    says = [same_catalogue(folder / "0") if case.writes else None]
    want = run(case, folder / "0")
    after = contents(folder / "0")
    says.append(same_catalogue(folder / "0") if case.writes else None)
    fill(folder / "1", case)
    count = folder / "count"
    counted = run(case, folder / "1", count=count)
    tally.check(f"{case.name}: the same twice", counted == want, f"{want}\n{counted}")
    total = int(count.read_text().split()[-1])
    for names in (before, after):
        for one_name in LOGS + (("parts.db",) if case.writes else ()):
            names.pop(one_name, None)
    found = {"same": 0, "clean": 0}
    wrong = []

    def one(n, every):
        place = folder / f"{n}{every}"
        fill(place, case)
        result = judge(case, place, run(case, place, n, every), want, before, after, says)
        shutil.rmtree(place)
        return n, every, result

    tried = numbers_to_try(total, case.tries, random_)
    for n, every, result in pool.map(lambda t: one(*t), tried):
        if result in found:
            found[result] += 1
        else:
            wrong.append(f"allocation {n} of {total}{' and all after it' if every else ''}: {result}")
    shutil.rmtree(folder)
    tally.check(f"{case.name}: {len(wrong)} of {len(tried)} refusals", not wrong, "\n    ".join(wrong[:6]))
    if TABLE:
        print(f"{case.name}: {total} allocations, {len(tried)} refusals: {found['same']} same, {found['clean']} clean, "
              f"{len(wrong)} other", flush=True)


# ---- the server ------------------------------------------------------------------------------------------------------


class Server:
    def __init__(self, folder):
        self.arm_file, self.count_file = folder.parent / "arm", folder.parent / "counts"
        self.count_file.write_text("")
        self.process = subprocess.Popen(
            [WHOLE, "serve", folder / SMALL, "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            env=environment(folder, LD_PRELOAD=str(SHIM), SNUB_REFUSE_ARM=str(self.arm_file),
                            SNUB_REFUSE_COUNT=str(self.count_file)))
        atexit.register(self.process.kill)  # whatever ends the test; nothing where it has ended already
        address = self.process.stdout.readline().decode().strip()
        match = re.fullmatch(r"http://([^/]+):(\d+)/#key=([\w-]+)", address)
        if not match:
            raise SystemExit(f"no address: {address!r} {self.process.stderr.read().decode()}\n0 passed, 1 failed")
        self.port, self.key = int(match[2]), match[3]
        self.link = None

    def arm(self, text):
        """@return allocations since the last time"""
        self.arm_file.write_text(text)
        size = self.count_file.stat().st_size
        self.process.send_signal(signal.SIGUSR1)
        end = time.monotonic() + SECONDS
        while self.count_file.stat().st_size == size or not self.count_file.read_text().endswith("\n"):
            if time.monotonic() > end or self.process.poll() is not None:
                return -1
            time.sleep(0.0005)
        return int(self.count_file.read_text().split()[-1])

    def ask(self, method, path, body=None, headers=(), fresh=False):
        """@return (status, headers that matter, body), or what happened instead"""
        for again in (0, 1):
            if self.link is None or fresh:
                self.link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SECONDS)
            try:
                self.link.request(method, path, body, {
                    "Authorization": "Bearer " + self.key, "Content-Type": "application/json", **dict(headers)})
                answer = self.link.getresponse()
                text = answer.read()
                names = ("content-type", "etag", "content-security-policy", "cache-control")
                return answer.status, [answer.headers.get(name) for name in names], text
            except (OSError, http.client.HTTPException) as error:
                self.link = None
                return "closed", repr(error), b""

    def quiet(self):
        """A connection on which a request has gone by: the next one finds it open."""
        self.link = None
        return self.ask("GET", "/api/folder")


BEGUN = "begun.yaml"
REQUESTS = [
    ("folder", "GET", "/api/folder", None, 4), ("drive", "GET", "/api/drive?file=" + SMALL, None, 4),
    ("page", "GET", "/index.html", None, 3), ("problem text", "GET", "/problem/no-memory", None, 3),
    ("lay", "POST", "/api/lay", {"rpm": 3000}, 10), ("lay, whole", "POST", "/api/lay", {"rpm": 3000, "whole": True}, 10),
    ("lay, changed", "POST", "/api/lay", {"changes": [{"path": "alternator.at", "value": [-25, 310]}]}, 6),
    ("lay, no answer", "POST", "/api/lay", {"changes": [{"path": "alternator.at", "value": [0, 10]}]}, 6),
    ("lay, a case", "POST", "/api/lay", {"case": {"engine_rpm": 3000, "belt": "short", "peak": "alternator", "set": ["belt.ribs=6"]}}, 10),
    ("lay, overlap", "POST", "/api/lay", {"changes": [{"path": "alternator.at", "value": [1, 12]}]}, 6),
    ("lay, wrong", "POST", "/api/lay", {"changes": [{"path": "belt.ribs", "value": "six"}]}, 6),
    ("sweep", "POST", "/api/sweep", {"points": 20}, 10),
    ("apply", "POST", "/api/apply", {"changes": [{"path": "alternator.at", "value": [-25, 310]}]}, 6),
    ("save", "POST", "/api/save", {"changes": [{"path": "alternator.at", "value": [-25, 310]}]}, 10),
    ("save, review", "POST", "/api/save", {"review": True, "changes": [{"path": "alternator.at", "value": [-25, 310]}]}, 10),
    ("papers", "GET", "/api/papers", None, 4), ("beginnings", "GET", "/api/begin", None, 6),
    ("begin", "POST", "/api/begin", json.dumps({"file": BEGUN, "example": SMALL}), 10), ("paper", "POST", "/api/paper", "paper", 6),
    ("chart", "POST", "/api/chart", {}, 3), ("look", "GET", "/api/job?id=", None, 4),
    ("not JSON", "POST", "/api/lay", "{", 3), ("not found", "GET", "/api/nothing", None, 3),
]


def judge_answer(got, want, written):
    if got == want:
        return "same"
    if got[0] != 503:
        return f"{got[0]}: {got[1]} {got[2][:300]!r}"
    try:
        body = json.loads(got[2])
    except ValueError:
        return f"503 that is no JSON: {got[2][:300]!r}"
    if body.get("title") != "Out of memory" or body.get("type") != "/problem/no-memory" or got[1][2] != want[1][2]:
        return f"503 of another kind: {got[2][:300]!r}"
    says = "The file was saved" in body["detail"]
    return "clean" if says == written else f"written: {written}, but it says: {body['detail']}"


def wait_for_job(server, job):
    end = time.monotonic() + SECONDS
    while json.loads(server.ask("GET", f"/api/job?id={job}")[2])["state"] == "running" and time.monotonic() < end:
        time.sleep(0.02)


def try_request(server, drive, request, text):
    name, method, path, body, tries = request
    random_ = random.Random(f"{SEED} {name}")
    headers = {"If-Match": server.ask("GET", "/api/drive?file=" + SMALL)[1][1]} if name == "save" else {}
    if body == "paper":
        body = json.dumps({"file": SMALL, "etag": server.ask("GET", "/api/drive?file=" + SMALL)[1][1], "command": "draw",
                           "kind": "side", "form": "svg", "options": {"theme": "dark"}})
    if isinstance(body, dict) and body.get("review"):
        body = {**body, "base": text}
    if isinstance(body, dict):
        body = json.dumps({"file": SMALL, "text": text, **body})
    if name == "look":
        job = json.loads(server.ask("POST", "/api/chart", json.dumps({"file": SMALL, "text": text}))[2])["job"]
        path += str(job)
        wait_for_job(server, job)

    def once(n, every):
        drive.write_bytes(text.encode())
        (drive.parent / BEGUN).unlink(missing_ok=True)
        server.quiet()
        server.arm(f"{n}+" if every else str(n))
        got = server.ask(method, path, body, headers)
        written = drive.read_bytes() != text.encode() or (drive.parent / BEGUN).exists()
        total = server.arm("")
        if name in ("chart", "paper") and got[0] == 202:
            job = json.loads(got[2])["job"]
            got = 202, got[1], b""
            server.ask("DELETE", f"/api/job?id={job}")
            wait_for_job(server, job)  # two at most may run
        elif name in ("chart", "paper"):
            wait_for_children(server)  # of a job that was dropped, as nobody knows its number
        return total, got, written

    for _ in range(5):  # an answer may be on its way before its thread has counted
        total, want, changed = once(10 ** 9, False)
        if total > 0 and want[0] != 503:
            break
    tally.check(f"{name}: an answer", isinstance(want[0], int) and want[0] != 503 and total > 0 and changed == (name in ("save", "begin")), want)
    after = drive.read_bytes()
    found, wrong = {"same": 0, "clean": 0}, []
    tried = numbers_to_try(total, tries, random_)
    for n, every in tried:
        _, got, written = once(n, every)
        result = judge_answer(got, want, written)
        if drive.read_bytes() not in (text.encode(), after):
            result = f"the file is neither as before nor as after: {drive.read_bytes()!r:.300}"
        left = [entry for entry in os.listdir(drive.parent) if entry.startswith(".snub")]
        result = f"left behind: {left}" if left else result
        if server.process.poll() is not None:
            result = f"the server ended: {server.process.returncode} {server.process.stderr.read()[-300:]!r}"
        if result in found:
            found[result] += 1
        else:
            wrong.append(f"allocation {n} of {total}{' and all after it' if every else ''}: {result}")
        if server.process.poll() is not None:
            break
    drive.write_bytes(text.encode())
    tally.check(f"request {name}: {len(wrong)} of {len(tried)} refusals", not wrong, "\n    ".join(wrong[:6]))
    if TABLE:
        print(f"request {name}: {total} allocations, {len(tried)} refusals: {found['same']} same, {found['clean']} clean, "
              f"{len(wrong)} other", flush=True)
    return server.process.poll() is None


def try_server(work):
    folder = work / "served" / "drives"
    shutil.copytree(SOURCE / "examples", folder)
    drive, text = folder / SMALL, (folder / SMALL).read_text()
    server = None
    for request in REQUESTS:
        if not ONLY.search("request " + request[0]):
            continue
        if server is None:
            server = Server(folder)
        if not try_request(server, drive, request, text):
            server = None
    if server:
        server.process.send_signal(signal.SIGTERM)
        try:
            tally.check("the server ends well", server.process.wait(SECONDS) == 0, server.process.stderr.read())
        except subprocess.TimeoutExpired:
            server.process.kill()
            tally.check("the server ends", False)


def try_without_threads(work):
    """Where they get no threads, the library that charts on all cores ends the process with 1, and the one that sets text
    aborts."""
    for arguments, suffix in ((["chart", SMALL], ""), (["chart", SMALL], ".csv"), (["draw", SMALL], ".pdf"),
                              (["draw", SMALL], ".svg"), (["sheet", SMALL], ".pdf")):
        case = Case("no threads", arguments, out="made" + suffix if suffix else None)
        fill(work / "threads", case)
        for how, words in (("1", b"out of memory for one more thread"), ("exit", b"a library that snub uses gave up")):
            done = subprocess.run(
                [BIN, *arguments, *(["--output", case.out] if suffix else [])], cwd=work / "threads", capture_output=True,
                stdin=subprocess.DEVNULL, timeout=SECONDS, env=environment(work, LD_PRELOAD=str(SHIM),
                                                                           SNUB_REFUSE_THREADS=how))
            made = (work / "threads" / case.out).read_bytes() if suffix else BEFORE
            refused = done.returncode == 2 and not done.stdout and words in done.stderr and made == BEFORE
            answered = suffix == ".svg" and done.returncode == 0 and made != BEFORE  # needs no threads
            tally.check(f"no threads: {' '.join(arguments)} {suffix}, {how}", refused or answered, done)
        shutil.rmtree(work / "threads")


# ---- the own process of charts and motion ----------------------------------------------------------------------------


def run_own_process(word, folder, body, n=None, every=False, count=None):
    """As the server starts it: the body comes in, the folder is descriptor 3. @return (code, answer, stderr)"""
    start = ('exec 3<"$0"; export SNUB_REFUSE_AT="$2" SNUB_REFUSE_ALL="$3" SNUB_REFUSE_COUNT="$4" LD_PRELOAD="$5"; '
             'exec "$1" "$6" $PPID "$0" ""')
    done = subprocess.run(["bash", "-c", start, folder, WHOLE, str(n or 0), "1" if every else "0", str(count or ""), SHIM, word],
                          input=body, capture_output=True, timeout=SECONDS, env=environment(folder.parent))
    frames = done.stdout.split(b"A ", 1)
    return done.returncode, frames[1] if len(frames) > 1 else b"", done.stderr


def try_own_process(name, word, more, folder, text):
    random_ = random.Random(f"{SEED} {name}")
    body = json.dumps({"file": SMALL, "text": text, **more}).encode()
    count = folder.parent / "process-count"
    want = run_own_process(word, folder, body, count=count)
    total = int(count.read_text().split()[-1])
    tally.check(f"{name}: an answer", want[0] == 0 and want[1].startswith(b"200 "), want)
    found, wrong = {"same": 0, "clean": 0}, []
    tried = numbers_to_try(total, 6, random_)
    for n, every in tried:
        got = run_own_process(word, folder, body, n, every)
        clean = got[:2] == (2, b"") and set(got[2].splitlines()) == {b"snub: out of memory"}  # of one thread or of two
        result = "same" if got == want else "clean" if clean else str(got)[:400]
        if result in found:
            found[result] += 1
        else:
            wrong.append(f"allocation {n} of {total}{' and all after it' if every else ''}: {result}")
    tally.check(f"{name}: {len(wrong)} of {len(tried)} refusals", not wrong, "\n    ".join(wrong[:6]))
    if TABLE:
        print(f"{name}: {total} allocations, {len(tried)} refusals: {found['same']} same, {found['clean']} clean, "
              f"{len(wrong)} other", flush=True)


def children(server):
    found = []
    for task in pathlib.Path(f"/proc/{server.process.pid}/task").iterdir():
        try:
            found += (task / "children").read_text().split()
        except (FileNotFoundError, ProcessLookupError):
            pass  # a thread that has just ended
    return [int(number) for number in found]


def wait_for_children(server):
    end = time.monotonic() + SECONDS
    while children(server) and time.monotonic() < end:
        time.sleep(0.02)


def child_of(server):
    end = time.monotonic() + SECONDS
    while not (found := children(server)) and time.monotonic() < end:
        time.sleep(0.01)
    return found[0]


def gone(number):
    end = time.monotonic() + SECONDS
    while time.monotonic() < end:
        try:
            with open(f"/proc/{number}/stat") as file:
                if file.read().rsplit(")", 1)[1].split()[0] == "Z":
                    return True
        except (FileNotFoundError, ProcessLookupError):
            return True
        time.sleep(0.02)
    return False


def chart_job(server, body, act):
    """Start a chart, act on its process, and wait for its end. @return what the job says at last"""
    job = json.loads(server.ask("POST", "/api/chart", body)[2])["job"]
    end = time.monotonic() + SECONDS
    while time.monotonic() < end:
        state = json.loads(server.ask("GET", f"/api/job?id={job}")[2])
        if state["state"] != "running":
            return state
        if act:
            act(child_of(server), job)
            act = None
        time.sleep(0.01)
    return {"state": "no end", "result": {}}


def try_chart_ends(folder):
    """Whatever ends the process, the server goes on and says it in words; whatever ends the server ends the process."""
    body = json.dumps({"file": LARGE, "text": (folder / LARGE).read_text()})
    server = Server(folder)
    seen = []
    for sign, word in ((signal.SIGKILL, "signal 9 (Killed)"), (signal.SIGABRT, "signal 6 (Aborted)")):
        state = chart_job(server, body, lambda number, job: (seen.append(number), os.kill(number, sign)))
        detail = state["result"].get("detail", "")
        tally.check(f"chart ended by {word}", state["state"] == "failed" and state["result"]["type"] == "/problem/no-memory" and
                    word in detail and "ran out of memory" in detail and "GiB" in detail, state)
    state = chart_job(server, body, lambda number, job: (seen.append(number), server.ask("DELETE", f"/api/job?id={job}")))
    tally.check("chart stopped", state["state"] == "stopped" and gone(seen[-1]), state)
    tally.check("no process is left", not children(server), children(server))
    server.ask("POST", "/api/chart", body)
    left = child_of(server)
    server.process.send_signal(signal.SIGTERM)
    tally.check("a server that ends takes the chart along", server.process.wait(SECONDS) == 0 and gone(left), left)
    server = Server(folder)
    server.ask("POST", "/api/chart", body)
    left = child_of(server)
    server.process.kill()
    server.process.wait()
    tally.check("a server that is killed takes the chart along", gone(left), left)
    server = Server(folder)
    state = chart_job(server, body,
                      lambda number, job: resource.prlimit(number, resource.RLIMIT_DATA, (1 << 20, 1 << 20)))
    tally.check("a chart over its limit", state["state"] == "failed" and
                "out of memory" in json.dumps(state["result"]).lower(), state)
    tally.check("the server is there", server.ask("GET", "/api/folder")[0] == 200)
    server.process.send_signal(signal.SIGTERM)
    tally.check("the server ends well after it", server.process.wait(SECONDS) == 0)


def main():
    global CATALOGUE, CACHE
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that folders and servers go
    symbols = subprocess.run(["nm", "-D", BIN], capture_output=True, text=True).stdout
    if not SHIM.exists() or "__asan" in symbols or "__tsan" in symbols:
        tally.check("passed over: the allocator is a sanitizer's", True)
        return tally.end()
    with tempfile.TemporaryDirectory(prefix="snub-memory-") as name:
        work = pathlib.Path(name)
        CATALOGUE, CACHE = work / "parts.db", work / "cache"
        rows = [f"BELT-{i},belt,invented,PK,{4 + i % 4},{900 + 10 * i},\n" for i in range(12)]
        (work / "belts.csv").write_text("key,kind,source,section,ribs,length [mm],note\n" + "".join(rows))
        subprocess.run([BIN, "parts", "import", "belts.csv", "--catalogue", "parts.db"], cwd=work, check=True,
                       capture_output=True, env=environment(work))
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count() or 1) as pool:
            for case in CASES:
                if ONLY.search(case.name):
                    try_case(case, work, pool)
        if ONLY.search("no threads"):
            try_without_threads(work)
        try_server(work)
        if ONLY.search("chart process"):
            served = work / "served" / "drives"
            text = (served / SMALL).read_text()
            try_own_process("chart process", "serve-chart", {}, served, text)
            try_own_process("motion process", "serve-motion", {"motion": {}}, served, text)
            try_own_process("run process", "serve-motion", {"motion": {"run": "hold", "seconds": 0.02}}, served, text)
            try_chart_ends(served)
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
