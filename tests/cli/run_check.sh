#!/usr/bin/env bash
# snub check: the keys are fixed, forces and moments balance in what is printed, errors point.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run check "$drive" --rpm 3000 --json
expect_code "check at 3000 rpm" 0
json "top keys" "{'snub','title','build','state','belt','arm','pulleys','spans','findings'} <= set(d)"
json "build" "{'ribs','belt_length_mm','designation'} <= set(d['build']) and d['build']['designation'] == '7PK1926'"
json "whose pull is listed: crank and what takes torque" "[h['pulley'] for h in d['hub_loads']] == ['crank', 'alternator', 'blower', 'steering', 'compressor']"
json "state" "abs(d['state']['engine_rpm'] - 3000) < 1e-9 and d['state']['rate_rpm_s'] == 0"
json "belt" "{'speed_m_s','path_length_mm','centrifugal_tension_N'} <= set(d['belt'])"
json "arm" "{'wind_deg','moment_N_m','room_to_rest_deg','room_to_stop_deg'} <= set(d['arm'])"
json "pulley keys" "all({'name','turns','centre_mm','wrap_deg','rpm','torque_N_m','entry_tension_N','exit_tension_N','grip_used','hub_load_N','hub_load_deg'} <= set(p) for p in d['pulleys'])"
json "span keys" "all({'from','to','length_mm','tension_N','frequency_Hz'} <= set(s) for s in d['spans'])"
json "finding keys" "all({'level','rule','pulley','value','limit','unit','at_rpm','text'} <= set(f) for f in d['findings'])"
# Balances, with the numbers as printed: 12 digits, so 1e-9 of the larger terms.
json "one turn of wrap" "abs(sum(p['wrap_deg'] * (1 if p['turns'] == 'cw' else -1) for p in d['pulleys']) - 360) < 1e-8"
json "room to rest and to stop make the travel" "abs(d['arm']['room_to_rest_deg'] + d['arm']['room_to_stop_deg'] - 58) < 1e-9"
json "arm moment is preload and rate at its wind" "abs(d['arm']['moment_N_m'] - (34 + 0.9 * d['arm']['wind_deg'])) < 1e-8"
json "the crank takes back what the others ask" "abs(sum(p['torque_N_m'] / p['pitch_radius_mm'] * 1e3 for p in d['pulleys'])) < 1e-6"
json "a pulley leaves with the tension that the next one is entered with" "all(abs(p['exit_tension_N'] - q['entry_tension_N']) < 1e-6 for p, q in zip(d['pulleys'], d['pulleys'][1:] + d['pulleys'][:1]))"
json "rise of tension is torque over radius" "all(abs((p['exit_tension_N'] - p['entry_tension_N']) * p['pitch_radius_mm'] / 1e3 - p['torque_N_m']) < 1e-6 for p in d['pulleys'])"
json "centrifugal tension is m v2" "abs(d['belt']['centrifugal_tension_N'] - 7 * 0.019 * d['belt']['speed_m_s'] ** 2) < 1e-6"
json "path is spans and arcs" "abs(sum(s['length_mm'] for s in d['spans']) + sum(math.radians(p['wrap_deg']) * p['pitch_radius_mm'] for p in d['pulleys']) - d['belt']['path_length_mm']) < 1e-6"
json "grip is ln of the tractive tensions over friction and wrap" "all(abs(p['grip_used'] - abs(math.log((p['entry_tension_N'] - d['belt']['centrifugal_tension_N']) / (p['exit_tension_N'] - d['belt']['centrifugal_tension_N']))) / ((0.4413 if p['side'] == 'rib' else 0.35) * math.radians(p['wrap_deg']))) < 1e-6 for p in d['pulleys'])"
json "span frequency is that of a moving string" "all(abs(s['frequency_Hz'] - ((s['tension_N'] - d['belt']['centrifugal_tension_N']) / 0.133) / (2 * math.sqrt(s['tension_N'] / 0.133) * s['length_mm'] / 1e3)) < 1e-6 for s in d['spans'])"

