#!/usr/bin/env bash
# Values that the file leaves to defaults are what is said, and decide where it is said.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/defaults.py"
