#!/usr/bin/env bash
# What a long command shows on a terminal: progress.py.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/progress.py"
