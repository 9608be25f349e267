#!/bin/bash
# A sweep with slip against independent models of belt and blower.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
: "${SNUB_BIN:?set SNUB_BIN to the program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 -B "$here/sweep.py"
