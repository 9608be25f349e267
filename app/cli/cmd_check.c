/* snub check FILE: one build. */
#include <math.h>

#include "commands.h"
#include "load.h"
#include "snub/report.h"

enum { SPEEDS = 41 };

static const cli_option options[] = {
    {"rpm", 'r', "N", "look at this engine speed alone; 0 is the engine at rest (default: idle to redline)", false, false,
     NULL},
    {"rate", 0, "N", "rate of engine speed there, rpm/s; only with --rpm", false, false, NULL},
    {"free", 'f', NULL, "let snub choose slot settings even where the file gives them", false, false, NULL},
};

static int run_check(cli_run *run)
{
    double speed = NAN, rate = 0;
    snub_loads loads;
    snub_check check;
    snub_error error;
    cli_drive loaded;
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &speed) || !cli_quantity(run, "rate", SNUB_Q_TURN_RATE, &rate))
        return CLI_BAD;
    if (speed < 0)
        return cli_wrong(run, "--rpm is 0 or more; the sense of turning is in the file");
    if (cli_has(run, "rate") && isnan(speed))
        return cli_wrong(run, "--rate needs --rpm: the speed at which it holds");
    if (!cli_load_drive(run, run->operands[0], &loaded)) {
        cli_unload(&loaded);
        return CLI_BAD;
    }
    snub_check_request request = {.only_speed = speed, .only_rate = rate, .free_settings = cli_has(run, "free")};
    snub_status status = snub_loads_prepare(&loaded.drive, SPEEDS, speed, rate, &run->arena, &loads, &error);
    if (status == SNUB_OK)
        status = snub_check_loaded(&loaded.drive, &request, &loads, &run->arena, &check, &error);
    int code = CLI_BAD;
    if (status != SNUB_OK) {
        code = cli_tell(&error, loaded.document.source, loaded.document.source_length);
    } else {
        code = snub_findings_verdict(&check.findings) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
        if (run->json) {
            code = cli_print_json(snub_json_check(&check), code);
        } else {
            snub_text text = {0};
            snub_look look = {.width = run->width, .colour = run->colour};
            status = snub_text_check(&check, &loads, &look, &text, &error);
            code = status == SNUB_OK ? cli_print(&text, code) : cli_tell(&error, NULL, 0);
            snub_text_free(&text);
        }
    }
    cli_unload(&loaded);
    return code;
}

const cli_command cli_check = {
    .name = "check",
    .summary = "check one build: wrap, tension, grip, arm, findings",
    .operands = "FILE",
    .help =
        "Lays the belt, balances arm and tensions, and says what is wrong with the build. Without --rpm it covers idle "
        "to redline, steady, rising and falling, the longest and the shortest belt in tolerance and both edges of the "
        "arm's friction, and reports the worst case of each rule with the speed where it happens; the table is then "
        "for the redline.\n"
        "\n"
        "Wrap is the angle over which the belt lies on a pulley. Tension is in N as the belt enters and leaves. Grip "
        "used is the part of the belt's grip that the pulley asks for, at design friction: over 1.00 it works on "
        "reserve (watch); where it slips even at limit friction the finding fails. Hub load is the belt's pull on the "
        "pulley, and its direction is counter-clockwise from the right.",
    .example = "snub check examples/harrow-lake.yaml\n"
               "snub check examples/harrow-lake.yaml --rpm 3000 --set blower.diameter=75\n"
               "snub check examples/harrow-lake.yaml --variant 'deep pump' --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .run = run_check,
};
