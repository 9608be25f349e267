#!/usr/bin/env bash
# What snub tolerate says of other tolerances, from kits that were judged: shares by quadrature, costs, what is not predicted.
exec env PYTHONPATH="$(dirname "$0")/../cli" /usr/bin/python3 -B "$(dirname "$0")/tolerate_widths.py" "${SNUB_BIN:?path of the snub program}"
