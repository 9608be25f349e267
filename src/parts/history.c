/* Writing the history: an event for each transaction that changes parts, and what it changed, field by field. */
#include "catalogue.h"

snub_status snub_history_event(snub_catalogue *catalogue, snub_error *error)
{
    if (catalogue->event)
        return SNUB_OK;
    snub_author author;
    snub_status status = snub_sql_keep(catalogue, &catalogue->insert_event,
                                       "INSERT INTO event(at, user, host, file) VALUES (?, ?, ?, ?)", error);
    if (status != SNUB_OK)
        return status;
    snub_author_of(catalogue, &author);
    sqlite3_stmt *statement = catalogue->insert_event;
    sqlite3_bind_text(statement, 1, author.at, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 2, author.user, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 3, author.host, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 4, catalogue->file_read ? catalogue->file_read : "", -1, SQLITE_STATIC);
    status = sqlite3_step(statement) == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "writing", error);
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement); /* they are of this function */
    if (status == SNUB_OK)
        catalogue->event = sqlite3_last_insert_rowid(catalogue->file);
    return status;
}

typedef struct chronicler {
    snub_catalogue *catalogue;
    const char *key, *what;
} chronicler;

static snub_status note_field(void *context, const char *field, const char *old, const char *now, snub_error *error)
{
    const chronicler *c = context;
    snub_status status = snub_history_event(c->catalogue, error);
    if (status == SNUB_OK)
        status =
            snub_sql_keep(c->catalogue, &c->catalogue->insert_change,
                          "INSERT INTO change(event, key, what, field, old, now) VALUES (?, ?, ?, ?, ?, ?)", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_stmt *statement = c->catalogue->insert_change;
    sqlite3_bind_int64(statement, 1, c->catalogue->event);
    sqlite3_bind_text(statement, 2, c->key, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 3, c->what, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 4, field, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 5, old, -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 6, now, -1, SQLITE_STATIC);
    status = sqlite3_step(statement) == SQLITE_DONE ? SNUB_OK : snub_sql_failed(c->catalogue, "writing", error);
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    return status;
}

/* A part that comes is one line: its values are in the catalogue, and the first change of one says what it was. One
 * that goes leaves all of them. */
snub_status snub_history_note(snub_catalogue *catalogue, const snub_part *old, const snub_part *now, snub_error *error)
{
    chronicler c = {catalogue, now ? now->key : old->key, !old ? "added" : !now ? "removed" : "changed"};
    return old ? snub_part_differ(old, now, note_field, &c, error) : note_field(&c, "", NULL, NULL, error);
}

snub_status snub_history_forget(snub_catalogue *catalogue, long long id, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status =
        snub_sql_prepare(catalogue, &statement,
                         "DELETE FROM change WHERE event = ?1 AND key = (SELECT key FROM part WHERE id = ?2)", error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_int64(statement, 1, catalogue->event);
    sqlite3_bind_int64(statement, 2, id);
    if (sqlite3_step(statement) != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "writing", error);
    sqlite3_finalize(statement);
    return status;
}
