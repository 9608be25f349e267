#!/usr/bin/env bash
# make package: fields, dependencies, content and bytes of the .deb, and the program as it is installed from it.
. "$(dirname "$0")/../cli/lib.sh"
build=${SNUB_BUILD_DIR:?the build folder}
source=$SNUB_SOURCE_DIR
built=$snub
unset SNUB_DATA SNUB_CATALOGUE
export SOURCE_DATE_EPOCH=1700000000 HOME=$work/home XDG_DATA_HOME=$work/home/data
mkdir "$HOME"
for tool in cpack dpkg-deb dpkg-shlibdeps make; do
    command -v "$tool" >/dev/null || { echo "no $tool here: no package is made"; exit 77; }
done

# `-o all`: it is built already. Two packers with other habits, some seconds apart.
pack() { make -s -C "$source" -o all package BUILD="$build" PACKAGE="$1" >"$1.log" 2>&1; }
(umask 077 && sleep 1.2 && TZ=Asia/Tokyo pack "$work/again") &
pack "$work/once"
expect_same "make package: exit code ($(tail -c 300 "$work/once.log"))" "$?" 0
version=$("$built" --version | sed -n '1s/^snub //p')
architecture=$(dpkg --print-architecture)
deb=$work/once/snub_${version}_$architecture.deb
expect_same "it says where the package is" "$(cat "$work/once.log")" "$deb"
[ -f "$deb" ] || { wait; finish; }
# Debian's own tools take their time; what they say is read at the end.
lintian --fail-on none --no-tag-display-limit "$deb" >"$work/lintian" 2>/dev/null &
apt-get -s -qq -o Dir::State::status=/dev/null install --no-install-recommends "$deb" >"$work/apt" 2>&1 &

# ---- fields ---------------------------------------------------------------------------------------------------------
field() { dpkg-deb -f "$deb" "$1"; }
expect_same "name" "$(field Package)" snub
expect_same "version" "$(field Version)" "$version"
expect_same "architecture" "$(field Architecture)" "$architecture"
expect_same "section" "$(field Section)" science
expect_text "who packs" "$(field Maintainer)" "@"
expect_text "what it is" "$(field Description)" "workbench for belt-driven superchargers"
depends=$(field Depends)
expect_text "the face of sheets" "$depends" fonts-liberation
expect_same "no maintainer scripts" "$(dpkg-deb --ctrl-tarfile "$deb" | tar -t | sort | tr '\n' ' ')" "./control ./md5sums "

# ---- content --------------------------------------------------------------------------------------------------------
listing=$(dpkg-deb -c "$deb")
expect_same "all belong to root" "$(printf '%s\n' "$listing" | grep -vc ' root/root ')" 0
expect_same "who may do what" "$(printf '%s\n' "$listing" | cut -c1-10 | sort -u | tr '\n' ' ')" "-rw-r--r-- -rwxr-xr-x drwxr-xr-x "
expect_same "no date but the one given" "$(printf '%s\n' "$listing" | grep -vc '2023-11-14')" 0
want=$(
    cd "$source" || exit
    printf 'bin/snub\nlibexec/snub/snub-full\nlibexec/snub/snub-whole\nlibexec/snub/open\n'
    for file in bash-completion/completions/snub zsh/vendor-completions/_snub fish/vendor_completions.d/snub.fish \
        man/man1/snub.1.gz applications/snub.desktop icons/hicolor/scalable/apps/snub.svg doc/snub/copyright \
        doc/snub/README.md doc/snub/CHANGELOG.md doc/snub/changelog.gz; do echo "share/$file"; done
    find examples -type f | sed 's,^,share/snub/,'
    (cd data && find . -type f | sed 's,^\./,share/snub/,')
    find docs/guide docs/theory docs/pictures -type f | sed 's,^,share/doc/snub/,'
    for language in po/*.po; do basename "$language" .po | sed 's,.*,share/snub/locale/&.mo,'; done
)
expect_same "all that it should have, and nothing else" \
    "$(diff <(printf '%s\n' "$listing" | sed -n 's,^-.*\./usr/,,p' | sort) <(printf '%s\n' "$want" | sort))" ""

# ---- installed ------------------------------------------------------------------------------------------------------
root=$work/root
mkdir -p "$root/var/lib/dpkg/info" "$root/var/lib/dpkg/updates"
touch "$root/var/lib/dpkg/status" "$root/var/lib/dpkg/available"
by_dpkg=yes
debian() { dpkg --root="$root" --force-depends --log="$work/dpkg.log" "$@" >"$work/dpkg" 2>&1; } # its libraries are this machine's
if [ "$(id -u)" -ne 0 ] || ! debian --install "$deb"; then
    by_dpkg=no
    echo "dpkg installs nothing here ($(tail -n 1 "$work/dpkg" 2>/dev/null)): unpacked only"
    dpkg-deb -x "$deb" "$root"
fi
usr=$root/usr
snub=$usr/bin/snub
cd "$work" || exit 1
example=$usr/share/snub/examples/sedgemere.yaml
expect_same "no folder of this machine in it" "$(grep -rlF -e "$source" -e "$work" "$usr" 2>&1)" ""

# Each library that the programs load belongs to a package that is named.
for program in "$snub" "$usr/libexec/snub/snub-full" "$usr/libexec/snub/snub-whole"; do
    for library in $(readelf -d "$program" | sed -n 's/.*NEEDED.*\[\(.*\)\]/\1/p'); do
        file=$(ldd "$program" | sed -n "s,^[[:space:]]*$library => \([^ ]*\) .*,\1,p")
        owner=$(dpkg -S "${file:-/$library}" "$(readlink -f "${file:-/$library}")" 2>/dev/null | sed -n '1s/:.*//p')
        case $library in ld-linux*) continue ;; esac # of libc6
        case ", $depends," in *", ${owner:-nobody},"* | *", ${owner:-nobody} ("*) good ;; *) bad "$library of ${program##*/}" "owner: $owner" "depends: $depends" ;; esac
    done
