/** safe_text.h - columns of text that is shown escaped. Private to src/base. */
#ifndef SNUB_BASE_SAFE_TEXT_H
#define SNUB_BASE_SAFE_TEXT_H

#include "snub/base.h"

/** Columns that a character of `bytes` bytes takes as snub_safe_add shows it. */
int snub_safe_width(uint32_t point, size_t bytes);

#endif
