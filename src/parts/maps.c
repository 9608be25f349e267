/* Maps of suppliers' files, kept in the catalogue as they were written. */
#include "catalogue.h"

#include <string.h>

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* The map that is kept for a supplier: is it this one, and since when. */
static snub_status is_kept(snub_catalogue *catalogue, const char *supplier, const char *text, bool *kept, char *since,
                           size_t room, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(catalogue, &statement,
                                          "SELECT m.text = ?2, e.at FROM supplier_map m JOIN event e"
                                          " ON e.id = m.event WHERE m.supplier = ?1",
                                          error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, supplier, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 2, text, -1, SQLITE_STATIC);
    const int step = sqlite3_step(statement);
    const char *at = step == SQLITE_ROW ? (const char *)sqlite3_column_text(statement, 1) : NULL;
    if (at) {
        *kept = sqlite3_column_int(statement, 0) != 0;
        snub_put_text(since, room, *kept ? "" : at);
    } else if (step != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "reading", error);
    sqlite3_finalize(statement);
    return status;
}

snub_status snub_maps_keep(snub_catalogue *catalogue, const snub_supplier_map *map, snub_import_report *report,
                           snub_error *error)
{
    bool there = false;
    sqlite3_stmt *statement = NULL;
    snub_status status = is_kept(catalogue, map->supplier, map->document.source, &there, report->map_since,
                                 sizeof report->map_since, error);
    report->map_kept = !there;
    if (status != SNUB_OK || there)
        return status;
    status = snub_history_event(catalogue, error);
    if (status == SNUB_OK)
        status = snub_sql_prepare(catalogue, &statement,
                                  "INSERT INTO supplier_map(supplier, text, event) VALUES (?1, ?2, ?3)"
                                  " ON CONFLICT(supplier) DO UPDATE SET text = ?2, event = ?3",
                                  error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, map->supplier, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 2, map->document.source, -1, SQLITE_STATIC);
    sqlite3_bind_int64(statement, 3, catalogue->event);
    if (sqlite3_step(statement) != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "writing", error);
    sqlite3_finalize(statement);
    return status;
}

static bool add_map(sqlite3_stmt *statement, snub_arena *arena, snub_kept_maps *maps, int *room)
{
    if (maps->count == *room) {
        *room = 2 * *room + 8;
        snub_kept_map *more = SNUB_NEW(arena, snub_kept_map, *room);
        if (!more)
            return false;
        if (maps->count)
            memcpy(more, maps->items, (size_t)maps->count * sizeof *more);
        maps->items = more;
    }
    snub_kept_map *m = &maps->items[maps->count++];
    *m = (snub_kept_map){snub_sql_text(statement, 0, arena), snub_sql_text(statement, 1, arena),
                         snub_sql_text(statement, 2, arena), snub_sql_text(statement, 3, arena)};
    return m->supplier && m->text && m->at && m->user;
}

snub_status snub_catalogue_maps(snub_catalogue *catalogue, snub_arena *arena, snub_kept_maps *maps, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    int step = SQLITE_DONE, room = 0;
    *maps = (snub_kept_maps){0};
    if (!snub_rows_have(catalogue, 7))
        return SNUB_OK;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_prepare(catalogue, &statement,
                                          "SELECT m.supplier, m.text, e.at, e.user FROM supplier_map m"
                                          " JOIN event e ON e.id = m.event ORDER BY m.supplier",
                                          error);
    while (status == SNUB_OK && (step = sqlite3_step(statement)) == SQLITE_ROW)
        if (!add_map(statement, arena, maps, &room))
            status = no_memory(error);
    if (status == SNUB_OK && step != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "reading", error);
    sqlite3_finalize(statement);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}

static snub_status none(const char *supplier, const snub_kept_maps *maps, snub_arena *arena, snub_error *error)
{
    const char **names = SNUB_NEW(arena, const char *, maps->count + 1);
    if (!names)
        return no_memory(error);
    for (int i = 0; i < maps->count; i++)
        names[i] = maps->items[i].supplier;
    const char *near = snub_nearest(supplier, names, maps->count);
    snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the catalogue has no map of this supplier");
    if (error) {
        snub_put_text(error->got, sizeof error->got, supplier);
        snub_put_text(error->need, sizeof error->need, near ? near : maps->count == 1 ? names[0] : "");
    }
    return SNUB_BAD_INPUT;
}

snub_status snub_catalogue_map(snub_catalogue *catalogue, const char *supplier, snub_arena *arena, snub_kept_map *map,
                               snub_error *error)
{
    snub_kept_maps maps;
    const snub_status status = snub_catalogue_maps(catalogue, arena, &maps, error);
    if (status != SNUB_OK)
        return status;
    for (int i = 0; i < maps.count; i++) {
        if (strcmp(maps.items[i].supplier, supplier) == 0) {
            *map = maps.items[i];
            return SNUB_OK;
        }
    }
    return none(supplier, &maps, arena, error);
}

static snub_status remove_map(snub_catalogue *catalogue, const char *supplier, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(catalogue, &statement, "DELETE FROM supplier_map WHERE supplier = ?1", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, supplier, -1, SQLITE_STATIC);
    if (sqlite3_step(statement) != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "writing", error);
    sqlite3_finalize(statement);
    return status;
}

snub_status snub_catalogue_map_remove(snub_catalogue *catalogue, const char *supplier, snub_error *error)
{
    snub_arena arena;
    snub_kept_map map;
    snub_arena_init(&arena, 0);
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_begin(catalogue, error);
    if (status == SNUB_OK)
        status = snub_catalogue_map(catalogue, supplier, &arena, &map, error);
    if (status == SNUB_OK)
        status = remove_map(catalogue, supplier, error);
    if (status == SNUB_OK)
        status = snub_sql_commit(catalogue, error);
    else
        snub_sql_roll_back(catalogue);
    pthread_mutex_unlock(&catalogue->lock);
    snub_arena_free(&arena);
    return status;
}
