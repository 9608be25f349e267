#!/usr/bin/env bash
# No word that was given up in anything that a user reads, and every sentence has its end.
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
exec /usr/bin/python3 "$(dirname "$0")/plain_words.py"
