#!/usr/bin/env bash
# The DXF read by an independent library and compared with the geometry that `snub check` gives.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$SNUB_SOURCE_DIR/tests/reference/dxf_check.py" "$SNUB_BIN" "$SNUB_SOURCE_DIR"
