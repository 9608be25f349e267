#!/bin/sh
exec /usr/bin/python3 "$SNUB_SOURCE_DIR/tests/cli/share.py"
