"""SIGKILL while a file is saved: it is the old or the new one, whole, and the next start leaves nothing beside it. Prints
what failed, then `N passed, M failed`.
"""
import fcntl
import hashlib
import os
import random
import shutil
import subprocess
import sys
import tempfile
import threading
import time

import faults
from faults import content, put
from served import Server
from tally import end, expect

SNUB = faults.SNUB
KILLS = int(os.environ.get("SNUB_KILLS", "60"))
SEED = int(os.environ.get("SNUB_SEED", "20240607"))
DRIVE = os.path.join(os.environ["SNUB_SOURCE_DIR"], "examples", "three-pulleys.yaml")
SAVING = ("open", "write", "read", "fsync", "rename", "flock", "unlink", "close", "fchmod", "stat", "opendir")


def litter(folder):
    return [name for name in os.listdir(folder) if name.startswith(".snub-")]


def at_a_call(work, chance, kills):
    """Killed at a random call of a save by the server; and of one by a command."""
    folder = os.path.join(work, "calls")
    os.mkdir(folder)
    target = os.path.join(folder, "kit.yaml")
    text = content(DRIVE).decode()
    put(target, text.encode())
    control = faults.Control(os.path.join(work, "control"), folder)
    environment = control.environment()
    counts = {}
    control.set()
    server = Server(folder, environment)
    for call in SAVING:
        etag = server.ask("/api/drive?file=kit.yaml")[2]
        control.set(call)
        server.ask("/api/save", {"file": "kit.yaml", "text": text}, If_Match=etag)
        counts[call] = control.counted()
    expect("calls: a save makes them", all(counts.values()), counts)
    died = swapped = left = 0
    for i in range(kills):
        old = content(target)
        new = text + f"# number {i}\n"
        etag = server.ask("/api/drive?file=kit.yaml")[2]
        call = chance.choice(SAVING)
        control.set(call, chance.randint(1, counts[call]), faults.KILLED)
        try:
            server.ask("/api/save", {"file": "kit.yaml", "text": new}, If_Match=etag)
        except OSError:
            pass
        control.set()
        if server.process.poll() is None:
            time.sleep(0.01)
        if not server.process.poll() is None or server.process.wait(5) is not None:
            died += 1
        got = content(target)
        expect(f"call {i} {call}: old or new, whole", got in (old, new.encode()), got[-60:])
        swapped += got != old
        left += bool(litter(folder))
        server.kill()
        server = Server(folder, environment)
        expect(f"call {i} {call}: the next start leaves nothing", not litter(folder), litter(folder))
    server.stop()
    print(f"killed at a call: {died} of {kills}; {swapped} had the new file by then, {left} left a file beside it")
    expect("calls: killed at different stages", died == kills and 0 < swapped < kills and left > kills // 10)


def at_any_moment(work, chance, kills):
    """Killed while saves come in without a pause: what was answered as saved is there, or a later save."""
    folder = os.path.join(work, "moments")
    os.mkdir(folder)
    target, text = os.path.join(folder, "kit.yaml"), content(DRIVE).decode()
    put(target, text.encode())
    number = 0
    for i in range(kills):
        server = Server(folder)
        expect(f"moment {i}: the start leaves nothing", not litter(folder), litter(folder))
        told = [number]

        def save():
            try:
                etag = server.ask("/api/drive?file=kit.yaml")[2]
                while True:
                    body = {"file": "kit.yaml", "text": text + f"# number {told[0] + 1}\n"}
                    status, _, etag = server.ask("/api/save", body, If_Match=etag)
                    if status != 200:
                        return
                    told[0] += 1
            except OSError:
                return
        thread = threading.Thread(target=save)
        thread.start()
        time.sleep(chance.uniform(0.005, 0.1))
        server.kill()
        thread.join()
        got = content(target).decode()
        tails = [text + (f"# number {n}\n" if n else "") for n in (told[0], told[0] + 1)]
        expect(f"moment {i}: the last save or the next", got in tails, got[-40:], told)
        number = int(got[len(text):].split()[-1]) if got != text else 0
    print(f"killed at any moment: {kills}, after {number} saves")
    expect("moments: there were saves", number > 0)


def commands_killed(work, chance, kills):
    folder = os.path.join(work, "commands")
    os.mkdir(folder)
    target = os.path.join(folder, "drive.svg")
    control = faults.Control(os.path.join(work, "control-commands"), folder)
    words = [SNUB, "draw", DRIVE, "-o", target]
    subprocess.run(words, capture_output=True)
    new, left = content(target), 0
    for i in range(kills):
        put(target, b"old\n")
        control.set(chance.choice(("open", "write", "fsync", "rename", "stat")), chance.randint(1, 3), faults.KILLED)
        subprocess.run(words, capture_output=True, env=control.environment())
        expect(f"command {i}: old or new, whole", content(target) in (b"old\n", new))
        left += bool(litter(folder))
        subprocess.run(words, capture_output=True)
        expect(f"command {i}: the next leaves nothing", not litter(folder), litter(folder))
    expect("commands: some left a file", kills < 5 or left > 0)


def several_savers(work, rounds):
    """Programs that write one file at once, each in a folder that others tidy: each is done, and none loses its own."""
    folder = os.path.join(work, "several")
    os.mkdir(folder)
    target = os.path.join(folder, "parts.csv")
    texts = []
    for i in range(2):
        catalogue, table = os.path.join(work, f"{i}.db"), os.path.join(work, f"{i}.csv")
        put(table, ("key,kind,source,section,ribs,length [mm]\n" +
                    "".join(f"{'AB'[i]}-{n},belt,invented,PK,6,{900 + n}\n" for n in range(200))).encode())
        subprocess.run([SNUB, "parts", "import", table, "--catalogue", catalogue], capture_output=True)
        subprocess.run([SNUB, "parts", "export", "-o", target, "--catalogue", catalogue], capture_output=True)
        texts.append(content(target))
    expect("several: two texts", texts[0] != texts[1] and min(map(len, texts)) > 1000)

    def write(i):
        for _ in range(rounds):
            done = subprocess.run([SNUB, "parts", "export", "-o", target, "--catalogue", os.path.join(work, f"{i}.db")],
                                  capture_output=True, text=True)
            expect("several: written", done.returncode == 0, done.stderr)
    threads = [threading.Thread(target=write, args=(i % 2,)) for i in range(4)]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        expect("several: always whole", content(target) in texts)
        time.sleep(0.002)
    for thread in threads:
        thread.join()
    expect("several: nothing is left", not litter(folder), litter(folder))


def what_stays(work):
    """Only what is certainly a dead writer's goes."""
    folder = os.path.join(work, "stays")
    os.mkdir(folder)
    target = os.path.join(folder, "kit.yaml")
    text = content(DRIVE)

    def mark(data):
        return hashlib.sha256(data).hexdigest()[:16]

    def start():
        Server(folder).stop()
        return sorted(name for name in os.listdir(folder) if name.startswith(".snub-"))
    put(target, text)
    own = [".snub-save-notes", ".snub-save-1-2x", ".snub-save-1", ".snub-swap-1-2-3", ".snub-save-1-2.yaml"]
    for name in own:
        put(os.path.join(folder, name), b"mine\n")
    os.symlink("kit.yaml", os.path.join(folder, ".snub-save-7-0"))
    os.mkdir(os.path.join(folder, ".snub-save-7-1"))
    os.link(target, os.path.join(folder, ".snub-save-7-2"))
    living = open(os.path.join(folder, ".snub-save-7-3"), "wb")
    fcntl.flock(living, fcntl.LOCK_EX)
    put(os.path.join(folder, ".snub-save-7-4"), b"left\n")
    for beside in ("-wal", "-shm", "-journal", "-notes"):
        put(os.path.join(folder, ".snub-save-7-4" + beside), b"left\n")
    expect("stays: all but two", start() == sorted([*own, ".snub-save-7-0", ".snub-save-7-1", ".snub-save-7-3",
                                                    ".snub-save-7-4-notes"]), os.listdir(folder))
    expect("stays: a file that lost its second name", content(target) == text)
    living.close()
    expect("stays: once its writer is dead it goes", ".snub-save-7-3" not in start())
    for name in os.listdir(folder):
        path = os.path.join(folder, name)
        os.rmdir(path) if os.path.isdir(path) and not os.path.islink(path) else os.unlink(path)

    # two files that were to change places
    old, new, other = text, text + b"# new\n", text + b"# by another program\n"
    swap = os.path.join(folder, f".snub-swap-99-{mark(old)}-{mark(new)}-kit.yaml")
    for title, aside, there, want in (("before", new, old, old), ("after", old, new, new),
                                      ("another's taken out", other, new, other)):
        put(target, there)
        put(swap, aside)
        expect(f"swap {title}: nothing is left", start() == [], os.listdir(folder))
        expect(f"swap {title}: the right one is there", content(target) == want, content(target)[-40:])
    put(target, other + b"# and more\n")
    put(swap, other)
    expect("swap: what nobody can judge stays", start() == [os.path.basename(swap)], os.listdir(folder))
    expect("swap: and the file as well", content(target) == other + b"# and more\n" and content(swap) == other)


def main():
    work, chance = tempfile.mkdtemp(prefix="snub-kills-"), random.Random(SEED)
    try:
        what_stays(work)
        at_a_call(work, chance, KILLS // 2)
        at_any_moment(work, chance, KILLS // 3)
        commands_killed(work, chance, KILLS // 6)
        several_savers(work, max(5, KILLS // 12))
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return end()


sys.exit(main())
