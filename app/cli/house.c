/* The house file beside a drive file. */
#include "house.h"

#include "beside.h"

bool cli_read_house(cli_run *run, cli_drive *loaded)
{
    const char *given = cli_value(run, "house"), *named = snub_document_house(&loaded->document);
    const char *path = given != NULL ? given : named;
    const snub_file_source files = cli_files_beside(run);
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
