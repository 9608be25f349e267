/** A drive from text or file, for tests: prints every mistake and fails the test where there is one. */
#ifndef TESTS_DRIVE_TEXT_H
#define TESTS_DRIVE_TEXT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "snub/drive.h"
#include "support/near.h"

typedef struct drive_text {
    snub_arena arena;
    snub_units *units;
    snub_document document;
    snub_reading reading;
    snub_drive drive;
} drive_text;

static inline void drive_text_errors(snub_errors *errors)
{
    for (int i = 0; i < errors->count; i++) {
        const snub_error *e = &errors->items[i];
        print_error("%d:%d: %s: %s (got %s, need %s)\n", e->place.line, e->place.column, e->key, e->message, e->got,
                    e->need);
    }
    snub_errors_free(errors);
}

static inline void drive_text_open(drive_text *t, const char *text)
{
    snub_errors errors = {0};
    memset(t, 0, sizeof *t);
    snub_arena_init(&t->arena, 0);
    assert_int_equal(snub_units_open(&t->units, NULL), SNUB_OK);
    t->reading.units = t->units;
    t->reading.arena = &t->arena;
    snub_status status = snub_document_parse("test.yaml", text, strlen(text), &t->arena, &t->document, &errors);
    if (status == SNUB_OK)
        status = snub_drive_read(&t->document, &t->reading, &t->drive, &errors);
    drive_text_errors(&errors);
    assert_int_equal(status, SNUB_OK);
}

static inline void drive_text_open_file(drive_text *t, const char *path)
{
    char *data;
    size_t length;
    assert_int_equal(snub_file_read(path, SNUB_FILE_BYTES_MOST, &data, &length, NULL), SNUB_OK);
    drive_text_open(t, data);
    free(data);
}

static inline void drive_text_close(drive_text *t)
{
    snub_units_free(t->units);
    snub_arena_free(&t->arena);
}

#endif
