#!/usr/bin/env bash
# Papers and new files by way of the page's server: the very bytes of the commands, and nothing that a request may not ask for.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/papers.py"
