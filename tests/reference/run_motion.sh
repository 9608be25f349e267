#!/bin/bash
# Natural frequencies of random drives through the program and by differences of the potential energy, on SciPy.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/motion.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
