#!/bin/sh
# Collects the messages of drawings and sheets into po/snub.pot and brings every po/LANGUAGE.po up to it.
set -eu
cd "$(dirname "$0")/.."
xgettext --language=C --from-code=UTF-8 --keyword= --keyword=SAY --keyword=MESSAGE --keyword=snub_say:2 \
    --no-location --sort-output --package-name=snub -o po/snub.pot src/draw/*.c src/report/pages.c src/report/sheet_*.c
# no dates and no blanks to fill in: the file changes when a message does, and only then
sed -i -e '1,/^$/{/^"POT-Creation-Date/d;/^"PO-Revision-Date/d;/^"Last-Translator/d;/^"Language-Team/d;/^"Report-Msgid/d;/^# /d;s/CHARSET/UTF-8/}' po/snub.pot
for catalogue in po/*.po; do
    msgmerge --quiet --no-fuzzy-matching --no-location --sort-output --update --backup=none "$catalogue" po/snub.pot
    msgfmt --statistics -o /dev/null "$catalogue"
done
