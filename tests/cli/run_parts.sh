#!/usr/bin/env bash
# snub parts: the catalogue from the command line, and drive files that name parts.
. "$(dirname "$0")/lib.sh"
export SNUB_CATALOGUE=$work/catalogue.db SNUB_DATA=$SNUB_SOURCE_DIR/data XDG_DATA_HOME=$work/data HOME=$work
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

# ---- no catalogue yet
run parts list
expect_code "no catalogue" 2
expect_text "no catalogue" "$err" "there is no catalogue; create one with \`snub parts init\`"
run parts
expect_code "no verb" 2
run parts lisst
expect_text "near verb" "$err" "did you mean list?"
run parts list --replace
expect_text "an option that means nothing" "$err" "\`parts list\` does not take --replace"

# ---- shipped parts
run parts init --json
expect_code "init" 0
json "init fills it" "d['parts'] > 2000 and d['version'] == 7"
run parts init
expect_text "init again changes nothing" "$out" "version 7"
run parts check
expect_code "check" 0
expect_text "check" "$out" "sound"
run parts export --format json
json "every shipped part says where it is from" "len(d['parts']) > 2000 and all(p['source'] for p in d['parts'])"
json "bearings say what kind of source they are from" "all(p['source'] == 'bearing maker\'s catalogue' for p in d['parts'] if p['kind'] == 'bearing')"
json "bearings go by number and seal" "sorted(p['key'] for p in d['parts'] if p.get('designation') == '6203') == ['6203-contact', '6203-low-contact', '6203-shield']"
# ISO 898-1: M10, stress area 58.0 mm2, proof load of class 8.8 33700 N
json "M10 of ISO 898-1" "[(p['stress_area_mm2'], p['proof_load_N']) for p in d['parts'] if p['key'] == 'M10-8.8'] == [(58.0, 33700)]"
# As = pi/4 (d - 0.9382 P)^2: within the rounding of the tables
json "stress areas follow the formula" "all(abs(p['stress_area_mm2'] - math.pi / 4 * (p['nominal_mm'] - 0.9382 * p['pitch_mm']) ** 2) < 0.5 for p in d['parts'] if p['kind'] == 'fastener')"
# ISO 9981:2020: no pulley under 45 mm, effective line differential 2.0 mm
json "ISO 9981 sizes" "all(p['diameter_mm'] >= 45 for p in d['parts'] if p['kind'] == 'pulley') and all(p['be_mm'] == 2 for p in d['parts'] if p['kind'] == 'belt')"
json "an invented part says so" "all('invented' in p['source'] for p in d['parts'] if p['kind'] in ('belt', 'blower', 'tensioner', 'idler'))"
run parts import --shipped
expect_code "shipped again" 2
expect_text "shipped again" "$err" "is already in the catalogue"
run parts import --shipped --replace --json
json "shipped in place of themselves" "d['added'] == 0 and d['replaced'] == d['rows'] > 2000"

# ---- find, list, show
run parts find --kind belt --ribs 8 --length 1560..1575 --json
json "find by ribs and length" "[p['key'] for p in d['parts']] == ['8PK1560', '8PK1565', '8PK1570', '8PK1575']"
run parts find --length "61.5 in..62 in" --ribs 6..8 --json
json "find in inches" "[p['length_mm'] for p in d['parts'] if p['ribs'] == 7] == [1565, 1570]"
run parts find sedgemere 1.45 --json
json "find by words" "[p['key'] for p in d['parts']] == ['SM-SCREW-1.45']"
run parts find --where bore=17 --where seal=contact --json
json "find by word and size" "{p['bore_mm'] for p in d['parts']} == {17} and len(d['parts']) == 5"
run parts find --diameter 3.1in --json
json "find a size in another unit" "{p['key'] for p in d['parts']} == {'BLOWER-5PK-3.10in', 'BLOWER-7PK-3.10in', 'BLOWER-9PK-3.10in'}"
run parts find --kind belt --length 80
expect_text "nothing found" "$out" "no parts"
run parts find
expect_code "find what" 2
run parts find --where "width"
expect_text "where without a range" "$err" "FIELD=RANGE"
run parts find --where "wide=3"
expect_text "where without a field" "$err" "no kind of part has a field \"wide\""
run parts find --diameter "3 kg"
expect_code "wrong unit" 2
run parts list --kind belt --most 5
expect_text "more" "$out" "there are more; use --most to show more than 5"
expect_width "list fits the screen" "$out" 80
run parts show SM-TENSIONER
expect_text "show" "$out" "0.9 N m/deg"
expect_text "show says how to use it" "$out" "an arm: {part: ..., pivot: [x, y], free: ...}"
run parts show 8PK1576
expect_code "no such part" 2
expect_text "a near key" "$err" "need 8PK157"

