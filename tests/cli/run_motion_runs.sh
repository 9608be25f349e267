#!/usr/bin/env bash
# snub motion --run: the runs, what they tell, agreement with check, CSV, plot, bad input, other tensioners and units.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
rough='engine.irregularity={speed: [600, 6000], order: [3], angle: [[5], [5]]}'
wild='engine.irregularity={speed: [600, 6000], order: [1], angle: [[40], [40]]}'
holds='belt.friction.limit={rib: 3, back: 3}' # spans go slack before anything slips

for name in pull shift lift blip launch; do
    run motion "$drive" --run $name --even --every 0.01 --json
    expect_code "$name" 0
    json "$name: to its end, energy in order" "d['whole'] and d['ended_s'] == d['course_s_rpm_open'][-1][0] and abs(d['energy_J']['left_over']) < 2e-6 * abs(d['energy_J']['work'])"
    json "$name: within the band of check" "d['arm']['balance_band_deg'][0] - 0.01 < d['arm']['end_deg'] < d['arm']['balance_band_deg'][1] + 0.01"
done
json "what the file does not say" "len(d['assumed']) == 1 and 'clutch is dropped' in d['assumed'][0]"
run motion "$drive" --run pull --even --json --set engine.accel_rate=null
json "a rate that is missing is assumed" "any('engine.accel_rate' in a for a in d['assumed'])"
json "at that rate" "abs(d['course_s_rpm_open'][3][0] - d['course_s_rpm_open'][1][0] - 5060 / 1500) < 1e-9"
run motion "$drive" --run blip --even --json --set engine.blips=4000
json "one that is given is taken" "not any('engine.blips' in a for a in d['assumed']) and max(p[1] for p in d['course_s_rpm_open']) == 3420"

run motion "$drive" --run hold --rpm 3000 --even --json --seconds 0.5 --set tensioner.arm.damping=0
json "keys" "{'run','what','verdict','build','events','spans','pulleys','arm','energy_J','inertias','assumed','belt_thrown_at_event'} <= set(d)"
json "held and even: nothing happens" "d['events'] == [] and d['ended_s'] == 0.5 and d['crank_even']"
here=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; d = json.load(sys.stdin); print([s['tension_N']['high'] for s in d['spans']], ',', d['arm']['end_deg'])")
run check "$drive" --json --rpm 3000 --set tensioner.arm.damping=0
json "tensions and arm as in check" "(lambda t, a: all(abs(s['tension_N'] - x) < 1 for s, x in zip(d['spans'], t)) and abs(d['arm']['wind_deg'] - a) < 2e-3)(*($here))"

run motion "$drive" --run hold --rpm 800 --seconds 0.3 --json --set "$rough" --set "$holds"
json "a rough crank swings spans slack, and the belt slips" "{'slack', 'slips'} <= {e['what'] for e in d['events']} and max(s['slack_share'] for s in d['spans']) > 0.01"
json "an event has its place and size" "all(e['at'] and e['to_s'] >= e['from_s'] and e['times'] >= 1 for e in d['events']) and all(e['loose_mm'] > 0 for e in d['events'] if e['what'] == 'slack')"
json "no tension below 0" "all(s['tension_N']['low'] >= 0 for s in d['spans'])"
run motion "$drive" --run hold --rpm 800 --seconds 0.3 --json --set "$rough"
json "with the friction of the file it slips first" "{'slips'} == {e['what'] for e in d['events']} - {'arm sticks'}"
run motion "$drive" --run hold --rpm 800 --seconds 0.3 --set "$rough" --set "$holds"
expect_text "in text" "$out" "slack"
expect_text "with how far it hangs" "$out" "mm loose"
expect_width "80 columns" "$out" 80
run motion "$drive" --run lift --even
expect_text "nothing happens" "$out" "Nothing slips, goes slack or strikes."
expect_text "the arm's end beside the balance" "$out" "the balance there"
run motion "$drive" --run lift --even --json --set alternator.overruns=true --set alternator.inertia=0.02
json "an overrunning pulley lets go" "[e['at'] for e in d['events'] if e['what'] == 'freewheels'] == ['alternator'] and [p['rim_kg_m2'] > 0 for p in d['pulleys'] if 'rim_kg_m2' in p] == [True]"

