#!/usr/bin/env bash
# snub log: the example, JSON beside text and CSV, what is chosen, bad input, standard input, packed files, German, plots.
. "$(dirname "$0")/lib.sh"
log=$SNUB_SOURCE_DIR/examples/logs/sedgemere-pull.csv
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
kit=("$drive" --set blower.diameter=70)

run log "$log" "${kit[@]}"
expect_code "the belt slips: fail" 1
expect_text "three slips" "$out" "Slips (3):"
expect_text "two pulls" "$out" "Pulls (2): 8.0"
expect_text "the verdict" "$out" "verdict fail"
expect_text "the build" "$out" "set blower.diameter=70"
expect_width "it fits a terminal" "$out" 80
text=$out
run log "$log" "${kit[@]}" --json
expect_code "JSON has the same exit code" 1
json "keys" "set(d) == {'snub','title','verdict','build','rows','bad_rows','columns','calibration','pulls','gear_changes','slips','slips_not_listed','pulls_not_listed','gear_changes_not_listed','doubts','words'}"
# As the log was made (tests/reference/log_model.py): the blower's speed comes 0.02 s late
json "where they were put" "all(abs(s['start_s'] - t - 0.02) < 0.04 and abs(s['end_s'] - e - 0.02) < 0.06 for s, t, e in zip(d['slips'], (12.6, 13.5, 17.6), (13.12, 14.5, 18.54)))"
json "as deep as they were made" "all(abs(s['mean_pct'] - want) < 0.5 for s, want in zip(d['slips'], (3.5, 7, 6)))"
json "the lag that it was given" "d['calibration']['lag_taken_out'] and abs(d['calibration']['lag_s'] - 0.02) < 0.004"
json "columns" "[(c['column'], c['number'], c['unit']) for c in d['columns']] == [('time', 1, 's'), ('engine', 2, 'rpm'), ('blower', 3, 'rpm'), ('throttle', 4, None), ('boost', 5, 'kPa')]"
json "one gear change at 14.5 s" "len(d['gear_changes']) == 1 and abs(d['gear_changes'][0]['start_s'] - 14.5) < 0.1"
json "the file's ratio" "d['calibration']['fits'] == 'build' and abs(d['calibration']['build_ratio'] - 83 / 37.4425) < 1e-4"
# The words of JSON are those of the terminal.
if printf '%s' "$out" | TEXT=$text /usr/bin/python3 -c 'import json, os, sys
said = " ".join(os.environ["TEXT"].split())
answer = json.load(sys.stdin)
sys.exit(not all(words in said for words in [s["text"] for s in answer["slips"]] + answer["words"]) or len(answer["words"]) < 3)'; then good; else bad "text and JSON say the same"; fi
slips=$(printf '%s' "$out" | /usr/bin/python3 -c 'import json, sys
for s in json.load(sys.stdin)["slips"]:
    print(s["line"], round(s["start_s"], 2), round(s["mean_pct"], 1), s["likely_pulley"])')
run log "$log" "${kit[@]}" --csv "$work/slips.csv"
expect_same "CSV has the same" "$(/usr/bin/python3 -c 'import csv, sys
for s in csv.DictReader(open(sys.argv[1])):
    print(s["line"], round(float(s["start [s]"]), 2), round(float(s["mean slip [%]"]), 1), s["likely pulley"])' "$work/slips.csv")" "$slips"

# Another build than the one that was driven.
run log "$log" "$drive" --json
json "the ratio is not the file's" "d['calibration']['fits'] == 'nothing' and d['doubts'] == ['ratio'] and len(d['slips']) == 3"
run log "$log" "$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml"
expect_code "a V8 in inches" 1
run log "$log" "$SNUB_SOURCE_DIR/examples/three-pulleys.yaml"
expect_code "a drive without a blower" 2

# Without the blower's speed: by boost, as where it is asked for.
cut -d, -f1,2,4,5 "$log" >"$work/boost.csv"
run log "$work/boost.csv" "${kit[@]}" --json
expect_code "by boost: another engine than the file's" 0
json "from boost" "d['calibration']['from'] == 'boost' and [s['looks_like'] for s in d['slips']] == ['leak_or_filter'] * 2"
json "where the blower's speed has them" "all(abs(s['start_s'] - t - 0.02) < 0.1 for s, t in zip(d['slips'], (13.5, 17.6)))"
json "its doubts" "d['doubts'] == ['ratio', 'air'] and d['verdict'] == 'marginal' and all(s['leak_mm'] > 3 and s['filter_kPa'] > 2 for s in d['slips'])"
alone=$(printf '%s' "$out" | /usr/bin/python3 -c 'import json, sys
for s in json.load(sys.stdin)["slips"]:
    print(round(s["start_s"], 2), round(s["mean_pct"], 3), round(s["mean_error_pct"], 2), round(s["leak_mm"], 1))')
run log "$log" "${kit[@]}" --by boost --csv "$work/boost-slips.csv"
expect_text "says so" "$out" "The blower's speed is taken from boost."
expect_same "the same by --by, in CSV" "$(/usr/bin/python3 -c 'import csv, sys
for s in csv.DictReader(open(sys.argv[1])):
    print(round(float(s["start [s]"]), 2), round(float(s["mean slip [%]"]), 3), round(float(s["mean error [%]"]), 2), round(float(s["leak [mm]"]), 1))' "$work/boost-slips.csv")" "$alone"
run log "$log" "${kit[@]}" --by boost --language de
expect_text "in German" "$out" "Ladedruck bestimmt"
run log "$work/boost.csv" "${kit[@]}" --by speed
expect_code "no speed to go by" 2
run log "$log" "${kit[@]}" --by boost --column boost=load
expect_code "a column that the log has not" 2
run log "$log" "$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml" --by boost --json
json "a V8 in inches, by boost" "d['calibration']['from'] == 'boost'"
run log "$log" "$SNUB_SOURCE_DIR/examples/ironbrook-v8.yaml" --by boost
expect_text "its hole in inches" "$(printf '%s' "$out" | tr -s ' \n' ' ')" " in behind the blower, or 0."

# By ripple: what it needs is said. Its numbers: tests/reference/log_ripple.py.
run log "$log" "${kit[@]}" --by ripple --pulses 4
expect_code "too slow a log" 2
expect_text "the rate it needs" "$err" "the log has 50 rows a second; 4 pulses a turn of the blower need 1872 up to redline"
run log "$log" "${kit[@]}" --by ripple
expect_code "ripple without pulses" 2
run log "$log" "${kit[@]}" --pulses 4
expect_code "pulses without ripple" 2
run log "$log" "${kit[@]}" --by ripple --pulses 0
expect_code "no pulses" 2

# A sensor that reads nonsense: its temperatures are left out with a note, and the slips are those of a log without it.
awk -F, -v OFS=, '/^#/ { print; next } /^time/ { print $0, "IAT [degC]"; next } { print $0, 4000 }' "$log" >"$work/sensor.csv"
run log "$work/sensor.csv" "${kit[@]}"
expect_text "temperatures that no manifold has" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "over 500 degC, left out: 1350,"
expect_text "with the first line and what to do" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "the first at line 3. Check the sensor and the unit of column"
case $out in *"Bad rows"*) bad "no row is lost by it" "$out" ;; *) good ;; esac
# A time that goes back once: column and line; the same log in order has no word of it.
awk -F, -v OFS=, 'NR == 900 { $1 = 0.5 } 1' "$log" >"$work/back.csv"
run log "$work/back.csv" "${kit[@]}"
expect_text "column and line where the time goes back" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "column \"time [s]\" goes back at line 900."
awk -F, -v OFS=, 'NR % 200 == 0 && NR <= last { $1 = 0.5 } 1' last=1000 "$log" >"$work/back.csv"
run log "$work/back.csv" "${kit[@]}"
expect_text "five lines" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "at line 200, 400, 600, 800, 1000."
awk -F, -v OFS=, 'NR % 200 == 0 && NR <= last { $1 = 0.5 } 1' last=1200 "$log" >"$work/back.csv"
run log "$work/back.csv" "${kit[@]}"
expect_text "the first five of six" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "at line 200, 400, 600, 800, 1000, ...."
case $text in *"goes back"*) bad "none in order" "$text" ;; *) good ;; esac
# The temperature in the manifold: 150 degF are 65.6 degC; the file's is that of its sweep.
awk -F, '/^#/ {print; next} !head {print $0 ",IAT [degF]"; head = 1; next} {print $0 ",150"}' "$log" >"$work/hot.csv"
run log "$work/hot.csv" "${kit[@]}" --csv "$work/hot-slips.csv"
expect_text "the air's temperature" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "The air in the manifold had 66 degC; the file has"
expect_same "in CSV" "$(/usr/bin/python3 -c 'import csv, sys
print({s["charge temperature [degC]"][:4] for s in csv.DictReader(open(sys.argv[1]))})' "$work/hot-slips.csv")" "{'65.5'}"
run sweep "${kit[@]}" --json
swept=$(printf '%s' "$out" | /usr/bin/python3 -c 'import json, sys
points = json.load(sys.stdin)["ways"]["steady"]["points"]
print([(p["engine_rpm"], p["charge_temperature_degC"]) for p in points])')
run log "$work/hot.csv" "${kit[@]}" --json
json "in JSON, beside the file's" "all(abs(s['charge_temperature_degC'] - 65.5555555556) < 1e-9 and min(t for n, t in $swept if s['start_rpm'] - 150 < n < s['end_rpm'] + 150) <= s['file_charge_temperature_degC'] <= max(t for n, t in $swept if s['start_rpm'] - 150 < n < s['end_rpm'] + 150) for s in d['slips'])"
run log "$log" "${kit[@]}" --json
json "none in a log without" "all(s['charge_temperature_degC'] is None for s in d['slips'])"

# Where nothing slips.
head -500 "$log" >"$work/quiet.csv"
run log "$work/quiet.csv" "${kit[@]}"
expect_code "no slip: pass" 0
expect_text "says so" "$out" "or more for 0.20 s or longer in this log; less does not"
expect_text "in a word" "$out" "verdict pass"

# The same log packed, through a pipe, with other names and units.
gzip -c "$log" >"$work/pull.csv.gz"
run log "$work/pull.csv.gz" "${kit[@]}"
expect_same "packed" "$out" "$text"
expect_same "by standard input" "$("$snub" log - "${kit[@]}" <"$log" 2>&1)" "$text"
sed '1d; s/time \[s\],engine speed \[rpm\],blower speed \[rpm\]/zeit,a,b/' "$log" >"$work/named.csv"
run log "$work/named.csv" "${kit[@]}"
expect_code "unknown names" 2
expect_text "what to do" "$err" "--column engine=NAME"
expect_text "what the line has" "$err" "zeit,a,b"
run log "$work/named.csv" "${kit[@]}" --column engine=A --column blower=3 --unit boost=bar --json
expect_code "chosen" 1
json "by name and by number" "[c['number'] for c in d['columns']][:3] == [1, 2, 3] and d['columns'][0]['unit_assumed'] and len(d['slips']) == 3"
json "a unit of the command line" "d['columns'][4]['unit'] == 'bar' and d['slips'][0]['boost_kPa'] > 1e4"
awk -F, 'NR < 3 { print; next } { $1 *= 1000; print }' OFS=, "$log" | sed 's/time \[s\]/time/' >"$work/ms.csv"
run log "$work/ms.csv" "${kit[@]}"
expect_code "milliseconds taken for seconds" 2
expect_text "says which unit" "$err" "--unit time=ms"
run log "$work/ms.csv" "${kit[@]}" --unit time=ms
expect_text "with the unit" "$out" "Slips (3):"
cut -d, -f2- "$log" >"$work/timeless.csv"
run log "$work/timeless.csv" "${kit[@]}" --rate 50
expect_text "a rate for a log without time" "$out" "Slips (3):"

# What is wrong.
sed '300s/.*/6.0,oops,3,3,3/; 301s/.*/1,2/' "$log" >"$work/bad.csv"
run log "$work/bad.csv" "${kit[@]}"
expect_text "bad rows by line" "$out" "300 (engine: not a number"
run log "$work/none.csv" "${kit[@]}"
expect_code "no such file" 2
for wrong in engine engine= speed=3; do
    run log "$log" "${kit[@]}" --column "$wrong"
    expect_code "--column $wrong" 2
    expect_text "what it takes" "$err" "time=, engine=, blower=, throttle=, boost= or temperature="
done
run log "$log" "${kit[@]}" --rate 0
expect_code "no rate" 2
run log "$log" "${kit[@]}" --rate 50 --column time=1
expect_code "time and a rate" 2
run log "$log" "${kit[@]}" --unit engine=kPa
expect_code "a unit of another quantity" 2
expect_text "which column" "$err" "--unit engine=UNIT"
head -20 "$log" >"$work/short.csv"
run log "$work/short.csv" "${kit[@]}"
expect_code "too short" 2
expect_text "how many are needed" "$err" "40 are needed"
head -c 3000 /dev/urandom >"$work/noise"
run log "$work/noise" "${kit[@]}"
expect_code "no text" 2
run log "$log" "${kit[@]}" --csv "$log"
expect_code "an output is no input" 2
run log - - </dev/null
expect_code "both by standard input" 2

# German, and plots.
run log "$log" "${kit[@]}" --language de
expect_text "German" "$out" "Schlupf (3):"
expect_text "with a comma" "$out" "2,21"
expect_text "its verdict" "$out" "Urteil"
run log "$log" "${kit[@]}" --svg "$work/pull.svg" --pdf "$work/pull.pdf" --language de
expect_text "the plot speaks German" "$(cat "$work/pull.svg")" "Lader ohne Schlupf"
expect_same "a PDF" "$(head -c 5 "$work/pull.pdf")" "%PDF-"
finish
