/* snub measure belt FILE: fitted belts, and where the arm or the mark came to stand, against the drive file. */
#include "measures.h"
#include "progress.h"
#include "snub/cautions.h"
#include "snub/fitted.h"
#include "snub/report.h"

typedef struct job {
    cli_run *run;
    snub_measured_belt measured;
    cli_drive loaded;
    snub_row row;
    snub_build build;
    snub_fitted fitted;
} job;

static bool read_belt(job *j, const char *path)
{
    cli_run *run = j->run;
    snub_errors errors = {0};
    if (!cli_readings(run, path, SNUB_READ_BELT, &j->measured.document))
        return false;
    const snub_status status = snub_measured_belt_read(run->units, &run->arena, &j->measured, &errors);
    return cli_readings_told(run, &j->measured.document, &errors, status == SNUB_OK);
}

static bool take_drive(job *j)
{
    cli_run *run = j->run;
    const snub_named_rows named = cli_named(run);
    const snub_build_request request = cli_request(run);
    return cli_readings_drive(run, &j->measured.document, j->measured.drive, &j->loaded) &&
           cli_own_row(run, &j->loaded, &named, &j->row) &&
           cli_make_build(run, &j->loaded, &j->row, &request, &j->build);
}

static bool find(job *j)
{
    snub_errors errors = {0};
    cli_doing("fitting the belts");
    const snub_status status = snub_fitted_find(&j->measured, &j->loaded.document, &j->loaded.reading, &j->row,
                                                &j->build, &j->fitted, &errors);
    return cli_readings_told(j->run, &j->measured.document, &errors, status == SNUB_OK);
}

static int answer(const job *j)
{
    cli_run *run = j->run;
    const int code = snub_fitted_level(&j->fitted) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const unsigned cautions = j->build.drive->arm >= 0 ? SNUB_CAUTION_BIT(SNUB_CAUTION_SPRING) : 0;
    snub_text text = {0};
    snub_error error;
    if (run->json)
        return cli_readings_answer(run, snub_json_fitted(&j->fitted), &text, cautions, code);
    if (snub_text_fitted(&j->fitted, &look, &text, &error) == SNUB_OK)
        return cli_readings_answer(run, NULL, &text, cautions, code);
    snub_text_free(&text);
    return cli_error(&error, NULL, 0);
}

static int run_belt(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run};
    const int code = read_belt(j, run->operands[1]) && take_drive(j) && find(j) ? answer(j) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

int (*const cli_measure_belt)(cli_run *run) = CLI_FULL(run_belt);
