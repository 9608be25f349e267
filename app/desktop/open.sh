#!/bin/sh
# What the desktop's entry runs: a drive file, or a folder of them, on the page of `snub serve`, in the browser.
# Usage: open [FILE|FOLDER]   without one: the folder "snub" among the user's documents, with a drive to begin with.
#
# The address holds the key to the drive files, and arguments are seen by every account of the machine: the browser is
# given a file that only its owner can read, which leads on to the address.
set -u
snub=$(dirname "$(readlink -f "$0")")/../../bin/snub

# The terminal closes with the last line: whoever opened it by a double click wants to read why.
fail() {
    [ -z "$*" ] || echo "snub: $*" >&2
    if [ -t 0 ]; then
        printf 'Press Enter to close this window. '
        read -r _
    fi
    exit 2
}

place=${1:-}
if [ -z "$place" ]; then
    documents=$(xdg-user-dir DOCUMENTS 2>/dev/null)
    place=${documents:-$HOME}/snub
    mkdir -p "$place" || fail "cannot make the folder $place"
    drives=$(find "$place" -maxdepth 1 -name '*.yaml' -o -maxdepth 1 -name '*.yml')
    [ -n "$drives" ] || "$snub" new "$place/my drive.yaml" || fail
fi

umask 077
work=$(mktemp -d "${XDG_RUNTIME_DIR:-${TMPDIR:-/tmp}}/snub.XXXXXX") || fail "no room for a temporary file"
trap 'rm -rf "$work"' EXIT
"$snub" serve "$place" >"$work/address" &
server=$!
trap 'kill "$server" 2>/dev/null' INT TERM HUP
while [ ! -s "$work/address" ]; do
    kill -0 "$server" 2>/dev/null || fail # it has said why
    sleep 0.1
done
address=$(cat "$work/address")
cat >"$work/open.html" <<PAGE
<!doctype html>
<meta charset="utf-8">
<title>snub</title>
<meta http-equiv="refresh" content="0; url=$address">
<p><a href="$address">snub</a>
PAGE
echo "The page of $place is open at"
echo "  $address"
xdg-open "$work/open.html" >/dev/null 2>&1 || echo "No browser was found: copy the address above into one."
echo "Close this window, or press Ctrl+C, when you are done."
wait "$server"
wait "$server" # a signal ends the first
