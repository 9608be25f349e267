/* snub measure spread FILE: strips of paper, measuring balls and worn belts against the drive file. */
#include "measures.h"
#include "snub/report.h"
#include "snub/spread.h"

typedef struct job {
    cli_run *run;
    snub_measured_spread measured;
    cli_drive loaded;
    snub_build build;
    snub_state state;
    snub_spread spread;
} job;

static bool read_spread(job *j, const char *path)
{
    cli_run *run = j->run;
    snub_errors errors = {0};
    if (!cli_readings(run, path, SNUB_READ_SPREAD, &j->measured.document))
        return false;
    const snub_status status = snub_measured_spread_read(run->units, &run->arena, &j->measured, &errors);
    return cli_readings_told(run, &j->measured.document, &errors, status == SNUB_OK);
}

static bool find(job *j)
{
    snub_errors errors = {0};
    if (!cli_readings_stopped(j->run, &j->measured.document, j->measured.drive, &j->loaded, &j->build, &j->state))
        return false;
    const snub_status status =
        snub_spread_find(&j->measured, &j->build, &j->state, &j->run->arena, &j->spread, &errors);
    return cli_readings_told(j->run, &j->measured.document, &errors, status == SNUB_OK);
}

static int answer(const job *j)
{
    cli_run *run = j->run;
    const int code = snub_spread_level(&j->spread) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    snub_text text = {0};
    snub_error error;
    if (run->json)
        return cli_readings_answer(run, snub_json_spread(&j->spread), &text, 0, code);
    if (snub_text_spread(&j->spread, &look, &text, &error) == SNUB_OK)
        return cli_readings_answer(run, NULL, &text, 0, code);
    snub_text_free(&text);
    return cli_error(&error, NULL, 0);
}

static int run_spread(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run};
    const int code = read_spread(j, run->operands[1]) && find(j) ? answer(j) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

int (*const cli_measure_spread)(cli_run *run) = CLI_FULL(run_spread);
