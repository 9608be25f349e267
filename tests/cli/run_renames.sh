#!/usr/bin/env bash
# Names of before: each gives the drive, or the part, that the name of today gives, and one hint.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/renames.py"