# ---- import with errors
cat >"$work/bad.csv" <<'END'
key,section,ribs,length,price,source
GOOD,PK,8,1577 mm,41.95 EUR,price list
BAD 1,PK,8,1577,41.95 EUR,price list
BAD 2,PK,8,1577 mm,41.95,price list
BAD 3,PK,8,1577 mm,41.95 EUR,
END
run parts import "$work/bad.csv" --kind belt
expect_code "bad rows" 2
expect_text "line and reason" "$err" "bad.csv:3: length: number without a unit (got 1577, need \`length [mm]\`"
expect_text "line and reason" "$err" "bad.csv:4: price: a price and its currency go together"
expect_text "line and reason" "$err" "bad.csv:5: source: is missing"
expect_text "nothing" "$err" "nothing was imported"
run parts show GOOD
expect_code "all or nothing" 2
run parts import "$work/bad.csv" --kind belt --json
json "errors as JSON" "[m['line'] for m in d['errors']] == [3, 4, 5]"
run parts import "$work/bad.csv" --kind belt --skip-bad --dry-run
expect_text "dry run" "$out" "would import 1 of 4 parts"
run parts import "$work/bad.csv" --kind belt --skip-bad
expect_code "good rows" 0
expect_text "good rows" "$out" "imported 1 of 4 parts; 3 bad rows left out"
expect_text "bad rows are told all the same" "$err" "bad.csv:5: source: is missing"
"$snub" parts import - --kind belt --source "price list" --replace >"$work/out" 2>&1 < <(printf 'key,section,ribs,length\nGOOD,PK,8,1578 mm\n')
expect_text "standard input" "$(cat "$work/out")" "1 replaced"
run parts import "$work/missing.csv"
expect_code "no such file" 2
run parts import "$work"
expect_code "a directory" 2
run parts import
expect_text "import what" "$err" "FILE.csv"

# ---- bearings: number, seal and clearance each in its column
cat >"$work/bearings.csv" <<'END'
key,kind,source,designation,bore [mm],outside [mm],width [mm],dynamic [N],static [N],rows,seal,clearance
OURS,bearing,price list,6005,25,47,12,11200,6550,1,contact,C3
SUFFIXED,bearing,price list,6005-2XYZ,25,47,12,11200,6550,1,contact,
LOOSE,bearing,price list,6005,25,47,12,11200,6550,1,contact,C9
END
run parts import "$work/bearings.csv"
expect_code "a suffix" 2
expect_text "a suffix" "$err" "bearings.csv:3: designation: has a maker's suffix (got 6005-2XYZ, need 6005, with seal and clearance in columns of their own)"
expect_text "a clearance" "$err" "clearance: is not known (got C9, need C2, CN, C3, C4)"
run parts import "$work/bearings.csv" --skip-bad
run parts find --where clearance=C3 --json
json "find by clearance" "[(p['key'], p['designation'], p['clearance']) for p in d['parts']] == [('OURS', '6005', 'C3')]"
run parts remove OURS

# ---- what a supplier says of a part, whatever its kind
cat >"$work/sold.csv" <<'END'
key,kind,source,section,ribs,length [mm],thickness [mm],bore [mm],outside [mm],own number,Supplier,minimum order,discontinued,replaced by,price
SOLD-1,belt,price list,PK,8,1577,,,,H-1001,Riemen Nord,5,yes,SOLD-2,41.95 EUR
SOLD-2,belt,price list,PK,8,1578,,,,=1+1,Riemen Nord,,no,,
SOLD-3,shim,price list,,,,0.3,8.4,16,H-1003,,100,,,0.12 EUR
END
run parts import "$work/sold.csv"
run parts show SOLD-1 SOLD-2 SOLD-3 --json
json "sold" "[(p['own_number'], p['supplier'], p['minimum_order'], p['discontinued'], p['replaced_by']) for p in d['parts']] == [('H-1001', 'Riemen Nord', 5, True, 'SOLD-2'), ('=1+1', 'Riemen Nord', None, False, None), ('H-1003', None, 100, False, None)]"
run parts show SOLD-1
for words in "own number" H-1001 "Riemen Nord" "minimum order" discontinued "replaced by"; do expect_text "sold, shown" "$out" "$words"; done
sed -i -e 's/,yes,/,perhaps,/' -e 's/,100,/,0,/' -e 's/^SOLD-2\(.*\),,$/SOLD-2\1,SOLD-2,/' "$work/sold.csv"
run parts import "$work/sold.csv" --replace
expect_text "sold, wrong" "$err" "sold.csv:2: discontinued: is neither yes nor no (got perhaps, need yes or no)"
expect_text "sold, wrong" "$err" "sold.csv:3: replaced_by: is the part itself"
expect_text "sold, wrong" "$err" "sold.csv:4: minimum_order: is less than one piece"

