/* A part by a number that a person knows it by: its key, the house's own number, or its supplier's. */
#include "catalogue.h"

#include <string.h>

enum { NEAR_KEYS_MOST = 256 };

/* A key that the person may have meant: near it among those that begin alike. */
static void suggest(snub_catalogue *catalogue, const char *key, snub_error *error)
{
    const char *near[NEAR_KEYS_MOST];
    int count = 0;
    snub_arena arena;
    snub_arena_init(&arena, 0);
    sqlite3_stmt *statement = NULL;
    if (error && snub_sql_prepare(catalogue, &statement,
                                  "SELECT key FROM part WHERE key >= substr(?1, 1, 2) AND key < substr(?1, 1, 2) || "
                                  "char(1114111) AND length(key) < 90 LIMIT ?2",
                                  NULL) == SNUB_OK) {
        sqlite3_bind_text(statement, 1, key, -1, SQLITE_STATIC);
        sqlite3_bind_int(statement, 2, NEAR_KEYS_MOST);
        while (count < NEAR_KEYS_MOST && sqlite3_step(statement) == SQLITE_ROW) {
            near[count] = snub_copy_text(&arena, (const char *)sqlite3_column_text(statement, 0));
            count += near[count] != NULL;
        }
        const char *meant = strlen(key) < 90 ? snub_nearest(key, near, count) : NULL;
        if (meant)
            snub_put_text(error->need, sizeof error->need, meant);
    }
    sqlite3_finalize(statement);
    snub_arena_free(&arena);
}

snub_status snub_finder_none(snub_catalogue *catalogue, const char *key, snub_error *error)
{
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no such part in the catalogue");
    if (error)
        snub_put_text(error->got, sizeof error->got, key);
    suggest(catalogue, key, error);
    return status;
}

/* @param[in] sql  asks for the ids; its one or two parameters are first and second */
static snub_status look(snub_catalogue *catalogue, const char *sql, const char *first, const char *second,
                        long long *id, int *count, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(catalogue, &statement, sql, error);
    int step = SQLITE_DONE;
    *count = 0;
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, first, -1, SQLITE_STATIC);
    if (second)
        sqlite3_bind_text(statement, 2, second, -1, SQLITE_STATIC);
    while ((step = sqlite3_step(statement)) == SQLITE_ROW) {
        *id = sqlite3_column_int64(statement, 0);
        ++*count;
    }
    sqlite3_finalize(statement);
    return step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "reading", error);
}

snub_status snub_finder_own(snub_catalogue *catalogue, const char *own_number, long long *id, int *count,
                            snub_error *error)
{
    return look(catalogue, "SELECT id FROM part WHERE own_number = ?1 AND own_number <> '' LIMIT 2", own_number, NULL,
                id, count, error);
}

snub_status snub_finder_sold(snub_catalogue *catalogue, const char *supplier, const char *number, long long *id,
                             int *count, snub_error *error)
{
    return look(catalogue,
                "SELECT id FROM part WHERE supplier_number = ?1 AND supplier_number <> '' AND (?2 IS NULL OR supplier"
                " = ?2) LIMIT 2",
                number, supplier, id, count, error);
}

/* ---- whichever number it is -------------------------------------------------------------------------------------- */

/* An older file, that is only read, has fewer numbers. */
static const char *asking(const snub_catalogue *catalogue)
{
#define KEY "SELECT key FROM part WHERE key = ?1"
#define OWN " UNION ALL SELECT key FROM part WHERE own_number = ?1 AND own_number <> ''"
    return snub_rows_have(catalogue, 7) ? KEY
               " UNION ALL SELECT key FROM change WHERE key = ?1" OWN
               " UNION ALL SELECT key FROM part WHERE supplier_number = ?1 AND supplier_number <> ''"
           : snub_rows_have(catalogue, 6) ? KEY OWN
                                          : KEY;
#undef OWN
#undef KEY
}

snub_status snub_catalogue_key(snub_catalogue *catalogue, const char *number, snub_arena *arena, const char **key,
                               snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_prepare(catalogue, &statement, asking(catalogue), error);
    if (status == SNUB_OK) {
        sqlite3_bind_text(statement, 1, number, -1, SQLITE_STATIC);
        const int step = sqlite3_step(statement);
        const char *found = step == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 0) : NULL;
        *key = found ? snub_copy_text(arena, found) : NULL;
        if (step == SQLITE_DONE)
            status = snub_finder_none(catalogue, number, error);
        else if (step != SQLITE_ROW)
            status = snub_sql_failed(catalogue, "reading", error);
        else if (!*key)
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    sqlite3_finalize(statement);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}
