#!/bin/bash
# The core in the browser against the program.
exec /usr/bin/python3 -B "$(dirname "$0")/core.py"