# ---- export, remove, backup
run parts export --output "$work/all.csv"
run parts backup "$work/copy.db"
expect_code "backup" 0
run parts backup "$work/copy.db"
expect_text "backup does not overwrite" "$err" "already exists; use --force to replace it"
run parts backup "$work/copy.db" --force
expect_code "backup by force" 0
run parts remove GOOD
expect_code "remove" 0
run parts remove GOOD
expect_code "remove what is not there" 2
run parts remove 6203-contact
expect_text "a bearing in use" "$err" "is the bearing of"
run parts check --catalogue "$work/copy.db"
expect_code "the copy is sound" 0
SNUB_CATALOGUE=$work/again.db run parts import "$work/all.csv"
expect_code "export comes back" 0
SNUB_CATALOGUE=$work/again.db run parts export
expect_same "export of the import is the export" "$(printf '%s' "$out" | sha256sum)" "$(printf '%s' "$(cat "$work/all.csv")" | sha256sum)"

# ---- the default place
unset SNUB_CATALOGUE
run parts init --bare
expect_text "XDG data home" "$out" "$work/data/snub/catalogue.db: version 7, 0 parts"
export SNUB_CATALOGUE=$work/catalogue.db
SNUB_DATA=$work run parts init --catalogue "$work/other.db"
expect_text "no shipped parts" "$err" "are not installed"

# ---- drive files
/usr/bin/python3 - "$drive" "$work/parts.yaml" <<'END'
import re, sys
text = open(sys.argv[1]).read()
text, n = re.subn(r"stock: \{from: \d+, to: \d+, step: \d+\}", "stock: catalogue", text)
assert n == 1, "the example's stock is not where it was"
open(sys.argv[2], "w").write(text)
END
run chart "$work/parts.yaml" --json
json "stock: catalogue offers its belts" "all(700 <= b['belt_length_mm'] <= 2600 and b['belt_length_mm'] % 5 == 0 for b in d['builds'] if b['belt_length_mm']) and any(b['belt_length_mm'] for b in d['builds'])"
/usr/bin/python3 - "$drive" "$work/offered.yaml" <<'END'
import re, sys
text = open(sys.argv[1]).read()
text, n = re.subn(r"  blower\.diameter: \[[^]]*\]", "  blower.part: [PULLEY-7PK-80, BLOWER-7PK-3.10in]", text)
text, m = re.subn(r"diameter: \{value: 88, over: outside\}", "part: PULLEY-7PK-80", text)
text, k = re.subn(r"\n    excludes:\n(      - \{blower\.diameter[^\n]*\n)+", "\n", text)
assert (n, m, k) == (1, 1, 2), "the example's blower pulley is not where it was"
open(sys.argv[2], "w").write(text)
END
run chart "$work/offered.yaml" --json --variant ""
json "parts may be offered as options" "[(b['options']['blower.part'], b['diameters_mm']['blower']) for b in d['builds'] if b['package'] == 'touring'] == [('PULLEY-7PK-80', 80), ('BLOWER-7PK-3.10in', 78.74)]"
cat >"$work/part.yaml" <<'END'
snub: 1
engine: {displacement: 4 L, cylinders: 6, idle: 750, redline: 6200, volumetric_efficiency: [[750, 0.8], [6200, 0.85]], accel_rate: 1500, decel_rate: 9000}
belt: {part: 8PK1575}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 185}
- {name: tensioner, part: SM-TENSIONER, arm: {part: SM-TENSIONER, pivot: [-220, 130], free: 20, loads: cw}}
- {name: blower, part: PULLEY-8PK-80, at: [0, 360], blower: {part: SM-SCREW-1.45}}
END
cat >"$work/plain.yaml" <<'END'
snub: 1
engine: {displacement: 4 L, cylinders: 6, idle: 750, redline: 6200, volumetric_efficiency: [[750, 0.8], [6200, 0.85]], accel_rate: 1500, decel_rate: 9000}
belt: {section: PK, ribs: 8, length: 1575, be: 2.0}
pulleys:
- {name: crank, role: crank, at: [0, 0], diameter: 185}
- name: tensioner
  side: back
  diameter: 72
  max_speed: 12000
  arm: {pivot: [-220, 130], free: 20, loads: cw, length: 94, travel: 58, preload: 34, rate: 0.9, damping: 0.12, work: [6, 47]}
