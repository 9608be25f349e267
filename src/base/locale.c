/* Words, numbers and units as a reader wants them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "snub/locale.h"

const char *snub_say(const snub_locale *locale, const char *english)
{
    if (locale == NULL || locale->say == NULL || english == NULL || english[0] == '\0')
        return english == NULL ? "" : english;
    const char *said = locale->say(locale->context, english);
    return said != NULL && said[0] != '\0' ? said : english;
}

/* Digits are made from an integer, so that no locale can put in a mark of its own. */
const char *snub_number_text(const snub_locale *locale, double value, int decimals, char text[32])
{
    static const double powers[10] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
    int places = decimals < 0 ? 0 : decimals > 9 ? 9 : decimals;
    double scaled = value * powers[places];
    if (!isfinite(value)) {
        strcpy(text, "\xe2\x80\x93"); /* an en dash: no value */
        return text;
    }
    if (fabs(scaled) >= 9e17) { /* past what 64 bits hold: such a number is no measure, but it must not lie */
        snprintf(text, 32, "%.6e", value);
        for (char *c = text; *c != '\0'; c++)
            if (*c == ',' || *c == '.')
                *c = locale != NULL && locale->decimal == ',' ? ',' : '.';
        return text;
    }
    long long whole = llround(scaled), power = llround(powers[places]);
    bool minus = whole < 0;
    long long size = minus ? -whole : whole;
    char mark = locale != NULL && locale->decimal == ',' ? ',' : '.';
    char full[64]; /* sign, 19 digits, mark, 9 places: never over 31 */
    if (places == 0)
        snprintf(full, sizeof full, "%s%lld", minus ? "\xe2\x88\x92" : "", size);
    else
        snprintf(full, sizeof full, "%s%lld%c%0*lld", minus ? "\xe2\x88\x92" : "", size / power, mark, places,
                 size % power);
    memcpy(text, full, 31);
    text[31] = '\0';
    return text;
}

/* So near to a number that can be shown, of its size, a value is that number: 2 x 8 mm must not become 16.1 mm. */
#define ROUNDING_SLACK 1e-9

static double round_to(double value, int places, snub_rounding rounding)
{
    const double power = pow(10.0, places), scaled = value * power, slack = ROUNDING_SLACK * fabs(scaled);
    switch (rounding) {
    case SNUB_ROUND_DOWN: return floor(scaled + slack) / power;
    case SNUB_ROUND_UP: return ceil(scaled - slack) / power;
    case SNUB_ROUND_NEAREST: break;
    }
    return value;
}

double snub_value_rounded(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_rounding rounding)
{
    const snub_unit_info *info = snub_unit_describe(unit);
    const bool inches = locale != NULL && locale->inches;
    const double size = inches ? info->us_size : info->size, zero = inches ? info->us_zero : info->zero;
    const int wanted = decimals + (inches ? info->us_decimals : 0);
    return zero + round_to((si - zero) / size, wanted > 0 ? wanted : 0, rounding) * size;
}

/* On paper a value and its unit must not be parted. */
static void put_value(const snub_locale *locale, double si, const snub_unit_info *info, bool inches, int decimals,
                      snub_rounding rounding, snub_text *out)
{
    const double exact = inches ? (si - info->us_zero) / info->us_size : (si - info->zero) / info->size;
    const char *text = snub_say(locale, inches ? info->us_text : info->text);
    const char *space = locale != NULL && locale->both ? "\xc2\xa0" : " ";
    const int wanted = decimals + (inches ? info->us_decimals : 0), places = wanted > 0 ? wanted : 0;
    char number[32];
    snub_number_text(locale, round_to(exact, places, rounding), places, number);
    const bool minus = strncmp(number, "\xe2\x88\x92", 3) == 0 && (locale == NULL || !locale->both);
    snub_text_printf(out, "%s%s", minus ? "-" : "", minus ? number + 3 : number);
    if (text[0] != '\0')
        snub_text_puts(out, space);
    for (; *text != '\0'; text++) {
        if (*text == ' ')
            snub_text_puts(out, space);
        else
            snub_text_add(out, text, 1);
    }
}

const char *snub_value_string(const snub_locale *locale, double si, snub_unit unit, int decimals,
                              char text[SNUB_VALUE_TEXT])
{
    snub_text made = {0};
    snub_value_text(locale, si, unit, decimals, &made);
    snprintf(text, SNUB_VALUE_TEXT, "%s", made.failed || made.data == NULL ? "?" : made.data);
    snub_text_free(&made);
    return text;
}

snub_shown snub_number_shown(const snub_locale *locale, double value, const char *unit, int decimals)
{
    snub_unit u = SNUB_UNIT_NONE;
    const snub_shown metric = {value, snub_say(locale, unit), decimals};
    if (locale == NULL || !locale->inches || !snub_unit_of_text(unit, &u))
        return metric;
    const snub_unit_info *info = snub_unit_describe(u);
    if (strcmp(info->text, info->us_text) == 0)
        return metric;
    const int more = decimals + info->us_decimals;
    return (snub_shown){(value * info->size + info->zero - info->us_zero) / info->us_size,
                        snub_say(locale, info->us_text),
                        decimals < 0 ? decimals
                        : more > 0   ? more
                                     : 0};
}

void snub_value_text(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_text *out)
{
    snub_value_text_rounded(locale, si, unit, decimals, SNUB_ROUND_NEAREST, out);
}

void snub_value_text_rounded(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_rounding rounding,
                             snub_text *out)
{
    const snub_unit_info *info = snub_unit_describe(unit);
    const bool inches = locale != NULL && locale->inches;
    put_value(locale, si, info, inches, decimals, rounding, out);
    if (locale == NULL || !locale->both || !info->both)
        return;
    snub_text_puts(out, " (");
    put_value(locale, si, info, !inches, decimals, rounding, out);
    snub_text_puts(out, ")");
}
