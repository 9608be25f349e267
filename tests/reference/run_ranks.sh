#!/bin/bash
# Processes of mpirun that share a study say what one process says, to the bit; one that is lost ends it with a word.
# Last line: `N passed, N failed`.
set -u
probe=$SNUB_BUILD_DIR/ranks_probe
[ -x "$probe" ] && command -v mpirun >/dev/null || { echo "Open MPI is not installed: not run"; exit 77; }
export OMPI_MCA_btl=self,vader OMPI_MCA_rmaps_base_oversubscribe=1 OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1
export OMPI_MCA_plm_rsh_agent=false HWLOC_COMPONENTS=-gl
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0 failed=0
check() { # NAME, then a command that is true
    local name=$1
    shift
    if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED $name"; fi
}

# PID of a timeout: it is saved every ten seconds by the clock, and the processor is not needed for most of them.
stand_still() {
    sleep 1
    local ranks
    ranks=$(pgrep -P "$(pgrep -P "$1")")
    # shellcheck disable=SC2086
    kill -STOP $ranks && sleep 8.5 && kill -CONT $ranks
}

for case in "61 8 1 1000 1000 1000" "61 1 1 1000 1000 1000" "5 16 2 1000 1000 1000" "61 8 2 19 1000 1000" "61 8 1 1000 10 1000" "0 8 1 9 9 9"; do
    # shellcheck disable=SC2086 # a list of words
    "$probe" $case >"$work/alone"
    check "alone, $case: says something" grep -q after "$work/alone"
    for ranks in 2 3; do
        # shellcheck disable=SC2086
        timeout 60 mpirun -n $ranks "$probe" $case >"$work/ranks" 2>"$work/said"
        check "$ranks ranks, $case: it ends well" test $? -eq 0
        check "$ranks ranks, $case: same bytes" cmp -s "$work/alone" "$work/ranks"
    done
done
check "the sum is that of Python: 0.48645920750561655" grep -q "^60 0\.48645920750561655$" <("$probe" 61 8 1 1000 1000 1000)

timeout 60 mpirun -n 2 "$probe" 61 8 1 1000 1000 20 >"$work/ranks" 2>"$work/said"
check "a lost rank: it does not end well" test $? -ne 0
check "a lost rank is told" grep -q "rank 1" "$work/said"
check "a lost rank: what was taken before stands" grep -q "^15 " "$work/ranks"
check "a lost rank: nothing is taken of its round" test -z "$(grep "^16 " "$work/ranks")"
# The program: a study of tolerances by two and three processes, and one that loses a rank and goes on.
snub=$SNUB_BUILD_DIR/snub-ranks file=$SNUB_SOURCE_DIR/examples/three-pulleys-scatter.yaml
"$snub" tolerate "$file" --kits 200 --seed 3 --json --csv "$work/alone.csv" >"$work/alone"
check "alone: kits" grep -q '"samples": 200' "$work/alone"
for ranks in 2 3; do
    rm -f "$work/ranks.csv"
    timeout 100 mpirun -n $ranks "$snub" tolerate "$file" --kits 200 --seed 3 --threads 1 --json --csv "$work/ranks.csv" >"$work/ranks" 2>"$work/said"
    check "tolerate, $ranks ranks: it ends well" test $? -eq 0
    check "tolerate, $ranks ranks: same answer" cmp -s "$work/alone" "$work/ranks"
    check "tolerate, $ranks ranks: same kits" cmp -s "$work/alone.csv" "$work/ranks.csv"
