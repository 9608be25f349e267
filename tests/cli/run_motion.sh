#!/usr/bin/env bash
# snub motion: keys, agreement with check, speeds, what is assumed, bad input, other tensioners and units.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run motion "$drive" --json
expect_code "the example holds" 0
json "keys" "{'modes','spans','inertias','modes_at_rpm','modes_missing','arm_moves','no_equilibrium','verdict','build'} <= set(d)"
json "modes of pulleys and arm, held and free" "[sum(m['crank'] == c for m in d['modes']) for c in ('held', 'free')] == [8, 8]"
json "frequencies rise" "all(a['frequency_Hz'] < b['frequency_Hz'] for a, b in zip(d['modes'][:8], d['modes'][1:8]))"
json "energy adds to 1" "all(abs(sum(m['energy_share'].values()) - 1) < 1e-9 for m in d['modes'])"
json "the arm has a name" "all('tensioner.arm' in m['energy_share'] for m in d['modes'])"
json "a held crank has no energy" "all(('crank' in m['energy_share']) == (m['crank'] == 'free') for m in d['modes'])"
json "three firings a turn" "d['firings_per_turn'] == 3 and abs(d['modes'][0]['firing_meets_it_at_rpm'] - d['modes'][0]['frequency_Hz'] * 20) < 1e-6"
json "a free crank lifts them" "all(h['frequency_Hz'] < f['frequency_Hz'] for h, f in zip(d['modes'][:8], d['modes'][8:]))"
json "idle to redline" "[r[0] for r in d['spans'][0]['frequencies_Hz']][::12] == [640.0, 5700.0] and len(d['spans'][0]['frequencies_Hz']) == 13"
json "what is assumed" "{i['name'] for i in d['inertias'] if i['assumed']} == {'crank','tensioner','wrap idler','exit idler','steering','tensioner.arm'}"
json "what is given" "[i['inertia_kg_m2'] for i in d['inertias'] if i['name'] == 'alternator'] == [0.0026]"
json "a rim of steel" "abs([i['inertia_kg_m2'] for i in d['inertias'] if i['name'] == 'exit idler'][0] - 2 * 3.14159265 * 7850 * 0.003 * 0.02942 * 0.0365**3) < 0.3e-4"
json "rotor behind the pulley" "'rotor' in [i['basis'] for i in d['inertias'] if i['name'] == 'steering'][0]"
run motion "$drive" --json --rpm 3000
json "one speed" "[len(s['frequencies_Hz']) for s in d['spans']] == [1] * 8 and d['modes_at_rpm'] == 3000"
here=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(s['frequencies_Hz'][0][1], s['tension_N'][0][1]) for s in json.load(sys.stdin)['spans']])")
run check "$drive" --json --rpm 3000
json "spans as in check" "all(abs(s['frequency_Hz'] - f) < 1e-9 * f and abs(s['tension_N'] - t) < 1e-9 * t for s, (f, t) in zip(d['spans'], $here))"
run motion "$drive" --json --rpm 0
json "engine stopped" "d['modes_at_rpm'] == 0 and all(s['belt_over_wave_speed'][0] == [0.0, 0.0] for s in d['spans'])"

run motion "$drive" --json --rpm 3000 --set 'belt.bending_stiffness=5000 N mm2'
json "a belt that does not bend freely: spans faster, the second more than twice the first" "all(s['frequencies_Hz'][0][1] > 1.001 * f and s['frequencies_Hz'][0][2] > 2.002 * s['frequencies_Hz'][0][1] for s, (f, t) in zip(d['spans'], $here))"
stiff=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([s['frequencies_Hz'][0][1] for s in json.load(sys.stdin)['spans']])")
run check "$drive" --json --rpm 3000 --set belt.bending_stiffness=0.005
json "as in check" "all(abs(s['frequency_Hz'] - f) < 1e-9 * f for s, f in zip(d['spans'], $stiff))"
run motion "$drive" --set belt.bending_stiffness=0.005
expect_text "said in the text" "$out" "with the belt's bending stiffness"
run motion "$drive"
expect_text "or that it bends freely" "$out" "the second is twice as high"

