#!/usr/bin/env bash
# Names and file names of every sort through every output: refused where they do not show, as written where they do.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/travel.py"
