#!/bin/bash
# The page in a real browser. SNUB_PICTURES=1 also writes docs/pictures/.
exec bash "$(dirname "$0")/browser.sh" page.mjs
