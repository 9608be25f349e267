"""Every command's every output, put in the place of every file that the command reads: refused before work starts, both
files named, nothing changed. SNUB_LONG=1 tries each way of being the same file with each pair; else the ways take turns.
"""
import fcntl
import hashlib
import itertools
import os
import pathlib
import select
import shutil
import subprocess
import sys
import tempfile

from tally import check, end

SNUB = os.environ["SNUB_BIN"]
EXAMPLES = pathlib.Path(os.environ["SNUB_SOURCE_DIR"], "examples")
LONG = bool(os.environ.get("SNUB_LONG"))
# Where a run that was not refused is wrong: it ends by itself all the same.
PATIENCE_S = 120
PIPE_BYTES = 4096


class Shop:
    """A folder with one of everything, made anew where a run has changed it."""

    def __init__(self, folder):
        self.folder = pathlib.Path(folder)
        text = (EXAMPLES / "sedgemere-centrifugal.yaml").read_text()
        for old, new in (("maps/sedgemere-centrifugal.csv", "air.csv"), ("[97, 92, 88, 84, 79, 73]", "[88]"),
                         ("belt.ribs: [5, 7, 9]", "blower.blower.map: [offered.csv, air.csv]"),
                         ("\nvariants:", "\nvariants:\n  low: {blower.blower.map: low.csv}\n  high: {blower: {blower: {kind: centrifugal, step_up: 3.4, map: high.csv}}}\n #")):
            assert text.count(old) == 1
            text = text.replace(old, new)
        text += ("\nsteps:\n  turn engine: {picture: turn.svg}\n  fit blower: {picture: none}\n")
        assert text.count("\nvariants:\n") == 1
        text = text.replace("\nvariants:\n", "\nvariants:\n  drawn: {steps.lay belt.picture: lay.svg}\n")
        self.files = {"kit.yaml": text.encode(), "other.yaml": b"belt: {ribs: 6}\n", "kit.csv": b"key,kind\n"}
        for name in ("air.csv", "offered.csv", "low.csv", "high.csv", "set.csv", "with.csv"):
            self.files[name] = (EXAMPLES / "maps/sedgemere-centrifugal.csv").read_bytes()
        for name in ("turn.svg", "lay.svg", "ease.svg"):
            self.files[name] = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 1"><rect width="2" height="1"/></svg>'
        self.fill()
        subprocess.run([SNUB, "parts", "init", "--catalogue", "parts.db"], cwd=self.folder, check=True, capture_output=True)
        self.files["parts.db"] = (self.folder / "parts.db").read_bytes()
        self.fill()

    def fill(self):
        for entry in self.folder.iterdir():
            if entry.is_dir() and not entry.is_symlink():
                shutil.rmtree(entry)
            else:
                entry.unlink()
        for name, data in self.files.items():
            (self.folder / name).write_bytes(data)
        (self.folder / "sub").mkdir()

    def changed(self):
        """Names that are not as they were; SQLite's own empty side files apart."""
        wrong = [name for name, data in self.files.items() if not (self.folder / name).is_file()
                 or (self.folder / name).read_bytes() != data]
        return wrong + [e.name for e in self.folder.iterdir() if ".snub-" in e.name or "-XXXXXX" in e.name]


