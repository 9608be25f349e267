#!/usr/bin/env bash
# snub measure circles: sketches and points, which circle is which pulley, the piece of a drive file, pictures, bad input.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
sketch=$SNUB_SOURCE_DIR/examples/measured/sedgemere.dxf
scan=$SNUB_SOURCE_DIR/examples/measured/sedgemere-scan.csv
unset COLUMNS
flat() { printf '%s' "$out" | tr -s ' \n' '  '; } # as one line

# ---- a sketch ----------------------------------------------------------------------------------------------------------

run measure circles "$sketch" "$drive"
expect_code "the example: every pulley that stands still is found" 0
expect_text "its unit" "$out" "The sketch is in mm, as it says."
expect_text "what is off is counted" "$(flat)" "1 CIRCLE or ARC of a layer that is off (first in line 322)"
expect_text "so are lines" "$out" "1 LINE (first in line 196)"
expect_text "fillets" "$out" "2 arcs of less than 180 deg are passed over"
expect_text "what moves" "$(flat)" "not looked for: it moves with an arm or in a slot"
expect_width "it fits a terminal of 132" "$(COLUMNS=132 "$snub" measure circles "$sketch" "$drive")" 132
run measure circles "$sketch" "$drive" --json
json "keys" "set(d) == {'snub','of','unit','unit_told','tolerance_mm','reach_mm','circles','pulleys','short_arcs','passed_over','verdict'}"
json "matches" "{p['name']: p['match'] for p in d['pulleys']} == {'crank': 'found', 'tensioner': 'moves', 'alternator': 'found', 'wrap idler': 'moves', 'blower': 'found', 'exit idler': 'found', 'steering': 'found', 'compressor': 'found'}"
json "two arcs make the alternator's" "[(c['diameter_mm'], round(c['arc_deg'], 9)) for c in d['circles'] if c['pulley'] == 'alternator'] == [(58, 360)]"
json "a block that is turned by 90 deg" "[[round(v, 9) for v in c['centre_mm']] for c in d['circles'] if abs(c['diameter_mm'] - 6.6) < 1e-9] == [[236.4, 257.7]]"
json "its bolt keeps its own layer, its rim takes the block's" "{c['layer'] for c in d['circles'] if c['diameter_mm'] in (6.6, 126)} == {'BOLTS', 'PULLEYS'}"
json "one middle" "[c['diameter_mm'] for c in d['circles'] if c['same_middle_as'] == 1] == [162, 34, 14]"
json "the tips of the blower's ribs" "[abs(p['diameter_off_mm']) < 1e-6 for p in d['pulleys'] if p['name'] == 'blower'] == [True]"
run measure circles "$sketch" --json
json "without a drive: all, unnamed" "len(d['circles']) == 16 and d['pulleys'] is None and {c['pulley'] for c in d['circles']} == {None}"
run measure circles "$sketch" --layer bolts --json
json "one layer, however it is written" "{c['layer'] for c in d['circles']} == {'BOLTS'} and len(d['circles']) == 5"
json "the rest is counted" "any(s['what'] == 'CIRCLE or ARC of another layer' for s in d['passed_over'])"
run measure circles "$sketch" --layer old --json
json "a layer that is off, where it is asked for" "[c['diameter_mm'] for c in d['circles']] == [60]"
run measure circles "$sketch" --layer bolt
expect_code "no such layer" 2
expect_text "perhaps" "$err" "did you mean 'BOLTS'?"
run measure circles "$sketch" --arc 80 --json
json "short arcs too" "len(d['circles']) == 18 and d['short_arcs'] == 0"
run measure circles "$sketch" --unit in --json
json "in inches, as is said" "d['unit'] == 'in' and d['unit_told'] and abs(d['circles'][0]['diameter_mm'] - 162 * 25.4) < 1e-6"
run measure circles "$sketch" --unit in
expect_text "that the file says otherwise" "$out" "The sketch is read in inches, as you say; it says mm itself."
run measure circles "$sketch" --inches
expect_text "shown in inches" "$out" "6.37795"

