#!/usr/bin/env bash
# Installs into an empty prefix and uses the library as a stranger does: by pkg-config alone, out of the tree.
. "$(dirname "$0")/../cli/lib.sh"
build=${SNUB_BUILD_DIR:?the build folder}
source=$SNUB_SOURCE_DIR
unset CPATH C_INCLUDE_PATH LIBRARY_PATH

# expect_done NAME COMMAND...: the command ends well
expect_done() {
    local name=$1
    shift
    if "$@" >"$work/log" 2>&1; then good; else bad "$name" "$(head -c 2000 "$work/log")"; fi
}

install_to() { cmake --install "$build" --prefix "$1"; }
expect_done "install into a prefix" install_to "$work/first"
# An installed tree may be moved, as packages and DESTDIR do.
mv "$work/first" "$work/moved"
prefix=$work/moved

pc=$(find "$prefix" -name snub.pc)
expect_text "snub.pc is installed" "$pc" "pkgconfig/snub.pc"
export PKG_CONFIG_PATH=${pc%/*}
expect_done "pkg-config knows snub" pkg-config --exists --print-errors snub
expect_same "the project's version" "snub $(pkg-config --modversion snub)" "$("$snub" --version | head -n 1)"
expect_no_text "snub.pc names no folder of this machine" "$(cat "$pc")" "$source"

# Every header that the tree has, and each compiles alone.
headers=$(cd "$source/include" && find snub -name '*.h' -o -name '*.inc' | sort)
expect_same "all headers and lists are installed" "$(cd "$prefix/include" && find snub -type f | sort)" "$headers"
read -r -a cflags <<<"$(pkg-config --cflags snub)"
mkdir "$work/outside"
cd "$work/outside" || exit 1
compile_c() {
    printf '#include <%s>\n#include <%s>\n' "$1" "$1" | cc -std=c17 -Wall -Wextra -Werror "${cflags[@]}" -x c -fsyntax-only -
}
compile_cpp() {
    (printf 'extern "C" {\n' && printf '#include <%s>\n' "$@" && printf '}\n') | "$cpp" -Wall -Wextra -Werror "${cflags[@]}" -x c++ -fsyntax-only -
}
cpp=$(command -v c++ || command -v g++ || command -v clang++ || true)
alone=$(printf '%s\n' "$headers" | grep '\.h$')
for header in $alone; do
    expect_done "$header compiles alone" compile_c "$header"
done
# shellcheck disable=SC2086 # a list of words
[ -z "$cpp" ] || expect_done "all of them compile in C++" compile_cpp $alone
[ -n "$cpp" ] || echo "no C++ compiler: headers are not tried in C++"

cp "$source/tests/install/outside.c" .
# shellcheck disable=SC2046 # the words of pkg-config
expect_done "outside.c builds by pkg-config" cc -std=c17 -Wall -Wextra -Werror outside.c -o outside $(pkg-config --cflags --libs snub)
shown=$(sed -n '/^```c$/,/^```$/{/^```/d;p}' "$source/docs/guide/library.md")
expect_same "docs/guide/library.md shows this very program" "$shown" "$(sed '1,/\*\/$/d' outside.c)"
for example in sedgemere three-pulleys; do
    told=$(./outside "$source/examples/$example.yaml" 2>&1)
    run check "$source/examples/$example.yaml" --json
    want=$(printf '%s' "$out" | /usr/bin/python3 -c 'import json, sys
told = json.load(sys.stdin)
print(told["build"]["designation"], told["verdict"])')
    expect_same "outside.c and snub agree on $example" "$told" "$want"
done
told=$(./outside "$source/README.md" 2>&1)
expect_same "a file that is no drive: exit code" "$?" 2
expect_text "a file that is no drive" "$told" ":"
expect_done "the installed program runs" "$prefix/bin/snub" check "$source/examples/three-pulleys.yaml"
finish
