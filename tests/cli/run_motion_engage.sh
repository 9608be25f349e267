#!/usr/bin/env bash
# snub motion --run engage: the blower's clutch closes; what it tells, what it refuses, on other drives.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run motion "$drive" --run engage --rpm 2500 --even --json
expect_code "engage" 0
json "locks once" "[e['what'] for e in d['events'] if e['what'] != 'arm sticks'] == ['clutch slips'] and abs(d['events'][0]['to_s'] - d['clutch']['locks_at_s']) < 1e-9 or d['clutch']['locks_at_s'] > 0.3"
json "both assumptions are told" "sum('--clutch-' in a for a in d['assumed']) == 2"
json "energy adds up" "abs(d['energy_J']['left_over']) < 1e-6 * d['energy_J']['work'] and d['energy_J']['clutch'] == d['clutch']['heat_J'] > 0"
# The shaft gets J w^2/2, and at least as much is heat: 0.0014 kg m2 less the rim, at 2500 rpm over 162/88 outside.
json "heat is over what the shaft has" "d['clutch']['heat_J'] > 0.5 * (0.0014 - d['clutch']['rim_kg_m2']) * (2500 * 1.7 * 3.14159 / 30) ** 2"
json "the arm ends where check has it with the blower on" "d['arm']['balance_band_deg'][0] - 0.02 < d['arm']['end_deg'] < d['arm']['balance_band_deg'][1] + 0.02"
# Greatest between idle and redline, at neither end.
run motion "$drive" --run engage --rpm 2500 --even --json --set "blower.load=[[500, 10], [3000, 10], [3500, 20], [5500, 20], [6000, 10], [20000, 10]]"
json "it carries half as much again as the blower's greatest torque" "abs(d['clutch']['torque_N_m'] - 30) < 1e-9"
run motion "$drive" --run engage --rpm 2500 --even --json --clutch-torque 60 --clutch-rise 0.02
json "a strong clutch is quicker, and as given" "d['clutch']['takes_s'] < 0.04 and d['clutch']['torque_N_m'] == 60 and d['clutch']['rises_in_s'] == 0.02 and not any('--clutch-' in a for a in d['assumed'])"
json "and the belt feels it" "max(s['tension_N']['high'] for s in d['spans']) > 1200"
run motion "$drive" --run engage --rpm 2500 --even --json --clutch-torque "30 lbf ft"
json "another unit" "abs(d['clutch']['torque_N_m'] - 40.675) < 1e-3"
run motion "$drive" --run engage --rpm 5000 --even --json --clutch-torque 6 --seconds 0.6
json "one that is too weak slips to the end" "d['clutch']['locks_at_s'] is None and d['clutch']['takes_s'] is None and d['events'][-1]['to_s'] == d['ended_s'] and d['whole']"
run motion "$drive" --run engage --rpm 5000 --even --clutch-torque 6 --seconds 0.6
expect_text "in text" "$out" "slips all the time"
run motion "$drive" --run engage
expect_text "how long it takes" "$out" "ms after it began"
expect_text "what slips" "$out" "clutch of blower slips for"
expect_width "80 columns" "$out" 80
run motion "$drive" --run engage --seconds 0.5 --csv - --every 0.1 --json
expect_text "columns" "$out" "speed of blower"

for other in ironbrook-v8 sedgemere-locked sedgemere-centrifugal; do
    run motion "$SNUB_SOURCE_DIR/examples/$other.yaml" --run engage --even --json
    json "$other" "d['whole'] and d['clutch']['locks_at_s'] > 0.3 and abs(d['energy_J']['left_over']) < 2e-6 * d['energy_J']['work']"
done

run motion "$drive" --run engage --seconds 0.35
expect_code "it ends before the clutch has closed" 2
expect_text "says when it does" "$err" "closes from 0.3 to 0.4 s"
run motion "$drive" --run engage --set blower.overruns=true
expect_code "two clutches in one pulley" 2
expect_text "says which" "$err" "overruns"
run motion "$drive" --run engage --clutch-torque 0
expect_code "no torque" 2
run motion "$drive" --run engage --clutch-rise 0
expect_code "no time" 2
run motion "$drive" --run hold --clutch-torque 20
expect_code "a clutch without engage" 2
run motion "$drive" --clutch-rise 0.2
expect_code "a clutch without a run" 2
cat >"$work/none.yaml" <<'END'
snub: 1
belt: {section: PK, ribs: 6, length: 1000}
engine: {idle: 700, redline: 6000}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: tensioner, side: back, diameter: 70, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw, travel: 32, preload: 20, rate: 0.4 N m/deg, damping: 0.2}}
  - {name: pump, at: [-20, 320], diameter: 70, load: [[500, 2], [20000, 2]]}
END
run motion "$work/none.yaml" --run engage --set belt.length=1016
expect_code "no blower" 2
expect_text "says so" "$err" "needs a pulley with a blower"
finish
