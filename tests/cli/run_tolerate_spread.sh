#!/usr/bin/env bash
# snub tolerate: quantiles, classes and limits of the kits' numbers, and their histograms.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/tolerate_spread.py" "$@"
