/* snub sheet FILE: printed sheets as PDF. */
#include <math.h>
#include <string.h>

#include "commands.h"
#include "locale_shipped.h"
#include "printing.h"
#include "progress.h"
#include "snub/bill.h"
#include "snub/defaults.h"
#include "snub/report.h"
#include "snub/sheet.h"

static const char *const kinds[] = {"fitting", "chart", "parts", "bill", "template", "report", "strip", NULL};
static const char *const papers[] = {"A4", "letter", NULL};
static const char *const decimals[] = {"point", "comma", NULL};
static const cli_option options[] = {
    {"output", 'o', "FILE", "write the PDF to this file", false, CLI_OUTPUT, NULL},
    {"kind", 'k', "KIND", "which sheet (default: fitting)", false, false, kinds},
    {"fewest", 0, NULL, "chart, strip: the kit with only the fewest belts that cover it", false, false, NULL},
    {"all-builds", 0, NULL, "report: every build of the kit instead of one", false, false, NULL},
    {"no-pictures", 0, NULL, "fitting: no pictures beside the steps", false, false, NULL},
    {"wet", 0, NULL, "report: curves with the friction of a wet belt", false, false, NULL},
    {"defaults", 0, NULL, "report: try the values left to defaults at both ends of their ranges", false, false, NULL},
    {"house", 0, "FILE", "the company's house file (default: the drive file's house)", false, CLI_INPUT, NULL},
    {"paper", 0, "PAPER", "paper size (default: the house's, else A4, letter with inch units)", false, false, papers},
    {"language", 0, "LANG", "language of the sheet (default: the house's, else en)", false, false, NULL},
    {"decimal", 0, "MARK", "decimal mark (default: as usual in the language)", false, false, decimals},
    {"date", 0, "DATE", "date printed on every page, such as 2026-01-31", false, false, NULL},
};

typedef struct job {
    cli_run *run;
    cli_drive loaded;
    const char *kind;
    snub_messages messages;
    snub_locale locale;
    snub_sheet sheet;
    snub_build build;
    snub_state rest, state;
    snub_sweep *sweep;
    snub_default *defaults;
    int default_count;
} job;

static int tell(const job *j, const snub_error *error)
{
    const snub_house *house = j->loaded.house;
    const bool of_house =
        house != NULL && error->place.file != NULL && strcmp(error->place.file, house->document.name) == 0;
    const snub_document *document = of_house ? &house->document : &j->loaded.document;
    return cli_error(error, document->source, document->source_length);
}

static bool has_range(const snub_build *build)
{
    return build->laid && build->drive->engine.given && build->drive->engine.redline > build->drive->engine.idle;
}

