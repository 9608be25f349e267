/* What the kinds of snub measure share. */
#include "measures.h"

#include "beside.h"
#include "files.h"
#include "progress.h"
#include "snub/cautions.h"
#include "snub/report.h"

bool cli_readings_told(const cli_run *run, const snub_document *d, snub_errors *errors, bool good)
{
    if (!good && errors->count == 0)
        cli_usage_error(run, "out of memory");
    else if (!good)
        cli_errors(run, errors, d->source, d->source_length);
    snub_errors_free(errors);
    return good;
}

bool cli_readings(cli_run *run, const char *path, snub_readings kind, snub_document *document)
{
    snub_errors errors = {0};
    if (!cli_reads(run, "file of readings", path))
        return false;
    cli_doing("reading the readings");
    snub_status status = cli_read_document(run, path, document, &errors);
    if (status == SNUB_OK && snub_readings_refuse(document, kind, &errors))
        status = SNUB_BAD_INPUT;
    if (status == SNUB_OK && snub_node_get(document->root, "units") != NULL) {
        if (!cli_has(run, "inches") && !cli_has(run, "metric"))
            run->locale.inches = snub_document_inches(document);
        run->units_known = true;
    }
    return cli_readings_told(run, document, &errors, status == SNUB_OK);
}

bool cli_readings_drive(cli_run *run, const snub_document *readings, const char *drive, cli_drive *loaded)
{
    if (drive == NULL)
        return true;
    const char *path = cli_beside(readings->name, drive, &run->arena);
    return path != NULL ? cli_load(run, path, loaded) : (cli_usage_error(run, "out of memory"), false);
}

bool cli_readings_stopped(cli_run *run, const snub_document *readings, const char *drive, cli_drive *loaded,
                          snub_build *build, snub_state *state)
{
    const snub_wanted_state stopped = {0};
    if (!cli_readings_drive(run, readings, drive, loaded) || !cli_one_build(run, loaded, build) ||
        !cli_state(run, loaded, build, &stopped, state))
        return false;
    if (!state->solved)
        cli_usage_error(run, "the belt of %s has no balance with the engine stopped: snub check says why",
                        loaded->document.name);
    return state->solved;
}

int cli_readings_answer(cli_run *run, struct json_t *json, snub_text *text, unsigned cautions, int code)
{
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    int shown;
    if (run->json) {
        shown = cli_print_json(run, json, code);
    } else {
        snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_STOPPED) | SNUB_CAUTION_BIT(SNUB_CAUTION_BATTERY) | cautions,
                           &look, text);
        shown = cli_print(run, text, code);
    }
    snub_text_free(text);
    return shown;
}
