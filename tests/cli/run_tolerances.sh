#!/usr/bin/env bash
# Drive files with tolerances, against the same without.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/tolerances.py"
