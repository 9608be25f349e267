/* Values as text: for people, and exactly. */
#include "catalogue.h"

#include <math.h>
#include <string.h>

enum { DIGITS_FOR_PEOPLE = 7 }; /* 1234.567 mm: a micrometre on a belt */

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

static void add_unit(snub_quantity quantity, snub_text *out)
{
    const char *unit = snub_quantity_unit(quantity);
    if (unit[0])
        snub_text_printf(out, " %s", unit);
}

void snub_part_value_text(const snub_part_field *field, const snub_part_value *value, snub_text *out)
{
    if (!value->given)
        return;
    if (field->type == SNUB_FIELD_NUMBER || field->type == SNUB_FIELD_COUNT) {
        snub_text_printf(out, "%.*g", DIGITS_FOR_PEOPLE, snub_quantity_to_bare(field->quantity, value->number));
        add_unit(field->quantity, out);
    } else {
        snub_text_puts(out, value->text);
    }
}

void snub_part_tolerance_text(const snub_part_field *field, const snub_part_value *value, snub_text *out)
{
    if (!value->given || isnan(value->minus) || isnan(value->plus))
        return;
    double minus = snub_quantity_to_bare(field->quantity, value->minus);
    double plus = snub_quantity_to_bare(field->quantity, value->plus);
    if (minus == -plus)
        snub_text_printf(out, "+-%.*g", DIGITS_FOR_PEOPLE, plus);
    else
        snub_text_printf(out, "%+.*g/%+.*g", DIGITS_FOR_PEOPLE, plus, DIGITS_FOR_PEOPLE, minus);
    add_unit(field->quantity, out);
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
