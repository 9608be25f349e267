#!/bin/bash
# Runs in time in the program against SciPy, and against the answer by harmonics.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/motion_run.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
