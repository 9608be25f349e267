#!/usr/bin/env bash
# snub tolerate --builds: many builds in one run, each as --build says it.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/tolerate_builds.py" "$@"
