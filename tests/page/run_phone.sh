#!/bin/bash
# A small phone and forced colours, in a real browser.
exec bash "$(dirname "$0")/browser.sh" phone.mjs