# The piece, pasted under the drive's own variants, is the drive of the sketch.
run measure circles "$sketch" "$drive" -o "$work/places.yaml"
expect_text "what else is round is left to the reader" "$(cat "$work/places.yaml")" '#   - {name: "circle 12", circle: {at: [258.100 mm, -5.900 mm], diameter: 28.000 mm}}'
expect_no_text "what is found is no obstacle" "$(cat "$work/places.yaml")" '"circle 1"'
paste_piece "$drive" "$work/places.yaml" "$work/pasted.yaml"
run check "$work/pasted.yaml" --variant measured --rpm 0 --json
json "the pasted drive" "{p['name']: p['centre_mm'] for p in d['pulleys'] if p['name'] in ('crank', 'steering')} == {'crank': [0.12, -0.08], 'steering': [236.4, 237.7]}"
run measure circles "$sketch" "$work/pasted.yaml" --variant measured --reach 0.001 --json
json "compared with that variant nothing is off" "max(abs(v) for p in d['pulleys'] if p['match'] == 'found' for v in p['off_mm']) < 1e-9 and d['verdict'] == 'pass'"
run measure circles "$sketch" "$drive" --reach 0.3 --json
expect_code "farther than the reach: marginal" 0
json "not found" "[p['match'] for p in d['pulleys'] if p['name'] in ('alternator', 'exit idler')] == ['not found', 'found'] and d['verdict'] == 'marginal'"
run measure circles "$sketch" "$drive" --reach 0.3
expect_text "the nearest is shown" "$(flat)" "NOT FOUND; this circle is the"

# Two that fit, and one that two pulleys want: open, and not guessed.
sed 's/^258.100000$/46.500000/; s/^-5.900000$/384.100000/; s/^14.000000$/44.000000/' "$sketch" >"$work/two.dxf"
run measure circles "$work/two.dxf" "$drive" -o "$work/two.yaml" --json
expect_code "two circles fit one pulley: fail" 1
json "open" "[(p['match'], p['that_fit']) for p in d['pulleys'] if p['name'] == 'blower'] == [('open', 2)]"
expect_no_text "it is not written" "$(cat "$work/two.yaml")" 'blower.at'
run measure circles "$sketch" "$drive" --set exit\ idler.at="[236,239]" --set exit\ idler.diameter=126
expect_code "two pulleys want one circle: fail" 1
expect_text "open" "$(flat)" "OPEN: its circle fits another pulley too"

# Two circles of 126, 2 mm apart: both fit the steering pump, the upper one also fits an idler that is set there.
sed 's/^258.100000$/236.400000/; s/^-5.900000$/239.700000/; s/^14.000000$/63.000000/' "$sketch" >"$work/pump.dxf"
run measure circles "$work/pump.dxf" "$drive" --set exit\ idler.at="[236,240.5]" --set exit\ idler.diameter=126 --json
json "what fits one of them alone is open all the same" "{p['name']: (p['match'], p['that_fit']) for p in d['pulleys'] if p['name'] in ('steering', 'exit idler')} == {'steering': ('open', 2), 'exit idler': ('open', 1)}"

# ---- by hand -----------------------------------------------------------------------------------------------------------

dxf() { # UNIT, then pairs
    { printf '0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n%s\n0\nENDSEC\n' "$1"; shift; printf '%s\n' "$@"; printf '0\nEOF\n'; } >"$work/hand.dxf"
    run measure circles "$work/hand.dxf" --json
}
# A row of three by two, 10 and 7 apart, in a block that is put in twice as large and turned by 90 deg about (100, 50):
# a hole at (1, 0) of the inner block, columns run up, rows to the left.
dxf 4 0 SECTION 2 BLOCKS 0 BLOCK 2 HOLE 10 0 20 0 0 CIRCLE 8 0 10 1 20 0 40 2 0 ENDBLK \
    0 BLOCK 2 FIELD 10 0 20 0 0 INSERT 2 HOLE 10 0 20 0 70 3 71 2 44 10 45 7 0 ENDBLK 0 ENDSEC \
    0 SECTION 2 ENTITIES 0 INSERT 2 FIELD 10 100 20 50 41 2 42 2 50 90 0 ENDSEC