/* Curves of the report. */
static bool run_sweep(job *j)
{
    snub_error error;
    snub_sweep_request request = {0};
    j->sweep = SNUB_NEW(&j->run->arena, snub_sweep, 1);
    if (j->sweep == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    if (cli_has(j->run, "wet"))
        request.friction = 1 - j->build.drive->belt.wet;
    cli_doing("sweeping the rev range");
    if (snub_sweep_run(&j->build, &request, &j->run->arena, j->sweep, &error) == SNUB_OK)
        return true;
    tell(j, &error);
    return false;
}

/* What the file leaves out; tried where it is asked for. */
static bool list_defaults(job *j)
{
    snub_errors errors = {0};
    const snub_build_request request = cli_request(j->run);
    j->defaults = SNUB_NEW(&j->run->arena, snub_default, SNUB_DEFAULTS_MOST);
    if (j->defaults == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    j->default_count = snub_defaults_list(j->build.drive, j->defaults, SNUB_DEFAULTS_MOST);
    const snub_status status = cli_has(j->run, "defaults") ? snub_defaults_try(&j->build, &j->loaded.reading, &request,
                                                                               j->defaults, j->default_count, &errors)
                                                           : SNUB_OK;
    return cli_told(j->run, &errors, &j->loaded, status == SNUB_OK);
}

/* The same build as `snub check` shows, with the engine at rest, and at the redline for the report. */
static bool work_out(job *j)
{
    if (!cli_one_build(j->run, &j->loaded, &j->build) ||
        !cli_state(j->run, &j->loaded, &j->build, &(snub_wanted_state){0}, &j->rest))
        return false;
    j->sheet.title = j->build.drive->title;
    if (strcmp(j->kind, "report") != 0)
        return true;
    return cli_state(j->run, &j->loaded, &j->build, &(snub_wanted_state){.speed = NAN}, &j->state) &&
           list_defaults(j) && (!has_range(&j->build) || run_sweep(j));
}

/* ---- printing ---------------------------------------------------------------------------------------------------- */

static int put(job *j, snub_status status, const snub_error *error, snub_text *out, int code)
{
    const int told = status == SNUB_OK ? cli_put(j->run, cli_value(j->run, "output"), out, code) : tell(j, error);
    snub_text_free(out);
    return told;
}

/* Pictures of the drive file's own that the fitting sheet would have to draw. */
static bool pictures_are_good(job *j)
{
    snub_errors errors = {0};
    const snub_status status = snub_pictures_check(&j->loaded.pictures, &errors);
    return cli_told(j->run, &errors, &j->loaded, status == SNUB_OK);
}

/* The steps of the fitting sheet for programs. */
static int print_json(job *j)
{
    snub_steps steps;
    snub_error error;
    if (!pictures_are_good(j) || !cli_one_build(j->run, &j->loaded, &j->build))
        return CLI_BAD;
    if (snub_steps_list(&j->build, &j->run->arena, &steps, &error) != SNUB_OK)
        return tell(j, &error);
    return cli_print_json(j->run, snub_json_steps(&j->build, &steps, &j->locale), cli_verdict(&j->build));
}

static int print_build(job *j)
{
    snub_text out = {0};
    snub_error error;
    snub_status status;
    if ((strcmp(j->kind, "fitting") == 0 && !pictures_are_good(j)) || !work_out(j))
        return CLI_BAD;
    const snub_sheet_build build = {.build = &j->build,
                                    .rest = &j->rest,
                                    .state = &j->state,
                                    .sweep = j->sweep,
                                    .defaults = j->defaults,
                                    .default_count = j->default_count};
    cli_doing("setting the sheet");
    if (strcmp(j->kind, "parts") == 0)
        status = snub_sheet_parts(&j->sheet, &build, &out, &error);
    else if (strcmp(j->kind, "template") == 0)
        status = snub_sheet_template(&j->sheet, &build, &out, &error);
    else if (strcmp(j->kind, "report") == 0)
        status = snub_sheet_report(&j->sheet, &build, &out, &error);
    else
        status = snub_sheet_fitting(&j->sheet, &build, &out, &error);
    return put(j, status, &error, &out, cli_verdict(&j->build));
}

static int print_chart(job *j)
{
    snub_text out = {0};
    snub_error error;
    snub_chart chart;
    const snub_chart_request request = {0};
    int code = CLI_PASS;
    if (!cli_make_chart(j->run, &j->loaded, &request, &chart))
        return CLI_BAD;
    for (int i = 0; i < chart.build_count; i++)
        code = chart.builds[i].verdict == SNUB_FAIL ? CLI_FAIL : code;
    j->sheet.title = chart.rows.title;
    cli_doing("setting the sheet");
    const snub_status status = strcmp(j->kind, "strip") == 0   ? snub_sheet_strip(&j->sheet, &chart, &out, &error)
                               : cli_has(j->run, "all-builds") ? snub_sheet_kit(&j->sheet, &chart, &out, &error)
                                                               : snub_sheet_chart(&j->sheet, &chart, &out, &error);
    code = put(j, status, &error, &out, code);
    snub_chart_free(&chart);
    return code;
}

static int print_bill(job *j)
{
    snub_text out = {0};
    snub_error error;
    snub_bill bill;
    int code = CLI_PASS;
    if (!cli_make_bill(j->run, &j->loaded, &bill))
        return CLI_BAD;
    for (int c = 0; c < bill.column_count; c++)
        code = bill.columns[c].verdict == SNUB_FAIL ? CLI_FAIL : code;
    j->sheet.title = bill.rows.title;
    return put(j, snub_sheet_bill(&j->sheet, &bill, j->loaded.catalogue, &out, &error), &error, &out, code);
}

static bool set_up(job *j)
{
    cli_run *run = j->run;
    const char *mark = cli_value(run, "decimal");
    const char *paper = cli_value(run, "paper");
    const snub_house *house = j->loaded.house;
    const bool letter = paper != NULL                        ? strcmp(paper, "letter") == 0
                        : house != NULL && house->paper >= 0 ? house->paper == 1
                                                             : run->locale.inches;
    if (!cli_messages(run, &j->loaded, &j->messages))
        return false;
    j->locale = snub_messages_locale(&j->messages);
    j->locale.inches = run->locale.inches;
    if (mark != NULL)
        j->locale.decimal = strcmp(mark, "comma") == 0 ? ',' : '.';
    j->sheet = (snub_sheet){.paper = letter ? SNUB_PAPER_LETTER : SNUB_PAPER_A4,
                            .locale = &j->locale,
                            .file = cli_base_name(j->loaded.document.name),
                            .version = "snub " SNUB_VERSION,
                            .date = cli_value(run, "date"),
                            .house = house,
                            .pictures = &j->loaded.pictures,
                            .no_pictures = cli_has(run, "no-pictures")};
    return true;
}

bool cli_sheet_of_kit(const char *kind)
{
    return strcmp(kind, "chart") == 0 || strcmp(kind, "strip") == 0 || strcmp(kind, "bill") == 0;
}

static int run_sheet(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    const char *date, *kind = cli_value(run, "kind");
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run, .kind = kind != NULL ? kind : "fitting"};
    if (run->json && (cli_has(run, "output") || strcmp(j->kind, "fitting") != 0))
        return cli_usage_error(run, "--json prints the steps of the fitting sheet; leave out --output and --kind");
    if (!run->json && !cli_has(run, "output"))
        return cli_usage_error(run, "give a file for the sheet: --output %s.pdf", j->kind);
    if (!cli_day(run, &date))
        return CLI_BAD;
    const bool all = cli_has(run, "all-builds"), strip = strcmp(j->kind, "strip") == 0;
    const bool bill = strcmp(j->kind, "bill") == 0, chart = all || (cli_sheet_of_kit(j->kind) && !bill);
    if (all && (strcmp(j->kind, "report") != 0 || cli_has(run, "wet") || cli_has(run, "defaults")))
        return cli_usage_error(run, "use --all-builds with --kind report, without --wet and --defaults");
    if ((chart || bill) && (cli_has(run, "build") || cli_has(run, "free")))
        return cli_usage_error(run, "%s; use --build and --free with the other sheets",
                               all     ? "--all-builds shows every build"
                               : strip ? "the strip shows every build"
                               : bill  ? "the bill is of the whole kit"
                                       : "the chart shows every build");
    if (!chart && cli_has(run, "fewest"))
        return cli_usage_error(run, "use --fewest with --kind chart or strip, or with --all-builds");
    if (strcmp(j->kind, "fitting") != 0 && cli_has(run, "no-pictures"))
        return cli_usage_error(run, "use --no-pictures with --kind fitting");
    if (strcmp(j->kind, "report") != 0 && cli_has(run, "wet"))
        return cli_usage_error(run, "use --wet with --kind report");
    if (strcmp(j->kind, "report") != 0 && cli_has(run, "defaults"))
        return cli_usage_error(run, "use --defaults with --kind report");
    int code = cli_load(run, run->operands[0], &j->loaded) && set_up(j) ? CLI_PASS : CLI_BAD;
    if (code != CLI_BAD)
        code = run->json ? print_json(j) : chart ? print_chart(j) : bill ? print_bill(j) : print_build(j);
    cli_unload(&j->loaded);
    return code;
}

const cli_command cli_sheet = {
    .name = "sheet",
    .summary = "printed sheets (PDF): fitting, application chart, parts, bill, template, report",
    .operands = "FILE",
    .help =
        "Prints one of seven sheets as PDF, A4 or Letter:\n"
        "\n"
        "fitting: how to fit one build: cautions, the readings to expect from the arm and from a plucked span, the "
        "belt routing, numbered steps with torques in tightening order, shims, reliefs, the slot setting of the "
        "idler, and the check after the first heat cycle; beside a step a picture of what it is about, dark on the "
        "front of the engine.\n"
        "\n"
        "With --json the steps are printed for programs instead, each with its id, the cautions before it, its torque, "
        "its numbers and what its picture shows.\n"
        "\n"
        "chart: what is sold, for every engine front: package, belt, slot setting, boost, what is done to the engine, "
        "what is not sold and why, belts to stock.\n"
        "\n"
        "parts: the parts list of one build: new, kept, reworked, removed, and the tools. bill: the bill of materials, "
        "parts by package and engine front. template: the full-size drawing on several pages, with marks to join "
        "them and a ruler on each to check the printer. strip: the slot of each idler that is set by hand, full size, "
        "with a line for every build, to be laid on the bracket. report: every number, limit, source and finding, with "
        "curves over the rev range; with --all-builds the engineering numbers and findings of every build.\n"
        "\n"
        "Lengths, torques and pressures are given in metric and inch units side by side, metric first; inch units "
        "first "
        "with --inches. Every page has the build, its verdict, the drive file, and one "
        "SHA-256 over the file, the values changed for the build, blower maps and catalogue rows. A build that fails "
        "is marked DO NOT FIT "
        "with its reasons on every page, its fitting sheet has no steps, and the exit code is 1. The same file and "
        "options give the same bytes.",
    .example = "snub sheet examples/sedgemere.yaml -o fitting.pdf\n"
               "snub sheet examples/sedgemere.yaml --kind chart --paper letter -o chart.pdf\n"
               "snub sheet examples/sedgemere.yaml --kind fitting --build 8 --language de -o einbau.pdf\n"
               "snub sheet examples/sedgemere.yaml --kind template -o template.pdf\n"
               "snub sheet examples/sedgemere.yaml --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .run = CLI_FULL(run_sheet),
};
