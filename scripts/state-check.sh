#!/usr/bin/env bash
# The rooms keep no file-scope state: nothing of theirs may stand in a writable section, but the one lock that guards
# UDUNITS-2, and each thread's note that a tree of JSON lost a part. Usage: state-check.sh BUILD_DIR; the last line is `N passed, N failed`.
set -u
passed=0 failed=0
for library in "$1"/libsnub_*.a; do
    [ -e "$library" ] || continue
    # Section .data.rel.ro holds constants with addresses in them; the loader makes it read-only.
    found=$(objdump -t "$library" 2>/dev/null |
        grep -E '[[:space:]]O[[:space:]]+\.(data|bss|tdata|tbss)(\.[A-Za-z_0-9]+)*[[:space:]]' |
        grep -vE '\.data\.rel\.ro' | grep -vE '[[:space:]](udunits_turn|json_lost)$' || true)
    if [ -n "$found" ]; then
        echo "$(basename "$library") keeps state:"
        echo "$found"
        failed=$((failed + 1))
    else
        passed=$((passed + 1))
    fi
done
[ $((passed + failed)) -gt 0 ] || { echo "no libraries in $1"; failed=1; }
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