run check "$drive" --rpm 3000 --json --set "exit idler.max_hub=4000 N"
json "and what has a limit" "[(h['pulley'], h['allowed_N']) for h in d['hub_loads'] if h['pulley'].endswith('idler')] == [('exit idler', 4000)]"

run check "$drive" --rpm 0 --json
json "at rest nothing turns" "all(p['rpm'] == 0 and abs(p['torque_N_m']) < 1e-9 for p in d['pulleys']) and d['belt']['speed_m_s'] == 0"
json "at rest all spans carry the same" "max(s['tension_N'] for s in d['spans']) - min(s['tension_N'] for s in d['spans']) < 1e-6"

run check "$drive" --rpm 3000 --rate 1500 --json
json "a rate is said back" "abs(d['state']['rate_rpm_s'] - 1500) < 1e-9"
run check "$drive" --rate 1500
expect_text "a rate wants a speed" "$err" "--rate needs --rpm"

run check "$drive" --set belt.ribs=5 --rpm 3000 --json
json "--set changes the build" "d['build']['ribs'] == 5 and d['build']['designation'] == '5PK1926'"
run check "$drive" --set 'blower.diameter=3.15 in' --rpm 3000 --json
expect_text "--set takes units" "$out" '"snub"'
run check "$drive" --variant "low compressor" --rpm 3000 --json
json "--variant moves the compressor" "[p for p in d['pulleys'] if p['name'] == 'compressor'][0]['centre_mm'] == [274, 11]"
run check "$drive" --variant "low compressor" --set "compressor.at=[273, 10]" --rpm 3000 --json
json "--set lies over --variant" "[p for p in d['pulleys'] if p['name'] == 'compressor'][0]['centre_mm'] == [273, 10]"
run check "$drive" --variant lowcompressor
expect_code "unknown variant" 2
expect_text "nearest variant" "$err" 'did you mean "low compressor"?'
run check "$drive" --set blower.diametr=75
expect_code "unknown path in --set" 2
expect_text "the option is named" "$err" "--set blower.diametr=75"
run check "$drive" --set blwer.diameter=75
expect_text "the nearest pulley" "$err" "there is no 'blwer'; did you mean 'blower'?"
run check "$drive" --set diameter=75
expect_text "a key of a pulley" "$err" "as in crank.diameter"
run check "$drive" --set "air.altitude=2500 m"
expect_code "altitude beside the file's pressure" 2
expect_text "what to write" "$err" "--set air.pressure=null takes the pressure out"
run check "$drive" --set "air={altitude: 2500 m}"
expect_code "a map leaves the rest, as in a variant" 2
run check "$drive" --json --rpm 3000 --set "air={altitude: 2500 m, pressure: null}"
merged=$out
run check "$drive" --json --rpm 3000 --set "air.altitude=2500 m" --set air.pressure=null
expect_same "a map is its keys one by one" "$(printf '%s' "$merged" | grep -v '"set\|fingerprint\|air')" "$(printf '%s' "$out" | grep -v '"set\|fingerprint\|air')"
sed '/stock:/d' "$drive" >"$work/nostock.yaml"
run check "$work/nostock.yaml" --json --rpm 3000 --set blower.diameter=73
json "the file's length without --free" "d['build']['belt_length_mm'] == 1926"
run check "$work/nostock.yaml" --json --rpm 3000 --set blower.diameter=73 --free
json "--free frees the length too" "d['build']['belt_length_mm'] not in (None, 1926) and d['build']['belt_length_mm'] % 1 == 0"
run check "$drive" --set nonsense
expect_text "--set without a value" "$err" "--set takes PATH=VALUE"

