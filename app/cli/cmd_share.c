/* snub share FILE: the kit as one page that needs neither program nor network. */
#include <math.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "locale_shipped.h"
#include "printing.h"
#include "progress.h"
#include "share_page.h"
#include "snub/json.h"
#include "snub/share.h"

static const cli_option options[] = {
    {"output", 'o', "FILE", "write the page to this file", false, CLI_OUTPUT, NULL},
    {"sales", 0, NULL, "leave out the engineering: wrap, grip, arm angles, notes on parts", false, false, NULL},
    {"no-steps", 0, NULL, "leave out the steps of fitting", false, false, NULL},
    {"fewest", 0, NULL, "the kit with only the fewest belts that cover it", false, false, NULL},
    {"watermark", 0, "TEXT", "printed large and pale across the page: whom it is for", false, false, NULL},
    {"date", 0, "DATE", "date on the page, such as 2026-01-31", false, false, NULL},
    {"house", 0, "FILE", "the company's house file (default: the drive file's house)", false, CLI_INPUT, NULL},
    {"language", 0, "LANG", "language of the sheet (default: the house's, else en)", false, false, NULL},
};

/* Where the data goes in app/share/page.html. */
static const char PLACE[] = "{\"kit\": \"here\"}";
enum { WATERMARK_MOST = 60 };

typedef struct job {
    cli_run *run;
    cli_drive loaded;
    snub_messages messages;
    snub_locale locale;
    snub_sheet sheet;
    snub_chart chart;
    snub_share share;
} job;

static int tell(const job *j, const snub_error *error)
{
    return cli_error(error, j->loaded.document.source, j->loaded.document.source_length);
}

/* JSON in a page: no "<" that could end its element. */
static void add_data(const snub_text *data, snub_text *out)
{
    for (size_t i = 0; i < data->length; i++) {
        if (data->data[i] == '<')
            snub_text_puts(out, "\\u003c");
        else
            snub_text_add(out, data->data + i, 1);
    }
}

static int put_page(job *j, const json_t *tree, int code)
{
    snub_text data = {0}, page = {0};
    snub_error error;
    const char *place = strstr(cli_share_page, PLACE);
    snub_status status = snub_json_text(tree, SNUB_JSON_COMPACT, &data, &error);
    if (status == SNUB_OK && place != NULL) {
        snub_text_add(&page, cli_share_page, (size_t)(place - cli_share_page));
        add_data(&data, &page);
        const char *rest = place + strlen(PLACE);
        snub_text_add(&page, rest, cli_share_page_length - (size_t)(rest - cli_share_page));
    }
    code = status != SNUB_OK ? tell(j, &error)
           : place == NULL   ? cli_usage_error(j->run, "the page in the program has no place for the kit")
                             : cli_put(j->run, cli_value(j->run, "output"), &page, code);
    snub_text_free(&data);
    snub_text_free(&page);
    return code;
}

/* The chart keeps no drives: each is settled once more. @return false: told */
static bool add_build(job *j, int number, json_t *tree)
{
    snub_error error;
    const snub_build_request request = {.afresh = true};
    snub_build *build = SNUB_NEW(&j->run->arena, snub_build, 1);
    if (build == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    if (!cli_make_build(j->run, &j->loaded, j->chart.builds[number].row, &request, build))
        return false;
    if (snub_json_share_add(&j->share, number, build, &j->run->arena, tree, &error) != SNUB_OK)
        return tell(j, &error), false;
    return true;
}

static int gather(job *j)
{
    json_t *tree = snub_json_share(&j->share, &j->run->arena);
    bool good = tree != NULL;
    int code = CLI_PASS;
    if (!good)
        cli_usage_error(j->run, "out of memory");
    cli_doing("laying out the page");
    for (int i = 0; good && i < j->chart.build_count; i++) {
        cli_done(i, j->chart.build_count);
        good = add_build(j, i, tree);
        code = j->chart.builds[i].verdict == SNUB_FAIL ? CLI_FAIL : code;
    }
    code = good ? put_page(j, tree, code) : CLI_BAD;
    json_decref(tree);
    return code;
}

static int make_page(job *j)
{
    const snub_chart_request request = {0};
    if (!cli_make_chart(j->run, &j->loaded, &request, &j->chart))
        return CLI_BAD;
    j->sheet.title = j->chart.rows.title;
    j->share.chart = &j->chart;
    const int code =
        j->chart.build_count > SNUB_SHARE_BUILDS_MOST
            ? cli_usage_error(
                  j->run, "%d builds are too many for one page; narrow it to at most %d with --package or --variant",
                  j->chart.build_count, SNUB_SHARE_BUILDS_MOST)
            : gather(j);
    snub_chart_free(&j->chart);
    return code;
}

static bool set_up(job *j, const char *date)
{
    cli_run *run = j->run;
    const char *watermark = cli_value(run, "watermark");
    if (watermark != NULL && (watermark[0] == '\0' || strlen(watermark) > WATERMARK_MOST))
        return cli_usage_error(run, "--watermark takes 1 to %d bytes", WATERMARK_MOST), false;
    if (!cli_messages(run, &j->loaded, &j->messages))
        return false;
    j->locale = snub_messages_locale(&j->messages);
    j->locale.inches = run->locale.inches;
    j->locale.both = true;
    j->sheet = (snub_sheet){.locale = &j->locale,
                            .file = cli_base_name(j->loaded.document.name),
                            .version = "snub " SNUB_VERSION,
                            .date = date,
                            .house = j->loaded.house};
    j->share = (snub_share){.sheet = &j->sheet,
                            .language = cli_language(run, &j->loaded),
                            .watermark = watermark,
                            .sales = cli_has(run, "sales"),
                            .steps = !cli_has(run, "no-steps")};
    return true;
}

static int run_share(cli_run *run)
{
    const char *date;
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run};
    if (!cli_has(run, "output"))
        return cli_usage_error(run, "give a file for the page: --output kit.html");
    if (!cli_day(run, &date))
        return CLI_BAD;
    const int code = cli_load(run, run->operands[0], &j->loaded) && set_up(j, date) ? make_page(j) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

const cli_command cli_share = {
    .name = "share",
    .summary = "the kit as one page for a phone or tablet, without a program or a network",
    .operands = "FILE",
    .help = "Writes one HTML file with every build of the kit. It opens in any browser, asks nothing of a server or a "
            "network, and can be mailed. Pick the engine front, package and pulley; it shows belt, setting, boost, "
            "verdict, "
            "work on the engine, notes and cautions, the drawing with the arm as it moves through the rev range, and "
            "prints the steps of fitting.\n"
            "\n"
            "The words and numbers are those of `snub sheet --kind chart` and of the fitting sheet. A build that fails "
            "says DO NOT "
            "FIT and why, and has neither belt nor steps. --sales leaves out what is for the engineer, --no-steps the "
            "fitting; the watermark says whom the page is for. --variant and --package narrow the kit. The exit code "
            "is 1 if any "
            "build fails.\n"
            "\n"
            "The page is a copy: when the kit changes, send a new one. Its date and the SHA-256 of the kit stand at "
            "its foot.",
    .example = "snub share examples/sedgemere.yaml -o sedgemere.html\n"
               "snub share examples/sedgemere.yaml --sales --watermark \"for dealers\" --date 2026-11-28 -o sales.html",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .run = CLI_FULL(run_share),
};
