#!/usr/bin/env bash
# snub sweep: keys, agreement with check, slip, forms, the wished boost, plots, maps.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run sweep "$drive" --json --no-offers --speeds 12
expect_code "the example holds" 0
json "five ways" "list(d['ways']) == ['steady','accelerating','overrun','closed throttle','no-lift shift']"
json "every speed" "all(len(w['points']) == 12 for w in d['ways'].values())"
json "idle to redline" "abs(d['ways']['steady']['points'][0]['engine_rpm'] - 640) < 1e-6 and abs(d['ways']['steady']['points'][-1]['engine_rpm'] - 5700) < 1e-6"
json "keys of a point" "{'boost_kPa','blower_rpm','rotor_rpm','blower_power_kW','blower_torque_N_m','outlet_temperature_degC','charge_temperature_degC','air_flow_kg_s','estimated_crank_power_kW','arm_wind_deg','arm_band_deg','belt_speed_m_s','pulleys'} <= set(d['ways']['steady']['points'][3])"
json "keys of a pulley" "{'name','rpm','torque_N_m','entry_tension_N','exit_tension_N','grip_used','hub_load_N','hub_load_deg','slip','slip_pct','slip_heat_kW'} <= set(d['ways']['steady']['points'][3]['pulleys'][0])"
json "boost rises" "all(a['boost_kPa'] < b['boost_kPa'] for a, b in zip(d['ways']['steady']['points'], d['ways']['steady']['points'][1:]))"
json "a shut throttle asks less" "d['ways']['closed throttle']['points'][-1]['blower_power_kW'] < 0.5 * d['ways']['steady']['points'][-1]['blower_power_kW']"
json "rising asks more of the crank" "d['ways']['accelerating']['points'][-1]['belt_power_kW'] > d['ways']['steady']['points'][-1]['belt_power_kW']"
json "assumptions beside the estimate" "'MJ of brake work per kg of dry air' in d['assumptions'] and 'knock' in d['assumptions']"
json "the air and what a dyno corrects by" "abs(d['air']['density_kg_m3'] - 1.1839) < 5e-4 and abs(d['air']['dyno_power_correction']['din_70020'] - 1013/1013.25*(298/293)**0.5) < 1e-6"
grip=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(repr([(p['torque_N_m'], p['entry_tension_N'], p['grip_used']) for p in json.load(sys.stdin)['ways']['steady']['points'][-1]['pulleys']]))")
run check "$drive" --rpm 5700 --json
json "sweep and check agree without slip" "all(abs(a - b) < 1e-5 * max(1, abs(a)) for p, q in zip($grip, d['pulleys']) for a, b in zip(p, (q['torque_N_m'], q['entry_tension_N'], q['grip_used'])))"

run sweep "$drive" --json --no-offers --speeds 30 --set belt.friction.limit.rib=0.3
expect_code "slip fails" 1
json "slip is a finding with its onset" "any(f['rule'] == 'grip' and f['level'] == 'fail' and 640 < f['at_rpm'] <= 5700 for f in d['findings'])"
json "what slip does is told" "any('boost falls from' in s['text'] for s in d['slips'])"
json "boost falls with slip" "d['ways']['steady']['points'][-1]['boost_kPa'] < d['ways']['steady']['points'][-1]['boost_without_slip_kPa'] - 1"
json "slip makes heat" "d['ways']['steady']['points'][-1]['slip_heat_kW'] > 0.1"
json "no slip at idle" "d['ways']['steady']['points'][0]['slip_heat_kW'] == 0"
json "grip is 1 on the limit where it slips" "all(abs(p['grip_used_limit'] - 1) < 1e-5 for q in d['ways']['steady']['points'] for p in q['pulleys'] if p['slip'] == 'slower')"
run sweep "$drive" --json --no-offers --wet
json "wet friction is less" "d['friction_share'] < 1"

