#!/usr/bin/env bash
# Ctrl+C at any moment: the command ends at once, says so, and begins no output.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/interrupts.py"
