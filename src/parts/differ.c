/* What differs between two parts, field by field, in words that an import understands. */
#include "catalogue.h"

#include <math.h>
#include <string.h>

/* Digits as files are written with (snub_written_length): 75.984 in is 1929.9936 mm, and not 1929.9935999999998. What
 * differs in further digits is no change. */
enum { FIELD_NAME_BYTES = 64, DIGITS = 12 };

/* One field of both parts. Texts of length 0 are nothing. */
typedef struct pair {
    snub_differ_take *take;
    void *context;
    snub_error *error;
    snub_text text[2];
    snub_status status;
} pair;

/* Compare what was written into the two texts, and begin anew. */
static void settle(pair *p, const char *field)
{
    const char *side[2];
    if (p->status == SNUB_OK && (p->text[0].failed || p->text[1].failed))
        p->status = snub_fail(p->error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < 2; i++)
        side[i] = p->text[i].length ? p->text[i].data : NULL;
    const bool same = side[0] && side[1] ? strcmp(side[0], side[1]) == 0 : side[0] == side[1];
    if (p->status == SNUB_OK && !same)
        p->status = p->take(p->context, field, side[0], side[1], p->error);
    for (int i = 0; i < 2; i++)
        p->text[i].length = 0;
}

static void settle_text(pair *p, const char *field, const char *old, const char *now)
{
    snub_text_puts(&p->text[0], old);
    snub_text_puts(&p->text[1], now);
    settle(p, field);
}

static void settle_count(pair *p, const char *field, long long old, long long now)
{
    const long long both[2] = {old, now};
    for (int i = 0; i < 2; i++)
        if (both[i] >= 0)
            snub_text_printf(&p->text[i], "%lld", both[i]);
    settle(p, field);
}

static void add_unit(const snub_part_field *field, snub_text *text)
{
    const char *unit = snub_quantity_unit(field->quantity);
    if (unit[0])
        snub_text_printf(text, " %s", unit);
}

static void put_number(const snub_part_field *field, double si, snub_text *text)
{
    snub_text_printf(text, "%.*g", DIGITS, snub_quantity_to_bare(field->quantity, si));
}

static void add_value(const snub_part_field *field, const snub_part_value *value, snub_text *text)
{
    if (!value->given)
        return;
    if (field->type != SNUB_FIELD_NUMBER && field->type != SNUB_FIELD_COUNT) {
        snub_text_puts(text, value->text);
        return;
    }
    put_number(field, value->number, text);
    add_unit(field, text);
}

static void add_tolerance(const snub_part_field *field, const snub_part_value *value, snub_text *text)
{
    if (!value->given || isnan(value->plus) || isnan(value->minus))
        return;
    put_number(field, value->plus, text);
    if (value->minus != -value->plus) {
        snub_text_puts(text, "/");
        put_number(field, value->minus, text);
    }
    add_unit(field, text);
}

static void settle_sizes(pair *p, const snub_part *const both[2])
{
    int count;
    const snub_part_field *fields = snub_part_fields(both[0]->kind, &count);
    for (int i = 0; i < count; i++) {
        for (int side = 0; side < 2; side++)
            add_value(&fields[i], &both[side]->values[i], &p->text[side]);
        settle(p, fields[i].name);
        if (!fields[i].tolerance)
            continue;
        char name[FIELD_NAME_BYTES];
        snub_put_text(name, sizeof name - sizeof "_tolerance", fields[i].name);
        strcat(name, "_tolerance");
        for (int side = 0; side < 2; side++)
            add_tolerance(&fields[i], &both[side]->values[i], &p->text[side]);
        settle(p, name);
    }
}

snub_status snub_part_differ(const snub_part *old, const snub_part *now, snub_differ_take *take, void *context,
                             snub_error *error)
{
    snub_part none;
    snub_part_init(&none, old ? old->kind : now->kind);
    const snub_part *const both[2] = {old ? old : &none, now ? now : &none};
    pair p = {.take = take, .context = context, .error = error};
    settle_text(&p, "name", both[0]->name, both[1]->name);
    settle_text(&p, "source", both[0]->source, both[1]->source);
    settle_text(&p, "note", both[0]->note, both[1]->note);
    for (int i = 0; i < 2; i++)
        snub_part_price_text(both[i], &p.text[i]);
    settle(&p, "price");
    settle_count(&p, "stock", both[0]->stock, both[1]->stock);
    settle_text(&p, "own_number", both[0]->own_number, both[1]->own_number);
    settle_text(&p, "supplier", both[0]->supplier, both[1]->supplier);
    settle_text(&p, "supplier_number", both[0]->supplier_number, both[1]->supplier_number);
    settle_count(&p, "minimum_order", both[0]->minimum_order, both[1]->minimum_order);
    settle_text(&p, "discontinued", both[0]->discontinued ? "yes" : "", both[1]->discontinued ? "yes" : "");
    settle_text(&p, "replaced_by", both[0]->replaced_by, both[1]->replaced_by);
    settle_sizes(&p, both);
    snub_text_free(&p.text[0]);
    snub_text_free(&p.text[1]);
    return p.status;
}
