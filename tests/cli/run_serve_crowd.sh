#!/bin/bash
# Hundreds of connections without the key must not keep the owner out, nor the server from ending. Cases: serve_crowd.py.
set -u
cd "$(dirname "$0")/../.."
exec /usr/bin/python3 tests/cli/serve_crowd.py
