#!/usr/bin/env bash
# Which part is taken where several belts have one size.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec "$SNUB_BUILD_DIR/neat" /usr/bin/python3 "$(dirname "$0")/same_size.py"
