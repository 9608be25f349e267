/* Opening and closing the catalogue's file. */
#include "catalogue.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum {
    RETRY_MS = 20,       /* between tries where SQLite itself does not wait */
    CACHE_KIB = 32768,   /* pages kept in memory by a writer */
    LOG_BYTES = 16 << 20 /* the write-ahead log is cut back to this when it has been emptied */
};

static const double WAIT_MOST_S = 3600;

/* ---- where the file is ------------------------------------------------------------------------------------------ */

char *snub_catalogue_path(const char *given, snub_arena *arena)
{
    if (given)
        return snub_copy_text(arena, given);
    const char *named = getenv("SNUB_CATALOGUE");
    if (named && named[0])
        return snub_copy_text(arena, named);
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    if (data && data[0] == '/') /* the XDG rule: a relative one is to be ignored */
        return snub_format(arena, "%s/snub/catalogue.db", data);
    return home && home[0] == '/' ? snub_format(arena, "%s/.local/share/snub/catalogue.db", home) : NULL;
}

static snub_status look_at_file(const char *path, snub_catalogue_mode mode, bool *there, snub_error *error)
{
    struct stat about;
    snub_place place = {path, 0, 0, 0, 0};
    *there = stat(path, &about) == 0;
    if (!*there) {
        if (errno == ENOENT && (mode == SNUB_CATALOGUE_CREATE || mode == SNUB_CATALOGUE_BUILD))
            return SNUB_OK;
        if (errno == ENOENT)
            return snub_fail(error, SNUB_IO, &place, NULL, "there is no catalogue; create one with `snub parts init`");
        return snub_fail(error, SNUB_IO, &place, NULL, "%s", strerror(errno));
    }
    if (!S_ISREG(about.st_mode))
        return snub_fail(error, SNUB_IO, &place, NULL, "is not a regular file");
    return SNUB_OK;
}

/* ---- opening ---------------------------------------------------------------------------------------------------- */

