"""The line that a long command shows on a terminal: what it does, how far it is and for how long; and that it is gone when
anything else comes. Prints what failed, then `N passed, M failed`.
"""
import fcntl
import os
import pty
import re
import signal
import sqlite3
import struct
import subprocess
import sys
import tempfile
import termios
import time

import tally
from interrupts import many_builds

SNUB, SOURCE = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
COLUMNS = 80
LINE = re.compile(r"snub (\w+): ([a-z, ]+?)(?:, (\d+)(?: of (\d+))?)?, (\d+) s")


def screen(data):
    """What a terminal shows after these bytes, line by line; only \\r, \\n and plain letters are known to it."""
    lines, column = [[]], 0
    for letter in data:
        if letter == "\n":
            lines.append([])
            column = 0
        elif letter == "\r":
            column = 0
        else:
            lines[-1] += [" "] * (column + 1 - len(lines[-1]))
            lines[-1][column] = letter
            column += 1
    return [line for line in ("".join(line).rstrip() for line in lines) if line]


def run(*arguments, together=False, act=None, stop=None, columns=COLUMNS, threads=None):
    """Standard error is a terminal, `together` with standard output. @param act  called after 1.7 s; @param stop  a signal that is sent at the first line
    @param threads  of the program; None: as many as it takes
    @return (code, standard output, all that came to the terminal)"""
    above, below = pty.openpty()
    fcntl.ioctl(below, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    out = tempfile.TemporaryFile()  # not a pipe, which would be full while the terminal is read
    few = {"OMP_NUM_THREADS": str(threads)} if threads else {}
    child = subprocess.Popen([SNUB, *arguments], stdin=subprocess.DEVNULL, stdout=below if together else out,
                             stderr=below, env={**os.environ, "COLUMNS": str(columns), "NO_COLOR": "1", **few})
    os.close(below)
    said, begun = b"", time.monotonic()
    while True:
        try:
            piece = os.read(above, 4096)
        except OSError:  # the last one that had it open has gone
            break
        if not piece:
            break
        said += piece
        if stop and b": " in said:
            child.send_signal(stop)
            stop = None
        if act and time.monotonic() - begun > 1.7:
            act()
            act = None
    os.close(above)
    code = child.wait(60)
    out.seek(0)
    return code, out.read(), said.decode().replace("\r\n", "\n")


def slow_drive(path):
    """Seconds for one build: far more belts than anybody sells, and two idlers to be set for each."""
    with open(os.path.join(SOURCE, "examples", "ironbrook-v8.yaml")) as file:
        text = file.read()
    lengths = ", ".join(f"{1890 + 0.016 * i:.3f} mm" for i in range(9400))
    text, found = re.subn(r"stock: \{from: 1890 mm[^}]*\}", f"stock: [{lengths}]", text)
    text, slots = re.subn(r"at: \[5\.2 in, 11\.65 in\]", "slot: {from: [5.2 in, 11.65 in], to: [5.5 in, 12.1 in]}", text)
    assert found == slots == 1, "the example's stock or its exit idler is not where it was"
    with open(path, "w") as file:
        file.write(text)


def hold_up():
    """Stop the program for three seconds, so that its work takes long enough for a guess."""
    with open(f"/proc/self/task/{os.getpid()}/children") as file:
        children = [int(child) for child in file.read().split()]
    for child in children:
        os.kill(child, signal.SIGSTOP)
    time.sleep(3)
    for child in children:
        os.kill(child, signal.SIGCONT)


def seen(name, said, command, doing):
    """The lines of progress, which there must be. @return (done, of, seconds) of each"""
    lines = [line for line in re.split(r"[\r\n]+", said) if LINE.match(line)]
    found = [LINE.match(line) for line in lines]
    tally.check(f"{name}: says what it does", any(m[1] == command and m[2] == doing for m in found), said[:400])
    tally.check(f"{name}: fits the terminal", all(len(line.rstrip()) < COLUMNS for line in lines), lines)
    seconds = [int(m[5]) for m in found]
    tally.check(f"{name}: for how long", seconds == sorted(seconds) and seconds and seconds[0] >= 1, seconds)
    return [(int(m[3] or 0), int(m[4] or 0)) for m in found if m[2] == doing]


def main():
    with tempfile.TemporaryDirectory() as work:
        kit, slow = os.path.join(work, "kit.yaml"), os.path.join(work, "slow.yaml")
        many_builds(kit, range(74, 83))
        slow_drive(slow)

        quiet = subprocess.run([SNUB, "chart", kit, "--json"], capture_output=True)
        tally.check("no terminal: nothing is said", quiet.stderr == b"", quiet.stderr[:200])
        code, out, said = run("chart", kit, "--json", threads=1)
        counts = [(done, of) for done, of in seen("chart", said, "chart", "judging builds") if of]
        tally.check("chart: how far", len({of for _, of in counts}) == 1 and counts[-1][0] > counts[0][0] and
                    [done for done, _ in counts] == sorted(done for done, _ in counts), counts)
        tally.check("chart: gone at the end", screen(said) == [], screen(said))
        tally.check("chart: the same answer", (code, out) == (quiet.returncode, quiet.stdout))

        # one thread: with two, what is left after the stop is too short for a guess
        code, _, said = run("chart", kit, "--json", act=hold_up, threads=1)
        left = [int(n) for n in re.findall(r" s, about (\d+) s left", said)]
        tally.check("chart: how long yet, once it has taken some seconds", left and max(left) < 600 and
                    not re.search(r", [12] s, about", said), said[-400:])

        code, _, said = run("check", slow, together=True)
        seen("check", said, "check", "finding and judging the belt and its setting")
        tally.check("check: an answer on the same terminal, no line of progress in it", code == 0 and
                    not any(LINE.search(line) for line in screen(said)) and len(screen(said)) > 10, screen(said)[:4])
        answer = subprocess.run([SNUB, "check", slow], capture_output=True, text=True, env={**os.environ, "COLUMNS": "80"}).stdout
        tally.check("check: the answer is whole", all(line.rstrip() in answer for line in screen(said)
                                                      if "\x1b" not in line), screen(said)[:3])

        drawing = os.path.join(work, "slow.svg")
        code, _, said = run("draw", slow, "-o", drawing)
        seen("draw, by the program behind it", said, "draw", "finding and judging the belt and its setting")
        tally.check("draw: gone at the end", code == 0 and os.path.exists(drawing) and
                    not any(LINE.search(line) for line in screen(said)), screen(said))

        code, _, said = run("check", os.path.join(SOURCE, "examples", "three-pulleys.yaml"))
        tally.check("a short command says nothing", code == 0 and said == "", said)

        code, _, said = run("chart", kit, columns=40, stop=signal.SIGINT)
        lines = [line.rstrip() for line in re.split(r"[\r\n]+", said) if line.startswith("snub chart")]
        tally.check("a narrow terminal", lines and all(len(line) < 40 for line in lines), lines)
        tally.check("Ctrl+C", code == -signal.SIGINT and screen(said)[-1] == "snub: stopped before the end", screen(said))

        catalogue, belts = os.path.join(work, "parts.db"), os.path.join(work, "belts.csv")
        with open(belts, "w") as file:
            file.write("key,kind,source,section,ribs,length [mm]\nA,belt,invented,PK,6,900\n")
        subprocess.run([SNUB, "parts", "import", belts, "--catalogue", catalogue], capture_output=True)
        lock = sqlite3.connect(catalogue, isolation_level=None)
        lock.execute("BEGIN IMMEDIATE")
        code, _, said = run("parts", "import", belts, "--replace", "--wait", "2.2", "--catalogue", catalogue)
        seen("an error", said, "parts", "waiting for the catalogue")
        tally.check("an error: stands alone", code == 2 and not any(LINE.search(line) for line in screen(said)) and
                    "another program is writing" in " ".join(screen(said)), screen(said))
        code, out, said = run("parts", "import", belts, "--replace", "--wait", "10", "--catalogue", catalogue,
                              act=lambda: lock.execute("ROLLBACK"))
        tally.check("waited for", code == 0 and b"1 replaced" in out and screen(said) == [], (code, out, said))
        lock.close()
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
