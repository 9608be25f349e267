/* A part of the catalogue as JSON. */
#include "json_words.h"

#include "snub/parts.h"

#include <math.h>
#include <string.h>

/* Key of a field in JSON, its unit at the end: "arm_length_mm", "rate_minus_N_m_deg".
 *  @param[in] side  "", "_minus" or "_plus" */
static char *part_json_key(const snub_part_field *field, const char *side, snub_arena *arena)
{
    const char *unit = snub_quantity_unit(field->quantity);
    char *key = snub_format(arena, "%s%s%s%s", field->name, side, unit[0] ? "_" : "", unit);
    for (char *c = key; c && *c; c++)
        if (*c == ' ' || *c == '/')
            *c = '_';
    return key;
}

static void put_number(json_t *object, const snub_part_field *field, const char *side, double si, snub_arena *arena)
{
    char *key = part_json_key(field, side, arena);
    if (!key)
        snub_json_lose();
    else
        snub_json_put(object, key, snub_json_number(snub_quantity_to_bare(field->quantity, si)));
}

static void put_value(json_t *object, const snub_part_field *field, const snub_part_value *value, snub_arena *arena)
{
    if (!value->given)
        return;
    if (field->type == SNUB_FIELD_COUNT)
        snub_json_put(object, field->name, json_integer((json_int_t)value->number));
    else if (field->type != SNUB_FIELD_NUMBER)
        snub_json_put(object, field->name, snub_json_words(value->text));
    else
        put_number(object, field, "", value->number, arena);
    if (field->tolerance && !isnan(value->minus) && !isnan(value->plus)) {
        put_number(object, field, "_minus", value->minus, arena);
        put_number(object, field, "_plus", value->plus, arena);
    }
}

json_t *snub_json_part(const snub_part *part)
{
    int count;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    json_t *object = json_object();
    snub_arena arena;
    snub_arena_init(&arena, 0);
    snub_json_put(object, "key", snub_json_words(part->key));
    snub_json_put(object, "kind", snub_json_words(snub_part_kind_name(part->kind)));
    snub_json_put(object, "name", snub_json_words(part->name));
    snub_json_put(object, "source", snub_json_words(part->source));
    snub_json_put(object, "note", snub_json_words(part->note));
    snub_json_put(object, "price",
                  part->price_milli >= 0 ? snub_json_number((double)part->price_milli / 1000) : json_null());
    snub_json_put(object, "currency", part->currency[0] ? snub_json_words(part->currency) : json_null());
    snub_json_put(object, "stock", part->stock >= 0 ? json_integer(part->stock) : json_null());
    snub_json_put(object, "own_number", part->own_number[0] ? snub_json_words(part->own_number) : json_null());
    snub_json_put(object, "supplier", part->supplier[0] ? snub_json_words(part->supplier) : json_null());
    snub_json_put(object, "supplier_number",
                  part->supplier_number[0] ? snub_json_words(part->supplier_number) : json_null());
    snub_json_put(object, "minimum_order", part->minimum_order >= 0 ? json_integer(part->minimum_order) : json_null());
    snub_json_put(object, "discontinued", json_boolean(part->discontinued));
    snub_json_put(object, "replaced_by", part->replaced_by[0] ? snub_json_words(part->replaced_by) : json_null());
    for (int i = 0; i < count; i++)
        put_value(object, &fields[i], &part->values[i], &arena);
    snub_arena_free(&arena);
    return snub_json_whole(object);
}
