"""What is written when the system refuses: the old file stays or the new one is whole, nothing is left beside it, and
the answer says which file and why. Prints what failed, then `N passed, M failed`.
"""
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile

import faults
from faults import content, put
from served import Server
from tally import end, expect

SNUB = faults.SNUB
EVERY = os.environ.get("SNUB_FAULTS") == "all"
NOT_REMOVED = ("unlink", "stat")  # these leave a file that cannot be removed, or is not known for one's own
DRIVE = os.path.join(os.environ["SNUB_SOURCE_DIR"], "examples", "three-pulleys.yaml")
OLD = b"precious\n"
tried = {}


def clear(folder, but=()):
    for name in os.listdir(folder):
        if name not in but:
            os.unlink(os.path.join(folder, name))


def note(what, fault):
    tried.setdefault(what, []).append(fault)


def sane(name, text):
    expect(name + ": no error of the program's own", "Sanitizer" not in text and "runtime error" not in text, text)


# ---- commands that write a file -------------------------------------------------------------------------------------

COMMANDS = {
    "drive.svg": ("draw", DRIVE, "-o"), "drive.dxf": ("draw", DRIVE, "-o"), "drive.pdf": ("draw", DRIVE, "-o"),
    "fitting.pdf": ("sheet", DRIVE, "-o"), "rows.csv": ("sweep", DRIVE, "-o"), "rows.xlsx": ("sweep", DRIVE, "-o"),
    "rows.json": ("sweep", DRIVE, "-o"),
}


def outputs(work):
    """Each output over an old file, and by way of a link."""
    folder = os.path.join(work, "outputs")
    os.mkdir(folder)
    control = faults.Control(os.path.join(work, "control"), folder)
    environment = {**control.environment(), "TMPDIR": folder}
    for number, (name, words) in enumerate(COMMANDS.items()):
        target, link = os.path.join(folder, name), os.path.join(folder, "link-" + name)

        def run():
            clear(folder)
            put(target, OLD)
            os.symlink(name, link)
            return subprocess.run([SNUB, *words, link], capture_output=True, env=environment, stdin=subprocess.DEVNULL)
        if not EVERY and name not in ("drive.svg", "rows.xlsx"):
            continue  # the same writer
        control.set()
        run()
        want = content(target)
        expect(f"{name}: there is an output", want and want != OLD)
        run()
        same = content(target) == want  # else it has its time in it
        for call, at, code in faults.faults(control, run, EVERY, number):
            title = f"{name}: {call} {at} {code}"
            control.set(call, at, code)
            done = run()
            if not control.failed():
                continue
            note("outputs", (call, code))
            err, got = done.stderr.decode(errors="replace"), content(target)
            sane(title, err)
            if done.returncode == 0:
                expect(title + ": written", got == want or (not same and got and got[:4] == want[:4]
                       and abs(len(got) - len(want)) < 100), (got or b"")[:80])
            else:
                expect(title + ": refused", done.returncode == 2, done.returncode, err)
                expect(title + ": the old file is there", got == OLD, (got or b"")[:80])
                expect(title + ": the file is named", name in err or "temporary file" in err, err)
                expect(title + ": the reason is given", any(word in err for word in REASONS), err)
            left = sorted(set(os.listdir(folder)) - {name, "link-" + name})
            if left and call in NOT_REMOVED:  # the next to write there removes it
                control.set()
                subprocess.run([SNUB, *words, link], capture_output=True, env=environment, stdin=subprocess.DEVNULL)
                left = [one for one in os.listdir(folder) if one.startswith(".snub-save-")]
            expect(title + ": nothing is left", not left, left)
            expect(title + ": the link is one", os.path.islink(link))


REASONS = ("no space left", "ermission denied", "not permitted", "read-only", "Read-only", "nput/output error",
           "Too many open files", "nterrupted", "gives back is not", "No locks", "not written:", "refused to write",
           "No space left", "cannot be read", "cannot read", "disk I/O error", "temporary file")


# ---- the catalogue ----------------------------------------------------------------------------------------------------

def count(catalogue):
    with sqlite3.connect(catalogue) as file:
        return file.execute("SELECT count(*) FROM part").fetchone()[0]


