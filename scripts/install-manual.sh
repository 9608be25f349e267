#!/bin/sh
# Writes the manual page and the shells' completions from the program's own table. Usage: install-manual.sh SNUB PREFIX
set -eu
snub=$1 prefix=$2
put() {
    mkdir -p "$(dirname "$prefix/$1")"
    shift_to=$prefix/$1
    shift
    "$snub" "$@" >"$shift_to"
    chmod 644 "$shift_to"
    echo "-- Installing: $shift_to"
}
put share/man/man1/snub.1 man
put share/bash-completion/completions/snub completion bash
put share/zsh/site-functions/_snub completion zsh
put share/fish/vendor_completions.d/snub.fish completion fish
