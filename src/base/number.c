/* Numbers read the same in every locale. */
#include "snub/base.h"

#include <math.h>
#include <stdlib.h>

#include "c_locale.h"
#include "number.h"

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static const char *skip_digits(const char *at)
{
    while (is_digit(*at))
        at++;
    return at;
}

const char *snub_number_end(const char *at)
{
    const char *start = at;
    if (*at == '+' || *at == '-')
        at++;
    const char *whole = at;
    at = skip_digits(at);
    bool digits = at > whole;
    if (*at == '.') {
        const char *fraction = at + 1;
        at = skip_digits(fraction);
        digits = digits || at > fraction;
    }
    if (!digits)
        return start;
    if (*at == 'e' || *at == 'E') {
        const char *exponent = at + 1;
        if (*exponent == '+' || *exponent == '-')
            exponent++;
        if (is_digit(*exponent))
            at = skip_digits(exponent);
    }
    return at;
}

snub_status snub_parse_number(const char *text, const char **end, double *value)
{
    const char *start = text;
    while (is_blank(*start))
        start++;
    const char *stop = snub_number_end(start);
    if (stop == start)
        return SNUB_BAD_INPUT;
    if (!end) {
        const char *rest = stop;
        while (is_blank(*rest))
            rest++;
        if (*rest)
            return SNUB_BAD_INPUT;
    } else if (start[0] == '0' && (stop == start + 1) && (*stop == 'x' || *stop == 'X') && is_digit(stop[1])) {
        return SNUB_BAD_INPUT; /* hexadecimal, not a zero with a unit */
    }
    locale_t before = snub_c_locale_enter();
    char *used = NULL;
    double number = strtod(start, &used);
    snub_c_locale_leave(before);
    if (used != stop || !isfinite(number))
        return SNUB_BAD_INPUT;
    *value = number;
    if (end)
        *end = stop;
    return SNUB_OK;
}
