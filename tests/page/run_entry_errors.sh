#!/bin/bash
# What the reader refuses stands at its entry, in a real browser.
exec bash "$(dirname "$0")/browser.sh" entry_errors.mjs
