#!/usr/bin/env bash
# Distances of two things, and what the program itself keeps them apart by.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/measured.py"
