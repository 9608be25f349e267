#!/usr/bin/env bash
# Spoilt examples. SNUB_MUTANTS sets how many. Cases: mutated.py.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/mutated.py"
