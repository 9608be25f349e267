#!/bin/bash
# The photo panel in a real browser.
exec bash "$(dirname "$0")/browser.sh" photo_panel.mjs
