/* The house file beside a drive file, and its logo. */
#include "house.h"

#include <stdlib.h>
#include <string.h>

#include "files.h"

/* A path that does not start at the root is taken from the folder of the file that names it. */
static const char *beside(const char *from, const char *path, snub_arena *arena)
{
    const char *stroke = from != NULL ? strrchr(from, '/') : NULL;
    if (path[0] == '/' || stroke == NULL)
        return snub_copy_text(arena, path);
    return snub_format(arena, "%.*s%s", (int)(stroke - from + 1), from, path);
}

static snub_status read_file(void *context, const char *from, const char *role, const char *path, size_t most,
                             snub_arena *arena, const char **shown, const char **data, size_t *length,
                             snub_error *error)
{
    cli_run *run = context;
    char *bytes = NULL;
    *shown = beside(from, path, arena);
    if (*shown == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (!cli_reads(run, role, *shown)) /* told */
        return snub_fail(error, SNUB_STOPPED, NULL, NULL, "is an output of this run");
    snub_status status = snub_file_read(*shown, most, &bytes, length, error);
    if (status != SNUB_OK)
        return status;
    *data = snub_copy_text_n(arena, bytes, *length);
    free(bytes);
    return *data != NULL ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

bool cli_read_house(cli_run *run, cli_drive *loaded)
{
    const char *given = cli_value(run, "house"), *named = snub_document_house(&loaded->document);
    const char *path = given != NULL ? given : named;
    const snub_house_files files = {read_file, run};
    snub_errors errors = {0};
    if (path == NULL)
        return true;
    snub_house *house = SNUB_NEW(&run->arena, snub_house, 1);
    if (house == NULL)
        return cli_usage_error(run, "out of memory"), false;
    const snub_place *place = given != NULL ? NULL : &snub_node_get(loaded->document.root, "house")->place;
    const snub_status status = snub_house_read(given != NULL ? NULL : loaded->document.name, path, place, &files,
                                               run->units, &run->arena, house, &errors);
    if (status == SNUB_OK) {
        loaded->house = house;
        loaded->reading.house_digest = house->digest;
    } else if (status == SNUB_NO_MEMORY && errors.count == 0) {
        cli_usage_error(run, "out of memory");
    } else if (status !=
               SNUB_STOPPED) { /* a line of the drive file is shown where that names it, else one of the house file */
        const snub_document *at = house->document.source != NULL ? &house->document : &loaded->document;
        cli_errors(run, &errors, at->source, at->source_length);
    }
    snub_errors_free(&errors);
    return status == SNUB_OK;
}
