#!/usr/bin/env bash
# snub sheet: pages, words, rulers, languages, units, the same bytes each time.
. "$(dirname "$0")/lib.sh"
example=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
check() { /usr/bin/python3 "$SNUB_SOURCE_DIR/tests/cli/sheet_check.py" "$@" 2>&1; }
size() { pdfinfo "$1" | awk '/^Page size/ {printf "%.1f x %.1f", $3 * 25.4 / 72, $5 * 25.4 / 72}'; }

for kind in fitting chart parts template report; do
    run sheet "$example" --kind $kind -o "$work/$kind.pdf"
    expect_code "$kind" $([ $kind = chart ] && echo 1 || echo 0) # of the kit's builds some fail
done
fingerprint() { /usr/bin/python3 -c 'import json, sys; d = json.load(sys.stdin); print(d["fingerprint"] if "builds" in d else d["build"]["fingerprint"])'; }
build_print=$("$snub" check "$example" --json | fingerprint)
chart_print=$("$snub" chart "$example" --json | fingerprint)
for kind in fitting template; do
    run sheet "$example" --kind $kind --paper letter -o "$work/$kind-letter.pdf"
    expect_code "$kind, letter" 0
done
version=$("$snub" --version)
sleep 1.1
for kind in fitting chart parts template report; do
    run sheet "$example" --kind $kind -o "$work/again.pdf"
    if cmp -s "$work/$kind.pdf" "$work/again.pdf"; then good; else bad "$kind: the same bytes a second later"; fi
    fonts=$(pdffonts "$work/$kind.pdf" | tail -n +3 | awk '{print $(NF-4)}' | sort -u)
    expect_same "$kind: every face is embedded" "$fonts" "yes"
    expect_text "$kind: title" "$(pdfinfo "$work/$kind.pdf")" "Sedgemere inline six, twin-screw kit: "
    want=$([ $kind = chart ] && echo "$chart_print" || echo "$build_print")
    # What the guide promises of every page: build and verdict, the drive file's name, the fingerprint's start, the version.
    verdict=$([ $kind = chart ] && echo "sedgemere.yaml" || echo "erdict: pass")
    for page in $(seq "$(pdfinfo "$work/$kind.pdf" | awk '/^Pages/ {print $2}')"); do
        text=$(pdftotext -layout -f "$page" -l "$page" "$work/$kind.pdf" -)
        for promised in "sedgemere.yaml" "${want:0:12}" "$version" "$verdict"; do
            expect_text "$kind, page $page: $promised" "$text" "$promised"
        done
    done
done
# A template's pages cut words that go on overleaf; every other page keeps its words whole.
for form in fitting chart parts report fitting-letter; do
    expect_same "$form: words inside the margins and apart" "$(check words "$work/$form.pdf")" ""
done
expect_same "A4" "$(size "$work/fitting.pdf")" "210.0 x 297.0"
expect_same "letter" "$(size "$work/fitting-letter.pdf")" "215.9 x 279.4"
expect_same "A4 lying" "$(size "$work/chart.pdf")" "297.0 x 210.0"

