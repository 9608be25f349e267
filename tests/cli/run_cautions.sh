#!/usr/bin/env bash
# Cautions: every command has its line, the fitting sheet each that applies once, nothing speaks of a spring where there
# is no arm; exit codes and JSON are what they are without them.
. "$(dirname "$0")/lib.sh"
locked=$(echo "$SNUB_SOURCE_DIR"/examples/*-locked.yaml)
armed=${locked%-locked.yaml}.yaml # the same kit with a spring arm
relieved="$work/relieved.yaml" # a lug of which enough may be milled off for the widest belt
sed 's/relief: 3}/relief: 4}/' "$armed" > "$relieved"
quick=$SNUB_SOURCE_DIR/examples/three-pulleys.yaml # an arm, no blower; passes, and a smaller crank pulley is advised
plain=$work/plain.yaml                             # neither arm nor lock nor blower: the belt is stretched on
cat >"$plain" <<'YAML'
snub: 1
title: Two fixed pulleys
engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 5000 rpm}
belt: {section: PK, ribs: 6, length: 972, tolerance: 1}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: alternator, at: [0, 320], diameter: 60, load: [[0, 2], [15000 rpm, 2]]}
YAML
list=$SNUB_SOURCE_DIR/include/snub/caution_list.inc
german=$SNUB_SOURCE_DIR/po/de.po
where="more cautions: snub sheet FILE -o fitting.pdf"
reader() { /usr/bin/python3 "$SNUB_SOURCE_DIR/tests/cli/sheet_check.py" "$@" 2>&1; }
mapfile -t ids < <(sed -n 's/^SNUB_CAUTION([A-Z]*, "\([a-z]*\)".*/\1/p' "$list")
mapfile -t sentences < <(reader sentences "$list")
expect_same "each caution has its sentence" "${#sentences[@]}" "${#ids[@]}"
expect_same "the list is read at all" "$((${#ids[@]} > 10))" 1
declare -A said
for i in "${!ids[@]}"; do said[${ids[i]}]=${sentences[i]}; done
sentence() { printf '%s' "${said[$1]}"; }
flat() { printf '%s' "$1" | tr -s ' \n' '  '; }
words_of() { pdftotext -raw "$1" - | tr -s ' \n' '  '; }

# has_line NAME TEXT SIGNAL ID...: those cautions and where the rest is, and no other caution
has_line() {
    local name=$1 text signal=$3
    text=$(flat "$2")
    shift 3
    expect_text "$name: where the rest is" "$text" "$where"
    expect_text "$name: signal word" "$text" "$signal $(sentence "$1")"
    for id in "${ids[@]}"; do
        case " $* " in
        *" $id "*) expect_text "$name: $id" "$text" "${said[$id]}" ;;
        *) expect_no_text "$name: not $id" "$text" "${said[$id]}" ;;
        esac
    done
}

# one_line NAME TEXT SIGNAL ID: what a command always shows fits one line of 80 columns
one_line() {
    local want
    want=$(printf '%-9s%s' "$3" "$(sentence "$4")")
    expect_same "$1: its caution is one line" "$(printf '%s\n' "$2" | grep -cxF "$want")" 1
    expect_width "$1: in 80 columns" "$want" 80
}

for drive in "$armed" "$locked" "$quick" "$plain"; do
    name=$(basename "$drive" .yaml)
    run check "$drive" --json
    want=$code
    json "$name: check's JSON has no cautions" "'cautions' not in d"
    run check "$drive"
    expect_code "$name: check" "$want"
    case $drive in
    "$plain") has_line "$name: check" "$out" WARNING stopped prying ;;
    "$quick") has_line "$name: check" "$out" WARNING stopped crank ;;
    *) has_line "$name: check" "$out" WARNING stopped ;;
    esac
    one_line "$name: check" "$out" WARNING stopped
    expect_text "$name: the verdict stands last" "$(printf '%s\n' "$out" | tail -n 4)" "verdict"
    expect_width "$name: check in 80 columns" "$out" 80
    run mount "$drive"
    expect_code "$name: mount" "$want"
    has_line "$name: mount" "$out" WARNING torque
    one_line "$name: mount" "$out" WARNING torque
    run draw "$drive" -o "$work/drawing.svg"
    expect_code "$name: draw" "$want"
    has_line "$name: draw" "$err" WARNING stopped
    one_line "$name: draw" "$err" WARNING stopped
    run draw "$drive" --form svg
    expect_no_text "$name: the drawing itself is not mixed with it" "$out" "$where"
