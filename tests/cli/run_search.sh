#!/usr/bin/env bash
# snub search: a bad bracket made good, regions and grids, two aims, what cannot be had, a break in between, files.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/search.py" brackets