# A catalogue that cannot be read matters only to a drive that names a part; a comment does not.
echo "no catalogue" >"$work/damaged.db"
SNUB_CATALOGUE=$work/damaged.db run check "$drive" --rpm 3000
expect_code "no part is named" 0
sed 's/^  length: 1926.*/  length: 1926  # part: and catalogue in a comment/' "$drive" >"$work/comment.yaml"
SNUB_CATALOGUE=$work/damaged.db run check "$work/comment.yaml" --rpm 3000
expect_code "a comment names no part" 0
SNUB_CATALOGUE=$work/damaged.db run check "$drive" --rpm 3000 --set 'exit idler.part=x'
expect_code "a part of a damaged catalogue" 2

# A build that cannot be laid is an answer that fails.
run check "$drive" --set blower.diameter=300
expect_code "pulleys that overlap" 1
expect_text "pulleys that overlap" "$out" "FAIL"

# Mistakes: all of them at once, each with line, column and a caret.
sed -e 's/ribs: 7 *$/ribs: seven/' -e 's/displacement: 3.65 L/displcement: 3.65 L/' "$drive" >"$work/wrong.yaml"
run check "$work/wrong.yaml"
expect_code "wrong file" 2
line=$(grep -n 'ribs: seven' "$work/wrong.yaml" | cut -d: -f1)
expect_text "first mistake has its place" "$err" "wrong.yaml:$line:"
expect_text "nearest key" "$err" "displacement"
expect_text "caret" "$err" "^"
expect_same "nothing on stdout" "$out" ""
run check "$work/wrong.yaml" --json
json "errors as JSON" "len(d['errors']) >= 2 and all(m['line'] > 0 and m['column'] > 0 for m in d['errors'])"
printf 'snub: 1\nwro\xc3\xbcng: 2\n' >"$work/"$'b\xe4d.yaml'
run check "$work/"$'b\xe4d.yaml' --json
json "a name that is no UTF-8 is JSON all the same" "d['errors'] and 'd.yaml' in d['errors'][0]['file']"
run check "$work/none.yaml"
expect_code "missing file" 2
expect_text "missing file" "$err" "none.yaml: no such file"
run check "$work"
expect_text "a folder" "$err" "is a folder, not a file"
mkfifo "$work/pipe"
run check "$work/pipe"
expect_text "a pipe" "$err" "is a pipe or a device, not a file"
head -c 5000000 /dev/zero | tr '\0' '#' >"$work/large.yaml"
run check "$work/large.yaml"
expect_code "too large" 2
printf 'snub: 1\x00' >"$work/nul.yaml"
run check "$work/nul.yaml"
expect_code "NUL in the file" 2

# A limit laid over the file is the user's own: no basis of the list is printed for it.
run check "$SNUB_SOURCE_DIR/examples/sedgemere.yaml" --set limits.rib_tension=200 --json
json "basis of a limit that is laid over" "[f['source'] for f in d['findings'] if f['rule'] == 'rib_tension'] == ['changed for this build']"

# Any of the cases that are judged; what it needs of the file, and what does not go together.
locked=$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml
run check "$drive" --rpm 5700 --case accelerating --belt worn --arm-friction low --json
expect_code "a case" 0
json "which case" "(d['state']['case'], d['state']['belt'], d['state']['arm_friction'], d['state']['rate_rpm_s'] > 0) == ('accelerating', 'worn', 'low', True)"
worn=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['arm']['wind_deg'])")
run check "$drive" --rpm 5700 --belt short --json
json "a short belt winds the arm further" "d['arm']['wind_deg'] > $worn + 0.5"
run check "$locked" --warm --rpm 0 --json
json "warm, the tension that was set has risen" "min(s['tension_N'] for s in d['spans']) > 1200"
run check "$locked" --cold --rpm 0
expect_text "cold" "$out" "state      engine stopped, nominal belt, cold"
# A belt that the slot does not bring to its tension has no setting and no numbers of running, whoever asks.
reason="469.6 mm too short to reach the set tension"
run check "$locked" --set belt.length=1400
expect_code "a belt too short for the slot" 1
expect_text "too short: it is told" "$out" "The nominal belt is $reason"
expect_no_text "too short: no setting" "$out" "of its slot's"
expect_no_text "too short: no tensions" "$out" "hub"
run check "$locked" --set belt.length=1400 --json
json "too short: no numbers" "'$reason' in d['state']['no_equilibrium'] and d['pulleys'] == [] and d['spans'] == [] and d['build']['slots_mm'] == {}"
# The tables of a belt at an end of its tolerance have the setting that this belt is brought to.
for end in short:1923 long:1941; do
    run check "$locked" --set belt.length=1932 --set belt.tolerance=9 --belt "${end%:*}"
    shown=$(printf '%s\n' "$out" | sed -n 's/^belt .*; //p')
    run check "$locked" --set "belt.length=${end#*:}" --set belt.tolerance=0
    expect_same "setting of the ${end%:*} belt" "$shown" "$(printf '%s\n' "$out" | sed -n 's/^belt .*; //p')"
    expect_text "a setting is shown" "$shown" "tensioner at"
