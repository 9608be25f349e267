#!/usr/bin/env bash
# Help, options, suggestions, exit codes, widths, colour, completion and manual: the same for every command.
. "$(dirname "$0")/lib.sh"
drive=$SNUB_SOURCE_DIR/examples/sedgemere.yaml
commands=$("$snub" help | sed -n '/^Commands/,/^$/p' | sed -n 's/^  \([a-z][a-z-]*\)  *[^ ].*/\1/p')

expect_text "commands are listed" "$commands" check
expect_text "commands are listed" "$commands" chart

run
expect_code "no command" 2
expect_text "no command shows help" "$err" "Start with"
expect_same "no command prints nothing on stdout" "$out" ""
run --help
expect_code "--help" 0
help=$out
run help
expect_same "help is --help" "$out" "$help"
expect_width "help" "$out" 80
run --version
expect_code "--version" 0
case $out in "snub "[0-9]*.[0-9]*.[0-9]*) good ;; *) bad "--version" "got $out" ;; esac

for command in $commands; do
    run help "$command"
    expect_code "help $command" 0
    about=$out
    expect_text "help $command has an example" "$out" '  $ snub '"$command"
    expect_text "help $command lists options" "$out" "--help"
    expect_width "help $command" "$out" 80
    run "$command" --help
    expect_same "$command --help" "$out" "$about"
    run "$command" --no-such-option
    expect_code "$command with an unknown option" 2
    expect_text "$command names the option" "$err" "unknown option --no-such-option"
    expect_same "$command prints nothing on stdout" "$out" ""
done

run chek "$drive"
expect_code "unknown command" 2
expect_text "nearest command" "$err" 'did you mean `snub check`?'
run xyzzy
expect_text "no near command" "$err" '`snub help` lists them'
run check "$drive" --rmp 3000
expect_text "nearest option" "$err" "unknown option --rmp; did you mean --rpm?"
run check "$drive" --rpm
expect_text "missing value" "$err" "--rpm needs a value: --rpm N"
run check "$drive" --json=1
expect_text "value for a flag" "$err" "--json takes no value"
run check "$drive" --rpm 1 --rpm 2
expect_text "option twice" "$err" "--rpm is given twice"
run check
expect_text "missing operand" "$err" "needs FILE"
run check "$drive" more
expect_text "one operand too many" "$err" 'unexpected argument "more"'
run check "$drive" --rpm "3 kg"
expect_text "wrong unit" "$err" '"kg" is a unit of a mass, not of a rotational speed'
run check "$drive" --rpm -5
expect_code "negative speed" 2
run chart "$drive" --format txt
expect_text "word of a list" "$err" "--format takes one of text, csv, xlsx, json"
run chart "$drive" --threads 1.5
expect_text "whole number" "$err" "--threads takes a whole number from 1 to"
run check -- "$work/-x.yaml"
expect_text "-- ends options" "$err" "no such file"

# Forms of the same option agree.
run check "$drive" --rpm 3000 --json
one=$out
run check --rpm=3000 --json "$drive"
expect_same "--rpm=N before the file" "$out" "$one"
run check -r3000 "$drive" --json
expect_same "-rN" "$out" "$one"
run check "$drive" --rpm "50 rev/s" --json
expect_same "another unit of the same speed" "$out" "$one"
out=$("$snub" check - --rpm 3000 --json <"$drive")
expect_same "the drive from standard input" "$out" "$one"

# Locale, width, colour.
if [ -d "${LOCPATH:-/nonexistent}/de_DE.UTF-8" ]; then
    out=$(LC_ALL=de_DE.UTF-8 "$snub" check "$drive" --rpm 3000 --json)
    expect_same "a decimal comma in the locale changes nothing" "$out" "$one"
fi
expect_no_text "no colour where there is no terminal" "$(cd "$work" && "$snub" check "$drive")" $'\x1b'
if script -qec true /dev/null >/dev/null 2>&1; then
    shown=$(NO_COLOR='' TERM=xterm script -qec "$snub check $drive" /dev/null </dev/null)
    expect_text "colour on a terminal" "$shown" $'\x1b['
    shown=$(NO_COLOR=1 TERM=xterm script -qec "$snub check $drive" /dev/null </dev/null)
    expect_no_text "NO_COLOR is heeded" "$shown" $'\x1b['
    expect_text "the level is said in words too" "$shown" "verdict"
fi
run check "$drive"
expect_width "check" "$out" 80
run chart "$drive"
expect_width "chart" "$out" 80
out=$(COLUMNS=120 "$snub" chart "$drive")
expect_text "a wide terminal shows more" "$out" "rpm"

# snub starts quickly: the large libraries are those of snub-full and snub-whole. A command that needs one is to say CLI_FULL or
# CLI_WHOLE; the one that draws SVG is loaded when a picture wants it.
while read -r program not_loaded; do
    needed=$(readelf -d "$(dirname "$snub")/$program" 2>/dev/null | sed -n 's/.*NEEDED.*\[\(.*\)\]/\1/p' | tr '\n' ' ')
    expect_text "readelf shows libraries of $program" "$needed" "libc.so"
    for library in $not_loaded; do
        expect_no_text "$program does not load lib$library" "$needed" "lib$library"
    done
done <<'E_PROGRAMS'
snub cairo pango rsvg qrencode crypto xlsxwriter microhttpd openblas lapack sundials
snub-full rsvg crypto xlsxwriter microhttpd openblas
snub-whole rsvg openblas
E_PROGRAMS

# What is written to is full, or gone.
"$snub" help >/dev/full 2>"$work/err"
expect_same "standard output is full: exit code" "$?" 2
expect_text "standard output is full" "$(cat "$work/err")" "no space left on device"

# Completion and manual.
for shell in bash zsh fish; do
    run completion "$shell"
    expect_code "completion $shell" 0
    for command in $commands; do expect_text "completion $shell knows $command" "$out" "$command"; done
    expect_text "completion $shell knows an option" "$out" "rpm"
done
"$snub" completion bash >"$work/complete.bash"
answer=$(bash -c '. "$1"; COMP_WORDS=(snub ch); COMP_CWORD=1; _snub; echo "${COMPREPLY[*]}"' - "$work/complete.bash" 2>&1)
expect_same "bash completes a command" "$answer" "check chart"
answer=$(bash -c '. "$1"; COMP_WORDS=(snub check --rp); COMP_CWORD=2; _snub; echo "${COMPREPLY[*]}"' - "$work/complete.bash" 2>&1)
expect_same "bash completes an option" "$answer" "--rpm"
answer=$(bash -c '. "$1"; COMP_WORDS=(snub chart --format x); COMP_CWORD=3; _snub; echo "${COMPREPLY[*]}"' - "$work/complete.bash" 2>&1)
expect_same "bash completes a word" "$answer" "xlsx"
run completion tcsh
expect_code "unknown shell" 2
run man
expect_code "man" 0
for command in $commands; do expect_text "man has $command" "$out" ".SS snub $command"; done
if command -v groff >/dev/null 2>&1; then
    warnings=$(printf '%s\n' "$out" | groff -man -Tutf8 -ww 2>&1 >/dev/null)
    expect_same "groff has nothing to say of the manual" "$warnings" ""
fi
finish
