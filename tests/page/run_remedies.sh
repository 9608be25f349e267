#!/bin/bash
# Changes that findings of bolts, standoffs, rims and speeds propose, in a real browser.
exec bash "$(dirname "$0")/browser.sh" remedies.mjs
