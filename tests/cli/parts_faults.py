"""What may go wrong around the catalogue while it is used. Each fault must leave it whole and be told in words.

Prints what failed, then `N passed, M failed`.
"""
import os
import random
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

from tally import end, expect

SNUB = os.environ["SNUB_BIN"]
KILLS = int(os.environ.get("SNUB_KILLS", "50"))
SEED = int(os.environ.get("SNUB_SEED", "20240607"))
NOBODY = 65534


def write_belts(path, prefix, count, note=""):
    with open(path, "w", newline="") as file:
        file.write("key,kind,source,section,ribs,length [mm],note\n")
        for i in range(count):
            file.write(f"{prefix}-{i},belt,invented,PK,{4 + i % 7},{700 + i % 1900},{note}\n")


def run(*arguments, **more):
    return subprocess.run([SNUB, "parts", *arguments], capture_output=True, text=True, stdin=subprocess.DEVNULL, **more)


def count(catalogue, where="1"):
    with sqlite3.connect(catalogue) as file:
        return file.execute(f"SELECT count(*) FROM part WHERE {where}").fetchone()[0]


def expect_sound(name, catalogue):
    done = run("check", "--catalogue", catalogue)
    expect(name + ": check", done.returncode == 0 and "sound" in done.stdout, done.stdout, done.stderr)


