#!/usr/bin/env bash
# No output replaces a file that the run reads, another output, a drive file or a catalogue.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/outputs.py"
