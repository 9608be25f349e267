#!/usr/bin/env bash
# Several that write one drive file at once. Cases: faults_writers.py. SNUB_ROUNDS sets how often.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/faults_writers.py"