def digest(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


# ---- ways in which a name is the same file -----------------------------------------------------------------------------

def by_name(shop, name):
    return name


def by_dot(shop, name):
    return "./" + name


def by_detour(shop, name):
    return "sub/../" + name


def by_root(shop, name):
    return str(shop.folder / name)


def by_link(shop, name):
    (shop.folder / "sub/link").symlink_to("../" + name)
    return "sub/link"


def by_two_links(shop, name):
    (shop.folder / "second").symlink_to(name)
    (shop.folder / "first").symlink_to("second")
    return "first"


def by_folder_link(shop, name):
    (shop.folder / "again").symlink_to(".")
    return "again/" + name


def by_hard_link(shop, name):
    if not (shop.folder / name).exists():
        return None
    os.link(shop.folder / name, shop.folder / "hard")
    return "hard"


WAYS = [by_name, by_dot, by_detour, by_root, by_link, by_two_links, by_folder_link, by_hard_link]

# ---- outputs and inputs ------------------------------------------------------------------------------------------------

DRIVE = ["kit.yaml"]
# name of the case, arguments before the output, option, does it read a drive
OF_DRIVE = [
    ["chart"] + DRIVE + ["-o"], ["chart"] + DRIVE + ["--format", "csv", "-o"], ["chart"] + DRIVE + ["--json", "-o"],
    ["chart"] + DRIVE + ["--format", "xlsx", "-o"], ["chart"] + DRIVE + ["--csv"], ["chart"] + DRIVE + ["--xlsx"],
    ["sweep"] + DRIVE + ["-o"], ["sweep"] + DRIVE + ["--format", "csv", "-o"], ["sweep"] + DRIVE + ["--format", "xlsx", "-o"],
    ["sweep"] + DRIVE + ["--format", "json", "-o"], ["sweep"] + DRIVE + ["--plot"],
    ["sweep"] + DRIVE + ["--want-boost", "50 kPa", "-o"],
    ["draw"] + DRIVE + ["--form", "svg", "-o"], ["draw"] + DRIVE + ["--form", "pdf", "-o"],
    ["draw"] + DRIVE + ["--form", "png", "-o"], ["draw"] + DRIVE + ["--form", "dxf", "-o"],
] + [["sheet"] + DRIVE + ["--kind", kind, "-o"] for kind in ("fitting", "chart", "parts", "template", "report")]
OF_PARTS = [["parts", verb, *words, "--format", form, "-o"]
            for verb, words in (("list", ["-k", "shim"]), ("find", ["--ribs", "6"]), ("show", ["6PK1000"]), ("export", []))
            for form in ("text", "csv", "xlsx", "json") if (verb, form) != ("export", "text")] + [["parts", "backup", "--force"]]
CATALOGUE = ["--catalogue", "parts.db"]
MAPS = [("air.csv", []), ("offered.csv", []), ("low.csv", []), ("high.csv", []), ("set.csv", ["--set", "blower.blower.map=set.csv"]),
        ("with.csv", ["--set", "blower.blower={map: with.csv}"])]
PICTURES = [("turn.svg", []), ("lay.svg", []), ("ease.svg", ["--set", "steps.ease arm.picture=ease.svg"])]
BESIDE = [("parts.db" + tail, CATALOGUE) for tail in ("", "-wal", "-shm", "-journal", "-writer")]


def run(shop, arguments, **more):
    more.setdefault("stdin", subprocess.DEVNULL)
    more.setdefault("stdout", subprocess.PIPE)
    return subprocess.run([SNUB, *arguments], cwd=shop.folder, stderr=subprocess.PIPE, timeout=PATIENCE_S, **more)


def refused(shop, title, done, output, other):
    words = done.stderr.decode()
    check(f"{title}: exit code", done.returncode == 2, f"{done.returncode} {words}")
    check(f"{title}: says both", output in words and other in words and "another name" in words, words)
    check(f"{title}: nothing printed", not done.stdout, done.stdout)
    check(f"{title}: nothing changed", not shop.changed(), shop.changed())


def matrix(shop):
    turn = itertools.cycle(WAYS)
    cases = [(command, name, more, role) for command in OF_DRIVE
             for name, more, role in [("kit.yaml", [], "drive file")] + [(n, m, "blower map") for n, m in MAPS] +
             [(n, m, "picture of a step") for n, m in PICTURES] +
             [(n, m, "catalogue") for n, m in BESIDE]]
    cases += [(command, name, more, "catalogue") for command in OF_PARTS for name, more in BESIDE]
    for number, (command, name, more, role) in enumerate(cases):
        if not LONG and command[0] in ("chart", "sweep", "draw", "sheet") and number % 3 and command[1:] != ["kit.yaml", "-o"]:
            continue
        for way in WAYS if LONG else [next(turn)]:
            output = way(shop, name)
            if output is None:
                output = by_name(shop, name)
            done = run(shop, command[:-1] + more + command[-1:] + [output])
            refused(shop, f"{' '.join(command)} {output} over {name} {way.__name__}", done, output, role)
            shop.fill()
    return len(cases)


# ---- what is named by other means --------------------------------------------------------------------------------------

def other_names(shop):
    environment = dict(os.environ, SNUB_CATALOGUE=str(shop.folder / "parts.db"))
    done = run(shop, ["parts", "list", "-o", "parts.db"], env=environment)
    refused(shop, "catalogue by its variable", done, "--output parts.db", str(shop.folder / "parts.db"))
    (shop.folder / "link.db").symlink_to("parts.db")
    for tail in ("-wal", "-shm", "-journal", "-writer"):
        done = run(shop, ["parts", "list", "--catalogue", "link.db", "-o", "parts.db" + tail])
        refused(shop, f"{tail} behind a link", done, "--output parts.db" + tail, "catalogue")
    with open(shop.folder / "kit.yaml") as file:
        done = run(shop, ["sheet", "-", "-o", "kit.yaml"], stdin=file)
    refused(shop, "drive file by standard input", done, "--output kit.yaml", "standard input")
    for command in (["check", "kit.yaml"], ["mount", "kit.yaml"], ["compare", "kit.yaml", "--against", "low"],
                    ["compare", "other.yaml", "kit.yaml"], ["chart", "kit.yaml"], ["sweep", "kit.yaml"],
                    ["check", "other.yaml", "--set", "blower.blower.map=kit.yaml"]):
        with open(shop.folder / "kit.yaml", "ab") as file:
            done = run(shop, command, stdout=file)
        words = done.stderr.decode()
        check(f"{command} onto its own drive file", done.returncode == 2 and
              ("standard output is the same file" in words or command[1] == "other.yaml"), words)
        check(f"{command} onto its own drive file: unchanged", not shop.changed(), shop.changed())
    with open(shop.folder / "parts.db", "ab") as file:
        done = run(shop, ["parts", "import", "kit.csv", "--catalogue", "parts.db"], stdout=file)
    check("import onto its own catalogue", done.returncode == 2 and not shop.changed(), done.stderr)
    (shop.folder / "empty.csv").write_bytes(b"")
    done = run(shop, ["parts", "import", "empty.csv", "--catalogue", "empty.csv"])
    check("a parts file as catalogue", done.returncode == 2 and b"same file" in done.stderr and
          (shop.folder / "empty.csv").read_bytes() == b"", done.stderr)
    shop.fill()


def shipped(shop):
    """Files that come with the program, in a folder of ours."""
    source = pathlib.Path(os.environ["SNUB_SOURCE_DIR"])
    shutil.copytree(source / "data/parts", shop.folder / "sub/parts")
    (shop.folder / "sub/locale").mkdir()
    shutil.copy(pathlib.Path(os.environ["SNUB_BUILD_DIR"]) / "locale/de.mo", shop.folder / "sub/locale/de.mo")
    environment = dict(os.environ, SNUB_DATA=str(shop.folder / "sub"))
    for name, command in (("locale/de.mo", ["sheet", "kit.yaml", "--language", "de", "-o", "sub/locale/de.mo"]),
                          ("parts/idlers.csv", ["parts", "import", "--shipped", "--catalogue", "new.db"])):
        before = digest(shop.folder / "sub" / name)
        with open(shop.folder / "sub" / name, "ab") as file:
            done = run(shop, command, env=environment, stdout=file if command[0] == "parts" else subprocess.PIPE)
        check(f"{name} of the program", done.returncode == 2 and b"same file" in done.stderr and
              digest(shop.folder / "sub" / name) == before, done.stderr)
    shop.fill()


def two_outputs(shop):
    pairs = [(["chart", "kit.yaml"], "-o", "--csv"), (["chart", "kit.yaml"], "--csv", "--xlsx"), (["chart", "kit.yaml"], "--xlsx", "-o"),
             (["sweep", "kit.yaml"], "-o", "--plot")]
    for (command, one, two), way, there in itertools.product(pairs, WAYS, (False, True)):
        if there:
            (shop.folder / "new.svg").write_text("old")
        output = way(shop, "new.svg")
        if output is None:
            continue
        done = run(shop, [*command, one, "new.svg", two, output])
        words = done.stderr.decode()
        check(f"{one} and {two} {way.__name__} {there}", done.returncode == 2 and "give two names" in words and
              f" {output} " in words.replace(":", " ") and "new.svg" in words, words)
        check(f"{one} and {two} {way.__name__}: nothing written", not shop.changed() and
              (shop.folder / "new.svg").is_file() == there)
        shop.fill()
    with open(shop.folder / "out.csv", "wb") as file:
        done = run(shop, ["chart", "kit.yaml", "--csv", "out.csv"], stdout=file)
    check("an option and standard output", done.returncode == 2 and b"standard output" in done.stderr, done.stderr)
    shop.fill()


def other_kinds(shop):
    for command in (["chart", "kit.yaml", "-o"], ["sheet", "kit.yaml", "-o"], ["draw", "kit.yaml", "--form", "pdf", "-o"],
                    ["sweep", "kit.yaml", "--plot"], ["parts", "list", *CATALOGUE, "-o"],
                    ["parts", "backup", *CATALOGUE, "--force"]):
        done = run(shop, command + ["other.yaml"])
        check(f"{command} over another drive file", done.returncode == 2 and
              b"other.yaml would replace a drive file; give another name for the output" in done.stderr and
              not shop.changed(), done.stderr)
        if "backup" in command:
            continue
        shutil.copy(shop.folder / "parts.db", shop.folder / "second.txt")
        done = run(shop, command + ["second.txt"])
        check(f"{command} over another catalogue", done.returncode == 2 and
              b"second.txt would replace a catalogue" in done.stderr and
              digest(shop.folder / "second.txt") == digest(shop.folder / "parts.db"), done.stderr)
    shutil.copy(shop.folder / "parts.db", shop.folder / "old.db")
    done = run(shop, ["parts", "backup", *CATALOGUE, "--force", "old.db"])
    check("a backup may replace a backup", done.returncode == 0, done.stderr)
    (shop.folder / "pipe").symlink_to("/dev/null")
    done = run(shop, ["parts", "backup", *CATALOGUE, "--force", "pipe"])
    check("a backup does not replace a device", done.returncode == 2 and (shop.folder / "pipe").is_symlink(), done.stderr)
    shop.fill()


# ---- what stays allowed ------------------------------------------------------------------------------------------------

def allowed(shop):
    command = ["sweep", "kit.yaml", "--format", "csv", "--speeds", "5", "-o"]
    plain = run(shop, command[:-1]).stdout
    for name in ("/dev/null", "/dev/stdout", "-", "/dev/fd/1", "/proc/self/fd/1"):
        done = run(shop, [*command, name])
        check(f"-o {name}", done.returncode in (0, 1) and done.stdout == (b"" if name == "/dev/null" else plain), done.stderr)
        with open(shop.folder / "whole", "wb") as file:
            done = run(shop, [*command, name], stdout=file)
        check(f"-o {name} into a file", (shop.folder / "whole").read_bytes() == (b"" if name == "/dev/null" else plain),
              done.stderr)
    twice = ["chart", "kit.yaml", "--format", "csv", "-o", "/dev/stdout", "--csv", "-"]
    with open(shop.folder / "whole", "wb") as file:
        run(shop, twice, stdout=file)
    whole = (shop.folder / "whole").read_bytes()
    check("two outputs into one file, one behind the other", whole and whole == 2 * whole[:len(whole) // 2])
    run(shop, ["chart", "kit.yaml", "--csv", "/dev/null", "-o", "/dev/null"])
    for name, old in (("new.csv", None), ("new.csv", b"old"), ("empty.yaml", b"")):
        if old is not None:
            (shop.folder / name).write_bytes(old)
        done = run(shop, [*command, name])
        check(f"{name} {old}", (shop.folder / name).read_bytes() == plain, done.stderr)
    os.mkfifo(shop.folder / "fifo")
    reader = subprocess.Popen(["cat", shop.folder / "fifo"], stdout=subprocess.PIPE)
    run(shop, [*command, "fifo"])
    check("a pipe", reader.communicate(timeout=PATIENCE_S)[0] == plain)
    check("nothing changed", not shop.changed(), shop.changed())
    shop.fill()


def at_the_last_moment(shop):
    """The name becomes that of a map after work has begun: while the run waits for the reader of its first output."""
    for name, put, words in (("air.csv", lambda at: at.symlink_to("air.csv"), b"same file as the blower map air.csv"),
                             ("other.yaml", lambda at: at.symlink_to("other.yaml"), b"would replace a drive file")):
        os.mkfifo(shop.folder / "fifo")
        end_of_pipe = os.open(shop.folder / "fifo", os.O_RDONLY | os.O_NONBLOCK)
        fcntl.fcntl(end_of_pipe, fcntl.F_SETPIPE_SZ, PIPE_BYTES)
        running = subprocess.Popen([SNUB, "chart", "kit.yaml", "--xlsx", "fifo", "-o", "out.csv"], cwd=shop.folder,
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        select.select([end_of_pipe], [], [], PATIENCE_S)  # the first output has begun, and does not fit into the pipe
        put(shop.folder / "out.csv")
        os.set_blocking(end_of_pipe, True)
        with open(end_of_pipe, "rb") as file:
            check("the first output is larger than the pipe", len(file.read()) > PIPE_BYTES)
        error = running.communicate(timeout=PATIENCE_S)[1]
        check(f"{name} at the last moment", running.returncode == 2 and words in error and not shop.changed(), error)
        shop.fill()


def bound_elsewhere(shop):
    """One folder mounted in two places, in a mount namespace of its own."""
    (shop.folder / "sub/there").mkdir()
    script = 'mount --bind "$1" "$1/sub/there" && cd "$1" && exec "$2" chart kit.yaml -o sub/there/kit.yaml'
    done = subprocess.run(["unshare", "--mount", "--propagation", "private", "sh", "-c", script, "sh", shop.folder, SNUB],
                          capture_output=True, timeout=PATIENCE_S)
    if b"unshare" in done.stderr or b"mount:" in done.stderr:
        print("no bind mount here: not tried")
    else:
        refused(shop, "over a bind mount", done, "sub/there/kit.yaml", "drive file kit.yaml")
    shop.fill()


def main():
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop(folder)
        print(f"{matrix(shop)} pairs of output and input")
        for part in (other_names, shipped, two_outputs, other_kinds, allowed, at_the_last_moment, bound_elsewhere):
            part(shop)
    return end()


if __name__ == "__main__":
    sys.exit(main())
