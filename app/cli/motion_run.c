/* snub motion FILE --run NAME. */
#include "motion_run.h"

#include <math.h>
#include <string.h>

#include "plot_file.h"
#include "progress.h"
#include "snub/report.h"
#include "snub/scenario_plot.h"

const char *const cli_run_names[] = {"pull", "shift", "lift", "blip", "launch", "hold", "engage", NULL};

#ifndef SNUB_LIGHT /* else its calls would have the linker load what solves and draws */

static const double SAMPLE = 1e-3, HELD = 2.0; /* s */

static bool tell(double time, double length, void *context)
{
    (void)context;
    cli_done((long long)(1000.0 * time), (long long)(1000.0 * length));
    return true;
}

/* @return false: told */
static bool read_request(cli_run *run, snub_scenario_request *request)
{
    const char *name = cli_value(run, "run");
    int which = 0;
    while (which < SNUB_SCENARIOS_ - 1 && strcmp(name, cli_run_names[which]) != 0)
        which++;
    *request = (snub_scenario_request){.scenario = (snub_scenario)which,
                                       .speed = NAN,
                                       .length = HELD,
                                       .sample = SAMPLE,
                                       .even = cli_has(run, "even"),
                                       .progress = tell};
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &request->speed) ||
        !cli_quantity(run, "seconds", SNUB_Q_TIME, &request->length) ||
        !cli_quantity(run, "every", SNUB_Q_TIME, &request->sample) ||
        !cli_quantity(run, "clutch-torque", SNUB_Q_TORQUE, &request->clutch_torque) ||
        !cli_quantity(run, "clutch-rise", SNUB_Q_TIME, &request->clutch_rise))
        return false;
    const bool held = request->scenario >= SNUB_SCENARIO_HOLD, engages = request->scenario == SNUB_SCENARIO_ENGAGE;
    const char *wrong =
        !held && cli_has(run, "rpm") ? "--rpm goes with --run hold and engage; the other runs have speeds of their own"
        : !held && cli_has(run, "seconds")
            ? "--seconds goes with --run hold and engage; the other runs end by themselves"
        : !engages && cli_has(run, "clutch-torque")                        ? "--clutch-torque goes with --run engage"
        : !engages && cli_has(run, "clutch-rise")                          ? "--clutch-rise goes with --run engage"
        : cli_has(run, "clutch-torque") && !(request->clutch_torque > 0.0) ? "--clutch-torque must be over 0"
        : cli_has(run, "clutch-rise") && !(request->clutch_rise > 0.0)     ? "--clutch-rise must be over 0"
        : !(request->sample > 0.0)                                         ? "--every must be over 0"
        : !(request->length > 0.0)                                         ? "--seconds must be over 0"
        : !isnan(request->speed) && !(request->speed > 0.0)                ? "--rpm must be over 0 for a run"
        : cli_has(run, "speeds")                                           ? "--speeds does not go with --run"
                                                                           : NULL;
    if (wrong)
        cli_usage_error(run, "%s", wrong);
    return !wrong;
}

static int write_csv(cli_run *run, snub_scenario_run *answer, int code)
{
    snub_data_table table, shown;
    snub_text text = {0};
    snub_error error;
    snub_status status = snub_scenario_table(answer, &run->arena, &table, &error);
    if (status == SNUB_OK)
        status = snub_table_in_units(&table, &run->locale, &run->arena, &shown, &error);
    if (status == SNUB_OK)
        status = snub_table_csv(&shown, &text, &error);
    code = status == SNUB_OK ? cli_put(run, cli_value(run, "csv"), &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

static int write_plot(cli_run *run, const snub_scenario_run *answer, int code)
{
    snub_drawing drawing;
    snub_error error;
    return snub_scenario_plot(answer, &run->locale, &run->arena, &drawing, &error) == SNUB_OK
               ? cli_put_plot(run, "plot", NULL, &drawing, code)
               : cli_error(&error, NULL, 0);
}

static int print(cli_run *run, const snub_scenario_run *answer, int code)
{
    snub_text text = {0};
    snub_error error;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const snub_status status = snub_text_scenario(answer, &look, &text, &error);
    code = status == SNUB_OK ? cli_print(run, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

int cli_motion_run(cli_run *run, const cli_drive *loaded)
{
    snub_build build;
    snub_scenario_request request;
    snub_scenario_run *answer = SNUB_NEW(&run->arena, snub_scenario_run, 1);
    snub_error error;
    if (answer == NULL)
        return cli_usage_error(run, "out of memory");
    if (!read_request(run, &request) || !cli_one_build(run, loaded, &build))
        return CLI_BAD;
    cli_doing("running, ms of the engine");
    if (snub_scenario_run_make(&build, &request, &run->arena, answer, &error) != SNUB_OK)
        return cli_error(&error, loaded->document.source, loaded->document.source_length);
    cli_doing("writing");
    int code = cli_verdict(&build);
    if (cli_has(run, "csv") && answer->started && (code = write_csv(run, answer, code)) == CLI_BAD)
        return code;
    if (cli_has(run, "plot") && answer->started && (code = write_plot(run, answer, code)) == CLI_BAD)
        return code;
    if (!run->json)
        return print(run, answer, code);
    return cli_print_json(run, snub_json_scenario(answer, &run->locale), code);
}

#endif