def killed_imports(work):
    """SIGKILL at random moments: each import is wholly in or wholly out, and what was there before stays."""
    rows = 6000
    catalogue, base, more = (os.path.join(work, name) for name in ("killed.db", "base.csv", "more.csv"))
    write_belts(base, "BASE", 300)
    expect("killed: base import", run("import", base, "--catalogue", catalogue).returncode == 0)
    write_belts(more, "TIME", rows)
    scratch = os.path.join(work, "scratch.db")
    start = time.monotonic()
    run("import", more, "--catalogue", scratch)
    whole = time.monotonic() - start
    chance = random.Random(SEED)
    killed = finished = late = 0
    reach = 1.15 * whole  # longest wait; follows the speed of the machine, so that some are killed late and some are not
    for i in range(KILLS):
        write_belts(more, f"K{i}", rows)
        child = subprocess.Popen([SNUB, "parts", "import", more, "--catalogue", catalogue], stdout=subprocess.DEVNULL,
                                 stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0, 1) * reach)
        child.send_signal(signal.SIGKILL)
        died = child.wait() == -signal.SIGKILL
        killed += died
        finished += not died
        reach *= 1.08 if died else 0.8
        there = count(catalogue, f"key LIKE 'K{i}-%'")
        late += died and there == rows
        expect(f"killed {i}: all or nothing", there in (0, rows), f"got {there} rows, want 0 or {rows}")
        expect(f"killed {i}: a finished import is there", died or there == rows, f"got {there} rows, want {rows}")
        expect(f"killed {i}: nothing lost", count(catalogue, "key LIKE 'BASE-%'") == 300)
        with sqlite3.connect(catalogue) as file:
            answer = file.execute("PRAGMA integrity_check").fetchone()[0]
        expect(f"killed {i}: integrity", answer == "ok", answer)
        if i % 10 == 9:
            with sqlite3.connect(catalogue) as file:  # keep it small: the fault is in the writing, not in the size
                file.execute("PRAGMA foreign_keys = ON")
                file.execute("DELETE FROM part WHERE key LIKE 'K%'")
    expect("killed: the moments were spread", killed >= KILLS // 3, f"{killed} killed, {finished} finished")
    expect_sound("killed", catalogue)
    print(f"killed imports: {killed} killed ({late} after their rows were in), {finished} finished; an import takes {whole:.2f} s")


def several_at_once(work):
    """Two imports and a reader: the imports wait for each other, the reader never waits."""
    catalogue = os.path.join(work, "several.db")
    run("init", "--bare", "--catalogue", catalogue)
    files = []
    for name in ("A", "B"):
        files.append(os.path.join(work, name + ".csv"))
        write_belts(files[-1], name, 15000)
    writers = [subprocess.Popen([SNUB, "parts", "import", path, "--catalogue", catalogue, "--wait", "60"],
                                stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for path in files]
    seen, reads = set(), 0
    while any(writer.poll() is None for writer in writers):
        done = run("find", "--kind", "belt", "--ribs", "8", "--most", "1", "--catalogue", catalogue)
        expect("several: a reader is served", done.returncode == 0, done.stderr)
        seen.add(count(catalogue))
        reads += 1
    for writer in writers:
        out, err = writer.communicate()
        expect("several: both imports are done", writer.returncode == 0, out, err)
    expect("several: readers saw whole imports only", seen <= {0, 15000, 30000}, f"got {sorted(seen)}")
    expect("several: all is there", count(catalogue) == 30000, f"got {count(catalogue)}, want 30000")
    expect("several: there were reads meanwhile", reads >= 2, f"{reads}")
    expect_sound("several", catalogue)

    # a writer that does not let go: the message says what is the matter
    lock = sqlite3.connect(catalogue, isolation_level=None)
    lock.execute("BEGIN IMMEDIATE")
    write_belts(files[0], "C", 10)
    start = time.monotonic()
    done = run("import", files[0], "--catalogue", catalogue, "--wait", "0.3")
    waited = time.monotonic() - start
    expect("busy: told", done.returncode == 2 and "another program is writing to the catalogue" in done.stderr, done.stderr)
    expect("busy: waits as long as it was told", 0.3 <= waited < 5, f"waited {waited:.2f} s, want 0.3 s")
    expect("busy: a reader is served", run("list", "--most", "1", "--catalogue", catalogue).returncode == 0)
    done = run("backup", os.path.join(work, "busy-copy.db"), "--catalogue", catalogue)
    expect("busy: a backup is made", done.returncode == 0, done.stderr)
    lock.execute("ROLLBACK")
    lock.close()
    expect("busy: nothing came in", count(catalogue) == 30000)


def two_that_make_it(work):
    """Two programs that make the same catalogue at the same moment."""
    for i in range(5):
        catalogue = os.path.join(work, f"made{i}.db")
        both = [subprocess.Popen([SNUB, "parts", "init", "--bare", "--catalogue", catalogue], stdout=subprocess.PIPE,
                                 stderr=subprocess.PIPE, text=True) for _ in range(2)]
        for child in both:
            out, err = child.communicate()
            expect(f"made at once {i}", child.returncode == 0, out, err)
        expect_sound(f"made at once {i}", catalogue)


def new_and_killed(work):
    """The first import: killed, there is no catalogue or a whole one, and the next writer clears up; stopped by Ctrl+C, or
    refused, nothing is left at all."""
    rows = 6000
    files = os.path.join(work, "new-files")
    os.mkdir(files)
    more, bad = os.path.join(files, "more.csv"), os.path.join(files, "bad.csv")
    write_belts(more, "NEW", rows)
    with open(bad, "w") as file:
        file.write("key,kind,source,section,ribs,length [mm]\nX,belt,invented,PK,six,900\n")
    start = time.monotonic()
    run("import", more, "--catalogue", os.path.join(files, "time.db"))
    whole = time.monotonic() - start
    chance = random.Random(SEED + 1)
    folder = os.path.join(work, "new")
    os.mkdir(folder)
    catalogue, other = os.path.join(folder, "parts.db"), os.path.join(folder, "other.csv")
    absent = littered = 0
    for i in range(KILLS // 2):
        sign = signal.SIGINT if i % 4 == 3 else signal.SIGKILL
        child = subprocess.Popen([SNUB, "parts", "import", more, "--catalogue", catalogue], stdout=subprocess.DEVNULL,
                                 stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0, 1.1) * whole)
        child.send_signal(sign)
        code = child.wait()
        there = os.listdir(folder)
        if "parts.db" in there:
            expect(f"new {i}: whole", count(catalogue) == rows, f"got {count(catalogue)} rows, want {rows}")
        else:
            expect(f"new {i}: ended by the signal", code == -sign, code)
            absent += 1
        hidden = [name for name in there if name.startswith(".")]
        expect(f"new {i}: a stopped one leaves nothing", sign == signal.SIGKILL or not hidden, there)
        littered += bool(hidden)
        for name in os.listdir(folder):
            if name.startswith("parts.db"):
                os.unlink(os.path.join(folder, name))
        run("export", "--output", other, "--catalogue", os.path.join(files, "time.db"))  # any writer in that folder
        expect(f"new {i}: the next writer clears up", os.listdir(folder) == ["other.csv"], os.listdir(folder))
    kept = os.path.join(folder, "kept.db")  # killed between getting its name and losing the hidden one, where links are used
    shutil.copy(os.path.join(files, "time.db"), kept)
    os.link(kept, os.path.join(folder, ".snub-save-1-0"))
    run("export", "--output", other, "--catalogue", os.path.join(files, "time.db"))
    expect("new: a second name goes, the catalogue stays", sorted(os.listdir(folder)) == ["kept.db", "other.csv"] and
           count(kept) == rows, os.listdir(folder))
    expect("new: the moments were spread", absent >= KILLS // 6 and littered, f"{absent} absent, {littered} left a file")
    nowhere = os.path.join(work, "no", "such", "folder", "parts.db")
    for words, more_environment in ((("import", bad), {}), (("import", "--dry-run", more), {}), (("import", bad, more), {}),
                                    (("init",), {"SNUB_DATA": files}), (("import", "--shipped"), {"SNUB_DATA": files})):
        done = run(*words, "--catalogue", nowhere, env={**os.environ, **more_environment})
        expect(f"new: {words[0]} that imports nothing leaves nothing", done.returncode == (0 if "--dry-run" in words else 2)
               and not os.path.exists(os.path.join(work, "no")), done.stdout, done.stderr)
    one = os.path.join(files, "one.csv")
    write_belts(one, "ONE", 3)
    done = run("import", one, bad, "--catalogue", nowhere)
    expect("new: the file before a bad one is in, as it said", done.returncode == 2 and "imported 3 of 3" in done.stdout and
           count(nowhere) == 3, done.stdout, done.stderr)
    for name in os.listdir(os.path.dirname(nowhere)):
        os.unlink(os.path.join(os.path.dirname(nowhere), name))
    with open(os.path.join(os.path.dirname(nowhere), "precious"), "w") as file:
        file.write("another program's\n")
    run("import", bad, "--catalogue", nowhere)
    expect("new: a folder with another program's file stays", os.listdir(os.path.dirname(nowhere)) == ["precious"],
           os.listdir(os.path.dirname(nowhere)))


def two_that_import(work):
    """Two programs whose first import makes the same catalogue: both are in; one that reads standard input may be told to
    run again."""
    for i in range(6):
        catalogue = os.path.join(work, f"both{i}.db")
        files = [os.path.join(work, f"both{i}{name}.csv") for name in "ab"]
        for name, path in zip("ab", files):
            write_belts(path, name, 2000)
        with open(files[1]) as standard:
            both = [subprocess.Popen([SNUB, "parts", "import", path, "--catalogue", catalogue], stdin=standard,
                                     stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
                    for path in (files[0], files[1] if i % 2 else "-")]
            answers = [child.communicate() for child in both]
        expect(f"both {i}: the file is in", both[0].returncode == 0, answers)
        if both[1].returncode == 0:
            expect(f"both {i}: all is there", count(catalogue) == 4000, count(catalogue))
        else:
            expect(f"both {i}: standard input is told", i % 2 == 0 and "run the command again" in answers[1][1] and
                   count(catalogue) == 2000, answers)
        expect_sound(f"both {i}", catalogue)


def limit_files(size):
    def limit():
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
    return limit


def full_disk(work):
    """No room to write: told, and the catalogue is as before. By a limit on files, and on a file system of 1 MiB."""
    catalogue, base, more = (os.path.join(work, name) for name in ("full.db", "full-base.csv", "full-more.csv"))
    write_belts(base, "BASE", 300)
    write_belts(more, "MORE", 20000, "x" * 60)
    run("import", base, "--catalogue", catalogue)
    size = os.path.getsize(catalogue)
    for room in (size + 20000, size + 400000, size + 1500000):
        done = run("import", more, "--catalogue", catalogue, preexec_fn=limit_files(room))
        expect(f"file limit {room}: told", done.returncode == 2 and ("no space left" in done.stderr or "refused to write"
               in done.stderr), f"code {done.returncode}", done.stderr)
        expect(f"file limit {room}: as before", count(catalogue) == 300, f"got {count(catalogue)}, want 300")
        expect_sound(f"file limit {room}", catalogue)
    done = run("backup", os.path.join(work, "full-copy.db"), "--catalogue", catalogue, preexec_fn=limit_files(size // 2))
    expect("file limit: backup told", done.returncode == 2, done.stderr)
    expect("file limit: no half of a backup", not [n for n in os.listdir(work) if n.startswith("full-copy")], os.listdir(work))
    done = run("export", "--output", os.path.join(work, "full.csv"), "--catalogue", catalogue, preexec_fn=limit_files(3000))
    expect("file limit: export told", done.returncode == 2, done.stderr)
    expect("file limit: no half of an export", not os.path.exists(os.path.join(work, "full.csv")))

    small = os.path.join(work, "small")
    os.mkdir(small)
    mounted = os.geteuid() == 0 and subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "none", small],
                                                   capture_output=True).returncode == 0
    if not mounted:
        print("full disk: no small file system could be mounted; limits on files alone were tried")
        return
    try:
        inside = os.path.join(small, "catalogue.db")
        expect("small disk: base fits", run("import", base, "--catalogue", inside).returncode == 0)
        done = run("import", more, "--catalogue", inside)
        expect("small disk: told", done.returncode == 2 and ("no space left" in done.stderr or "refused to write" in
               done.stderr), f"code {done.returncode}", done.stderr)
        expect("small disk: as before", count(inside) == 300, f"got {count(inside)}, want 300")
        expect_sound("small disk", inside)
        done = run("export", "--output", os.path.join(small, "all.xlsx"), "--catalogue", catalogue,
                   env={**os.environ, "TMPDIR": small})
        expect("small disk: workbook or reason", done.returncode == 0 or done.stderr, done.stderr)
    finally:
        subprocess.run(["umount", small], capture_output=True)


def as_nobody():
    if os.geteuid() == 0:
        os.setgid(NOBODY)
        os.setuid(NOBODY)


def read_only(work):
    """A file, and a directory, that is read-only can still be read from."""
    folder = os.path.join(work, "read-only")
    os.mkdir(folder)
    catalogue, more = os.path.join(folder, "catalogue.db"), os.path.join(work, "more.csv")
    write_belts(more, "RO", 50)
    run("import", more, "--catalogue", catalogue)
    for side in ("-wal", "-shm"):
        if os.path.exists(catalogue + side):
            os.remove(catalogue + side)
    program = os.path.join(work, "snub")  # the build may stand where nobody may go
    shutil.copy(SNUB, program)
    os.chmod(program, 0o755)
    os.chmod(work, 0o755)
    os.chmod(more, 0o644)
    os.chmod(catalogue, 0o444)
    os.chmod(folder, 0o555)

    def nobody(*arguments):
        return subprocess.run([program, "parts", *arguments, "--catalogue", catalogue], capture_output=True, text=True,
                              stdin=subprocess.DEVNULL, preexec_fn=as_nobody, env={**os.environ, "HOME": work})
    done = nobody("find", "--kind", "belt", "--ribs", "8", "--json")
    expect("read-only: can be read", done.returncode == 0 and '"RO-' in done.stdout, done.stderr)
    done = nobody("check")
    expect("read-only: can be checked", done.returncode == 0 and "50 parts" in done.stdout, done.stdout, done.stderr)
    for arguments in (("import", more, "--replace"), ("remove", "RO-1"), ("init",)):
        done = nobody(*arguments)
        expect("read-only: " + arguments[0] + " is told", done.returncode == 2 and "is read-only" in done.stderr,
               f"code {done.returncode}", done.stdout, done.stderr)
    os.chmod(folder, 0o755)
    expect("read-only: as before", count(catalogue) == 50)


def main():
    work = tempfile.mkdtemp()
    try:
        for fault in (killed_imports, several_at_once, new_and_killed, two_that_make_it, two_that_import, full_disk, read_only):
            fault(work)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return end()


sys.exit(main())
