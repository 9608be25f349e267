#!/bin/bash
# Slip found by the pulses of the blower's lobes in fast logs of boost, made by adding up angles.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/log_ripple.py" "$@"