run motion "$drive" --json --set engine.inertia=100
json "a heavy crank is a held one" "all(abs(h['frequency_Hz'] / f['frequency_Hz'] - 1) < 1e-3 for h, f in zip(d['modes'][:8], d['modes'][8:]))"
run motion "$drive" --json --set alternator.inertia=0.0104
json "four times the inertia that moves lowers it" "20 < d['modes'][0]['frequency_Hz'] < 25"
run motion "$drive" --json --set alternator.inertia=0
json "an inertia of 0 counts as none" "[i['assumed'] for i in d['inertias'] if i['name'] == 'alternator'] == [True]"
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --json
json "a fixed tensioner does not move" "d['arm_moves'] is False and not any('.arm' in n for m in d['modes'] for n in m['energy_share'])"
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-centrifugal.yaml" --json --set blower.inertia=0
json "an impeller by its flow" "'impeller' in [i['basis'] for i in d['inertias'] if i['name'] == 'blower'][0]"
run motion "$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml" --json --set blower.inertia=0
json "rotors by what they sweep, four firings a turn" "'rotors' in [i['basis'] for i in d['inertias'] if i['name'] == 'blower'][0] and d['firings_per_turn'] == 4"
json "rotors of 112 in3" "0 < [i['inertia_kg_m2'] for i in d['inertias'] if i['name'] == 'blower'][0] - 0.0016 * 1.835352**(5/3) < 6e-4"

run motion "$drive"
expect_code "text" 0
expect_width "80 columns" "$out" 80
expect_text "head" "$out" "Natural frequencies of pulleys and arm at 640 rpm"
expect_text "what moves" "$out" "alternator 70 %"
expect_text "what is assumed" "$out" "Inertias that the file does not give"
run motion "$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml"
expect_text "inch units" "$out" "lb in2"