json "a field in a block" "sorted([round(v, 9) for v in c['centre_mm']] for c in d['circles']) == sorted([100 - 14 * r, 52 + 20 * c] for c in range(3) for r in range(2)) and {round(c['diameter_mm'], 9) for c in d['circles']} == {8}"
dxf 4 0 SECTION 2 BLOCKS 0 BLOCK 2 HOLE 0 CIRCLE 10 1 20 0 40 2 0 ENDBLK 0 ENDSEC \
    0 SECTION 2 ENTITIES 0 CIRCLE 10 5 20 5 40 3 0 INSERT 2 HOLE 10 0 20 0 41 2 42 3 0 INSERT 2 GONE 10 0 20 0 \
    0 CIRCLE 10 9 20 9 40 1 67 1 0 CIRCLE 10 9 20 9 40 1 210 0 220 0.6 230 0.8 0 ELLIPSE 10 0 20 0 40 1 0 ENDSEC
json "what is no circle is counted, each by its reason" "len(d['circles']) == 1 and {s['what']: s['count'] for s in d['passed_over']} == {'CIRCLE or ARC in a block that is stretched': 1, 'INSERT of a block that is not here': 1, 'CIRCLE on paper': 1, 'CIRCLE that is tilted': 1, 'ELLIPSE': 1}"
# Two arcs of two circles, and two quarters of one, are none.
dxf 4 0 SECTION 2 ENTITIES 0 LWPOLYLINE 90 2 70 1 10 -4 20 0 42 1 10 4 20 0 42 1 0 LWPOLYLINE 90 2 70 1 10 -4 20 0 42 1 10 4 20 0 42 0.5 \
    0 LWPOLYLINE 90 3 70 0 10 -5 20 0 42 -1 10 5 20 0 42 -1 10 -5 20 0 \
    0 LWPOLYLINE 90 3 70 0 10 9 20 0 42 0.41421356 10 0 20 9 42 0.41421356 10 -9 20 0 0 ENDSEC
json "polylines that are circles, and two that are none" "[round(c['diameter_mm'], 9) for c in d['circles']] == [10, 8] and [(p['what'], p['count']) for p in d['passed_over']] == [('LWPOLYLINE', 2)]"
dxf 1 0 SECTION 2 ENTITIES 0 CIRCLE 10 1 20 2 40 0.5 0 ENDSEC
json "inches by the file" "d['circles'][0]['centre_mm'] == [25.4, 50.8] and d['circles'][0]['diameter_mm'] == 25.4"
dxf 4 0 SECTION 2 ENTITIES 0 ARC 10 0 20 0 40 5 50 300 51 80 0 ARC 10 0.03 20 0 40 5.01 50 60 51 150 0 ENDSEC
json "arcs that overlap over the zero: one circle of 210 deg" "[round(c['arc_deg'], 9) for c in d['circles']] == [210]"

bad_dxf() { # NAME TEXT, of what dxf has just read
    expect_code "$1" 2
    expect_text "$1: words" "$err" "$2"
}
dxf 0 0 SECTION 2 ENTITIES 0 CIRCLE 10 1 20 2 40 0.5 0 ENDSEC
bad_dxf "no unit" "does not say its unit: give --unit mm, or --unit in"
dxf 4 0 SECTION 2 ENTITIES 0 CIRCLE 10 1 20 2 0 ENDSEC
bad_dxf "no radius" "hand.dxf:16: CIRCLE has no group code 40"
dxf 4 0 SECTION 2 ENTITIES 0 CIRCLE 10 1 20 2 40 -3 0 ENDSEC
bad_dxf "a radius under 0" "hand.dxf:16: its radius should be over 0"
dxf 4 0 SECTION 2 ENTITIES 0 CIRCLE 10 1,5 20 2 40 3 0 ENDSEC
bad_dxf "no number" 'hand.dxf:18: should be a number of up to 10^9 either way (got "1,5"'
dxf 4 0 SECTION 2 ENTITIES 0 CIRCLE 10 1 x 2 40 3 0 ENDSEC
bad_dxf "no group code" "hand.dxf:19: a group code should be here, a whole number"
dxf 4 0 SECTION 2 ENTITIES 0 LINE 10 1 20 2 0 ENDSEC
bad_dxf "no circle" "there is no circle in the sketch; passed over: 1 LINE"
dxf 6 0 SECTION 2 ENTITIES 0 CIRCLE 10 5000 20 2 40 3 0 ENDSEC
bad_dxf "too far" "this is over 1 km large or from the zero"
dxf 4 0 SECTION 2 BLOCKS 0 BLOCK 2 A 0 CIRCLE 10 0 20 0 40 1 0 INSERT 2 A 10 1 20 1 0 ENDBLK 0 ENDSEC 0 SECTION 2 ENTITIES 0 INSERT 2 A 10 0 20 0 0 ENDSEC
bad_dxf "a block in itself" "hand.dxf:28: blocks stand in blocks more than 16 deep, or in themselves"
head -n 30 "$sketch" >"$work/hand.dxf"
run measure circles "$work/hand.dxf"
bad_dxf "cut off" "hand.dxf:30: the file ends before its EOF"
head -n 31 "$sketch" >"$work/hand.dxf"
run measure circles "$work/hand.dxf"
bad_dxf "cut off in a pair" "hand.dxf:31: the file ends behind a group code"
printf 'some words\n' >"$work/hand.dxf"
run measure circles "$work/hand.dxf"
bad_dxf "no DXF" "hand.dxf:1: not an ASCII DXF file"
printf 'Binary DXF\r\n\032\000' >"$work/hand.dxf"
run measure circles "$work/hand.dxf"
expect_code "binary" 2

