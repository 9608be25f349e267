/* A part as rows of the tables: one in `part`, one in the table of its kind. Statements are built from the list of
 * fields, so that the list and the tables cannot part company (tests/unit/parts compares them). */
#include "catalogue.h"

#include <math.h>
#include <string.h>

/* Columns of a kind, in the order of binding and reading: each field, then its two deviations where it has them. */
static void add_columns(snub_part_kind kind, snub_text *sql)
{
    int count;
    const snub_part_field *fields = snub_part_fields(kind, &count);
    for (int i = 0; i < count; i++) {
        snub_text_printf(sql, ", \"%s\"", fields[i].name);
        if (fields[i].tolerance)
            snub_text_printf(sql, ", %s_minus, %s_plus", fields[i].name, fields[i].name);
    }
}

static int column_count(snub_part_kind kind)
{
    int count, columns = 0;
    const snub_part_field *fields = snub_part_fields(kind, &count);
    for (int i = 0; i < count; i++)
        columns += fields[i].tolerance ? 3 : 1;
    return columns;
}

static snub_status keep_insert_kind(snub_catalogue *catalogue, snub_part_kind kind, snub_error *error)
{
    snub_text sql = {0};
    snub_text_printf(&sql, "INSERT INTO %s(part", snub_part_kind_name(kind));
    add_columns(kind, &sql);
    snub_text_puts(&sql, ") VALUES (?");
    for (int i = column_count(kind); i > 0; i--)
        snub_text_puts(&sql, ", ?");
    snub_text_puts(&sql, ")");
    snub_status status = sql.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                                    : snub_sql_keep(catalogue, &catalogue->insert_kind[kind], sql.data, error);
    snub_text_free(&sql);
    return status;
}

static snub_status keep_select_kind(snub_catalogue *catalogue, snub_part_kind kind, snub_error *error)
{
    snub_text sql = {0};
    snub_text_puts(&sql, "SELECT part");
    add_columns(kind, &sql);
    snub_text_printf(&sql, " FROM %s WHERE part = ?", snub_part_kind_name(kind));
    snub_status status = sql.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                                    : snub_sql_keep(catalogue, &catalogue->select_kind[kind], sql.data, error);
    snub_text_free(&sql);
    return status;
}

/* ---- writing ----------------------------------------------------------------------------------------------------- */

