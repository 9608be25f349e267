/* snub mount FILE: planes, shims, obstacles, standoffs, bolts, bearings. */
#include "commands.h"
#include "load.h"
#include "snub/report.h"

static int answer(cli_run *run, const cli_drive *loaded)
{
    snub_build build;
    snub_error error;
    if (!cli_one_build(run, loaded, &build))
        return CLI_BAD;
    const int code = cli_verdict(&build);
    if (run->json)
        return cli_print_json(run, snub_json_hardware(&build, &run->locale), code);
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const snub_status status = snub_text_hardware(&build, &look, &text, &error);
    const int told = status == SNUB_OK ? cli_print(run, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return told;
}

static int run_mount(cli_run *run)
{
    cli_drive loaded;
    const int code = cli_load(run, run->operands[0], &loaded) ? answer(run, &loaded) : CLI_BAD;
    cli_unload(&loaded);
    return code;
}

const cli_command cli_mount = {
    .name = "mount",
    .summary = "hardware: alignment and shims, obstacles, standoffs, bolts, bearings",
    .operands = "FILE",
    .help =
        "Shows the hardware of a build: hub loads from idle to redline in all cases, at both edges of the "
        "arm's friction and with the engine stopped, and what they do to standoffs, bolts and bearings. The verdict "
        "is for the complete build, as in `snub check`.\n"
        "\n"
        "Entry is the angle at which the belt meets the grooves. Loaded includes the bending of standoff and bracket "
        "under the worst load. Rss and worst are what the tolerances of the stacks add to either side. Where the "
        "file has shims on hand, the build is judged with those that are advised; no shim is the greatest angle "
        "without them. A belt floats on a plain back-side pulley: drift is how far off centre it "
        "runs, edge is how much face is left beside it.\n"
        "\n"
        "Joint friction used is a bolt's shear over the friction under it, with the preload at the low end of its "
        "scatter; at 1 "
        "the joint slips. Bolts are listed in tightening order. Bearing life is a1 x L10 over the duty. Grease life "
        "is the average of a formula for rotating inner rings.",
    .example = "snub mount examples/sedgemere.yaml\n"
               "snub mount examples/sedgemere.yaml --set belt.ribs=9\n"
               "snub mount examples/sedgemere.yaml --json",
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .run = run_mount,
};
