/** A catalogue in a directory of its own, for the tests of the parts room. */
#ifndef TESTS_CATALOGUE_FIXTURE_H
#define TESTS_CATALOGUE_FIXTURE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "snub/parts.h"

typedef struct fixture {
    char directory[128], path[160];
    snub_catalogue *catalogue;
    snub_units *units;
    snub_arena arena;
    snub_errors errors;
} fixture;

static inline void assert_ok_at(snub_status status, const snub_error *error, const char *file, int line)
{
    if (status == SNUB_OK)
        return;
    print_error("%s:%d: got \"%s\": %s: %s (got %s, need %s), want ok\n", file, line, snub_status_text(status),
                error->key, error->message, error->got, error->need);
    _fail(file, line);
}
#define assert_ok(call, error) assert_ok_at((call), (error), __FILE__, __LINE__)

static inline int fixture_set_up(void **state)
{
    fixture *f = calloc(1, sizeof *f);
    snub_error error = {0};
    const char *base = getenv("TMPDIR");
    snprintf(f->directory, sizeof f->directory, "%s/snub-parts-XXXXXX", base && base[0] ? base : "/tmp");
    if (!mkdtemp(f->directory))
        return -1;
    snprintf(f->path, sizeof f->path, "%s/catalogue.db", f->directory);
    snub_arena_init(&f->arena, 0);
    if (snub_units_open(&f->units, &error) != SNUB_OK)
        return -1;
    if (snub_catalogue_open(f->path, SNUB_CATALOGUE_CREATE, 1, &f->catalogue, &error) != SNUB_OK) {
        print_error("%s\n", error.message);
        return -1;
    }
    *state = f;
    return 0;
}

static inline int fixture_tear_down(void **state)
{
    fixture *f = *state;
    char command[400];
    snub_catalogue_close(f->catalogue);
    snub_units_free(f->units);
    snub_arena_free(&f->arena);
    snub_errors_free(&f->errors);
    snprintf(command, sizeof command, "chmod -R u+w '%s' && rm -rf '%s'", f->directory, f->directory);
    int done = system(command);
    free(f);
    return done;
}

static inline void fixture_reopen(fixture *f, snub_catalogue_mode mode)
{
    snub_error error = {0};
    snub_catalogue_close(f->catalogue);
    f->catalogue = NULL;
    assert_ok(snub_catalogue_open(f->path, mode, 1, &f->catalogue, &error), &error);
}

/** Import a text; gives the status of finish (or of the failing feed) and the report. */
static inline snub_status fixture_import(fixture *f, const char *csv, const snub_import_options *options,
                                         snub_import_report *report)
{
    static const snub_import_options plain = {.kind = SNUB_PART_ANY};
    snub_error error = {0};
    snub_import *import = NULL;
    snub_import_report ignored;
    snub_errors_free(&f->errors);
    f->errors = (snub_errors){0};
    assert_ok(
        snub_import_open(f->catalogue, f->units, "parts.csv", options ? options : &plain, &f->errors, &import, &error),
        &error);
    snub_status status = snub_import_feed(import, csv, strlen(csv), &error);
    if (status == SNUB_OK)
        status = snub_import_finish(import, report ? report : &ignored, &error);
    snub_import_close(import);
    return status;
}

static inline void fixture_must_import(fixture *f, const char *csv)
{
    snub_status status = fixture_import(f, csv, NULL, NULL);
    for (int i = 0; status != SNUB_OK && i < f->errors.count; i++)
        print_error("line %d: %s: %s (got %s, need %s)\n", f->errors.items[i].place.line, f->errors.items[i].key,
                    f->errors.items[i].message, f->errors.items[i].got, f->errors.items[i].need);
    assert_int_equal(status, SNUB_OK);
}

static inline long long fixture_count(fixture *f)
{
    long long count = -1;
    snub_error error = {0};
    assert_ok(snub_catalogue_count(f->catalogue, SNUB_PART_ANY, &count, &error), &error);
    return count;
}

static inline const snub_part_value *value_of(const snub_part *part, const char *field)
{
    int count;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    for (int i = 0; i < count; i++)
        if (strcmp(fields[i].name, field) == 0)
            return &part->values[i];
    fail_msg("a %s has no %s", snub_part_kind_name(part->kind), field);
    return NULL;
}

#endif