run sweep "$drive"
expect_code "text" 0
expect_width "80 columns" "$out" 80
expect_text "units stand in the head" "$out" "kPa"
expect_text "advice" "$out" "97.0 mm takes 7PK1932"
expect_text "assumptions" "$out" "Estimated crank power"
run sweep "$drive" --case no-lift-shift --no-offers
expect_text "another way" "$out" "no-lift shift: gear change, throttle open"

run sweep "$drive" --output "$work/s.csv" --pulleys --speeds 25
rows=$(/usr/bin/python3 -c "import csv, sys; rows = list(csv.reader(open(sys.argv[1], newline=''))); print(len(rows), len({len(r) for r in rows}), 'blower torque [N m]' in rows[0])" "$work/s.csv")
expect_same "CSV is whole, units in the head" "$rows" "26 1 True"
run sweep "$drive" --output "$work/s.xlsx" --speeds 5
sheets=$(/usr/bin/python3 -c "import openpyxl, sys; print(openpyxl.load_workbook(sys.argv[1]).sheetnames)" "$work/s.xlsx")
expect_same "a sheet for each way" "$sheets" "['steady', 'accelerating', 'overrun', 'closed throttle', 'no-lift shift']"

# The wished boost: laying the answer over the file makes that boost.
run sweep "$drive" --want-boost "8 psi" --rpm 5000 --json
expect_code "wish" 0
json "8 psi" "abs(d['boost_kPa'] - 55.158) < 0.001"
diameter=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['blower_diameter_mm'])")
run sweep "$drive" --want-boost "8 psig" --rpm 5000 --json
json "a gauge unit is the same difference" "abs(d['boost_kPa'] - 55.158) < 0.001"
run sweep "$drive" --json --no-offers --speeds 2 --set engine.redline=5000 --set blower.diameter="$diameter" --set belt.length=1926
json "the answer makes that boost" "abs(d['ways']['steady']['points'][-1]['boost_kPa'] - 55.158) < 0.01"
# The nearest pulley of the kit: by the boosts that a sweep of each gives; in other weather by the same sweep in that air.
run sweep "$drive" --json --speeds 2
kit=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(o['value'], o['redline_boost_kPa']) for o in json.load(sys.stdin)['blower_pulleys']])")
for wish in 20 44 57 66 200; do
    run sweep "$drive" --json --want-boost "$wish kPa"
    json "the nearest to $wish kPa" "d['nearest']['value'] == min($kit, key=lambda o: abs(o[1] - $wish))[0] and any(o[0] == d['nearest']['value'] and abs(o[1] - d['nearest']['boost_kPa']) < 1e-6 for o in $kit)"
done
sed 's/\[97, 92, 88, 84, 79, 73\]/[73, 79, 84, 88, 92, 97]/' "$drive" >"$work/turned.yaml"
run sweep "$work/turned.yaml" --json --want-boost "57 kPa"
json "in whatever order the file has them" "d['nearest']['value'] == min($kit, key=lambda o: abs(o[1] - 57))[0]"
run sweep "$drive" --json --want-boost "47 kPa"
json "with its belt, setting and verdict" "d['nearest']['designation'] == '7PK1926' and d['nearest']['verdict'] == 'pass' and 'wrap idler' in d['nearest']['slots_mm']"
json "gauge and absolute" "abs(d['absolute_kPa'] - 148.325) < 1e-3"
there=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(w['altitude_m'], w['temperature_degC'], w['boost_kPa']) for w in json.load(sys.stdin)['nearest']['other_weather']])")
run sweep "$drive" --json --no-offers --speeds 2 --set blower.diameter=92 --set belt.length=1926 --set "air={pressure: null, altitude: 2000 m, temperature: 0}"
json "a cold day at height" "abs(d['ways']['steady']['points'][-1]['boost_without_slip_kPa'] - [b for z, t, b in $there if (z, t) == (2000, 0)][0]) < 1e-6"
run sweep "$drive" --json --no-offers --speeds 2 --set blower.diameter=92 --set belt.length=1926 --set air.temperature=40
json "a hot one" "abs(d['ways']['steady']['points'][-1]['boost_without_slip_kPa'] - [b for z, t, b in $there if (z, t) == (0, 40)][0]) < 1e-6"
run sweep "$drive" --json --want-boost "47 kPa" --set cooler.coolant=null
there=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['nearest']['other_weather'][1]['boost_kPa'])")
value=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['nearest']['value'])")
run sweep "$drive" --json --no-offers --speeds 2 --set blower.diameter="$value" --set air.temperature=40 --set cooler.coolant=null
json "a coolant at the air's temperature goes with the weather" "abs(d['ways']['steady']['points'][-1]['boost_without_slip_kPa'] - $there) < 1e-6"

