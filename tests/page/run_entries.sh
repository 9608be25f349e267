#!/bin/bash
# Every entry of the drive file on the page, in a real browser.
exec bash "$(dirname "$0")/browser.sh" entries.mjs
