#!/usr/bin/env bash
# A test leaves neither files nor mounts behind, whatever ends it: tests/neat.c.
. "$(dirname "$0")/lib.sh"
neat=$SNUB_BUILD_DIR/neat
export TMPDIR=$work/base
mkdir "$TMPDIR"

# A test that makes files, a read-only folder and, where it may, a mount; then it tells that it is there, and waits.
cat >"$work/litter.sh" <<'E_LITTER'
made=$(mktemp -d)
mkdir "$made/shut" && touch "$made/shut/file" && chmod 555 "$made/shut"
mkdir "$made/disk" && mount -t tmpfs -o size=64k none "$made/disk" 2>/dev/null && touch "$made/disk/file" && grep -c "$made/disk" /proc/self/mounts >"$1.mounted"
echo $$ >"$1"
case $2 in
wait) sleep 30 >/dev/null 2>&1 & exec sleep 60 ;; # a child that outlives it does not hold the folder
*) exit "$2" ;;
esac
E_LITTER

# await COMMAND...: until it holds, ten seconds at most
await() {
    for _ in $(seq 100); do
        "$@" && return 0
        sleep 0.1
    done
    return 1
}
gone() { ! kill -0 "$1" 2>/dev/null || grep -q '^State:.*Z' "/proc/$1/status" 2>/dev/null; } # in some containers nobody takes notice of an orphan's end
nothing_left() { [ -z "$(ls -A "$TMPDIR")" ]; }
expect_nothing() {
    if await nothing_left; then good; else bad "$1: files" "left: $(find "$TMPDIR" | head -5)"; fi
    expect_same "$1: mounts" "$(grep -F "$work" /proc/self/mounts)" ""
}

for want in 0 7; do
    "$neat" sh "$work/litter.sh" "$work/ended$want" "$want"
    expect_same "code $want is passed on" "$?" "$want"
    if nothing_left; then good; else bad "a test that ended $want" "left: $(ls -A "$TMPDIR")"; fi
    expect_nothing "a test that ended $want"
done
# Another account than root may not remove what is in a folder without rights: they are given back first.
if [ "$(id -u)" -eq 0 ]; then
    chmod 711 "$work"
    chmod 1777 "$TMPDIR"
    cp "$neat" "$work/neat" # where it may be run
    setpriv --reuid 65534 --clear-groups "$work/neat" sh "$work/litter.sh" "$TMPDIR/of another" 7
    expect_same "another account: code 7 is passed on" "$?" 7
    rm -f "$TMPDIR/of another"*
    expect_nothing "another account's test"
fi
[ "$(id -u)" -ne 0 ] || unshare --mount true 2>/dev/null && [ ! -s "$work/ended0.mounted" ] && echo "nothing could be mounted here"

for victim in test script both; do
    "$neat" sh "$work/litter.sh" "$work/pid.$victim" wait &
    script=$!
    await test -s "$work/pid.$victim" || bad "$victim: started"
    test=$(cat "$work/pid.$victim")
    if nothing_left; then bad "$victim: there is something to leave behind"; else good; fi
    case $victim in
    test) kill -9 "$test" ;;
    script) kill -9 "$script" ;;
    both) kill -9 "$script" "$test" ;;
    esac
    wait "$script" 2>/dev/null
    if await gone "$test"; then good; else bad "killed: $victim" "the test goes on"; fi
    expect_nothing "killed: $victim"
done
finish
