#!/usr/bin/env bash
# RSS and worst case of snub tolerate: closed form, a published stack, kits at the ends by the other door.
exec env PYTHONPATH="$(dirname "$0")/../cli" /usr/bin/python3 -B "$(dirname "$0")/worst_case.py" "${SNUB_BIN:?path of the snub program}"
