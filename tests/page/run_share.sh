#!/bin/bash
# The page of snub share in a real browser.
exec bash "$(dirname "$0")/browser.sh" share.mjs
