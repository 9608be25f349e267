#!/usr/bin/env bash
# The house file: letterhead, numbers, wording, defaults, the build's code, and its QR code read back from the picture.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/house.py"
