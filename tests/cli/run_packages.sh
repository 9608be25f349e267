#!/usr/bin/env bash
# Packages, against plain files with their changes written in.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/packages.py"
