#!/bin/bash
# The swing of random drives in the program against a run in time, with dry friction as it is.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/motion_in_time.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
