/* Is a part one that the catalogue may hold. */
#include "catalogue.h"

#include "snub/csv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A bound such as 45 mm is exact in its own unit; its SI value carries a rounding or two. Relative. */
static const double BOUND_ROUNDING = 1e-12;

static snub_status check_text(const char *text, const char *name, bool needed, snub_error *error)
{
    size_t length = text ? strlen(text) : 0;
    if (needed && length == 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, name, "is missing");
    if (length > SNUB_PART_TEXT_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, name, "text is longer than %d bytes", SNUB_PART_TEXT_MOST);
    if (text && snub_utf8_invalid(text, length) != length)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, name, "text is not UTF-8");
    uint32_t point;
    if (text && snub_text_hidden(text, length, &point))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, name,
                         "text has a character that does not show or is no character, U+%04X", (unsigned)point);
    return SNUB_OK;
}

static snub_status out_of_bounds(const snub_part_field *field, double bare, snub_error *error)
{
    const char *unit = snub_quantity_unit(field->quantity), *gap = unit[0] ? " " : "";
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, NULL, field->name, "is out of range");
    if (error) {
        snub_text text = {0};
        snub_text_printf(&text, "%.6g%s%s", bare, gap, unit);
        snub_put_text(error->got, sizeof error->got, text.data ? text.data : "");
        text.length = 0;
        snub_text_printf(&text, "%.6g to %.6g%s%s", field->least, field->most, gap, unit);
        snub_put_text(error->need, sizeof error->need, text.data ? text.data : "");
        snub_text_free(&text);
    }
    return status;
}

static snub_status check_number(const snub_part_field *field, const snub_part_value *value, snub_error *error)
{
    double bare = snub_quantity_to_bare(field->quantity, value->number);
    if (!isfinite(value->number) || bare < field->least * (1 - BOUND_ROUNDING) ||
        bare > field->most * (1 + BOUND_ROUNDING))
        return out_of_bounds(field, bare, error);
    if (field->type == SNUB_FIELD_COUNT && value->number != floor(value->number))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, field->name, "is not a whole number");
    bool minus = !isnan(value->minus), plus = !isnan(value->plus);
    if (minus != plus)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, field->name, "tolerance has only one limit");
    if (minus && !field->tolerance)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, field->name, "this field has no tolerance");
    if (minus && (!isfinite(value->minus) || !isfinite(value->plus) || value->minus > value->plus))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, field->name,
                         "tolerance: the lower limit is above the upper limit");
    return SNUB_OK;
}

static snub_status check_word(const snub_part_field *field, const char *text, snub_error *error)
{
    int count = 0;
    for (; field->words[count]; count++)
        if (strcmp(field->words[count], text) == 0)
            return SNUB_OK;
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, NULL, field->name, "is not known");
    if (error) {
        snub_put_text(error->got, sizeof error->got, text);
        for (int i = 0; i < count; i++) {
            size_t used = strlen(error->need), room = sizeof error->need - used;
            if (strlen(field->words[i]) + 3 < room) {
                strcat(error->need, i ? ", " : "");
                strcat(error->need, field->words[i]);
            }
        }
    }
    return status;
}

static snub_status check_value(const snub_part_field *field, const snub_part_value *value, snub_error *error)
{
    if (!value->given)
        return field->needed ? snub_fail(error, SNUB_BAD_INPUT, NULL, field->name, "is missing") : SNUB_OK;
    switch (field->type) {
    case SNUB_FIELD_NUMBER:
    case SNUB_FIELD_COUNT: return check_number(field, value, error);
    case SNUB_FIELD_WORD: return check_word(field, value->text ? value->text : "", error);
    default: return check_text(value->text, field->name, true, error);
    }
}

/* Angle of contact of a double row, by the names that the drive file knows. */
static snub_status check_contact(const snub_part *part, snub_error *error)
{
    const snub_part_value *contact = &part->values[snub_part_field_index(SNUB_PART_BEARING, "contact")];
    const char *const *names = snub_double_row_names();
    bool known = !contact->given;
    for (int i = 0; names[i] && !known; i++)
        known = strcmp(names[i], contact->text) == 0;
    if (known)
        return SNUB_OK;
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, NULL, "contact", "is not known");
    if (error) {
        snub_text need = {0};
        snub_put_text(error->got, sizeof error->got, contact->text);
        for (int i = 0; names[i]; i++)
            snub_text_printf(&need, "%s%s", i ? ", " : "", names[i]);
        snub_put_text(error->need, sizeof error->need, need.data ? need.data : "");
        snub_text_free(&need);
    }
    return status;
}