# What stands against a wish, and what is no wish.
run sweep "$drive" --json --want-boost "80 psi"
expect_code "80 psi" 1
json "is out of reach of a pulley" "[p['level'] for p in d['problems']] == ['fail', 'fail', 'marginal', 'fail', 'marginal'] and 'the smallest for 7 ribs' in d['problems'][0]['text'] and 'leave the blower at 603 degC' in d['problems'][2]['text']"
run sweep "$drive" --want-boost "80 psi"
expect_text "in words" "$out" "FAIL no blower pulley reaches it: it would be 24.7 mm"
run sweep "$drive" --json --want-boost "6 psi"
json "nothing against 6 psi" "d['problems'] == []"
run sweep "$SNUB_SOURCE_DIR/examples/sedgemere-centrifugal.yaml" --json --want-boost "1 kPa" --rpm 700
json "off the map" "any('outside of its map' in p['text'] for p in d['problems'])"
run sweep "$drive" --json --want-boost "22.696 psia"
json "an absolute pressure" "abs(d['boost_kPa'] - (22.696 * 6.894757293168 - 101.325)) < 1e-3"
run sweep "$drive" --want-boost "14 psia"
expect_code "less than the air has" 2
expect_text "says so" "$err" "no more than the ambient air's"
run sweep "$drive" --want-boost "8 psi" --rpm 7000
expect_code "over the redline" 2
expect_text "says so" "$err" "over the engine's redline, 5700 rpm"
run sweep "$drive" --want-boost "8 psi" --rpm 300
expect_text "under idle" "$err" "under the engine's idle speed"
run sweep "$drive" --want-boost "8 psi" --output "$work/wish.json" --plot "$work/wish.svg" --wet
expect_code "answer and plot" 0
expect_text "--output" "$(cat "$work/wish.json")" '"nearest"'
expect_text "--plot is of the nearest pulley" "$(cat "$work/wish.svg")" "twin-screw kit, 7PK1920"
run sweep "$drive" --want-boost "8 psi" --wet
expect_text "--wet" "$out" "With a wet belt: 88.0 mm takes 7PK1920"
run sweep "$drive" --want-boost "8 psi" --output "$work/wish.csv"
expect_code "no table" 2
sed -e '/^options:/,/^$/d' -e '/^packages:/,/^$/d' "$drive" >"$work/alone.yaml"
run sweep "$work/alone.yaml" --want-boost "8 psi"
expect_text "no other pulley" "$out" "options offer no other blower pulley"
run sweep "$work/alone.yaml" --want-boost "8 psi" --plot "$work/wish.svg"
expect_code "nothing to plot" 2
run sweep "$drive" --want-boost "900 kPa"
expect_code "too much boost" 2
run sweep "$drive" --want-boost "8 mm"
expect_code "a boost in millimetres" 2
run sweep "$drive" --rpm 3000
expect_code "--rpm alone" 2
run sweep "$drive" --set engine.redline=600
expect_code "no range" 2
run sweep "$SNUB_SOURCE_DIR/examples/three-pulleys.yaml" --want-boost "8 psi"
expect_code "no blower" 2
expect_text "says so" "$err" "no blower"

