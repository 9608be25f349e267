#!/bin/bash
# Blower and engine matched by snub, and as six plain equations by SciPy.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
build=${SNUB_BUILD_DIR:?set SNUB_BUILD_DIR to a build directory}
"$build/test_reference_match_cases" --csv | /usr/bin/python3 "$here/match.py"