done
kit=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
"$snub" tolerate "$kit" --builds 2,9 --kits 40 --json --csv "$work/alone.csv" >"$work/builds"
check "alone: builds" test "$(grep -c '"samples": 40' "$work/builds")" = 2
timeout 100 mpirun -n 2 "$snub" tolerate "$kit" --builds 2,9 --kits 40 --threads 1 --json --csv "$work/ranks.csv" --state "$work/many" >"$work/ranks" 2>"$work/said"
check "builds, 2 ranks: same answer" cmp -s "$work/builds" "$work/ranks"
check "builds, 2 ranks: same kits" cmp -s "$work/alone.csv" "$work/ranks.csv"
check "builds, 2 ranks: a state for each" test -s "$work/many-2" -a -s "$work/many-9"
check "wrong options are told once" test "$(mpirun -n 2 "$snub" tolerate "$file" --kits 0 2>&1 | grep -c -- "--kits")" = 1
timeout 100 mpirun -n 2 "$snub" tolerate "$file" --kits 120 --seed 3 --state "$work/state" >/dev/null 2>&1
check "the state of two ranks" grep -q snub_tolerate "$work/state"
timeout 100 mpirun -n 2 "$snub" tolerate "$file" --kits 100000 --seed 3 --threads 1 --state "$work/long" >"$work/ranks" 2>"$work/said" &
all=$!
stand_still "$all"
for _ in $(seq 600); do [ -s "$work/long" ] && break; sleep 0.1; done
check "a long study saves while it runs" test -s "$work/long"
lost=$(pgrep -P "$(pgrep -P "$all")" | tail -1) # of timeout, of mpirun
kill -9 "${lost:-0}"
wait "$all"
check "tolerate loses a rank: it does not end well" test $? -ne 0
check "tolerate loses a rank: it is told" grep -Eq "rank [01]" "$work/said"
"$snub" tolerate "$file" --kits 200 --seed 3 --json --state "$work/long" >"$work/after"
check "what was saved goes on, to the same answer" cmp -s "$work/alone" "$work/after"
# A search: its candidates' builds are shared.
bracket=$SNUB_SOURCE_DIR/tests/cli/search_bracket.yaml
aims=(--set "search.aims=[bearing life, least change]" --set search.hold=today --seed 3)
mkdir "$work/out1" "$work/out2" "$work/out3"
"$snub" search "$bracket" "${aims[@]}" --tries 60 --kits 24 --json --out "$work/out1" >"$work/alone"
check "alone: a search proposes" grep -q '"search_bracket-1.yaml\|search_bracket-1.yaml"' "$work/alone"
for ranks in 2 3; do
    timeout 100 mpirun -n $ranks "$snub" search "$bracket" "${aims[@]}" --tries 60 --kits 24 --threads 1 --json --out "$work/out$ranks" >"$work/ranks" 2>"$work/said"
    check "search, $ranks ranks: it ends well" test $? -eq 0
    check "search, $ranks ranks: same answer" cmp -s "$work/alone" <(sed "s|/out$ranks/|/out1/|" "$work/ranks")
    check "search, $ranks ranks: same files" diff -r "$work/out1" "$work/out$ranks"
done
timeout 100 mpirun -n 2 "$snub" search "$bracket" "${aims[@]}" --tries 100000 --kits 0 --threads 1 --state "$work/search" >/dev/null 2>"$work/said" &
all=$!
stand_still "$all"
for _ in $(seq 600); do [ -s "$work/search" ] && break; sleep 0.1; done
check "a long search saves while it runs" test -s "$work/search"
lost=$(pgrep -P "$(pgrep -P "$all")" | tail -1)
kill -9 "${lost:-0}"
wait "$all"
check "search loses a rank: it does not end well" test $? -ne 0
check "search loses a rank: it is told" grep -Eq "rank [01]" "$work/said"
cp "$work/search" "$work/before"
timeout 100 mpirun -n 2 "$snub" search "$bracket" "${aims[@]}" --tries 100000 --kits 0 --threads 1 --state "$work/search" --json >"$work/after" 2>"$work/said" &
all=$!
stand_still "$all"
for _ in $(seq 600); do cmp -s "$work/search" "$work/before" || break; sleep 0.1; done
kill -INT "$(pgrep -P "$all")" # mpirun hands it on
wait "$all"
check "what was saved goes on" test "$(wc -c <"$work/search")" -gt "$(wc -c <"$work/before")"
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
