#!/bin/bash
# A run in which the clutch of a blower closes, against SciPy.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/engaging.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
