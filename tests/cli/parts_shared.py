"""One catalogue, several programs: a second writer is told who has it in hand, readers go on, a copy is made meanwhile, and
what both write is there in the end. Real processes: an import from standard input holds the catalogue until that ends.

Needs SNUB_BIN. The last line is `N passed, N failed`."""
import json
import os
import pathlib
import signal
import socket
import subprocess
import sys
import tempfile
import time

from tally import check, end

SNUB = os.environ["SNUB_BIN"]
HEAD = "key,kind,source,section,ribs,length [mm]\n"
SINCE = "2026-01-31T14:05:00Z"


def belts(prefix, count):
    return "".join(f"{prefix}-{i},belt,invented,PK,6,{900 + i}\n" for i in range(count))


def parts(store, *words, text=None):
    return subprocess.run([SNUB, "parts", *map(str, words), "--catalogue", store], capture_output=True, text=True, input=text or "", timeout=60)


def keys(store, *more):
    done = parts(store, "list", "--json", *more)
    return {p["key"] for p in json.loads(done.stdout)["parts"]} if done.returncode == 0 else done.stderr


class Writer:
    """An import that has begun and waits for the rest of its input."""

    def __init__(self, store, prefix, *more):
        self.note = pathlib.Path(f"{store}-writer")
        self.child = subprocess.Popen([SNUB, "parts", "import", "-", "--catalogue", store, *more], stdin=subprocess.PIPE,
                                      stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        self.child.stdin.write(HEAD + belts(prefix, 3))
        self.child.stdin.flush()
        until = time.monotonic() + 20
        while not self.note.exists() and time.monotonic() < until:
            time.sleep(0.01)

    def finish(self):
        out, err = self.child.communicate(timeout=30)
        return self.child.returncode, out + err

    def kill(self):
        self.child.send_signal(signal.SIGKILL)
        self.child.wait()
        for pipe in (self.child.stdin, self.child.stdout, self.child.stderr):
            pipe.close()


def second_writer(work, store):
    first = Writer(store, "FIRST", "--by", "petra", "--date", SINCE)
    check("the first writer leaves a note", first.note.exists())
    more = work / "more.csv"
    more.write_text(HEAD + belts("SECOND", 2))
    told = f"petra on {socket.gethostname()} has been writing to the catalogue since {SINCE}; try again when that is done"
    for verb in (["import", more], ["remove", "BASE-0"], ["update", more, "--add"]):
        start = time.monotonic()
        done = parts(store, *verb, "--wait", "0.3")
        waited = time.monotonic() - start
        check(f"{verb[0]}: who writes, where and since when", done.returncode == 2 and told in done.stderr, done.stderr)
        check(f"{verb[0]}: after the wait", 0.3 <= waited < 10, f"waited {waited:.2f} s, want 0.3 s")
        check(f"{verb[0]}: and leaves the note alone", first.note.exists())
    check("readers go on, with what was there", keys(store) == {"BASE-0", "BASE-1"}, keys(store))
    check("history, too", parts(store, "history", "BASE-0").returncode == 0)
    copy = work / "copy.db"
    done = parts(store, "backup", copy)
    check("a copy is made meanwhile", done.returncode == 0 and keys(copy) == {"BASE-0", "BASE-1"}, done.stderr)
    check("the copy has no note", not pathlib.Path(f"{copy}-writer").exists())
    waiting = subprocess.Popen([SNUB, "parts", "import", more, "--catalogue", store, "--wait", "60"], stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE, text=True)
    time.sleep(0.3)
    check("a writer with patience waits", waiting.poll() is None)
    code, said = first.finish()
    check("the first ends well", code == 0, said)
    out, err = waiting.communicate(timeout=60)
    check("then the second writes", waiting.returncode == 0, err)
    want = {"BASE-0", "BASE-1", "FIRST-0", "FIRST-1", "FIRST-2", "SECOND-0", "SECOND-1"}
    check("nothing is lost", keys(store) == want, keys(store))
    check("no note stays", not first.note.exists())
    done = json.loads(parts(store, "history", "FIRST-1", "--json").stdout)
    check("the history names the first", [(c["by"], c["at"], c["file"]) for c in done["changes"]] == [("petra", SINCE, "standard input")], done)


def killed_writer(work, store):
    """The note of a killed program is not believed, and goes with the next writer."""
    killed = Writer(store, "KILLED", "--by", "otto")
    killed.kill()
    check("killed: its note is still there", killed.note.exists())
    lock = subprocess.Popen([sys.executable, "-c", """
import sqlite3, sys
lock = sqlite3.connect(sys.argv[1], isolation_level=None)
lock.execute("BEGIN IMMEDIATE")
print("locked", flush=True)
sys.stdin.read()""", store], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    lock.stdout.readline()
    done = parts(store, "remove", "BASE-0", "--wait", "0")
    check("killed: nobody is accused", done.returncode == 2 and "another program is writing" in done.stderr and "otto" not in done.stderr, done.stderr)
    lock.communicate()
    done = parts(store, "remove", "BASE-0")
    check("killed: the next one writes, and tidies up", done.returncode == 0 and not killed.note.exists(), done.stderr)
    check("killed: nothing of it came in", not any(k.startswith("KILLED") for k in keys(store)))


def hostile_note(work, store):
    """A note is text of somebody else's: it is shown only where it is one."""
    note = pathlib.Path(f"{store}-writer")
    for text in (b"", b"one line", b"a\x1b[31m\nhost\n2026\n", b"\xff\xfe\n\n\n", b"x" * 5000):
        note.write_bytes(text)
        holder = subprocess.Popen([sys.executable, "-c", """
import fcntl, sqlite3, sys
note = open(sys.argv[1] + "-writer")
fcntl.flock(note, fcntl.LOCK_EX)
lock = sqlite3.connect(sys.argv[1], isolation_level=None)
lock.execute("BEGIN IMMEDIATE")
print("locked", flush=True)
sys.stdin.read()""", store], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        holder.stdout.readline()
        done = parts(store, "remove", "BASE-1", "--wait", "0")
        check(f"note {text[:12]}", done.returncode == 2 and "another program is writing" in done.stderr and "\x1b" not in done.stderr, done.stderr)
        holder.communicate()
    aside = work / "aside"
    aside.write_text("mine")
    note.unlink()
    note.symlink_to(aside)
    check("a link in the note's place is not followed", parts(store, "remove", "BASE-1").returncode == 0 and aside.read_text() == "mine")


def main():
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        store = str(work / "store.db")
        done = parts(store, "import", "-", text=HEAD + belts("BASE", 2))
        check("a catalogue", done.returncode == 0, done.stderr)
        second_writer(work, store)
        killed_writer(work, store)
        hostile_note(work, store)
    return end()


if __name__ == "__main__":
    sys.exit(main())
