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

static void several(snub_import *import, const snub_csv_row *row, const char *title, const char *number,
                    const char *keys)
{
    snub_import_wrong(import, row->line, title, number, keys, "several parts have this number");
}

/* The first of key, own number, and supplier with its number that the row gives. */
static snub_status look(snub_import *import, const snub_csv_row *row, long long *id, bool *wrong, snub_error *error)
{
    const char *title = "key";
    int count = 0;
    snub_text keys = {0};
    snub_status status;
    const char *number = cell_of_role(import, row, SNUB_COLUMN_KEY, &title), *ignored = NULL;
    if (number)
        return snub_rows_id(import->catalogue, number, id, error);
    if ((number = cell_of_role(import, row, SNUB_COLUMN_OWN_NUMBER, &title)) != NULL) {
        status = snub_finder_own(import->catalogue, number, id, &count, &keys, error);
    } else if ((number = cell_of_role(import, row, SNUB_COLUMN_SUPPLIER_NUMBER, &title)) != NULL) {
        const char *supplier = cell_of_role(import, row, SNUB_COLUMN_SUPPLIER, &ignored);
        if (!supplier) {
            snub_import_wrong(import, row->line, "supplier", NULL, NULL, "is missing: the number alone is no part's");
            *wrong = true;
            return SNUB_OK;
        }
        status = snub_finder_sold(import->catalogue, supplier, number, id, &count, &keys, error);
    } else {
        snub_import_wrong(import, row->line, title, NULL, "the key or another number of the part", "is missing");
        *wrong = true;
        return SNUB_OK;
    }
    if (status == SNUB_OK && count > 1) {
        several(import, row, title, number, keys.data);
        *wrong = true;
    }
    snub_text_free(&keys);
    if (status == SNUB_OK && count != 1)
        *id = 0;
    return status;
}

static void not_there(snub_import *import, const snub_csv_row *row, snub_error *error)
{
    const char *title = "key", *number = cell_of_role(import, row, SNUB_COLUMN_KEY, &title);
    if (number)
        snub_finder_none(import->catalogue, number, error);
    if (!number)
        number = cell_of_role(import, row, SNUB_COLUMN_OWN_NUMBER, &title);
    if (!number)
        number = cell_of_role(import, row, SNUB_COLUMN_SUPPLIER_NUMBER, &title);
    snub_text need = {0};
    snub_text_printf(&need, "%s%s--add to add it", error->need, error->need[0] ? ", or " : "");
    snub_import_wrong(import, row->line, title, number, need.data, "no such part in the catalogue");
    snub_text_free(&need);
}

snub_status snub_import_old(snub_import *import, const snub_csv_row *row, snub_arena *arena, snub_part *part,
                            bool *found, bool *wrong, snub_error *error)
{
    long long id = 0;
    *found = *wrong = false;
    snub_status status = look(import, row, &id, wrong, error);
    if (status != SNUB_OK || *wrong)
        return status;
    if (id) {
        *found = true;
        return snub_rows_get(import->catalogue, id, arena, part, error);
    }
    if (!import->options.add) {
        snub_error near = {0};
        not_there(import, row, &near);
        *wrong = true;
    }
    return SNUB_OK;
}
