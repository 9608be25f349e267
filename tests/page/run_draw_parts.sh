#!/bin/bash
# Slots, arms and obstacles drawn by hand and dragged, in a real browser.
exec bash "$(dirname "$0")/browser.sh" draw_parts.mjs
