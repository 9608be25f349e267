/* One part at a time: add, get, remove, count, walk. */
#include "catalogue.h"

#include <string.h>

/* A bearing that is named must be there, and be a bearing. */
static snub_status check_bearing(snub_catalogue *catalogue, const snub_part *part, snub_error *error)
{
    int at = snub_part_field_index(part->kind, "bearing");
    if (at < 0 || !part->values[at].given)
        return SNUB_OK;
    long long id;
    snub_part_kind kind;
    snub_status status = snub_rows_look(catalogue, part->values[at].text, &id, &kind, error);
    if (status == SNUB_OK && kind != SNUB_PART_BEARING) {
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, "bearing", id ? "is not a bearing" : "is not in the catalogue");
        if (error)
            snub_put_text(error->got, sizeof error->got, part->values[at].text);
    }
    return status;
}

snub_status snub_catalogue_add(snub_catalogue *catalogue, const snub_part *part, bool replace, snub_error *error)
{
    bool replaced;
    snub_status status = snub_part_check(part, error);
    if (status != SNUB_OK)
        return status;
    pthread_mutex_lock(&catalogue->lock);
    status = snub_sql_begin(catalogue, error);
    if (status == SNUB_OK)
        status = snub_rows_put(catalogue, part, replace, &replaced, error);
    if (status == SNUB_OK)
        status = check_bearing(catalogue, part, error);
    if (status == SNUB_OK)
        status = snub_sql_commit(catalogue, error);
    else
        snub_sql_roll_back(catalogue);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}

snub_status snub_catalogue_get(snub_catalogue *catalogue, const char *key, snub_arena *arena, snub_part *part,
                               snub_error *error)
{
    bool own = false;
    long long id = 0;
    snub_part found;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_look(catalogue, &own, error);
    if (status == SNUB_OK)
        status = snub_rows_id(catalogue, key, &id, error);
    if (status == SNUB_OK)
        status = id ? snub_rows_get(catalogue, id, arena, &found, error) : snub_finder_none(catalogue, key, error);
    snub_sql_looked(catalogue, own);
    pthread_mutex_unlock(&catalogue->lock);
    if (status == SNUB_OK)
        *part = found;
    return status;
}

/* Who else names this key as its bearing. */
static snub_status check_unused(snub_catalogue *catalogue, const char *key, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status =
        snub_sql_prepare(catalogue, &statement,
                         "SELECT p.key FROM part p WHERE p.id IN (SELECT part FROM idler WHERE bearing = ?1 UNION ALL"
                         " SELECT part FROM tensioner WHERE bearing = ?1) LIMIT 1",
                         error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, key, -1, SQLITE_STATIC);
    int step = sqlite3_step(statement);
    if (step == SQLITE_ROW) {
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "is the bearing of \"%.100s\": remove that first",
                           (const char *)sqlite3_column_text(statement, 0));
        if (error)
            snub_put_text(error->got, sizeof error->got, key);
    } else if (step != SQLITE_DONE) {
        status = snub_sql_failed(catalogue, "reading", error);
    }
    sqlite3_finalize(statement);
    return status;
}

static snub_status remove_row(snub_catalogue *catalogue, const char *key, snub_error *error)
{
    long long id = 0;
    snub_status status = snub_rows_id(catalogue, key, &id, error);
    if (status == SNUB_OK && !id)
        return snub_finder_none(catalogue, key, error);
    if (status == SNUB_OK)
        status = check_unused(catalogue, key, error);
    if (status != SNUB_OK)
        return status;
    snub_arena arena;
    snub_part old;
    snub_arena_init(&arena, 0);
    status = snub_rows_get(catalogue, id, &arena, &old, error);
    if (status == SNUB_OK)
        status = snub_history_note(catalogue, &old, NULL, error);
    snub_arena_free(&arena);
    return status == SNUB_OK ? snub_rows_drop(catalogue, id, error) : status;
}

snub_status snub_catalogue_remove(snub_catalogue *catalogue, const char *key, snub_error *error)
{
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_begin(catalogue, error);
    if (status == SNUB_OK)
        status = remove_row(catalogue, key, error);
    if (status == SNUB_OK)
        status = snub_sql_commit(catalogue, error);
    else
        snub_sql_roll_back(catalogue);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}

snub_status snub_catalogue_count(snub_catalogue *catalogue, snub_part_kind kind, long long *count, snub_error *error)
{
    snub_text sql = {0};
    snub_text_printf(&sql, "SELECT count(*) FROM %s", snub_part_kind_name(kind));
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = sql.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                                    : snub_sql_integer(catalogue, sql.data, count, error);
    pthread_mutex_unlock(&catalogue->lock);
    snub_text_free(&sql);
    return status;
}

static snub_status walk(snub_catalogue *catalogue, sqlite3_stmt *ids, snub_part_take *take, void *context,
                        snub_error *error)
{
    snub_status status = SNUB_OK;
    int step = SQLITE_DONE;
    while (status == SNUB_OK && (step = sqlite3_step(ids)) == SQLITE_ROW) {
        snub_arena arena;
        snub_part part;
        snub_arena_init(&arena, 0);
        status = snub_rows_get(catalogue, sqlite3_column_int64(ids, 0), &arena, &part, error);
        if (status == SNUB_OK)
            status = take(context, &part, error);
        snub_arena_free(&arena);
    }
    return status == SNUB_OK && step != SQLITE_DONE ? snub_sql_failed(catalogue, "reading", error) : status;
}

snub_status snub_catalogue_walk(snub_catalogue *catalogue, snub_part_kind kind, snub_part_take *take, void *context,
                                snub_error *error)
{
    bool own = false, all = kind == SNUB_PART_ANY;
    sqlite3_stmt *ids = NULL;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_look(catalogue, &own, error);
    if (status == SNUB_OK)
        status = snub_sql_prepare(
            catalogue, &ids,
            all ? "SELECT id FROM part ORDER BY kind, key" : "SELECT id FROM part WHERE kind = ? ORDER BY key", error);
    if (status == SNUB_OK && !all)
        sqlite3_bind_text(ids, 1, snub_part_kind_name(kind), -1, SQLITE_STATIC);
    if (status == SNUB_OK)
        status = walk(catalogue, ids, take, context, error);
    sqlite3_finalize(ids);
    snub_sql_looked(catalogue, own);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}
