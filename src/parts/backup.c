/* A whole copy of the catalogue, put in place at once. */
#include "catalogue.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static snub_status refused(const char *path, const char *what, snub_error *error)
{
    snub_place place = {path, 0, 0, 0, 0};
    return snub_fail(error, SNUB_IO, &place, NULL, "%s: %s", what, strerror(errno));
}

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

static snub_status make_copy(snub_catalogue *catalogue, char *path, snub_error *error)
{
    snub_catalogue copy = {.path = path, .mode = SNUB_CATALOGUE_CREATE};
    int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_FULLMUTEX | SQLITE_OPEN_EXRESCODE;
    snub_status status = sqlite3_open_v2(path, &copy.file, flags, NULL) == SQLITE_OK
                             ? copy_pages(catalogue, &copy, error)
                             : snub_sql_failed(&copy, "backup", error);
    if (status == SNUB_OK)
        status = prove(&copy, error);
    sqlite3_close(copy.file);
    return status;
}

static snub_status sync_file(const char *path, snub_error *error)
{
    int file = open(path, O_RDONLY);
    if (file < 0)
        return refused(path, "copy", error);
    int done = fsync(file);
    snub_status status = done == 0 ? SNUB_OK : refused(path, "copy", error);
    close(file);
    return status;
}

/* link() fails where there is a file already: so that two backups cannot take the same name. A memory stick may know
 * no links: there it is looked at first, and moved. */
static snub_status put_in_place(const char *from, const char *path, bool over, snub_error *error)
{
    if (over ? rename(from, path) == 0 : link(from, path) == 0)
        return SNUB_OK;
    snub_place place = {path, 0, 0, 0, 0};
    if (!over && errno != EEXIST && access(path, F_OK) != 0 && rename(from, path) == 0)
        return SNUB_OK;
    if (errno == EEXIST)
        return snub_fail(error, SNUB_IO, &place, NULL, "already exists; use --force to replace it");
    return refused(path, "backup", error);
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
    size_t room = strlen(path) + sizeof "-XXXXXX-journal";
    char *temporary = malloc(room), *journal = malloc(room);
    int file = -1;
    snub_status status = SNUB_OK;
    if (!temporary || !journal)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (status == SNUB_OK) {
        snprintf(temporary, room, "%s-XXXXXX", path);
        file = mkstemp(temporary);
        status = file >= 0 ? SNUB_OK : refused(path, "backup", error);
    }
    if (file >= 0) {
        fchmod(file, S_IRUSR | S_IWUSR | S_IRGRP | S_IROTH);
        close(file);
        pthread_mutex_lock(&catalogue->lock);
        status = make_copy(catalogue, temporary, error);
        pthread_mutex_unlock(&catalogue->lock);
        if (status == SNUB_OK)
            status = sync_file(temporary, error);
        if (status == SNUB_OK)
            status = put_in_place(temporary, path, over, error);
        unlink(temporary); /* gone already where it was renamed */
        snprintf(journal, room, "%s-journal", temporary);
        unlink(journal);
        if (status != SNUB_OK && error && error->place.file == temporary)
            error->place.file = path;
    }
    free(temporary);
    free(journal);
    return status;
}
