#!/bin/bash
# The view of motion: natural frequencies, speed against order, runs in time.
exec bash "$(dirname "$0")/browser.sh" motion.mjs
