/* The import as a whole: one transaction, and the errors of the file. */
#include "import.h"

#include <stdlib.h>
#include <string.h>

enum { SHARED_SAID = 8 };

static snub_status fail_whole(snub_import *import, snub_status status, const snub_error *error)
{
    import->failed = status;
    import->failure = *error;
    return status;
}

static bool grow(void **items, size_t *room, size_t count, size_t size)
{
    if (count < *room)
        return true;
    size_t wanted = *room ? *room * 2 : 1024;
    void *bigger = realloc(*items, wanted * size);
    if (!bigger)
        return false;
    *items = bigger;
    *room = wanted;
    return true;
}

static int line_of(const snub_import *import, long long id)
{
    size_t low = 0, high = import->line_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (import->lines[middle].id < id)
            low = middle + 1;
        else
            high = middle;
    }
    return low < import->line_count && import->lines[low].id == id ? import->lines[low].line : 0;
}

/* Remember where the row came from, and that its bearing must be there in the end. */
static snub_status remember(snub_import *import, int line, const snub_part *part, bool replaced, snub_error *error)
{
    long long id = sqlite3_last_insert_rowid(import->catalogue->file);
    int at = snub_part_field_index(part->kind, "bearing");
    if (!grow((void **)&import->lines, &import->line_room, import->line_count, sizeof *import->lines))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    import->lines[import->line_count++] = (snub_import_line){id, line};
    if (at < 0 || !part->values[at].given)
        return SNUB_OK;
    char *bearing = strdup(part->values[at].text);
    if (!bearing || !grow((void **)&import->debts, &import->debt_room, import->debt_count, sizeof *import->debts)) {
        free(bearing);
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    import->debts[import->debt_count++] = (snub_import_debt){line, replaced, id, bearing};
    return SNUB_OK;
}

/* True where the key stands in this file already: a mistake with --replace too, for which of the two is meant? */
static snub_status stands_twice(snub_import *import, int line, const char *key, bool *twice, snub_error *error)
{
    long long id = 0;
    snub_status status = snub_rows_id(import->catalogue, key, &id, error);
    int first = status == SNUB_OK && id ? line_of(import, id) : 0;
    *twice = first > 0;
    if (*twice) {
        snub_text message = {0};
        snub_text_printf(&message, "is already in line %d", first);
        snub_import_wrong(import, line, "key", key, NULL, message.data ? message.data : "");
        snub_text_free(&message);
    }
    return status;
}

static snub_status put_row(snub_import *import, int line, const snub_part *part, bool *good, snub_error *error)
{
    bool twice = false, replaced = false;
    *good = false;
    snub_status status = stands_twice(import, line, part->key, &twice, error);
    if (status != SNUB_OK || twice)
        return status;
    status =
        snub_rows_put(import->catalogue, part, import->options.replace || import->options.update, &replaced, error);
    if (status == SNUB_BAD_INPUT && error->key[0]) {
        snub_import_wrong(import, line, error->key, error->got, error->need, error->message);
        return SNUB_OK;
    }
    if (status == SNUB_OK)
        status = remember(import, line, part, replaced, error);
    *good = status == SNUB_OK;
    import->report.added += *good && !replaced;
    import->report.replaced += *good && replaced;
    return status;
}

static bool is_empty(const snub_csv_row *row)
{
    for (int i = 0; i < row->count; i++)
        if (row->fields[i][strspn(row->fields[i], " \t")])
            return false;
    return true;
}

static snub_status take_header(snub_import *import, const snub_csv_row *row)
{
    snub_error failure = {0};
    if (import->options.map ? snub_import_map_header(import, row) : snub_import_header(import, row))
        return SNUB_OK;
    if (import->failed != SNUB_OK)
        return import->failed;
    snub_fail(&failure, SNUB_BAD_INPUT, NULL, NULL, "the header of the file has errors");
    return fail_whole(import, SNUB_BAD_INPUT, &failure);
}

static snub_status import_row(snub_import *import, const snub_csv_row *row, bool *good, snub_error *error)
{
    snub_part part;
    return snub_import_part(import, row, false, &part) == 0 ? put_row(import, row->line, &part, good, error) : SNUB_OK;
}

/* ---- updates ----------------------------------------------------------------------------------------------------- */

/* Which rows were about which part: its row in the catalogue changes with every change, its key stays. */
static const char SEEN[] = "CREATE TEMP TABLE updated(key TEXT PRIMARY KEY, line INTEGER) WITHOUT ROWID;";

static snub_status first_line_about(snub_import *import, const char *key, int line, int *first, snub_error *error)
{
    snub_status status = snub_sql_keep(
        import->catalogue, &import->seen,
        "INSERT INTO updated VALUES (?1, ?2) ON CONFLICT(key) DO UPDATE SET line = line RETURNING line", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(import->seen, 1, key, -1, SQLITE_STATIC);
    sqlite3_bind_int(import->seen, 2, line);
    if (sqlite3_step(import->seen) == SQLITE_ROW)
        *first = sqlite3_column_int(import->seen, 0);
    else
        status = snub_sql_failed(import->catalogue, "writing", error);
    sqlite3_reset(import->seen);
    sqlite3_clear_bindings(import->seen);
    return status;
}

static void forget_seen(snub_import *import)
{
    sqlite3_finalize(import->seen);
    import->seen = NULL;
}

static void about_twice(snub_import *import, int line, const char *key, int first)
{
    snub_text message = {0};
    snub_text_printf(&message, "line %d is about this part already", first);
    snub_import_wrong(import, line, "key", key, NULL, message.data ? message.data : "");
    snub_text_free(&message);
}

typedef struct teller {
    snub_import *import;
    int line, changes;
    const char *key;
} teller;

static snub_status tell_change(void *context, const char *field, const char *old, const char *now, snub_error *error)
{
    teller *t = context;
    const snub_part_change change = {.what = "changed", .field = field, .old = old, .now = now};
    t->changes++;
    return t->import->options.told
               ? t->import->options.told(t->import->options.told_context, t->line, t->key, &change, error)
               : SNUB_OK;
}

static snub_status put_update(snub_import *import, int line, const snub_part *old, const snub_part *part, bool *good,
                              snub_error *error)
{
    static const snub_part_change added = {.what = "added", .field = ""};
    teller t = {import, line, 0, part->key};
    int first = 0;
    snub_status status = first_line_about(import, part->key, line, &first, error);
    if (status == SNUB_OK && first != line) {
        about_twice(import, line, part->key, first);
        return SNUB_OK;
    }
    if (status == SNUB_OK && old)
        status = snub_part_differ(old, part, tell_change, &t, error);
    else if (status == SNUB_OK && import->options.told)
        status = import->options.told(import->options.told_context, line, part->key, &added, error);
    if (status != SNUB_OK)
        return status;
    *good = old && t.changes == 0;
    import->report.unchanged += *good;
    return *good ? SNUB_OK : put_row(import, line, part, good, error);
}

static snub_status update_row(snub_import *import, const snub_csv_row *row, bool *good, snub_error *error)
{
    snub_arena arena;
    snub_part old, part;
    bool found = false, wrong = false;
    snub_arena_init(&arena, 0);
    snub_status status = snub_import_old(import, row, &arena, &old, &found, &wrong, error);
    if (status == SNUB_OK && !wrong) {
        if (found)
            part = old;
        if (snub_import_part(import, row, found, &part) == 0)
            status = put_update(import, row->line, found ? &old : NULL, &part, good, error);
    }
    snub_arena_free(&arena);
    return status;
}

/* ---- rows -------------------------------------------------------------------------------------------------------- */

static snub_status take_row(void *context, const snub_csv_row *row, snub_error *error)
{
    snub_import *import = context;
    snub_error failure = {0};
    snub_status status = SNUB_OK;
    bool good = false;
    (void)error;
    if (import->column_count == 0)
        return take_header(import, row);
    if (is_empty(row)) /* spreadsheets leave rows of commas behind */
        return SNUB_OK;
    if (snub_import_map_leaves(import, row)) {
        import->report.left_out++;
        return SNUB_OK;
    }
    import->report.rows++;
    status =
        import->options.update ? update_row(import, row, &good, &failure) : import_row(import, row, &good, &failure);
    if (status != SNUB_OK)
        return fail_whole(import, status, &failure);
    import->report.bad += !good;
    return SNUB_OK;
}

snub_status snub_import_open(snub_catalogue *catalogue, snub_units *units, const char *name,
                             const snub_import_options *options, snub_errors *errors, snub_import **import,
                             snub_error *error)
{
    snub_import *made = calloc(1, sizeof *made);
    if (!made)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    made->catalogue = catalogue;
    made->units = units;
    made->name = name;
    made->options = *options;
    made->errors = errors;
    const snub_supplier_map *map = options->map;
    const snub_csv_limits limits = {.field_bytes = SNUB_PART_TEXT_MOST,
                                    .delimiter = map ? map->separator : options->delimiter,
                                    .encoding = map ? map->encoding : options->encoding,
                                    .encoding_help =
                                        map ? "`encoding` in the map, such as windows-1252"
                                            : "a file saved as UTF-8, or --encoding, such as windows-1252"};
    made->dialect =
        (snub_import_dialect){map ? map->decimal : options->decimal, map ? map->thousands : options->thousands};
    snub_status status = snub_csv_open(name, &limits, take_row, made, &made->reader, error);
    pthread_mutex_lock(&catalogue->lock);
    if (status == SNUB_OK)
        status = snub_sql_begin(catalogue, error);
    made->open_transaction = status == SNUB_OK;
    catalogue->file_read = name;
    if (status == SNUB_OK && options->update)
        status = snub_sql_run(catalogue, SEEN, error);
    if (status != SNUB_OK) {
        if (made->open_transaction)
            snub_sql_roll_back(catalogue);
        made->open_transaction = false;
        pthread_mutex_unlock(&catalogue->lock);
        made->catalogue = NULL;
        snub_import_close(made);
        return status;
    }
    *import = made;
    return SNUB_OK;
}

/* What went wrong beyond single rows: of the catalogue, or of the file as CSV (then it is noted with the rest). */
static snub_status whole_failure(snub_import *import, snub_status status, const snub_error *csv, snub_error *error)
{
    if (status == SNUB_OK)
        return SNUB_OK;
    if (import->failed == SNUB_OK) {
        snub_errors_add(import->errors, csv);
        import->failed = status;
        import->failure = *csv;
    }
    if (error)
        *error = import->failure;
    return import->failed;
}

snub_status snub_import_feed(snub_import *import, const char *data, size_t length, snub_error *error)
{
    snub_error csv = {0};
    if (import->failed != SNUB_OK)
        return whole_failure(import, import->failed, &csv, error);
    return whole_failure(import, snub_csv_feed(import->reader, data, length, &csv), &csv, error);
}

/* Bearings that rows name may come later in the file: they are looked for when all of it is in. */
static snub_status settle_debts(snub_import *import, snub_error *error)
{
    for (size_t i = 0; i < import->debt_count; i++) {
        long long id;
        snub_part_kind kind;
        const snub_import_debt *debt = &import->debts[i];
        snub_status status = snub_rows_look(import->catalogue, debt->bearing, &id, &kind, error);
        if (status != SNUB_OK)
            return status;
        if (kind == SNUB_PART_BEARING)
            continue;
        snub_import_wrong(import, debt->line, "bearing", debt->bearing, NULL,
                          id ? "is not a bearing" : "is neither in the catalogue nor in this file");
        import->report.bad++;
        /* the part that made way for this row cannot be put back: then the whole import ends without effect */
        import->hopeless = import->hopeless || debt->replaced;
        import->report.added -= !debt->replaced;
        status = snub_history_forget(import->catalogue, debt->id, error);
        if (status == SNUB_OK)
            status = snub_rows_drop(import->catalogue, debt->id, error);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
}

/* Rows have rising ids: a number of this file has a part from its first row on. */
static snub_status find_shared(snub_import *import, snub_error *error)
{
    static const char sql[] = "SELECT own_number || ': ' || group_concat(key, ', ') FROM (SELECT id, key, own_number"
                              " FROM part WHERE own_number <> '' ORDER BY own_number, key) GROUP BY own_number"
                              " HAVING count(*) > 1 AND max(id) >= ?1 ORDER BY own_number";
    snub_import_report *report = &import->report;
    sqlite3_stmt *statement = NULL;
    snub_text text = {0};
    int step = SQLITE_DONE;
    if (import->line_count == 0)
        return SNUB_OK;
    snub_status status = snub_sql_prepare(import->catalogue, &statement, sql, error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_int64(statement, 1, import->lines[0].id);
    while ((step = sqlite3_step(statement)) == SQLITE_ROW)
        if (report->own_shared++ < SHARED_SAID)
            snub_text_printf(&text, "%s%s", text.length ? "; " : "", (const char *)sqlite3_column_text(statement, 0));
    sqlite3_finalize(statement);
    snub_put_text(report->shared_say, sizeof report->shared_say, text.data ? text.data : "");
    if (step != SQLITE_DONE)
        status = snub_sql_failed(import->catalogue, "reading", error);
    else if (text.failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_text_free(&text);
    return status;
}

static void end_transaction(snub_import *import)
{
    if (!import->open_transaction)
        return;
    snub_sql_roll_back(import->catalogue);
    import->open_transaction = false;
    pthread_mutex_unlock(&import->catalogue->lock);
}

snub_status snub_import_finish(snub_import *import, snub_import_report *report, snub_error *error)
{
    snub_error csv = {0};
    snub_status status = import->failed;
    if (status == SNUB_OK)
        status = snub_csv_finish(import->reader, &csv);
    status = whole_failure(import, status, &csv, error);
    if (status == SNUB_OK && import->column_count == 0)
        snub_import_wrong(import, 1, NULL, NULL, "a first row with the column names", "file is empty");
    if (status == SNUB_OK)
        status = settle_debts(import, error);
    if (status == SNUB_OK)
        status = find_shared(import, error);
    *report = import->report;
    if (status == SNUB_OK &&
        (import->column_count == 0 || import->hopeless || (import->report.bad && !import->options.skip_bad)))
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "nothing was imported");
    if (status == SNUB_OK && import->options.map && import->options.keep_map)
        status = snub_maps_keep(import->catalogue, import->options.map, report, error);
    forget_seen(import);
    if (status == SNUB_OK && import->options.update)
        status = snub_sql_run(import->catalogue, "DROP TABLE updated;", error);
    if (status == SNUB_OK && !import->options.dry_run) {
        status = snub_sql_commit(import->catalogue, error);
        import->open_transaction = false;
        pthread_mutex_unlock(&import->catalogue->lock);
    }
    end_transaction(import);
    return status;
}

void snub_import_close(snub_import *import)
{
    if (!import)
        return;
    forget_seen(import);
    end_transaction(import);
    snub_csv_close(import->reader);
    for (size_t i = 0; i < import->debt_count; i++)
        free(import->debts[i].bearing);
    free(import->debts);
    free(import->rule_cells);
    free(import->lines);
    free(import);
}
