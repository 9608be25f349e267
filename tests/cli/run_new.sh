#!/usr/bin/env bash
# snub new: every choice gives a file that check, chart and draw take; nothing is replaced; placeholders are counted until
# their marks are gone.
. "$(dirname "$0")/lib.sh"
cd "$work" || exit 1

for tensioner in arm fixed none; do
    for blower in twin-screw roots centrifugal none; do
        for units in metric us; do
            name=$tensioner-$blower-$units
            run new "$name.yaml" --tensioner "$tensioner" --blower "$blower" --units "$units" --title "Kit $name"
            expect_code "$name" 0
            marks=$(grep -c 'MEASURE:' "$name.yaml")
            # the head of the file says how to find them, and is none
            expect_text "$name: how many" "$out" "$((marks - 1)) of its lines have placeholders"
            run check "$name.yaml"
            case $code in 0 | 1) good ;; *) bad "$name: check" "$err" ;; esac
            expect_text "$name: title" "$out" "Kit $name"
            expect_no_text "$name: what can be read" "$out" " no belt "
            expect_same "$name: check says how many, and nothing else" "$err" "$name.yaml:$(awk '/[^ ].* # MEASURE:/ && !/^#/ {print NR ":" index($0, "# MEASURE"); exit}' "$name.yaml"): $((marks - 1)) lines have placeholders for values; this is the first. Measure each, then take its mark (MEASURE:) away."
            case $units in us) expect_text "$name: in inches" "$out" "lbf" ;; *) expect_no_text "$name: in mm" "$out" "lbf" ;; esac
        done
    done
    # What the three commands below do hangs on the tensioner; on the blower only what check has shown.
    name=$tensioner-roots-us
    run chart "$name.yaml"
    case $code in 0 | 1) good ;; *) bad "$name: chart" "$err" ;; esac
    expect_text "$name: builds of the chart" "$out" "3 builds"
    run draw "$name.yaml" -o "$name.svg"
    expect_code "$name: draw" 0
done
run check arm-none-metric.yaml --json
json "no blower, no pulley of its name" "[p['name'] for p in d['pulleys']] == ['crank', 'tensioner', 'alternator', 'steering', 'compressor']"
json "the placeholders in JSON" "[(h['line'] > 10, 'placeholders' in h['message']) for h in d['hints']] == [(True, True)]"
run check fixed-centrifugal-metric.yaml --json
json "the pulleys of a kit" "[p['name'] for p in d['pulleys']] == ['crank', 'tensioner', 'alternator', 'wrap idler', 'blower', 'exit idler', 'steering', 'compressor']"

# On paper and on the page for a phone it stands in a box, on each page: a sheet goes to people who have not seen the file.
made=arm-twin-screw-metric.yaml
left=$(grep -c ' # MEASURE:' $made)
left=$((left - $(grep -c '^ *#.* # MEASURE:' $made)))
run check $made --json
json "and as a finding, which is no verdict" "[(f['level'], f['value']) for f in d['findings'] if f['rule'] == 'placeholders'] == [('note', $left)]"
for kind in fitting chart bill; do
    run sheet $made --kind $kind -o "$work/$kind.pdf"
    for page in $(seq "$(pdfinfo "$work/$kind.pdf" | sed -n 's/^Pages: *//p')"); do
        expect_text "$kind, page $page: not measured" "$(pdftotext -f "$page" -l "$page" -raw "$work/$kind.pdf" - | tr '\n' ' ')" "$left lines of the drive file have placeholders"
    done
done
run share $made -o "$work/kit.html"
expect_text "the page for a phone: not measured" "$(cat "$work/kit.html")" '"placeholders":"'"$left lines of the drive file"
sed 's/# MEASURE:/# measured:/' $made >"$work/measured.yaml"
run sheet "$work/measured.yaml" -o "$work/fitting.pdf"
expect_no_text "all measured: nothing of it" "$(pdftotext -raw "$work/fitting.pdf" - | tr '\n' ' ')" "placeholders"
run share "$work/measured.yaml" -o "$work/kit.html"
expect_text "all measured: nothing of it on the page" "$(cat "$work/kit.html")" '"placeholders":null'

