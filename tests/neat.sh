#!/bin/sh
# neat.sh COMMAND...: run a test with a temporary folder of its own, and (as root) in a mount namespace of its own. Folder
# and mounts are gone afterwards, also where the test, this script, or both are killed.
set -u
folder=$(mktemp -d "${TMPDIR:-/tmp}/snub-neat-XXXXXX") || exit 1
mkfifo "$folder/alive" && mkdir "$folder/tmp" && chmod 755 "$folder" && chmod 1777 "$folder/tmp" || exit 1

# Reads until this script no longer holds the other end. It has a session of its own, so that what ends the script does
# not end it. The second try is for a child of the test that was still writing.
setsid sh -c 'cat "$1/alive" >/dev/null
for pause in 1 2; do
    [ -e "$1" ] || exit 0
    chmod -R u+rwx "$1"
    rm -rf "$1"
    sleep $pause
done' sh "$folder" </dev/null >/dev/null 2>&1 &
exec 9>"$folder/alive"

export TMPDIR="$folder/tmp"
# The test ends with this script: else it would go on in a folder that is gone.
if unshare --mount --propagation private true 2>/dev/null; then
    unshare --mount --propagation private setpriv --pdeathsig KILL "$@" 9>&-
else
    setpriv --pdeathsig KILL "$@" 9>&-
fi
code=$?
exec 9>&-
chmod -R u+rwx "$folder" 2>/dev/null
rm -rf "$folder"
exit $code
