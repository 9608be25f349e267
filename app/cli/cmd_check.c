/* snub check FILE: one build. */
#include <math.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "snub/defaults.h"
#include "snub/json.h"
#include "snub/report.h"

static const cli_option options[] = {
    {"rpm", 'r', "N", "engine speed for the tables; 0 is engine stopped (default: redline)", false, false, NULL},
    {"rate", 0, "N", "rate of change of engine speed, rpm/s; only with --rpm", false, false, NULL},
    {"case", 'c', "CASE", "case for the tables (default: steady)", false, false, snub_way_options},
    {"belt", 0, "BELT",
     "belt for the tables (default: nominal); short and long are the ends of the tolerance, worn is the "
     "longest at the end of its life",
     false, false, snub_belt_options},
    {"arm-friction", 0, "SIDE", "side of the arm's friction for the tables (default: middle)", false, false,
     snub_friction_options},
    {"peak", 0, "PULLEY", "this pulley's load at the peak of its torque in the tables; all: every load with a peak",
     false, false, NULL},
    {"warm", 0, NULL, "engine and belt warm in the tables (default: warm while the engine runs)", false, false, NULL},
    {"cold", 0, NULL, "engine and belt cold in the tables", false, false, NULL},
    {"arm", 0, "ANGLE", "which belt puts the arm at this angle from free, engine stopped", false, false, NULL},
    {"defaults", 0, NULL, "try the values that the file leaves to defaults at both ends of their ranges", false, false,
     NULL},
};

/* The key of the rate that a case needs and the file does not give; NULL: nothing is missing. */
static const char *rate_key(snub_way way, const snub_engine *engine)
{
    switch (way) {
    case SNUB_RISING: return engine->accel_rate > 0 ? NULL : "accel_rate";
    case SNUB_FALLING:
    case SNUB_SHIFT: return engine->decel_rate > 0 ? NULL : "decel_rate";
    case SNUB_BLIP:
    case SNUB_AFTER_BLIP: return engine->blips > 0 ? NULL : "blips";
    default: return NULL;
    }
}

/* @return false: no pulley of that name has a peak, told */
static bool can_peak(const cli_run *run, const snub_drive *drive, const char *peak)
{
    for (int i = 0; peak && i < drive->pulley_count; i++) {
        const bool meant = peak[0] == '\0' || strcmp(drive->pulleys[i].name, peak) == 0;
        if (meant && drive->pulleys[i].peak > 1.0)
            return true;
    }
    if (peak)
        cli_usage_error(run, "--peak needs a pulley whose load has a peak over 1 in the file");
    return !peak;
}

/* What the file must give for a case to differ from another. @return false: it does not, told */
static bool can_show(const cli_run *run, const snub_drive *drive, const snub_wanted_state *wanted)
{
    const snub_engine *engine = &drive->engine;
    const char *needs = rate_key(wanted->way, engine);
    if (needs)
        cli_usage_error(run, "--case %s needs engine.%s in the file", snub_way_options[wanted->way], needs);
    else if (!can_peak(run, drive, wanted->peak))
        return false;
    else if (wanted->side != 0 && drive->arm < 0)
        cli_usage_error(run, "--arm-friction needs a spring arm in the file");
    else if (wanted->warmth != SNUB_ANY_WARMTH && !snub_drive_grows(drive))
        cli_usage_error(run, "--warm and --cold need engine.growth or belt.growth in the file");
    else
        return true;
    return false;
}

static json_t *with_reach(json_t *answer, const snub_reach *reach)
{
    if (reach != NULL)
        snub_json_put(answer, "wished_arm", snub_json_reach(reach));
    return answer;
}

/* The belt for the arm angle of --arm. @return false: the error is printed */
static bool reach_for(cli_run *run, const snub_build *build, snub_reach *reach)
{
    snub_error error;
    double wind = NAN;
    const snub_drive *drive = build->drive;
    if (!cli_quantity(run, "arm", SNUB_Q_ANGLE, &wind))
        return false;
    if (drive->arm < 0)
        return cli_usage_error(run, "--arm needs a tensioner on a spring arm; this drive has none"), false;
    const double travel = drive->pulleys[drive->arm].arm.travel;
    if (!(wind >= 0.0 && wind <= travel))
        return cli_usage_error(run, "--arm takes an angle from free, from 0 to the arm's travel of %g deg",
                               travel / SNUB_DEG),
               false;
    return snub_reach_find(build, wind, &run->arena, reach, &error) == SNUB_OK || (cli_error(&error, NULL, 0), false);
}

