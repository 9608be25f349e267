#!/bin/bash
# How fast the page is, and that a chart follows the drive, in a real browser.
exec bash "$(dirname "$0")/browser.sh" speed.mjs
