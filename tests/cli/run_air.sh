#!/usr/bin/env bash
# Air: pressure drops belong to the parts.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

# boost_at WHAT WANT RPM SETTING...: boost of a steady full throttle at an engine speed, kPa
boost_at() {
    local rpm=$1
    shift
    local sets=()
    for word in "$@"; do sets+=(--set "$word"); done
    run sweep "$drive" --json --no-offers --speeds 2 --case steady "${sets[@]}" --set engine.idle="$rpm" --set belt.friction.limit.rib=5
    printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(f\"{json.load(sys.stdin)['ways']['steady']['points'][0]['boost_kPa']:.9f}\")"
}
expect_near() { # WHAT A B
    if /usr/bin/python3 -c "import sys; a, b = map(float, sys.argv[1:]); sys.exit(not (abs(a - b) < 1e-6 and a > 20))" "$2" "$3"; then good; else bad "$1" "$2 and $3 kPa"; fi
}

expect_near "the redline changes no boost at 3475 rpm" "$(boost_at 3475 engine.redline=4000)" "$(boost_at 3475 engine.redline=7500)"

# One kit at 2500 m, its drops as a bench gives them and as a gauge on the mountain would: 5 kPa (101325/74682) at that
# flow; 74.682 kPa: 1976 standard atmosphere at 2500 m (74.6825 kPa in its table).
high=air.altitude="2500 m"
bench=$(boost_at 5000 air.pressure=null "$high")
there=$(boost_at 5000 air.pressure=null "$high" 'cooler.density={pressure: 74.6825, temperature: 25}' \
    "cooler.pressure_drop=$(/usr/bin/python3 -c 'print(5*101.325/74.6825)')" "cooler.inlet_pressure_drop=$(/usr/bin/python3 -c 'print(1.6*101.325/74.6825)')")
expect_near "two ways to write the kit at 2500 m agree" "$bench" "$there"

# Without its flow: the error gives the number, and the number does what the file of before meant.
run check "$drive" --set cooler.flow=null
expect_code "a drop without its flow" 2
expect_text "it gives the number to write" "$err" "0.1622 kg/s"
expect_text "at the flow" "$err" "cooler.flow: is missing"

# A centrifugal's map holds at one temperature, and the output says which one was taken.
spun=$SNUB_SOURCE_DIR/examples/sedgemere-centrifugal.yaml
for command in "check --rpm 5000" "sweep --no-offers --speeds 3" "sweep --want-boost 40"; do
    run ${command%% *} "$spun" ${command#* } --set blower.blower.map_temperature=null
    expect_text "$command says the map's temperature" "$(printf '%s' "$out" | tr -s ' \n' ' ')" "map is taken to hold for an inlet at 25 degC"
    run ${command%% *} "$spun" ${command#* }
    expect_no_text "$command is silent where it is given" "$out" "taken to hold"
done
drive=$spun
cold=$(boost_at 5000 air.temperature=-10) mild=$(boost_at 5000 air.temperature=15) hot=$(boost_at 5000 air.temperature=40)
if /usr/bin/python3 -c "import sys; a, b, c = map(float, sys.argv[1:]); sys.exit(not a > b + 1 > c + 2)" "$cold" "$mild" "$hot"; then good; else bad "cold air makes more boost" "$cold $mild $hot kPa"; fi

# What the file leaves out is a finding, in every command.
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
for command in check sweep; do
    run $command "$drive" --json --set blower.blower.leakage_speed=null
    json "$command: no leakage" "any(f['rule'] == 'no_leakage' and f['level'] == 'marginal' and f['pulley'] == 'blower' and f['value'] > 100 for f in d['findings'])"
done
run chart "$drive" --json --set blower.blower.leakage_speed=null
json "chart: no leakage" "any(f['rule'] == 'no_leakage' for b in d['builds'] for f in b['findings'])"
finish
