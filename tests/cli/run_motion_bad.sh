#!/usr/bin/env bash
# snub motion with what is missing or wrong: each is told with its place, and what can be answered is.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

# told() FILE_EDIT WANT...: the example with a line of sed; the message has line, column and each word.
told() {
    local name=$1 edit=$2
    shift 2
    sed "$edit" "$drive" >"$work/bad.yaml"
    run motion "$work/bad.yaml"
    expect_code "$name" 2
    for want in "$@"; do expect_text "$name: $want" "$err" "$want"; done
}

told "a firing interval too few" 's/^  cylinders: 6/  cylinders: 6\n  firing: [120, 120, 120, 120, 120]/' "bad.yaml:15:11:" "engine.firing" "5 intervals" "engine.cylinders"
told "intervals that do not add up" 's/^  cylinders: 6/  cylinders: 6\n  firing: [120, 120, 120, 120, 120, 100]/' "bad.yaml:15:11:" "adds to 700 deg" "720 deg"
told "one that goes back" 's/^  cylinders: 6/  cylinders: 6\n  firing: [120, 120, 120, 120, 120, -120]/' "bad.yaml:15:37:" "engine.firing.5" "negative"
told "no damping at all of a span" 's/^  ribs: 7/  ribs: 7\n  flap_damping: 0/' "bad.yaml:34:17:" "belt.flap_damping" "is zero"
told "an inertia below 0" 's/inertia: 0.0014/inertia: -0.0014/' "bad.yaml:" "blower.inertia" "is negative"
told "an order of 0" 's/^  cylinders: 6/  cylinders: 6\n  irregularity: {speed: [600], order: [0], angle: [[1]]}/' "bad.yaml:15:40:" "order.0"

run motion "$drive" --rpm 2000 --json --set blower.inertia=0 --set alternator.inertia=0
json "without inertias: by kind and size, said" "{i['name']: i['basis'] for i in d['inertias'] if i['assumed']}['blower'].startswith('assumed: a steel rim 3 mm thick, and rotors') and len(d['modes']) > 5"
run motion "$drive" --rpm 2000 --set blower.inertia=0
expect_text "in text" "$out" "Inertias that the file does not give, by rules of thumb: "
run motion "$drive" --rpm 2000 --json --set tensioner.arm.damping=0
json "an arm without friction" "d['orders'] and not any(o['arm_sticks'] for o in d['orders'])"
run motion "$drive" --rpm 2000 --json --set engine.displacement=null --set engine.cylinders=null --set engine.volumetric_efficiency=null --set blower.blower=null --set 'blower.load=[[2000, 5], [12000, 9]]'
json "no engine to go by: the crank free has no modes and says why, held has" "[m['crank'] for m in d['modes_missing']] == ['free'] and 'inertia' in d['modes_missing'][0]['why'] and {m['crank'] for m in d['modes']} == {'held'} and d['spans'][0]['frequencies_Hz']"
json "and what shakes it is missing, with the key" "d['irregularity']['source'] is None and 'engine.' in d['irregularity']['missing']"
run motion "$drive" --rpm 2000 --set engine.displacement=null --set engine.cylinders=null --set engine.volumetric_efficiency=null --set blower.blower=null --set 'blower.load=[[2000, 5], [12000, 9]]'
expect_text "in text: why" "$out" "engine.inertia"
# No balance: the belt is far too long. The rest is answered.
run motion "$drive" --json --set belt.length=2400
json "no balance: no modes, with the reason; inertias and unevenness are there" "d['modes'] == [] and all(m['why'] for m in d['modes_missing']) and d['inertias'] and d['no_equilibrium']"
run motion "$drive" --run hold --seconds 0.1 --every 1 --csv "$work/x.csv"
expect_code "rows further apart than the run is long" 2
expect_text "says so" "$err" "longer than the run"
[ ! -e "$work/x.csv" ] && good || bad 'no file' 'there is one'
finish
