#!/bin/bash
# The core in the page, in a real browser.
exec bash "$(dirname "$0")/browser.sh" core.mjs
