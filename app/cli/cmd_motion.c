/* snub motion FILE: natural frequencies of pulleys, arm and spans. */
#include <math.h>

#include "commands.h"
#include "load.h"
#include "motion_run.h"
#include "progress.h"
#include "snub/calm.h"
#include "snub/flapping.h"
#include "snub/report.h"

enum { SPEEDS = 13 };

static const char *const cases[] = {"steady", "closed-throttle", NULL};

static const cli_option options[] = {
    {"rpm", 'r', "N", "this engine speed alone; 0 is engine stopped (default: idle to redline)", false, false, NULL},
    {"case", 'c', "CASE", "steady, at full load, or with the throttle closed, without load (default: steady)", false,
     false, cases},
    {"speeds", 'n', "N", "number of speeds from idle to redline (default: 13)", false, false, NULL},
    {"coupled", 0, NULL, "frequencies of arm and the spans beside it as one, which move each other", false, false,
     NULL},
    {"remedies", 0, NULL, "which single change calms the drive most, how far to go, and what it costs", false, false,
     NULL},
    {"run", 0, "RUN", "follow the drive step by step through what the engine does", false, false, cli_run_names},
    {"seconds", 0, "S", "length of --run hold or engage (default: 2)", false, false, NULL},
    {"clutch-torque", 0, "T", "with --run engage: torque that the blower's clutch carries", false, false, NULL},
    {"clutch-rise", 0, "S", "with --run engage: time that its torque takes to rise (default: 0.1)", false, false, NULL},
    {"even", 0, NULL, "with --run: a crank that turns evenly", false, false, NULL},
    {"csv", 0, "FILE", "with --run: columns over time", false, CLI_OUTPUT, NULL},
    {"plot", 0, "FILE", "with --run: plot over time: .svg, .pdf or .png", false, CLI_OUTPUT, NULL},
    {"every", 0, "S", "with --run: time between the rows of --csv (default: 0.001)", false, false, NULL},
};

/* @return false: told */
static bool read_request(cli_run *run, snub_vibration_request *request)
{
    long speeds = SPEEDS;
    *request = (snub_vibration_request){.speed = NAN, .way = cli_word(run, "case", 0) == 0 ? SNUB_STEADY : SNUB_SHUT};
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &request->speed) ||
        !cli_count(run, "speeds", 2, SNUB_VIBRATION_SPEEDS_MOST, &speeds))
        return false;
    request->speeds = (int)speeds;
    const char *wrong = request->speed < 0 ? "--rpm must be 0 or more; the file gives the rotation"
                        : cli_has(run, "rpm") && cli_has(run, "remedies")
                            ? "--rpm and --remedies: leave one out; changes are tried from idle to redline"
                        : request->way == SNUB_SHUT && cli_has(run, "remedies")
                            ? "--case and --remedies: leave one out; changes are tried at full load"
                        : cli_has(run, "rpm") && cli_has(run, "speeds") ? "--rpm and --speeds: leave one out"
                                                                        : NULL;
    if (wrong)
        cli_usage_error(run, "%s", wrong);
    return !wrong;
}

static bool tell_changes(int done, int all, void *context)
{
    (void)context;
    cli_done(done, all);
    return true;
}

/* Over the speeds, with what flaps and, as asked, what calms it. @return false: told */
static bool run_all(cli_run *run, const cli_drive *loaded, const snub_build *build,
                    const snub_vibration_request *request, snub_vibration *vibration)
{
    snub_flapping *flapping = SNUB_NEW(&run->arena, snub_flapping, 1);
    snub_calming *calming = SNUB_NEW(&run->arena, snub_calming, 1);
    snub_error error;
    if (flapping == NULL || calming == NULL)
        return cli_usage_error(run, "out of memory"), false;
    snub_status status = snub_vibration_run(build, request, &run->arena, vibration, &error);
    if (status == SNUB_OK)
        status = snub_flapping_find(build, &(snub_flapping_request){.speed = request->speed, .way = request->way},
                                    &run->arena, flapping, &error);
    vibration->flapping = flapping;
    if (status == SNUB_OK && cli_has(run, "coupled"))
        status = snub_vibration_couple(vibration, &run->arena, &error);
    if (status == SNUB_OK && cli_has(run, "remedies")) {
        cli_doing("trying changes");
        status = snub_calming_find(build, &loaded->reading, tell_changes, NULL, calming, &error);
        vibration->calming = calming;
    }
    if (status != SNUB_OK)
        cli_error(&error, NULL, 0);
    return status == SNUB_OK;
}

