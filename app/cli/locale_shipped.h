/** locale_shipped.h - message catalogues that come with the program. */
#ifndef SNUB_CLI_LOCALE_SHIPPED_H
#define SNUB_CLI_LOCALE_SHIPPED_H

#include "command.h"
#include "snub/sheet.h"

/** Read the catalogue of a language ("de") from $SNUB_DATA/locale, the installed share/snub/locale or the build's own
 *  locale folder. "en" needs none: messages->count is 0.
 *  @return true; false once the error has named the languages there are */
bool cli_messages(cli_run *run, const char *language, snub_messages *messages);

#endif
