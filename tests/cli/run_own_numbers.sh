#!/usr/bin/env bash
# Own numbers of parts, and who sells them, on everything that names a part.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec "$SNUB_BUILD_DIR/neat" /usr/bin/python3 "$(dirname "$0")/own_numbers.py"
