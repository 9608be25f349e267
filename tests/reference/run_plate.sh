#!/usr/bin/env bash
# Plates to be cut, read back and held against shapely.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/plate.py"
