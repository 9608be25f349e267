#!/usr/bin/env bash
# Every command that README, guides and help print runs as typed.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 -B "$(dirname "$0")/guide_commands.py"
