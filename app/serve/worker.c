/* What a worker of the server has of its own: units, an open catalogue, and the folder that maps lie in. */
#include "handlers.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A name beside the drive file, never a path that leaves the folder. NULL: memory is out */
static const char *name_beside(const snub_document *document, const char *path, snub_arena *arena)
{
    const char *stroke = strrchr(document->name, '/');
    return stroke ? snub_format(arena, "%.*s%s", (int)(stroke - document->name + 1), document->name, path) : path;
}

/* A table of measured values. */
static snub_status read_text(void *context, const snub_document *document, const char *path, snub_arena *arena,
                             const char **text, size_t *length, snub_errors *errors)
{
    const serve_worker *worker = context;
    const char *name = name_beside(document, path, arena);
    char *data = NULL;
    snub_error error = {0};
    if (!name)
        return SNUB_NO_MEMORY;
    const snub_status status = serve_folder_read_map(worker->folder, name, &data, length, &error);
    if (status)
        snub_errors_add(errors, &error);
    *text = status ? NULL : snub_copy_text_n(arena, data, *length);
    free(data);
    return status || *text ? status : SNUB_NO_MEMORY;
}

static snub_status read_map(void *context, const snub_document *document, const char *path, snub_units *units,
                            snub_arena *arena, snub_blower *blower, snub_errors *errors)
{
    const serve_worker *worker = context;
    const char *name = name_beside(document, path, arena);
    char *data = NULL;
    size_t length = 0;
    snub_error error = {0};
    if (!name)
        return SNUB_NO_MEMORY;
    snub_status status = serve_folder_read_map(worker->folder, name, &data, &length, &error);
    if (status)
        snub_errors_add(errors, &error);
    else
        status = snub_blower_map_read(name, data, length, units, arena, blower, errors);
    free(data);
    return status;
}

snub_status serve_worker_open(serve_worker *worker, const serve_folder *folder, const char *catalogue,
                              snub_error *error)
{
    enum { WAIT_SECONDS = 5 };
    worker->folder = folder;
    worker->of_folder = (snub_map_source){read_map, worker, read_text};
    worker->maps = &worker->of_folder;
    snub_arena_init(&worker->arena, SERVE_MEMORY_MOST);
    snub_status status = snub_units_open(&worker->units, error);
    if (!status && catalogue)
        status = snub_catalogue_open(catalogue, SNUB_CATALOGUE_READ, WAIT_SECONDS, &worker->catalogue, error);
    if (!status && catalogue)
        snub_parts_source(worker->catalogue, &worker->of_catalogue);
    worker->parts = worker->catalogue ? &worker->of_catalogue : NULL;
    return status;
}

void serve_worker_close(serve_worker *worker)
{
    snub_units_free(worker->units);
    worker->units = NULL;
    snub_catalogue_close(worker->catalogue);
    worker->catalogue = NULL;
    snub_arena_free(&worker->arena);
}
