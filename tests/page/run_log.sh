#!/bin/bash
# Data logs on the page, in a real browser, against `snub log`.
exec bash "$(dirname "$0")/browser.sh" log.mjs
