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

for case in "61 8 1 1000 1000 1000" "61 1 1 1000 1000 1000" "5 16 2 1000 1000 1000" "61 8 2 19 1000 1000" "61 8 1 1000 10 1000" "0 8 1 9 9 9"; do
    # shellcheck disable=SC2086 # a list of words
    "$probe" $case >"$work/alone"
    check "alone, $case: says something" grep -q after "$work/alone"
    for ranks in 1 2 3; do
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
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
