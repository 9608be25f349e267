/* A whole copy of the catalogue, put in place at once. */
#include "catalogue.h"

#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* One step copies every page under one read transaction: other programs may write meanwhile without effect on it. */
static snub_status copy_pages(snub_catalogue *catalogue, snub_catalogue *copy, snub_error *error)
{
    sqlite3_backup *backup = sqlite3_backup_init(copy->file, "main", catalogue->file, "main");
    if (!backup)
        return snub_sql_failed(copy, "backup", error);
    int step = sqlite3_backup_step(backup, -1);
    int finish = sqlite3_backup_finish(backup);
    if (step == SQLITE_DONE && finish == SQLITE_OK)
        return SNUB_OK;
    return sqlite3_errcode(copy->file) != SQLITE_OK ? snub_sql_failed(copy, "backup", error)
                                                    : snub_sql_failed(catalogue, "backup", error);
}

/* The copy needs no log beside it, and is sound. */
static snub_status prove(snub_catalogue *copy, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_run(copy, "PRAGMA journal_mode = DELETE;", error);
    if (status == SNUB_OK)
        status = snub_sql_prepare(copy, &statement, "PRAGMA integrity_check(1)", error);
    if (status == SNUB_OK && sqlite3_step(statement) != SQLITE_ROW)
        status = snub_sql_failed(copy, "reading", error);
    else if (status == SNUB_OK && strcmp((const char *)sqlite3_column_text(statement, 0), "ok") != 0)
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the copy is damaged: %.200s",
                           (const char *)sqlite3_column_text(statement, 0));
    sqlite3_finalize(statement);
    return status;
}

/* No program but this one has it open: so its log, which it has as its original has one, needs no file to share it. */
static snub_status make_copy(snub_catalogue *catalogue, const char *path, snub_error *error)
{
    snub_catalogue copy = {.path = (char *)path, .mode = SNUB_CATALOGUE_BUILD};
    snub_status status = snub_make_open(path, &copy.file) == SQLITE_OK ? copy_pages(catalogue, &copy, error)
                                                                       : snub_sql_failed(&copy, "backup", error);
    if (status == SNUB_OK)
        status = prove(&copy, error);
    sqlite3_close(copy.file);
    return status;
}

snub_status snub_catalogue_backup(snub_catalogue *catalogue, const char *path, bool over, snub_error *error)
{
    snub_place place = {path, 0, 0, 0, 0};
    struct stat about;
    if (stat(path, &about) == 0 && !S_ISREG(about.st_mode))
        return snub_fail(error, SNUB_IO, &place, NULL, "is not a regular file: give the name of one");
    /* By whatever name: replacing it by its own copy would pull it from under other programs. */
    if (snub_file_same(catalogue->path, path))
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL, "is the catalogue itself");
    if (!over && access(path, F_OK) == 0)
        return snub_fail(error, SNUB_IO, &place, NULL, "already exists; use --force to replace it");
    snub_new_file *made = NULL;
    snub_status status = snub_new_file_open(path, &made, error);
    if (status != SNUB_OK)
        return status;
    pthread_mutex_lock(&catalogue->lock);
    status = make_copy(catalogue, snub_new_file_path(made), error);
    pthread_mutex_unlock(&catalogue->lock);
    if (status == SNUB_OK)
        status = snub_new_file_place(made, over, path, error);
    if (status == SNUB_STOPPED)
        status = snub_fail(error, SNUB_IO, &place, NULL, "already exists; use --force to replace it");
    if (status != SNUB_OK && error && error->place.file == snub_new_file_path(made))
        error->place.file = path;
    snub_new_file_close(made);
    return status;
}
