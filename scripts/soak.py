#!/usr/bin/env python3
"""Long tests, for as long as is asked: fuzzing with the corpora that grow from run to run, kills at random moments, refused
allocations, faults of the system, hostile requests, many writers, mutated and random drives. Each round has other seeds.

soak.py [--minutes M] [--seed N] [--only REGEX] [--short] [--self-test]
  --minutes M   in all (default 10); what runs when the time is over is finished
  --seed N      of the first round (default: of the day); printed, so that a round can be had again
  --only REGEX  jobs by name
  --short       the fuzz targets alone, SNUB_FUZZ_SECONDS (default 15): the other jobs run in their short form as suites
  --self-test   whether a job that fails, dies or counts nothing is seen

Needs SNUB_BUILD_DIR, where snub and the tests are built. What fails is kept there in soak/. The last but one line has the
figures, the last `N passed, N failed`."""
import argparse
import datetime
import os
import pathlib
import re
import subprocess
import sys
import time

TOP = pathlib.Path(__file__).resolve().parent.parent
BUILD = pathlib.Path(os.environ.get("SNUB_BUILD_DIR", TOP / "build/release")).resolve()
LAST = re.compile(r"^(\d+) passed, (\d+) failed$", re.M)


class Job:
    """A test in its long form. `more` is its environment, by seed; `figures`: what it counts, by the words it prints."""

    def __init__(self, name, command, more, figures, once=False):
        self.name, self.command, self.more, self.figures, self.once = name, command, more, figures, once


def suite(name):
    return ["bash", f"tests/{name}"]


