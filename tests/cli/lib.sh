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
    out=$(<"$work/out")
    err=$(<"$work/err")
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
    local widest=0 line
    while IFS= read -r line; do [ ${#line} -le "$widest" ] || widest=${#line}; done <<<"$2"
    if [ "$widest" -le "$3" ]; then good; else bad "$1" "widest line: got $widest, want at most $3 columns"; fi
}

# One Python answers all that `json` asks: what comes is the output and the expression, each with a NUL behind it.
reckoner='
import json, math, sys
def asked():
    piece = bytearray()
    for byte in iter(lambda: sys.stdin.buffer.read1(65536), b""):
        piece += byte
        while piece.count(0) >= 2:
            text, expression, rest = piece.split(b"\0", 2)
            piece = bytearray(rest)
            yield text.decode(), expression.decode()
for text, expression in asked():
    try:
        answer = bool(eval("(" + expression + ")", {"json": json, "math": math, "sys": sys, "d": json.loads(text)}))
    except Exception as error:
        answer = repr(error)
    print(" ".join(str(answer).split()), flush=True)
'

# json NAME EXPRESSION: Python on the output as `d`; must be true
json() {
    local answer=none
    if [ -z "${RECKONER_PID:-}" ]; then coproc RECKONER { exec /usr/bin/python3 -c "$reckoner"; }; fi
    printf '%s\0%s\0' "$out" "$2" >&"${RECKONER[1]}"
    IFS= read -r answer <&"${RECKONER[0]}"
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
