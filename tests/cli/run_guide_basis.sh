#!/usr/bin/env bash
# One mark for one number: lists, guide and theory.
: "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/guide_basis.py"
