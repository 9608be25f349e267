/** locale_shipped.h - message catalogues that come with the program. */
#ifndef SNUB_CLI_LOCALE_SHIPPED_H
#define SNUB_CLI_LOCALE_SHIPPED_H

#include "load.h"
#include "snub/sheet.h"

/** Read the catalogue of the language that --language gives, else the house file, from $SNUB_DATA/locale, the installed
 *  share/snub/locale or the build's own locale folder: every LANGUAGE.mo there is a language of the program. "en" needs
 *  none: messages->count is 0.
 *  @return true; false once the error has named the languages there are */
bool cli_messages(cli_run *run, const cli_drive *loaded, snub_messages *messages);

/** The code of that language, "en" where neither names one. */
const char *cli_language(const cli_run *run, const cli_drive *loaded);

/** Codes of the languages there are: "en", then those with a catalogue, sorted. Those that no memory is left for are
 *  missing. */
enum { CLI_LANGUAGES_MOST = 64 };
typedef struct cli_languages {
    const char *code[CLI_LANGUAGES_MOST + 1]; /**< NULL-terminated */
} cli_languages;
void cli_languages_find(snub_arena *arena, cli_languages *languages);
/** Each with its own name: "en (English), de (Deutsch)". */
void cli_languages_words(snub_arena *arena, snub_text *out);

#endif
