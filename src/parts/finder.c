/* A part by a number that a person knows it by: its key, the house's own number, or its supplier's. */
#include "catalogue.h"

#include <string.h>

enum { NEAR_KEYS_MOST = 256, KEYS_SAID = 8 };

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
            near[count] = snub_sql_text(statement, 0, &arena);
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

/* The count-th key of those that a person has to choose from. */
static void say_key(snub_text *keys, const char *key, int count)
{
    if (count <= KEYS_SAID)
        snub_text_printf(keys, "%s%s", count == 1 ? "one of the keys " : ", ", key);
    else if (count == KEYS_SAID + 1)
        snub_text_puts(keys, " and more");
}

/* @param[in] sql  asks for ids and keys; its one or two parameters are first and second */
static snub_status look(snub_catalogue *catalogue, const char *sql, const char *first, const char *second,
                        long long *id, int *count, snub_text *keys, snub_error *error)
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
        say_key(keys, (const char *)sqlite3_column_text(statement, 1), ++*count);
    }
    sqlite3_finalize(statement);
    return step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "reading", error);
}

snub_status snub_finder_own(snub_catalogue *catalogue, const char *own_number, long long *id, int *count,
                            snub_text *keys, snub_error *error)
{
    return look(catalogue, "SELECT id, key FROM part WHERE own_number = ?1 AND own_number <> '' ORDER BY key LIMIT 9",
                own_number, NULL, id, count, keys, error);
}

snub_status snub_finder_sold(snub_catalogue *catalogue, const char *supplier, const char *number, long long *id,
                             int *count, snub_text *keys, snub_error *error)
{
    return look(catalogue,
                "SELECT id, key FROM part WHERE supplier_number = ?1 AND supplier_number <> '' AND supplier = ?2"
                " ORDER BY key LIMIT 9",
                number, supplier, id, count, keys, error);
}

/* ---- whichever number it is -------------------------------------------------------------------------------------- */

/* An older file, that is only read, has fewer numbers. */
static const char *asking(const snub_catalogue *catalogue)
{
#define KEY "SELECT key, 0 AS way FROM part WHERE key = ?1"
#define OWN " UNION SELECT key, 2 FROM part WHERE own_number = ?1 AND own_number <> ''"
#define LAST " ORDER BY way, key"
    return snub_rows_have(catalogue, 7) ? KEY
               " UNION SELECT key, 1 FROM change WHERE key = ?1" OWN
               " UNION SELECT key, 3 FROM part WHERE supplier_number = ?1 AND supplier_number <> ''" LAST
           : snub_rows_have(catalogue, 6) ? KEY OWN LAST
                                          : KEY;
#undef LAST
#undef OWN
#undef KEY
}

/* The first way in which the number is one, and all that have it in that way. */
static snub_status read_key(snub_catalogue *catalogue, sqlite3_stmt *statement, const char *number, snub_arena *arena,
                            const char **key, snub_error *error)
{
    snub_text keys = {0};
    int step = SQLITE_DONE, way = 0, count = 0;
    while ((step = sqlite3_step(statement)) == SQLITE_ROW && (count == 0 || sqlite3_column_int(statement, 1) == way)) {
        const char *found = snub_sql_text(statement, 0, arena);
        way = sqlite3_column_int(statement, 1);
        if (count == 0)
            *key = found;
        keys.failed = keys.failed || !found;
        say_key(&keys, found ? found : "", ++count);
    }
    snub_status status = SNUB_OK;
    if (step != SQLITE_DONE && step != SQLITE_ROW)
        status = snub_sql_failed(catalogue, "reading", error);
    else if (count == 0)
        status = snub_finder_none(catalogue, number, error);
    else if (!*key || keys.failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    else if (count > 1) {
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "several parts have this number");
        if (error) {
            snub_put_text(error->got, sizeof error->got, number);
            snub_put_text(error->need, sizeof error->need, keys.data);
        }
    }
    snub_text_free(&keys);
    return status;
}

snub_status snub_catalogue_key(snub_catalogue *catalogue, const char *number, snub_arena *arena, const char **key,
                               snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_prepare(catalogue, &statement, asking(catalogue), error);
    if (status == SNUB_OK) {
        sqlite3_bind_text(statement, 1, number, -1, SQLITE_STATIC);
        *key = NULL;
        status = read_key(catalogue, statement, number, arena, key, error);
    }
    sqlite3_finalize(statement);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}
