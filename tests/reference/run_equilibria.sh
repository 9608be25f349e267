#!/bin/bash
# Random drives through the program and through an implementation of its own on SciPy.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/equilibria.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
