"""Interrupts long commands at random moments: each ends by the signal, with words, and leaves no output behind.

SNUB_INTERRUPTS=N tries each command N times (default 2), SNUB_SEED other moments."""
import os
import random
import signal
import subprocess
import sys
import tempfile
import threading
import time

import tally

SNUB, SOURCE = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
ROUNDS, SEED = int(os.environ.get("SNUB_INTERRUPTS", "2")), int(os.environ.get("SNUB_SEED", "1"))
END_WITHIN = 0.5  # s of a machine that is not busy; times 4 for one that is
COMMANDS = {  # each takes over a second, or reads a log that does not end; the output that it would write
    "chart": ("chart", "{kit}", "-o", "{out}.json"),
    "chart of two forms": ("chart", "{kit}", "--csv", "{out}.csv", "--xlsx", "{out}.xlsx", "-o", "{out}.txt"),
    "log": ("log", "-", "{drive}", "--csv", "{out}.csv", "--svg", "{out}.svg", "--pdf", "{out}.pdf"),
    "run in time": ("motion", SOURCE + "/examples/sedgemere.yaml", "--run", "hold", "--seconds", "30", "--csv", "{out}.csv", "--plot", "{out}.svg"),
    "fit": ("fit", SOURCE + "/examples/logs/sedgemere-slips.csv", SOURCE + "/examples/sedgemere.yaml", "--set", "blower.diameter=70", "--fit", "friction", "--fit", "leakage", "--fit", "mechanical"),
    "chart on paper": ("sheet", "{kit}", "--kind", "chart", "-o", "{out}.pdf"),
}


def check(good, what):
    tally.check(what, good)


def many_builds(path, diameters=range(74, 82)):
    """The example with so many times as many builds."""
    with open(os.path.join(SOURCE, "examples", "sedgemere.yaml")) as file:
        text = file.read()
    more = f"  exit idler.diameter: {list(diameters)}\n  blower.diameter: ["
    assert text.count("  blower.diameter: [") == 1
    with open(path, "w") as file:
        file.write(text.replace("  blower.diameter: [", more))


def feed(pipe):
    """A log that does not end: the example's, again and again."""
    with open(os.path.join(SOURCE, "examples", "logs", "sedgemere-pull.csv"), "rb") as file:
        log = file.read()
    rows = log[log.index(b"\n0.01,") + 1:]
    try:
        pipe.write(log)
        while True:
            pipe.write(rows)
    except OSError:
        pass  # it has stopped
    finally:
        try:
            pipe.close()
        except OSError:
            pass


def begun(child, program):
    """Wait until the program itself runs, not the one that hands over to it, and takes both signals."""
    wanted = 1 << (signal.SIGINT - 1) | 1 << (signal.SIGTERM - 1)
    for _ in range(1000):
        try:
            # which program first: handlers of the one that hands over are gone once the other runs
            if os.path.basename(os.readlink(f"/proc/{child.pid}/exe")) == program:
                with open(f"/proc/{child.pid}/status") as file:
                    taken = next(int(line.split()[1], 16) for line in file if line.startswith("SigCgt"))
                if taken & wanted == wanted:
                    return True
        except (OSError, StopIteration):
            pass
        time.sleep(0.01)
    return False


def interrupt(name, arguments, folder, after, number):
    what = f"{name}, signal {number} after {after:.3f} s"
    endless = "-" in arguments
    child = subprocess.Popen([SNUB, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                             stdin=subprocess.PIPE if endless else subprocess.DEVNULL)
    if endless:
        pipe, child.stdin = child.stdin, None  # communicate() is to leave it alone
        threading.Thread(target=feed, args=(pipe,), daemon=True).start()
    check(begun(child, {"chart": "snub", "chart of two forms": "snub-whole"}.get(name, "snub-full")), f"{what}: takes no signals")
    time.sleep(after)
    if child.poll() is not None:
        child.communicate()
        return check(False, f"{what}: had ended by itself with {child.returncode}")
    start = time.monotonic()
    child.send_signal(number)
    _, said = child.communicate()
    took = time.monotonic() - start
    check(child.returncode == -number, f"{what}: ended with {child.returncode}")
    check(b"snub: stopped before the end\n" in said, f"{what}: said {said!r}")
    check(took < 4 * END_WITHIN, f"{what}: ended {took:.2f} s after it")
    check(os.listdir(folder) == [], f"{what}: left {os.listdir(folder)}")


def main():
    rng = random.Random(SEED)
    with tempfile.TemporaryDirectory(prefix="snub-stop-") as work:
        kit, folder = os.path.join(work, "kit.yaml"), os.path.join(work, "out")
        many_builds(kit)
        os.mkdir(folder)
        places = {"kit": kit, "drive": os.path.join(SOURCE, "examples", "sedgemere.yaml"), "out": os.path.join(folder, "x")}
        for name, arguments in COMMANDS.items():
            for k in range(ROUNDS):
                filled = [argument.format(**places) for argument in arguments]
                interrupt(name, filled, folder, rng.uniform(0, 0.5), signal.SIGTERM if k % 2 else signal.SIGINT)
    print(f"{len(COMMANDS) * ROUNDS} interrupts")
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
