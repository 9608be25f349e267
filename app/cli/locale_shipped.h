/** locale_shipped.h - message catalogues that come with the program. */
#ifndef SNUB_CLI_LOCALE_SHIPPED_H
#define SNUB_CLI_LOCALE_SHIPPED_H

#include "load.h"
#include "snub/sheet.h"

/** Read the catalogue of the language that --language gives, else the house file, from $SNUB_DATA/locale, the installed
 *  share/snub/locale or the build's own locale folder. "en" needs none: messages->count is 0.
 *  @param[out] language  "de"
 *  @return true; false once the error has named the languages there are */
bool cli_messages(cli_run *run, const cli_drive *loaded, snub_messages *messages, const char **language);

#endif
