#!/bin/bash
# Lists, options, variants, packages and steps in the page's entries, in a real browser.
exec bash "$(dirname "$0")/browser.sh" entry_lists.mjs
