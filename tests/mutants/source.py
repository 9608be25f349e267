"""Spoils single places of the source in turn, builds, and asks whether the tests notice. `make mutants` runs it.

What is spoilt: every comparison in the judges is flipped; their numbers are moved by 5 %; corner cases, ways, ends of a range are
swapped; columns of the chart are dropped; a sample of the numerics. Tests run from the nearest on until one fails. A mutant
that none of them notices has survived; one that does not compile is none.

Usage: source.py [--list] [--every N] [--only FILE-OR-KIND,...] [--jobs N] [--keep]
Works on copies in $SNUB_BUILD_DIR/mutants; --keep leaves them there for the next run. The last line is `N passed, N failed`.
"""
import argparse
import collections
import os
import re
import shutil
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor

SOURCE, BUILD = os.environ["SNUB_SOURCE_DIR"], os.environ["SNUB_BUILD_DIR"]
WORK = os.path.join(BUILD, "mutants")
# A mutant that runs on for ever is noticed: by the time that its process works, since on a busy machine a sound one may take
# as long by the clock.
CPU_TIME, PATIENCE = 300, 1800  # s for one process, s by the clock for one test

JUDGES = ["src/kit/judge*.c", "src/kit/study.c", "src/kit/findings.c", "src/kit/hardware*.c", "src/kit/fitting.c", "src/kit/lie.c",
          "src/kit/build.c", "src/kit/fit.c", "src/kit/range_ends.c", "src/kit/repairs.c", "src/kit/retension.c", "src/kit/state.c"]
# They name findings and make none.
CARRY_ON = ["src/kit/charted.c", "src/kit/rule_list.c"]
FLIPS = {"<": ">=", ">": "<=", "<=": ">", ">=": "<", "==": "!=", "!=": "=="}
SWAPS = {"SNUB_LONGEST": "SNUB_SHORTEST", "SNUB_SHORTEST": "SNUB_LONGEST", "SNUB_RISING": "SNUB_FALLING",
         "SNUB_FALLING": "SNUB_RISING", "SNUB_SHIFT": "SNUB_SHUT", "fmin": "fmax", "fmax": "fmin", "low": "high", "high": "low"}

# Numerics: places that a test must hold, one by one ...
NAMED = [
    ("src/demand/map_read.c", "reading->header.factor[column]", "reading->header.factor[MAP_FLOW]"),
    ("src/demand/map_header.c", "SNUB_Q_TURN_SPEED", "SNUB_Q_FLOW_VOLUME"),
    ("src/demand/map.c", "-CHOKE_FALL * line", "-0.0 * line"),
    ("src/demand/map.c", "#define CHOKE_FALL 0.5", "#define CHOKE_FALL 0.525"),
    ("src/balance/solve.c", "next >= low && next <= high ? next : 0.5 * (low + high)", "next"),
]
# ... and a sample of the others.
NUMERICS = [
    ("src/num/*.c", r"fmin\(", "fmax("),
    ("src/num/*.c", r" < ", " >= "),
    ("src/num/*.c", r" - ", " + "),
    ("src/balance/*.c", r" - ", " + "),
    ("src/layout/*.c", r" - ", " + "),
    ("src/demand/*.c", r" \* ", " / "),
    ("src/mount/*.c", r" - ", " + "),
]
SAMPLE = 40
REFERENCES = "rules-reference.pickle"  # what the cases of the rules keep: to make it takes minutes

