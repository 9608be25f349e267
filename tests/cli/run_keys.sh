#!/usr/bin/env bash
# The list of the drive file's keys, against the readers' own lists and what the readers take and refuse.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/keys.py"
