/** Characters that must not reach a terminal. Private to src/base. */
#ifndef SNUB_BASE_UTF8_H
#define SNUB_BASE_UTF8_H

#include "snub/base.h"

/** C0 and C1 controls, and the marks that turn the direction of writing: a terminal must not be sent them from a
 *  file. */
bool snub_utf8_is_control(uint32_t point);

#endif
