#!/usr/bin/env bash
# Builds the fuzz targets and runs them for some seconds in all, shared evenly. Usage: fuzz.sh SECONDS
# Inputs found on the way go to build/asan/found, failing ones to build/asan/failing; the corpus in tests/ is only read.
# The last line is `N passed, N failed`, one for each target.
set -u
cd "$(dirname "$0")/.." || exit 1
seconds=${1:-60}
build=${SNUB_FUZZ_BUILD:-build/asan}
passed=0 failed=0
cmake --preset asan -B "$build" >/dev/null && cmake --build "$build" -j "$(nproc)" --target fuzzers >"$build/build.log" 2>&1 || {
    grep -E 'error|FAILED' "$build/build.log" | head -n 20
    echo "0 passed, 1 failed"
    exit 1
}
targets=()
for file in "$build"/fuzz_*; do [ -x "$file" ] && targets+=("$file"); done
[ ${#targets[@]} -gt 0 ] || { echo "no fuzz targets"; echo "0 passed, 0 failed"; exit 0; }
each=$((seconds * $(nproc) / ${#targets[@]}))
[ "$each" -ge 1 ] || each=1

run_one() {
    local name corpus found
    name=$(basename "$1")
    corpus=tests/fuzz/corpus/${name#fuzz_}
    found=$build/found/${name#fuzz_}
    mkdir -p "$found" "$build/failing" "$corpus"
    LSAN_OPTIONS=suppressions=scripts/leaks.supp:print_suppressions=0 OPENBLAS_NUM_THREADS=1 \
        "$1" -max_total_time="$each" -timeout=20 -rss_limit_mb=2048 -max_len=65536 -print_final_stats=0 \
        -artifact_prefix="$build/failing/${name#fuzz_}-" "$found" "$corpus" >"$build/$name.log" 2>&1 </dev/null
}
export -f run_one
export build each
printf '%s\n' "${targets[@]}" | xargs -P "$(nproc)" -I{} bash -c 'run_one {}; echo $? >"$build/$(basename {}).code"'
for target in "${targets[@]}"; do
    name=$(basename "$target")
    if [ "$(cat "$build/$name.code")" = 0 ]; then
        passed=$((passed + 1))
        echo "$name: $(grep -oE '#[0-9]+' "$build/$name.log" | tail -n 1 | tr -d '#') inputs in $each s"
    else
        failed=$((failed + 1))
        echo "FAILED $name:"
        input=$(sed -n 's/^.*Test unit written to //p' "$build/$name.log" | head -n 1)
        [ -f "$input" ] && echo "input through gzip and base64, no more than 1800 letters: $(gzip -9 <"$input" | base64 -w 0 | head -c 1800)"
        grep -E 'ERROR|SUMMARY|runtime error|tests/fuzz/fuzz_|Test unit written|^Base64' "$build/$name.log" | head -n 8
    fi
done
rmdir --ignore-fail-on-non-empty tests/fuzz/corpus/* 2>/dev/null
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
