#!/bin/bash
# How fast the page is, in a real browser.
exec bash "$(dirname "$0")/browser.sh" speed.mjs
