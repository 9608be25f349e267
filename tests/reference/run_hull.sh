#!/bin/bash
# Belt length of drives with all pulleys inside, against the convex hull of their circles by GEOS.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/hull.py" "${SNUB_BIN:?set SNUB_BIN to the program}" "$@"