/* A bearing goes by its basic number; what a maker's suffix says has fields of its own. */
static snub_status check_designation(const snub_part *part, snub_error *error)
{
    const char *text = part->values[snub_part_field_index(SNUB_PART_BEARING, "designation")].text;
    const size_t number = snub_bearing_number(text);
    if (number == 0 || text[number] == '\0')
        return SNUB_OK;
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, NULL, "designation", "has a maker's suffix");
    if (error) {
        snub_put_text(error->got, sizeof error->got, text);
        snprintf(error->need, sizeof error->need, "%.*s, with seal and clearance in columns of their own",
                 (int)(number < sizeof error->need / 2 ? number : sizeof error->need / 2), text);
    }
    return status;
}

/* Numbers that cannot stand together, each right by itself. */
static snub_status check_together(const snub_part *part, snub_error *error)
{
    const snub_part_value *v = part->values;
    if (part->kind == SNUB_PART_BEARING || part->kind == SNUB_PART_SHIM) {
        int bore = snub_part_field_index(part->kind, "bore"), outside = snub_part_field_index(part->kind, "outside");
        if (v[bore].number >= v[outside].number)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "bore", "is not smaller than the outside diameter");
    }
    if (part->kind == SNUB_PART_BEARING &&
        (check_designation(part, error) != SNUB_OK || check_contact(part, error) != SNUB_OK))
        return SNUB_BAD_INPUT;
    if (part->kind == SNUB_PART_FASTENER) {
        double d = v[snub_part_field_index(part->kind, "nominal")].number;
        if (v[snub_part_field_index(part->kind, "stress_area")].number >= SNUB_PI / 4 * d * d)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "stress_area", "is not smaller than the shank's area");
    }
    if (part->kind == SNUB_PART_TENSIONER) {
        const snub_part_value *from = &v[snub_part_field_index(part->kind, "work_from")];
        const snub_part_value *to = &v[snub_part_field_index(part->kind, "work_to")];
        if (from->given != to->given || (from->given && from->number >= to->number))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "work_from", "work_from is not below work_to");
        if (to->given && to->number > v[snub_part_field_index(part->kind, "travel")].number * (1 + BOUND_ROUNDING))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "work_to", "is beyond the travel");
    }
    if (part->kind == SNUB_PART_BLOWER) {
        bool turbo = strcmp(v[snub_part_field_index(part->kind, "blower_kind")].text, "centrifugal") == 0;
        if (!turbo && !v[snub_part_field_index(part->kind, "swept")].given)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "swept", "is missing: this kind of blower needs it");
    }
    return SNUB_OK;
}

static snub_status check_price(const snub_part *part, snub_error *error)
{
    if (part->price_milli < -1 || part->stock < -1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, part->stock < -1 ? "stock" : "price", "is negative");
    if ((part->price_milli >= 0) != (part->currency[0] != '\0'))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "price", "a price and its currency go together");
    if (part->currency[0] && (strspn(part->currency, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != 3 || part->currency[3]))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "currency", "is not a three-letter code, such as EUR");
    return SNUB_OK;
}

static snub_status check_sale(const snub_part *part, snub_error *error)
{
    snub_status status = check_price(part, error);
    if (status == SNUB_OK)
        status = check_text(part->own_number, "own_number", false, error);
    if (status == SNUB_OK)
        status = check_text(part->supplier, "supplier", false, error);
    if (status == SNUB_OK)
        status = check_text(part->supplier_number, "supplier_number", false, error);
    if (status == SNUB_OK)
        status = check_text(part->replaced_by, "replaced_by", false, error);
    if (status == SNUB_OK && (part->minimum_order < -1 || part->minimum_order == 0))
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, "minimum_order", "is less than one piece");
    if (status == SNUB_OK && strcmp(part->replaced_by, part->key) == 0)
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, "replaced_by", "is the part itself");
    return status;
}

snub_status snub_part_check(const snub_part *part, snub_error *error)
{
    if ((int)part->kind < 0 || part->kind >= SNUB_PART_KINDS)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "kind", "is not a kind of part");
    snub_status status = check_text(part->key, "key", true, error);
    if (status == SNUB_OK)
        status = check_text(part->name, "name", false, error);
    if (status == SNUB_OK)
        status = check_text(part->source, "source", true, error);
    if (status == SNUB_OK)
        status = check_text(part->note, "note", false, error);
    if (status == SNUB_OK)
        status = check_sale(part, error);
    int count;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    for (int i = 0; i < count && status == SNUB_OK; i++)
        status = check_value(&fields[i], &part->values[i], error);
    return status == SNUB_OK ? check_together(part, error) : status;
}
