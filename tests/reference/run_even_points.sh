#!/usr/bin/env bash
# Unscrambled points in all dimensions of the table, bit for bit as SciPy's.
exec /usr/bin/python3 -B "$(dirname "$0")/even_points.py" "${SNUB_SOURCE_DIR:?root of the sources}"
