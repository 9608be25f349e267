/* snub measure WHAT FILE: readings taken at an engine, into what a drive file wants. */
#include <string.h>

#include "commands.h"
#include "files.h"
#include "load.h"
#include "locale_shipped.h"
#include "measures.h"
#include "plot_file.h"
#include "progress.h"
#include "snub/cautions.h"
#include "snub/draw_centres.h"
#include "snub/measure.h"
#include "snub/report.h"

static const cli_option options[] = {
    {"output", 'o', "FILE", "write the result as a piece of a drive file", false, CLI_OUTPUT, NULL},
    {"picture", 0, "FILE", "draw centres with their ellipses, or circles with their points: .svg, .pdf or .png", false,
     CLI_OUTPUT, NULL},
    {"language", 0, "LANG", "language of the picture (default: the house's, else en)", false, false, NULL},
    {"unit", 0, "UNIT", "circles: unit of the file, mm or in, where it does not say it", false, false, NULL},
    {"layer", 0, "NAME", "circles: take this layer of a sketch alone (default: all that are on)", true, false, NULL},
    {"arc", 0, "DEG", "circles: take arcs of a sketch that go so far round together (default 180)", false, false, NULL},
    {"column", 0, "WHAT=NAME", "circles: take this column of the points for x, y or name: its name, or its number",
     true, false, NULL},
    {"error", 0, "MM", "circles: standard error of a point (default: by how the points scatter)", false, false, NULL},
    {"tolerance", 0, "MM", "circles: by how much middles and diameters may differ that are one (default 0.1)", false,
     false, NULL},
    {"reach", 0, "MM", "circles: how far a pulley may stand from its place in the drive file (default 2)", false, false,
     NULL},
    {"origin", 0, "X,Y", "circles: where the drive file's zero lies in the file (default 0,0)", false, false, NULL},
    {"turn", 0, "DEG", "circles: direction of the drive file's x in the file (default 0)", false, false, NULL},
};

typedef struct job {
    cli_run *run;
    snub_measured measured;
    cli_drive loaded; /* the drive file that it names */
    bool has_drive;
    snub_centres centres;
    snub_build build;
    snub_effect effect;
    bool has_effect;
} job;

static bool read_readings(job *j, const char *path)
{
    cli_run *run = j->run;
    snub_errors errors = {0};
    if (!cli_readings(run, path, SNUB_READ_CENTRES, &j->measured.document))
        return false;
    const snub_status status = snub_measured_read(run->units, &run->arena, &j->measured, &errors);
    return cli_readings_told(run, &j->measured.document, &errors, status == SNUB_OK);
}

/* The drive file that the readings name, read without a build. */
static bool read_drive(job *j, const snub_drive **drive)
{
    cli_run *run = j->run;
    snub_errors errors = {0};
    *drive = NULL;
    if (j->measured.drive == NULL)
        return true;
    snub_drive *made = SNUB_NEW(&run->arena, snub_drive, 1);
    if (made == NULL)
        return cli_usage_error(run, "out of memory"), false;
    if (!cli_readings_drive(run, &j->measured.document, j->measured.drive, &j->loaded))
        return false;
    j->has_drive = true;
    const snub_status status = snub_drive_read(&j->loaded.document, &j->loaded.reading, made, &errors);
    *drive = made;
    return cli_told(run, &errors, &j->loaded, status == SNUB_OK);
}

static bool adjust(job *j, const snub_drive *drive)
{
    cli_run *run = j->run;
    snub_errors errors = {0};
    snub_status status = snub_measured_take_drive(&j->measured, drive, &run->arena, &errors);
    cli_doing("adjusting the centres");
    if (status == SNUB_OK)
        status = snub_centres_adjust(&j->measured, &run->arena, &j->centres, &errors);
    return cli_readings_told(run, &j->measured.document, &errors, status == SNUB_OK);
}

/* The drive with the centres. Which layout is right must be known: a mirrored drive says nothing. */
static bool find_effect(job *j)
{
    const snub_named_rows named = cli_named(j->run);
    const snub_build_request request = cli_request(j->run);
    snub_errors errors = {0};
    snub_row row;
    int laid;
    if (!j->has_drive || j->centres.choice == SNUB_LAYOUT_UNDECIDED)
        return true;
    if (!cli_own_row(j->run, &j->loaded, &named, &row))
        return false;
    if (!snub_centres_lay(&j->centres, &j->run->arena, &row, &laid))
        return cli_usage_error(j->run, "out of memory"), false;
    if (laid == 0)
        return true;
    if (!cli_make_build(j->run, &j->loaded, &row, &request, &j->build))
        return false;
    j->has_effect = true;
    cli_doing("moving the centres by their errors");
    const snub_status status = snub_effect_find(&j->centres, &j->loaded.document, &j->loaded.reading, &row, laid,
                                                &j->build, &j->effect, &errors);
    return cli_told(j->run, &errors, &j->loaded, status == SNUB_OK);
}

