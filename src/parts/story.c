/* Reading the history of a part. */
#include "catalogue.h"

#include <string.h>

static bool add_change(sqlite3_stmt *statement, snub_arena *arena, int *room, snub_history *history)
{
    if (history->count == *room) {
        *room = 2 * *room + 16;
        snub_part_change *more = SNUB_NEW(arena, snub_part_change, *room);
        if (!more)
            return false;
        if (history->count)
            memcpy(more, history->items, (size_t)history->count * sizeof *more);
        history->items = more;
    }
    snub_part_change *c = &history->items[history->count++];
    *c = (snub_part_change){.at = snub_sql_text(statement, 0, arena),
                            .user = snub_sql_text(statement, 1, arena),
                            .host = snub_sql_text(statement, 2, arena),
                            .file = snub_sql_text(statement, 3, arena),
                            .what = snub_sql_text(statement, 4, arena),
                            .field = snub_sql_text(statement, 5, arena),
                            .old = snub_sql_text(statement, 6, arena),
                            .now = snub_sql_text(statement, 7, arena)};
    return c->at && c->user && c->host && c->file && c->what && c->field && !arena->refused;
}

static snub_status read_changes(snub_catalogue *catalogue, snub_arena *arena, snub_history *history, snub_error *error)
{
    static const char sql[] = "SELECT e.at, e.user, e.host, e.file, c.what, c.field, c.old, c.now FROM change c"
                              " JOIN event e ON e.id = c.event WHERE c.key = ?1 ORDER BY c.id";
    sqlite3_stmt *statement = NULL;
    int step = SQLITE_DONE, room = 0;
    snub_status status = snub_sql_prepare(catalogue, &statement, sql, error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, history->key, -1, SQLITE_STATIC);
    while (status == SNUB_OK && (step = sqlite3_step(statement)) == SQLITE_ROW)
        if (!add_change(statement, arena, &room, history))
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (status == SNUB_OK && step != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "reading", error);
    sqlite3_finalize(statement);
    return status;
}

snub_status snub_catalogue_history(snub_catalogue *catalogue, const char *number, snub_arena *arena,
                                   snub_history *history, snub_error *error)
{
    bool own = false;
    snub_place place = {catalogue->path, 0, 0, 0, 0};
    *history = (snub_history){0};
    if (!snub_rows_have(catalogue, 7))
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL,
                         "is version %d, which keeps no history; upgrade it with `snub parts init`",
                         catalogue->version_found);
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_look(catalogue, &own, error);
    if (status == SNUB_OK)
        status = snub_catalogue_key(catalogue, number, arena, &history->key, error);
    if (status == SNUB_OK)
        status = read_changes(catalogue, arena, history, error);
    snub_sql_looked(catalogue, own);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}
