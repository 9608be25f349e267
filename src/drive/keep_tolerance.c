/** New values of numbers that have a tolerance behind them. */
#include <string.h>

#include "tree.h"
#include "written_tolerance.h"

typedef struct keeping {
    snub_units *units;
    snub_arena *arena;
    const snub_document *document;
    const char *path;
    bool kept;
    snub_error *error;
} keeping;

/** The bare unit of what has this unit, where there is no doubt; NULL. */
static const char *bare_beside(const keeping *k, const char *unit)
{
    const char *found = NULL, *text = snub_format(k->arena, "1 %s", unit);
    double value = 0;
    for (int q = SNUB_Q_LENGTH; text != NULL && q < SNUB_Q_COUNT_; q++) {
        if (snub_units_parse(k->units, (snub_quantity)q, text, &value, NULL) != SNUB_OK)
            continue;
        const char *bare = snub_quantity_unit((snub_quantity)q);
        if (found != NULL && strcmp(found, bare) != 0)
            return NULL;
        found = bare;
    }
    return found;
}

/** Put a deviation down, with a unit where it has none. */
static void put_deviation(const keeping *k, const char *sign, const char *from, size_t length, const char *unit,
                          snub_text *out)
{
    const char *text = snub_copy_text_n(k->arena, from, length);
    if (text == NULL) {
        out->failed = true;
        return;
    }
    snub_text_printf(out, " %s%s", sign, text);
    if (unit != NULL && unit[0] != '\0' && snub_written_unit(text)[0] == '\0')
        snub_text_printf(out, " %s", unit);
}

/** The new number with the old one's tolerance. */
static snub_status keep_behind(keeping *k, const char *old, const char *now, snub_text *out)
{
    snub_written written;
    double number = 0;
    const char *rest = NULL;
    if (!snub_written_split(old, &written) || snub_nominal_length(now) < strlen(now) ||
        snub_parse_number(now, &rest, &number) != SNUB_OK) {
        snub_text_puts(out, now);
        return SNUB_OK;
    }
    const char *nominal = snub_copy_text_n(k->arena, old, written.nominal);
    if (nominal == NULL)
        return SNUB_NO_MEMORY;
    const char *before = snub_written_unit(nominal), *after = snub_written_unit(now), *unit = NULL, *bare = "";
    if (strcmp(before, after) != 0) {
        bare = bare_beside(k, before[0] != '\0' ? before : after);
        if (bare == NULL)
            return snub_fail(k->error, SNUB_BAD_INPUT, NULL, k->path,
                             "has a tolerance and another unit: write both with their units");
        unit = before[0] != '\0' ? before : bare;
    }
    k->kept = true;
    snub_text_puts(out, now);
    if (unit != NULL && after[0] == '\0')
        snub_text_printf(out, " %s", bare);
    if (written.plus == written.minus) {
        put_deviation(k, "+- ", written.plus, written.plus_length, unit, out);
        return SNUB_OK;
    }
    if (written.plus != NULL)
        put_deviation(k, "+", written.plus, written.plus_length, unit, out);
    if (written.minus != NULL)
        put_deviation(k, "-", written.minus, written.minus_length, unit, out);
    return SNUB_OK;
}

static snub_status keep(keeping *k, const snub_node *old, const snub_node *now, snub_text *out)
{
    if (old->kind == SNUB_SCALAR && now->kind == SNUB_SCALAR)
        return keep_behind(k, old->text, now->text, out);
    snub_text_puts(out, "[");
    for (int i = 0; i < now->count; i++) {
        snub_text_puts(out, i > 0 ? ", " : "");
        const snub_status status = keep_behind(k, old->items[i]->text, now->items[i]->text, out);
        if (status != SNUB_OK)
            return status;
    }
    snub_text_puts(out, "]");
    return SNUB_OK;
}

/** Two numbers, or two lists of as many: points. */
static bool alike(const snub_node *old, const snub_node *now)
{
    if (old->kind != now->kind || old->kind == SNUB_MAP)
        return false;
    bool good = old->kind == SNUB_SCALAR || old->count == now->count;
    for (int i = 0; good && old->kind == SNUB_LIST && i < old->count; i++)
        good = old->items[i]->kind == SNUB_SCALAR && now->items[i]->kind == SNUB_SCALAR;
    return good;
}

static snub_status keep_one(keeping *k, snub_change *change)
{
    snub_node *now = NULL;
    snub_text text = {0};
    const snub_node *old = snub_node_at(k->document->root, change->path);
    snub_status status = old != NULL ? snub_node_from_text(change->text, change->path, k->arena, &now, NULL) : SNUB_OK;
    if (status == SNUB_BAD_INPUT || now == NULL || !alike(old, now))
        return status == SNUB_NO_MEMORY ? status : SNUB_OK; /* what is wrong with it is for the rewriting to say */
    status = keep(k, old, now, &text);
    if (status == SNUB_OK && k->kept) {
        change->text = text.failed ? NULL : snub_copy_text_n(k->arena, text.data, text.length);
        status = change->text != NULL ? SNUB_OK : SNUB_NO_MEMORY;
    }
    snub_text_free(&text);
    return status;
}

snub_status snub_changes_keep_tolerances(const snub_document *document, snub_units *units, snub_change *changes,
                                         int count, snub_arena *arena, snub_error *error)
{
    for (int i = 0; i < count; i++) {
        keeping k = {.units = units, .arena = arena, .document = document, .path = changes[i].path, .error = error};
        const snub_status status = keep_one(&k, &changes[i]);
        if (status != SNUB_OK)
            return status == SNUB_NO_MEMORY ? snub_fail(error, status, NULL, changes[i].path, "out of memory") : status;
    }
    return SNUB_OK;
}