def catalogue_commands(work):
    folder, aside = os.path.join(work, "parts"), os.path.join(work, "aside")
    os.mkdir(folder)
    os.mkdir(aside)
    base, more = os.path.join(aside, "base.db"), os.path.join(aside, "more.csv")
    with open(more, "w") as file:
        file.write("key,kind,source,section,ribs,length [mm]\n" +
                   "".join(f"B-{i},belt,invented,PK,6,{900 + i}\n" for i in range(40)))
    subprocess.run([SNUB, "parts", "import", more, "--catalogue", base], capture_output=True)
    expect("parts: a catalogue", count(base) == 40)
    second = os.path.join(aside, "second.csv")
    with open(more) as old, open(second, "w") as new:
        new.write(old.read().replace("B-", "C-"))
    control = faults.Control(os.path.join(work, "control-parts"), folder)
    environment = control.environment()
    catalogue, copy, table = (os.path.join(folder, name) for name in ("parts.db", "copy.db", "table.csv"))

    def command(*words):
        def run():
            clear(folder)
            if words[0] != "init" and second not in words[2:]:
                shutil.copy(base, catalogue)
            if words[0] == "export":
                put(table, OLD)
            if words[0] == "backup":
                put(copy, OLD)
            return subprocess.run([SNUB, "parts", *words, "--catalogue", catalogue], capture_output=True, text=True,
                                  env=environment, stdin=subprocess.DEVNULL)
        return run
    runs = {"init": command("init", "--bare"), "import": command("import", second),
            "first import": command("import", "--replace", second),
            "export": command("export", "-o", table), "backup": command("backup", copy, "--force")}
    for number, (name, run) in enumerate(runs.items()):
        control.set()
        done = run()
        expect(f"parts {name}: works", done.returncode == 0, done.stderr)
        want = content(table)
        for call, at, code in faults.faults(control, run, EVERY, number):
            title = f"parts {name}: {call} {at} {code}"
            if code == faults.FLIPPED and name != "export":
                continue  # a disk that lies under a data base is found by `parts check`
            control.set(call, at, code)
            done = run()
            if not control.failed():
                continue
            note("parts", (call, code))
            sane(title, done.stderr)
            control.set()
            expect(title + ": an answer", done.returncode in (0, 2), done.returncode, done.stderr)
            if done.returncode:
                expect(title + ": the file is named", folder in done.stderr, done.stderr)
            if name == "export":
                expect(title + ": old or new", content(table) == (OLD if done.returncode else want))
            if name == "backup":
                expect(title + ": old or new", content(copy) == OLD if done.returncode else count(copy) == 40)
            if name == "import":
                got = count(catalogue)
                expect(title + ": all or nothing", got == (40 if done.returncode else 80) or
                       (done.returncode and got == 80 and call in ("close", "unlink", "fsync", "ftruncate")), got, done.stderr)
            if name in ("init", "first import"):
                there = os.path.exists(catalogue)
                expect(title + ": whole or not at all", not there if done.returncode else
                       there and count(catalogue) == (40 if name == "first import" else 0), done.returncode, there)
            left = {one for one in os.listdir(folder) if not one.startswith("parts.db")} - {"table.csv", "copy.db"}
            expect(title + ": nothing is left", not left or call in (*NOT_REMOVED, "close"), left)


# ---- the server -------------------------------------------------------------------------------------------------------

def server_requests(work):
    folder = os.path.join(work, "served")
    os.mkdir(folder)
    target, fresh = os.path.join(folder, "kit.yaml"), os.path.join(folder, "new.yaml")
    with open(DRIVE, "rb") as file:
        old = file.read()
    put(target, old)
    control = faults.Control(os.path.join(work, "control-serve"), folder)
    control.set()
    server = Server(folder, control.environment())
    try:
        etag = server.ask("/api/drive?file=kit.yaml")[2]
        text = old.decode()
        new = text + "# more\n"

        def requests(path, body=None, **headers):
            def run():
                before = (control.map[:])
                control.map[:] = bytes(len(before))
                clear(folder, [one for one in os.listdir(folder) if one.startswith(".")])
                put(target, old)
                control.map[:] = before
                return server.ask(path, body, **headers)
            return run
        save = {"file": "kit.yaml", "text": new}
        runs = {
            "save": requests("/api/save", save, If_Match=etag),
            "save new": requests("/api/save", {**save, "file": "new.yaml"}, If_None_Match="*"),
            "save changed": requests("/api/save", save, If_Match='"0"'),
            "apply": requests("/api/apply", {"file": "kit.yaml", "text": text, "changes": []}),
            "drive": requests("/api/drive?file=kit.yaml"),
            "folder": requests("/api/folder"),
        }
        usual = {name: run()[0] for name, run in runs.items()}
        expect("server: as it should be", usual == {"save": 200, "save new": 200, "save changed": 412, "apply": 200,
               "drive": 200, "folder": 200}, usual)
        for number, (name, run) in enumerate(runs.items()):
            for call, at, code in faults.faults(control, run, EVERY, number):
                title = f"server {name}: {call} {at} {code}"
                control.set(call, at, code)
                status, body, _ = run()
                if not control.failed():
                    continue
                control.set()
                note("server", (call, code))
                aim = fresh if name == "save new" else target
                got, had = content(aim), None if name == "save new" else old
                if status == 200:
                    expect(title + ": written", got == (new.encode() if name.startswith("save") else had), body)
                elif usual[name] == 200:
                    expect(title + ": a refusal", status in (404, 412, 507) and status != 404, status, body)
                    expect(title + ": the old file is there", got == had, (got or b"")[:60])
                    expect(title + ": file and reason", (name == "folder" or os.path.basename(aim) in body["detail"]) and
                           any(word in body["detail"] for word in REASONS), body)
                left = set(os.listdir(folder)) - {"kit.yaml", "new.yaml"}
                if left and call in NOT_REMOVED:
                    runs["save"]()
                    left = set(os.listdir(folder)) - {"kit.yaml", "new.yaml"}
                expect(title + ": nothing is left", not left, left)
                expect(title + ": the server goes on", server.process.poll() is None)
    finally:
        code, err = server.stop()
    expect("server: ends well", code == 0, code, err)
    sane("server", err)
    # a start that fails points at a path that is still there
    for name in ("/dev/null/parts.db", folder):
        done = subprocess.run([SNUB, "serve", target, "--port", "0"], capture_output=True, text=True, timeout=60,
                              env={**os.environ, "SNUB_CATALOGUE": name}, stdin=subprocess.DEVNULL) if name == folder else \
            subprocess.run([SNUB, "serve", target, "--port", "0", "--catalogue", name], capture_output=True, text=True,
                           timeout=60, stdin=subprocess.DEVNULL)
        sane("server: catalogue " + name, done.stderr)
        expect("server: the catalogue is named", done.returncode == 2 and name in done.stderr, done.returncode, done.stderr)


def main():
    work = tempfile.mkdtemp(prefix="snub-faults-")
    try:
        for part in (outputs, catalogue_commands, server_requests):
            part(work)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    for what, list_ in tried.items():
        print(f"{what}: {len(list_)} faults, {len(set(list_))} kinds")
    expect("all places were tried", set(tried) == {"outputs", "parts", "server"}, tried.keys())
    return end()


sys.exit(main())
