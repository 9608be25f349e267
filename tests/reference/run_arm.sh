#!/usr/bin/env bash
# Springs from torques, worked out a second time by SciPy.
exec /usr/bin/python3 -B "$(dirname "$0")/arm.py" "${SNUB_BIN:?path of the snub program}"
