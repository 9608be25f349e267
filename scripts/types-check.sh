#!/usr/bin/env bash
# TypeScript's types in the page and in its tests; esbuild strips them without looking.
# The last line is `N passed, N failed`.
set -u
cd "$(dirname "$0")/.." || exit 1
tsc=tests/page/node_modules/.bin/tsc
passed=0 failed=0
for folder in page tests/page; do
    if [ ! -x "$tsc" ] || [ ! -d "$folder/node_modules" ]; then
        echo "$folder: its npm packages are missing (scripts/setup.sh)"
        failed=$((failed + 1))
    elif "$tsc" --noEmit -p "$folder"; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
