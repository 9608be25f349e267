#!/usr/bin/env bash
# Plucked spans, worked out a second time by SciPy, and sounds that are made up.
exec /usr/bin/python3 -B "$(dirname "$0")/pluck.py" "${SNUB_BIN:?path of the snub program}"
