#!/bin/bash
# How unevenly the crank turns: the program against a cycle of its own on SciPy.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/crank_orders.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
