/** c_locale.h - the C locale for this thread, for a moment. Private to src/base. */
#ifndef SNUB_BASE_C_LOCALE_H
#define SNUB_BASE_C_LOCALE_H

#include <locale.h>

/** Switch this thread to the C locale.
 *  @return what to give to snub_c_locale_leave. Where the system has no memory for a locale the thread keeps its own.
 */
locale_t snub_c_locale_enter(void);
void snub_c_locale_leave(locale_t before);

#endif
