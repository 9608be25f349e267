#!/usr/bin/env bash
# snub measure centres: what it shows, exit codes, the piece of a drive file, inches, what the drive knows, bad input.
. "$(dirname "$0")/lib.sh"
readings=$SNUB_SOURCE_DIR/examples/measured/sedgemere.yaml
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run measure centres "$readings"
expect_code "the example agrees" 0
expect_text "its layout is the drive's" "$out" "2 layouts fit the readings; this one is the nearest to the drive file's."
expect_text "which error is a default" "$out" "default"
expect_text "hands off" "$out" "Engine off and cold"
expect_width "it fits a terminal of 132" "$(COLUMNS=132 "$snub" measure centres "$readings")" 132
run measure centres "$readings" --json
json "keys" "set(d) == {'snub','title','centres','edges','readings','fit','layout','next','drive','verdict'}"
json "21 readings, 18 unknowns" "len(d['readings']) == 21 and d['fit']['unknowns'] == 18 and d['fit']['redundancy'] == 3"
json "shares add up to what is more than needed" "abs(sum(r['share_checked'] for r in d['readings']) - 3) < 1e-9"
json "what is given has no error" "d['centres'][0]['given'] and d['centres'][0]['error_mm'] == [0, 0]"
json "the blower lies in its direction" "abs(__import__('math').degrees(__import__('math').atan2(*d['centres'][3]['centre_mm'][::-1])) - 83.169) < 1e-9"
json "the defaults say so" "[r['default_error'] for r in d['readings'][:8]] == [True] * 6 + [False, True]"
json "lines of the file" "d['readings'][0]['line'] == 22 and d['readings'][-1]['line'] == 19"
json "the next readings get better" "all(a['longest_ellipse_mm'] <= b['longest_ellipse_mm'] < max(c['ellipse_mm'][0] for c in d['centres']) for a, b in zip(d['next'], d['next'][1:]))"

# The piece that is written, pasted under the drive's own variants, is the drive that the command spoke of.
wind=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['drive']['wind_deg'])")
run measure centres "$readings" -o "$work/centres.yaml"
expect_code "the piece is written" 0
paste_piece "$drive" "$work/centres.yaml" "$work/pasted.yaml"
run check "$work/pasted.yaml" --variant measured --rpm 0 --json
json "the pasted drive has that arm" "abs(d['arm']['wind_deg'] - $wind) < 0.01"
json "and that blower" "[p['centre_mm'] for p in d['pulleys'] if p['name'] == 'blower'] == [[46.07, 384.56]]"

# Without the drive file the mirror image fits as well, until a side is written.
sed -e 's/^drive:.*//' -e 's/, sets: [a-z.]*//' "$readings" >"$work/alone.yaml"
run measure centres "$work/alone.yaml"
expect_code "open: fail" 1
expect_text "the mirror image" "$out" "It is the mirror image: no distance tells them apart."
expect_text "what to write" "$out" '[{left: compressor, of: [crank,'
{ cat "$work/alone.yaml"; echo 'sides: [{left: alternator, of: [crank, blower]}]'; } >"$work/left.yaml"
run measure centres "$work/left.yaml" --json
expect_code "a side settles it" 0
json "by its side" "d['layout'] == {'chosen_by': 'sides', 'that_fit': 1, 'other_mm': None, 'settles': None} and d['centres'][1]['centre_mm'][0] < 0 and d['drive'] is None"
{ cat "$work/alone.yaml"; echo 'sides: [{right: alternator, of: [crank, blower]}]'; } >"$work/right.yaml"
run measure centres "$work/right.yaml" --json
json "the other side is the mirror image" "d['centres'][1]['centre_mm'][0] > 0 and d['verdict'] == 'pass'"
{ cat "$work/alone.yaml"; echo 'sides: [{left: alternator, of: [crank, blower]}, {left: steering, of: [crank, blower]}]'; } >"$work/both.yaml"
run measure centres "$work/both.yaml"
expect_code "sides that no layout has" 2
expect_text "which" "$err" "no layout that fits the readings has steering on that side"
run measure centres "$work/left.yaml" -o -
expect_text "without a drive it is a list of pulleys" "$out" '  - name: "crank"
    at: [0.00 mm, 0.00 mm]   # given'

