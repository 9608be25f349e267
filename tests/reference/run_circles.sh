#!/usr/bin/env bash
# Circles through points by SciPy, circles of sketches by ezdxf.
exec /usr/bin/python3 -B "$(dirname "$0")/circles.py" "${SNUB_BIN:?path of the snub program}"