# Both units describe one drive: to what calipers and scales show.
near=$(/usr/bin/python3 -B - "$snub" <<'E_NEAR'
import json, subprocess, sys
def pulleys(name):
    text = subprocess.run([sys.argv[1], "check", name, "--json", "--set", "belt.length=1926"], capture_output=True, text=True).stdout
    return json.loads(text)["pulleys"]
pairs = list(zip(pulleys("arm-roots-metric.yaml"), pulleys("arm-roots-us.yaml")))
print(len(pairs), [a["name"] for a, b in pairs if abs(a["wrap_deg"] - b["wrap_deg"]) > 1 or abs(a["entry_tension_N"] / b["entry_tension_N"] - 1) > 0.05])
E_NEAR
)
expect_same "inches and mm" "$near" "8 []"

# The page, too, says what is left: in its answer, as the terminal does.
page=$(PYTHONPATH=$SNUB_SOURCE_DIR/tests/cli /usr/bin/python3 -B - "$snub" <<'E_PAGE'
import pathlib, sys
from served import Server
server = Server("arm-roots-us.yaml", program=sys.argv[1])
text = pathlib.Path("arm-roots-us.yaml").read_text()
try:
    for sent in (text, text.replace("# MEASURE:", "#")):
        status, answer, _ = server.ask("/api/lay", {"file": "arm-roots-us.yaml", "text": sent, "rpm": 3000})
        print(status, [(h["line"], h["message"][:26]) for h in answer.get("hints", [])])
finally:
    server.stop()
E_PAGE
)
expect_same "the page" "$page" "200 [(17, '39 lines have placeholders')]
200 []"

# ---- nothing is replaced --------------------------------------------------------------------------------------------
echo "mine" >mine.yaml
ln -s nowhere.yaml link.yaml
mkdir folder.yaml shut
for there in mine.yaml ./mine.yaml link.yaml folder.yaml; do
    run new "$there"
    expect_code "$there is there" 2
    expect_text "$there is there" "$err" "$there is there already, and stays as it is; give another name"
    expect_same "$there is there: standard output" "$out" ""
done
expect_same "what was there" "$(cat mine.yaml) $(readlink link.yaml) $(ls folder.yaml)" "mine nowhere.yaml "
expect_same "nothing else was made" "$(find . -name '*nowhere*' -o -name '.*snub*' -o -name '*XXXX*')" ""
run new gone/kit.yaml
expect_text "no such folder" "$err" "gone: cannot open the folder: No such file or directory"
expect_code "no such folder" 2
for name in kit kit.txt .yaml dir/.yml kit.yaml/ ""; do
    run new "$name"
    expect_code "name \"$name\"" 2
    expect_text "name \"$name\"" "$err" "the name of a drive file ends in .yaml or .yml"
done

# ---- what else may be asked for -------------------------------------------------------------------------------------
run new -
expect_code "standard output" 0
expect_same "standard output is the file" "$out" "$(sed 's/^title: .*/title: "My first kit"/' arm-twin-screw-metric.yaml)"
run new "$work/shut/a kit.yml"
expect_text "the next command, as a shell takes it" "$out" "snub check '$work/shut/a kit.yml'"
expect_same "it is readable as other files are" "$(stat -c %a "shut/a kit.yml")" "$(printf '%o' $((0666 & ~$(umask))))"
title='Ä "quoted" \ # MEASURE: title: {x}'
run new title.yaml --title "$title"
run check title.yaml --json
json "any title" "d['title'] == '''$title'''"
expect_text "a title is no placeholder" "$err" ": 40 lines have"
for title in "" $'two\nlines' $'\e[31m' "$(printf 'x%.0s' $(seq 201))" $'\xff'; do
    run new bad.yaml --title "$title"
    expect_code "title ${title:0:10}" 2
    expect_text "title ${title:0:10}" "$err" "--title takes one line of 1 to 200 bytes"
done
if [ -e bad.yaml ]; then bad "a wrong title makes no file"; else good; fi
run new bad.yaml --blower turbo
expect_text "a wrong blower" "$err" "--blower takes one of twin-screw, roots, centrifugal, none"

# ---- marks that go --------------------------------------------------------------------------------------------------
sed -i 's/ *# MEASURE:.*//' arm-roots-us.yaml
run check arm-roots-us.yaml
expect_same "nothing left to measure" "$err" ""
cat >one.yaml <<'E_ONE'
# MEASURE: a line of its own is none
snub: 1
title: "a # MEASURE: in quotes"
belt: {ribs: 6, stock: {from: 900, to: 1100, step: 5}} # measure: small letters are none
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: it's # MEASURE: behind a plain apostrophe
     , at: [0, 300], diameter: 60}
E_ONE
run check one.yaml
expect_same "one placeholder" "$err" "one.yaml:7:17: the value of this line is a placeholder. Measure it, then take its mark (MEASURE:) away."
finish