# Nearly in line: with errors of 1 mm the middle one is held across to 1/(sqrt(2) h/100) mm, 141 mm at h = 0.5 and 71 at 1.
for reach in 100.00125 100.005; do
    cat >"$work/line.yaml" <<EOF
snub: 1
pulleys: [{name: left, at: [0, 0]}, {name: right, at: [200, 0]}, {name: middle}]
readings: [{centres: [left, middle], value: $reach}, {centres: [right, middle], value: $reach}]
sides: [{left: middle, of: [left, right]}]
EOF
    run measure centres "$work/line.yaml" --json
    if [ $reach = 100.00125 ]; then
        expect_code "141 mm is no answer" 2
        expect_text "who is loose" "$err" "middle is hardly held"
    else
        expect_code "71 mm is one" 0
        json "how loose" "69 < d['centres'][2]['error_mm'][1] < 72"
    fi
done

# 5 mm off in one: found, and put right.
sed -e 's/\[exit idler, steering\], value: 18.4/[exit idler, steering], value: 23.4/' \
    -e "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" "$readings" >"$work/blunder.yaml"
run measure centres "$work/blunder.yaml" --json
expect_code "a blunder: fail" 1
json "it stands out, and what the others say" "[r['between'] for r in d['readings'] if r['suspect']] == [['exit idler', 'steering']] and abs(d['readings'][9]['others_mm'] - 18.9) < 1.5"
run measure centres "$work/blunder.yaml"
expect_text "in words" "$out" "SUSPECT"

