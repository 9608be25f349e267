#!/bin/sh
# Installs what snub needs and this machine lacks, from scripts/packages.txt. Quiet and quick when nothing is missing.
# Made for Debian 12; elsewhere it says what is missing and lets the build try.
# Usage: setup.sh [--no-tests]   with --no-tests: only what building and running needs
set -eu
here=$(cd "$(dirname "$0")/.." && pwd)
tests=yes
[ "${1:-}" != --no-tests ] || tests=no

if [ "$tests" = yes ]; then
    wanted=$(sed 's/#.*//' "$here/scripts/packages.txt" | tr -d ' \t' | sed '/^$/d')
else
    wanted=$(sed '/tests only/d; s/#.*//' "$here/scripts/packages.txt" | tr -d ' \t' | sed '/^$/d')
fi

# A node from elsewhere will do if it is 18 or newer; Debian's own packages would fight with it.
node_major=$(node --version 2>/dev/null | sed 's/^v\([0-9]*\).*/\1/' || true)
if [ "${node_major:-0}" -lt 18 ]; then
    wanted="$wanted nodejs npm"
fi
# The page's tests drive a browser: this one has no window, and needs a third less of the machine than the one that has.
if [ "$tests" = yes ] && [ -z "${SNUB_CHROMIUM:-}" ]; then
    wanted="$wanted chromium-headless-shell"
fi

if ! command -v dpkg-query >/dev/null 2>&1; then
    echo "setup: this is not Debian; see scripts/packages.txt for what snub needs" >&2
    exit 0
fi
# shellcheck disable=SC2086 # a list of words
present=$(dpkg-query -W -f '${db:Status-Abbrev} ${Package}\n' $wanted 2>/dev/null | sed -n 's/^ii *//p' || true)
missing=""
for package in $wanted; do
    printf '%s\n' "$present" | grep -qx -- "$package" || missing="$missing $package"
done

if [ -n "$missing" ]; then
    echo "setup: installing$missing"
    root=""
    if [ "$(id -u)" -ne 0 ]; then
        if ! command -v sudo >/dev/null 2>&1; then
            echo "setup: not root and no sudo here; as root, run: apt-get install$missing" >&2
            exit 1
        fi
        root="sudo"
    fi
    log=$(mktemp)
    trap 'rm -f "$log"' EXIT
    install_all() {
        # shellcheck disable=SC2086 # lists of words
        $root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
            -o DPkg::Lock::Timeout=300 $missing >"$log" 2>&1 </dev/null
    }
    # Package lists may be absent (a fresh container) or stale: then fetch them and try once more.
    if ! install_all; then
        $root env DEBIAN_FRONTEND=noninteractive apt-get update -o DPkg::Lock::Timeout=300 >"$log" 2>&1 </dev/null ||
            { tail -n 20 "$log" >&2; echo "setup: apt-get update failed" >&2; exit 1; }
        install_all || { tail -n 20 "$log" >&2; echo "setup: could not install$missing" >&2; exit 1; }
    fi
fi

# The page's packages and those of its tests, pinned by their lock files.
for folder in page tests/page; do
    [ "$tests" = yes ] || [ "$folder" = page ] || continue
    lock="$here/$folder/package-lock.json"
    if [ ! -f "$lock" ] || cmp -s "$lock" "$here/$folder/node_modules/.installed-lock.json"; then
        continue
    fi
    echo "setup: installing the npm packages of $folder"
    log_npm=$(mktemp)
    if (cd "$here/$folder" && PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1 npm ci --no-audit --no-fund --ignore-scripts \
        >"$log_npm" 2>&1 </dev/null); then
        cp "$lock" "$here/$folder/node_modules/.installed-lock.json"
        rm -f "$log_npm"
    else
        tail -n 20 "$log_npm" >&2
        rm -f "$log_npm"
        echo "setup: npm ci failed in $folder" >&2
        # Without the registry everything but the page of `snub serve` can still be built.
        [ "$tests" = no ] || exit 1
        echo "setup: going on; snub serve will have no page" >&2
    fi
done