cat >"$work/bare.yaml" <<'Y'
snub: 1
belt: {ribs: 6, length: 977}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: pump, at: [-120, 250], diameter: 120}
Y
run motion "$work/bare.yaml" --json
json "without an engine: stopped, and no free crank" "d['modes_at_rpm'] == 0 and d['modes'] and all(m['crank'] == 'held' for m in d['modes']) and [m['crank'] for m in d['modes_missing']] == ['free'] and 'engine.inertia' in d['modes_missing'][0]['why']"
json "no firing order" "d['modes'][0]['firing_meets_it_at_rpm'] is None"
run motion "$work/bare.yaml"
expect_text "said in the text" "$out" "engine.inertia"
run motion "$work/bare.yaml" --json --set 'engine={idle: 700, redline: 6000, inertia: 0.2}'
json "with one" "{m['crank'] for m in d['modes']} == {'held', 'free'} and d['modes_missing'] == []"
run motion "$drive" --json --set belt.length=2100
json "a belt that does not fit has no frequencies and says so" "d['modes'] == [] and len(d['modes_missing']) == 2 and len(d['no_equilibrium']) == 13 and d['no_equilibrium'][0]['why']"
run motion "$drive" --set belt.length=2100
expect_text "in text too" "$out" "no natural frequencies"
expect_text "with the reason" "$out" "too long"
expect_no_text "no empty table" "$out" "First frequency of each span"
run motion "$drive" --set belt.length=1700
expect_text "an arm at its stop is a bolted one" "$out" "arm stands at an end of its travel"
# How unevenly the crank turns.
run motion "$drive" --json --rpm 3000 --set engine.inertia=0.3
orders=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(o['order'], o['torque_N_m']) for o in json.load(sys.stdin)['irregularity']['orders']])")
json "six even cylinders: thirds of all orders" "[o['order'] for o in d['irregularity']['orders']] == [3, 6, 9, 12]"
json "angle by torque, inertia and speed" "all(abs(o['angle_deg'] * 3.141592653589793 / 180 - o['torque_N_m'] / (0.3 * (o['order'] * 314.1592653589793)**2)) < 1e-9 * o['angle_deg'] for o in d['irregularity']['orders'])"
json "speed by angle" "all(abs(o['speed_pct'] - o['angle_deg'] * 3.141592653589793 / 1.8 * o['order']) < 1e-9 * o['speed_pct'] for o in d['irregularity']['orders'])"
json "four assumptions" "len(d['irregularity']['assumed']) == 4 and d['irregularity']['source'].startswith('cylinders')"
gas=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['irregularity']['cycle'][0]['mean_gas_torque_N_m'])")
run sweep "$drive" --json --no-offers --speeds 2 --set engine.idle=3000
json "mean gas torque is that of the estimated power" "abs($gas * 314.1592653589793 * 0.85 / 1000 - d['ways']['steady']['points'][0]['estimated_crank_power_kW'] - d['ways']['steady']['points'][0]['blower_power_kW']) < 1e-6"
run motion "$drive" --json --rpm 3000 --set engine.inertia=0.3 --set 'engine.firing=[120, 120, 120, 120, 120, 120]' --set engine.compression=9.6 --set engine.stroke=91.8 --set engine.rod=156 --set engine.reciprocating_mass=0.6
json "all given: nothing is assumed" "d['irregularity']['assumed'] == []"
json "nearly the same engine" "all(abs(o['torque_N_m'] - t) < 0.1 * $orders[0][1] for o, (n, t) in zip(d['irregularity']['orders'], $orders))"
run motion "$drive" --json --rpm 3000 --set 'engine.firing=[90, 150, 90, 150, 90, 150]'
json "uneven firing has order 1.5" "1.5 in [o['order'] for o in d['irregularity']['orders']]"
run motion "$drive" --json --rpm 3000 --set engine.reciprocating_mass=3
json "heavy pistons work against the gas" "d['irregularity']['orders'][0]['torque_N_m'] < 0.95 * $orders[0][1] or d['irregularity']['orders'][0]['torque_N_m'] > 1.05 * $orders[0][1]"
run motion "$drive" --json --rpm 1900 --set 'engine.irregularity={speed: [800, 3000], order: [1.5, 3], angle: [[0.4, 2], [0.2, 0.6]]}'
json "a measured table, between its speeds" "[(o['order'], round(o['angle_deg'], 9), o['torque_N_m']) for o in d['irregularity']['orders']] == [(1.5, 0.3, None), (3, 1.3, None)]"
json "its share of speed" "[round(o['speed_pct'] / 100 / o['order'] * 180 / 3.141592653589793, 9) for o in d['irregularity']['orders']] == [0.3, 1.3]"
json "its source" "d['irregularity']['source'].startswith('measured') and d['irregularity']['assumed'] == [] and d['irregularity']['cycle'] == []"
run motion "$drive" --rpm 1900 --set 'engine.irregularity={speed: [800, 3000], order: [1.5, 3], angle: [[0.4, 2], [0.2, 0.6]]}'
expect_text "in text" "$out" "1.3000"
run motion "$drive" --json --rpm 0
json "none with the engine stopped" "d['irregularity']['orders'] == [] and d['irregularity']['source'] is None"
run motion "$drive" --set 'engine.firing=[240, 240, 240]'
expect_code "a firing order that does not fit the cylinders" 2
expect_text "says what it needs" "$err" "one interval for each of engine.cylinders"
run motion "$work/bare.yaml" --json --rpm 800 --set 'engine={idle: 700, redline: 6000, inertia: 0.2}'
json "an engine without cylinders" "d['irregularity']['orders'] == [] and 'engine.displacement' in d['irregularity']['missing'] and d['modes']"
run motion "$work/bare.yaml" --json --rpm 800 --set 'engine={idle: 700, redline: 6000, inertia: 0.2, displacement: 2, cylinders: 4}'
json "one without volumetric efficiency" "'engine.volumetric_efficiency' in d['irregularity']['missing']"
run motion "$work/bare.yaml" --json --rpm 800 --set 'engine={idle: 700, redline: 6000, inertia: 0.2, displacement: 2, cylinders: 4, volumetric_efficiency: [[700, 0.8], [6000, 0.8]]}'
json "without a blower" "[o['order'] for o in d['irregularity']['orders']] == [2, 4, 6, 8, 10, 12] and 140 < d['irregularity']['cycle'][0]['mean_gas_torque_N_m'] < 190"

