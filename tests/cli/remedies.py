#!/usr/bin/env python3
"""The change that a finding proposes mends it: a bearing's fit, set as `changes` of `snub check --json` has it.

Needs SNUB_BIN and SNUB_SOURCE_DIR. The last line is `N passed, N failed`."""
import json
import os
import pathlib
import subprocess
import sys

from tally import check, end

SNUB, TOP = os.environ["SNUB_BIN"], pathlib.Path(os.environ["SNUB_SOURCE_DIR"])


def findings(*sets):
    done = subprocess.run([SNUB, "check", TOP / "examples/sedgemere.yaml", "--json", *(f"--set={one}" for one in sets)],
                          capture_output=True, text=True)
    return json.loads(done.stdout)["findings"]


def main():
    for fit in ("null", "H7", "K7"):
        loose = f"wrap idler.bearing.fit={fit}"
        told = [f for f in findings(loose) if f["pulley"] == "wrap idler" and "a tighter fit" in f["text"]]
        check(f"fit {fit} is told", len(told) == 1, told)
        changes = told[0]["changes"] if told else []
        check(f"fit {fit}: what is proposed is a value", [c["path"] for c in changes] == ["wrap idler.bearing.fit"], changes)
        if changes:
            check("in the words of the finding", f"Use {changes[0]['value']} or a tighter fit" in told[0]["text"], told)
            left = [f for f in findings(loose, f"{changes[0]['path']}={changes[0]['value']}") if f["pulley"] == "wrap idler" and f["rule"] == told[0]["rule"]]
            check("it mends it", not left, left)
    return end()


if __name__ == "__main__":
    sys.exit(main())