# Inches: the same centres.
sed -e 's/^units.*//' -e 's/value: \([0-9.]*\)/value: \1 mm/' "$readings" >"$work/inches.yaml"
echo 'units: us' >>"$work/inches.yaml"
sed -i "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" "$work"/*.yaml
run measure centres "$work/inches.yaml"
expect_text "inches by the file" "$out" "1.8136  15.1400"
run measure centres "$work/inches.yaml" --metric
expect_text "unless metric is wanted" "$out" "46.07  384.56"
run measure centres "$work/inches.yaml" -o -
expect_text "the piece in inches" "$out" '"blower.at": [1.8136 in, 15.1400 in]'

# Too few, given centres, edges.
grep -v 'alternator\]\|alternator, blower\]' "$work/left.yaml" >"$work/few.yaml"
run measure centres "$work/few.yaml"
expect_code "too few" 2
expect_text "what floats" "$err" "alternator floats: its readings (0)"
expect_text "what would hold it" "$err" "need another reading, as from"
cat >"$work/edge.yaml" <<'END'
snub: 1
pulleys:
  - {name: left bolt, at: [-100, 0]}
  - {name: right bolt, at: [100, 0]}
  - {name: pump, diameter: 80, error: 0}
edges:
  - {name: sump rail, direction: 0, through: [0, -50]}
readings:
  - {edge: [sump rail, pump], value: 130, error: 0.2}
  - {centres: [left bolt, pump], value: 156.205, error: 0.2}
END
run measure centres "$work/edge.yaml" --json
# Over the rail by 130 + 40: y = 120; sqrt(156.205^2 - 120^2) = 100: x = 0 or -200.
json "by a rail and a bolt" "sorted(round(x, 2) for x in (d['centres'][2]['centre_mm'][0], d['layout']['other_mm']['pump'][0])) == [-200, 0] and abs(d['centres'][2]['centre_mm'][1] - 120) < 1e-9"
json "a distance settles it" "d['layout']['settles']['between'] == ['right bolt', 'pump']"
json "nothing checks them" "d['fit']['redundancy'] == 0 and d['fit']['chance'] is None and all(r['against_stated'] is None for r in d['readings'])"
json "the error along the rail is that of the bolt's distance and the rail's" "abs(d['centres'][2]['error_mm'][1] - 0.2) < 1e-9 and abs(d['centres'][2]['error_mm'][0] - 0.2 * (156.205 ** 2 + 120 ** 2) ** 0.5 / 100) < 1e-5"

# Two layouts whose sums differ by d^2, d the difference of a distance over its error: both are as likely up to
# 2 ln 1000 = 13.8, so up to d = 3.72. The third bolt is 1.75 mm, then 1.95 mm above the line of the others: d = 3.5, 3.9.
for above in 1.75 1.95; do
    cat >"$work/likely.yaml" <<END
snub: 1
pulleys:
  - {name: left bolt, at: [-100, 0]}
  - {name: right bolt, at: [100, 0]}
  - {name: third bolt, at: [0, $above]}
  - {name: pump}
readings:
  - {centres: [left bolt, pump], value: 223.60680, error: 0.001}
  - {centres: [right bolt, pump], value: 223.60680, error: 0.001}
  - {centres: [third bolt, pump], value: $(/usr/bin/python3 -c "print(200 - $above)"), error: 1}
END
    run measure centres "$work/likely.yaml" --json
    json "as likely where the third bolt is at $above" "d['layout']['that_fit'] == (2 if $above < 1.86 else 1)"
done

# f = 1: the residuals of all readings that are checked are one. One is wrong, and nobody can say which.
cat >"$work/one.yaml" <<'END'
snub: 1
pulleys:
  - {name: left bolt, at: [-100, 0]}
  - {name: right bolt, at: [100, 0]}
  - {name: third bolt, at: [30, 190]}
  - {name: pump}
readings:
  - {centres: [left bolt, pump], value: 145, error: 0.3}
  - {centres: [right bolt, pump], value: 141.4, error: 0.3}
  - {centres: [third bolt, pump], value: 94.9, error: 0.3}
END
run measure centres "$work/one.yaml"
expect_code "one reading more, and wrong" 1
expect_text "all three" "$out" "One of 3 readings is wrong, and these cannot be told apart"

# Errors that the file leaves out go by the kind of reading; `errors` sets them.
sed 's/, error: 0.2//' "$work/edge.yaml" >"$work/usual.yaml"
run measure centres "$work/usual.yaml" --json
json "errors by rule of thumb" "[(r['kind'], r['error_mm'], r['default_error']) for r in d['readings']] == [('edge', 0.5, True), ('centres', 1, True)]"
echo 'errors: {edge: 0.7, centres: 0.01 in}' >>"$work/usual.yaml"
run measure centres "$work/usual.yaml" --json
json "errors of the file" "[(r['kind'], round(r['error_mm'], 9), r['default_error']) for r in d['readings']] == [('edge', 0.7, False), ('centres', 0.254, False)]"

# The picture, in English and German; the same bytes each time.
run measure centres "$work/blunder.yaml" --picture "$work/picture.pdf"
expect_code "a picture of a blunder" 1
words=$(pdftotext "$work/picture.pdf" - | tr '\n' ' ')
expect_text "names" "$words" "exit idler"
expect_text "what is heavy" "$words" "Heavy and dashed: suspect, measure again."
run measure centres "$readings" --picture "$work/picture.svg" --language de
expect_text "in German" "$(cat "$work/picture.svg")" "Gepunktet: die Messung, die am meisten brächte."
expect_text "with a comma" "$(cat "$work/picture.svg")" "384,6"
expect_no_text "nothing is suspect" "$(cat "$work/picture.svg")" "verdächtig"
run measure centres "$readings" --picture "$work/again.svg" --language de
expect_same "the same bytes" "$(sha256sum <"$work/again.svg")" "$(sha256sum <"$work/picture.svg")"
factor=$(grep -o 'größer als wahr: [0-9]*' "$work/picture.svg" | grep -o '[0-9]*$')
expect_same "the factor that is drawn" "$factor" 20
run measure centres "$readings" --picture "$work/picture.bmp"
expect_code "no such form" 2
expect_text "which there are" "$err" "the name ends in .svg, .pdf or .png"
run measure centres "$readings" --picture "$work/picture.png"
expect_same "a picture of dots" "$(head -c 4 "$work/picture.png" | tail -c 3)" PNG

# What the drive file knows and does not.
grep -v 'name: blower, diameter' "$readings" | sed -e "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" -e 's/^pulleys:/&\n  - {name: blower}/' >"$work/known.yaml"
run measure centres "$work/known.yaml" --json
json "the rim of the drive file" "[c['diameter_mm'] for c in d['centres'] if c['name'] == 'blower'][0] > 87"
run measure centres "$work/known.yaml" --json --set blower.rim_radius=46
json "and --set changes it" "[c['diameter_mm'] for c in d['centres'] if c['name'] == 'blower'][0] > 91"
sed -e '/^drive:/d' -e 's/, sets: [a-z.]*//' "$work/known.yaml" >"$work/unknown.yaml"
run measure centres "$work/unknown.yaml"
expect_code "no rim" 2
expect_text "no rim" "$err" "the diameter of blower is not known (need \`diameter\` of that pulley, here or in the drive file)"
sed 's/origin: crank,/origin: crank, at: [5, 0],/' "$work/known.yaml" >"$work/elsewhere.yaml"
run measure centres "$work/elsewhere.yaml"
expect_code "another origin than the drive's" 2
expect_text "another origin than the drive's" "$err" "crank has another place in the drive file (got [5, 0], need its place there, [0, 0] mm)"
sed 's/sets: tensioner.arm.pivot/sets: tensioner.arm.pivto/' "$work/known.yaml" >"$work/path.yaml"
run measure centres "$work/path.yaml"
expect_code "no such place of the drive" 2
expect_text "no such place of the drive" "$err" "path.yaml:16:5: pulleys.sets: the drive file has no such place (got tensioner.arm.pivto, need the path of [x, y]"
sed 's/sets: tensioner.arm.pivot/sets: tensioner.arm/' "$work/known.yaml" >"$work/path.yaml"
run measure centres "$work/path.yaml"
expect_text "a place that is no point" "$err" "is no point of the drive file (got tensioner.arm,"
grep -v '^drive:' "$readings" >"$work/path.yaml"
run measure centres "$work/path.yaml"
expect_code "no drive to set it in" 2

