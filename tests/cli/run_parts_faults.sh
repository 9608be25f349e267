#!/usr/bin/env bash
# The catalogue under killed programs, full disks, read-only files and several users at once.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec "$SNUB_BUILD_DIR/neat" /usr/bin/python3 "$(dirname "$0")/parts_faults.py"
