#!/usr/bin/env bash
# snub draw: drawings that do not change by a byte, sheets of the right size, text that can be read back, wrong options.
. "$(dirname "$0")/lib.sh"
here=$SNUB_SOURCE_DIR/tests/cli/draw
drive=$here/drive.yaml
example=$SNUB_SOURCE_DIR/examples/sedgemere.yaml

# golden NAME ARGUMENTS...: the output is tests/cli/draw/NAME, byte for byte. REDRAW=1 writes it anew: look at it then.
golden() {
    local name=$1
    shift
    run draw "$drive" "$@" -o "$work/$name"
    expect_code "$name" 0
    [ "${REDRAW:-0}" = 1 ] && cp "$work/$name" "$here/$name"
    if cmp -s "$work/$name" "$here/$name"; then good; else bad "$name is as it was" "$(diff "$here/$name" "$work/$name" | head -6)"; fi
}
golden front.svg
golden front.dxf
golden side.svg --view side
golden template.svg --view template

# The form by option instead of by name, to standard output.
run draw "$drive" --form svg
expect_same "standard output" "$out" "$(cat "$here/front.svg")"
(cd / && "$snub" draw "$drive" -o "$work/elsewhere.svg")
if cmp -s "$work/elsewhere.svg" "$here/front.svg"; then good; else bad "from another folder"; fi

# PDF and PNG twice: the same bytes.
for form in pdf png; do
    run draw "$example" --rpm 3000 -o "$work/one.$form"
    expect_code "$form" 0
    sleep 1.1
    run draw "$example" --rpm 3000 -o "$work/two.$form"
    if cmp -s "$work/one.$form" "$work/two.$form"; then good; else bad "$form: the same bytes a second later"; fi
done

size() { pdfinfo "$1" | awk '/^Page size/ {printf "%.0f x %.0f", $3 * 25.4 / 72, $5 * 25.4 / 72}'; }
expect_same "A4" "$(size "$work/one.pdf")" "210 x 297"
run draw "$example" --paper A3 -o "$work/a3.pdf"
expect_same "A3" "$(size "$work/a3.pdf")" "297 x 420"
run draw "$example" --paper letter -o "$work/letter.pdf"
expect_same "letter" "$(size "$work/letter.pdf")" "216 x 279"
text=$(pdftotext -layout "$work/one.pdf" -)
for word in "Sedgemere inline six, twin-screw kit" 7PK1926 "3000 rpm" tensioner alternator blower "1:4" "setting 38.0 mm" \
    "$("$snub" check "$example" --json | /usr/bin/python3 -c 'import json, sys; print(json.load(sys.stdin)["build"]["fingerprint"][:12])')"; do
    expect_text "PDF text" "$text" "$word"
done
fonts=$(pdffonts "$work/one.pdf" | tail -n +3)
expect_no_text "every face is embedded" "$(printf '%s\n' "$fonts" | awk '{print $(NF-4)}')" "no"
expect_text "there are faces" "$fonts" "TrueType"
run draw "$example" --date 2026-01-31 -o "$work/dated.pdf"
expect_text "date in the sheet" "$(pdftotext "$work/dated.pdf" -)" "2026-01-31"
expect_text "date in the file" "$(TZ=UTC pdfinfo "$work/dated.pdf")" "Jan 31"

# SVG: well-formed, mm, and every circle where the geometry has it.
answer=$(/usr/bin/python3 - "$snub" "$example" <<'PY'
import json, math, subprocess, sys, xml.etree.ElementTree as tree
snub, example = sys.argv[1:]
root = tree.fromstring(subprocess.run([snub, "draw", example, "--rpm", "3000", "--form", "svg"], capture_output=True).stdout)
state = json.loads(subprocess.run([snub, "check", example, "--rpm", "3000", "--json"], capture_output=True).stdout)
w, h = (float(root.get(k)[:-2]) for k in ("width", "height"))
assert root.get("width").endswith("mm") and root.get("viewBox") == f"0 0 {w:g} {h:g}", root.attrib
ns = "{http://www.w3.org/2000/svg}"
group = [g for g in root.iter(ns + "g") if g.get("id") == "PULLEYS"][0]
circles = [tuple(float(c.get(k)) for k in ("cx", "cy", "r")) for c in group.iter(ns + "circle")]
crank = circles[0]
scale = 4
for p in state["pulleys"]:
    x, y = p["centre_mm"]
    want = (crank[0] + x / scale, crank[1] - y / scale)
    near = min(math.hypot(c[0] - want[0], c[1] - want[1]) for c in circles)
    assert near < 1e-3, (p["name"], near)
print("good", len(circles))
PY
)
expect_text "SVG circles are the pulleys, 1:4, y up" "$answer" "good"

