#!/bin/sh
# Collects the messages of findings, drawings and sheets into po/snub.pot and brings every po/LANGUAGE.po up to it.
# With a file's name: writes the messages there and changes nothing else (scripts/messages-check.py).
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
export LC_ALL=C

# Marked texts of all rooms; the lists of rules and limits are C as well. M: columns.c's short form of SNUB_MESSAGE.
collect() {
    (cd "$top" &&
        xgettext --language=C --from-code=UTF-8 --keyword= --keyword=SAY --keyword=SNUB_MESSAGE --keyword=SNUB_MEANS --keyword=M \
            --keyword=snub_say:2 --no-location --sort-output --package-name=snub -o - \
            include/snub/*.inc src/*/*.[ch]) >"$1"
    # what the program knows of a language it reads from its head: "comma" where that is its decimal mark
    sed -i -e '1,/^$/s/^"Content-Transfer-Encoding:.*/&\n"X-Language-Name: \\n"\n"X-Decimal-Mark: point\\n"/' "$1"
    # no dates and no blanks to fill in: the file changes when a message does, and only then; "40 % less" is no %l
    sed -i -e '1,/^$/{/^"POT-Creation-Date/d;/^"PO-Revision-Date/d;/^"Last-Translator/d;/^"Language-Team/d;/^"Report-Msgid/d;/^# /d;s/CHARSET/UTF-8/}' \
        -e '/^#, c-format$/d' "$1"
}

if [ $# -gt 0 ]; then
    collect "$1"
    exit
fi
collect "$top/po/snub.pot"
for catalogue in "$top"/po/*.po; do
    msgmerge --quiet --no-fuzzy-matching --no-location --sort-output --update --backup=none "$catalogue" "$top/po/snub.pot"
    # an English of another country has only what it writes otherwise
    case $catalogue in
    */en_*.po) left=--translated ;;
    *) left= ;;
    esac
    msgattrib --no-obsolete $left --sort-output -o "$catalogue" "$catalogue"
    msgfmt --check-format --statistics -o /dev/null "$catalogue"
done