# What that does to the drive.
uneven='engine.irregularity={speed: [600, 6000], order: [1.5, 3], angle: [[0.1, 0.05], [0.1, 0.05]]}'
run motion "$drive" --json --rpm 800 --set "$uneven"
json "an entry for each order" "[(o['rpm'], o['order']) for o in d['orders']] == [(800.0, 1.5), (800.0, 3)]"
json "keys of an order" "all({'tension_N','arm_deg','arm_sticks','speed_rpm','slack'} <= set(o) for o in d['orders'])"
json "the crank swings as prescribed" "abs(d['orders'][1]['speed_rpm']['crank'] - 800 * 3 * 0.05 * 3.141592653589793 / 180) < 1e-9"
json "every span" "list(d['orders'][0]['tension_N'])[0] == 'crank - tensioner' and len(d['orders'][0]['tension_N']) == 8"
run motion "$drive" --json --rpm 800 --set "$uneven" --set tensioner.arm.damping=0
at=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; o = json.load(sys.stdin)['orders'][1]; print(o['speed_rpm']['alternator'] / o['speed_rpm']['crank'])")
run motion "$drive" --json --rpm 1800 --set "$uneven" --set tensioner.arm.damping=0
json "far over the lowest frequency it swings less" "d['orders'][1]['speed_rpm']['alternator'] / d['orders'][1]['speed_rpm']['crank'] < 0.5 * $at"
run motion "$drive" --json --rpm 800 --set "$uneven" --set tensioner.arm.damping=0.95
json "an arm with much friction sticks" "d['orders'][0]['arm_sticks'] and d['orders'][0]['arm_deg'] == 0"
run motion "$drive" --json --rpm 800 --set "$uneven" --set tensioner.arm.damping=0
json "one without never does" "not any(o['arm_sticks'] for o in d['orders']) and all(o['arm_deg'] > 0 for o in d['orders'])"
json "nothing goes slack" "d['orders'][0]['slack'] == []"
run motion "$drive" --json --rpm 800 --set 'engine.irregularity={speed: [600, 6000], order: [3], angle: [[5], [5]]}'
json "a rough crank swings it slack" "'compressor - crank' in d['orders'][0]['slack']"
run motion "$drive" --rpm 800 --set 'engine.irregularity={speed: [600, 6000], order: [3], angle: [[5], [5]]}'
expect_text "in text" "$out" "goes slack"
run motion "$drive" --rpm 800 --set "$uneven" --set tensioner.arm.damping=0.95
expect_text "sticks, in text" "$out" "arm sticks"
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --json --rpm 800
json "a fixed tensioner has no arm that swings" "d['orders'] and all(o['arm_deg'] is None and o['arm_sticks'] is None for o in d['orders'])"
run motion "$drive" --json --rpm 0
json "nothing with the engine stopped" "d['orders'] == []"

# Without load the cylinders turn the engine and the drive alone.
run motion "$drive" --json --rpm 800
full=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['irregularity']['cycle'][0]['mean_gas_torque_N_m'])")
run motion "$drive" --json --rpm 800 --case closed-throttle
json "the case is named" "d['case'] == 'closed throttle' and 'without load' in d['irregularity']['source']"
json "a fraction of full load" "0.1 * $full < d['irregularity']['cycle'][0]['mean_gas_torque_N_m'] < 0.4 * $full"
run motion "$drive" --rpm 800 --case closed-throttle
expect_text "in text" "$out" "without load, which turn the engine and the drive alone"
run motion "$drive" --case accelerating
expect_code "no other case" 2

