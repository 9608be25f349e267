/* SQLite's answers, turned into statuses and sentences. */
#include "catalogue.h"

/* The reason in words that say what to do; NULL: SQLite's own words. */
static const char *reason(int code, snub_status *status)
{
    *status = SNUB_IO;
    switch (code & 0xFF) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED: return "another program is writing to the catalogue; try again when it is done";
    case SQLITE_FULL: return "no space left for the catalogue; nothing was changed";
    case SQLITE_READONLY: return "the catalogue is read-only (the file or its folder)";
    case SQLITE_PERM:
    case SQLITE_AUTH: return "permission denied";
    case SQLITE_CANTOPEN: return "cannot be opened";
    case SQLITE_NOMEM: *status = SNUB_NO_MEMORY; return "out of memory";
    case SQLITE_NOTADB: *status = SNUB_BAD_INPUT; return "is not a snub catalogue (not an SQLite database)";
    case SQLITE_CORRUPT: *status = SNUB_BAD_INPUT; return "is damaged; restore a backup";
    case SQLITE_IOERR:
        if (code == SQLITE_IOERR_WRITE || code == SQLITE_IOERR_FSYNC || code == SQLITE_IOERR_TRUNCATE ||
            code == SQLITE_IOERR_SHMSIZE || code == SQLITE_IOERR_SHMMAP)
            return "the system refused to write (disk full or file size limit?); nothing was changed";
        return "the system refused to read or to write";
    default: return NULL;
    }
}

snub_status snub_sql_failed(snub_catalogue *catalogue, const char *doing, snub_error *error)
{
    snub_status status;
    int code = catalogue->file ? sqlite3_extended_errcode(catalogue->file) : SQLITE_NOMEM;
    const char *text = reason(code, &status);
    snub_place place = {catalogue->path, 0, 0, 0, 0};
    snub_author writer;
    if (((code & 0xFF) == SQLITE_BUSY || (code & 0xFF) == SQLITE_LOCKED) && snub_writer_look(catalogue, &writer))
        return snub_fail(error, status, &place, NULL,
                         "%s on %s has been writing to the catalogue since %s; try again when that is done",
                         writer.user, writer.host, writer.at);
    if (text)
        return snub_fail(error, status, &place, NULL, "%s", text);
    return snub_fail(error, status, &place, NULL, "%s: %s", doing,
                     catalogue->file ? sqlite3_errmsg(catalogue->file) : "no database");
}

snub_status snub_sql_run(snub_catalogue *catalogue, const char *sql, snub_error *error)
{
    return sqlite3_exec(catalogue->file, sql, NULL, NULL, NULL) == SQLITE_OK
               ? SNUB_OK
               : snub_sql_failed(catalogue, "catalogue", error);
}

snub_status snub_sql_prepare(snub_catalogue *catalogue, sqlite3_stmt **statement, const char *sql, snub_error *error)
{
    return sqlite3_prepare_v2(catalogue->file, sql, -1, statement, NULL) == SQLITE_OK
               ? SNUB_OK
               : snub_sql_failed(catalogue, "catalogue", error);
}

snub_status snub_sql_keep(snub_catalogue *catalogue, sqlite3_stmt **statement, const char *sql, snub_error *error)
{
    if (*statement) {
        sqlite3_reset(*statement);
        sqlite3_clear_bindings(*statement);
        return SNUB_OK;
    }
    return sqlite3_prepare_v3(catalogue->file, sql, -1, SQLITE_PREPARE_PERSISTENT, statement, NULL) == SQLITE_OK
               ? SNUB_OK
               : snub_sql_failed(catalogue, "catalogue", error);
}

snub_status snub_sql_integer(snub_catalogue *catalogue, const char *sql, long long *value, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(catalogue, &statement, sql, error);
    if (status == SNUB_OK) {
        if (sqlite3_step(statement) == SQLITE_ROW)
            *value = sqlite3_column_int64(statement, 0);
        else
            status = snub_sql_failed(catalogue, "reading", error);
    }
    sqlite3_finalize(statement);
    return status;
}

const char *snub_sql_text(sqlite3_stmt *statement, int column, snub_arena *arena)
{
    const char *text = (const char *)sqlite3_column_text(statement, column);
    return text ? snub_copy_text(arena, text) : NULL;
}

snub_status snub_sql_begin(snub_catalogue *catalogue, snub_error *error)
{
    const snub_status status = snub_sql_run(catalogue, "BEGIN IMMEDIATE", error);
    catalogue->event = 0;
    catalogue->file_read = NULL;
    if (status == SNUB_OK)
        snub_writer_note(catalogue);
    return status;
}

snub_status snub_sql_commit(snub_catalogue *catalogue, snub_error *error)
{
    snub_writer_gone(catalogue); /* while the place is still ours: the next writer leaves its own */
    snub_status status = snub_sql_run(catalogue, "COMMIT", error);
    if (status != SNUB_OK)
        snub_sql_roll_back(catalogue);
    return status;
}

void snub_sql_roll_back(snub_catalogue *catalogue)
{
    snub_writer_gone(catalogue);
    if (!sqlite3_get_autocommit(catalogue->file))
        sqlite3_exec(catalogue->file, "ROLLBACK", NULL, NULL, NULL);
}

snub_status snub_sql_look(snub_catalogue *catalogue, bool *own, snub_error *error)
{
    *own = sqlite3_get_autocommit(catalogue->file) != 0;
    return *own ? snub_sql_run(catalogue, "BEGIN", error) : SNUB_OK;
}

void snub_sql_looked(snub_catalogue *catalogue, bool own)
{
    if (own && !sqlite3_get_autocommit(catalogue->file))
        sqlite3_exec(catalogue->file, "COMMIT", NULL, NULL, NULL); /* nothing was written: it cannot fail to matter */
}
