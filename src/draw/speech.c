/** Words and numbers as the reader of a sheet wants them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "snub/draw.h"

const char *snub_say(const snub_speech *speech, const char *english)
{
    if (speech == NULL || speech->say == NULL || english == NULL || english[0] == '\0')
        return english == NULL ? "" : english;
    const char *said = speech->say(speech->context, english);
    return said != NULL && said[0] != '\0' ? said : english;
}

/* Digits are made from an integer, so that no locale can put in a mark of its own. */
const char *snub_number_text(const snub_speech *speech, double value, int decimals, char text[32])
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
                *c = speech != NULL && speech->decimal == ',' ? ',' : '.';
        return text;
    }
    long long whole = llround(scaled), power = llround(powers[places]);
    bool minus = whole < 0;
    long long size = minus ? -whole : whole;
    char mark = speech != NULL && speech->decimal == ',' ? ',' : '.';
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