# Two readings that just reach each other hold nothing across.
cat >"$work/hinge.yaml" <<'END'
snub: 1
pulleys:
  - {name: left bolt, at: [-100, 0]}
  - {name: right bolt, at: [100, 0]}
  - {name: pump}
readings:
  - {centres: [left bolt, pump], value: 100}
  - {centres: [right bolt, pump], value: 100}
END
run measure centres "$work/hinge.yaml"
expect_code "just in one line" 2
expect_text "just in one line" "$err" "pump is hardly held: the readings lie so that small errors move it far"

# A locked tensioner: its setting follows from its tension, and so does the error of that.
sed -e "s#\.\./sedgemere\.yaml#$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml#" -e '/pivot bolt/d' "$readings" >"$work/locked.yaml"
run measure centres "$work/locked.yaml" --json
expect_code "a locked tensioner" 0
json "no arm" "d['drive']['runs'] and d['drive']['wind_deg'] is None and 0.5 < d['drive']['length_error_mm'] < 5"
json "marks with errors: of the locked slot alone" "[(p['name'], p['mark_error_mm'] is not None) for p in d['drive']['pulleys'] if p['mark_mm'] is not None] == [('tensioner', True)] and 0 < d['drive']['pulleys'][1]['mark_error_mm'] < 10"

