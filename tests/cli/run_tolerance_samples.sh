#!/usr/bin/env bash
# Measured samples out of tables beside the drive file.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 -B "$(dirname "$0")/tolerance_samples.py"
