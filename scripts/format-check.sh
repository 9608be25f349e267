#!/usr/bin/env bash
# The C sources are laid out as .clang-format says; changes nothing. Another version of clang-format may break lines in
# other places: Debian 12's counts. To lay a file out: clang-format -i FILE
# Usage: format-check.sh [FILE...]   default: all tracked ones; the last line is `N passed, N failed`.
set -u
cd "$(dirname "$0")/.." || exit 1
if ! command -v clang-format >/dev/null 2>&1; then
    echo "clang-format is missing (scripts/setup.sh)"
    echo "0 passed, 1 failed"
    exit 1
fi
tracked() {
    git ls-files -- '*.c' '*.h' '*.inc' 2>/dev/null ||
        find app bench include src tests -name node_modules -prune -o -type f -name '*.[ch]' -print -o -name '*.inc' -print
}
if [ $# -gt 0 ]; then files=("$@"); else mapfile -t files < <(tracked); fi
# A process for many files, since its start costs more than its work; where it ends badly, one for each of them: its exit code
# is the file's verdict, whatever it prints.
each=$((${#files[@]} / (4 * $(nproc)) + 1))
wrong=$(printf '%s\0' "${files[@]}" | xargs -0 -r -P "$(nproc)" -n "$each" sh -c \
    'clang-format --dry-run -Werror "$@" >/dev/null 2>&1 && exit
     for file; do clang-format --dry-run -Werror "$file" >/dev/null 2>&1 || echo "not laid out: $file"; done' - | sort)
failed=$(printf '%s' "$wrong" | grep -c '^')
[ -z "$wrong" ] || printf '%s\n' "$wrong"
[ ${#files[@]} -gt 0 ] || { echo "no files found"; failed=1; }
passed=$((${#files[@]} - failed))
echo "$((passed < 0 ? 0 : passed)) passed, $failed failed"
[ "$failed" -eq 0 ]
