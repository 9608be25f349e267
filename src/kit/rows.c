/* Rows of a kit: variants times options, each with the overlays that make it from the file. */
#include "snub/kit.h"

#include <stdlib.h>
#include <string.h>

static const snub_variant *variant_named(const snub_drive *base, const char *name)
{
    for (int v = 0; v < base->variant_count; v++) {
        if (strcmp(base->variants[v].name, name) == 0)
            return &base->variants[v];
    }
    return NULL;
}

static snub_status unknown_variant(const snub_drive *base, const char *name, snub_arena *arena, snub_errors *errors)
{
    const char **names = SNUB_NEW(arena, const char *, base->variant_count + 1);
    snub_error error;
    for (int v = 0; names != NULL && v < base->variant_count; v++)
        names[v] = base->variants[v].name;
    const char *near = names != NULL ? snub_nearest(name, names, base->variant_count) : NULL;
    if (near != NULL)
        snub_fail(&error, SNUB_BAD_INPUT, NULL, "variants", "there is no variant \"%.60s\"; did you mean \"%s\"?", name,
                  near);
    else
        snub_fail(&error, SNUB_BAD_INPUT, NULL, "variants", "there is no variant \"%.60s\"%s%s", name,
                  base->variant_count > 0 ? "; the first is " : ": the file has none",
                  base->variant_count > 0 ? base->variants[0].name : "");
    snub_errors_add(errors, &error);
    return SNUB_BAD_INPUT;
}

/* Overlays of a row: the variant's, then one value of each option, then the caller's, which lie over all. */
static snub_status lay_row(const snub_reading *reading, const snub_variant *variant, const snub_rows *rows, int index,
                           snub_row *row)
{
    const int changes = variant != NULL ? variant->count : 0;
    const int all = changes + rows->option_count + reading->overlay_count;
    snub_overlay *overlays = SNUB_NEW(reading->arena, snub_overlay, all + 1);
    const char **values = SNUB_NEW(reading->arena, const char *, rows->option_count + 1);
    if (overlays == NULL || values == NULL)
        return SNUB_NO_MEMORY;
    int count = 0;
    for (int k = 0; k < changes; k++)
        overlays[count++] = variant->changes[k];
    int rest = index;
    for (int o = rows->option_count - 1; o >= 0; o--) {
        const snub_option *option = &rows->options[o];
        const snub_node *value = option->values[rest % option->count];
        rest /= option->count;
        overlays[changes + o] = (snub_overlay){option->path, value, option->place};
        values[o] = snub_node_flow(value, reading->arena);
        if (values[o] == NULL)
            return SNUB_NO_MEMORY;
    }
    count += rows->option_count;
    for (int k = 0; k < reading->overlay_count; k++)
        overlays[count++] = reading->overlays[k];
    *row = (snub_row){.variant = variant != NULL ? variant->name : "",
                      .option_count = rows->option_count,
                      .options = rows->options,
                      .values = values,
                      .overlays = overlays,
                      .overlay_count = count,
                      .set_count = reading->overlay_count};
    return SNUB_OK;
}

bool snub_row_with(const snub_row *row, const snub_overlay *value, snub_arena *arena, snub_row *made)
{
    snub_overlay *overlays = SNUB_NEW(arena, snub_overlay, row->overlay_count + 1);
    if (overlays == NULL)
        return false;
    for (int i = 0; i < row->overlay_count; i++)
        overlays[i] = row->overlays[i];
    overlays[row->overlay_count] = *value;
    *made = *row;
    made->overlays = overlays;
    made->overlay_count = row->overlay_count + 1;
    made->set_count = row->set_count + 1;
    return true;
}

snub_status snub_row_own(const snub_document *document, const snub_reading *reading, const char *variant, snub_row *row,
                         snub_errors *errors)
{
    const snub_rows none = {0};
    const snub_variant *found = NULL;
    if (variant != NULL && variant[0] != '\0') {
        snub_drive *base = SNUB_NEW(reading->arena, snub_drive, 1);
        if (base == NULL)
            return SNUB_NO_MEMORY;
        const snub_status status = snub_drive_read(document, reading, base, errors);
        if (status != SNUB_OK)
            return status;
        found = variant_named(base, variant);
        if (found == NULL)
            return unknown_variant(base, variant, reading->arena, errors);
    }
    return lay_row(reading, found, &none, 0, row);
}

/* ---- all rows ---------------------------------------------------------------------------------------------------- */

/* Two paths of which one leads to the other or beyond it. */
static bool paths_meet(const char *a, const char *b)
{
    const size_t x = strlen(a), y = strlen(b), least = x < y ? x : y;
    if (strncmp(a, b, least) != 0)
        return false;
    return x == y || (x < y ? b[least] : a[least]) == '.';
}

