/* snub check FILE: one build. */
#include <math.h>

#include "commands.h"
#include "load.h"
#include "snub/report.h"

static const cli_option options[] = {
    {"rpm", 'r', "N", "engine speed for the tables; 0 is engine stopped (default: redline)", false, false, NULL},
    {"rate", 0, "N", "rate of change of engine speed, rpm/s; only with --rpm", false, false, NULL},
};

static int answer(cli_run *run, const cli_drive *loaded, double speed, double rate)
{
    snub_build build;
    snub_state state;
    snub_error error;
    if (!cli_one_build(run, loaded, &build) || !cli_state(run, loaded, &build, speed, rate, &state))
        return CLI_BAD;
    const int code = cli_verdict(&build);
    if (run->json)
        return cli_print_json(run, snub_json_check(&build, &state), code);
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour};
    const snub_status status = snub_text_check(&build, &state, &look, &text, &error);
    const int told = status == SNUB_OK ? cli_print(&text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return told;
}

static int run_check(cli_run *run)
{
    double speed = NAN, rate = 0;
    cli_drive loaded;
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &speed) || !cli_quantity(run, "rate", SNUB_Q_TURN_RATE, &rate))
        return CLI_BAD;
    if (speed < 0)
        return cli_usage_error(run, "--rpm must be 0 or more; the file gives the rotation");
    if (cli_has(run, "rate") && isnan(speed))
        return cli_usage_error(run, "--rate needs --rpm as well");
    const int code = cli_load(run, run->operands[0], &loaded) ? answer(run, &loaded, speed, rate) : CLI_BAD;
    cli_unload(&loaded);
    return code;
}

const cli_command cli_check = {
    .name = "check",
    .summary = "check one build: wrap, tension, grip, arm, findings",
    .operands = "FILE",
    .help =
        "Settles the build, balances the arm and the tensions, and reports what is wrong. Belt and slot settings are "
        "those in the file; what the file leaves open is chosen. Findings cover idle to redline in all "
        "cases, the longest and the shortest belt in tolerance, and both edges of the arm's friction. Each finding "
        "names its worst case. --rpm only sets the speed for the tables.\n"
        "\n"
        "The verdict is for the complete build, hardware included; if another command shows part of it, the last line "
        "says which. Exit code: 0 passes, 1 the build fails, 2 no answer.\n"
        "\n"
        "Wrap is the angle over which the belt is in contact with a pulley. Tensions in and out are in N. Grip used "
        "is the share of the belt's grip that the pulley needs at design friction. Above 1.00 it runs on reserve "
        "(marginal); if it slips even at limit friction, the finding fails. Hub load is the belt's pull on the pulley; "
        "its direction is measured counter-clockwise from the right.",
    .example = "snub check examples/sedgemere.yaml\n"
               "snub check examples/sedgemere.yaml --rpm 3000 --set blower.diameter=79\n"
               "snub check examples/sedgemere.yaml --variant 'low compressor' --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .run = run_check,
};
