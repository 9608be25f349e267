#!/usr/bin/env bash
# snub fit: an invented pull that slips, found, explained, fitted and cured; values written into the drive file; what logs
# cannot tell; bad input.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/fit.py" "$@"
