#!/usr/bin/env bash
# Values given as ranges, against files with the values at their ends.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/ranges.py"
