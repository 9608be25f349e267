#!/usr/bin/env bash
# Inch units in everything that is put out, and the units that are read.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/units.py"
