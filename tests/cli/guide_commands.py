"""Every command that README, guides and `snub help` print runs as typed: in a folder with the examples and a catalogue of
its own, one line after the other, each page from the start. Exit codes 0 and 1 are answers; 2 is none.

A command with the same words as one before it, which finds the same examples, catalogue and files that it names, byte for byte,
is not run again: the files that it wrote are put there. `tolerate` judges 10 kits, however many the page or the program would
(SNUB_GUIDE_KITS=as-typed: what is typed). Left out are lines with a word that stands for a name of the reader's own, and the server, which does not end.
The last line is `N passed, N failed`.
"""
import glob
import os
import re
import shutil
import subprocess
import sys
import tempfile

from tally import check, end

SNUB, SOURCE = os.environ["SNUB_BIN"], os.environ["SNUB_SOURCE_DIR"]
ELSEWHERE = {"make", "cmake", "ctest", "pkg-config", "apt-get"}  # programs whose options are theirs
OWN_NAMES = re.compile(r"\b(FILE|DIR|SHELL|OLD-KEY)\b|import \S+\.csv|snub serve|\.\.\.|…| - |<")


def of_page(path):
    """Indented lines that begin with `snub`; what stands behind two blanks or a # is said of them."""
    with open(path, encoding="utf-8") as file:
        for number, line in enumerate(file, 1):
            if re.match(r" {4}snub [a-z]", line):
                yield number, re.split(r" {3,}(?!-)| +#", line.strip())[0]


def of_help():
    listed = subprocess.run([SNUB, "help"], capture_output=True, text=True, check=True).stdout
    names = re.findall(r"^ {2,}([a-z]+) {2,}\S", listed, re.M)
    check("help lists the commands", len(names) >= 9 and "check" in names, names)
    for name in names:
        text = subprocess.run([SNUB, "help", name], capture_output=True, text=True).stdout
        for number, line in enumerate(re.sub(r" \\\n +", " ", text).split("\n"), 1):
            if re.match(r" +\$ snub [a-z]", line):
                yield f"help {name}", number, line.strip()[2:]


def names_exist(page, options):
    """What a page names in code or as a link is there: commands, their options, files and anchors of the project."""
    with open(page, encoding="utf-8") as file:
        text = file.read()
    name, counted = os.path.basename(page), 0
    outside = re.sub(r"^    .*$", "", text, flags=re.M)  # indented blocks run as they are, or are not ours
    for code in re.findall(r"`([^`\n]+)`", outside):
        words = code.split()
        if words[0] == "snub" and len(words) > 1 and re.match(r"[a-z]+$", words[1]):
            counted += 1
            check(f"{name}: `{code}` names a command", words[1] in options, sorted(options))
        for option in re.findall(r"(?<![\w-])--[a-z][a-z-]+", code):
            own = options.get(words[1], set()) if words[0] == "snub" and len(words) > 1 else set().union(*options.values())
            counted += 1
            check(f"{name}: {option} in `{code}`", option in own or words[0] in ELSEWHERE, sorted(own))
        if re.match(r"(?:docs|src|include|tests|scripts|examples|data|app|page|po)/[\w./*-]+$", code):
            counted += 1
            check(f"{name}: {code} exists", bool(glob.glob(os.path.join(SOURCE, code))))
    for target in re.findall(r"\]\(([^)\s]+)\)", outside):
        path, _, anchor = target.partition("#")
        if "://" in target:
            continue
        full = os.path.join(os.path.dirname(page), path) if path else page
        counted += 1
        check(f"{name}: link {target}", os.path.exists(full))
        if anchor and os.path.exists(full):
            with open(full, encoding="utf-8") as file:
                there = file.read()
            anchors = {re.sub(r"[^\w\- ]", "", h.lower()).strip().replace(" ", "-") for h in re.findall(r"^#+ (.*)$", there, re.M)}
            check(f"{name}: anchor #{anchor}", anchor in anchors | set(re.findall(r'id="([\w-]+)"', there)), sorted(anchors))
    return counted


