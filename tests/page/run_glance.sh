#!/bin/bash
# State at a glance, the case of a finding, and the end of travel, in a real browser.
exec bash "$(dirname "$0")/browser.sh" glance.mjs
