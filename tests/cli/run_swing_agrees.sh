#!/usr/bin/env bash
# What a finding says of a swing against what `snub motion` shows of that state.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/swing_agrees.py"