# Fitting: the numbers are those of check.
text=$(pdftotext -layout "$work/fitting.pdf" -)
# The blower's pulley is 88 mm over its tips: 88.885 effective, 89.875 over balls, SAE J1459; 88.88 over tips of 0.25 mm.
expect_text "over balls first" "$(pdftotext -raw "$work/fitting.pdf" - | tr '\n' ' ' | tr '\302\240' '  ' | tr -s ' ')" "89.9 mm (3.538 in) over balls of 2.5 mm (0.098 in); over the tips 88.0 mm (3.465 in) where"
run sheet "$example" --kind fitting --set "blower.groove={tip_radius: 0.4}" -o "$work/groove.pdf"
expect_text "over the tips of its groove" "$(pdftotext -raw "$work/groove.pdf" - | tr '\n' ' ' | tr '\302\240' '  ')" "89.6 mm (3.526 in) over balls of 2.5 mm (0.098 in); 88.0 mm (3.465 in) over the tips, which are rounded by 0.40 mm"
# Bolts: the torque that was judged; the bolt of a standoff in a slot is tightened when the slot is set; its washers are parts.
steps=$(pdftotext -raw "$work/fitting.pdf" - | tr '\n' ' ' | tr '\302\240' '  ' | tr -s ' ')
expect_text "a standoff's bolt" "$steps" "exit idler: standoff 46.0 mm (1.811 in) long, bolt M12: 110 N m"
expect_text "one in a slot waits" "$steps" "wrap idler: standoff 46.0 mm (1.811 in) long, bolt M12: run it in by hand; it is tightened when the slot is set."
expect_text "and is tightened there" "$steps" "wrap idler: tighten its bolt, M12, to 110 N m"
expect_text "washers" "$(pdftotext -layout "$work/parts.pdf" - | tr "\302\240" "  " | tr -s " ")" "3 washer 16.0 mm (0.630 in) outside, 1.6 mm"
run sheet "$example" --kind fitting --set mounts.0.bolts.0.torque=36 -o "$work/tight.pdf"
steps=$(pdftotext -raw "$work/tight.pdf" - | tr '\n' ' ' | tr '\302\240' '  ' | tr -s ' ')
expect_text "what was found stands on page 1" "$steps" "Marginal • left ear of idler bridge can be drawn to"
expect_no_text "and speaks against no torque where the wrench is in hand" "$steps" "36 N m (27 lbf ft). Note"
run sheet "$example" --kind fitting --set mounts.0.bolts.0.torque=45 -o "$work/tight.pdf"
steps=$(pdftotext -raw "$work/tight.pdf" - | tr '\n' ' ' | tr '\302\240' '  ' | tr -s ' ')
expect_text "an overtightened bolt" "$steps" "DO NOT FIT"
expect_text "says so" "$steps" "left ear of idler bridge is drawn to"
run check "$example" --rpm 0 --json
wind=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print('%.1f' % json.load(sys.stdin)['arm']['wind_deg'])")
expect_text "arm to expect" "$text" "$wind deg ("
pluck=$(printf '%s' "$out" | /usr/bin/python3 -c "
import json, sys
d = json.load(sys.stdin)
s = max((s for s in d['spans'] if 'tensioner' not in (s['from'], s['to'])), key=lambda s: s['length_mm'])
print('pluck the span %s to %s' % (s['from'], s['to']), '%.1f' % s['frequency_Hz'], sep='|')")
expect_text "span to pluck" "$text" "${pluck%|*}"
expect_text "its frequency" "$text" "${pluck#*|}"
for words in WARNING CAUTION NOTICE "Engine off and cold" "battery" "spring load" "first heat cycle" "First full load" "qualified technician" \
    "38.0 mm (1.496 in)" "lbf" "page 1 of"; do
    expect_text "fitting says" "$(printf '%s' "$text" | tr '\302\240' '  ')" "$words"
done
expect_no_text "no DANGER where no life is lost for certain" "$text" "DANGER"

# Shims: those that the verdict includes, whether they are advised or stand in the file.
for pack in 0 0.9; do
    for kind in fitting parts; do
        run sheet "$example" --kind $kind --set 'steering.stack.0.length=-43.9' --set "steering.stack.1.length=$pack" -o "$work/shims-$kind.pdf"
    done
    text=$(pdftotext -layout "$work/shims-fitting.pdf" - | tr '\302\240' '  ' | tr -s ' ')
    expect_text "the step has the shim, $pack in the file" "$text" "at shim pack: $([ $pack = 0 ] && echo '1 x ')0.90 mm"
    expect_text "so have the parts" "$(pdftotext -layout "$work/shims-parts.pdf" - | tr '\302\240' '  ' | tr -s ' ')" "1 shim 0.90 mm"
done

# Parts: what a counter asks of a bearing.
run sheet "$example" --kind parts --set "wrap idler.bearing.clearance=C4" --set bearings.0.rows=2 -o "$work/bearing.pdf"
for words in "bearing 6203" "low-contact seals, clearance C4, two rows" "clearance CN"; do
    expect_text "parts say" "$(pdftotext -raw "$work/bearing.pdf" - | tr '\n' ' ')" "$words"
done

# Chart: as many builds as the command gives, each verdict in words.
run chart "$example" --json
want=$(printf '%s' "$out" | /usr/bin/python3 -c "
import json, sys
b = json.load(sys.stdin)['builds']
print(len(b), *(sum(x['verdict'] == v for x in b) for v in ('fail',)))")
got=$(pdftotext -layout "$work/chart.pdf" - | /usr/bin/python3 -c "
import re, sys
rows = [l for l in sys.stdin if re.match(r'\s+\d+\s+[A-Z0-9]{6}\s', l)]
print(len(rows), sum(' not sold: ' in l for l in rows))
print(sum('PK' in l for l in rows), sum('PK' in l and 'not sold' in l for l in rows), file=open('$work/belts', 'w'))")
expect_same "rows and failing rows of the chart" "$got" "$want"
expect_same "only what is sold has its belt there" "$(cat "$work/belts")" "$(echo "$want" | awk '{print $1 - $2, 0}')"

# Report: every limit and every finding's rule.
text=$(pdftotext -layout "$work/report.pdf" -)
for words in belt_speed misalignment grip_design "ISO 9981:2020" "SAE J1596" "rule of thumb" "common practice, no" \
    "$build_print" "line 1" "Belt speed"; do
    expect_text "report says" "$text" "$words"
done
run check "$example" --json
for rule in $(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print(*{f['rule'] for f in json.load(sys.stdin)['findings']})"); do
    expect_text "report finds" "$text" "$rule"
done

# Template: both rulers in the rendered picture, to 0.1 mm; no page without a piece of the drawing.
for form in template template-letter; do
    pages=$(pdfinfo "$work/$form.pdf" | awk '/^Pages/ {print $2}')
    for page in 1 "$pages"; do
        expect_same "$form page $page: ruler" "$(check ruler "$work/$form.pdf" "$page")" ""
    done
    expect_same "$form: pages" "$(check tiles "$work/$form.pdf")" ""
done
run sheet "$SNUB_SOURCE_DIR/examples/three-pulleys.yaml" --kind template --inches -o "$work/template-inches.pdf"
expect_same "inches: ruler" "$(check ruler "$work/template-inches.pdf" 2 in)" ""
text=$(pdftotext -layout -f 2 -l 2 "$work/template-inches.pdf" - | sed 's/\xc2\xa0/ /g')
expect_text "inches: the millimetre ruler ends at 100 mm" "$text" "100 mm"
expect_text "inches: the inch ruler at 4 in" "$text" "4 in"
expect_no_text "inches: and says no number that is not there" "$text" "3.94"
expect_text "inches: the text has both numbers" "$(pdftotext "$work/template-inches.pdf" - | tr '\n' ' ')" "100.0 mm or 4.000 in"
expect_same "inches: pages" "$(check tiles "$work/template-inches.pdf")" ""

# Setting strip: a line for every build that does not fail, where the chart has it, to 0.1 mm; the slot is 56.04 mm long.
run sheet "$example" --kind strip -o "$work/strip.pdf"
expect_code "strip: some builds of the kit fail" 1
run chart "$example" --json
settings=$(printf '%s' "$out" | /usr/bin/python3 -c "
import json, sys
print(*(v for b in json.load(sys.stdin)['builds'] if b['verdict'] != 'fail' for v in b['slots_mm'].values()))")
expect_same "strip: lines" "$(check strip "$work/strip.pdf" 56.0357 $settings)" ""
expect_same "strip: ruler" "$(check ruler "$work/strip.pdf" 1)" ""
expect_same "strip: words" "$(check words "$work/strip.pdf")" ""
text=$(pdftotext -layout "$work/strip.pdf" - | tr '\302\240' '  ' | tr -s ' ')
for number in $(printf '%s' "$out" | /usr/bin/python3 -c "
import json, sys
for i, b in enumerate(json.load(sys.stdin)['builds'], 1):
    print(i, 'fails' if b['verdict'] == 'fail' else 'stands')" | tr ' ' ':'); do
    case $number in
    *:fails) expect_no_text "strip: build $number is not to be set" "$text" "build ${number%:*}:" ;;
    *) expect_text "strip: build $number" "$text" "build ${number%:*}:" ;;
    esac
done
run sheet "$example" --kind strip -o "$work/again.pdf"
if cmp -s "$work/strip.pdf" "$work/again.pdf"; then good; else bad "strip: the same bytes again"; fi
run sheet "$SNUB_SOURCE_DIR/examples/sedgemere-locked.yaml" --kind strip -o "$work/none.pdf"
expect_code "strip: a locked tensioner is set by its tension" 2
expect_text "strip: says so" "$err" "no strip to print"
run sheet "$example" --kind strip --set "wrap idler.slot={centre: [-40, 290], radius: 55, from: 130, to: 70}" -o "$work/curved.pdf"
expect_same "curved strip: words" "$(check words "$work/curved.pdf")" ""

# German: decimal comma, translated, every message there with its names.
run sheet "$example" --language de -o "$work/de.pdf"
expect_code "German" 0
text=$(pdftotext -layout "$work/de.pdf" -)
for words in Einbaublatt WARNUNG VORSICHT "Seite 1 von" "38,0" "Riemenlauf"; do
    expect_text "German says" "$text" "$words"
done
expect_same "German: words inside the margins and apart" "$(check words "$work/de.pdf")" ""
expect_same "German catalogue" "$(check catalogue "$SNUB_SOURCE_DIR/po/de.po")" ""
run sheet "$example" --language de --decimal point -o "$work/point.pdf"
expect_text "decimal point by choice" "$(pdftotext "$work/point.pdf" - | tr '\302\240' '  ')" "38.0"
run sheet "$example" --inches -o "$work/inches.pdf"
expect_text "inches first" "$(pdftotext -layout "$work/inches.pdf" - | sed 's/\xc2\xa0/ /g')" "1.496 in (38.0 mm)"
run sheet "$example" --build 8 --date 2026-01-31 -o "$work/eight.pdf"
expect_code "build 8" 0
expect_text "build 8 is named" "$(pdftotext "$work/eight.pdf" -)" "touring; blower diameter 84"
expect_text "date" "$(pdftotext "$work/eight.pdf" -)" "2026-01-31"
run sheet "$SNUB_SOURCE_DIR/tests/cli/draw/drive.yaml" -o "$work/bare.pdf"
expect_code "a file without engine and hardware" 0
expect_text "says what it cannot" "$(pdftotext "$work/bare.pdf" - | tr '\n' ' ')" "gives no bolts"

wrong() {
    local name=$1 want=$2
    shift 2
    run sheet "$@"
    expect_code "$name" 2
    expect_text "$name" "$err" "$want"
}
wrong "no output" "--output" "$example"
wrong "no such kind" "kind" "$example" --kind poster -o "$work/x.pdf"
wrong "no such language" "--language" "$example" --language xx -o "$work/x.pdf"
wrong "a path for a language" "--language" "$example" --language ../../etc/x -o "$work/x.pdf"
wrong "build 99" "1 to 28" "$example" --build 99 -o "$work/x.pdf"
wrong "chart of one build" "every build" "$example" --kind chart --build 1 -o "$work/x.pdf"
wrong "date" "--date" "$example" --date today -o "$work/x.pdf"
if [ -e "$work/x.pdf" ]; then bad "a failure writes nothing"; else good; fi
finish