# What it finds counts in the verdict, and stands in the answer.
given="--set engine.inertia=0.25 --set steering.inertia=0.003 --set tensioner.arm.inertia=0.0015"
rough='engine.irregularity={speed: [600, 6000], order: [3], angle: [[5], [0.5]]}'
run motion "$drive" --rpm 800 $given --set "$rough"
expect_code "a rough crank fails the kit" 1
expect_text "its finding" "$out" "hangs loose for a part of each swing"
run motion "$drive" --json --rpm 800 --set "$rough"
json "rules of thumb alone do not" "d['verdict'] == 'pass'"
# Spans that flap.
rough='--set engine.inertia=0.06'
run motion "$drive" --json $rough
json "keys of flapping" "d['flapping']['damping'] == 0.01 and len(d['flapping']['spans']) == 8 and d['flapping']['crossings']"
json "the swing meets the frequencies" "all(abs(c['order'] * c['meets_it_at_rpm'] / 60 / sum([s for s in d['spans'] if s['from'] + ' - ' + s['to'] == c['span']][0]['frequencies_Hz'][0][1] * n for n in c['modes']) - 1) < 0.25 for c in d['flapping']['crossings'])"
json "more than it takes, between two speeds" "all(c['swing_N'] > c['needed_N'] and 640 <= c['from_rpm'] <= c['meets_it_at_rpm'] <= c['to_rpm'] <= 5700 for c in d['flapping']['crossings'] if c['flaps'])"
json "less than it takes: none, and no flap" "all(0.1 * c['needed_N'] < c['swing_N'] <= c['needed_N'] * 1.02 and c['from_rpm'] is None and c['flap_mm'] is None for c in d['flapping']['crossings'] if not c['flaps'])"
json "the arm's spans are shaken by their end" "{s['span'] for s in d['flapping']['spans'] if s['by_the_arm_mm'] > 0} == {'crank - tensioner', 'tensioner - alternator'}"
json "what is left of the gap" "all(s['beside'] is None or s['beside']['gap_mm'] - s['flap_mm'] - 1e-9 <= s['beside']['left_mm'] <= s['beside']['gap_mm'] for s in d['flapping']['spans'])"
zone=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; c = [c for c in json.load(sys.stdin)['flapping']['crossings'] if c['flaps']][0]; print((c['span'], c['order'], c['modes'], c['from_rpm'], c['to_rpm'], c['flap_mm']))")
run motion "$drive" --json --rpm 3010 $rough
json "at one speed of a zone alone" "[c['from_rpm'] for c in d['flapping']['crossings'] if c['flaps'] and (c['span'], c['order'], c['modes']) == $zone[:3]] == [3010.0]"
run motion "$drive" --json --rpm 3200 $rough
json "past it not" "not any((c['span'], c['order'], c['modes']) == $zone[:3] for c in d['flapping']['crossings'])"
run motion "$drive" --json $rough --set belt.flap_damping=0.012
json "more damping, narrower" "not any((c['span'], c['order'], c['modes']) == $zone[:3] and c['flaps'] and c['to_rpm'] - c['from_rpm'] >= $zone[4] - $zone[3] for c in d['flapping']['crossings'])"
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --json
json "no arm shakes a span" "all(s['by_the_arm_mm'] == 0 for s in d['flapping']['spans'])"
run motion "$drive"
expect_text "none, in text" "$out" "No span is made to flap by its tension between idle and redline."
run motion "$drive" $rough
expect_text "in text" "$out" "Spans that their tension makes flap"
expect_width "80 columns with flap" "$out" 80
expect_text "the nearest of the others" "$out" "Nearest to it of the others"
expect_text "and the gap beside" "$out" "what is beside them"
run motion "$drive" --rpm 3000
expect_text "none at a quiet speed" "$out" "No span is made to flap by its tension at this speed."