static snub_status source_id(snub_catalogue *catalogue, const char *text, long long *id, snub_error *error)
{
    snub_status status =
        snub_sql_keep(catalogue, &catalogue->select_source, "SELECT id FROM source WHERE text = ?", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(catalogue->select_source, 1, text, -1, SQLITE_STATIC);
    int step = sqlite3_step(catalogue->select_source);
    if (step == SQLITE_ROW) {
        *id = sqlite3_column_int64(catalogue->select_source, 0);
        sqlite3_reset(catalogue->select_source);
        return SNUB_OK;
    }
    if (step != SQLITE_DONE)
        return snub_sql_failed(catalogue, "reading", error);
    sqlite3_reset(catalogue->select_source);
    status = snub_sql_keep(catalogue, &catalogue->insert_source, "INSERT INTO source(text) VALUES (?)", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(catalogue->insert_source, 1, text, -1, SQLITE_STATIC);
    if (sqlite3_step(catalogue->insert_source) != SQLITE_DONE)
        return snub_sql_failed(catalogue, "writing", error);
    *id = sqlite3_last_insert_rowid(catalogue->file);
    sqlite3_reset(catalogue->insert_source);
    return SNUB_OK;
}

static void bind_number(sqlite3_stmt *statement, int at, double number)
{
    if (isnan(number))
        sqlite3_bind_null(statement, at);
    else
        sqlite3_bind_double(statement, at, number);
}

static snub_status insert_sizes(snub_catalogue *catalogue, long long id, const snub_part *part, snub_error *error)
{
    snub_status status = keep_insert_kind(catalogue, part->kind, error);
    if (status != SNUB_OK)
        return status;
    sqlite3_stmt *statement = catalogue->insert_kind[part->kind];
    int count, at = 1;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    sqlite3_bind_int64(statement, at++, id);
    for (int i = 0; i < count; i++) {
        const snub_part_value *value = &part->values[i];
        if (!value->given)
            sqlite3_bind_null(statement, at++);
        else if (fields[i].type == SNUB_FIELD_NUMBER)
            sqlite3_bind_double(statement, at++, value->number);
        else if (fields[i].type == SNUB_FIELD_COUNT)
            sqlite3_bind_int64(statement, at++, (sqlite3_int64)value->number);
        else
            sqlite3_bind_text(statement, at++, value->text, -1, SQLITE_STATIC);
        if (fields[i].tolerance) {
            bind_number(statement, at++, value->given ? value->minus : NAN);
            bind_number(statement, at++, value->given ? value->plus : NAN);
        }
    }
    int step = sqlite3_step(statement);
    status = step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "writing", error);
    sqlite3_reset(statement);
    return status;
}

static snub_status insert_part(snub_catalogue *catalogue, const snub_part *part, long long source, snub_error *error)
{
    snub_status status = snub_sql_keep(catalogue, &catalogue->insert_part,
                                       "INSERT INTO part(key, kind, name, source, note, price_milli, currency, stock,"
                                       " own_number, supplier, minimum_order, discontinued, replaced_by,"
                                       " supplier_number) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                                       error);
    if (status != SNUB_OK)
        return status;
    sqlite3_stmt *statement = catalogue->insert_part;
    sqlite3_bind_text(statement, 1, part->key, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 2, snub_part_kind_name(part->kind), -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 3, part->name, -1, SQLITE_STATIC);
    sqlite3_bind_int64(statement, 4, source);
    sqlite3_bind_text(statement, 5, part->note, -1, SQLITE_STATIC);
    if (part->price_milli >= 0) {
        sqlite3_bind_int64(statement, 6, part->price_milli);
        sqlite3_bind_text(statement, 7, part->currency, -1, SQLITE_STATIC);
    }
    if (part->stock >= 0)
        sqlite3_bind_int64(statement, 8, part->stock);
    sqlite3_bind_text(statement, 9, part->own_number, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 10, part->supplier, -1, SQLITE_STATIC);
    if (part->minimum_order >= 0)
        sqlite3_bind_int64(statement, 11, part->minimum_order);
    sqlite3_bind_int(statement, 12, part->discontinued);
    sqlite3_bind_text(statement, 13, part->replaced_by, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 14, part->supplier_number, -1, SQLITE_STATIC);
    int step = sqlite3_step(statement);
    status = step == SQLITE_DONE ? SNUB_OK
             : sqlite3_extended_errcode(catalogue->file) == SQLITE_CONSTRAINT_UNIQUE
                 ? snub_rows_taken(part->key, error)
                 : snub_sql_failed(catalogue, "writing", error);
    sqlite3_reset(statement);
    return status;
}

static snub_status insert_words(snub_catalogue *catalogue, long long id, const snub_part *part, snub_error *error)
{
    snub_status status =
        snub_sql_keep(catalogue, &catalogue->insert_words,
                      "INSERT INTO part_text(rowid, key, name, note, kind) VALUES (?, ?, ?, ?, ?)", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_stmt *statement = catalogue->insert_words;
    sqlite3_bind_int64(statement, 1, id);
    sqlite3_bind_text(statement, 2, part->key, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 3, part->name, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 4, part->note, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 5, snub_part_kind_name(part->kind), -1, SQLITE_STATIC);
    int step = sqlite3_step(statement);
    status = step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "writing", error);
    sqlite3_reset(statement);
    return status;
}

snub_status snub_rows_taken(const char *key, snub_error *error)
{
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, NULL, "key", "is already in the catalogue");
    if (error) {
        snub_put_text(error->got, sizeof error->got, key);
        snub_put_text(error->need, sizeof error->need, "another key, or --replace");
    }
    return status;
}

snub_status snub_rows_id(snub_catalogue *catalogue, const char *key, long long *id, snub_error *error)
{
    snub_part_kind kind;
    return snub_rows_look(catalogue, key, id, &kind, error);
}

snub_status snub_rows_look(snub_catalogue *catalogue, const char *key, long long *id, snub_part_kind *kind,
                           snub_error *error)
{
    snub_status status =
        snub_sql_keep(catalogue, &catalogue->select_id, "SELECT id, kind FROM part WHERE key = ?", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(catalogue->select_id, 1, key, -1, SQLITE_STATIC);
    int step = sqlite3_step(catalogue->select_id);
    *id = step == SQLITE_ROW ? sqlite3_column_int64(catalogue->select_id, 0) : 0;
    *kind = SNUB_PART_ANY;
    if (step == SQLITE_ROW && !snub_part_kind_named((const char *)sqlite3_column_text(catalogue->select_id, 1), kind))
        *kind = SNUB_PART_ANY;
    status = step == SQLITE_ROW || step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "reading", error);
    sqlite3_reset(catalogue->select_id);
    return status;
}

/* ---- reading ----------------------------------------------------------------------------------------------------- */

static const char *text_of(sqlite3_stmt *statement, int column, snub_arena *arena, bool *failed)
{
    const unsigned char *text = sqlite3_column_text(statement, column);
    const char *copy = snub_copy_text(arena, text ? (const char *)text : "");
    *failed = *failed || !copy;
    return copy;
}

static void number_of(sqlite3_stmt *statement, int column, double *number)
{
    if (sqlite3_column_type(statement, column) != SQLITE_NULL)
        *number = sqlite3_column_double(statement, column);
}

static void read_sizes(sqlite3_stmt *statement, snub_arena *arena, snub_part *part, bool *failed)
{
    int count, at = 1;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    for (int i = 0; i < count; i++) {
        snub_part_value *value = &part->values[i];
        value->given = sqlite3_column_type(statement, at) != SQLITE_NULL;
        if (value->given && (fields[i].type == SNUB_FIELD_NUMBER || fields[i].type == SNUB_FIELD_COUNT))
            value->number = sqlite3_column_double(statement, at);
        else if (value->given)
            value->text = text_of(statement, at, arena, failed);
        at++;
        if (fields[i].tolerance) {
            number_of(statement, at++, &value->minus);
            number_of(statement, at++, &value->plus);
        }
    }
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status damaged(snub_catalogue *catalogue, long long id, snub_error *error)
{
    snub_place place = {catalogue->path, 0, 0, 0, 0};
    return snub_fail(error, SNUB_BAD_INPUT, &place, NULL, "is damaged: part %lld is incomplete; restore a backup", id);
}

static snub_status read_part(snub_catalogue *catalogue, long long id, snub_arena *arena, snub_part *part,
                             snub_error *error)
{
    sqlite3_stmt *statement = catalogue->select_part;
    sqlite3_bind_int64(statement, 1, id);
    int step = sqlite3_step(statement);
    if (step != SQLITE_ROW)
        return step == SQLITE_DONE ? damaged(catalogue, id, error) : snub_sql_failed(catalogue, "reading", error);
    snub_part_kind kind;
    const char *name = (const char *)sqlite3_column_text(statement, 1);
    if (!name || !snub_part_kind_named(name, &kind))
        return damaged(catalogue, id, error);
    bool failed = false;
    snub_part_init(part, kind);
    part->key = text_of(statement, 0, arena, &failed);
    part->name = text_of(statement, 2, arena, &failed);
    part->source = text_of(statement, 3, arena, &failed);
    part->note = text_of(statement, 4, arena, &failed);
    if (sqlite3_column_type(statement, 5) != SQLITE_NULL) {
        part->price_milli = sqlite3_column_int64(statement, 5);
        const unsigned char *currency = sqlite3_column_text(statement, 6);
        snub_put_text(part->currency, sizeof part->currency, currency ? (const char *)currency : "");
    }
    if (sqlite3_column_type(statement, 7) != SQLITE_NULL)
        part->stock = sqlite3_column_int64(statement, 7);
    part->own_number = text_of(statement, 8, arena, &failed);
    part->supplier = text_of(statement, 9, arena, &failed);
    if (sqlite3_column_type(statement, 10) != SQLITE_NULL)
        part->minimum_order = sqlite3_column_int64(statement, 10);
    part->discontinued = sqlite3_column_int(statement, 11) != 0;
    part->replaced_by = text_of(statement, 12, arena, &failed);
    part->supplier_number = text_of(statement, 13, arena, &failed);
    return failed ? no_memory(error) : SNUB_OK;
}

bool snub_rows_have(const snub_catalogue *catalogue, int version)
{
    return catalogue->mode != SNUB_CATALOGUE_READ || catalogue->version_found >= version;
}

/* A file that is only read may be of version 5, which has nothing of the last six, or 6, which lacks the last one. */
static snub_status keep_select_part(snub_catalogue *catalogue, snub_error *error)
{
#define SELECT(more)                                                                                                   \
    "SELECT p.key, p.kind, p.name, s.text, p.note, p.price_milli, p.currency, p.stock, " more                          \
    " FROM part p JOIN source s ON s.id = p.source WHERE p.id = ?"
#define SALE "p.own_number, p.supplier, p.minimum_order, p.discontinued, p.replaced_by, "
    static const char now[] = SELECT(SALE "p.supplier_number"), of_6[] = SELECT(SALE "''"),
                      of_5[] = SELECT("'', '', NULL, 0, '', ''");
#undef SALE
#undef SELECT
    return snub_sql_keep(catalogue, &catalogue->select_part,
                         snub_rows_have(catalogue, 7)   ? now
                         : snub_rows_have(catalogue, 6) ? of_6
                                                        : of_5,
                         error);
}

snub_status snub_rows_get(snub_catalogue *catalogue, long long id, snub_arena *arena, snub_part *part,
                          snub_error *error)
{
    snub_status status = keep_select_part(catalogue, error);
    if (status != SNUB_OK)
        return status;
    status = read_part(catalogue, id, arena, part, error);
    sqlite3_reset(catalogue->select_part);
    if (status == SNUB_OK)
        status = keep_select_kind(catalogue, part->kind, error);
    if (status != SNUB_OK)
        return status;
    sqlite3_stmt *sizes = catalogue->select_kind[part->kind];
    sqlite3_bind_int64(sizes, 1, id);
    int step = sqlite3_step(sizes);
    bool failed = false;
    if (step == SQLITE_ROW)
        read_sizes(sizes, arena, part, &failed);
    else
        status = step == SQLITE_DONE ? damaged(catalogue, id, error) : snub_sql_failed(catalogue, "reading", error);
    sqlite3_reset(sizes);
    return failed ? no_memory(error) : status;
}

/* ---- putting ----------------------------------------------------------------------------------------------------- */

snub_status snub_rows_drop(snub_catalogue *catalogue, long long id, snub_error *error)
{
    snub_status status = snub_sql_keep(catalogue, &catalogue->delete_part, "DELETE FROM part WHERE id = ?", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_int64(catalogue->delete_part, 1, id);
    if (sqlite3_step(catalogue->delete_part) != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "writing", error);
    sqlite3_reset(catalogue->delete_part);
    return status;
}

/* What makes way for a part of its key leaves its old values in the history. */
static snub_status make_way(snub_catalogue *catalogue, long long id, const snub_part *part, snub_error *error)
{
    snub_arena arena;
    snub_part old;
    snub_arena_init(&arena, 0);
    snub_status status = snub_rows_get(catalogue, id, &arena, &old, error);
    if (status == SNUB_OK)
        status = snub_history_note(catalogue, &old, part, error);
    snub_arena_free(&arena);
    return status == SNUB_OK ? snub_rows_drop(catalogue, id, error) : status;
}

snub_status snub_rows_put(snub_catalogue *catalogue, const snub_part *part, bool replace, bool *replaced,
                          snub_error *error)
{
    long long old = 0, source = 0;
    snub_part_kind old_kind;
    snub_status status = snub_rows_look(catalogue, part->key, &old, &old_kind, error);
    if (status == SNUB_OK && old && !replace)
        return snub_rows_taken(part->key, error);
    if (status == SNUB_OK && old && old_kind != part->kind)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "kind", "would turn a %s into a %s: remove it first",
                         snub_part_kind_name(old_kind), snub_part_kind_name(part->kind));
    if (status == SNUB_OK)
        status = old ? make_way(catalogue, old, part, error) : snub_history_note(catalogue, NULL, part, error);
    if (status == SNUB_OK)
        status = source_id(catalogue, part->source, &source, error);
    if (status == SNUB_OK)
        status = insert_part(catalogue, part, source, error);
    long long id = sqlite3_last_insert_rowid(catalogue->file);
    if (status == SNUB_OK)
        status = insert_words(catalogue, id, part, error);
    if (status == SNUB_OK)
        status = insert_sizes(catalogue, id, part, error); /* last: its row id is the part's, for the caller */
    *replaced = old != 0;
    return status;
}
