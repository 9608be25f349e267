#!/usr/bin/env bash
# A span that flaps into what stands beside it: the same at each door, in the states that the rules of motion look at, and in the least gap.
. "$(dirname "$0")/lib.sh"
drive=$work/flaps.yaml
cat >"$drive" <<'YAML'
snub: 1
engine: {displacement: 2.0 L, cylinders: 4, idle: 800, redline: 3000, volumetric_efficiency: [[500, 0.85], [6000, 0.9]], inertia: 0.2}
belt: {ribs: 6, length: 1016, tolerance: 0.1, flap_damping: 0.05}
pulleys:
  - {name: crank, role: crank, at: [0, 0], diameter: 150}
  - {name: tensioner, side: back, diameter: 95, inertia: 0.0002, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,
     travel: 32, preload: 20, rate: 0.4, damping: 0.02, work: [1, 31], inertia: 0.0015}}
  - {name: pump, at: [-20, 320], diameter: 70, load: [[500, 2], [20000, 2]], inertia: 0.001}
obstacles:
  - {name: post, circle: {at: [-27.255, 81.628], diameter: 20}, z: [-40, 40]}
YAML
flap="[f for f in d['findings'] if f['rule'] == 'flap_gap']"

# The command that shows what makes it flap has the same flap.
run motion "$drive" --json
expect_code "it fails there" 1
most=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; s = json.load(sys.stdin)['flapping']['spans'][0]; print([s['rpm'], s['beside']['left_mm'], s['flap_mm']])")
run check "$drive" --json
expect_code "and in check" 1
json "with the same speed and room" "all(abs(a - b) < 1e-9 * abs(b) for a, b in zip([$flap[0]['at_rpm'], $flap[0]['value']], $most)) and $flap[0]['level'] == 'fail'"
said=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; print([f for f in json.load(sys.stdin)['findings'] if f['rule'] == 'flap_gap'][0]['text'])")
json "nothing beside an obstacle is a gap of the drive" "d['tightest_gap_mm'] > 20"
run check "$drive"
expect_text "in text" "$(printf '%s' "$out" | tr -s ' \n' ' ')" "flaps by 1.5 mm to either side at 1680 rpm, steady, and hits post"
run chart "$drive" --json
json "in the chart" "any(f['rule'] == 'flap_gap' and f['text'] == '''$said''' for b in d['builds'] for f in b['findings'])"
run mount "$drive" --json
json "in mount" "any(f['text'] == '''$said''' for f in d['findings'])"
"$SNUB_BIN" sheet "$drive" -o "$work/sheet.pdf" >/dev/null 2>&1
paper=$(pdftotext "$work/sheet.pdf" - | tr -s ' \n' ' ')
expect_text "on the sheet" "$paper" "flaps by 1.5 mm (0.058 in) to either side at 1680 rpm, steady, and hits post"
"$SNUB_BIN" sheet "$drive" --language de -o "$work/sheet.pdf" >/dev/null 2>&1
paper=$(pdftotext "$work/sheet.pdf" - | tr -s ' \n' ' ')
expect_text "in German" "$paper" "flattert um 1,5 mm"

# Below twice idle no engine stays at full load: the flap at 1680 rpm is none of an engine that idles at 1200.
run motion "$drive" --json --set engine.idle=1200
json "full load there would make it hit" "d['flapping']['spans'][0]['rpm'] < 2000 and d['flapping']['spans'][0]['beside']['left_mm'] < -0.9"
run check "$drive" --json --set engine.idle=1200
json "and is not looked at" "all(f['at_rpm'] >= 2400 or f['state'] == 'closed throttle' for f in $flap)"
run check "$drive" --json --set engine.idle=820
json "from twice idle on it is" "[(f['state'], f['at_rpm'] < 1700) for f in $flap] == [('steady', True)]"

# Inertias that matter.
sed 's/, inertia: 0.2}/}/' "$drive" >"$work/unknown.yaml"
run check "$work/unknown.yaml" --json
json "a flywheel that is assumed: not judged" "$flap == []"

# A span that its tension makes flap beside the tensioner: nothing fails, but the least gap has that flap taken off.
sed -i '/obstacles/,$d
s/idle: 800, redline: 3000.*/idle: 2000, redline: 6000, irregularity: {speed: [400, 9000], order: [2], angle: [[0.1], [0.1]]}}/
s/length: 1016, tolerance: 0.1, flap_damping: 0.05/length: 1022.25, tolerance: 0.1/
s/side: back, diameter: 95/side: back, diameter: 120/' "$drive"
echo "limits: {flap: 0.002}" >>"$drive"
run motion "$drive" --json
left=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, sys; s = json.load(sys.stdin)['flapping']['spans'][2]; print(s['beside']['left_mm'] if s['by_tension_mm'] > 4 else None)")
run check "$drive" --json
json "the least gap has the flap taken off" "abs(d['tightest_gap_mm'] - $left) < 1e-9 and $flap == []"
run check "$drive" --json --set limits.flap=0.05
json "more flap is expected anyhow: it is in the gaps already" "d['tightest_gap_mm'] < $left - 5"
run check "$drive" --json --set limits.clearance=40
json "more room is asked for than it leaves" "[(f['level'], abs(f['value'] - $left) < 1e-9, f['limit'], f['span']) for f in $flap] == [('marginal', True, 40, ['pump', 'crank'])]"
finish
