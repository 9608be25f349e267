#!/usr/bin/env bash
# The change that a finding's words propose: made by --set it cures what was found.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/mends.py"
