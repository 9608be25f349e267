#!/usr/bin/env bash
# Entry angles, standoffs and bearings of random hardware, worked out a second time in Python.
exec /usr/bin/python3 -B "$(dirname "$0")/mount.py" "${SNUB_BIN:?path of the snub program}"
