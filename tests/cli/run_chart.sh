#!/usr/bin/env bash
# snub chart: fixed keys, the same by any number of threads, every form says the same.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

run chart "$drive" --json
expect_code "a kit with a build that fails" 1
one=$out
json "builds are variants times options" "len(d['builds']) == 2 * 6 * 3"
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
json "one variant" "len(d['builds']) == 18 and all(b['variant'] == 'low compressor' for b in d['builds'])"
run chart "$drive" --variant nowhere
expect_code "unknown variant" 2

# A build of the chart is what check says of it.
run chart "$drive" --json
build=$(printf '%s' "$one" | /usr/bin/python3 -c "import json, sys
b = json.load(sys.stdin)['builds'][7]
print(b['options']['blower.diameter'], b['options']['belt.ribs'], b['belt_length_mm'], b['slots_mm']['wrap idler'], b['grip_used'])")
read -r diameter ribs length setting grip <<<"$build"
run check "$drive" --json --set blower.diameter="$diameter" --set belt.ribs="$ribs" --set belt.length="$length" \
    --set "wrap idler.slot.setting=$setting"
json "chart and check agree on grip" "abs(d['worst_grip_used'] - $grip) < 1e-6"

run chart "$drive"
expect_code "text" 1
expect_text "text counts" "$out" "36 builds:"
run chart "$drive" --findings
expect_text "findings are listed" "$out" "(basis:"
run chart "$drive" --output "$work/a.csv"
rows=$(/usr/bin/python3 -c "import csv, sys; rows = list(csv.reader(open(sys.argv[1], newline=''))); print(len(rows), len({len(r) for r in rows}))" "$work/a.csv")
expect_same "CSV has a row for each build" "$rows" "37 1"
run chart "$drive" --output "$work/a.xlsx"
rows=$(/usr/bin/python3 -c "import openpyxl, sys; book = openpyxl.load_workbook(sys.argv[1]); print(sum(1 for row in book.worksheets[0].iter_rows(values_only=True) if any(c in ('pass', 'marginal', 'fail') for c in row)))" "$work/a.xlsx")
expect_same "XLSX has a row for each build" "$rows" "36"
run chart "$drive" --format xlsx
expect_text "XLSX wants a file" "$err" "give a file for the workbook"
run chart "$drive" --output "$work/no/such/a.csv"
expect_code "a folder that is not there" 2
expect_text "a folder that is not there" "$err" "its folder does not exist"
finish
