#!/usr/bin/env bash
# What the page draws of a belt that does not fit, and of things that touch, against what the findings say.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/drawn.py"
