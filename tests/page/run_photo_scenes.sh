#!/bin/bash
# The geometry of the photo, without a browser.
cd "$(dirname "$0")/../.." || exit 1
exec node tests/page/photo_scenes.mjs
