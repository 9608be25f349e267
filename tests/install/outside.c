/* A program outside of the tree: reads a drive file, settles the build, prints belt and verdict.
 * docs/guide/library.md shows it. */
#include <stdio.h>

#include <snub/kit.h>

int main(int count, char **arguments)
{
    snub_arena arena = {0};
    snub_units *units = NULL;
    snub_errors errors = {0};
    snub_error error = {0};
    snub_document document;
    snub_row row;
    snub_build build;
    const snub_build_request request = {0};
    if (count != 2 || snub_units_open(&units, &error) != SNUB_OK)
        return 2;
    const snub_reading reading = {.units = units, .arena = &arena};
    const bool good = snub_document_read(arguments[1], &arena, &document, &errors) == SNUB_OK &&
                      snub_row_own(&document, &reading, &(snub_named_rows){0}, &row, &errors) == SNUB_OK &&
                      snub_build_make(&document, &reading, &row, &request, &build, &errors) == SNUB_OK;
    if (good)
        printf("%s %s\n", build.designation, snub_level_text(build.verdict));
    for (int i = 0; i < errors.count; i++)
        fprintf(stderr, "%d: %s: %s\n", errors.items[i].place.line, errors.items[i].key, errors.items[i].message);
    snub_errors_free(&errors);
    snub_units_free(units);
    snub_arena_free(&arena);
    return good ? 0 : 2;
}
