/* Which part a row of an update is about. */
#include "import.h"

#include <string.h>

static const char *cell_of_role(const snub_import *import, const snub_csv_row *row, snub_column_role role,
                                const char **title)
{
    for (int i = 0; i < import->column_count; i++) {
        if (import->columns[i].role != role)
            continue;
        const char *text =
            snub_csv_unmarked(snub_import_map_value(&import->columns[i], snub_import_cell(import, row, i)));
        *title = import->columns[i].title;
        return text[0] ? text : NULL;
    }
    return NULL;
}

/* The number by which a row names its part. */
typedef struct identity {
    snub_column_role role;
    const char *title;  /* of its column; where there is no number, of the last that could have one */
    const char *number; /* NULL: none */
} identity;

/* The first of key, own number, and supplier's number that the row gives. */
static identity identity_of(const snub_import *import, const snub_csv_row *row)
{
    static const snub_column_role roles[] = {SNUB_COLUMN_KEY, SNUB_COLUMN_OWN_NUMBER, SNUB_COLUMN_SUPPLIER_NUMBER};
    identity found = {.title = "key"};
    for (size_t i = 0; i < sizeof roles / sizeof roles[0] && !found.number; i++) {
        found.role = roles[i];
        found.number = cell_of_role(import, row, roles[i], &found.title);
    }
    return found;
}

static snub_status look(snub_import *import, const snub_csv_row *row, const identity *who, long long *id, bool *wrong,
                        snub_error *error)
{
    int count = 0;
    snub_text keys = {0};
    snub_status status;
    const char *title, *supplier = cell_of_role(import, row, SNUB_COLUMN_SUPPLIER, &title);
    *wrong = true;
    if (!who->number) {
        snub_import_wrong(import, row->line, who->title, NULL, "the key or another number of the part", "is missing");
        return SNUB_OK;
    }
    if (who->role == SNUB_COLUMN_SUPPLIER_NUMBER && !supplier) {
        snub_import_wrong(import, row->line, "supplier", NULL, NULL, "is missing: the number alone is no part's");
        return SNUB_OK;
    }
    *wrong = false;
    if (who->role == SNUB_COLUMN_KEY)
        return snub_rows_id(import->catalogue, who->number, id, error);
    status = who->role == SNUB_COLUMN_OWN_NUMBER
                 ? snub_finder_own(import->catalogue, who->number, id, &count, &keys, error)
                 : snub_finder_sold(import->catalogue, supplier, who->number, id, &count, &keys, error);
    if (status == SNUB_OK && count > 1) {
        snub_import_wrong(import, row->line, who->title, who->number, keys.data, "several parts have this number");
        *wrong = true;
    }
    snub_text_free(&keys);
    if (status == SNUB_OK && count != 1)
        *id = 0;
    return status;
}

static void not_there(snub_import *import, int line, const identity *who)
{
    snub_error near = {0};
    if (who->role == SNUB_COLUMN_KEY)
        snub_finder_none(import->catalogue, who->number, &near);
    snub_text need = {0};
    snub_text_printf(&need, "%s%s--add to add it", near.need, near.need[0] ? ", or " : "");
    snub_import_wrong(import, line, who->title, who->number, need.data, "no such part in the catalogue");
    snub_text_free(&need);
}

snub_status snub_import_old(snub_import *import, const snub_csv_row *row, snub_arena *arena, snub_part *part,
                            bool *found, bool *wrong, snub_error *error)
{
    long long id = 0;
    const identity who = identity_of(import, row);
    *found = false;
    const snub_status status = look(import, row, &who, &id, wrong, error);
    if (status != SNUB_OK || *wrong)
        return status;
    if (id) {
        *found = true;
        return snub_rows_get(import->catalogue, id, arena, part, error);
    }
    if (!import->options.add) {
        not_there(import, row->line, &who);
        *wrong = true;
    }
    return SNUB_OK;
}
