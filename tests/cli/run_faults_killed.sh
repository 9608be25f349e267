#!/usr/bin/env bash
# Programs that are killed while they save, and several that save at once. Cases: faults_killed.py. SNUB_KILLS sets how many.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}" "${SNUB_BUILD_DIR:?build folder}"
exec /usr/bin/python3 "$(dirname "$0")/faults_killed.py"
