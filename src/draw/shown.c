/** Numbers of a drawing in the reader's units. */
#include <stdio.h>
#include <string.h>

#include "view.h"

const char *snub_draw_number(const snub_locale *locale, double value, const char *unit, int decimals, char text[32])
{
    const snub_shown shown = snub_number_shown(locale, value, unit, decimals);
    return snub_number_text(locale, shown.value, shown.decimals, text);
}

const char *snub_draw_unit(const snub_locale *locale, const char *unit)
{
    return snub_number_shown(locale, 0, unit, 0).unit;
}

const char *snub_draw_mm(const snub_locale *locale, double mm, int decimals, char text[48])
{
    char number[32];
    snprintf(text, 48, "%s %s", snub_draw_number(locale, mm, "mm", decimals, number), snub_draw_unit(locale, "mm"));
    return text;
}

bool snub_draw_inches(const snub_locale *locale)
{
    return locale != NULL && locale->inches;
}