/* @return false: told */
static bool try_defaults(const cli_run *run, const cli_drive *loaded, const snub_build *build, snub_default *defaults,
                         int count)
{
    snub_errors errors = {0};
    const snub_build_request request = cli_request(run);
    const snub_status status = snub_defaults_try(build, &loaded->reading, &request, defaults, count, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

static int answer(cli_run *run, const cli_drive *loaded, const snub_wanted_state *wanted)
{
    snub_reach reach;
    snub_build build;
    snub_state state;
    snub_error error;
    if (!cli_one_build(run, loaded, &build) || !can_show(run, build.drive, wanted) ||
        !cli_state(run, loaded, &build, wanted, &state))
        return CLI_BAD;
    snub_default *defaults = SNUB_NEW(&run->arena, snub_default, SNUB_DEFAULTS_MOST);
    if (!defaults) {
        snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        return cli_error(&error, NULL, 0);
    }
    const int count = snub_defaults_list(build.drive, defaults, SNUB_DEFAULTS_MOST);
    if (cli_has(run, "defaults") && !try_defaults(run, loaded, &build, defaults, count))
        return CLI_BAD;
    const int code = cli_verdict(&build);
    const bool wished = cli_has(run, "arm");
    if (wished && !reach_for(run, &build, &reach))
        return CLI_BAD;
    if (run->json) {
        json_t *check = with_reach(snub_json_check(&build, &state, &run->locale), wished ? &reach : NULL);
        snub_json_put(check, "defaults", snub_json_defaults(defaults, count));
        return cli_print_json(run, check, code);
    }
    snub_text text = {0}, command = {0};
    cli_again(run, "check", &command);
    const snub_look look = {
        .width = run->width, .colour = run->colour, .locale = &run->locale, .command = command.data};
    snub_status status = command.failed ? snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                                        : snub_text_check(&build, &state, &look, &text, &error);
    if (status == SNUB_OK && wished)
        status = snub_text_reach(&build, &reach, &look, &text, &error);
    snub_text_defaults(defaults, count, &look, &text);
    const int told = status == SNUB_OK ? cli_print(run, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    snub_text_free(&command);
    return told;
}

/* @return false: two options do not go together, told */
static bool read_wanted(cli_run *run, snub_wanted_state *wanted)
{
    *wanted = (snub_wanted_state){.speed = NAN,
                                  .way = (snub_way)cli_word(run, "case", SNUB_STEADY),
                                  .belt = (snub_shown_belt)cli_word(run, "belt", SNUB_SHOW_NOMINAL),
                                  .side = cli_word(run, "arm-friction", 1) - 1,
                                  .warmth = cli_has(run, "warm")   ? SNUB_WARM
                                            : cli_has(run, "cold") ? SNUB_COLD
                                                                   : SNUB_ANY_WARMTH,
                                  .peak = cli_value(run, "peak")};
    if (wanted->peak && strcmp(wanted->peak, "all") == 0)
        wanted->peak = SNUB_ALL_PEAKS;
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &wanted->speed) ||
        !cli_quantity(run, "rate", SNUB_Q_TURN_RATE, &wanted->rate))
        return false;
    const char *wrong = wanted->speed < 0 ? "--rpm must be 0 or more; the file gives the rotation"
                        : cli_has(run, "rate") && isnan(wanted->speed) ? "--rate needs --rpm as well"
                        : cli_has(run, "rate") && wanted->way != SNUB_STEADY
                            ? "--rate and --case each give a rate: leave one out"
                        : cli_has(run, "warm") && cli_has(run, "cold") ? "--warm and --cold: leave one out"
                                                                       : NULL;
    if (wrong)
        cli_usage_error(run, "%s", wrong);
    return !wrong;
}

static int run_check(cli_run *run)
{
    snub_wanted_state wanted;
    cli_drive loaded;
    if (!read_wanted(run, &wanted))
        return CLI_BAD;
    const int code = cli_load(run, run->operands[0], &loaded) ? answer(run, &loaded, &wanted) : CLI_BAD;
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
        "names its worst case, and the command that shows it: --rpm, --case, --belt, --arm-friction, --peak, --warm "
        "and "
        "--cold "
        "choose what is in the tables, not what is judged.\n"
        "\n"
        "The verdict is for the complete build, hardware included; if another command shows part of it, the last line "
        "says which. Exit code: 0 passes, 1 the build fails, 2 no answer.\n"
        "\n"
        "Wrap is the angle over which the belt is in contact with a pulley. Tensions in and out are in N. Grip used "
        "is the share of the belt's grip that the pulley needs at design friction. Above 1.00 it runs on reserve "
        "(marginal); if it slips even at limit friction, the finding fails. Hub load is the belt's pull on the pulley; "
        "its direction is measured counter-clockwise from the right.\n"
        "\n"
        "--arm gives the belt with which the arm stands at an angle from its free position with the engine stopped, "
        "and a table of the belts on offer that the arm can hold: its angle with the engine stopped and at the "
        "redline, the room left to an end of its travel over all cases, the tension with the engine stopped, the "
        "worst grip, and the verdict of the complete build.",
    .example = "snub check examples/sedgemere.yaml\n"
               "snub check examples/sedgemere.yaml --rpm 3000 --set blower.diameter=79\n"
               "snub check examples/sedgemere.yaml --arm 45\n"
               "snub check examples/sedgemere.yaml --variant 'low compressor' --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .run = run_check,
};
