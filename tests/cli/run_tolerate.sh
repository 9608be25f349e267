#!/usr/bin/env bash
# snub tolerate: kits against snub check, shares in closed form, how values scatter, threads, files that give nothing to do.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/tolerate.py" "$@"
