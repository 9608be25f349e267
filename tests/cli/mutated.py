"""Examples with their numbers, lists and keys spoilt at random: every command ends with an answer or an error in words, or
stops at once when it is told to. SNUB_MUTANTS sets how many files, SNUB_SEED which; SNUB_KEEP names a folder for those over 1 s.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import os
import pathlib
import random
import re
import signal
import subprocess
import sys
import tempfile
import time

import tally

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
COUNT, SEED = int(os.environ.get("SNUB_MUTANTS", "60")), int(os.environ.get("SNUB_SEED", "20270110"))
KEEP = os.environ.get("SNUB_KEEP")
PATIENCE = 10.0  # s, after which a run is told to stop
STOPS = 2.0  # s within which it does: a busy machine
COMMANDS = [["check"], ["motion"], ["check", "--rpm", "3000", "--json"], ["sweep"], ["mount"], ["chart"], ["check", "--defaults"], ["compare"], ["draw", "--form", "svg"]]
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")
EXTREMES = ["0", "-1", "1e-9", "1e9", "1e300", "-1e300", "0.001", "99999", "1e-300", "7", "360", "20000"]


def with_number(rng, text):
    """One number replaced: an extreme, or itself times something."""
    places = list(NUMBER.finditer(text))
    m = rng.choice(places)
    new = rng.choice(EXTREMES) if rng.random() < 0.4 else f"{float(m[0]) * rng.choice([-1, 0.1, 0.5, 0.9, 1.1, 2, 10, 1000]):g}"
    return text[:m.start()] + new + text[m.end():]


def with_long_list(rng, text):
    """A list of options made long, a stock made fine."""
    if "step: " in text and rng.random() < 0.5:
        return re.sub(r"step: [\d.]+", f"step: {rng.choice(['0.01', '0.1', '0.5', '1'])}", text, count=1)
    values = ", ".join(f"{60 + k * rng.choice([0.01, 0.1, 0.3]):g}" for k in range(rng.choice([5, 20, 60])))
    return re.sub(r"(blower\.diameter: )\[[^\]]*\]", rf"\1[{values}]", text, count=1)


def with_line(rng, text):
    """A line dropped, doubled or moved."""
    lines = text.splitlines()
    i, k = rng.randrange(len(lines)), rng.randrange(len(lines))
    how = rng.randrange(3)
    if how == 0:
        del lines[i]
    elif how == 1:
        lines.insert(k, lines[i])
    else:
        lines[i], lines[k] = lines[k], lines[i]
    return "\n".join(lines) + "\n"


def spoilt(rng, text):
    for _ in range(rng.choice([1, 1, 2, 3, 6])):
        text = rng.choice([with_number, with_number, with_number, with_long_list, with_line])(rng, text)
    return text


def run(arguments):
    """Exit code, output, errors, seconds; and whether it was told to stop because it took long."""
    started = time.monotonic()
    child = subprocess.Popen([SNUB, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL)
    try:
        out, err = child.communicate(timeout=PATIENCE)
        return child.returncode, out, err, time.monotonic() - started, False
    except subprocess.TimeoutExpired:
        child.send_signal(signal.SIGINT)
    told = time.monotonic()
    try:
        out, err = child.communicate(timeout=PATIENCE)
    except subprocess.TimeoutExpired:
        child.kill()
        out, err = child.communicate()
    return child.returncode, out, err, time.monotonic() - told, True


def judge(name, command, code, out, err, seconds, stopped):
    if stopped:
        tally.check(f"{name}: takes long, and stops when told to", code == -signal.SIGINT and b"stopped before the end" in err and seconds < STOPS, (code, seconds, err[-200:]))
        tally.check(f"{name}: stopped, it gives no half answer", out == b"", out[:200])
        return
    tally.check(f"{name}: ends with an answer or an error", code in (0, 1, 2), f"{code} {err[-300:]!r}")
    tally.check(f"{name}: an error is in words, an answer is there", b":" in err if code == 2 else len(out) > 0, err[-300:])
    tally.check(f"{name}: no number that is none", not re.search(rb"(?<![\w-])-?(?:inf|nan)(?![\w-])", out), out[-200:])


def main():
    rng = random.Random(SEED)
    examples = sorted((TOP / "examples").glob("*.yaml"))
    slowest, stops = [], 0
    with tempfile.TemporaryDirectory() as folder:
        for path in (TOP / "examples").glob("*.csv"):
            (pathlib.Path(folder) / path.name).write_bytes(path.read_bytes())
        for i in range(COUNT):
            example = rng.choice(examples)
            path = pathlib.Path(folder) / "spoilt.yaml"
            path.write_text(spoilt(rng, example.read_text()))
            command = rng.choice(COMMANDS)
            files = [str(path), str(example)] if command[0] == "compare" else [str(path)]
            code, out, err, seconds, stopped = run([command[0], *files, *command[1:]])
            name = f"file {i} ({example.name}), {' '.join(command)}"
            judge(name, command, code, out, err, seconds, stopped)
            stops += stopped
            slowest.append((PATIENCE if stopped else seconds, name))
            if KEEP and slowest[-1][0] > 1:
                pathlib.Path(KEEP, f"slow-{SEED}-{i}.yaml").write_text(path.read_text())
    slowest.sort(key=lambda one: -one[0])
    print(f"{COUNT} mutants, {stops} told to stop; slowest: " + "; ".join(f"{seconds:.1f} s {name}" for seconds, name in slowest[:3]))
    return tally.end()


if __name__ == "__main__":
    sys.exit(main())
