#!/usr/bin/env bash
# Languages of the sheets: catalogues that are found, a made-up language and German read back from every kind of sheet.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}" "${SNUB_BUILD_DIR:?folder of the build}"
exec /usr/bin/python3 "$(dirname "$0")/languages.py"
