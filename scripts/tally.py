"""How the checks of the sources count and end, each in the same words. For the scripts beside it; no program of its own."""
import pathlib
import sys


def run_cases(cases):
    """Cases of a self-test, (name, got, want) each. (how many, how many failed)"""
    for name, got, want in cases:
        if got != want:
            print(f"self-test: {name}: got {got!r}, want {want!r}")
    return len(cases), sum(got != want for _, got, want in cases)


def end(checks, failed):
    """The last line, and the exit code."""
    print(f"{max(checks - failed, 0)} passed, {failed} failed")
    return 1 if failed else 0


def end_with(checks, messages):
    print(*messages, sep="\n", end="\n" if messages else "")
    return end(checks, len(messages))


def top_of(folders):
    """The root of the source: given, or the one in which the script stands."""
    return pathlib.Path(folders[0]) if folders else pathlib.Path(__file__).resolve().parent.parent


def check_main(self_test, check):
    """`SCRIPT [SOURCE_DIR]` and `SCRIPT --self-test`. check(top): (how many, messages)"""
    arguments = sys.argv[1:]
    if arguments == ["--self-test"]:
        return end(*self_test())
    return end_with(*check(top_of(arguments)))


def page_main(self_test, check, show):
    """The same with --check; without it `show(top)` prints the page and gives the exit code."""
    arguments = sys.argv[1:]
    if arguments == ["--self-test"]:
        return end(*self_test())
    if arguments[:1] != ["--check"]:
        return show(top_of(arguments))
    checks, messages = check(top_of(arguments[1:]))
    return end_with(max(checks, len(messages)), messages)
