#!/usr/bin/env bash
# Centres of random networks of distances, worked out a second time by SciPy.
exec /usr/bin/python3 -B "$(dirname "$0")/centres.py" "${SNUB_BIN:?path of the snub program}"
