#!/usr/bin/env bash
# Fitted belts: readings that `snub check` gives for drives that are off, and SciPy's least squares.
exec /usr/bin/python3 -B "$(dirname "$0")/belt.py" "${SNUB_BIN:?path of the snub program}"
