#!/usr/bin/env bash
# How parts come: each in one list, the same in every form.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/contents.py"
