#!/usr/bin/env bash
# Maps, encodings, updates and history of the catalogue.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec "$SNUB_BUILD_DIR/neat" /usr/bin/python3 "$(dirname "$0")/parts_files.py"
