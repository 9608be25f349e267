/* snub bill FILE: bill of materials of every package on every engine front. */
#include <string.h>

#include "commands.h"
#include "load.h"
#include "snub/bill.h"
#include "snub/report.h"

static const char *const formats[] = {"text", "csv", "xlsx", "json", NULL};
static const cli_option options[] = {
    {"output", 'o', "FILE", "write to this file; .csv, .xlsx and .json choose the format", false, CLI_OUTPUT, NULL},
    {"format", 0, "FORMAT", "output format", false, false, formats},
};

static snub_status write_bill(cli_run *run, const snub_bill *bill, snub_catalogue *catalogue, const char *format,
                              snub_text *out, snub_error *error)
{
    snub_data_table table;
    const snub_status status = snub_bill_table(bill, catalogue, &run->locale, &run->arena, &table, error);
    if (status != SNUB_OK)
        return status;
    if (strcmp(format, "csv") == 0)
        return snub_table_csv(&table, out, error);
    if (strcmp(format, "xlsx") == 0)
        return snub_tables_xlsx(&table, 1, out, error);
    const snub_look look = {.width = run->width, .colour = false, .locale = &run->locale};
    return snub_table_show(&table, &look, out, error);
}

static int put_json(cli_run *run, const snub_bill *bill, snub_catalogue *catalogue, int code)
{
    snub_error error = {0};
    struct json_t *json = snub_json_bill(bill, catalogue, &run->arena, &error);
    if (json == NULL && error.code != SNUB_OK)
        return cli_error(&error, NULL, 0);
    return cli_put_json(run, json, cli_value(run, "output"), code);
}

static int answer(cli_run *run, const cli_drive *loaded, const char *format)
{
    snub_bill bill;
    snub_error error;
    snub_text text = {0};
    int code = CLI_PASS;
    if (!cli_make_bill(run, loaded, &bill))
        return CLI_BAD;
    for (int c = 0; c < bill.column_count; c++)
        code = bill.columns[c].verdict == SNUB_FAIL ? CLI_FAIL : code;
    if (strcmp(format, "json") == 0)
        return put_json(run, &bill, loaded->catalogue, code);
    const snub_status status = write_bill(run, &bill, loaded->catalogue, format, &text, &error);
    code = status == SNUB_OK ? cli_put(run, cli_value(run, "output"), &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

static int run_bill(cli_run *run)
{
    const char *format = cli_format(run, formats, "text");
    cli_drive loaded;
    if (strcmp(format, "xlsx") == 0 && !cli_has(run, "output"))
        return cli_usage_error(run, "give a file for the workbook: --output bill.xlsx");
    const int code = cli_load(run, run->operands[0], &loaded) ? answer(run, &loaded, format) : CLI_BAD;
    cli_unload(&loaded);
    return code;
}

const cli_command cli_bill = {
    .name = "bill",
    .summary = "bill of materials: parts by package and engine front",
    .operands = "FILE",
    .help =
        "Lists every part of the kit with how many pieces of it each package on each engine front takes: what is in "
        "the "
        "box (new), what stays on the engine (kept), what is reworked (changed) and what comes off (removed), as the "
        "drive file says it. Each column is one build, with the option values of the drive file; below the table stand "
        "its number in the chart, its belt and its verdict.\n"
        "\n"
        "Parts of the catalogue bring their own number, supplier and price; what the new pieces with a price cost "
        "stands "
        "below, for each currency. --variant and --package narrow it to one front or package. The exit code is 1 if "
        "any of the builds fails. On paper: `snub sheet --kind bill`; the parts of one build with tools and reworks: "
        "`snub sheet --kind parts`.",
    .example = "snub bill examples/sedgemere.yaml\n"
               "snub bill examples/sedgemere.yaml -o bill.xlsx\n"
               "snub sheet examples/sedgemere.yaml --kind bill -o bill.pdf",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .run = run_bill,
};