# The next command is of the same build: with the file, its variant and package, and the key that the option changes.
v8=$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml
run sweep "$v8" --variant "low compressor" --set "air.humidity=0.5" --want-boost "6 psi"
expect_text "check it next" "$out" "Check it next: snub sweep $v8 --variant 'low compressor' --set air.humidity=0.5 --free --set 'blower.diameter"
next=$(printf '%s\n' "$out" | sed -n 's/^Check it next: snub //p')
eval "run $next"
expect_text "and it is of that front" "$out" "build low compressor"

# What a package excludes is not nearest, not drawn, and in the list without a belt; check and compare refuse it alike.
run sweep "$drive" --package street --json --want-boost "68 kPa"
json "the nearest that street has" "d['nearest']['value'] == '84'"
run sweep "$drive" --package touring --json --want-boost "68 kPa"
json "touring has a nearer one" "d['nearest']['value'] == '79'"
run sweep "$drive" --package street --json --speeds 10
json "excluded: the reason alone" "{o['value']: o['why'] for o in d['blower_pulleys'] if set(o) == {'value', 'why'}} == dict.fromkeys(('79', '73'), 'Six ribs are not enough for their boost.')"
json "the others as ever" "[o['value'] for o in d['blower_pulleys'] if 'designation' in o] == ['97', '92', '88', '84']"
run sweep "$drive" --package street --speeds 10
expect_text "in words" "$(echo $out)" "79 is not sold in this package (Six ribs"
run sweep "$drive" --package street --plot "$work/street.svg" --each blower.diameter --speeds 20
expect_code "each: what is excluded is no failure" 0
expect_text "each: told" "$err" "blower.diameter 79 is not sold in this package"
expect_text "each: sold" "$(cat "$work/street.svg")" "blower.diameter 84"
expect_no_text "each: not drawn" "$(cat "$work/street.svg")" "blower.diameter 79"
run compare "$drive" --package street --with blower.diameter=79
expect_code "compare refuses" 2
refused=$err
run check "$drive" --package street --set blower.diameter=79
expect_same "with the words of check" "$refused" "$err"

# Pulleys on offer: one that cannot be read is a row with its line, the others are answered; wet and dry side by side.
sed 's/\[97, 92, 88, 84, 79, 73\]/[97, 3, banana, 73]/' "$drive" | sed '/^    excludes:/,+1d' >"$work/bad.yaml"
line=$(grep -n banana "$work/bad.yaml" | cut -d: -f1)
run sweep "$work/bad.yaml" --json --speeds 20
expect_code "bad pulleys on offer do not fail the build" 0
json "each is a row" "sorted(o['value'] for o in d['blower_pulleys']) == ['3', '73', '97', 'banana']"
json "with its line and reason" "[o['wrong'] for o in d['blower_pulleys'] if 'wrong' in o] == ['line $line: is too small in mm; if it is in inches, write \'3 in\' (got 3, need 8 to 1500 mm)', 'line $line: does not begin with a number (got banana, need a length, such as 25 mm or 1 in)']"
run sweep "$work/bad.yaml" --plot "$work/each.svg" --each blower.diameter --speeds 20
expect_code "each: the bad ones fail" 1
expect_text "each: the good ones are drawn" "$(cat "$work/each.svg")" "blower.diameter 97"
run chart "$work/bad.yaml" --json
expect_code "the chart has no row for them" 2
json "a mistake in an option comes once" "[(e['line'], e['got']) for e in d['errors']] == [($line, '3'), ($line, 'banana')]"
run sweep "$drive" --json --speeds 30 --set belt.friction.limit.rib=0.42
dry=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(o['wet_slips_from_rpm'], o['wet_slips_at'], o['wet_slips_when']) for o in json.load(sys.stdin)['blower_pulleys']])")
json "the crank slips, and is seen" "any(o['slips_at'] == 'crank' for o in d['blower_pulleys'])"
json "wet is never later than dry" "all(o['slips_from_rpm'] is None or o['wet_slips_from_rpm'] <= o['slips_from_rpm'] + 1e-6 for o in d['blower_pulleys'])"
run sweep "$drive" --json --speeds 30 --set belt.friction.limit.rib=0.42 --wet
wet=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(o['slips_from_rpm'], o['slips_at'], o['slips_when']) for o in json.load(sys.stdin)['blower_pulleys']])")
expect_same "beside the dry belt the same as with --wet" "$dry" "$wet"
run sweep "$drive" --wet --no-offers
expect_text "a wet sweep shows the grip that is left" "$out" "grip of a wet belt, which has 65 % of the limit friction: it slips at 1"
run sweep "$drive" --wet --no-offers --output "$work/w.csv" --speeds 20 --set belt.friction.limit.rib=0.5 --pulleys
if /usr/bin/python3 - "$work/w.csv" <<'END'; then good; else bad "wet grip is what is left of it" "$(head -2 "$work/w.csv")"; fi
import csv, sys
rows = list(csv.DictReader(open(sys.argv[1], newline="")))
for row in rows:
    worst = max(float(v) for k, v in row.items() if k.endswith("grip used, limit friction")) / 0.65
    assert abs(float(row["grip [wet]"]) - worst) < 2e-3 * max(1, worst), (row["grip [wet]"], worst)
