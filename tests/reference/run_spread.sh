#!/usr/bin/env bash
# Strips, balls and worn belts by geometry of their own, on both sides of every limit.
exec /usr/bin/python3 -B "$(dirname "$0")/spread.py" "${SNUB_BIN:?path of the snub program}"
