#!/bin/bash
# A span that flaps into what stands beside it, in every frame.
exec bash "$(dirname "$0")/browser.sh" flap.mjs
