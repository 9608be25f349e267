#!/bin/bash
# Every rule at each of its levels, and its neighbours.
exec /usr/bin/python3 -B "$(dirname "$0")/run.py"
