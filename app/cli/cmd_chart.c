/* snub chart FILE: every build that the kit offers. */
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "snub/json.h"
#include "snub/report.h"

static const char *const formats[] = {"text", "csv", "xlsx", "json", NULL};
static const cli_option options[] = {
    {"output", 'o', "FILE", "write to this file; .csv, .xlsx and .json choose the format", false, CLI_OUTPUT, NULL},
    {"format", 0, "FORMAT", "output format", false, false, formats},
    {"csv", 0, "FILE", "also write the builds to this CSV file", false, CLI_OUTPUT, NULL},
    {"xlsx", 0, "FILE", "also write a workbook: builds, findings, belts, inputs, limits with sources", false,
     CLI_OUTPUT, NULL},
    {"fewest", 0, NULL, "chart the kit with only the fewest belts that cover it", false, false, NULL},
    {"findings", 0, NULL, "list every finding of every build below the table", false, false, NULL},
    {"threads", 0, "N", "number of threads (default: one per processor)", false, false, NULL},
};

static snub_status write_tables(const cli_run *run, const snub_chart *chart, const char *format, snub_arena *arena,
                                snub_text *out, snub_error *error)
{
    snub_data_table *tables, builds;
    snub_arena words = {0};
    int count;
    snub_status status;
    if (strcmp(format, "csv") == 0) {
        status = snub_chart_table(chart, &run->locale, arena, &words, &builds, error);
        status = status == SNUB_OK ? snub_table_csv(&builds, out, error) : status;
    } else {
        status = snub_chart_workbook(chart, &run->locale, arena, &words, &tables, &count, error);
        status = status == SNUB_OK ? snub_tables_xlsx(tables, count, out, error) : status;
    }
    snub_arena_free(&words);
    return status;
}

static snub_status write_chart(const cli_run *run, const snub_chart *chart, const char *format, snub_arena *arena,
                               snub_text *out, snub_error *error)
{
    if (strcmp(format, "json") == 0)
        return snub_json_chart_text(chart, &run->locale, run->hints, out, error);
    if (strcmp(format, "text") != 0)
        return write_tables(run, chart, format, arena, out, error);
    bool to_file = cli_has(run, "output");
    snub_look look = {.width = run->width, .colour = run->colour && !to_file, .locale = &run->locale};
    return snub_text_chart(chart, &look, cli_has(run, "findings"), out, error);
}

/* A chart may have many builds: what is written does not stay in memory. */
static int put_chart(cli_run *run, const snub_chart *chart, const char *format, const char *path, int code)
{
    snub_text text = {.may_spill = true};
    snub_error error;
    const snub_status status = write_chart(run, chart, format, &run->arena, &text, &error);
    /* a failed text knows best what it failed of */
    code = status == SNUB_OK || text.failed ? cli_put(run, path, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* Beside the output proper, for --csv and --xlsx, which are also the names of the formats. */
static int put_also(cli_run *run, const snub_chart *chart, const char *format, int code)
{
    const char *path = cli_value(run, format);
    return path && code != CLI_BAD ? put_chart(run, chart, format, path, code) : code;
}

static int verdict_of(const snub_chart *chart)
{
    for (int i = 0; i < chart->build_count; i++) {
        if (chart->builds[i].verdict == SNUB_FAIL)
            return CLI_FAIL;
    }
    return CLI_PASS;
}

static int make_chart(cli_run *run, const cli_drive *loaded, const char *format, long threads)
{
    snub_chart chart;
    const snub_chart_request request = {.threads = (int)threads};
    if (!cli_make_chart(run, loaded, &request, &chart))
        return CLI_BAD;
    int code = verdict_of(&chart);
    code = put_also(run, &chart, "xlsx", put_also(run, &chart, "csv", code));
    if (code != CLI_BAD)
        code = put_chart(run, &chart, format, cli_value(run, "output"), code);
    snub_chart_free(&chart);
    return code;
}

static int run_chart(cli_run *run)
{
    long threads = 0;
    const char *format = cli_format(run, formats, "text");
    cli_drive loaded;
    if (!cli_count(run, "threads", 1, 256, &threads))
        return CLI_BAD;
    if (strcmp(format, "xlsx") == 0 && !cli_has(run, "output"))
        return cli_usage_error(run, "give a file for the workbook: --output chart.xlsx");
    const int code = cli_load(run, run->operands[0], &loaded) ? make_chart(run, &loaded, format, threads) : CLI_BAD;
    cli_unload(&loaded);
    return code;
}

const cli_command cli_chart = {
    .name = "chart",
    .summary = "every build in the kit: belt, setting, wrap, grip, verdict",
    .operands = "FILE",
    .help =
        "Calculates every combination of the file's options for every package and variant: which stock belt and slot "
        "setting to use, the wrap and how much of it the wrap idler gains over the low end of its slot, the arm angle "
        "from free "
        "with the engine stopped and at redline, the highest grip used and where, and the verdict. Belt "
        "and settings are chosen again for every build, whatever the file gives, by the verdict on the complete "
        "build, hardware included. A build without a belt gives the reason. Below the table: the belts to stock, and "
        "the fewest that cover every build that has a belt, each with a verdict no worse. --fewest charts the kit "
        "with only those.\n"
        "\n"
        "--variant charts one variant only, --package one package. What a package excludes is left out, with the "
        "reason "
        "below the table. A --set on the path of an option fixes that option. The exit code is 1 if "
        "any build fails.",
    .example = "snub chart examples/sedgemere.yaml\n"
               "snub chart examples/sedgemere.yaml --findings | less\n"
               "snub chart examples/sedgemere.yaml --fewest\n"
               "snub chart examples/sedgemere.yaml --output sedgemere.xlsx\n"
               "snub chart examples/sedgemere.yaml --csv sedgemere.csv --xlsx sedgemere.xlsx",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .run = run_chart,
};
