#!/usr/bin/env bash
# Pictures of steps: what is dark in them by a reference of its own, where they stand on paper, and pictures of the file's own.
exec /usr/bin/python3 "$(dirname "$0")/step_pictures.py"
