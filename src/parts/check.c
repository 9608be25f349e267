/* Is the catalogue sound: as a database, and as a catalogue. */
#include "catalogue.h"

#include <string.h>

typedef struct checker {
    snub_catalogue *catalogue;
    snub_errors *errors;
    long long parts;
} checker;

static void note(checker *c, const char *key, const char *format, const char *text)
{
    snub_error wrong;
    snub_place place = {c->catalogue->path, 0, 0, 0, 0};
    snub_fail(&wrong, SNUB_BAD_INPUT, &place, NULL, format, text);
    snub_put_text(wrong.key, sizeof wrong.key, key);
    snub_errors_add(c->errors, &wrong);
}

/* Note every row of a question's first column, but for `fine`. */
static snub_status note_rows(checker *c, const char *sql, const char *format, const char *fine, snub_error *error)
{
    sqlite3_stmt *statement = NULL;
    snub_status status = snub_sql_prepare(c->catalogue, &statement, sql, error);
    int step = SQLITE_DONE;
    while (status == SNUB_OK && (step = sqlite3_step(statement)) == SQLITE_ROW) {
        const char *text = (const char *)sqlite3_column_text(statement, 0);
        if (text && (!fine || strcmp(text, fine) != 0))
            note(c, "", format, text);
    }
    sqlite3_finalize(statement);
    if (status == SNUB_OK && step == SQLITE_CORRUPT)
        note(c, "", "%s", "the database is damaged");
    else if (status == SNUB_OK && step != SQLITE_DONE)
        status = snub_sql_failed(c->catalogue, "reading", error);
    return status;
}

static snub_status check_kinds(checker *c, snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int kind = 0; kind < SNUB_PART_KINDS && status == SNUB_OK; kind++) {
        const char *name = snub_part_kind_name((snub_part_kind)kind);
        snub_text sql = {0};
        snub_text_printf(&sql,
                         "SELECT p.key FROM part p LEFT JOIN %s k ON k.part = p.id"
                         " WHERE (p.kind = '%s') <> (k.part IS NOT NULL)",
                         name, name);
        status = sql.failed
                     ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                     : note_rows(c, sql.data, "part \"%.100s\" has no sizes, or those of another kind", NULL, error);
        snub_text_free(&sql);
    }
    return status;
}

static snub_status check_one(void *context, const snub_part *part, snub_error *error)
{
    checker *c = context;
    snub_error wrong;
    (void)error;
    c->parts++;
    if (snub_part_check(part, &wrong) != SNUB_OK) {
        snub_place place = {c->catalogue->path, 0, 0, 0, 0};
        wrong.place = place;
        char field[sizeof wrong.key];
        snub_put_text(field, sizeof field, wrong.key);
        snub_text key = {0};
        snub_text_printf(&key, "%.60s.%s", part->key, field);
        snub_put_text(wrong.key, sizeof wrong.key, key.data ? key.data : "");
        snub_text_free(&key);
        snub_errors_add(c->errors, &wrong);
    }
    return SNUB_OK;
}

/* FTS5 checks its index against the table by a special insert, which a reader may not do. It changes nothing. */
static void check_words(checker *c)
{
    static const char sql[] = "INSERT INTO part_text(part_text, rank) VALUES ('integrity-check', 1)";
    if (c->catalogue->mode == SNUB_CATALOGUE_READ)
        return;
    if (sqlite3_exec(c->catalogue->file, sql, NULL, NULL, NULL) != SQLITE_OK)
        note(c, "", "the search index does not match the parts (%s)", sqlite3_errmsg(c->catalogue->file));
}

snub_status snub_catalogue_check(snub_catalogue *catalogue, snub_errors *errors, long long *parts, snub_error *error)
{
    checker c = {catalogue, errors, 0};
    int before = errors->count;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = note_rows(&c, "PRAGMA integrity_check(100)", "%.250s", "ok", error);
    if (status == SNUB_OK)
        status = note_rows(&c,
                           "SELECT \"table\" || ' row ' || rowid || ' refers to a ' || parent || ' that does not exist'"
                           " FROM pragma_foreign_key_check",
                           "%.250s", NULL, error);
    if (status == SNUB_OK && errors->count == before)
        status = check_kinds(&c, error);
    if (status == SNUB_OK && errors->count == before) {
        check_words(&c);
        status = snub_catalogue_walk(catalogue, SNUB_PART_ANY, check_one, &c, error);
    }
    pthread_mutex_unlock(&catalogue->lock);
    *parts = c.parts;
    return status;
}
