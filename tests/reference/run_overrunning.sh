#!/bin/bash
# An overrunning clutch that lets go: the answer by harmonics against one put down apart, and against runs in time.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/overrunning.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
