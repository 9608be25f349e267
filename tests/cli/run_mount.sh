#!/usr/bin/env bash
# snub mount and snub compare: keys, verdicts, what changes with ribs and bolts, bad input.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/harrow-lake.yaml

run mount "$drive" --json
expect_code "the example holds" 0
json "keys" "{'snub','title','build','pulleys','shims','mounts','obstacles','verdict','findings'} <= set(d)"
json "keys of a pulley" "all({'hub','plane','standoff','bearing'} <= set(p) for p in d['pulleys'])"
json "planes at zero" "all(abs(p['plane']['plane_mm']) < 1e-9 for p in d['pulleys'])"
json "floating pulleys have an edge" "all((p['plane']['edge_mm'] is None) == p['plane']['guides'] for p in d['pulleys'])"
json "two idlers on bearings" "[p['name'] for p in d['pulleys'] if p['bearing']] == ['snub', 'idler']"
json "life" "all(p['bearing']['life_h'] > 4000 for p in d['pulleys'] if p['bearing'])"
json "what bearings they are" "[(b['type'], b['rows'], b['seal'], b['clearance']) for b in (p['bearing'] for p in d['pulleys']) if b] == [('6203', 1, 'low-contact', 'CN')] * 2"
run mount "$drive" --json --set snub.bearing.clearance=C3
json "clearance is the seat's" "[p['bearing']['clearance'] for p in d['pulleys'] if p['bearing']] == ['C3', 'CN']"
run mount "$drive" --json --set snub.bearing.seal=shield
expect_code "a seal that no row has" 2
expect_text "a seal that no row has" "$out$err" "no row of 6203 under bearings has it"
run mount "$drive" --json
json "order of tightening" "[b['locates'] for b in d['mounts'][0]['bolts']] == [True, True, False] and [b['order'] for b in d['mounts'][0]['bolts']] == [1, 2, 3]"
json "no obstacle is too near" "d['obstacles'] == []"
json "the worst hub load is at least the redline's" "all(p['hub']['worst_N'] >= p['hub']['least_N'] > 0 for p in d['pulleys'])"
worst=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print({p['name']: p['hub']['worst_N'] for p in json.load(sys.stdin)['pulleys']})")
run check "$drive" --rpm 6200 --json
json "check's hub loads are under the worst" "all(p['hub_load_N'] <= $worst[p['name']] + 1e-6 for p in d['pulleys'])"

run mount "$drive" --set belt.ribs=10 --json
expect_code "ten ribs meet the boss" 1
json "what would free it" "any(abs(c['face_off_mm'] - 3.32) < 0.01 and c['piece'] == 'rim' for c in d['obstacles'])"
json "common practice is named so" "any('1/8 in' in f['text'] and 'common practice, no published source' in f['text'] for f in d['findings'])"
run mount "$drive" --set pump.stack.0.length=-47.02 --json
json "a short boss wants the 0.040 in shim" "d['shims']['wanted'] and d['shims']['passes'] and [p['pack_mm'] for p in d['shims']['places'] if p['of'] == 'pump'] == [[1.016]]"
run mount "$drive"
expect_code "text" 0
expect_width "80 columns" "$out" 80
expect_text "order in words" "$out" "they"
expect_text "caution" "$out" "WARNING  Torque bolts as stated"
expect_text "source of the torque" "$out" "torque of the file; K = 0.18 (oiled)"

run compare "$drive" "$drive"
expect_code "the same" 0
expect_text "nothing differs" "$out" "No number differs by more than its rounding."
run compare "$drive" --against 'deep pump' --json
expect_code "a variant that fails: so does the comparison" 1
json "what differs" "any(x['subject'] == 'pump' and x['what'].startswith('effective') and x['a'] == 130 and x['b'] == 138 for x in d['differences'])"
json "both builds, each with its verdict" "(d['a']['verdict'], d['b']['verdict']) == ('watch', 'fail') and d['b']['build']['row']['variant'] == 'deep pump'"
json "verdicts" "{x['verdict'] for x in d['differences']} <= {'better','worse','neither','only a','only b'}"
run compare "$drive" --against 'deep pump'
expect_width "compare in 80 columns" "$out" 80
expect_text "compare names builds and verdicts" "$(printf '%s' "$out" | tr -s ' \n' '  ')" "deep pump: 8PK1575; snub at 20.0 mm; deep pump; verdict: fail"

/usr/bin/python3 - "$drive" "$work/four.yaml" <<'PY'
import sys
text = open(sys.argv[1]).read()
start = text.index("  - name: idler plate")
end = text.index("\nobstacles:")
mount = text[start:end].rstrip()
four = mount.replace("idler plate", "four bolts") + \
    "\n      - {name: fourth, at: [90, 335], thread: M8, class: 8.8, grip: 12, engagement: 20, torque: 22, condition: oiled}\n"
open(sys.argv[2], "w").write(text[:end].rstrip() + "\n" + four + text[end:])
PY
run compare "$work/four.yaml" --mount 'idler plate' --mount 'four bolts' --json
expect_code "two mounts" 0
json "a fourth bolt lowers slip" "any(x['what'] == 'slip used, worst bolt' and x['b'] < x['a'] and x['verdict'] == 'better' for x in d['differences'])"
json "the bolt that only one has" "any(x['verdict'] == 'only b' and x['subject'] == 'bolt fourth' for x in d['differences'])"
json "the load is the same" "not any(x['what'] == 'force in the plane, worst' for x in d['differences'])"
run compare "$work/four.yaml" --mount 'idler plate' --mount 'four bolt'
expect_code "no such mount" 2
expect_text "the near one" "$err" "four bolts"
run compare "$drive"
expect_code "one file alone" 2
run compare "$drive" --mount 'idler plate'
expect_code "one mount alone" 2
run compare "$drive" --against 'deep pmp'
expect_code "no such variant" 2

run mount "$SNUB_SOURCE_DIR/examples/three-pulleys.yaml"
expect_code "no hardware: the build's own verdict" 0
expect_text "says what to add" "$out" "the file has none: add stacks"
expect_text "and where the rest is" "$out" "see snub check"
finish
