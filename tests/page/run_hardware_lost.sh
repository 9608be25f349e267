#!/bin/bash
# Hardware where the server dies right after a file was opened, in a real browser.
exec bash "$(dirname "$0")/browser.sh" hardware_lost.mjs
