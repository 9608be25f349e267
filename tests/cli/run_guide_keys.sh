#!/usr/bin/env bash
# Every key that the readers take stands in the guide, and the other way round; keys are marked needed that are.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/guide_keys.py"
