#!/bin/bash
# Workbooks and CSV read by openpyxl and Python's csv, cell by cell: every kind of cell, the chart against its JSON, and
# the catalogue against its JSON.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 "$here/sheets.py"
