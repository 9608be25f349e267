#!/usr/bin/env bash
# Every call to the system that writing makes, failing in turn. Cases: faults_saving.py. SNUB_FAULTS=all tries them all.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}" "${SNUB_BUILD_DIR:?build folder}"
exec /usr/bin/python3 "$(dirname "$0")/faults_saving.py"
