/** contents_words.h - the parts and tools of a build in words, the same in every form. Private to the room. */
#ifndef SNUB_REPORT_CONTENTS_WORDS_H
#define SNUB_REPORT_CONTENTS_WORDS_H

#include "snub/contents.h"
#include "snub/report.h"

/** "belt 7PK1926", "pulley blower", "bolt", "old hose". */
void snub_item_words(const snub_item *item, const snub_locale *locale, snub_text *out);
/** What a counter needs beside: "M8, 38.0 mm long"; "" for nothing. */
void snub_item_size_words(const snub_item *item, const snub_locale *locale, snub_text *out);
/** Property class of a bolt, material of what has one; "". */
const char *snub_item_class(const snub_item *item);
/** Where its pieces go: "idler bridge: left ear, right ear; wrap idler"; its note behind it. */
void snub_item_place_words(const snub_item *item, const snub_locale *locale, snub_text *out);
/** "In the box", and what the list is for. */
const char *snub_supply_heading(snub_supply_how how);

/** "spanner or socket". */
const char *snub_tool_words(const snub_tool *tool);
/** "13 mm", "9/16 in", "31 N m to 110 N m"; "". */
void snub_tool_size_words(const snub_tool *tool, const snub_locale *locale, snub_text *out);
/** "M8, M8x1 (6 bolts)". */
void snub_tool_use_words(const snub_tool *tool, const snub_locale *locale, snub_text *out);

/** Names of the parts of which the file does not say how they come, joined; "" where it says so of all. */
void snub_assumed_words(const snub_contents *contents, const snub_locale *locale, snub_text *out);

#endif
