#!/usr/bin/env bash
# A drive of two pulleys whose failing kits are known: its rule for one kit, and shares by quadrature and closed form.
exec /usr/bin/python3 -B "$(dirname "$0")/two_pulley_scatter.py" "${SNUB_BIN:?path of the snub program}"