done
run chart "$armed"
expect_code "chart" 1
has_line "chart" "$out" NOTICE makers
one_line "chart" "$out" NOTICE makers
run chart "$relieved" --findings
has_line "chart with findings" "$out" WARNING crank makers metal overspeed
run chart "$armed" --output "$work/chart.csv"
expect_no_text "CSV is data alone" "$(cat "$work/chart.csv")" "WARNING"
run sweep "$armed"
expect_code "sweep" 0
has_line "sweep" "$out" WARNING overspeed
one_line "sweep" "$out" WARNING overspeed
run sweep "$armed" --want-boost '8 psi'
expect_code "wished boost" 0
has_line "a larger crank pulley is spoken of" "$out" WARNING crank overspeed
run sweep "$armed" --want-boost '8 psi' --json
json "JSON of a wish has no cautions" "'cautions' not in d"

# What findings call for
run check "$armed" --set blower.diameter=50
expect_code "a fast blower fails" 1
has_line "a fast blower" "$out" WARNING stopped crank overspeed
expect_no_text "the finding leaves the caution to the list" "$(flat "$out")" "It can burst"
run mount "$relieved" --set belt.ribs=9
expect_code "the lug fails" 1
has_line "metal to be taken off" "$out" WARNING metal torque
run sheet "$armed" --package track --free -o "$work/faced.pdf"
on_faced=$(pdftotext -layout "$work/faced.pdf" - | tr -s ' \n' '  ')
expect_text "what is taken off has its caution" "$on_faced" "measured wall allows"
run sheet "$armed" --package touring --free -o "$work/plain.pdf"
expect_no_text "what is not has none" "$(pdftotext -layout "$work/plain.pdf" - | tr -s ' \n' '  ')" "measured wall allows"
run sheet "$armed" --package touring --free --set 'obstacles.block lug.rework.remove=1' \
    --set 'obstacles.block lug.rework.do=File it flat.' --set 'obstacles.block lug.supply=changed' -o "$work/filed.pdf"
expect_text "what a rework removes has its caution" "$(pdftotext -layout "$work/filed.pdf" - | tr -s ' \n' '  ')" "measured wall allows"
# Another crank pulley: on the sheet of its build and on the chart alike
solid=$(sentence crank)
for how in kept new; do
    run sheet "$armed" --package touring --free --set "crank.supply=$how" -o "$work/crank.pdf"
    run sheet "$armed" --kind chart --set "crank.supply=$how" -o "$work/sold.pdf"
    fitting=$(words_of "$work/crank.pdf")
    sold=$(words_of "$work/sold.pdf")
    if [ "$how" = new ]; then
        expect_text "crank $how: fitting sheet" "$fitting" "${solid%%:*}"
        expect_text "crank $how: chart" "$sold" "another crank pulley"
    else
        expect_no_text "crank $how: fitting sheet" "$fitting" "${solid%%:*}"
        expect_no_text "crank $how: chart" "$sold" "another crank pulley"
    fi
done
run mount "$relieved" --set belt.ribs=9 --json
json "mount's JSON has no cautions" "'cautions' not in d"

