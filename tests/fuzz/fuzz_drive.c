/** Fuzz target of the drive file: parse, read and check with all on offer, then rewrite a value and read the result.
 *  The input's first line, where it begins with '#!', is a change "path=text" to be written into the rest.
 *  Asserted: a status other than OK comes with a mistake, and a rewritten file parses. */
#include <string.h>

#include "fuzz.h"
#include "snub/drive.h"

static void rewrite(const snub_document *document, char *path, char *text)
{
    snub_arena arena;
    snub_document again;
    snub_text out = {0};
    snub_error error = {0};
    snub_errors errors = {0};
    const snub_change change = {path, text};
    snub_arena_init(&arena, 64 << 20);
    if (snub_document_rewrite(document, &change, 1, &out, &error) == SNUB_OK)
        must(snub_document_parse("again", out.data, out.length, &arena, &again, &errors) == SNUB_OK);
    else
        must(error.message[0] != '\0' && out.data == NULL);
    snub_errors_free(&errors);
    snub_text_free(&out);
    snub_arena_free(&arena);
}

/** Splits "#!path=text\n" off the input. */
static size_t take_change(const char *data, size_t size, char *line, size_t room, char **text)
{
    const char *end = size > 2 && data[0] == '#' && data[1] == '!' ? memchr(data, '\n', size) : NULL;
    if (end == NULL || (size_t)(end - data) >= room)
        return 0;
    memcpy(line, data + 2, (size_t)(end - data) - 2);
    line[end - data - 2] = '\0';
    *text = strchr(line, '=');
    if (*text == NULL)
        return 0;
    *(*text)++ = '\0';
    return (size_t)(end - data) + 1;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena, work;
    snub_document document;
    snub_drive drive;
    snub_errors errors = {0};
    snub_text shown = {0};
    char line[512], *text = NULL;
    snub_reading reading = {.arena = &work};
    size_t taken = take_change((const char *)data, size, line, sizeof(line), &text);
    snub_arena_init(&arena, 64 << 20);
    snub_arena_init(&work, 64 << 20);
    reading.units = fuzz_units();
    snub_status status =
        snub_document_parse("fuzz", (const char *)data + taken, size - taken, &arena, &document, &errors);
    must((status == SNUB_OK) == (errors.count == 0));
    if (status == SNUB_OK) {
        if (taken > 0)
            rewrite(&document, line, text);
        status = snub_drive_read(&document, &reading, &drive, &errors);
        must((status == SNUB_OK) == (errors.count == 0));
        int values = 0;
        for (int i = 0; status == SNUB_OK && i < drive.option_count; i++)
            values += drive.options[i].count;
        if (status == SNUB_OK && values + drive.variant_count < 50)
            snub_drive_check(&document, &reading, &drive, &errors);
    }
    for (int i = 0; i < errors.count && i < 5; i++)
        snub_error_render(&errors.items[i], document.source, document.source_length, &shown);
    snub_text_free(&shown);
    snub_errors_free(&errors);
    snub_arena_free(&work);
    snub_arena_free(&arena);
    return 0;
}
