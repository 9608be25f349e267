#!/bin/bash
# The chart that follows the drive, in a real browser.
exec bash "$(dirname "$0")/browser.sh" chart_follows.mjs
