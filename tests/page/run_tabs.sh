#!/bin/bash
# Two tabs of the page in a real browser.
exec bash "$(dirname "$0")/browser.sh" tabs.mjs