# Fitting sheets: each that applies once, in both languages and on both papers
always="stopped stands battery coolant eyes edges makers qualified turning prying torque stretched running plane gear exhaust overspeed"
refused="stopped stands battery coolant eyes edges makers qualified"
# alone FILE SIGNED STEP: says so where the signatures stand on a page without the last step
alone() {
    pdftotext -f "$(pdfinfo "$1" | sed -n 's/^Pages: *//p')" -raw "$1" - | tr -s ' \n' '  ' |
        /usr/bin/python3 -c "import sys; text = sys.stdin.read(); print(sys.argv[1] in text and sys.argv[2] not in text)" "$2" "$3"
}
# on_sheet NAME IDS FILE OPTION...
on_sheet() {
    local name=$1 ids=$2 pair paper language catalogue signed last
    shift 2
    # each language on one paper; the first drive on both
    local pairs="A4-en letter-de"
    [ "$name" != arm ] || pairs="$pairs letter-en A4-de"
    for pair in $pairs; do
        paper=${pair%-*} language=${pair#*-}
        catalogue=- signed='Fitted by' last='First full load'
        [ "$language" = en ] || catalogue=$german signed='Eingebaut von' last='Erste Volllast'
        run sheet "$@" --paper "$paper" --language "$language" -o "$work/$language.pdf"
        # shellcheck disable=SC2086 # ids are words
        expect_same "$name, $pair: cautions" "$(reader cautions "$work/$language.pdf" "$list" "$catalogue" $ids)" ""
        expect_same "$name, $pair: words inside the margins and apart" "$(reader words "$work/$language.pdf")" ""
        expect_same "$name, $pair: nobody signs a page of its own" "$(alone "$work/$language.pdf" "$signed" "$last")" False
    done
}
on_sheet "arm" "$always spring tuned" "$armed"
expect_text "arm: eased" "$(words_of "$work/de.pdf")" "langsam entlasten"
on_sheet "lock" "$always lock tuned" "$locked"
on_sheet "neither" "$always" "$plain"
on_sheet "another crank pulley" "$always spring crank" "$quick"
on_sheet "a lug in the way" "$refused metal" "$relieved" --set belt.ribs=9
expect_text "a build that fails has no steps" "$(words_of "$work/en.pdf")" "DO NOT FIT"
expect_no_text "a build that fails has no steps" "$(words_of "$work/en.pdf")" "Steps, in this order"
on_sheet "too fast" "$refused crank overspeed" "$armed" --set blower.diameter=50

# Before the step that it is for
run sheet "$armed" -o "$work/fitting.pdf"
order=$(pdftotext -raw "$work/fitting.pdf" - | tr -s ' \n' '  ' | /usr/bin/python3 -c "
import sys
text = sys.stdin.read()
marks = ['Engine off and cold', 'Make safe', 'under spring load', 'Wind the tensioner back', 'Torque bolts as stated', 'clean the faces',
         'Stay out of', 'Run at idle', 'can burst', 'First full load']
at = [text.find(mark) for mark in marks]
print(at == sorted(at) and -1 not in at)")
expect_same "each stands before its step" "$order" True
expect_text "page 1 begins with the gravest" "$(pdftotext -l 1 -raw "$work/fitting.pdf" - | tr -s ' \n' '  ')" "$(sentence stopped)"

# The other sheets
for kind in parts template report; do
    run sheet "$armed" --kind $kind -o "$work/$kind.pdf"
done
run sheet "$armed" --kind chart -o "$work/chart.pdf"
expect_same "parts" "$(reader cautions "$work/parts.pdf" "$list" - stretched)" ""
expect_same "template" "$(reader cautions "$work/template.pdf" "$list" - stopped)" ""
run sheet "$relieved" --kind chart -o "$work/chart.pdf"
expect_same "chart" "$(reader cautions "$work/chart.pdf" "$list" - makers qualified crank metal overspeed)" ""
for kind in parts template chart; do
    expect_text "$kind: where the others are" "$(words_of "$work/$kind.pdf")" "The other cautions are on the fitting sheet"
done
# shellcheck disable=SC2086
expect_same "report" "$(reader cautions "$work/report.pdf" "$list" - $always spring tuned)" ""

# Without an arm nothing warns of a spring
for drive in "$locked" "$plain"; do
    name=$(basename "$drive" .yaml)
    for kind in fitting parts template report; do
        run sheet "$drive" --kind $kind -o "$work/none.pdf"
        expect_no_text "$name, $kind: no spring" "$(words_of "$work/none.pdf")" "spring load"
        expect_no_text "$name, $kind: no tensioner to be wound" "$(words_of "$work/none.pdf")" "Wind the tensioner"
    done
    for command in check chart mount; do
        run $command "$drive"
        expect_no_text "$name, $command: no spring" "$out$err" "spring"
    done
done
run sweep "$locked"
expect_no_text "locked, sweep: no spring" "$out$err" "spring"
finish
