#!/usr/bin/env bash
# What findings propose as changes of the file, made.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/remedies.py"
