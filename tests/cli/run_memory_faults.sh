#!/usr/bin/env bash
# Every command and every request with a refused allocation: memory_faults.py.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}" "${SNUB_BUILD_DIR:?}"
exec /usr/bin/python3 "$(dirname "$0")/memory_faults.py"
