/* Numbers must print and parse the same in every locale. setlocale would change the whole process under other threads;
 * uselocale changes this thread only. Asking for every category of "C" costs no allocation in glibc. */
#include "c_locale.h"

locale_t snub_c_locale_enter(void)
{
    locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    return plain ? uselocale(plain) : (locale_t)0;
}

void snub_c_locale_leave(locale_t before)
{
    if (!before)
        return;
    locale_t plain = uselocale(before);
    if (plain != before && plain != LC_GLOBAL_LOCALE)
        freelocale(plain);
}
