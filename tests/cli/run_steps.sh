#!/usr/bin/env bash
# Steps of fitting: the printed sheet says what `snub sheet --json` has, step by step and number by number.
exec /usr/bin/python3 "$(dirname "$0")/steps.py"
