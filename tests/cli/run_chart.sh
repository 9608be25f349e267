#!/usr/bin/env bash
# snub chart: fixed keys, the same by any number of threads, every form says the same.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run chart "$drive" --json
expect_code "a kit with a build that fails" 1
one=$out
json "builds are variants times packages times options, less what is not sold" "len(d['builds']) == 2 * (3 * 6 - 4)"
json "keys" "all({'ribs','diameters_mm','belt_length_mm','designation','slots_mm','wrap_deg','wrap_gain_pct','arm_wind_deg','grip_used','grip_at_rpm','verdict','findings'} <= set(b) for b in d['builds'])"
json "verdict is the worst finding" "all(b['verdict'] == ('fail' if any(f['level'] == 'fail' for f in b['findings']) else 'marginal' if any(f['level'] == 'marginal' for f in b['findings']) else 'pass') for b in d['builds'])"
json "belts come from the stock" "all(1860 <= b['belt_length_mm'] <= 1980 and b['belt_length_mm'] % 6 == 0 for b in d['builds'] if b['belt_length_mm'])"
json "belts are counted" "sum(b['builds'] for b in d['belts']) == sum(1 for b in d['builds'] if b['designation'])"
json "designations say ribs and length" "all(b['designation'] == '%dPK%d' % (b['ribs'], b['belt_length_mm']) for b in d['builds'] if b['designation'])"
run chart "$drive" --json --threads 1
expect_same "one thread" "$out" "$one"
run chart "$drive" --json --threads 7
expect_same "seven threads" "$out" "$one"
run chart "$drive" --json --variant "low compressor"
json "one variant" "len(d['builds']) == 14 and all(b['variant'] == 'low compressor' for b in d['builds'])"
run chart "$drive" --variant nowhere
expect_code "unknown variant" 2

# A build of the chart is what check says of it.
run chart "$drive" --json
build=$(printf '%s' "$one" | /usr/bin/python3 -c "import json, sys
b = json.load(sys.stdin)['builds'][7]
print(b['options']['blower.diameter'], b['package'], b['belt_length_mm'], b['slots_mm']['wrap idler'], b['grip_used'])")
read -r diameter package length setting grip <<<"$build"
run check "$drive" --json --package "$package" --set blower.diameter="$diameter" --set belt.length="$length" \
    --set "wrap idler.slot.setting=$setting"
json "chart and check agree on grip" "abs(d['worst_grip_used'] - $grip) < 1e-6"

run chart "$drive"
expect_code "text" 1
expect_text "text counts" "$out" "28 builds:"
run chart "$drive" --findings
expect_text "findings are listed" "$out" "(basis:"
run chart "$drive" --output "$work/a.csv"
rows=$(/usr/bin/python3 -c "import csv, sys; rows = list(csv.reader(open(sys.argv[1], newline=''))); print(len(rows), len({len(r) for r in rows}))" "$work/a.csv")
expect_same "CSV has a row for each build" "$rows" "29 1"
run chart "$drive" --output "$work/a.xlsx"
rows=$(/usr/bin/python3 -c "import openpyxl, sys; book = openpyxl.load_workbook(sys.argv[1]); print(sum(1 for row in book.worksheets[0].iter_rows(values_only=True) if any(c in ('pass', 'marginal', 'fail') for c in row)))" "$work/a.xlsx")
expect_same "XLSX has a row for each build" "$rows" "28"
run chart "$drive" --format xlsx
expect_text "XLSX wants a file" "$err" "give a file for the workbook"
run chart "$drive" --output "$work/no/such/a.csv"
expect_code "a folder that is not there" 2
expect_text "a folder that is not there" "$err" "its folder does not exist"

# Positions on offer: named as they are written, ranked over the builds that have them; each build is the file with that place.
/usr/bin/python3 - "$drive" "$work/places.yaml" <<'EOF_PLACES'
import re, sys
text = open(sys.argv[1]).read()
text = re.sub(r"\npackages:[^\n]*\n(  .*\n)+", "\n", text)
text = re.sub(r"  blower.diameter: \[97.*\n", "  blower.diameter: [88, 84]\n  exit idler.at: [[132, 296], [136, 300], [128, 292]]\n  tensioner.arm.pivot: [[-114, 208], [-110, 205]]\n", text)
open(sys.argv[2], "w").write(re.sub(r"\nvariants:[^\n]*\n(  .*\n)+", "\n", text))
EOF_PLACES
run chart "$work/places.yaml" --json
json "every place is a build" "len(d['builds']) == 12 and d['builds'][3]['options'] == {'blower.diameter': '88', 'exit idler.at': '[136, 300]', 'tensioner.arm.pivot': '[-110, 205]'}"
json "both are ranked, the diameter is not" "[p['path'] for p in d['positions']] == ['exit idler.at', 'tensioner.arm.pivot']"
json "best first, and what they are ranked by" "all(p['best_first'] == sorted(p['best_first'], key=lambda v: (v['fail'], v['marginal'], v['grip_used'])) for p in d['positions'])"
json "a place stands for its builds" "all((v['builds'], v['pass'], v['marginal'], v['fail'], v['grip_used'], v['belts']) == (len(b), *(sum(x['verdict'] == k for x in b) for k in ('pass', 'marginal', 'fail')), max(x['grip_used'] for x in b), len({x['designation'] for x in b})) for p in d['positions'] for v in p['best_first'] for b in [[x for x in d['builds'] if x['options'][p['path']] == v['value']]])"
json "the gap is the tightest of them" "all(abs(v['tightest_gap_mm'] - min(x['gap_mm'] for x in d['builds'] if x['options'][p['path']] == v['value'])) < 1e-9 for p in d['positions'] for v in p['best_first'])"
first=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; b = json.load(sys.stdin)['builds'][3]; print(b['belt_length_mm'], b['slots_mm']['wrap idler'], b['grip_used'])")
read -r length setting grip <<<"$first"
run check "$drive" --json --set 'exit idler.at=[136, 300]' --set 'tensioner.arm.pivot=[-110, 205]' --set belt.length="$length" --set "wrap idler.slot.setting=$setting"
json "the build is the file with those places" "abs(d['worst_grip_used'] - $grip) < 1e-6"
# Fewest belts: exact as long as all belts that serve were looked at, 48 for a build. Which serve is asked of check, one by one.
three=$SNUB_SOURCE_DIR/examples/three-pulleys.yaml
for step in 1 0.25; do
    serve=0
    for length in $(seq 960 $step 1020); do
        told=$("$SNUB_BIN" check "$three" --set belt.length="$length" --set belt.tolerance=0.1 --json) || true
        [[ $told =~ \"verdict\":\ *\"marginal\" ]] && serve=$((serve + 1))
    done
    run chart "$three" --set "belt.stock=[$(seq -s, 960 $step 1020)]" --set belt.tolerance=0.1 --json
    json "stock in steps of $step: $serve belts serve" "d['builds'][0]['verdict'] == 'marginal' and d['fewest_belts']['exact'] == ($serve <= 48) and $serve > 12"
done
run chart "$work/places.yaml"
expect_text "for people" "$out" "positions of exit idler.at, best first"
finish
