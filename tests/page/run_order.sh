#!/bin/bash
# Answers that come late, in a real browser.
exec bash "$(dirname "$0")/browser.sh" order.mjs
