/* Values as text: for people, and exactly. */
#include "catalogue.h"

#include <math.h>
#include <string.h>

enum { DIGITS_FOR_PEOPLE = 7, DIGITS_IN_INCHES = 5 }; /* 1234.567 mm, 75.787 in: what can be measured on a belt */

void snub_exact_bare(snub_quantity quantity, double si, snub_text *out)
{
    double bare = snub_quantity_to_bare(quantity, si);
    for (int digits = 15; digits <= 17; digits++) {
        snub_text trial = {0};
        double back = 0;
        snub_text_printf(&trial, "%.*g", digits, bare);
        if (trial.failed) {
            out->failed = true;
            return;
        }
        bool same =
            snub_parse_number(trial.data, NULL, &back) == SNUB_OK && snub_quantity_from_bare(quantity, back) == si;
        if (same || digits == 17) {
            snub_text_add(out, trial.data, trial.length);
            digits = 17;
        }
        snub_text_free(&trial);
    }
}

/* A value in the unit that a reader wants, without it. */
static double shown(snub_quantity quantity, double si, const snub_locale *locale)
{
    return snub_number_shown(locale, snub_quantity_to_bare(quantity, si), snub_quantity_unit(quantity), -1).value;
}

static int digits(const snub_locale *locale)
{
    return locale != NULL && locale->inches ? DIGITS_IN_INCHES : DIGITS_FOR_PEOPLE;
}

static void add_unit(snub_quantity quantity, const snub_locale *locale, snub_text *out)
{
    const char *unit = snub_number_shown(locale, 0, snub_quantity_unit(quantity), -1).unit;
    if (unit[0])
        snub_text_printf(out, " %s", unit);
}

void snub_part_value_text(const snub_part_field *field, const snub_part_value *value, const snub_locale *locale,
                          snub_text *out)
{
    if (!value->given)
        return;
    if (field->type == SNUB_FIELD_NUMBER || field->type == SNUB_FIELD_COUNT) {
        snub_text_printf(out, "%.*g", digits(locale), shown(field->quantity, value->number, locale));
        add_unit(field->quantity, locale, out);
    } else {
        snub_text_puts(out, value->text);
    }
}

void snub_part_tolerance_text(const snub_part_field *field, const snub_part_value *value, const snub_locale *locale,
                              snub_text *out)
{
    if (!value->given || isnan(value->minus) || isnan(value->plus))
        return;
    double minus = shown(field->quantity, value->minus, locale);
    double plus = shown(field->quantity, value->plus, locale);
    if (minus == -plus)
        snub_text_printf(out, "+-%.*g", digits(locale), plus);
    else
        snub_text_printf(out, "%+.*g/%+.*g", digits(locale), plus, digits(locale), minus);
    add_unit(field->quantity, locale, out);
}

void snub_part_price_text(const snub_part *part, snub_text *out)
{
    if (part->price_milli < 0)
        return;
    long long thousandths = part->price_milli % 1000;
    if (thousandths % 10 == 0)
        snub_text_printf(out, "%lld.%02lld %s", part->price_milli / 1000, thousandths / 10, part->currency);
    else
        snub_text_printf(out, "%lld.%03lld %s", part->price_milli / 1000, thousandths, part->currency);
}