# Builds of the chart; all of them.
run draw "$example" --build 1 --build 8 --rpm 3000 -o "$work/builds.svg"
expect_code "two builds" 0
expect_text "legend" "$(cat "$work/builds.svg")" ">8: "
run draw "$example" --all --paper A3 -o "$work/all.svg"
expect_code "all builds, of which some fail" 1
expect_text "all: the last build of the chart" "$(cat "$work/all.svg")" ">28: "
# Their legend stays in the frame and off itself, whatever the paper; so does that of a kit in inches.
frame=8 # mm: margin of a drawing's sheet
for paper in A4 A3 letter tabloid; do
    run draw "$example" --all --paper $paper -o "$work/all.pdf"
    expect_same "all on $paper: words in the frame and apart" "$(/usr/bin/python3 "$SNUB_SOURCE_DIR/tests/cli/sheet_check.py" words "$work/all.pdf" $frame 2>&1)" ""
done
run draw "$example" --all --inches -o "$work/all.pdf"
expect_same "all in inches: words in the frame and apart" "$(/usr/bin/python3 "$SNUB_SOURCE_DIR/tests/cli/sheet_check.py" words "$work/all.pdf" $frame 2>&1)" ""
expect_text "all in inches without a paper: tabloid" "$(pdfinfo "$work/all.pdf" | grep 'Page size')" "1224"
run draw "$example" --all -o "$work/all.pdf"
expect_text "all without a paper: A3" "$(pdfinfo "$work/all.pdf" | grep 'Page size')" "A3"
run draw "$example" --theme dark -o "$work/dark.svg"
expect_text "dark paper" "$(cat "$work/dark.svg")" 'fill="#14171b"'
run draw "$example" --scale 1 -o "$work/full.svg"
expect_code "full size" 0
expect_text "full size says so" "$(cat "$work/full.svg")" ">1:1<"

# Without balance: drawn, told, exit code 1.
run draw "$drive" --set belt.length=1400 -o "$work/slack.svg"
expect_code "slack" 1
expect_text "slack is told" "$err" "too long"
expect_text "slack is on the sheet" "$(cat "$work/slack.svg")" "too long"

# Where no belt runs: the path that was tried, a dashed line for each span and a dashed arc for each pulley; what overlaps.
run draw "$example" --set 'wrap idler.side=rib' -o "$work/unlaid.svg"
expect_code "no belt runs" 1
expect_text "no belt runs: on the sheet" "$(cat "$work/unlaid.svg")" "DO NOT FIT: No belt runs"
expect_text "no belt runs: 8 spans, 8 arcs in dashes" "$(grep -c 'stroke-width="0.5" stroke-dasharray="2.4 1.2"' "$work/unlaid.svg")" "16"
expect_text "no belt runs: nothing overlaps" "$(grep -c '>overlap<' "$work/unlaid.svg")" "0"
run draw "$example" --set 'steering.at=[9.29, 9.37]' -o "$work/overlap.svg"
expect_text "overlap: named in its place" "$(grep -c '>overlap<' "$work/overlap.svg")" "1"
expect_text "overlap: comes first" "$(cat "$work/overlap.svg")" "DO NOT FIT: overlap steering"
run draw "$example" --set 'wrap idler.slot={from: [30, 380], to: [31, 381]}' -o "$work/near.svg"
expect_text "a span without room is left out, and the two arcs beside it" "$(grep -c 'stroke-width="0.5" stroke-dasharray="2.4 1.2"' "$work/near.svg")" "13"

# What is wrong is said, with exit code 2, and nothing is written.
wrong() {
    local name=$1 want=$2
    shift 2
    run draw "$@"
    expect_code "$name" 2
    expect_text "$name" "$err" "$want"
}
wrong "no form" "--output" "$example"
wrong "unknown form" "give a file" "$example" -o "$work/x.bmp"
wrong "unknown view" "view" "$example" --view top -o "$work/x.svg"
wrong "build 0" "1 to 28" "$example" --build 0 -o "$work/x.svg"
wrong "build 29" "1 to 28" "$example" --build 29 -o "$work/x.svg"
wrong "build half" "1 to 28" "$example" --build 1.5 -o "$work/x.svg"
wrong "scale" "--scale" "$example" --scale 0.001 -o "$work/x.svg"
wrong "scale that does not fit" "does not fit" "$example" --scale 1 --paper A4 -o "$work/x.svg"
wrong "date" "--date" "$example" --date 2026-13-31 -o "$work/x.svg"
wrong "a day that is none" "--date" "$example" --date 2026-02-29 -o "$work/x.svg"
wrong "dots" "resolution" "$example" --dots 0 -o "$work/x.png"
wrong "dots by the million" "at most" "$example" --dots 1000000 -o "$work/x.png"
wrong "template scale" "1:1" "$example" --view template --scale 2 -o "$work/x.pdf"
wrong "all from the side" "front" "$example" --view side --all -o "$work/x.svg"
wrong "negative speed" "--rpm" "$example" --rpm -5 -o "$work/x.svg"
wrong "no such file" "no such" "$work/none.yaml" -o "$work/x.svg"
wrong "no such folder" "" "$example" -o "$work/none/x.svg"
if [ -e "$work/x.svg" ] || [ -e "$work/x.png" ]; then bad "a failure writes nothing"; else good; fi
finish
