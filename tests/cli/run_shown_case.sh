#!/usr/bin/env bash
# The case of every finding: by the options that the terminal prints, and by what the page sends, it is the same state.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/shown_case.py"