# ---- an arm
arm=$SNUB_SOURCE_DIR/examples/measured/sedgemere-arm.yaml
run measure arm "$arm"
expect_code "the example is a spring" 0
expect_text "in words" "$out" "The readings agree within their errors"
expect_text "the spring" "$out" "The tensioner is under spring load"
expect_width "it fits a terminal" "$out" 80
run measure arm "$arm" --json
json "keys" "set(d) == {'snub','title','travel_deg','travel_error_deg','preload_N_m','preload_error_N_m','rate_N_m_deg','rate_error_N_m_deg','damping','damping_error','errors_within_95','redundancy','chi_square','chance','errors_multiplied_by','bend_over_error','drag_over_error','further_limit','stated_limit','no_spring','readings','verdict'}"
json "what it was made of: 34 N m, 0.9 N m/deg, 0.12" "all(abs(d[k] - v) < d['errors_within_95'] * d[e] for k, e, v in (('preload_N_m', 'preload_error_N_m', 34), ('rate_N_m_deg', 'rate_error_N_m_deg', 0.9), ('damping', 'damping_error', 0.12)))"
json "shares add up" "abs(sum(r['share_checked'] for r in d['readings']) - 13) < 1e-9 and d['redundancy'] == 13"
json "wind from the free position" "d['travel_deg'] == 58 and abs(d['readings'][0]['wind_deg'] - 8) < 1e-9 and d['readings'][0]['line'] == 11"
# The same arm read on a protractor that turns the other way.
awk '{ if ($1 == "free:" || $1 == "stop:") $2 = -$2; gsub(/\[\[/, "[[-"); gsub(/, \[/, ", [-"); print }' "$arm" >"$work/turned.yaml"
one=$(printf '%s' "$out" | sed '/chance/d' | sha256sum)
run measure arm "$work/turned.yaml" --json
expect_same "turned the other way it is the same" "$(printf '%s' "$out" | sed '/chance/d' | sha256sum)" "$one"
run measure arm "$arm" -o "$work/arm.yaml"
/usr/bin/python3 - "$drive" "$work/arm.yaml" "$work/sprung.yaml" <<'PASTE'
import re
import sys
drive, piece, out = sys.argv[1:]
keys = ", ".join(line.split("#")[0].strip() for line in open(piece) if not line.startswith("#"))
open(out, "w").write(re.sub(r"travel: 58,\s+preload: 34, rate: 0.9 N m/deg, damping: 0.12", keys, open(drive).read()))
PASTE
run check "$work/sprung.yaml" --rpm 0 --json
json "pasted, the drive has that spring" "abs(d['arm']['moment_N_m'] - (34.50 + 0.8868 * d['arm']['wind_deg'])) < 1e-6"
sed -e 's/^winding/up/' -e 's/^releasing/winding/' -e 's/^up/releasing/' "$arm" >"$work/swapped.yaml"
run measure arm "$work/swapped.yaml"
expect_code "branches swapped" 1
expect_text "branches swapped" "$out" "FAIL: The torque is not larger winding than releasing"
cat >"$work/wrong.yaml" <<'END'
snub: 1
free: 10
stop: 10.5
errors: {torque: 3 mm, angel: 1}
winding: [[12, 40], [13]]
releasing: [[12, 40 lbf ft]]
END
run measure arm "$work/wrong.yaml"
expect_code "bad input" 2
for want in '3:7: stop: gives a travel of 0.5 deg' '4:18: errors.torque: "mm" is a unit of a length' "did you mean 'angle'" '5:21: winding.1: is not a row of two values' '6:12: releasing: has too few items'; do
    expect_text "bad input" "$err" "$want"
done
sed 's/\[22, 46\]/[80, 46]/' "$arm" >"$work/outside.yaml"
run measure arm "$work/outside.yaml"
expect_text "outside of the travel" "$err" 'is outside of the travel (got [80, 46], need an angle between `free` and `stop`)'
sed 's/\[22, 46\]/[5, 46]/' "$arm" >"$work/outside.yaml"
run measure arm "$work/outside.yaml"
expect_text "before the free position" "$err" 'is outside of the travel (got [5, 46]'
run measure arm "$arm" --picture "$work/arm.svg"
expect_code "an arm has no picture" 2

