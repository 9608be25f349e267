/* Files that a drive file or a house file names, from the folder of the file that names them. */
#include "beside.h"

#include <stdlib.h>
#include <string.h>

#include "files.h"

char *cli_beside(const char *from, const char *path, snub_arena *arena)
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
    *shown = cli_beside(from, path, arena);
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

snub_file_source cli_files_beside(cli_run *run)
{
    return (snub_file_source){read_file, run};
}
