#!/usr/bin/env bash
# The bill of materials, against what each build is made of, in every form.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/bill.py"