# ---- plucked spans
pluck=$SNUB_SOURCE_DIR/examples/measured/sedgemere-pluck.yaml
run measure pluck "$pluck"
expect_code "the example is as expected" 0
expect_text "in words" "$out" "The readings agree within their errors"
expect_text "what is expected" "$out" "expected 515 N (428 N to 616 N"
expect_text "hands off" "$out" "Engine off and cold"
expect_width "it fits a wide terminal" "$(COLUMNS=132 "$snub" measure pluck "$pluck")" 132
run measure pluck "$pluck" --json
json "keys" "set(d) == {'snub','title','tension_N','tension_error_N','errors_within_95','mass_kg_m','mass_error_kg_m','bending_stiffness_N_m2','bending_stiffness_error_N_m2','ends','redundancy','chi_square','chance','errors_multiplied_by','stated_limit','readings','drive','verdict'}"
json "it was made of 522 N" "abs(d['tension_N'] - 522) < 2 * d['tension_error_N'] and d['redundancy'] == 4"
json "lines of the file" "[r['line'] for r in d['readings']] == [12, 13, 14, 15, 16]"
tension=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(json.load(sys.stdin)['tension_N'])")
sed -e '/^bending_stiffness/d' -e "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" "$pluck" >"$work/string.yaml"
run check "$drive" --rpm 0 --json
spans=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(s['from'], s['length_mm'], s['frequency_Hz']) for s in json.load(sys.stdin)['spans']])")
run measure pluck "$work/string.yaml" --json
json "as a string it is what check says of every span" "[(s['from'], round(s['length_mm'], 6), round(s['expected_Hz'], 6)) for s in d['drive']['spans']] == [(a, round(b, 6), round(c, 6)) for a, b, c in $spans]"
json "of a belt that bends freely" "d['bending_stiffness_N_m2'] == 0"
json "and the tension is higher" "d['tension_N'] > $tension + 3"
json "what all ring at goes with its root" "all(abs((s['rings_Hz'] / s['expected_Hz']) ** 2 - d['tension_N'] / d['drive']['expected_N'][1]) < 1e-2 for s in d['drive']['spans'])"
# The drive file has it for each rib, the readings for the belt. 7 x 0.003 = 0.021 N m2.
run measure pluck "$work/string.yaml" --json --set belt.bending_stiffness=0.003
json "where the readings have no stiffness it is the drive's" "abs(d['bending_stiffness_N_m2'] - 0.021) < 1e-12 and abs(d['tension_N'] - $tension) < 1e-6 * d['tension_N']"
run check "$drive" --rpm 0 --json --set belt.bending_stiffness=0.003
spans=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([(s['from'], s['frequency_Hz']) for s in json.load(sys.stdin)['spans']])")
run measure pluck "$work/string.yaml" --json --set belt.bending_stiffness=0.003
json "and with it what check says of every span" "all(s['from'] == a and abs(s['expected_Hz'] - f) < 1e-6 for s, (a, f) in zip(d['drive']['spans'], $spans))"
run measure pluck "$pluck" --json --set belt.bending_stiffness=0.01
json "the readings' own comes first" "d['bending_stiffness_N_m2'] == 0.021"
run measure pluck "$work/string.yaml" --json --set tensioner.arm.preload=60
expect_code "a drive that expects another tension" 1
json "surely" "d['drive']['surely_outside'] and d['verdict'] == 'fail' and d['tension_N'] < d['drive']['expected_N'][0]"
run measure pluck "$work/string.yaml" --set tensioner.arm.preload=60
expect_text "in words" "$out" "FAIL: the belt is slacker than the drive file expects"
# 428 N to 616 N with an error of 12: 630 N is outside, but not surely.
sed -E 's/frequency: ([0-9.]+)\}/frequency: \1x}/' "$pluck" | awk '{ if (match($0, /frequency: [0-9.]+x/)) { f = substr($0, RSTART + 11, RLENGTH - 12); sub(/[0-9.]+x/, sprintf("%.2f", f * sqrt(630 / 522.9))) } print }' |
    sed "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" >"$work/tight.yaml"
run measure pluck "$work/tight.yaml" --json
expect_code "outside by less than its error" 0
json "marginal" "d['verdict'] == 'marginal' and d['drive']['outside'] and not d['drive']['surely_outside']"
sed 's/frequency: 198.3/frequency: 204/' "$work/string.yaml" >"$work/off.yaml"
run measure pluck "$work/off.yaml" --json
expect_code "one that stands out" 1
json "which" "[r['suspect'] for r in d['readings']] == [False, False, False, False, True]"
run measure pluck "$work/string.yaml" --json --set belt.mass=0.021
json "the drive's mass" "abs(d['mass_kg_m'] - 0.147) < 1e-12 and d['mass_error_kg_m'] == 0.003"
sed -e 's/drive:.*/mass: 0.133/' -e 's/\], freq/], length: 0.2 m, freq/' "$pluck" >"$work/alone.yaml"
echo 'units: us' >>"$work/alone.yaml"
run measure pluck "$work/alone.yaml"
expect_text "inches by the file" "$out" "lbf"
run measure pluck "$work/alone.yaml" --json
json "no drive" "d['drive'] is None and d['readings'][0]['length_mm'] == 200"
sed 's/^ends.*//; $a ends: fixed' "$pluck" | sed "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" >"$work/fixed.yaml"
run measure pluck "$work/fixed.yaml" --json
json "fixed ends: less tension" "d['ends'] == 'fixed' and d['tension_N'] < $tension - 20"
cat >"$work/wrong.yaml" <<'END'
snub: 1
bending_stiffness: 3 mm
ends: loose
spans:
  - {span: [a, b], length: 200}
  - {span: [a, b], length: 200, frequency: 80, wav: a.wav, between: [90, 40]}
  - {span: [a], frequency: 80}
  - {span: [a, b], length: 200, wav: a.wav, harmonic: 2, error: 1}