NEAR = {
    "src/kit": ["rules", "ctest unit_kit_",
                "ctest cli_(check|chart|mount|sweep|same_size|mends|ranges|shown_case|drawn|measured)", "ctest reference_(mount|sweep|hull|repairs)"],
    "src/report": ["ctest unit_report_", "ctest cli_(chart|sheet)", "ctest reference_sheets"],
    "src/num": ["ctest unit_num_", "ctest unit_", "ctest published_", "ctest reference_(equilibria|match)"],
    "src/balance": ["ctest unit_balance_", "ctest published_", "ctest reference_equilibria", "rules"],
    "src/layout": ["ctest unit_layout_", "ctest reference_clearance_geos", "ctest published_", "ctest reference_(equilibria|hull)", "rules"],
    "src/demand": ["ctest unit_demand_", "ctest published_", "ctest reference_match", "rules"],
    "src/mount": ["ctest unit_mount_", "ctest published_", "ctest reference_(mount|plate)", "rules"],
}
# What makes no difference to any answer, by the piece of code in which it lies, and why.
ALIKE = [
    ("src/kit/judge_clearance.c", "w->within = fmin(", "what is passed over: never nearer than what is kept"),
    ("src/kit/judge_clearance.c", "*tightest = fmin(*tightest, snub_gap_clear(&w->pairs[k].gap))",
     "which pairs are looked at closely: all then, and the least is taken below"),
    ("src/layout/reach.c", "fmax(belt->back, belt->thickness - belt->back));", "a bound of the distance, made wider"),
    ("src/layout/gaps.c", "fmax(of->back, of->thickness - of->back)", "a bound of the distance, made wider"),
    ("src/demand/match.c", "c->machine.slip * snub_slip_factor(2, c->temperature);", "how far the root is looked for"),
    ("src/demand/match.c", "slip_scale * high > c->machine.turns", "how far the root is looked for"),
    ("src/demand/map_read.c", "2 * reading->room", "how often memory is asked for"),
    ("src/demand/match.c", "double most = 2 * c->density * c->swallow", "how far the root is looked for"),
    ("src/demand/wish.c", "SNUB_RATIO_MOST * search->air->pressure", "only its sign counts"),
    ("src/kit/lie.c", "way[k][1] > kept[0]", "the eight ways are four and their opposites"),
    ("src/kit/hardware_study.c", "|| lean->bend != 0.0 || lean->twist != 0.0", "what leans by nothing more; bend and twist come together"),
    ("src/kit/build.c", "if (*best >= 0)\n                snub_arena_free(", "memory that is let go: the sanitizers see it in a chart"),
    ("src/kit/build.c", "if (*best >= 0)\n                snub_arena_drop(", "the same after a failure"),
    ("src/layout/gaps.c", "x - slope / bend : low", "how soon the root is found: halving guards it"),
    ("src/layout/obstacles.c", "remainder(turned - SNUB_PI", "a whole turn more or less"),
    ("src/mount/bolt_group.c", "return slope[0] * (at[0] - g->middle[0]) + slope[1] * (at[1] - g->middle[1]);",
     "what is the same for all bolts is taken off again"),
    ("src/layout/pass.c", "p->b, near) - p->radius", "a bound that is asked from the second part on: only polygons have one, without a radius"),
]

Mutant = collections.namedtuple("Mutant", "kind file line offset before after")


# ---- which -------------------------------------------------------------------------------------------------------------------

def files_of(pattern):
    folder, name = os.path.split(pattern)
    want = re.compile(re.escape(name).replace(r"\*", ".*") + "$")
    return [f"{folder}/{f}" for f in sorted(os.listdir(os.path.join(SOURCE, folder))) if want.match(f)]


def all_judges_listed():
    listed = {file for pattern in JUDGES for file in files_of(pattern)} | set(CARRY_ON)
    for file in files_of("src/kit/*.c"):
        assert file in listed or "SNUB_SAYS_" not in whole(file), f"{file} makes findings: it belongs to JUDGES"


def code_lines(file):
    """(number, offset, line without comments and texts; what stands there keeps its place)."""
    def blank(match):
        return re.sub(r"[^\n]", " ", match[0])
    text = re.sub(r"/\*.*?\*/", blank, whole(file), flags=re.S)
    text = re.sub(r"//[^\n]*", blank, text)
    text = re.sub(r'"(?:[^"\\\n]|\\.)*"', blank, text)
    offset = 0
    for number, line in enumerate(text.split("\n"), 1):
        yield number, offset, line
        offset += len(line) + 1


def whole(file):
    with open(os.path.join(SOURCE, file), encoding="utf-8") as source:
        return source.read()


def guards(line):
    """A line about memory, status or the way through a list: what is flipped there is no judgement."""
    return re.search(r"^\s*#|\bfor \(|\bwhile \(|NULL|SNUB_OK|assert|status|failed|refused|_count\b", line)


def judged():
    for pattern in JUDGES:
        for file in files_of(pattern):
            for number, offset, line in code_lines(file):
                if guards(line):
                    continue
                for match in re.finditer(r"(?<= )(<=|>=|==|!=|<|>)(?= )", line):
                    yield Mutant("comparison", file, number, offset + match.start(), match[0], FLIPS[match[0]])
                for match in re.finditer(r"(?<![\w.])\d+\.\d+(?![\w.])", line):
                    if float(match[0]) not in (0.0, 1.0):  # those are no sizes
                        yield Mutant("number", file, number, offset + match.start(), match[0], f"{float(match[0]) * 1.05:.6g}")
                for match in re.finditer(r"\b(" + "|".join(SWAPS) + r")\b(?!\.)", line):
                    yield Mutant("swap", file, number, offset + match.start(), match[0], SWAPS[match[0]])


