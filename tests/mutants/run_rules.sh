#!/bin/bash
# Every rule spoilt in turn: do the cases notice?
exec /usr/bin/python3 -B "$(dirname "$0")/rules.py"
