#!/bin/bash
# A better bracket and kits within their tolerances on the page.
exec bash "$(dirname "$0")/browser.sh" study.mjs