def columns():
    file = "src/report/columns.c"
    for match in re.finditer(r'^    \{"\w+", [^{}]*(?:\{name\})?[^{}]*\},\n', whole(file), re.M):
        yield Mutant("column", file, whole(file)[:match.start()].count("\n") + 1, match.start(), match[0], "")


def numerics():
    for file, before, after in NAMED:
        text = whole(file)
        assert before in text, (file, before)
        for match in re.finditer(re.escape(before), text):
            yield Mutant("named", file, text[:match.start()].count("\n") + 1, match.start(), before, after)
    for pattern, before, after in NUMERICS:
        for file in files_of(pattern):
            for number, offset, line in code_lines(file):
                if guards(line):
                    continue
                for match in re.finditer(before, line):
                    yield Mutant("numerics", file, number, offset + match.start(), match[0], after)


def alike(mutant):
    for file, piece, _ in ALIKE:
        at = whole(file).find(piece) if file == mutant.file else -1
        if 0 <= at <= mutant.offset < at + len(piece):
            return True
    return False


def sample(mutants, every):
    """Every n-th of each kind; all that are named; of the numerics so many spread evenly."""
    kinds = collections.defaultdict(list)
    for mutant in mutants:
        kinds[mutant.kind].append(mutant)
    chosen = []
    for kind, those in kinds.items():
        step = {"named": 1, "numerics": max(every, len(those) // SAMPLE)}.get(kind, every)
        chosen += those[step // 2::step]
    return chosen


# ---- how they are tried ---------------------------------------------------------------------------------------------------------

class Tree:
    """A copy of the source with a build of its own."""

    def __init__(self, number):
        self.source, self.build = os.path.join(WORK, f"tree-{number}"), os.path.join(WORK, f"build-{number}")
        os.makedirs(self.source, exist_ok=True)
        listed = subprocess.run(["git", "-C", SOURCE, "ls-files", "-z"], capture_output=True, text=True, check=True).stdout
        for name in filter(None, listed.split("\0")):
            there, here = os.path.join(SOURCE, name), os.path.join(self.source, name)
            if not os.path.isfile(there) or name.startswith("docs/"):
                continue
            os.makedirs(os.path.dirname(here), exist_ok=True)
            with open(there, "rb") as file:
                wanted = file.read()
            if name == "CMakeLists.txt":  # what a mutant leaves unused is no error
                wanted = wanted.replace(b" -Werror", b"")
            if not os.path.exists(here) or open(here, "rb").read() != wanted:
                with open(here, "wb") as file:
                    file.write(wanted)
        os.makedirs(self.build, exist_ok=True)
        if os.path.exists(os.path.join(BUILD, REFERENCES)):
            shutil.copy2(os.path.join(BUILD, REFERENCES), self.build)
        self.env = {**os.environ, "SNUB_SOURCE_DIR": self.source, "SNUB_BUILD_DIR": self.build, "SNUB_RULES_STOP": "1", "SNUB_DATA": os.path.join(self.source, "data"),
                    "SNUB_BIN": os.path.join(self.build, "snub"), "OPENBLAS_NUM_THREADS": "1"}
        self.sound = set()
        done = self.run(["cmake", "-S", self.source, "-B", self.build, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
                         "-DCMAKE_C_FLAGS_RELEASE=-O1", "-DSNUB_PAGE=OFF"], PATIENCE)
        if done or self.make():
            raise SystemExit(f"the copy in {self.source} cannot be built\n0 passed, 1 failed")

    def run(self, command, patience, env=None):
        """Exit code; None where it ran on for too long."""
        process = subprocess.Popen(["prlimit", f"--cpu={CPU_TIME}", *command], stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL, env=env or self.env, cwd=self.source, start_new_session=True)
        try:
            return process.wait(patience)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, 9)
            process.wait()
            return None

    def make(self, *targets):
        return self.run(["ninja", "-C", self.build, "-j1", *targets], 2 * PATIENCE)

    def check_sound(self, what):
        """What has noticed a mutant passes unspoilt: or else it would notice all."""
        if what in self.sound:
            return
        if self.test(what, None) != 0:
            raise SystemExit(f"the unspoilt copy in {self.source} does not pass {what}\n0 passed, 1 failed")
        self.sound.add(what)

    def needed_by(self, names):
        """Targets; [] is all."""
        if not re.match(r"\(?(unit|published)_", names):
            return []
        return ["snub"] + [f for f in os.listdir(self.build) if re.fullmatch(r"test_\w+", f) and re.match(names, f[5:])]

    def test(self, what, file):
        """Builds what it needs; not 0: noticed."""
        word, _, names = what.partition(" ")
        if self.make(*(["snub"] if word == "rules" else self.needed_by(names))) != 0:
            return "does not build"
        if word == "rules":
            own = sorted(set(re.findall(r"SNUB_SAYS_(\w+)", whole(file)))) if file else []
            rules = ["/usr/bin/python3", "-B", os.path.join(self.source, "tests/rules/run.py")]
            near = self.run(rules, PATIENCE, {**self.env, "SNUB_RULES_ONLY": ",".join(own)}) if own else 0
            return near if near != 0 else self.run(rules, PATIENCE)
        return self.run(["ctest", "--test-dir", self.build, "-R", names, "--stop-on-failure", "-j1"], PATIENCE)

    def try_out(self, mutant):
        """"noticed", "survived" or "no mutant"."""
        path, kept = os.path.join(self.source, mutant.file), whole(mutant.file)
        assert kept[mutant.offset:].startswith(mutant.before), mutant
        try:
            self.write(path, kept[:mutant.offset] + mutant.after + kept[mutant.offset + len(mutant.before):])
            if self.make("snub") != 0:
                return "no mutant"
            folder = os.path.dirname(mutant.file)
            what = next((what for what in NEAR[folder] if self.test(what, mutant.file) != 0), None)
        finally:
            self.write(path, kept)
        if what is None:
            return "survived"
        self.check_sound(what)
        return f"noticed by {what}"

    @staticmethod
    def write(path, text):
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--only", default="")
    parser.add_argument("--keep", action="store_true")
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    given = parser.parse_args()
    all_judges_listed()
    mutants = [m for m in (*judged(), *columns(), *numerics())
               if any(only in m.file or only == m.kind for only in given.only.split(","))]
    for file, piece, _ in ALIKE:
        assert piece in whole(file), (file, piece)
    left_out = [m for m in mutants if alike(m)]
    mutants = sample([m for m in mutants if not alike(m)], given.every)
    print(f"{len(left_out)} that make no difference are left out (ALIKE)")
    print(len(mutants), "mutants:", dict(collections.Counter(m.kind for m in mutants)), flush=True)
    if given.list:
        for m in mutants:
            print(f"{m.kind:10} {m.file}:{m.line}: {m.before.strip()[:60]} -> {m.after or 'gone'}")
        return 0
    trees = [Tree(n) for n in range(given.jobs)]
    free, lock, done = list(trees), threading.Lock(), []

    def one(mutant):
        with lock:
            tree = free.pop()
        outcome = tree.try_out(mutant)
        with lock:
            free.append(tree)
            done.append((mutant, outcome))
            word = "SURVIVED" if outcome == "survived" else outcome
            print(f"{len(done):4}/{len(mutants)} {word}: {mutant.kind} {mutant.file}:{mutant.line}: "
                  f"{mutant.before.strip()[:50]} -> {mutant.after or 'gone'}", flush=True)

    with ThreadPoolExecutor(given.jobs) as pool:
        list(pool.map(one, mutants))
    if not given.keep:
        shutil.rmtree(WORK, ignore_errors=True)
    counts = collections.Counter((m.kind, o.split(" ")[0]) for m, o in done)
    for kind in sorted({m.kind for m in mutants}):
        dead, alive = counts[kind, "noticed"], counts[kind, "survived"]
        print(f"{kind}: {dead} noticed, {alive} survived ({100 * alive / max(dead + alive, 1):.1f} %), "
              f"{counts[kind, 'no']} do not compile")
    alive = sum(o == "survived" for _, o in done)
    print(f"{sum(o.startswith('noticed') for _, o in done)} passed, {alive} failed")
    return alive > 0


if __name__ == "__main__":
    sys.exit(main())