END
run measure pluck "$work/wrong.yaml"
expect_code "bad input" 2
for want in 'does not say how heavy it is' '3:7: ends:' '5:5: spans.0: does not say what was heard' '6:5: spans.1: gives both a frequency and a sound' 'does not rise' 'between: is for a sound' '7:12: spans.2.span: has too few items' 'spans.2: has no length' 'harmonic: follows from the sound' 'error: follows from the sound'; do
    expect_text "bad input" "$err" "$want"
done
sed 's/compressor, crank/compressor, blower/' "$work/string.yaml" >"$work/nospan.yaml"
run measure pluck "$work/nospan.yaml"
expect_text "no such span" "$err" "nospan.yaml:11:5: spans: the belt of the drive file has no span between compressor and blower"
sed -e 's/compressor, crank/crank, compressor/' "$pluck" | sed "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" >"$work/turned.yaml"
run measure pluck "$work/turned.yaml" --json
json "named the other way round" "abs(d['tension_N'] - $tension) < 1e-9"
printf 'snub: 1\nmass: 0.1\nspans: [{span: [a, b], length: 300, frequency: 120}]\n' >"$work/alone.yaml"
run measure pluck "$work/alone.yaml" --json
json "no drive, no stiffness: 4 m f2 L2" "abs(d['tension_N'] - 518.4) < 1e-9 and d['bending_stiffness_N_m2'] == 0 and d['drive'] is None"
printf 'snub: 1\nmass: 0.1\nbending_stiffness: 0.05\nspans: [{span: [a, b], length: 300, frequency: 12}]\n' >"$work/stiff.yaml"
run measure pluck "$work/stiff.yaml"
expect_text "bending alone rings higher" "$err" "a - b: bending stiffness alone rings higher than this, without any tension"
sed "s#\.\./sedgemere\.yaml#$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml#" "$pluck" >"$work/locked.yaml"
run measure pluck "$work/locked.yaml" --json
json "a fixed tensioner: 3 % of frequency either way" "abs(d['drive']['expected_N'][2] / d['drive']['expected_N'][1] - 1.0609) < 1e-9"
run measure pluck "$pluck" --picture "$work/pluck.svg"
expect_code "it has no picture" 2
run measure pluck "$pluck" -o "$work/pluck.yaml"
expect_code "nothing to paste" 2

# ---- fitted belts
belts=$SNUB_SOURCE_DIR/examples/measured/sedgemere-belt.yaml
run measure belt "$belts"
expect_code "the example is marginal" 0
expect_text "in words" "$out" "strange is the belts' length. Measure that first."
expect_text "hands off" "$out" "The tensioner is under spring load"
expect_width "it fits a wide terminal" "$(COLUMNS=132 "$snub" measure belt "$belts")" 132
run measure belt "$belts" --json
json "keys" "set(d) == {'snub','title','agrees','chi_square','chance','length_error_mm','belts','causes','together','verdict'}"
json "the length first" "d['causes'][0]['cause'] == 'length' and abs(d['causes'][0]['size_mm'] - 2.24) < 0.01 and d['verdict'] == 'marginal'"
json "lines" "[b['line'] for b in d['belts']] == [12, 13, 14]"
sed "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#" "$belts" >"$work/belts.yaml"
run measure belt "$work/belts.yaml" --json --set blower.at="[46.3, 383.0]"
json "--set moves the drive" "d['causes'][0]['size_mm'] < 1.9"
sed 's/wind: \([0-9.]*\)/wind: \1 deg/; s/length: \([0-9]\{4\}\)/length: \1 mm/; $a units: us' "$work/belts.yaml" >"$work/us.yaml"
run measure belt "$work/us.yaml"
expect_text "inches by the file" "$out" "75.827      37.60"
cat >"$work/wrong.yaml" <<'END'
snub: 1
errors: {wind: 3 mm}
belts:
  - {wind: 30}
  - {length: 1926, wind: 30, mark: 3, settings: [1]}
  - {length: 1926, settings: {wrap idler: far}}