# Arm and spans as one.
run motion "$drive" --json --coupled --rpm 2500
json "twelve with either crank" "[sum(m['crank'] == c for m in d['coupled']['modes']) for c in ('held', 'free')] == [12, 12] and d['coupled']['modes_missing'] == []"
json "rising, energy adds to 1" "all(abs(sum(m['energy_share'].values()) - 1) < 1e-6 for m in d['coupled']['modes']) and all(a['frequency_Hz'] < b['frequency_Hz'] for a, b in zip(d['coupled']['modes'][:12], d['coupled']['modes'][1:12]))"
json "the two spans of the arm" "all({'crank - tensioner', 'tensioner - alternator', 'tensioner.arm'} <= set(m['energy_share']) for m in d['coupled']['modes'])"
json "a mode that is mostly span has nearly its frequency" "min(abs(m['frequency_Hz'] / d['spans'][1]['frequencies_Hz'][0][1] - 1) for m in d['coupled']['modes'] if m['energy_share']['tensioner - alternator'] > 0.9) < 0.03"
run motion "$drive" --coupled --rpm 0
expect_text "in text, engine stopped" "$out" "Arm and the spans beside it as one"
expect_width "80 columns with coupled" "$out" 80
run motion "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --coupled
expect_text "no arm" "$out" "No frequencies of arm and spans together: no arm moves."
run motion "$drive" --json
json "not asked, not there" "'coupled' not in d and 'remedies' not in d"

# What calms it.
run motion "$drive" --remedies
expect_width "80 columns with remedies" "$out" 80
expect_text "the best change" "$out" "Helps most: \`tensioner.arm.damping="
expect_text "what it brings" "$out" "It brings: marginal"
run motion "$work/bare.yaml" --remedies --set 'engine={idle: 700, redline: 6000, inertia: 0.2}'
expect_text "nothing shakes it" "$out" "Remedies are not known"
run motion "$drive" --remedies --rpm 800
expect_code "remedies are for the range" 2

# Which keys are asked for: the engine's where nothing was measured, those of what is driven, the arm's.
table='engine.irregularity={speed: [600, 6000], order: [3], angle: [[5], [0.5]]}'
asks() {
    name=$1 want=$2
    shift 2
    run check "$SNUB_SOURCE_DIR/examples/$name" --json "$@"
    json "$name $* asks for$want" "[[w[1:-1] for w in f['text'].replace(',', '').split() if w.startswith('\`')] for f in d['findings'] if f['rule'] == 'swing_assumed'] == ['$want'.split()]"
}
asks sedgemere-locked.yaml " engine.inertia steering.inertia"
asks sedgemere-locked.yaml " steering.inertia" --set "$table"
asks sedgemere-locked.yaml " steering.inertia" --set engine.inertia=0.2
asks sedgemere.yaml " blower.inertia steering.inertia tensioner.arm.inertia" --set "$table" --set blower.inertia=0
asks sedgemere-centrifugal.yaml " blower.inertia steering.inertia tensioner.arm.inertia" --set "$table" --set blower.inertia=0

# Flapping is that of the case, and there is none to speak of where no belt has a balance.
for case in steady closed-throttle; do
    run motion "$drive" --json $rough --case $case
    read -r rpm swing <<<"$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; c = max((c for c in json.load(sys.stdin)['flapping']['crossings'] if c['span'] == 'compressor - crank'), key=lambda c: c['swing_N']); print(c['meets_it_at_rpm'], c['swing_N'])")"
    run motion "$drive" --json $rough --case $case --rpm "$rpm"
    json "$case: the span swings as it does in that case" "abs([o for o in d['orders'] if o['order'] == 3][0]['tension_N']['compressor - crank'] / $swing - 1) < 0.03"
done
run motion "$drive" --json --set belt.length=3000 --set belt.stock=null
json "without a balance no flapping" "d['modes'] == [] and d['flapping'] is None"
run motion "$drive" --set belt.length=3000 --set belt.stock=null
expect_no_text "nor words of it" "$out" "flap"
run motion "$drive" --remedies --case closed-throttle
expect_code "remedies are of full load" 2
for other in "--case closed-throttle" "--speeds 5" --coupled --remedies; do
    run motion "$drive" --run hold $other
    expect_code "a run, and $other" 2
    expect_text "said so" "$err" "goes without --run"
done

run motion "$drive" --rpm -5
expect_code "a negative speed" 2
run motion "$drive" --rpm 800 --speeds 4
expect_code "one speed or several" 2
run motion "$drive" --speeds 1
expect_code "at least two" 2
finish