static snub_status open_file(snub_catalogue *catalogue, double wait_s, snub_error *error)
{
    int flags = SQLITE_OPEN_FULLMUTEX | SQLITE_OPEN_EXRESCODE;
    flags |= catalogue->mode == SNUB_CATALOGUE_READ ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    const int code = catalogue->made ? snub_make_open(snub_new_file_path(catalogue->made), &catalogue->file)
                                     : sqlite3_open_v2(catalogue->path, &catalogue->file, flags, NULL);
    if (code != SQLITE_OK)
        return snub_sql_failed(catalogue, "opening", error);
    sqlite3_busy_timeout(catalogue->file, (int)(fmin(wait_s, WAIT_MOST_S) * 1000));
    sqlite3_db_config(catalogue->file, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    /* A writer's triggers feed the index of words, which this SQLite allows to a trusted schema only. */
    if (catalogue->mode == SNUB_CATALOGUE_READ)
        sqlite3_db_config(catalogue->file, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    if (catalogue->mode != SNUB_CATALOGUE_READ && sqlite3_db_readonly(catalogue->file, "main") == 1) {
        snub_place place = {catalogue->path, 0, 0, 0, 0};
        return snub_fail(error, SNUB_IO, &place, NULL, "the catalogue is read-only (the file or its folder)");
    }
    return SNUB_OK;
}

/* A reader of a write-ahead log needs a side file. Where the directory cannot be written to and there is no log, the
 * file is whole by itself and can be read as one that does not change. */
static snub_status open_unchanging(snub_catalogue *catalogue, snub_error *error)
{
    snub_text uri = {0}, log = {0};
    struct stat about;
    snub_text_printf(&log, "%s-wal", catalogue->path);
    snub_text_puts(&uri, catalogue->path[0] == '/' ? "file://" : "file:");
    for (const char *c = catalogue->path; *c; c++)
        if (strchr("%?#", *c))
            snub_text_printf(&uri, "%%%02X", (unsigned)(unsigned char)*c);
        else
            snub_text_add(&uri, c, 1);
    snub_text_puts(&uri, "?immutable=1");
    snub_status status = SNUB_OK;
    snub_place place = {catalogue->path, 0, 0, 0, 0};
    if (uri.failed || log.failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    else if (stat(log.data, &about) == 0 && about.st_size > 0)
        status =
            snub_fail(error, SNUB_IO, &place, NULL, "its log has changes that cannot be read from a read-only folder");
    if (status == SNUB_OK) {
        sqlite3_close_v2(catalogue->file);
        catalogue->file = NULL;
        int flags = SQLITE_OPEN_READONLY | SQLITE_OPEN_URI | SQLITE_OPEN_FULLMUTEX | SQLITE_OPEN_EXRESCODE;
        if (sqlite3_open_v2(uri.data, &catalogue->file, flags, NULL) != SQLITE_OK)
            status = snub_sql_failed(catalogue, "opening", error);
    }
    snub_text_free(&uri);
    snub_text_free(&log);
    return status;
}

/* SQLite does not wait by itself when two programs make the same file at once. */
static snub_status set_log(snub_catalogue *catalogue, double wait_s, snub_error *error)
{
    char sql[160];
    snprintf(sql, sizeof sql, "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA journal_size_limit = %d;",
             (int)LOG_BYTES);
    for (double waited_ms = 0;; waited_ms += RETRY_MS) {
        snub_status status = snub_sql_run(catalogue, sql, error);
        int code = sqlite3_extended_errcode(catalogue->file) & 0xFF;
        if (status == SNUB_OK || (code != SQLITE_BUSY && code != SQLITE_LOCKED) || waited_ms > wait_s * 1000)
            return status;
        sqlite3_sleep(RETRY_MS);
    }
}

static snub_status get_ready(snub_catalogue *catalogue, double wait_s, snub_error *error)
{
    int version = 0;
    snub_place place = {catalogue->path, 0, 0, 0, 0};
    snub_status status = snub_schema_look(catalogue, &version, error);
    int code = sqlite3_extended_errcode(catalogue->file) & 0xFF;
    if (status == SNUB_IO && catalogue->mode == SNUB_CATALOGUE_READ &&
        (code == SQLITE_CANTOPEN || code == SQLITE_READONLY)) {
        status = open_unchanging(catalogue, error);
        if (status == SNUB_OK)
            status = snub_schema_look(catalogue, &version, error);
    }
    if (status != SNUB_OK)
        return status;
    catalogue->version_found = version;
    if (version == 0 && (catalogue->mode == SNUB_CATALOGUE_READ || catalogue->mode == SNUB_CATALOGUE_WRITE))
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL, "is empty; make it a catalogue with `snub parts init`");
    if (catalogue->mode == SNUB_CATALOGUE_READ && version < SNUB_CATALOGUE_READABLE)
        return snub_fail(error, SNUB_BAD_INPUT, &place, NULL,
                         "is version %d; upgrade it to version %d with `snub parts init` (make a backup first)",
                         version, (int)SNUB_CATALOGUE_VERSION);
    if (catalogue->mode == SNUB_CATALOGUE_READ)
        return snub_sql_run(catalogue, "PRAGMA query_only = ON;", error);
    char sql[80];
    snprintf(sql, sizeof sql, "PRAGMA foreign_keys = ON; PRAGMA cache_size = -%d;", (int)CACHE_KIB);
    status = catalogue->made ? SNUB_OK : set_log(catalogue, wait_s, error);
    if (status == SNUB_OK)
        status = snub_sql_run(catalogue, sql, error);
    return status == SNUB_OK ? snub_schema_upgrade(catalogue, version, error) : status;
}

/* The same thread may ask for a part while it walks or imports. */
static bool make_lock(pthread_mutex_t *lock)
{
    pthread_mutexattr_t kind;
    if (pthread_mutexattr_init(&kind) != 0)
        return false;
    bool made = pthread_mutexattr_settype(&kind, PTHREAD_MUTEX_RECURSIVE) == 0 && pthread_mutex_init(lock, &kind) == 0;
    pthread_mutexattr_destroy(&kind);
    return made;
}

static snub_status make_handle(const char *path, snub_catalogue_mode mode, snub_catalogue **catalogue,
                               snub_error *error)
{
    snub_catalogue *made = calloc(1, sizeof *made);
    if (!made || !(made->path = strdup(path)) || !make_lock(&made->lock)) {
        if (made)
            free(made->path);
        free(made);
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    made->mode = mode;
    *catalogue = made;
    return SNUB_OK;
}

static snub_status open_or_begin(const char *path, snub_catalogue_mode mode, double wait_s, snub_catalogue **catalogue,
                                 snub_error *error)
{
    bool there = false;
    snub_catalogue *made = NULL;
    snub_status status = look_at_file(path, mode, &there, error);
    if (status == SNUB_OK)
        status = make_handle(path, mode, &made, error);
    if (status != SNUB_OK)
        return status;
    if (!there)
        status = snub_make_begin(made, error);
    if (status == SNUB_OK)
        status = open_file(made, wait_s, error);
    if (status == SNUB_OK)
        status = get_ready(made, wait_s, error);
    if (status != SNUB_OK) {
        snub_catalogue_close(made);
        /* the place of the message is the caller's path, which outlives what was just given back */
        if (error && error->place.file)
            error->place.file = path;
        return status;
    }
    *catalogue = made;
    return SNUB_OK;
}

/* One that is made empty has its place at once. Where another program was quicker, that one is opened. */
static snub_status place_empty(snub_catalogue **catalogue, const char *path, double wait_s, snub_error *error)
{
    snub_status status = snub_catalogue_place(*catalogue, error);
    snub_catalogue_close(*catalogue);
    *catalogue = NULL;
    if (status == SNUB_OK || status == SNUB_STOPPED)
        return open_or_begin(path, SNUB_CATALOGUE_WRITE, wait_s, catalogue, error);
    if (error && error->place.file)
        error->place.file = path;
    return status;
}

snub_status snub_catalogue_open(const char *path, snub_catalogue_mode mode, double wait_s, snub_catalogue **catalogue,
                                snub_error *error)
{
    snub_catalogue *opened = NULL;
    if (!path || !path[0])
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the catalogue has no path");
    snub_status status = open_or_begin(path, mode, wait_s, &opened, error);
    if (status == SNUB_OK && mode == SNUB_CATALOGUE_CREATE && opened->made)
        status = place_empty(&opened, path, wait_s, error);
    if (status == SNUB_OK)
        *catalogue = opened;
    return status;
}

bool snub_catalogue_is_new(const snub_catalogue *catalogue)
{
    return catalogue->made != NULL;
}

const char *snub_catalogue_new_file(const snub_catalogue *catalogue)
{
    return catalogue->made ? snub_new_file_path(catalogue->made) : NULL;
}

void snub_catalogue_sign(snub_catalogue *catalogue, const char *user, const char *at)
{
    catalogue->user = user;
    catalogue->at = at;
}

int snub_catalogue_version_found(const snub_catalogue *catalogue)
{
    return catalogue->version_found;
}

/* Every statement ends, what was begun is undone, and the file is closed. */
static void close_file(snub_catalogue *catalogue)
{
    for (int i = 0; i < SNUB_PART_KINDS; i++) {
        sqlite3_finalize(catalogue->select_kind[i]);
        sqlite3_finalize(catalogue->insert_kind[i]);
        catalogue->select_kind[i] = catalogue->insert_kind[i] = NULL;
    }
    sqlite3_stmt **kept[] = {&catalogue->select_part,   &catalogue->insert_part,  &catalogue->insert_source,
                             &catalogue->select_source, &catalogue->select_id,    &catalogue->delete_part,
                             &catalogue->insert_words,  &catalogue->insert_event, &catalogue->insert_change};
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++) {
        sqlite3_finalize(*kept[i]);
        *kept[i] = NULL;
    }
    if (catalogue->file)
        snub_sql_roll_back(catalogue);
    sqlite3_close_v2(catalogue->file);
    catalogue->file = NULL;
}

snub_status snub_catalogue_place(snub_catalogue *catalogue, snub_error *error)
{
    if (!catalogue->made)
        return SNUB_OK;
    /* with a log from the first day on: a reader never waits, and nobody need change the file to have one */
    snub_status status = snub_sql_run(catalogue, "PRAGMA journal_mode = WAL;", error);
    close_file(catalogue);
    if (status == SNUB_OK)
        status = snub_new_file_place(catalogue->made, false, catalogue->path, error);
    if (status == SNUB_OK) {
        snub_new_file_close(catalogue->made);
        catalogue->made = NULL;
        catalogue->folders_from = 0;
    }
    return status;
}

void snub_catalogue_close(snub_catalogue *catalogue)
{
    if (!catalogue)
        return;
    close_file(catalogue);
    snub_make_drop(catalogue);
    pthread_mutex_destroy(&catalogue->lock);
    free(catalogue->path);
    free(catalogue);
}