# ---- points ------------------------------------------------------------------------------------------------------------

run measure circles "$scan" "$drive"
expect_code "the example: marginal" 0
expect_text "what is left out, by its line" "$out" "alternator, line 32: LEFT OUT, 1.111 mm off the circle of the others"
run measure circles "$scan" "$drive" --json
json "seven circles of 107 points, one left out" "len(d['circles']) == 7 and sum(len(c['fit']['points']) for c in d['circles']) == 107 and [p['line'] for c in d['circles'] for p in c['fit']['points'] if p['left_out']] == [32] and d['verdict'] == 'marginal'"
json "made on a circle of 58 about (-204.3, 268.2)" "[abs(c['centre_mm'][0] + 204.3) < 0.06 and abs(c['centre_mm'][1] - 268.2) < 0.06 and abs(c['diameter_mm'] - 58) < 0.08 for c in d['circles'] if c['name'] == 'alternator'] == [True]"
json "by their names" "all(p['by_name'] for p in d['pulleys'] if p['match'] == 'found')"

points() { # NAME OF FILE, rows
    printf '%b' "$2" >"$work/$1"
}
# The same four points of a circle of 5 about (1, 2), in every way in which rows are written.
points a.csv 'x [mm],y [mm]\n6,2\n1,7\n-4,2\n1,-3\n'
points b.csv 'y (cm);x (cm);no\n0,2;0,6;1\n0,7;0,1;2\n0,2;-0,4;3\n-0,3;0,1;4\n'
points c.txt '# a remark\nx[mm]\ty[mm]\r\n6\t2\r\n1\t7\r\n-4\t2\r\n1\t-3\r\n'
points d.xyz '  6,0 2,0 0\n1 7.0 0\n-4 2 0\n\n1 -3 0'
points e.csv '"rim, left","across [mm]","up [mm]"\na,6,2\na,1,7\na,-4,2\na,1,-3\n'
points g.csv '6,2,1 upper\n1,7,1 upper\n-4,2,1 upper\n1,-3,1 upper\n'
iconv -f utf-8 -t utf-16 "$work/a.csv" >"$work/f.csv"
for way in "a.csv" "b.csv" "c.txt" "d.xyz --unit mm" "e.csv --column x=across --column y=3 --column name=1" "f.csv" "g.csv --unit mm --column x=1 --column y=2 --column name=3"; do
    read -ra words <<<"$way"
    run measure circles "$work/${words[0]}" "${words[@]:1}" --json
    json "rows as in $way" "[round(v, 9) for v in d['circles'][0]['centre_mm']] == [1, 2] and round(d['circles'][0]['diameter_mm'], 9) == 10 and d['circles'][0]['fit']['used'] == 4"
