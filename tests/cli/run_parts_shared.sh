#!/usr/bin/env bash
# One catalogue in the hands of several programs.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec "$SNUB_BUILD_DIR/neat" /usr/bin/python3 "$(dirname "$0")/parts_shared.py"
