#!/usr/bin/env bash
# What calms a drive, against runs with the values set by hand.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 -B "$(dirname "$0")/calm.py" "$SNUB_BIN" "$SNUB_SOURCE_DIR"