/* What the caller has set does not vary. */
static bool keep_options(const snub_drive *base, const snub_reading *reading, snub_rows *rows)
{
    snub_option *kept = SNUB_NEW(reading->arena, snub_option, base->option_count + 1);
    if (kept == NULL)
        return false;
    rows->options = kept;
    for (int o = 0; o < base->option_count; o++) {
        bool set = false;
        for (int k = 0; k < reading->overlay_count && !set; k++)
            set = paths_meet(base->options[o].path, reading->overlays[k].path);
        if (!set)
            kept[rows->option_count++] = base->options[o];
    }
    return true;
}

static snub_status count_rows(const snub_drive *base, const char *variant, snub_rows *rows, snub_errors *errors)
{
    long long all = variant != NULL ? 1 : 1 + base->variant_count;
    for (int o = 0; o < rows->option_count && all <= SNUB_BUILDS_MOST; o++)
        all *= rows->options[o].count;
    rows->count = (int)all;
    if (all <= SNUB_BUILDS_MOST)
        return SNUB_OK;
    snub_error error;
    snub_fail(&error, SNUB_TOO_LARGE, NULL, "options", "more than %d builds", SNUB_BUILDS_MOST);
    snub_errors_add(errors, &error);
    return SNUB_TOO_LARGE;
}

/* A fingerprint of the drive alone, whatever its row is called. */
typedef struct mark {
    char digest[65];
    int row;
} mark;

static int by_digest(const void *a, const void *b)
{
    const mark *x = a, *y = b;
    const int order = strcmp(x->digest, y->digest);
    return order != 0 ? order : x->row - y->row;
}

/* Read a row, so that what is wrong in it is told before long work begins, and note what drive it is. */
static snub_status try_row(const snub_document *document, const snub_reading *reading, const snub_row *row, mark *m,
                           snub_errors *errors)
{
    snub_arena arena;
    snub_drive drive;
    snub_reading own = *reading;
    snub_arena_init(&arena, reading->arena->limit);
    own.arena = &arena;
    own.overlays = row->overlays;
    own.overlay_count = row->overlay_count;
    snub_status status = snub_drive_read(document, &own, &drive, errors);
    if (status == SNUB_OK)
        status = snub_drive_check_ranges(document, &own, &drive, errors);
    if (status == SNUB_OK)
        snub_drive_tree_digest(&drive, m->digest);
    snub_arena_free(&arena);
    return status;
}

/* Of rows that are one drive under two names the first stays. */
static void drop_same(snub_rows *rows, mark *marks, bool *same)
{
    qsort(marks, (size_t)rows->count, sizeof *marks, by_digest);
    for (int i = 1; i < rows->count; i++)
        same[marks[i].row] = strcmp(marks[i].digest, marks[i - 1].digest) == 0;
    int kept = 0;
    for (int i = 0; i < rows->count; i++) {
        if (!same[i])
            rows->items[kept++] = rows->items[i];
    }
    rows->same = rows->count - kept;
    rows->count = kept;
}

static snub_status try_rows(const snub_document *document, const snub_reading *reading, snub_rows *rows,
                            snub_errors *errors)
{
    snub_arena scratch;
    snub_arena_init(&scratch, 0);
    mark *marks = SNUB_NEW(&scratch, mark, rows->count);
    bool *same = SNUB_NEW(&scratch, bool, rows->count);
    snub_status worst = marks != NULL && same != NULL ? SNUB_OK : SNUB_NO_MEMORY;
    for (int i = 0; i < rows->count && worst != SNUB_NO_MEMORY; i++) {
        marks[i].row = i;
        const snub_status status = try_row(document, reading, &rows->items[i], &marks[i], errors);
        worst = status != SNUB_OK ? status : worst;
    }
    if (worst == SNUB_OK)
        drop_same(rows, marks, same);
    snub_arena_free(&scratch);
    return worst;
}

snub_status snub_rows_list(const snub_document *document, const snub_reading *reading, const char *variant,
                           snub_rows *rows, snub_errors *errors)
{
    memset(rows, 0, sizeof *rows);
    snub_drive *base = SNUB_NEW(reading->arena, snub_drive, 1);
    if (base == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = snub_drive_read(document, reading, base, errors);
    if (status != SNUB_OK)
        return status;
    const bool one = variant != NULL, named = one && variant[0] != '\0';
    const snub_variant *only = named ? variant_named(base, variant) : NULL;
    if (named && only == NULL)
        return unknown_variant(base, variant, reading->arena, errors);
    rows->title = base->title;
    if (!keep_options(base, reading, rows))
        return SNUB_NO_MEMORY;
    status = count_rows(base, variant, rows, errors);
    if (status != SNUB_OK)
        return status;
    rows->items = SNUB_NEW(reading->arena, snub_row, rows->count);
    if (rows->items == NULL)
        return SNUB_NO_MEMORY;
    const int per_front = rows->count / (one ? 1 : 1 + base->variant_count);
    for (int i = 0; i < rows->count && status == SNUB_OK; i++) {
        const int front = i / per_front;
        status = lay_row(reading,
                         one         ? only
                         : front > 0 ? &base->variants[front - 1]
                                     : NULL,
                         rows, i % per_front, &rows->items[i]);
    }
    return status == SNUB_OK ? try_rows(document, reading, rows, errors) : status;
}
