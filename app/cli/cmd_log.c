/* snub log FILE DRIVE: the belt's slip in a data log. */
#include <string.h>

#include "commands.h"
#include "files.h"
#include "load.h"
#include "locale_shipped.h"
#include "log_file.h"
#include "snub/json.h"
#include "snub/trace_report.h"

static const cli_option options[] = {
    {"column", 0, "WHAT=NAME",
     "take this column for time, engine, blower, throttle, boost or temperature: its name, or its number", true, false,
     NULL},
    {"unit", 0, "WHAT=UNIT", "unit of a column, where the log does not say it, as in boost=psi or time=ms", true, false,
     NULL},
    {"by", 0, "WHAT",
     "what the blower's speed is taken from: speed, boost, or ripple, the pulses of its lobes in boost (default: "
     "speed, without such a column boost)",
     false, false, snub_log_source_words + 1},
    {"pulses", 0, "N", "for --by ripple: pulses of pressure per turn of the blower's pulley", false, false, NULL},
    {"rate", 0, "HZ", "rows per second of a log without time", false, false, NULL},
    {"csv", 0, "FILE", "write the slips as CSV", false, CLI_OUTPUT, NULL},
    {"svg", 0, "FILE", "plot speeds and slip over time as SVG", false, CLI_OUTPUT, NULL},
    {"pdf", 0, "FILE", "the same plot as PDF", false, CLI_OUTPUT, NULL},
    {"language", 0, "LANG", "language of text and plot (default: the house's in the plot, else en)", false, false,
     NULL},
};

typedef struct job {
    cli_run *run;
    cli_log_build of;
    snub_log_source by;
    double pulses; /* 0: not given */
    snub_log_reader *reader;
    snub_log_finder *finder;
    snub_log_answer answer;
} job;

/* ---- reading ------------------------------------------------------------------------------------------------------
 */

static bool read_source(job *j)
{
    cli_run *run = j->run;
    const double pulses_most = SNUB_LOG_PULSES_MOST;
    if (cli_has(run, "by"))
        j->by = (snub_log_source)(cli_word(run, "by", 0) + 1);
    if (!cli_quantity(run, "pulses", SNUB_Q_NUMBER, &j->pulses))
        return false;
    if (cli_has(run, "pulses") != (j->by == SNUB_LOG_BY_RIPPLE))
        return cli_usage_error(run, "--by ripple and --pulses N go together: N pulses of pressure per turn of the "
                                    "blower's pulley"),
               false;
    if (cli_has(run, "pulses") && !(j->pulses > 0.0 && j->pulses <= pulses_most))
        return cli_usage_error(run, "--pulses is above 0 and at most 1000"), false;
    return true;
}

static bool read_log(job *j, const char *path)
{
    snub_error error;
    bool good = false;
    j->finder = snub_log_finder_open(&j->of.model, j->of.offers, j->of.offer_count, j->by, j->pulses);
    if (j->finder == NULL)
        cli_usage_error(j->run, "out of memory");
    else if (snub_log_open(path, &j->of.wish, j->run->units, snub_log_finder_row, j->finder, &j->reader, &error) !=
             SNUB_OK)
        cli_error(&error, NULL, 0);
    else
        good = cli_log_read(path, j->reader);
    if (good && snub_log_finder_end(j->finder, snub_log_read(j->reader), &j->answer, &error) != SNUB_OK) {
        error.place.file = path;
        good = false;
        cli_error(&error, NULL, 0);
    }
    return good;
}

/* ---- the answer ---------------------------------------------------------------------------------------------------
 */

/* What goes where. All is made before the first of it is written, so that a failure leaves no file behind. */
typedef struct outputs {
    snub_text csv, svg, pdf, said;
} outputs;

static snub_status make_csv(job *j, snub_text *out, snub_error *error)
{
    snub_data_table table;
    if (!cli_has(j->run, "csv"))
        return SNUB_OK;
    const snub_status status = snub_log_table(&j->answer, &j->run->arena, &table, error);
    return status == SNUB_OK ? snub_table_csv(&table, out, error) : status;
}

static snub_status make_plots(job *j, const snub_locale *locale, outputs *out, snub_error *error)
{
    snub_drawing drawing;
    const bool svg = cli_has(j->run, "svg"), pdf = cli_has(j->run, "pdf");
    const char *path = j->run->operands[0], *slash = strrchr(path, '/'), *title = slash != NULL ? slash + 1 : path;
    const snub_imprint imprint = {.subject = title, .creator = "snub " SNUB_VERSION};
    if (!svg && !pdf)
        return SNUB_OK;
    snub_status status = snub_log_plot(&j->answer, title, locale, &j->run->arena, &drawing, error);
    if (status == SNUB_OK && svg)
        status = snub_draw_svg(&drawing, SNUB_THEME_LIGHT, &imprint, &out->svg, error);
    if (status == SNUB_OK && pdf)
        status = snub_draw_pdf(&drawing, SNUB_THEME_LIGHT, &imprint, &out->pdf, error);
    return status;
}

