#!/bin/bash
exec /usr/bin/python3 "$SNUB_SOURCE_DIR/tests/reference/pages.py"
