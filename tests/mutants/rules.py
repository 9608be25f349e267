"""Spoils every rule of the program in turn and asks whether its cases (tests/rules) notice.

The program is snub-mutable (mutable.c): a wording is not told, told one level off, with a value 0.5 % off, or in another
case than its worst; a limit is 5 % lower or higher. A mutant that no case notices has survived and fails the suite.
The last line is `N passed, N failed`.
"""
import os
import re
import sys
from concurrent.futures import ProcessPoolExecutor

SOURCE = os.environ["SNUB_SOURCE_DIR"]
os.environ["SNUB_BIN"] = os.path.join(os.environ["SNUB_BUILD_DIR"], "snub-mutable")
sys.path.insert(0, os.path.join(SOURCE, "tests", "rules"))
import harness  # noqa: E402
from lists import CASES  # noqa: E402


class Noticed(Exception):
    pass


def expect(name, good, *why):
    if not good:
        raise Noticed(name)


def notices(check, mutant):
    """Whether a check of a case fails with the mutant; what it says."""
    harness.answers.clear()
    os.environ["SNUB_MUTANT"] = mutant
    try:
        check()
    except Noticed as noticed:
        return str(noticed)
    except SystemExit:
        return "no answer"
    finally:
        del os.environ["SNUB_MUTANT"]
    return None


def mutants():
    """(what SNUB_MUTANT is to be, the cases that may notice)."""
    by_wording = {}
    for case in CASES:
        by_wording.setdefault(case.wording, []).append(case)
    for k, (wording, cases) in enumerate(by_wording.items()):
        # a case asks first whether the finding is there and of its level: that it does so is looked at in every eighth
        for what in ("gone", "level", "case") if harness.EVERYTHING or k % 8 == 0 else ("case",):
            yield f"{what} {wording}", cases
        if any(c.value and c.value(c.fires) for c in cases):
            yield f"value {wording}", cases
    keys = {}
    for wording, cases in by_wording.items():
        limit = harness.WORDINGS[wording]["limit"]
        if limit.startswith("SNUB_LIMIT_"):
            keys.setdefault(limit[len("SNUB_LIMIT_"):].lower(), []).extend(cases)
    with open(os.path.join(SOURCE, "include/snub/limit_list.inc"), encoding="utf-8") as file:
        for key in re.findall(r'SNUB_LIMIT\(\w+, *"(\w+)"', file.read()):
            for factor in (0.95, 1.05):
                yield f"limit {key} {factor}", keys.get(key, CASES)


def survives(k):
    mutant, cases = MUTANTS[k]
    checks = [case.check_finding for case in cases] + [case.check_neighbours for case in cases]  # quick ones first
    return mutant, not any(notices(check, mutant) for check in checks)


def main():
    global MUTANTS
    harness.open_store()
    harness.expect = expect
    MUTANTS = list(mutants())
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        results = list(pool.map(survives, range(len(MUTANTS)), chunksize=4))
    harness.close_store()
    survivors = [mutant for mutant, alive in results if alive]
    for mutant in survivors:
        print("SURVIVED", mutant)
    print(f"{len(results) - len(survivors)} passed, {len(survivors)} failed")
    return len(survivors) > 0


MUTANTS = []
if __name__ == "__main__":
    sys.exit(main())
