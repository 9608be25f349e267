#!/usr/bin/env bash
# The heap begins with huge pages, where the system has some: a check takes few pages more than the program's start.
exec /usr/bin/python3 -B "$(dirname "$0")/first_pages.py"
