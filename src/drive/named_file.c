/** Reading a file that another file names. */
#include "named_file.h"

snub_status snub_named_file(const snub_file_source *files, const snub_naming *naming, const char *path,
                            snub_arena *arena, const char **shown, const char **data, size_t *length,
                            snub_errors *errors)
{
    snub_error error = {0};
    const snub_status status =
        files->read(files->context, naming->from, naming->role, path, naming->most, arena, shown, data, length, &error);
    if (status == SNUB_OK || status == SNUB_STOPPED)
        return status;
    if (naming->place != NULL) {
        snprintf(error.got, sizeof error.got, "%.90s", path);
        error.place = *naming->place;
        snprintf(error.key, sizeof error.key, "%s", naming->key);
    }
    snub_errors_add(errors, &error);
    return status;
}
