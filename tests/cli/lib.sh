# Shared by tests/cli/run_*.sh: runs the program, compares, counts. Source it; end the script with `finish`.
set -u
: "${SNUB_BIN:?path of the snub program}" "${SNUB_SOURCE_DIR:?root of the source}"
snub=$SNUB_BIN
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0 failed=0
export NO_COLOR= COLUMNS=80 LC_ALL=C.UTF-8

good() { passed=$((passed + 1)); }
bad() {
    failed=$((failed + 1))
    printf 'FAILED %s\n' "$1"
    shift
    printf '    %s\n' "$@"
}

# run ARGUMENTS...: leaves $out, $err and $code
run() {
    "$snub" "$@" >"$work/out" 2>"$work/err" </dev/null
    code=$?
    out=$(cat "$work/out")
    err=$(cat "$work/err")
}

# expect_code NAME CODE
expect_code() {
    if [ "$code" -eq "$2" ]; then good; else bad "$1" "exit code: got $code, want $2" "stderr: $err"; fi
}

# expect_text NAME TEXT WANT: WANT is a piece of TEXT
expect_text() {
    case $2 in
    *"$3"*) good ;;
    *) bad "$1" "got:  ${2:0:600}" "want: $3" ;;
    esac
}

expect_no_text() {
    case $2 in
    *"$3"*) bad "$1" "got:  ${2:0:600}" "not wanted: $3" ;;
    *) good ;;
    esac
}

# expect_same NAME GOT WANT
expect_same() {
    if [ "$2" = "$3" ]; then good; else bad "$1" "got:  $2" "want: $3"; fi
}

# expect_width NAME TEXT COLUMNS: no line is wider
expect_width() {
    local widest
    widest=$(printf '%s\n' "$2" | /usr/bin/python3 -c 'import sys; print(max(len(line.rstrip("\n")) for line in sys.stdin))')
    if [ "$widest" -le "$3" ]; then good; else bad "$1" "widest line: got $widest, want at most $3 columns"; fi
}

# json NAME EXPRESSION: Python on the output as `d`; must be true
json() {
    local answer
    answer=$(printf '%s' "$out" | /usr/bin/python3 -c "import json, math, sys
d = json.load(sys.stdin)
print(bool($2))" 2>&1)
    if [ "$answer" = True ]; then good; else bad "$1" "$2: $answer"; fi
}

finish() {
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ]
    exit
}

# paste_piece DRIVE PIECE OUT: a piece that a command wrote, pasted under the drive's own variants
paste_piece() {
    /usr/bin/python3 - "$@" <<'PASTE'
import re
import sys
drive, piece, out = sys.argv[1:]
lines = [line for line in open(piece) if not line.startswith(("#", "variants:"))]
text = re.sub(r"(?m)^variants:.*\n", lambda m: m[0] + "".join(lines), open(drive).read())
open(out, "w").write(text)
PASTE
}
