/* Pictures of steps, beside the drive file. */
#include "pictures.h"

#include "beside.h"

bool cli_read_pictures(cli_run *run, cli_drive *loaded)
{
    const snub_file_source files = cli_files_beside(run);
    snub_errors errors = {0};
    const snub_status status =
        snub_pictures_read(&loaded->document, loaded->reading.overlays, loaded->reading.overlay_count, &files,
                           &run->arena, &loaded->pictures, &errors);
    if (status == SNUB_OK && loaded->pictures.count > 0)
        loaded->reading.picture_digest = loaded->pictures.digest;
    if (status == SNUB_NO_MEMORY && errors.count == 0)
        return cli_usage_error(run, "out of memory"), false;
    if (status == SNUB_STOPPED)
        return snub_errors_free(&errors), false; /* told by the guard of the outputs */
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}
