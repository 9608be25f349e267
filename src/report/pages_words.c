/** Words and values for a page. */
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "pages.h"
#include "words.h"

static const char *value_of(const char *name, size_t length, va_list pairs)
{
    const char *key;
    while ((key = va_arg(pairs, const char *)) != NULL) {
        const char *value = va_arg(pairs, const char *);
        if (strlen(key) == length && memcmp(key, name, length) == 0)
            return value;
    }
    return NULL;
}

const char *snub_pages_fill(snub_pages *pages, const char *text, ...)
{
    snub_text out = {0};
    for (const char *c = text; *c != '\0';) {
        const char *end = *c == '{' ? strchr(c, '}') : NULL;
        const char *value = NULL;
        if (end != NULL) {
            va_list pairs;
            va_start(pairs, text);
            value = value_of(c + 1, (size_t)(end - c - 1), pairs);
            va_end(pairs);
        }
        if (value != NULL) {
            snub_text_puts(&out, value);
            c = end + 1;
        } else {
            snub_text_add(&out, c++, 1);
        }
    }
    const char *copy = out.failed || out.data == NULL ? NULL : snub_copy_text(pages->arena, out.data);
    snub_text_free(&out);
    if (copy == NULL)
        pages->failed = pages->failed || text[0] != '\0';
    return copy != NULL ? copy : "";
}

const char *snub_pages_keep(snub_pages *pages, snub_text *text)
{
    const char *copy = snub_words_copy(text, pages->arena);
    pages->failed = pages->failed || copy == NULL;
    return copy != NULL ? copy : "";
}

/* "N m" on one line. */
static const char *unbroken(snub_pages *pages, const char *unit)
{
    snub_text text = {0};
    for (const char *c = unit; *c != '\0'; c++)
        snub_text_puts(&text, *c == ' ' ? "\xc2\xa0" : (char[2]){*c, '\0'});
    return snub_pages_keep(pages, &text);
}

const char *snub_pages_number(snub_pages *pages, double value, int decimals, const char *unit)
{
    const snub_shown shown = snub_number_shown(pages->locale, value, unit, decimals);
    char number[32];
    snub_number_text(pages->locale, shown.value, shown.decimals, number);
    unit = shown.unit;
    if (unit == NULL || unit[0] == '\0' || !isfinite(value))
        return snub_pages_fill(pages, "{n}", "n", number, NULL);
    return snub_pages_fill(pages, "{n}\xc2\xa0{unit}", "n", number, "unit", unbroken(pages, unit), NULL);
}

const char *snub_pages_value(snub_pages *pages, double si, snub_unit unit, int decimals)
{
    snub_text text = {0};
    snub_value_text(pages->locale, si, unit, decimals, &text);
    return snub_pages_keep(pages, &text);
}

const char *snub_pages_length(snub_pages *pages, double metres, int decimals)
{
    return snub_pages_value(pages, metres, SNUB_UNIT_MM, decimals);
}

const char *snub_pages_torque(snub_pages *pages, double newton_metres)
{
    return snub_pages_value(pages, newton_metres, SNUB_UNIT_N_M, newton_metres < 10 ? 1 : 0);
}

bool snub_pages_fails(const snub_pages *pages)
{
    return pages->build != NULL && pages->build->build->verdict == SNUB_FAIL;
}
