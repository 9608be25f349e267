#!/usr/bin/env bash
# What a verdict leaves out: said in every door, and gone as soon as the file gives it.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/unjudged.py"
