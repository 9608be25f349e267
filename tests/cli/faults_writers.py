"""Two servers, tabs of both, and editors that know nothing of them, all writing one drive file. Whoever was told that his
value is saved finds it there. Prints what failed, then `N passed, M failed`.
"""
import os
import random
import re
import shutil
import sys
import tempfile
import threading
import time

from faults import SLOW, Control
from served import Server
from tally import end, expect

ROUNDS = int(os.environ.get("SNUB_ROUNDS", "60"))
SEED = int(os.environ.get("SNUB_SEED", "20240607"))
lock = threading.Lock()
BASE = """snub: 1
# a file that many write
limits: {tab0: 0, tab1: 0, tab2: 0, same: 0}
engine:
  mover: 0 # an editor that puts a new file in place
  writer: 0 # an editor that writes over the file
  other: 0
"""


def content(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def value(text, key):
    found = re.search(rf"\b{key}: (\d+)", text)
    return int(found[1]) if found else None


def tab(server, number, rounds, told, counts, chance, start):
    """Saves its own key, now and then one that all write; answers conflicts by a pick. Its first save is based on the file
    before any, so that all tabs but one meet a conflict and another's key."""
    own = f"limits.tab{number}"
    base = server.ask("/api/drive?file=kit.yaml")[1]["text"]
    start.wait()
    for i in range(1, rounds + 1):
        changes = [{"path": own, "value": i}]
        if i % 5 == 1:
            changes.append({"path": "limits.same", "value": 1000 * number + i})
        body = {"file": "kit.yaml", "text": base, "base": base, "changes": changes}
        for _ in range(100):
            status, answer, _ = server.ask("/api/save", body)
            if status == 409:
                with lock:
                    counts["conflicts"] += 1
                paths = [one["path"] for one in answer["conflicts"]]
                expect("a conflict is about what all write", paths == ["limits.same"], answer)
                body["picks"] = [{"path": one["path"], "theirs": one["theirs"], "take": chance.choice(("mine", "theirs"))}
                                 for one in answer["conflicts"]]
                continue
            break
        with lock:
            counts["saves"] += 1
            counts["merged"] += bool(answer.get("taken"))
        expect(f"tab {number} {i}: saved", status == 200, status, answer)
        if status != 200:
            return
        told[own] = i
        base = answer["text"]
        expect(f"tab {number} {i}: the answer has the value", value(base, f"tab{number}") == i, base)
        expect(f"tab {number} {i}: and the comments", base.count("#") == 3, base)


def editor(path, key, rounds, told, pause):
    """Opens the file, reads it, changes its own number, and writes over it in two goes."""
    for i in range(1, rounds + 1):
        while told.get(key) != i:
            with open(path, "r+", encoding="utf-8") as file:
                text = file.read()
                new = re.sub(rf"\b{key}: \d+", f"{key}: {i}", text)
                file.seek(0)
                file.truncate()
                file.write(new[:20])
                file.flush()
                time.sleep(0.003)
                file.write(new[20:])
            told[key] = i
        time.sleep(pause)


def at_once(work, chance):
    folder = os.path.join(work, "many")
    os.mkdir(folder)
    path = os.path.join(folder, "kit.yaml")
    with open(path, "w", encoding="utf-8") as file:
        file.write(BASE)
    servers = [Server(folder), Server(folder)]
    told, counts = {}, {"saves": 0, "merged": 0, "conflicts": 0}
    rounds = max(5, ROUNDS // 3)
    start = threading.Barrier(3, timeout=60)
    try:
        threads = [threading.Thread(target=tab, args=(servers[n % 2], n, rounds, told, counts, random.Random(SEED + n), start))
                   for n in range(3)]
        threads.append(threading.Thread(target=editor, args=(path, "writer", rounds // 2, told, 0.02)))
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        text = content(path)
        for key, last in sorted(told.items()):
            expect(f"{key}: what was told is there", value(text, key.split(".")[-1]) == last, last, text)
        expect("all have written", len(told) == 4, told)
        expect("texts were brought together", counts["merged"] >= 2 and counts["conflicts"] >= 2, counts)
        expect("nothing is left", os.listdir(folder) == ["kit.yaml"], os.listdir(folder))
        print(f"at once: {counts['saves']} saves, {counts['merged']} brought together, {counts['conflicts']} conflicts, "
              f"{told.get('writer')} writes in place")
        one_by_one(servers, path, folder, chance)
    finally:
        for server in servers:
            code, err = server.stop()
            expect("a server ends well", code == 0, code, err)


def one_by_one(servers, path, folder, chance):
    """In turns without an overlap, so that every one of them must be there at the end."""
    told = {}
    bases = [server.ask("/api/drive?file=kit.yaml")[1]["text"] for server in servers]
    for i in range(1, ROUNDS + 1):
        who = chance.choice(("first", "second", "mover", "writer"))
        if who in ("mover", "writer"):
            text = re.sub(rf"\b{who}: \d+", f"{who}: {i}", content(path))
            aside = os.path.join(folder, "aside~") if who == "mover" else path
            with open(aside, "w", encoding="utf-8") as file:
                file.write(text)
            os.rename(aside, path)
            told[who] = i
            continue
        n = 0 if who == "first" else 1
        key = f"limits.tab{n}"
        body = {"file": "kit.yaml", "text": bases[n], "base": bases[n], "changes": [{"path": key, "value": 500 + i}]}
        status, answer, _ = servers[n].ask("/api/save", body)
        expect(f"turn {i}: saved", status == 200, status, answer)
        bases[n] = answer.get("text", bases[n])
        told[f"tab{n}"] = 500 + i
        for name, last in told.items():
            expect(f"turn {i}: {name} is there", value(content(path), name) == last, told, content(path))


def words(work):
    """What a tab is told."""
    folder = os.path.join(work, "words")
    os.mkdir(folder)
    path = os.path.join(folder, "kit.yaml")
    other = BASE.replace("tab1: 0", "tab1: 7").replace("same: 0", "same: 3")

    def put(text):
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
    server = Server(folder)
    try:
        put(other)
        save = {"file": "kit.yaml", "text": BASE, "base": BASE, "changes": [{"path": "limits.tab0", "value": 5}]}
        status, answer, etag = server.ask("/api/save", save)
        want = other.replace("tab0: 0", "tab0: 5")
        expect("brought together", status == 200 and answer["text"] == want and content(path) == want, answer)
        expect("what came from there", answer["taken"] == ["limits.tab1", "limits.same"], answer["taken"])
        expect("the ETag is that of the file", server.ask("/api/drive?file=kit.yaml", If_None_Match=etag)[0] == 304)
        put(other)
        save["changes"].append({"path": "limits.same", "value": 4})
        for again in range(2):
            status, answer, etag = server.ask("/api/save", save)
            expect("a second save asks again", status == 409 and content(path) == other, status, answer)
        expect("the values", answer["conflicts"] == [{"path": "limits.same", "base": "0", "mine": "4", "theirs": "3"}], answer)
        expect("no ETag with a refusal", etag is None, etag)
        save["picks"] = [{"path": "limits.same", "take": "mine", "theirs": "3"}]
        put(other.replace("same: 3", "same: 9"))
        status, answer, _ = server.ask("/api/save", save)
        expect("a pick holds for the value that was shown", status == 409 and answer["conflicts"][0]["theirs"] == "9", answer)
        save["picks"][0]["theirs"] = "9"
        status, answer, _ = server.ask("/api/save", save)
        expect("a pick", status == 200 and value(content(path), "same") == 4 and value(content(path), "tab1") == 7, answer)
        os.unlink(path)
        status, answer, _ = server.ask("/api/save", save)
        expect("a file that is gone", status == 412 and "no longer exists" in answer["detail"] and not os.path.exists(path))
        for bad in ({"picks": 3}, {"picks": [{}]}, {"picks": [{"path": "a", "take": "both"}]}, {"base": 7}):
            expect(f"bad {bad}", server.ask("/api/save", {**save, **bad})[0] == 400)
        expect("neither base nor ETag", server.ask("/api/save", {"file": "kit.yaml", "text": BASE})[0] == 428)
        put(BASE)
        with open(path, "r+", encoding="utf-8") as held:  # a program that does not let go
            start = time.monotonic()
            status, answer, _ = server.ask("/api/save", {"file": "kit.yaml", "text": BASE + "#\n", "base": BASE})
            expect("held open: said so", status == 507 and "open for writing" in answer["detail"], status, answer)
            expect("held open: after a wait", 1.5 < time.monotonic() - start < 20)
            expect("held open: as before", content(path) == BASE and os.listdir(folder) == ["kit.yaml"], held.name)
        change = {"file": "kit.yaml", "text": BASE, "base": BASE, "changes": [{"path": "limits.tab0", "value": 6}]}
        with open(path, "r+", encoding="utf-8") as slow:  # half of the file for longer than it takes to show it
            slow.truncate(20)
            status, answer, _ = server.ask("/api/save", change)
            expect("half of a file: no conflict of values", status == 507 and "open for writing" in answer["detail"], status, answer)
            ends = threading.Timer(0.8, lambda: (slow.write(BASE), slow.close()))
            ends.start()
            status, answer, _ = server.ask("/api/save", change)
            ends.join()
        expect("once it is whole: saved", status == 200 and content(path) == BASE.replace("tab0: 0", "tab0: 6"), status, answer)
    finally:
        server.stop()


def half_written(work):
    """An editor begins to write just before the server reads: it is shown, and brought together with, whole files only."""
    folder = os.path.join(work, "half")
    os.mkdir(folder)
    path = os.path.join(folder, "kit.yaml")
    with open(path, "w", encoding="utf-8") as file:
        file.write(BASE)
    control = Control(os.path.join(work, "control"), folder)
    control.set("read", 0, SLOW)
    server = Server(folder, control.environment())
    told = {}  # by the editor
    thread = threading.Thread(target=editor, args=(path, "writer", 120, told, 0.008))
    thread.start()
    try:
        asked = saved = 0
        while thread.is_alive():
            text = server.ask("/api/drive?file=kit.yaml")[1]["text"]
            expect("what is shown is whole", all(value(text, key) is not None for key in ("tab0", "same", "writer", "other")), text)
            asked += 1
            if asked % 10:
                continue
            body = {"file": "kit.yaml", "text": text, "base": text, "changes": [{"path": "limits.tab0", "value": asked}]}
            status, answer, _ = server.ask("/api/save", body)
            expect("a save meets no half of a file", status in (200, 412), status, answer)  # 412: changed at each of its tries
            saved = asked if status == 200 else saved
        expect("enough were asked for", asked >= 10, asked)
        expect("reads were slow", control.counted() >= 2 * asked, control.counted())
        expect("both are there", value(content(path), "tab0") == saved and value(content(path), "writer") == 120, content(path))
    finally:
        thread.join()
        code, err = server.stop()
        expect("the slow server ends well", code == 0, code, err)


def main():
    work, chance = tempfile.mkdtemp(prefix="snub-writers-"), random.Random(SEED)
    try:
        words(work)
        half_written(work)
        at_once(work, chance)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return end()


sys.exit(main())
