#!/usr/bin/env bash
# What snub does, on the example kit. Usage: demo.sh BUILD_DIR DRIVE_FILE JOBS
set -eu
cd "$(dirname "$0")/.."
build=$1 drive=$2 jobs=$3
scripts/setup.sh --no-tests
echo "building snub in $build"
page=ON
[ -d page/node_modules/esbuild ] || page=OFF # no npm registry: setup has said so
cmake --preset release -B "$build" -DSNUB_PAGE=$page >/dev/null
cmake --build "$build" -j "$jobs" --target snub >"$build/demo-build.log" 2>&1 || {
    tail -n 30 "$build/demo-build.log" >&2
    exit 1
}
snub=$build/snub

show() {
    printf '\n$ snub %s\n' "$*"
    local code=0
    "$snub" "$@" || code=$?
    # 1 says that a finding fails: an answer, not a fault.
    [ "$code" -le 1 ] || exit "$code"
}

show check "$drive" --rpm 3000
show chart "$drive"
show draw "$drive" --output "$build/sedgemere.svg"
log=examples/logs/sedgemere-slips.csv # invented, as the kit is
show log "$log" "$drive" --set blower.diameter=70
show fit "$log" "$drive" --set blower.diameter=70 --no-chart
cat <<TEXT

What to look at:
  - the check above: one build at 3000 rpm. Each pulley's wrap, tensions and grip used (1 slips), then the findings.
  - the chart: every engine front, package and pulley that the kit sells, the stock belt it takes, and whether to sell it.
  - the log, invented: a pull on a 70 mm pulley that slips at the crank, and the friction that fits it. The chart's belt and
    mark for that pulley cure it: docs/guide/log.md.
  - the drawing: $build/sedgemere.svg, from the front of the engine.
Next: change a diameter in $drive and run \`$snub check $drive\`, or \`$snub help\`.
TEXT
