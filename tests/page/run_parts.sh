#!/bin/bash
# What the page is sent when it opens, and the parts that come later, in a real browser.
exec bash "$(dirname "$0")/browser.sh" parts.mjs
