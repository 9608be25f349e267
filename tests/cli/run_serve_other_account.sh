#!/bin/bash
# Another account of the machine gets nothing from the server, neither by asking nor by looking. Cases: serve_other_account.py.
set -u
cd "$(dirname "$0")/../.."
exec /usr/bin/python3 tests/cli/serve_other_account.py
