#!/bin/bash
# Hub loads and bearings with the swing of the crank in them, by NumPy.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/hub_swing.py"
