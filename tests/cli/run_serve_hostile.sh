#!/bin/bash
# Slow, huge, broken and hostile requests must never stop the server nor leak a file. Cases: serve_hostile.py.
set -u
cd "$(dirname "$0")/../.."
exec /usr/bin/python3 tests/cli/serve_hostile.py
