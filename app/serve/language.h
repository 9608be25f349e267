/** The language in which the page's entries say what each key means. */
#ifndef SNUB_SERVE_LANGUAGE_H
#define SNUB_SERVE_LANGUAGE_H

#include "snub/locale.h"

typedef struct serve_language {
    const char *code; /**< "en" */
    snub_locale locale;
} serve_language;

#endif