def options_of_help():
    """{command: its options} as `snub help` lists them."""
    listed = subprocess.run([SNUB, "help"], capture_output=True, text=True, check=True).stdout
    found = {}
    for name in re.findall(r"^ {2,}([a-z]+) {2,}\S", listed, re.M):
        text = subprocess.run([SNUB, "help", name], capture_output=True, text=True).stdout
        found[name] = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", text)) | {"--help", "--version"}
    return found


AS_TYPED = os.environ.get("SNUB_GUIDE_KITS") == "as-typed"


def with_few_kits(command):
    """The number of kits costs, and none of a page's words."""
    if AS_TYPED or "snub tolerate " not in command or "--precision" in command:
        return command
    return re.sub(r"--kits \d+", "--kits 10", command) if "--kits" in command else command.replace("snub tolerate ", "snub tolerate --kits 10 ")


def files_in(work):
    found = {}
    for folder, _, names in os.walk(work):
        for name in names:
            path = os.path.join(folder, name)
            with open(path, "rb") as file:
                found[os.path.relpath(path, work)] = file.read()
    return found


ANSWERS, CATALOGUE = {}, tempfile.TemporaryDirectory(prefix="snub-guides-catalogue-")


def answer_of(command, work, env):
    """(exit code, stderr); from before where the command would find what it found then."""
    before = files_in(work)
    named = set(re.split(r"[\s=|<>'\"]+", command))
    seen = (command, *sorted((name, data) for name, data in before.items() if name.split(os.sep)[0] in ("examples", "data") or name in named))
    if seen not in ANSWERS:
        done = subprocess.run(["bash", "-c", command], cwd=work, env=env, capture_output=True, text=True, timeout=300)
        written = {name: data for name, data in files_in(work).items() if before.get(name) != data}
        ANSWERS[seen] = done.returncode, done.stderr, written
    code, err, written = ANSWERS[seen]
    for name, data in written.items():
        os.makedirs(os.path.dirname(os.path.join(work, name)), exist_ok=True)
        with open(os.path.join(work, name), "wb") as file:
            file.write(data)
    return code, err


def run(where, commands):
    """In a folder of its own, with a home of its own."""
    with tempfile.TemporaryDirectory(prefix="snub-guides-") as work:
        shutil.copytree(os.path.join(SOURCE, "examples"), os.path.join(work, "examples"))
        env = {**os.environ, "HOME": work, "XDG_DATA_HOME": os.path.join(work, "data"), "SNUB_NO_COLOUR": "1",
               "PATH": os.path.dirname(SNUB) + os.pathsep + os.environ["PATH"]}
        env.pop("SNUB_CATALOGUE", None)
        if not os.path.exists(os.path.join(CATALOGUE.name, "snub")):  # one for all, as it has the time in it
            subprocess.run([SNUB, "parts", "init"], env={**env, "XDG_DATA_HOME": CATALOGUE.name}, cwd=work, capture_output=True)
        shutil.copytree(CATALOGUE.name, os.path.join(work, "data"))
        for number, command in commands:
            if OWN_NAMES.search(command):
                continue
            code, err = answer_of(with_few_kits(command), work, env)
            check(f"{where}, line {number}: {command}", code in (0, 1) and "Usage" not in err, f"exit code {code} {err[-400:]}")


def main():
    pages = [os.path.join(SOURCE, "README.md")] + sorted(
        os.path.join(SOURCE, "docs/guide", name) for name in os.listdir(os.path.join(SOURCE, "docs/guide")))
    counted = named = 0
    options = options_of_help()
    for page in pages:
        named += names_exist(page, options)
        commands = list(of_page(page))
        counted += len(commands)
        run(os.path.basename(page), commands)
    by_help = {}
    for where, number, command in of_help():
        by_help.setdefault(where, []).append((number, command))
    for where, commands in by_help.items():
        counted += len(commands)
        run(where, commands)
    check("commands are found at all", counted > 70, counted)
    check("names are found at all", named > 150, named)
    return end()


if __name__ == "__main__":
    sys.exit(main())
