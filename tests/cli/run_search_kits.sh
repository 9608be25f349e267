#!/usr/bin/env bash
# snub search: kits of its proposals, parts of the catalogue, a search that is killed.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
exec /usr/bin/python3 -B "$here/search.py" kits