static int answer(cli_run *run, const cli_drive *loaded, const snub_vibration_request *request)
{
    snub_build build;
    snub_vibration vibration;
    snub_error error;
    if (!cli_one_build(run, loaded, &build))
        return CLI_BAD;
    if (!run_all(run, loaded, &build, request, &vibration))
        return CLI_BAD;
    const int code = cli_verdict(&build);
    if (run->json)
        return cli_print_json(run, snub_json_vibration(&vibration, &run->locale), code);
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const snub_status status = snub_text_vibration(&vibration, &look, &text, &error);
    const int told = status == SNUB_OK ? cli_print(run, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return told;
}

/* @return false: an option that goes with --run stands without it, or the other way round, told */
static bool agrees_with_run(const cli_run *run)
{
    static const char *const with[] = {"seconds", "even", "csv", "plot", "every", "clutch-torque", "clutch-rise", NULL};
    static const char *const without[] = {"case", "speeds", "coupled", "remedies", NULL};
    const bool runs = cli_has(run, "run");
    for (const char *const *name = runs ? without : with; *name != NULL; name++) {
        if (cli_has(run, *name)) {
            cli_usage_error(run, runs ? "--%s goes without --run" : "--%s goes with --run", *name);
            return false;
        }
    }
    return true;
}

static int run_motion(cli_run *run)
{
    cli_drive loaded;
    snub_vibration_request request;
    if (!agrees_with_run(run) || (!cli_has(run, "run") && !read_request(run, &request)))
        return CLI_BAD;
    int code = CLI_BAD;
    if (cli_load(run, run->operands[0], &loaded))
        code = cli_has(run, "run") ? cli_motion_run(run, &loaded) : answer(run, &loaded, &request);
    cli_unload(&loaded);
    return code;
}

const cli_command cli_motion = {
    .name = "motion",
    .summary = "natural frequencies; what shakes the drive; runs in time",
    .operands = "FILE",
    .help =
        "Shows at which frequencies the drive swings by itself: pulleys turning against the spans' springiness, the "
        "arm "
        "against its spring, and each span as a string. Where one of them meets an order of the engine, the drive "
        "shakes. The state is steady, throttle open (or closed, `--case`), nominal belt, arm friction at the middle of "
        "its band. What is found wrong in either state counts in the verdict of the build and stands at the end.\n"
        "\n"
        "Held: the crank turns evenly, as heavy as it is, and the rest swings on it. Free: it swings along with the "
        "engine's inertia. Energy is the share of each part in the motion: the part with most of it is the one to "
        "change. Firing meets it is the engine speed at which the firing order has that frequency. Damping and the "
        "arm's friction are not counted; while the motion is too small to overcome that friction the arm stands.\n"
        "\n"
        "What shakes the drive is the crank, which turns unevenly: the third table has the amplitude of its angle by "
        "order, times per turn, at full load (without load where the throttle is closed). It is `engine.irregularity` "
        "where that was measured, else it follows "
        "from "
        "the cylinders. Below it stands what that does: at each speed the order that pulls most, the swing of tension "
        "(amplitude) beside the mean of that span, and the arm's. Where the swing is more than the span carries, the "
        "span goes slack; where the arm's friction holds it, the arm sticks. Belt creep and that friction damp; the "
        "belt's own loss is not counted, so peaks come out high.\n"
        "\n"
        "--run follows the drive step by step through what the engine does, and says what happens and when: spans that "
        "go "
        "slack, pulleys that slip, clutches that let go, the arm at its ends, the belt thrown; extremes of every span, "
        "hub and the arm; heat of slip. Runs: pull (idle to redline and back), shift (a gear change), lift (throttle "
        "closed "
        "at redline), blip (throttle snapped open and closed out of gear), launch (clutch dropped), hold (one speed, "
        "--rpm and --seconds), engage (at one speed the blower's magnetic clutch closes; --clutch-torque, "
        "--clutch-rise). "
        "Rates are the file's `engine.accel_rate`, `decel_rate` and `blips`; what is missing is "
        "assumed, and the answer says so. --csv has columns over time, --plot a picture.\n"
        "\n"
        "Frequencies hang on inertias. Give `inertia` of the pulleys and the arm, and `engine.inertia`; what "
        "is missing is assumed by kind and size, and the answer says so.",
    .example = "snub motion examples/sedgemere.yaml\n"
               "snub motion examples/sedgemere.yaml --coupled --rpm 2500\n"
               "snub motion examples/sedgemere.yaml --remedies\n"
               "snub motion examples/sedgemere.yaml --rpm 800\n"
               "snub motion examples/sedgemere.yaml --case closed-throttle\n"
               "snub motion examples/sedgemere.yaml --run pull --plot pull.svg\n"
               "snub motion examples/sedgemere.yaml --run hold --rpm 700 --csv idle.csv\n"
               "snub motion examples/sedgemere.yaml --run engage --rpm 2500\n"
               "snub motion examples/sedgemere.yaml --set blower.inertia=0.003 --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .run = CLI_FULL(run_motion),
};
