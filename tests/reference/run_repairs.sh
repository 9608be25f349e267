#!/bin/bash
# Random drives broken on purpose: the change that takes it back must be among the repairs named.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/repairs.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
