#!/bin/bash
# browser.sh TEST.mjs: a test of the page in a real browser, Debian's Chromium driven by playwright-core.
set -u
cd "$(dirname "$0")/../.."
if [ ! -d tests/page/node_modules/playwright-core ]; then
    (cd tests/page && PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1 npm ci --no-audit --no-fund --ignore-scripts >/dev/null) ||
        { echo "npm ci failed in tests/page"; echo "0 passed, 1 failed"; exit 1; }
fi
chromium=${SNUB_CHROMIUM:-$(command -v chromium-headless-shell || command -v chromium || command -v chromium-browser || true)}
if [ -z "$chromium" ]; then
    echo "no chromium found; set SNUB_CHROMIUM"; echo "0 passed, 1 failed"; exit 1
fi
SNUB_BIN=${SNUB_BIN:-build/release/snub} SNUB_CHROMIUM=$chromium exec node "tests/page/$1"
