#!/bin/bash
# The side view, distances and the hardware tab, in a real browser.
exec bash "$(dirname "$0")/browser.sh" side.mjs