done
run check "$locked" --set belt.length=1940 --belt worn
expect_text "worn, too long for the slot" "$out" "state      The longest belt, worn is 0.3 mm too long"
for wrong in "--warm --cold" "--case overrun --rpm 3000 --rate 100" "--arm-friction low"; do
    run check "$locked" $wrong
    expect_code "$wrong" 2
done
run check "$drive" --warm
expect_text "nothing grows" "$err" "need engine.growth or belt.growth"
# Each finding prints the command that shows it, as it was called.
run check "$drive" --set 'blower.diameter=79' --variant 'low compressor'
command=$(printf '%s\n' "$out" | /usr/bin/python3 -c "import re, sys; print(re.findall(r'[$] snub (check.*--case.*)', re.sub(r' \\\\\n +', ' ', sys.stdin.read()))[0])")
expect_text "a command" "$command" "--set blower.diameter=79 --variant 'low compressor' --rpm"
eval "run $command"
expect_code "the command runs" 0
expect_text "and shows the case" "$out" "accelerating, +"

# The belt for a wished arm angle: with that belt the arm stands there, and each row is that belt's own check.
run check "$drive" --arm 45 --json
expect_code "a wished angle" 0
json "the belt and those beside it" "len(d['wished_arm']['belts']) == 11 and d['wished_arm']['nearest'] == '7PK1908' and d['wished_arm']['wind_deg'] == 45"
json "by rising length, in steps of the stock, about the wish" "[b['belt_length_mm'] for b in d['wished_arm']['belts']] == [1884 + 6 * i for i in range(11)]"
wished=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(repr(json.load(sys.stdin)['wished_arm']['belt_length_mm']))")
row=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(next(b for b in json.load(sys.stdin)['wished_arm']['belts'] if b['belt_length_mm'] == 1902))")
run check "$drive" --rpm 0 --set belt.length="$wished" --json
json "with it the arm stands at 45 deg" "abs(d['arm']['wind_deg'] - 45) < 1e-6"
run check "$drive" --rpm 0 --set belt.length=1902 --json
json "a row is that belt's check, engine stopped" "(lambda r: abs(r['arm_wind_deg'][0] - d['arm']['wind_deg']) < 1e-6 and abs(r['tension_stopped_N'] - d['spans'][0]['tension_N']) < 1e-6 and abs(r['grip_used'] - d['worst_grip_used']) < 1e-9 and r['verdict'] == d['verdict'])($row)"
run check "$drive" --set belt.length=1902 --json
json "and at the redline" "abs($row['arm_wind_deg'][1] - d['arm']['wind_deg']) < 1e-6"
json "the room is what the worst case leaves" "abs(58 - max(f['value'] for f in d['findings'] if f['rule'] == 'arm_travel' and f['limit'] == 47) - $row['room_deg']) < 0.3 and $row['room_deg'] > 0"
run check "$drive" --arm 45
expect_text "for people" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "45.0 deg from free with the engine stopped takes 7PK1910.5"
expect_width "for people, in 80 columns" "$out" 80
run check "$drive" --arm 58.5
expect_code "past the stop" 2
expect_text "past the stop" "$err" "from 0 to the arm's travel of 58 deg"
run check "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --arm 20
expect_code "no arm" 2
expect_text "no arm" "$err" "this drive has none"
run check "$drive" --set 'wrap idler.side=rib' --arm 20
expect_text "no belt runs" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "No belt holds the arm at 20.0 deg from free"
sed '/stock: /d' "$drive" >"$work/no_stock.yaml"
run check "$work/no_stock.yaml" --arm 45 --json
json "without a stock: whole mm, over all that the arm holds" "all(b['belt_length_mm'] == round(b['belt_length_mm']) for b in d['wished_arm']['belts']) and 8 <= len(d['wished_arm']['belts']) <= 11 and d['wished_arm']['nearest'] == '7PK1910'"

