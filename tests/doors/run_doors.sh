#!/bin/bash
# The same question through every door: examples and random drives.
exec /usr/bin/python3 -B "$(dirname "$0")/doors.py"
