#!/usr/bin/env bash
# A chart's memory hardly grows with the number of its builds, in every form.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/many_builds.py"