- {name: blower, diameter: 80, ribs: 8, at: [0, 360], blower: {kind: twin-screw, swept: 1.45, internal_ratio: 1.25, leakage_speed: 720, mechanical: 0.91, max_rotor_speed: 11800}}
END
same() { /usr/bin/python3 -c '
import json, sys
d = json.load(sys.stdin)
del d["build"]["fingerprint"], d["build"]["part"], d["build"]["row"]["code"] # what it was made from does differ
for f in d["findings"]:
    del f["line"]
def without(one):
    """The list of the kit says which part each item is."""
    if isinstance(one, dict):
        return {key: without(value) for key, value in one.items() if key not in ("number", "part")}
    return [without(item) for item in one] if isinstance(one, list) else one
d = without(d)
print(json.dumps(d, indent=1))'; }
run check "$work/plain.yaml" --rpm 3000 --json
plain=$(printf '%s' "$out" | same)
run check "$work/part.yaml" --rpm 3000 --json
expect_same "a drive of parts is the drive written out" "$(printf '%s' "$out" | same)" "$plain"
json "but for the part that the belt is" "d['build']['part'] == '8PK1575'"
run check "$work/offered.yaml" --json --set belt.ribs=9
json "a part with fewer grooves than the belt has ribs fails" "[(f['pulley'], f['level'], f['value'], f['limit']) for f in d['findings'] if f['rule'] == 'pulley_ribs'] == [('blower', 'fail', 7, 9)]"
run check "$work/offered.yaml" --json --set belt.ribs=5
json "a part with more grooves does not" "[f for f in d['findings'] if f['rule'] == 'pulley_ribs'] == []"

# ---- the house's own numbers, and parts that are no longer sold
cat >"$work/own.csv" <<'END'
key,kind,source,section,ribs,length [mm],diameter [mm],own number,discontinued,replaced by
8PK1575,belt,price list,PK,8,1575,,H-77,,
PULLEY-8PK-80,pulley,price list,PK,8,,80,,yes,PULLEY-8PK-81
END
cp "$SNUB_CATALOGUE" "$work/own.db"
run parts import "$work/own.csv" --replace --catalogue "$work/own.db"
expect_code "own numbers" 0
run check "$work/part.yaml" --rpm 3000 --json --catalogue "$work/own.db"
json "own number in the list of the kit" "('H-77', '8PK1575') in {(i.get('number'), i.get('part')) for v in d['contents'].values() if isinstance(v, list) for i in v} and ('PULLEY-8PK-80', 'PULLEY-8PK-80') in {(i.get('number'), i.get('part')) for v in d['contents'].values() if isinstance(v, list) for i in v}"
json "no longer sold" "[(f['level'], f['other'], 'PULLEY-8PK-81' in f['text']) for f in d['findings'] if f['rule'] == 'discontinued'] == [('marginal', 'PULLEY-8PK-80', True)]"
json "it opens all the same" "d['build']['designation'] == '8PK1575'"
sed -i 's/PULLEY-8PK-80/PULLEY-8PK-81/' "$work/part.yaml"
run check "$work/part.yaml" --rpm 3000
expect_code "a part that is not there" 2
expect_text "a part that is not there" "$err" "part.yaml:7:"
expect_text "a part that is not there" "$err" "no such part"
run check "$work/part.yaml" --rpm 3000 --catalogue "$work/none.db"
expect_text "no such catalogue" "$err" "there is no catalogue"
finish
