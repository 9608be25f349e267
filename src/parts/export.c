/* The catalogue as CSV that an import takes back. Units stand in the titles. */
#include "catalogue.h"

#include "snub/csv.h"

#include <math.h>
#include <string.h>

enum { COLUMNS_MOST = SNUB_PART_KINDS * SNUB_PART_FIELDS_MOST };

/* Fields of the export: of one kind, or of all with each name once. */
static int fields_of(snub_part_kind kind, const snub_part_field *list[COLUMNS_MOST])
{
    int total = 0;
    for (int k = 0; k < SNUB_PART_KINDS; k++) {
        int count;
        const snub_part_field *fields = snub_part_fields((snub_part_kind)k, &count);
        if (kind != SNUB_PART_ANY && kind != (snub_part_kind)k)
            continue;
        for (int i = 0; i < count; i++) {
            int at = 0;
            while (at < total && strcmp(list[at]->name, fields[i].name) != 0)
                at++;
            if (at == total)
                list[total++] = &fields[i];
            else if (fields[i].tolerance)
                list[at] = &fields[i]; /* the one with a tolerance speaks for all */
        }
    }
    return total;
}

static void add_title(const char *name, const char *what, const char *unit, snub_text *out)
{
    snub_text_printf(out, ",%s%s", name, what);
    if (unit[0])
        snub_text_printf(out, " [%s]", unit);
}

void snub_export_header(snub_part_kind kind, snub_text *out)
{
    const snub_part_field *fields[COLUMNS_MOST];
    int count = fields_of(kind, fields);
    snub_text_puts(out,
                   "key,kind,name,source,note,price,currency,stock,own number,supplier,supplier number,minimum order,"
                   "discontinued,replaced by");
    for (int i = 0; i < count; i++) {
        const char *unit = snub_quantity_unit(fields[i]->quantity);
        add_title(fields[i]->name, "", unit, out);
        if (fields[i]->tolerance)
            add_title(fields[i]->name, " tolerance", unit, out);
    }
    snub_csv_end_row(out);
}

static void add_text(const char *text, bool first, snub_text *out)
{
    snub_csv_text(out, text, strlen(text), first, false);
}

static void add_tolerance(const snub_part_field *field, const snub_part_value *value, snub_text *out)
{
    snub_text_add(out, ",", 1);
    if (!value->given || isnan(value->plus) || isnan(value->minus))
        return;
    if (value->minus == -value->plus) {
        snub_exact_bare(field->quantity, value->plus, out);
        return;
    }
    snub_exact_bare(field->quantity, value->plus, out);
    snub_text_add(out, "/", 1);
    snub_exact_bare(field->quantity, value->minus, out);
}

static void add_value(const snub_part_field *field, const snub_part_value *value, snub_text *out)
{
    if (!value || !value->given) {
        snub_text_add(out, ",", 1);
    } else if (field->type == SNUB_FIELD_NUMBER || field->type == SNUB_FIELD_COUNT) {
        snub_text_add(out, ",", 1);
        snub_exact_bare(field->quantity, value->number, out);
    } else {
        add_text(value->text, false, out);
    }
}

static void add_price(const snub_part *part, snub_text *out)
{
    if (part->price_milli >= 0)
        snub_text_printf(out, ",%lld.%03lld", part->price_milli / 1000, part->price_milli % 1000);
    else
        snub_text_add(out, ",", 1);
    add_text(part->currency, false, out);
    if (part->stock >= 0)
        snub_text_printf(out, ",%lld", part->stock);
    else
        snub_text_add(out, ",", 1);
}

static void add_sale(const snub_part *part, snub_text *out)
{
    add_text(part->own_number, false, out);
    add_text(part->supplier, false, out);
    add_text(part->supplier_number, false, out);
    if (part->minimum_order >= 0)
        snub_text_printf(out, ",%lld", part->minimum_order);
    else
        snub_text_add(out, ",", 1);
    snub_text_puts(out, part->discontinued ? ",yes" : ",");
    add_text(part->replaced_by, false, out);
}

void snub_export_row(snub_part_kind kind, const snub_part *part, snub_text *out)
{
    const snub_part_field *fields[COLUMNS_MOST];
    int count = fields_of(kind, fields);
    add_text(part->key, true, out);
    add_text(snub_part_kind_name(part->kind), false, out);
    add_text(part->name, false, out);
    add_text(part->source, false, out);
    add_text(part->note, false, out);
    add_price(part, out);
    add_sale(part, out);
    for (int i = 0; i < count; i++) {
        int at = snub_part_field_index(part->kind, fields[i]->name);
        add_value(fields[i], at >= 0 ? &part->values[at] : NULL, out);
        static const snub_part_value none = {.minus = NAN, .plus = NAN};
        if (fields[i]->tolerance)
            add_tolerance(fields[i], at >= 0 ? &part->values[at] : &none, out);
    }
    snub_csv_end_row(out);
}