# ---- the arm at an end of its travel: the amount of the worst case ----
three=$SNUB_SOURCE_DIR/examples/three-pulleys.yaml
# the arm leaves its stop from 976.7 mm on
for length in 968 970 972 974 976; do
    run check "$three" --set "belt.length=$length" --json
    json "$length mm: what it lacks" "[abs(float(f['text'].split('too short by ')[1].split(' mm')[0]) - (976.7 - $length)) < 0.1 for f in d['findings'] if f['rule'] == 'arm_travel' and 'too short' in f['text']] == [True]"
done
# at redline the arm leaves its free position below 1004 mm; the tolerance is 5 mm, from 1000 mm on 6 mm
for case in 1000:1.0 1005:7.0 1010:12.0; do
    run check "$three" --set "belt.length=${case%:*}" --json
    json "${case%:*} mm: what it has too much" "[f['text'].split('too long by ')[1].split(' mm')[0] for f in d['findings'] if f['rule'] == 'arm_travel' and 'too long' in f['text']] == ['${case#*:}']"
done
run check "$three" --set tensioner.arm.preload=300 --json
json "a spring that the belt cannot lift: no amount, none under nought" "[('by -' in f['text'], 'too long and' in f['text']) for f in d['findings'] if f['rule'] == 'arm_travel'] == [(False, True)]"

# ---- an idler slips by its own inertia, whatever else is heavy ----
run check "$three" --set engine.inertia=0.12 --set tensioner.arm.inertia=0.001 --set tensioner.inertia=0.0002 \
    --set 'engine.irregularity={speed: [800,6500], order: [2], angle: [[0.35 deg],[0.02 deg]]}' --json
json "the idler's own inertia" "[(f['pulley'], 'less inertia on tensioner' in f['text']) for f in d['findings'] if f['rule'] == 'swing_slip'] == [('tensioner', True)]"

# ---- limits of another belt section ----
run check "$three" --set belt.section=PM --set belt.back=1 --set belt.thickness=13 --set belt.mass=0.12 --set belt.stiffness=80000 --json
json "the smallest pulley of its section" "[(f['limit'], f['source']) for f in d['findings'] if f['rule'] == 'smallest_pulley' and f['pulley'] == 'alternator'] == [(180, 'ISO 9982, not compared with its text')]"
json "a limit per rib that is another section's" "{f['source'] for f in d['findings'] if f['rule'] == 'rib_tension' and f['level'] == 'marginal'} <= {'of section PK: rule of thumb, no published source'}"

# ---- standard input that cannot be read ----
for how in closed folder writing; do
    says="Bad file descriptor"
    [ "$how" != folder ] || says="Is a directory"
    case $how in
    closed) "$snub" check - <&- >"$work/out" 2>"$work/err" ;;
    folder) "$snub" check - <"$work" >"$work/out" 2>"$work/err" ;;
    writing) "$snub" check - 0>"$work/sink" >"$work/out" 2>"$work/err" ;;
    esac
    code=$? err=$(cat "$work/err")
    expect_code "stdin, $how: refused" 2
    expect_text "stdin, $how: why" "$err" "standard input: cannot be read: $says"
done
run check -
expect_code "stdin, empty: refused" 2
expect_text "stdin, empty: why" "$err" "is empty"

finish