done
run measure circles "$work/a.csv"
expect_text "that all are taken for one is said" "$(flat)" "No column says which circle a point is on: all are taken for one circle."
expect_text "four cannot show a wrong one" "$out" "with fewer than six points a wrong one cannot be found"
out=$("$snub" measure circles - --json <"$work/a.csv")
json "by a pipe" "round(d['circles'][0]['diameter_mm'], 9) == 10"
points three.csv 'x [mm],y [mm]\n6,2\n1,7\n-4,2\n'
run measure circles "$work/three.csv"
expect_code "three points" 0
expect_text "nothing checks them" "$out" "three points make a circle, and nothing checks it"
expect_text "marginal" "$out" "verdict: marginal"
# With an error of 0.3 mm: a quarter turn apart, x of the centre by the outer two, 0.3/sqrt 2; r - y by them too.
run measure circles "$work/three.csv" --error 0.3 --json
json "with a stated error they have one" "abs(d['circles'][0]['fit']['error_mm'][0] - 0.3 / 2 ** 0.5) < 1e-9 and abs(d['circles'][0]['fit']['errors_within_95'] - 1.959964) < 1e-5"
run measure circles "$scan" --error 0.005 --json
json "points that scatter more than is said" "all(c['fit']['errors_multiplied_by'] > 2 for c in d['circles']) and d['verdict'] != 'pass'"

