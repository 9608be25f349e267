/* snub sheet FILE: printed sheets as PDF. */
#include <math.h>
#include <string.h>

#include "commands.h"
#include "locale_shipped.h"
#include "printing.h"
#include "snub/sheet.h"

static const char *const kinds[] = {"fitting", "chart", "parts", "template", "report", NULL};
static const char *const papers[] = {"A4", "letter", NULL};
static const char *const decimals[] = {"point", "comma", NULL};
static const cli_option options[] = {
    {"output", 'o', "FILE", "the PDF to write", false, true, NULL},
    {"kind", 'k', "KIND", "which sheet: fitting (default), chart, parts, template, report", false, false, kinds},
    {"build", 0, "N", "build N of `snub chart` instead of the file's own", false, false, NULL},
    {"paper", 0, "PAPER", "A4 (default) or letter", false, false, papers},
    {"language", 0, "LANG", "en (default) or de", false, false, NULL},
    {"decimal", 0, "MARK", "decimal point or comma (default: as the language has it)", false, false, decimals},
    {"inches", 0, NULL, "inch units first, metric in brackets", false, false, NULL},
    {"date", 0, "DATE", "printed on every page, as 2026-01-31", false, false, NULL},
};

typedef struct job {
    cli_run *run;
    cli_drive loaded;
    const char *kind;
    snub_messages messages;
    snub_speech speech;
    snub_sheet sheet;
    snub_chart chart;
    bool charted;
    snub_drive *drive;
    snub_check rest, check;
    snub_loads loads;
    snub_hardware_report *hardware;
    snub_sweep *sweep;
} job;

static int tell(const job *j, const snub_error *error)
{
    return cli_tell(error, j->loaded.document.source, j->loaded.document.source_length);
}

/* ---- which build --------------------------------------------------------------------------------------------------
 */

static bool chart_build(job *j)
{
    j->charted = cli_make_chart(j->run, &j->loaded, &j->chart);
    int index = j->charted ? cli_chart_build(j->run, &j->chart, cli_value(j->run, "build")) : -1;
    if (index < 0)
        return false;
    const snub_build *build = &j->chart.builds[index];
    j->drive = build->drive;
    cli_take_belt(j->drive, build->check.length, build->check.settings);
    j->sheet.build = cli_build_words(j->run, &j->chart, index);
    return true;
}

static bool check_at(job *j, double speed, snub_check *check)
{
    snub_error error;
    snub_check_request request = {.only_speed = speed};
    if (snub_check_drive(j->drive, &request, &j->run->arena, check, &error) == SNUB_OK)
        return true;
    tell(j, &error);
    return false;
}

/* The belt that was picked stays picked: the rev range is checked with what was found at rest. */
static bool work_out(job *j)
{
    snub_error error;
    if (!check_at(j, 0, &j->rest))
        return false;
    cli_take_belt(j->drive, j->rest.length, j->rest.settings);
    if (j->sheet.build == NULL)
        j->sheet.build = j->rest.designation;
    if (!j->drive->engine.given)
        return true;
    if (!check_at(j, NAN, &j->check))
        return false;
    if (j->drive->hardware != NULL && j->rest.laid) {
        j->hardware = SNUB_NEW(&j->run->arena, snub_hardware_report, 1);
        if (j->hardware == NULL)
            return cli_wrong(j->run, "out of memory"), false;
        snub_status status = snub_loads_prepare(j->drive, 41, NAN, 0, &j->run->arena, &j->loads, &error);
        if (status == SNUB_OK)
            status = snub_hardware_judge(j->drive, &j->loads, &j->check, &j->run->arena, j->hardware, &error);
        if (status != SNUB_OK)
            return tell(j, &error), false;
    }
    if (strcmp(j->kind, "report") == 0 && j->rest.laid) {
        snub_sweep_request request = {0};
        j->sweep = SNUB_NEW(&j->run->arena, snub_sweep, 1);
        if (j->sweep == NULL)
            return cli_wrong(j->run, "out of memory"), false;
        if (snub_sweep_run(j->drive, j->rest.length, j->rest.settings, &request, &j->run->arena, j->sweep, &error) !=
            SNUB_OK)
            return tell(j, &error), false;
    }
    return true;
}

/* ---- printing ------------------------------------------------------------------------------------------------------
 */

