#!/bin/bash
# Slip found in logs that an integration of the blower's motion made, with what loggers do to them.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/log.py" "$@"
