#!/bin/bash
# Slip found by boost in logs without a blower speed: boost solved by SciPy, leaks and filters put on, other engines and days.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/log_boost.py" "$@"