def jobs(seconds):
    return [
        Job("fuzz", ["scripts/fuzz.sh", str(seconds)], lambda seed: {}, {"inputs": r": (\d+) inputs in"}),
        Job("kills in saves", suite("cli/run_faults_killed.sh"), lambda seed: {"SNUB_KILLS": "250", "SNUB_SEED": str(seed)},
            {"kills": r"^killed at any moment: (\d+)|^killed at a call: (\d+)"}),
        Job("kills in imports", suite("cli/run_parts_faults.sh"), lambda seed: {"SNUB_KILLS": "125", "SNUB_SEED": str(seed)},
            {"kills": r"^killed imports: (\d+)"}),
        Job("faults of the system", suite("cli/run_faults_saving.sh"), lambda seed: {"SNUB_FAULTS": "all"}, {"faults": r": (\d+) faults,"}),
        Job("many writers", suite("cli/run_faults_writers.sh"), lambda seed: {"SNUB_ROUNDS": "250", "SNUB_SEED": str(seed)}, {"saves": r"^at once: (\d+) saves"}),
        Job("refused allocations", suite("cli/run_memory_faults.sh"),
            lambda seed: {"SNUB_MEMORY_SHARE": "8", "SNUB_MEMORY_SEED": str(seed), "SNUB_MEMORY_TABLE": "1"}, {"refusals": r", (\d+) refusals:"}),
        Job("crowds", suite("cli/run_serve_crowd.sh"), lambda seed: {"SNUB_CROWD_SECONDS": "5"}, {"requests": r"of (\d+) answers"}),
        Job("hostile requests", suite("cli/run_serve_hostile.sh"), lambda seed: {"SNUB_SEED": str(seed)}, {"checks": r"^(\d+) passed"}),
        Job("spoilt drives", suite("cli/run_mutated.sh"), lambda seed: {"SNUB_MUTANTS": "400", "SNUB_SEED": str(seed)}, {"files": r"^(\d+) mutants"}),
        Job("outputs", suite("cli/run_outputs.sh"), lambda seed: {"SNUB_LONG": "1"}, {"outputs": r"^(\d+) pairs"}, once=True),
        Job("interrupts", suite("cli/run_interrupts.sh"), lambda seed: {"SNUB_INTERRUPTS": "5", "SNUB_SEED": str(seed)}, {"interrupts": r"^(\d+) interrupts"}),
        Job("many builds", suite("cli/run_many_builds.sh"), lambda seed: {"SNUB_MANY_BUILDS": "1"}, {"builds": r"^ *(\d+) builds,"}, once=True),
        Job("random fronts", suite("doors/run_doors.sh"), lambda seed: {"SNUB_DOORS_COUNT": "40", "SNUB_SEED": str(seed)}, {"drives": r"^(\d+) drives"}),
        Job("scenes of photos", suite("page/run_photo_scenes.sh"), lambda seed: {"SNUB_SCENES": "60"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("random drives, by SciPy", suite("reference/run_equilibria.sh") + ["400"], lambda seed: {}, {"drives": r"^(\d+) passed"}, once=True),
        Job("random drives that move", suite("reference/run_motion.sh") + ["120"], lambda seed: {}, {"drives": r"^(\d+) passed"}, once=True),
        Job("random drives, broken", suite("reference/run_repairs.sh") + ["600"], lambda seed: {}, {"drives": r"^(\d+) drives"}, once=True),
        Job("random rigs, measured", suite("reference/run_centres.sh"), lambda seed: {"SNUB_RIGS": "64"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("random arms", suite("reference/run_arm.sh"), lambda seed: {"SNUB_RIGS": "39"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("random mounts", suite("reference/run_mount.sh"), lambda seed: {"SNUB_RIGS": "50"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("rules, everything", suite("rules/run_rules.sh"), lambda seed: {"SNUB_RULES_EVERYTHING": "1"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("spoilt rules, everything", suite("mutants/run_rules.sh"), lambda seed: {"SNUB_RULES_EVERYTHING": "1"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("languages, everything", suite("cli/run_languages.sh"), lambda seed: {"SNUB_LANGUAGES_EVERYTHING": "1"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("guides, as typed", suite("cli/run_guide_commands.sh"), lambda seed: {"SNUB_GUIDE_KITS": "as-typed"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("hands at every size", suite("page/run_hands.sh"), lambda seed: {"SNUB_LONG": "1"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("page, everything", suite("page/run_page.sh"), lambda seed: {"SNUB_LONG": "1"}, {"checks": r"^(\d+) passed"}, once=True),
        Job("random brackets", suite("reference/run_plate.sh"), lambda seed: {"SNUB_PLATES": "200", "SNUB_SEED": str(seed)}, {"checks": r"^(\d+) passed"}),
    ]


def counted(job, output):
    """{unit: number} of what the job printed."""
    found = {}
    for unit, words in job.figures.items():
        numbers = [next(int(n) for n in groups if n) for groups in (m if isinstance(m, tuple) else (m,) for m in re.findall(words, output, re.M))]
        found[unit] = sum(numbers)
    return found


def judged(job, output, code):
    """Passed, failed of a run, and its figures: a run without a last line, or that counts nothing, has failed."""
    lines = LAST.findall(output)
    figures = counted(job, output)
    if not lines:
        return 0, 1, figures
    passed, failed = map(int, lines[-1])
    if failed == 0 and (code != 0 or any(n == 0 for n in figures.values())):
        failed = 1
    return passed, failed, figures


def told(output):
    """What is printed of a failure: each line that says so and the four after it, which say why."""
    lines = output.splitlines()
    near = {n + k for n, line in enumerate(lines) if "FAILED" in line for k in range(5)}
    return [line for n, line in enumerate(lines) if n in near][:20]


def run(job, seed, folder):
    environment = {**os.environ, **job.more(seed), "SNUB_SOURCE_DIR": str(TOP), "SNUB_BUILD_DIR": str(BUILD), "SNUB_BIN": str(BUILD / "snub"),
                   "SNUB_FUZZ_BUILD": os.environ.get("SNUB_FUZZ_BUILD", str(BUILD.parent / "asan")), "LOCPATH": str(BUILD / "locales"), "OPENBLAS_NUM_THREADS": "1"}
    done = subprocess.run(job.command, cwd=TOP, env=environment, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    output = done.stdout.decode(errors="replace")
    passed, failed, figures = judged(job, output, done.returncode)
    if failed:
        folder.mkdir(parents=True, exist_ok=True)
        kept = folder / f"{job.name.replace(' ', '-')}-{seed}.log"
        kept.write_text(output)
        print(f"FAILED {job.name}, seed {seed}: {kept}")
        for line in told(output):
            print("   ", line[:2000])
    return passed, failed, figures


def soak(chosen, minutes, seed, folder):
    started, passed, failed, totals, turn = time.monotonic(), 0, 0, {}, 0
    while True:
        for job in chosen:
            if turn and (job.once or time.monotonic() - started > 60 * minutes):
                continue
            before = time.monotonic()
            good, bad, figures = run(job, seed + turn, folder)
            passed, failed = passed + good, failed + bad
            for unit, number in figures.items():
                totals[job.name, unit] = totals.get((job.name, unit), 0) + number
            print(f"{job.name}: {', '.join(f'{n} {unit}' for unit, n in figures.items())}, {bad} failed, {time.monotonic() - before:.0f} s", flush=True)
        turn += 1
        if time.monotonic() - started > 60 * minutes or all(job.once for job in chosen):
            break
    print(f"soak of {(time.monotonic() - started) / 60:.1f} min, seeds {seed} to {seed + turn - 1}: " +
          "; ".join(f"{name} {number} {unit}" for (name, unit), number in totals.items()))
    print(f"{passed} passed, {failed} failed")
    return failed > 0


def self_test():
    job = Job("made up", [], lambda seed: {}, {"kills": r"^killed: (\d+)|^ended: (\d+)"})
    cases = [("killed: 3\nended: 4\n5 passed, 0 failed\n", 0, (5, 0, {"kills": 7})), ("killed: 3\n5 passed, 2 failed\n", 1, (5, 2, {"kills": 3})),
             ("killed: 3\n", 0, (0, 1, {"kills": 3})), ("killed: 3\n5 passed, 0 failed\n", 9, (5, 1, {"kills": 3})), ("5 passed, 0 failed\n", 0, (5, 1, {"kills": 0}))]
    wrong = [case for case in cases if judged(job, case[0], case[1]) != case[2]]
    for case in wrong:
        print("FAILED", case, judged(job, case[0], case[1]))
    cases.append("what is told")
    if told("a\nFAILED x:\nwhy\n1\n2\n3\n4\n") != ["FAILED x:", "why", "1", "2", "3"]:
        wrong.append("what is told")
        print("FAILED what is told of a failure")
    missing = [one.command[1] for one in jobs(1) if one.command[0] == "bash" and not (TOP / one.command[1]).exists()]
    for path in missing:
        print("FAILED there is no", path)
    print(f"{len(cases) + len(jobs(1)) - len(wrong) - len(missing)} passed, {len(wrong) + len(missing)} failed")
    return bool(wrong or missing)


def main():
    parser = argparse.ArgumentParser(description="long tests", epilog="see the head of this file")
    parser.add_argument("--minutes", type=float, default=10)
    parser.add_argument("--seed", type=int, default=datetime.date.today().toordinal())
    parser.add_argument("--only", default="")
    parser.add_argument("--short", action="store_true")
    parser.add_argument("--self-test", action="store_true")
    given = parser.parse_args()
    if given.self_test:
        return self_test()
    if given.short:
        return soak([job for job in jobs(int(os.environ.get("SNUB_FUZZ_SECONDS", "15"))) if job.name == "fuzz"], 0, given.seed, BUILD / "soak")
    fuzz_seconds = max(30, int(60 * given.minutes / 6))
    return soak([job for job in jobs(fuzz_seconds) if re.search(given.only, job.name)], given.minutes, given.seed, BUILD / "soak")


if __name__ == "__main__":
    sys.exit(main())
