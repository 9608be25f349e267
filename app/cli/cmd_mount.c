/* snub mount FILE: planes, shims, obstacles, standoffs, bolts, bearings. */
#include <math.h>

#include "commands.h"
#include "load.h"
#include "snub/report.h"

enum { SPEEDS = 41 };

static int judge(cli_run *run, cli_drive *loaded)
{
    snub_loads loads;
    snub_error error;
    snub_check *check = SNUB_NEW(&run->arena, snub_check, 1);
    snub_hardware_report *report = SNUB_NEW(&run->arena, snub_hardware_report, 1);
    const snub_check_request request = {.only_speed = NAN};
    if (check == NULL || report == NULL)
        return cli_wrong(run, "out of memory");
    snub_status status = snub_loads_prepare(&loaded->drive, SPEEDS, NAN, 0, &run->arena, &loads, &error);
    if (status == SNUB_OK)
        status = snub_check_loaded(&loaded->drive, &request, &loads, &run->arena, check, &error);
    if (status == SNUB_OK)
        status = snub_hardware_judge(&loaded->drive, &loads, check, &run->arena, report, &error);
    if (status != SNUB_OK)
        return cli_tell(&error, loaded->document.source, loaded->document.source_length);
    int code = snub_findings_verdict(&report->findings) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    if (run->json)
        return cli_print_json(snub_json_hardware(report), code);
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour};
    status = snub_text_hardware(report, &look, &text, &error);
    code = status == SNUB_OK ? cli_print(&text, code) : cli_tell(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

static int run_mount(cli_run *run)
{
    cli_drive loaded;
    const int code = cli_load_drive(run, run->operands[0], &loaded) ? judge(run, &loaded) : CLI_BAD;
    cli_unload(&loaded);
    return code;
}

const cli_command cli_mount = {
    .name = "mount",
    .summary = "the metal: planes and shims, obstacles, standoffs, bolts, bearings",
    .operands = "FILE",
    .help =
        "Takes the hub loads over idle to redline, steady, rising and falling, at both edges of the arm's friction and "
        "at rest, and judges what the file says of the hardware.\n"
        "\n"
        "Entry is the angle at which the belt meets the grooves; loaded counts standoff and bracket bent by the worst "
        "load; rss and worst are what the stacks' tolerances add to either side; shimmed is what the shims advised "
        "make "
        "of it. A belt floats on a plain back-side pulley: drift says how far off the middle it runs, edge how much "
        "face "
        "is left beside it.\n"
        "\n"
        "Slip used is a bolt's shear over the friction under it with the preload at the low end of its scatter: 1 "
        "slips. "
        "Bolts are listed in the order in which they are tightened. Bearing life is a1 x L10 over the duty; grease "
        "life "
        "is the average of a formula for turning inner rings.",
    .example = "snub mount examples/harrow-lake.yaml\n"
               "snub mount examples/harrow-lake.yaml --set belt.ribs=10\n"
               "snub mount examples/harrow-lake.yaml --json",
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .run = run_mount,
};