static int write_sheet(job *j)
{
    snub_text out = {0};
    snub_error error;
    snub_status status;
    snub_sheet_build build = {.drive = j->drive,
                              .rest = &j->rest,
                              .hardware = j->hardware,
                              .sweep = j->sweep,
                              .check = j->drive != NULL && j->drive->engine.given ? &j->check : NULL};
    if (strcmp(j->kind, "chart") == 0)
        status = snub_sheet_chart(&j->sheet, &j->chart, &out, &error);
    else if (strcmp(j->kind, "parts") == 0)
        status = snub_sheet_parts(&j->sheet, &build, &out, &error);
    else if (strcmp(j->kind, "template") == 0)
        status = snub_sheet_template(&j->sheet, &build, &out, &error);
    else if (strcmp(j->kind, "report") == 0)
        status = snub_sheet_report(&j->sheet, &build, &out, &error);
    else
        status = snub_sheet_fitting(&j->sheet, &build, &out, &error);
    int code = status == SNUB_OK ? cli_put(cli_value(j->run, "output"), &out, CLI_PASS) : tell(j, &error);
    snub_text_free(&out);
    return code;
}

static bool set_up(job *j)
{
    cli_run *run = j->run;
    const char *language = cli_value(run, "language"), *mark = cli_value(run, "decimal");
    const char *paper = cli_value(run, "paper");
    const char *hash = cli_document_hash(run, &j->loaded);
    if (hash == NULL || !cli_messages(run, language, &j->messages))
        return false;
    bool comma = mark != NULL ? strcmp(mark, "comma") == 0 : language != NULL && strncmp(language, "de", 2) == 0;
    j->speech = (snub_speech){.say = j->messages.count > 0 ? snub_messages_say : NULL,
                              .context = &j->messages,
                              .decimal = comma ? ',' : '.',
                              .inches = cli_has(run, "inches")};
    j->sheet = (snub_sheet){.paper = paper != NULL && strcmp(paper, "letter") == 0 ? SNUB_PAPER_LETTER : SNUB_PAPER_A4,
                            .speech = &j->speech,
                            .title = j->loaded.drive.title,
                            .file = cli_base_name(j->loaded.document.name),
                            .hash = hash,
                            .version = "snub " SNUB_VERSION,
                            .date = cli_value(run, "date")};
    j->drive = &j->loaded.drive;
    return true;
}

static int make_sheet(job *j)
{
    if (!set_up(j))
        return CLI_BAD;
    if (strcmp(j->kind, "chart") == 0)
        return (j->charted = cli_make_chart(j->run, &j->loaded, &j->chart)) ? write_sheet(j) : CLI_BAD;
    if (cli_has(j->run, "build") && !chart_build(j))
        return CLI_BAD;
    return work_out(j) ? write_sheet(j) : CLI_BAD;
}

static int run_sheet(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    const char *date, *kind = cli_value(run, "kind");
    if (j == NULL)
        return cli_wrong(run, "out of memory");
    *j = (job){.run = run, .kind = kind != NULL ? kind : "fitting"};
    if (!cli_has(run, "output"))
        return cli_wrong(run, "a sheet goes to a file: --output %s.pdf", j->kind);
    if (!cli_day(run, &date))
        return CLI_BAD;
    if (strcmp(j->kind, "chart") == 0 && cli_has(run, "build"))
        return cli_wrong(run, "the chart shows every build; --build goes with the other sheets");
    int code = cli_load_drive(run, run->operands[0], &j->loaded) ? make_sheet(j) : CLI_BAD;
    if (j->charted)
        snub_chart_free(&j->chart);
    cli_unload(&j->loaded);
    return code;
}

const cli_command cli_sheet = {
    .name = "sheet",
    .summary = "printed sheets (PDF): fitting, application chart, parts, template, report",
    .operands = "FILE",
    .help =
        "Prints one of five sheets as PDF, A4 or Letter:\n"
        "\n"
        "fitting: how to fit one build: cautions, what the arm and a plucked span must read, the belt's way, numbered "
        "steps "
        "with torques in the order of tightening, shims, reliefs, the idler's mark, and the check after the first heat "
        "cycle.\n"
        "\n"
        "chart: every build on every engine front: belt, mark, boost, speed, grip, verdict, notes, belts to keep in "
        "stock.\n"
        "\n"
        "parts: what one build is made of. template: the full-size drawing over pages, with marks to join them and a "
        "ruler "
        "on each to check the printer. report: every number, limit, source and finding, with curves over the rev "
        "range.\n"
        "\n"
        "Metric and inch units stand side by side. Every page names the drive file and its SHA-256. The same file and "
        "options give the same bytes.",
    .example = "snub sheet examples/harrow-lake.yaml -o fitting.pdf\n"
               "snub sheet examples/harrow-lake.yaml --kind chart --paper letter -o chart.pdf\n"
               "snub sheet examples/harrow-lake.yaml --kind fitting --build 8 --language de -o einbau.pdf\n"
               "snub sheet examples/harrow-lake.yaml --kind template -o template.pdf",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .no_json = true,
    .run = CLI_FULL(run_sheet),
};