# A chord: 20 deg of a circle of 60, scattered by 0.3 mm, is a line as well; by 0.02 mm it is hardly held.
arc() { /usr/bin/python3 -c "
import math
print('x [mm],y [mm]')
for i in range(12):
    t, r = math.radians(80 + 20 * i / 11), 30 + $1 * (-1) ** i
    print(f'{r * math.cos(t):.6f},{r * math.sin(t):.6f}')" >"$work/arc.csv"; }
arc 0.3
run measure circles "$work/arc.csv" -o "$work/arc.yaml"
expect_code "no circle: fail" 1
expect_text "why" "$(flat)" "NO CIRCLE. On so short an arc the points cannot be told from a straight line"
expect_no_text "and none is written" "$(cat "$work/arc.yaml")" "diameter"
arc 0.02
run measure circles "$work/arc.csv"
expect_code "hardly held" 0
expect_text "how far" "$(flat)" "hardly held. With 95 % its centre lies within"
arc 0.0001
run measure circles "$work/arc.csv" --json
json "well held" "d['verdict'] == 'pass' and abs(d['circles'][0]['diameter_mm'] - 60) < 0.05"

# A quarter and more that stands out: fail.
/usr/bin/python3 -c "
import math
print('x [mm],y [mm]')
for i in range(30):
    t, r = 0.2 * i, 30 + 0.01 * math.sin(7 * i) + (2 + 0.3 * i if i % 3 == 0 else 0)
    print(f'{r * math.cos(t):.6f},{r * math.sin(t):.6f}')" >"$work/third.csv"
run measure circles "$work/third.csv" --json
expect_code "a third is wrong: fail" 1
json "and found" "[i for i, p in enumerate(d['circles'][0]['fit']['points']) if p['left_out']] == list(range(0, 30, 3)) and abs(d['circles'][0]['diameter_mm'] - 60) < 0.02"

points inches.csv 'x [in],y [in]\n6,2\n1,7\n-4,2\n1,-3\n'
run measure circles "$work/inches.csv"
expect_text "inches are said in words" "$out" "4 points in inches, as the header says."

bad_points() { # NAME ROWS TEXT OPTIONS...
    points bad.csv "$2"
    run measure circles "$work/bad.csv" "${@:4}"
    expect_code "$1" 2
    expect_text "$1: words" "$err" "$3"
}
bad_points "no unit" 'x,y\n1,2\n3,4\n5,7\n' "bad.csv:1: x: its unit is not known: write it in the header, as in x [mm], or give --unit mm"
bad_points "another unit" 'x [kg],y [kg]\n1,2\n' "bad.csv:1: x: not a unit of length (got \"kg\""
bad_points "no such column" 'a [mm],b [mm]\n1,2\n' "bad.csv:1: x: no column has that name: choose one by --column x=NAME, or by its number, --column x=1"
bad_points "no column of that name" 'x [mm],y [mm]\n1,2\n' "name: no column has that name" --column name=rim
bad_points "rows that are wrong, all of them" 'x [mm],y [mm]\n1,2\n1,b\n1\n3,4\n,5\n' 'bad.csv:3: y: should be a number (got "b")'
expect_text "the second" "$err" "bad.csv:4: not as many fields as in the first row"
expect_text "the third" "$err" "bad.csv:6: x: should be a number"
bad_points "decimal commas between commas" 'x [mm],y [mm]\n1,5,2,5\n' "bad.csv:2: more fields than in the first row: decimal commas need semicolons or tabs"
bad_points "two points" 'x [mm],y [mm]\n1,2\n2,5\n' "bad.csv:2: a circle needs three points or more, there are 2"
bad_points "of a name" 'name,x [mm],y [mm]\na,1,2\na,2,5\na,6,6\nb,1,2\n' "bad.csv:5: b: a circle needs three points or more, there are 1"
bad_points "on a line" 'x [mm],y [mm]\n1,1\n2,2\n3,3\n4,4\n5,5\n6,6\n7,7\n' "the points stand on a straight line or in one place"
bad_points "in one place" 'x [mm],y [mm]\n1,1\n1,1\n1,1\n1,1\n1,1\n1,1\n' "the points stand on a straight line or in one place"
bad_points "nothing" '' "the file has no points"
bad_points "a header alone" 'x [mm],y [mm]\n' "the file has no points"
bad_points "too far" 'x [m],y [m]\n1,2000\n' "this is over 1 km from the zero"
bad_points "no text" 'x [mm],y [mm]\n1,2\0\n' "bad.csv:2"
/usr/bin/python3 -c "
print('x [mm],y [mm]')
for i in range(200001): print(f'{i % 977},{i % 979}')" >"$work/large.csv"
run measure circles "$work/large.csv"
expect_code "too large" 2
expect_text "thin it out" "$err" "large.csv:200002: there are more than 200000 points: thin the scan out"

# ---- pictures ----------------------------------------------------------------------------------------------------------

run measure circles "$scan" "$drive" --picture "$work/scan.svg" --language de
expect_code "a picture" 0
# The largest residual of 0.1 mm at 1:4 reaches 10 mm at most: 1, 2 or 5 times a power of ten.
expect_text "its factor, in German" "$(cat "$work/scan.svg")" "ihrem Kreis, vergrößert mit Faktor: 200"
expect_text "the drive's" "$(cat "$work/scan.svg")" "Gestrichelt: Scheiben wie in der Antriebsdatei."
expect_text "what is left out" "$(cat "$work/scan.svg")" "Kreuz: weggelassen"
expect_text "a number, in German" "$(cat "$work/scan.svg")" "268,21 mm"
run measure circles "$sketch" --picture "$work/sketch.pdf"
expect_same "a sheet" "$(head -c 5 "$work/sketch.pdf")" "%PDF-"
run measure circles "$sketch" --picture "$work/sketch.png"
expect_same "dots" "$(head -c 4 "$work/sketch.png" | tail -c 3)" PNG
expect_text "names and places" "$(pdftotext "$work/sketch.pdf" - | tr '\n' ' ')" "circle 10 −46.90, 339.60 mm Ø 68.00 mm"

# ---- what the command line says ----------------------------------------------------------------------------------------

refused() { # TEXT OPTIONS...
    run measure circles "${@:2}"
    expect_code "refused: $1" 2
    expect_text "refused: $1: words" "$err" "$1"
}
refused "--column takes x=, y= or name=" "$scan" --column z=3
refused "--column is for points of a scan" "$sketch" --column x=1
refused "--layer is for a sketch" "$scan" --layer 0
refused "--reach is for comparing with a drive file" "$sketch" --reach 1
refused "--origin takes two lengths" "$sketch" --origin 4
refused "--tolerance and --reach are over 0" "$sketch" --tolerance 0
refused "--arc is over 0 and up to 360 deg" "$sketch" --arc 400
refused "--error is over 0" "$scan" --error 0
refused "cannot be read" "$work/nothing.csv"
refused "the name ends in .svg, .pdf or .png" "$sketch" --picture "$work/x.bmp"
refused "only one of the two files can be standard input" - -
run measure centres "$SNUB_SOURCE_DIR/examples/measured/sedgemere.yaml" --layer 0
expect_code "an option of circles alone" 2
expect_text "which" "$err" "--layer is of circles, not of centres"
run measure centres "$SNUB_SOURCE_DIR/examples/measured/sedgemere.yaml" "$drive"
expect_text "one file" "$err" "centres takes one file, which names its drive file itself"
run measure circles "$sketch" -o "$work/x.yaml" --picture "$work/x.yaml.svg" --origin 0.12,-0.08 --turn 0 "$drive" --json
json "the origin is taken away" "max(abs(v) for v in d['circles'][0]['centre_mm']) < 1e-9"
finish