done

run --version
expect_same "version of the installed program" "$(printf '%s\n' "$out" | head -n 1)" "snub $version"
run help
expect_code "help" 0
run check "$example"
expect_code "check" 0
expect_same "check says what it says in the build folder" "$out" "$("$built" check "$example")"
run sheet "$example" -o fitting.pdf
expect_code "sheet, by snub-full" 0
run sheet "$example" --language de -o "$work/german.pdf"
expect_code "a German sheet" 0
expect_text "a German sheet is in German" "$(pdftotext german.pdf - 2>&1)" "Riemen"
run parts import --shipped --catalogue parts.db
expect_code "parts that come with it" 0
expect_text "the manual page" "$(zcat "$usr/share/man/man1/snub.1.gz")" ".SS snub check"
expect_text "the list of changes" "$(zcat "$usr/share/doc/snub/changelog.gz")" "snub ($version) stable"
# shellcheck disable=SC2016 # $1 is the inner shell's
expect_same "completion" "$(bash -c '. "$1"; COMP_WORDS=(snub sha); COMP_CWORD=1; _snub; echo "${COMPREPLY[*]}"' - "$usr/share/bash-completion/completions/snub")" share
expect_same "the icon" "$(cmp "$usr/share/icons/hicolor/scalable/apps/snub.svg" "$source/page/src/mark.svg" 2>&1)" ""
answer=$(PYTHONPATH=$source/tests/cli /usr/bin/python3 -B -c 'import sys, urllib.request
from served import Server
server = Server(sys.argv[2], program=sys.argv[1])
try:
    print(urllib.request.urlopen(server.root + "/", timeout=60).status, server.ask("/api/drive?file=sedgemere.yaml")[0], len(server.ask("/api/begin")[1]["examples"]))
finally:
    server.stop()' "$snub" "$example" 2>&1)
expect_same "serve answers, and knows the examples" "$answer" "200 200 $(find "$source/examples" -maxdepth 1 -name '*.yaml' | wc -l)"

copyright=$(cat "$usr/share/doc/snub/copyright")
expect_same "copyright says how it is to be read" "$(printf '%s\n' "$copyright" | head -n 1)" "Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/"
words() { sed 's/^ *\.$//' | tr -s ' \n' ' '; }
expect_text "copyright has the licence" "$(printf '%s' "$copyright" | words)" "$(sed '1,/^Copyright/d' "$source/LICENSE" | words | sed 's/ *$//')"
bundled=$source/page/node_modules/uplot/LICENSE
if [ -f "$bundled" ] && grep -q '^SNUB_PAGE:BOOL=ON' "$build/CMakeCache.txt"; then
    expect_text "copyright of what is in the page" "$copyright" "$(sed -n 's/^Copyright (c) /Copyright: /p' "$bundled")"
    expect_same "packages in the page" "$(cd "$source/page" && /usr/bin/python3 -c 'import json; print(*json.load(open("package.json"))["dependencies"])')" uplot
fi

# ---- the desktop ----------------------------------------------------------------------------------------------------
entry=$usr/share/applications/snub.desktop
expect_text "the entry's program" "$(cat "$entry")" 'Exec="/usr/libexec/snub/open" %f'
if [ -x "$usr/libexec/snub/open" ]; then good; else bad "the entry's program is there"; fi
if command -v desktop-file-validate >/dev/null; then
    expect_same "the entry is valid" "$(desktop-file-validate "$entry" 2>&1)" ""
else
    echo "no desktop-file-validate here"
fi
# A browser that keeps what it was given, and who could have read that.
mkdir bin
cat >bin/xdg-open <<'E_BROWSER'
#!/bin/sh
cat "$1" >"$SEEN.part"
stat -c '%a' "$1" >"$SEEN.mode"
mv "$SEEN.part" "$SEEN"
E_BROWSER
printf '#!/bin/sh\necho "$HOME/Papers"\n' >bin/xdg-user-dir
chmod +x bin/*
# opens NAME ARGUMENTS...: double click, look at what the browser got, close the window
opens() {
    local name=$1
    shift
    export SEEN=$work/seen.$name
    PATH=$work/bin:$PATH XDG_RUNTIME_DIR=$work "$usr/libexec/snub/open" "$@" >"$work/open.$name" 2>&1 </dev/null &
    local opened=$!
    for _ in $(seq 100); do [ -s "$SEEN" ] && break; sleep 0.1; done
    local address
    address=$(sed -n 's/.*url=\([^"]*\)".*/\1/p' "$SEEN")
    expect_text "$name: the browser gets the address" "$address" "#key="
    expect_same "$name: nobody else can read it" "$(cat "$SEEN.mode")" 600
    expect_text "$name: the page is there" "$(/usr/bin/python3 -c 'import sys, urllib.request; print(urllib.request.urlopen(sys.argv[1], timeout=60).read().decode())' "${address%%#*}" 2>&1)" "<html"
    kill "$opened"
    wait "$opened" 2>/dev/null
    expect_same "$name: nothing is left" "$(find "$work" -maxdepth 1 -name 'snub.*')" ""
    /usr/bin/python3 -c 'import sys, urllib.request; urllib.request.urlopen(sys.argv[1], timeout=5)' "${address%%#*}" 2>/dev/null
    expect_same "$name: the server is gone" "$?" 1
}
cp "$example" "a kit.yaml"
opens "a drive file" "$work/a kit.yaml"
opens "no file"
expect_same "no file: a drive to begin with" "$(ls "$HOME/Papers/snub")" "my drive.yaml"
printf 'snub: 1\n' >"$HOME/Papers/snub/other.yml"
rm "$HOME/Papers/snub/my drive.yaml"
opens "no file again"
expect_same "no file again: no second drive" "$(ls "$HOME/Papers/snub")" "other.yml"
PATH=$work/bin:$PATH "$usr/libexec/snub/open" "$source/README.md" >"$work/open.wrong" 2>&1 </dev/null
expect_same "no drive file: exit code" "$?" 2
expect_text "no drive file: why" "$(cat "$work/open.wrong")" "the page opens files that end in .yaml"

# ---- Debian's own tools ---------------------------------------------------------------------------------------------
wait
if command -v lintian >/dev/null; then
    expect_same "lintian" "$(grep -E '^[EW]:' "$work/lintian")" ""
else
    echo "no lintian here"
fi
# A machine with nothing: would apt find all that the package depends on?
if compgen -G '/var/lib/apt/lists/*_Packages*' >/dev/null; then
    expect_text "apt installs it on a bare machine" "$(tail -n 2 "$work/apt")" "Conf snub ($version"
else
    echo "apt has no lists here"
fi
if cmp "$deb" "$work/again/${deb##*/}" >"$work/cmp" 2>&1; then good; else bad "the same sources, the same bytes" "$(cat "$work/cmp")"; fi
if [ "$by_dpkg" = yes ]; then
    debian --remove snub
    expect_same "removed: exit code" "$?" 0
    expect_same "nothing stays behind" "$(find "$usr" ! -type d 2>/dev/null)" ""
fi
finish
