#!/usr/bin/env python3
"""Sums up test results from ctest's JUnit files: cmocka's own counts and the scripts' `N passed, N failed` lines.

Usage: sum-tests.py FILE...
What could not be tested here is a line `skipped: what and why` of a script's output; a script that tests nothing exits with 77.
A suite that crashed, ran out of time, or gave no summary counts as a failure of its own, as does a file that is
missing or empty of suites. Prints each failing suite with what it said, the slowest ones, and as its last line `N passed, N failed`.
"""
import re
import sys
import xml.etree.ElementTree as ElementTree

SKIPPED = re.compile(r"^skipped: .*", re.M)
LAST_LINE = re.compile(r"^(\d+) passed, (\d+) failed\s*$", re.M)
CMOCKA_RUN = re.compile(r"^\[==========\] (?:[^:\n]*: )?(\d+) test\(s\) run", re.M)
CMOCKA_PASSED = re.compile(r"^\[  PASSED  \] (\d+) test\(s\)", re.M)
CMOCKA_FAILED = re.compile(r"^\[  FAILED  \] (?:[^:\n]*: )?(\d+) test\(s\)", re.M)
CMOCKA_SKIPPED = re.compile(r"^\[  SKIPPED \] (?:[^:\n]*: )?(\d+) test\(s\)", re.M)


def count(pattern, text):
    return sum(int(number) for number in pattern.findall(text))


def suite_result(text, ok):
    """(passed, failed, skipped, remark) of one suite's output."""
    if CMOCKA_RUN.search(text):
        passed, failed = count(CMOCKA_PASSED, text), count(CMOCKA_FAILED, text)
        skipped = count(CMOCKA_SKIPPED, text)
        if passed + failed + skipped < count(CMOCKA_RUN, text):
            failed = count(CMOCKA_RUN, text) - passed - skipped
    else:
        lines = LAST_LINE.findall(text)
        if not lines:
            return 0, 1, 0, "no summary"
        passed, failed, skipped = int(lines[-1][0]), int(lines[-1][1]), len(SKIPPED.findall(text))
    if not ok and failed == 0:
        return passed, 1, skipped, "ended badly"
    if ok and failed:
        return passed, failed, skipped, "failures, but an exit code of 0"
    if passed + failed + skipped == 0:
        return 0, 1, 0, "nothing was tested"
    return passed, failed, skipped, ""


def telling(lines):
    """Lines that say that something failed, each with up to three lines of reasons, which stand indented beneath it."""
    left = 0
    for line in lines:
        failed = re.search(r"ERROR|FAILED|Sanitizer|Assert|not ok|FAIL|:\d+: error", line)
        left = 3 if failed else left - 1 if line.startswith("    ") else 0
        if failed or left >= 0 and line.startswith("    "):
            yield line


def main():
    passed = failed = skipped = 0
    seconds = {}
    for name in sys.argv[1:]:
        try:
            cases = ElementTree.parse(name).getroot().findall(".//testcase")
        except (OSError, ElementTree.ParseError) as problem:
            print(f"{name}: {problem}")
            failed += 1
            continue
        if not cases:
            print(f"{name}: no suites in it")
            failed += 1
        for case in cases:
            text = case.findtext("system-out") or ""
            ok = case.get("status") == "run" or case.find("skipped") is not None
            seconds[case.get("name")] = float(case.get("time") or 0)
            p, f, s, remark = suite_result(text, ok)
            passed, failed, skipped = passed + p, failed + f, skipped + s
            if f:
                print(f"FAILED {case.get('name')}: {f} failed{', ' + remark if remark else ''}")
                print("\n".join("    " + line[:400] for line in telling(text.splitlines()))[:8000])
                if remark:
                    print("    its last lines:")
                    print("\n".join("    | " + line[:300] for line in text.splitlines()[-30:]))
            if s:
                print("\n".join([f"skipped {case.get('name')}: {s}"] + ["    " + line for line in SKIPPED.findall(text)]))
    slowest = sorted(seconds, key=seconds.get, reverse=True)[:20]
    print(f"{len(seconds)} suites, {sum(seconds.values()):.0f} s by themselves; the slowest: " +
          ", ".join(f"{name} {seconds[name]:.0f}" for name in slowest))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
