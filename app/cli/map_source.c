/* Blower maps and tables from files beside the drive file. */
#include "map_source.h"
#include "beside.h"

#include <stdlib.h>

#include "snub/demand.h"

enum { MAP_BYTES_MOST = 4 << 20 };

char *cli_map_path(const snub_document *document, const char *path, snub_arena *arena)
{
    return cli_beside(document->name, path, arena);
}

/* @param[out] whole  path, in the arena; data  malloc'd */
static snub_status load(const snub_document *document, const char *path, snub_arena *arena, char **whole, char **data,
                        size_t *length, snub_errors *errors)
{
    snub_error error;
    *whole = cli_map_path(document, path, arena);
    if (!*whole)
        return SNUB_NO_MEMORY;
    const snub_status status = snub_file_read(*whole, MAP_BYTES_MOST, data, length, &error);
    if (status != SNUB_OK)
        snub_errors_add(errors, &error);
    return status;
}

static snub_status read_map(void *context, const snub_document *document, const char *path, snub_units *units,
                            snub_arena *arena, snub_blower *blower, snub_errors *errors)
{
    char *data, *whole;
    size_t length;
    (void)context;
    snub_status status = load(document, path, arena, &whole, &data, &length, errors);
    if (status != SNUB_OK)
        return status;
    status = snub_blower_map_read(whole, data, length, units, arena, blower, errors);
    free(data);
    return status;
}

static snub_status read_text(void *context, const snub_document *document, const char *path, snub_arena *arena,
                             const char **text, size_t *length, snub_errors *errors)
{
    char *data, *whole;
    (void)context;
    const snub_status status = load(document, path, arena, &whole, &data, length, errors);
    if (status != SNUB_OK)
        return status;
    *text = snub_copy_text_n(arena, data, *length);
    free(data);
    return *text ? SNUB_OK : SNUB_NO_MEMORY;
}

const snub_map_source cli_map_source = {read_map, NULL, read_text};