static snub_status make_said(job *j, const snub_locale *locale, snub_text *out, snub_error *error)
{
    cli_run *run = j->run;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = locale};
    if (!run->json)
        return snub_text_log(&j->answer, &look, out, error);
    return cli_json_text(run, snub_json_log(&j->answer, locale), out, error);
}

static int write_all(const cli_run *run, const outputs *out, int code)
{
    const struct {
        const char *option;
        const snub_text *text;
    } files[] = {{"csv", &out->csv}, {"svg", &out->svg}, {"pdf", &out->pdf}};
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++)
        if (cli_has(run, files[i].option) &&
            cli_put(run, cli_value(run, files[i].option), files[i].text, code) == CLI_BAD)
            return CLI_BAD;
    return cli_print(run, &out->said, code);
}

static int answer(job *j)
{
    cli_run *run = j->run;
    snub_messages messages;
    outputs out = {0};
    snub_error error;
    if (!cli_messages(run, &j->of.loaded, &messages))
        return CLI_BAD;
    snub_locale locale = snub_messages_locale(&messages);
    locale.inches = run->locale.inches;
    snub_status status = make_csv(j, &out.csv, &error);
    if (status == SNUB_OK)
        status = make_plots(j, &locale, &out, &error);
    if (status == SNUB_OK)
        status = make_said(j, cli_has(run, "language") ? &locale : &run->locale, &out.said, &error);
    const int code = status == SNUB_OK ? write_all(run, &out, j->answer.level == SNUB_FAIL ? CLI_FAIL : CLI_PASS)
                                       : cli_error(&error, NULL, 0);
    snub_text_free(&out.csv);
    snub_text_free(&out.svg);
    snub_text_free(&out.pdf);
    snub_text_free(&out.said);
    return code;
}

static int run_log(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    j->run = run;
    if (strcmp(run->operands[0], "-") == 0 && strcmp(run->operands[1], "-") == 0)
        return cli_usage_error(run, "only one of the two files can be standard input");
    int code = CLI_BAD;
    if (cli_log_wish(run, &j->of.wish) && read_source(j) && cli_reads(run, "log", run->operands[0]) &&
        cli_log_build_load(run, run->operands[1], &j->of) && read_log(j, run->operands[0]))
        code = answer(j);
    snub_log_finder_close(j->finder);
    snub_log_close(j->reader);
    cli_unload(&j->of.loaded);
    return code;
}

const cli_command cli_log = {
    .name = "log",
    .summary = "a data log of dyno or track: where the belt slips",
    .operands = "LOG FILE",
    .help =
        "Reads a log with the speeds of engine and blower, plain text or gzip, and finds where the blower turns slower "
        "than the belt would drive it, or runs on faster. A log without the blower's speed is judged by its boost, "
        "with "
        "the file's blower and engine: less surely, since leaks and filters cost boost as well. With --by ripple the "
        "pulses of the blower's lobes tell "
        "its speed, in a log of several thousand rows a second. FILE is the drive "
        "file; --variant, --set and the like "
        "choose the build that was on the engine.\n"
        "\n"
        "Columns are found by their usual names, English or German, in any order and with any of the usual separators, "
        "decimal points or commas; units are in the header, in a row below it, or are given by --unit. --column says "
        "which column is which where the names are others. Rows that are wrong are counted and named by line, and "
        "not used. --rate is for logs without time.\n"
        "\n"
        "The first rows calibrate: the log's own ratio where nothing slips, the lag between the two sensors, and the "
        "noise. From the noise follows the least slip that this log can show, which is printed; slip shorter than "
        "0.2 s or less than that can be missed. A ratio that is not the file's is named with the pulley on offer that "
        "fits it.\n"
        "\n"
        "Each slip has its time, engine speed, depth, heat, which pulley is likelier, and what the file's own check "
        "says of that speed. Pulls and gear changes are listed as well. The exit code is 1 if the belt slips.",
    .example = "snub log examples/logs/sedgemere-pull.csv examples/sedgemere.yaml --set blower.diameter=70\n"
               "snub log examples/logs/sedgemere-pull.csv examples/sedgemere.yaml --column blower=\"blower speed\" "
               "--unit boost=kPa\n"
               "snub log examples/logs/sedgemere-pull.csv examples/sedgemere.yaml --svg pull.svg --csv slips.csv\n"
               "snub log examples/logs/sedgemere-pull.csv examples/sedgemere.yaml --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 2,
    .most = 2,
    .reads_drive = true,
    .one_build = true,
    .run = CLI_FULL(run_log),
};
