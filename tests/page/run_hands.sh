#!/bin/bash
# Hands and eyes: words of the drawing, fingers, sizes, zoom, forced colours, focus, undo, the legend, in a real browser.
exec bash "$(dirname "$0")/browser.sh" hands.mjs