static int write_fragment(job *j, int code)
{
    snub_text text = {0};
    if (!cli_has(j->run, "output"))
        return code;
    snub_fragment_centres(&j->centres, &j->run->locale, &text);
    code = cli_put(j->run, cli_value(j->run, "output"), &text, code);
    snub_text_free(&text);
    return code;
}

/* ---- the picture ------------------------------------------------------------------------------------------------- */

static int write_picture(job *j, int code)
{
    snub_messages messages;
    snub_drawing drawing;
    snub_error error;
    if (!cli_has(j->run, "picture"))
        return code;
    if (!cli_messages(j->run, &j->loaded, &messages))
        return CLI_BAD;
    snub_locale locale = snub_messages_locale(&messages);
    locale.inches = j->run->locale.inches;
    const snub_status status = snub_draw_centres(&j->centres, &locale, &j->run->arena, &drawing, &error);
    return status == SNUB_OK ? cli_put_plot(j->run, "picture", j->measured.document.name, &drawing, code)
                             : cli_error(&error, NULL, 0);
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static int answer(job *j)
{
    cli_run *run = j->run;
    const snub_effect *effect = j->has_effect ? &j->effect : NULL;
    const int code = snub_centres_level(&j->centres) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    snub_text text = {0};
    snub_error error;
    if (write_fragment(j, code) == CLI_BAD || write_picture(j, code) == CLI_BAD)
        return CLI_BAD;
    if (run->json)
        return cli_readings_answer(run, snub_json_centres(&j->centres, effect), &text, 0, code);
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const snub_status status = snub_text_centres(&j->centres, effect, &look, &text, &error);
    if (status == SNUB_OK)
        return cli_readings_answer(run, NULL, &text, 0, code);
    snub_text_free(&text);
    return cli_error(&error, NULL, 0);
}

/* ---- an arm ------------------------------------------------------------------------------------------------------ */

typedef struct arm_job {
    snub_measured_arm measured;
    snub_spring spring;
} arm_job;

static bool fit_arm(cli_run *run, const char *path, arm_job *j)
{
    snub_errors errors = {0};
    if (!cli_readings(run, path, SNUB_READ_ARM, &j->measured.document))
        return false;
    snub_status status = snub_measured_arm_read(run->units, &run->arena, &j->measured, &errors);
    if (status == SNUB_OK)
        status = snub_spring_fit(&j->measured, &run->arena, &j->spring, &errors);
    return cli_readings_told(run, &j->measured.document, &errors, status == SNUB_OK);
}

static int answer_arm(cli_run *run, const arm_job *j)
{
    const int code = snub_spring_level(&j->spring) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    snub_text text = {0};
    snub_error error;
    if (cli_has(run, "output")) {
        snub_fragment_spring(&j->spring, &run->locale, &text);
        const int put = cli_put(run, cli_value(run, "output"), &text, code);
        snub_text_free(&text);
        if (put == CLI_BAD)
            return put;
        text = (snub_text){0};
    }
    if (run->json)
        return cli_readings_answer(run, snub_json_spring(&j->spring), &text, 0, code);
    const snub_status status = snub_text_spring(&j->spring, &look, &text, &error);
    if (status == SNUB_OK)
        return cli_readings_answer(run, NULL, &text, SNUB_CAUTION_BIT(SNUB_CAUTION_SPRING), code);
    snub_text_free(&text);
    return cli_error(&error, NULL, 0);
}

static int run_arm(cli_run *run)
{
    arm_job *j = SNUB_NEW(&run->arena, arm_job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    return fit_arm(run, run->operands[1], j) ? answer_arm(run, j) : CLI_BAD;
}

/* ---- what ----------------------------------------------------------------------------------------------------------
 */

static int run_centres(cli_run *run)
{
    const snub_drive *drive;
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    if (!cli_plot_has_format(run, "picture"))
        return CLI_BAD;
    *j = (job){.run = run};
    const bool good = read_readings(j, run->operands[1]) && read_drive(j, &drive) && adjust(j, drive) && find_effect(j);
    const int code = good ? answer(j) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

/* Options of circles mean nothing to readings. @return false: told */
static bool circles_alone(cli_run *run)
{
    static const char *const names[] = {"unit",      "layer", "arc",    "column", "error",
                                        "tolerance", "reach", "origin", "turn"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (cli_has(run, names[i])) {
            cli_usage_error(run, "--%s is of circles, not of %s", names[i], run->operands[0]);
            return false;
        }
    return true;
}

static int run_measure(cli_run *run)
{
    int (*const runs[SNUB_READINGS_])(cli_run * run) = {run_centres, run_arm, cli_measure_pluck, cli_measure_belt,
                                                        cli_measure_spread};
    const char *what = run->operands[0];
    if (strcmp(what, "circles") == 0)
        return cli_measure_circles(run);
    for (int i = 0; i < SNUB_READINGS_; i++) {
        if (strcmp(what, snub_readings_text((snub_readings)i)) != 0)
            continue;
        if (run->operand_count > 2)
            return cli_usage_error(run, "%s takes one file, which names its drive file itself", what);
        if (i > SNUB_READ_CENTRES && cli_has(run, "picture"))
            return cli_usage_error(run, "--picture draws centres and circles, not %s", what);
        if (i > SNUB_READ_ARM && cli_has(run, "output"))
            return cli_usage_error(run, "--output writes centres, an arm and circles, not %s", what);
        return circles_alone(run) ? runs[i](run) : CLI_BAD;
    }
    return cli_usage_error(
        run, "measures centres, arm, pluck, belt, spread or circles, not \"%.40s\": snub measure centres FILE", what);
}

const cli_command cli_measure = {
    .name = "measure",
    .summary =
        "readings at the engine, circles of a sketch, points of a scan: centres, springs, tensions, with their errors",
    .operands = "centres|arm|pluck|belt|spread|circles FILE [DRIVE]",
    .help =
        "centres: turns distances taken at the engine into the centres of the pulleys: over two rims, between two "
        "rims, from "
        "centre to centre, or from a rim square to a straight edge. Measure more than is needed, in any order: all "
        "readings are adjusted together, each with its error, and what is left over checks them. "
        "docs/guide/measure.md says how to measure, and what the file of readings has.\n"
        "\n"
        "Shown are the centres, their standard deviations and the ellipse in which each lies with 95 %; then each "
        "reading, what is left of it, how much the others check it, and whether it is suspect; then which reading "
        "would help most. Too few readings are an error that names the pulley that floats; a layout that fits as well "
        "in the mirror is a failure that says what would decide.\n"
        "\n"
        "Where the file names a drive file, its diameters and its layout are used, and belt length, wrap, arm angle "
        "and idler marks of that drive are given with the errors that the readings leave in them. --set, --variant "
        "and the like are of that drive file. The exit code is 1 where a reading is suspect or the layout is open.\n"
        "\n"
        "arm: turns torques read at the tensioner's arm, winding and releasing, into the preload, rate, damping and "
        "travel of the drive file, each with what it is sure to with 95 %. The exit code is 1 where the readings are "
        "no "
        "spring with friction, and why, or where one is suspect.\n"
        "\n"
        "pluck: turns frequencies of plucked spans, engine stopped, into the tension of the belt with its error, "
        "bending stiffness counted where the file gives it, and compares it with the tension that the drive file "
        "expects; then what every span should ring at. The exit code is 1 where the tension is surely another, or a "
        "reading is suspect.\n"
        "\n"
        "belt: takes belts of known length that were fitted, and the arm's wind or the tensioner's mark with each, and "
        "says what alone would explain where they differ from the drive file: the belts' length, the cord's height or "
        "the centre of a pulley, each with its size, its error and how strange that would be. The exit code is 1 where "
        "nothing of a usual size does.\n"
        "\n"
        "spread: checks wraps by strips of paper, grooves by measuring balls, and a worn belt by its outside length "
        "and "
        "by a pin between two ribs, each with its limit and verdict. The exit code is 1 where one fails.\n"
        "\n"
        "circles: takes circles and arcs of a sketch (FILE.dxf, ASCII), or points of a scan (any other name: rows with "
        "x "
        "and y, and a name of the circle), and gives places and diameters. Through points the circle of least squared "
        "distances is laid, with its errors; points that stand out are named by their line and left out; an arc that "
        "is "
        "too short for a circle is refused. The unit must be in the file or be given by --unit. With a drive file "
        "behind it, circles are compared with its pulleys by size and place; what is not one pulley's alone is left "
        "open, and -o writes the places that are found. The exit code is 1 where that is open, or points are no "
        "circle.",
    .example = "snub measure centres examples/measured/sedgemere.yaml\n"
               "snub measure centres examples/measured/sedgemere.yaml -o centres.yaml\n"
               "snub measure centres examples/measured/sedgemere.yaml --picture centres.pdf\n"
               "snub measure centres examples/measured/sedgemere.yaml --json\n"
               "snub measure arm examples/measured/sedgemere-arm.yaml\n"
               "snub measure pluck examples/measured/sedgemere-pluck.yaml\n"
               "snub measure belt examples/measured/sedgemere-belt.yaml\n"
               "snub measure spread examples/measured/sedgemere-spread.yaml\n"
               "snub measure circles examples/measured/sedgemere.dxf examples/sedgemere.yaml -o places.yaml\n"
               "snub measure circles examples/measured/sedgemere-scan.csv --picture scan.pdf",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 2,
    .most = 3,
    .reads_drive = true,
    .one_build = true,
    .run = CLI_FULL(run_measure),
};
