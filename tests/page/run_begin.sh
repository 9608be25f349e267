#!/bin/bash
# A drive begun, saved, saved as and put on paper from the page alone, in a real browser.
exec bash "$(dirname "$0")/browser.sh" begin.mjs