# A belt that is too loose to stay on: a span hangs for longer than it runs through.
run motion "$drive" --run hold --rpm 800 --seconds 0.4 --json --set "$wild" --set "$holds"
json "thrown" "d['belt_thrown_at_event'] is not None and d['events'][d['belt_thrown_at_event']]['what'] == 'slack'"
run motion "$drive" --run hold --rpm 800 --seconds 0.4 --set "$wild" --set "$holds"
expect_text "in text" "$out" "may be thrown"

# Speeds that the engine does not run at: the sedgemere's are 640 to 5700 rpm, both in.
for at in "600:below idle" "640:" "5700:" "5800:over the redline"; do
    run motion "$drive" --run hold --rpm "${at%%:*}" --seconds 0.05 --json
    json "held at ${at%%:*}" "(d['outside'] or '') == '${at#*:}'"
done
run motion "$drive" --run hold --rpm 9000 --seconds 0.05
expect_text "in text" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "This run is over the redline: 9000 rpm, and the file's engine runs from 640 to 5700 rpm. The verdict does not cover this speed."
run motion "$drive" --run engage --rpm 500 --json --seconds 0.5
json "a clutch that closes" "d['outside'] == 'below idle'"
run motion "$drive" --run hold --seconds 0.05
case $out in *"This run is"*) bad "idle is in" "$out" ;; *) good ;; esac

run motion "$drive" --run hold --rpm 2000 --seconds 0.1 --csv "$work/run.csv" --plot "$work/run.svg"
expect_code "with files" 0
if [ "$(wc -l <"$work/run.csv")" -eq 102 ]; then good; else bad 'a row for each millisecond' 'not so'; fi
if [ "$(sed -n 3p "$work/run.csv" | cut -d, -f1)" = 0.001 ]; then good; else bad 'times' 'not so'; fi
if grep -q "span tension" "$work/run.svg"; then good; else bad 'a plot' 'not so'; fi
run motion "$drive" --run hold --rpm 2000 --seconds 0.1 --csv - --every 0.05 --json
expect_text "CSV on standard output" "$out" "tension of crank - tensioner [N]"
run motion "$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml" --run hold --seconds 0.1 --csv "$work/us.csv" --even
if head -1 "$work/us.csv" | grep -q "tension of crank - tensioner \[lbf\]"; then good; else bad 'inch units' 'not so'; fi
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --run launch --json
json "a fixed tensioner has no arm" "d['arm'] is None and d['whole']"
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-centrifugal.yaml" --run shift --even --json
json "a centrifugal" "d['whole'] and abs(d['energy_J']['left_over']) < 2e-6 * d['energy_J']['work']"
# What cannot be.
cat >"$work/bare.yaml" <<'Y'
snub: 1
belt: {ribs: 6, length: 977}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: pump, at: [-120, 250], diameter: 120}
Y
run motion "$work/bare.yaml" --run pull
expect_code "no engine" 2
expect_text "says what it needs" "$err" "engine.idle"
run motion "$work/bare.yaml" --run pull --json --set 'engine={idle: 700, redline: 6000}'
json "inertia unknown: an even crank, and why" "d['whole'] and d['crank_even'] and 'engine.inertia' in d['crank_even_why']"
run motion "$drive" --run pull --json --set belt.length=2100
json "no balance to start from" "d['started'] is False and d['no_balance'] and 'events' not in d"
run motion "$drive" --run pull --set belt.length=2100
expect_text "in text" "$out" "no balance to start from"
run motion "$drive" --run gallop
expect_code "no such run" 2
expect_text "lists them" "$err" "launch"
run motion "$drive" --run pull --rpm 3000
expect_code "a speed for a run with its own" 2
run motion "$drive" --run pull --seconds 3
expect_code "a length for a run with its own" 2
run motion "$drive" --run hold --seconds 0
expect_code "no length" 2
run motion "$drive" --run hold --rpm 0
expect_code "standing" 2
run motion "$drive" --run hold --every 0.0000001
expect_code "too many rows" 2
expect_text "says the least" "$err" "steps of at least"
run motion "$drive" --csv "$work/x.csv"
expect_code "CSV without a run" 2
run motion "$drive" --run hold --seconds 0.1 --plot "$work/x.txt"
expect_code "a plot of no such kind" 2
finish