END
run measure belt "$work/wrong.yaml"
expect_code "bad input" 2
for want in 'drive: is missing' '2:16: errors.wind: "mm" is a unit of a length' '4:5: belts.0.length: is missing' 'belts.1: gives both a wind and a mark' 'belts.1.settings: is not a list of marks' 'belts.2: does not say what was read' 'belts.2.settings.wrap idler: '; do
    expect_text "bad input" "$err" "$want"
done

# ---- strips, balls, worn belts
spread=$SNUB_SOURCE_DIR/examples/measured/sedgemere-spread.yaml
run measure spread "$spread"
expect_code "the example is to be watched" 0
expect_text "what" "$out" "Growth of the belt: it is near its limit or over it."
expect_text "hands off" "$out" "Engine off and cold"
expect_no_text "what is good needs no advice" "$out" "Replace the pulley."
expect_width "it fits a wide terminal" "$(COLUMNS=132 "$snub" measure spread "$spread")" 132
run measure spread "$spread" --json
json "keys" "set(d) == {'snub','title','errors_within_95','checks','verdict'} and set(d['checks'][0]) == {'what','pulley','line','unit','value','error','expected','limit','basis','verdict'}"
json "all of them" "[(c['what'], c['verdict']) for c in d['checks']] == [('wrap', 'pass'), ('diameter', 'pass'), ('grooves', 'pass'), ('diameter', 'pass'), ('grooves', 'pass'), ('angle', 'pass'), ('growth', 'marginal'), ('pin', 'pass')]"
json "lines" "[c['line'] for c in d['checks']] == [10, 12, 12, 13, 13, 13, None, None]"
sed "s#\.\./sedgemere#$SNUB_SOURCE_DIR/examples/sedgemere#; \$a units: us" "$spread" >"$work/spread.yaml"
run measure spread "$work/spread.yaml"
expect_text "inches by the file" "$out" " in "
run measure spread "$work/spread.yaml" --set belt.worn=0.002
expect_code "a stricter drive" 1
cat >"$work/wrong.yaml" <<'END'
snub: 1
errors: {arc: 3 deg}
strips: [{pulley: crank}, {arc: 30, pulley: crank, wide: 3}]
balls: [{pulley: crank, ball: 9, over: [100]}, {pulley: crank, ball: 2.5}]
worn: {outside: {new: 1900}, pin: {new: -0.1, now: 0}}
END
run measure spread "$work/wrong.yaml"
expect_code "bad input" 2
for want in 'drive: is missing' '2:15: errors.arc: "deg" is a unit of an angle' 'strips.0.arc: is missing' 'strips.1.wide: ' '4:31: balls.0.ball: is too large' 'balls.1.over: is missing' 'worn.outside.now: is missing' 'does not stand out even of the new belt'; do
    expect_text "bad input" "$err" "$want"
done
printf 'snub: 1\ndrive: %s\n' "$drive" >"$work/empty.yaml"
run measure spread "$work/empty.yaml"
expect_text "nothing read" "$err" "has no readings (got a map, need"

# ---- the wrong file
run measure spread "$belts"
expect_text "belts for strips" "$err" 'this file holds readings for `snub measure belt`, not for `spread`'
run measure arm "$spread"
expect_text "strips for an arm" "$err" 'this file holds readings for `snub measure spread`, not for `arm`'
run measure belt "$arm"
expect_text "torques for belts" "$err" 'this file holds readings for `snub measure arm`, not for `belt`'
run measure pluck "$belts"
expect_text "belts for plucks" "$err" 'this file holds readings for `snub measure belt`, not for `pluck`'
run measure centres "$arm"
expect_code "torques for centres" 2
expect_text "torques for centres" "$err" 'sedgemere-arm.yaml:11:10: this file holds readings for `snub measure arm`, not for `centres`'
run measure arm "$pluck"
expect_text "plucks for an arm" "$err" 'this file holds readings for `snub measure pluck`, not for `arm`'
run measure pluck "$readings"
expect_text "distances for plucks" "$err" 'this file holds readings for `snub measure centres`, not for `pluck`'

run measure arms "$readings"
expect_code "no such thing to measure" 2
run measure centres
expect_code "no file" 2
finish
