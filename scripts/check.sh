#!/usr/bin/env bash
# Runs everything there is to check and sums it up. The last line is `N passed, N failed`.
# SNUB_CHECK_DIR: where to build (default build); SNUB_FUZZ_SECONDS: fuzzing in all (default 15).
set -u
cd "$(dirname "$0")/.." || exit 1
top=${SNUB_CHECK_DIR:-build}
jobs=$(nproc)
lanes=$((jobs + 1)) # a page waits half of its time: its suites come first, one at a time, and what runs beside them gives way
passed=0 failed=0
mkdir -p "$top"
log=$top/check.log
: >"$log"

started=$(date +%s)

say() { printf '\n== %s (after %d s)\n' "$*" "$(($(date +%s) - started))"; }

# Adds the `N passed, N failed` at the end of a step's output; a step without one is a failure.
add() {
    local name=$1 output=$2 code=$3 counts
    printf '%s\n' "$output" | tee -a "$log"
    counts=$(printf '%s\n' "$output" | grep -E '^[0-9]+ passed, [0-9]+ failed$' | tail -n 1)
    if [ -z "$counts" ]; then
        echo "FAILED $name: no summary"
        failed=$((failed + 1))
        return
    fi
    passed=$((passed + ${counts%% passed*}))
    local f=${counts##*, }
    f=${f%% failed}
    failed=$((failed + f))
    if [ "$code" -ne 0 ] && [ "$f" -eq 0 ]; then
        echo "FAILED $name: exit code $code"
        failed=$((failed + 1))
    fi
}

# Compilers ask for memory in many small steps and give all of it back at once; on a virtual machine each page costs as much as a
# thousand instructions. With huge pages, where the system has some, clang takes a sixth less of the processor.
plenty=glibc.malloc.hugetlb=1:glibc.malloc.top_pad=33554432:glibc.malloc.trim_threshold=268435456:glibc.malloc.mmap_threshold=268435456

# Configure and build; a failure is shown and counted, and the step goes no further.
build() {
    local preset=$1
    if cmake --preset "$preset" -B "$top/$preset" >"$top/$preset.log" 2>&1 &&
        GLIBC_TUNABLES=$plenty cmake --build "$top/$preset" -j "$jobs" -- -k 0 >>"$top/$preset.log" 2>&1; then
        return 0
    fi
    grep -E 'FAILED:|error:|Error' "$top/$preset.log" | head -n 40 | tee -a "$log"
    echo "FAILED build $preset (see $top/$preset.log)"
    failed=$((failed + 1))
    return 1
}

# Builds in what the suites leave of the machine. Nothing is counted: whoever needs the build asks for it once more.
build_beside() {
    (cmake --preset "$1" -B "$top/$1" && exec nice -n 19 env GLIBC_TUNABLES=$plenty cmake --build "$top/$1" -j 1 -- -k 0) >"$top/beside.log" 2>&1 &
    beside=$!
}
# The suites have left: all of the machine may go on with what is not built yet.
end_beside() {
    pkill -TERM -P "$beside" # ninja takes back what it had begun, and cmake ends with it
    wait "$beside"
}

run_suites() {
    local preset=$1
    shift
    rm -f "$top/$preset/results.xml"
    ctest --test-dir "$top/$preset" -j "$lanes" --output-junit results.xml \
        --test-output-size-passed 4000000 --test-output-size-failed 4000000 "$@" >"$top/$preset-ctest.log" 2>&1 </dev/null
    output=$(/usr/bin/python3 scripts/sum-tests.py "$top/$preset/results.xml")
    add "suites of $preset" "$output" $?
}

# A script that checks the sources: itself first, on made-up faults, then the tree.
check_sources() {
    local name=$1 script=$2
    shift 2
    output=$(/usr/bin/python3 "$script" --self-test)
    add "$name, self-test" "$output" $?
    output=$(/usr/bin/python3 "$script" "$@")
    add "$name" "$output" $?
}

say "rooms know only the rooms above them"
check_sources "include check" scripts/include-check.py
say "every message has its translation; the pages of findings and cautions say what the lists say"
check_sources "messages" scripts/messages-check.py
check_sources "page of findings" scripts/findings-page.py --check
check_sources "page of cautions" scripts/cautions-page.py --check
say "no maker, suffix code or author of a book where a user looks"
check_sources "names" scripts/names-check.py
say "types of the page and of its tests"
output=$(scripts/types-check.sh)
add "types" "$output" $?

say "gcc, as installed: all suites"
build release
build_beside asan
run_suites release
output=$(scripts/state-check.sh "$top/release")
add "state check" "$output" $?
output=$(/usr/bin/python3 scripts/include-check.py --objects "$top/release")
add "circles of files" "$output" $?
check_sources "public functions" scripts/public-check.py "$top/release"

say "clang, warnings are errors; address and undefined behaviour sanitizers: unit, published and command line suites"
end_beside
build asan
run_suites asan -L '^(unit|published|cli|replay)$' -E '^cli_(cautions|guide_commands|plain_words|outputs|many_builds|packages|mutated|ranges|defaults|renames|units|progress|languages|papers|fit|search|search_kits|share|tolerate|tolerate_builds|tolerate_spread|chart|calm|parts_files|house|faults_saving|own_numbers|keys|step_pictures|parts_faults|same_size|travel|swing_agrees|shown_case|guide_basis|guide_keys|memory_faults|drawn|mends|steps|remedies|measure_circles|bill|serve_other_account|tolerance_samples|tolerances|motion_runs|sweep|faults_killed|serve_crowd|first_pages|unjudged)$' # slow, and alike to other commands; or they measure memory

say "a short soak"
output=$(/usr/bin/python3 scripts/soak.py --self-test)
add "soak, self-test" "$output" $?
output=$(SNUB_BUILD_DIR="$top/release" SNUB_FUZZ_BUILD="$top/asan" /usr/bin/python3 -B scripts/soak.py --short 2>&1)
add "short soak" "$output" $?

say "layout of the C sources"
output=$(scripts/format-check.sh)
add "layout" "$output" $?

say "all of it"
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