assert rows
END

# A blower far too large is a finding of the build, not an error of the file.
run sweep "$drive" --json --set blower.blower.swept=8
expect_code "far too large" 1
json "a finding" "any(f['rule'] == 'loads' and f['level'] == 'fail' and f['pulley'] == 'blower' for f in d['findings'])"

# Plots
for form in svg pdf png; do
    run sweep "$drive" --plot "$work/p.$form" --speeds 20
    expect_code "plot $form" 0
    if [ -s "$work/p.$form" ]; then good; else bad "plot $form" "nothing written"; fi
done
expect_text "panels" "$(cat "$work/p.svg")" ">estimated crank<"
cp "$work/p.svg" "$work/q.svg"
run sweep "$drive" --plot "$work/p.svg" --speeds 20
expect_same "the same bytes" "$(cmp "$work/p.svg" "$work/q.svg" && echo same)" "same"
run sweep "$drive" --plot "$work/each.svg" --each blower.diameter --speeds 20
expect_code "each: the smallest fails" 1
expect_text "a line for each" "$(cat "$work/each.svg")" "blower.diameter 79"
run sweep "$drive" --plot "$work/each.svg" --each blower.diametre
expect_code "unknown path" 2
expect_text "nearest path" "$err" "blower.diameter"
run sweep "$drive" --plot "$work/p.bmp"
expect_code "unknown form" 2
run sweep "$drive" --each blower.diameter
expect_code "--each without --plot" 2

# Maps: beside the drive file; every bad row told at the key.
centrifugal=$SNUB_SOURCE_DIR/examples/sedgemere-centrifugal.yaml
run sweep "$centrifugal" --json --no-offers --speeds 30
if [ "$code" -le 1 ]; then good; else bad "a map beside the file" "$err"; fi
json "isentropic efficiency is the map's" "0.6 < d['ways']['steady']['points'][-1]['isentropic_efficiency'] < 0.8"
mkdir "$work/maps"
cp "$centrifugal" "$work/c.yaml"
printf 'flow [m3/s],pressure_ratio,speed [rpm],efficiency\n0.1,1.4,30000,0.7\n0.2,1.3,30000,1.7\n0.3,x,40000,.7\n' >"$work/maps/sedgemere-centrifugal.csv"
run sweep "$work/c.yaml"
expect_code "a bad map" 2
expect_text "line and reason" "$err" "line 3: efficiency"
expect_text "the next one too" "$err" "line 4: pressure_ratio"
rm "$work/maps/sedgemere-centrifugal.csv"
run sweep "$work/c.yaml"
expect_code "no map" 2

finish
