/* What drawings and sheets share. */
#include "printing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "snub/sheet.h"

/* Digits where digits belong, and a month and a day that there are. */
static bool good_day(const char *date)
{
    static const char pattern[] = "dddd-dd-dd";
    for (int i = 0; i < 10; i++)
        if (pattern[i] == 'd' ? date[i] < '0' || date[i] > '9' : date[i] != pattern[i])
            return false;
    int month = atoi(date + 5), day = atoi(date + 8);
    return date[10] == '\0' && month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

bool cli_day(const cli_run *run, const char **date)
{
    *date = cli_value(run, "date");
    if (*date == NULL || good_day(*date))
        return true;
    cli_wrong(run, "--date wants a day as 2026-01-31, not \"%.40s\"", *date);
    return false;
}

const char *cli_base_name(const char *path)
{
    const char *stroke = strrchr(path, '/');
    return stroke != NULL && stroke[1] != '\0' ? stroke + 1 : path;
}

const char *cli_document_hash(cli_run *run, const cli_drive *loaded)
{
    char *hash = SNUB_NEW(&run->arena, char, 65);
    if (hash == NULL)
        cli_wrong(run, "out of memory");
    else
        snub_sha256_text(loaded->document.source, loaded->document.source_length, hash);
    return hash;
}

bool cli_make_chart(cli_run *run, const cli_drive *loaded, snub_chart *chart)
{
    snub_mistakes mistakes = {0};
    snub_chart_request request = {.variant = loaded->variant};
    snub_status status = snub_chart_drive(&loaded->document, &loaded->reading, &request, chart, &mistakes);
    if (status != SNUB_OK)
        cli_tell_mistakes(run, &mistakes, loaded->document.source, loaded->document.source_length);
    snub_mistakes_free(&mistakes);
    return status == SNUB_OK;
}

int cli_chart_build(const cli_run *run, const snub_chart *chart, const char *number)
{
    double value;
    if (snub_parse_number(number, NULL, &value) != SNUB_OK || value != floor(value) || value < 1 ||
        value > chart->build_count) {
        cli_wrong(run, "--build wants a number from 1 to %d, not \"%.40s\"", chart->build_count, number);
        return -1;
    }
    const snub_build *build = &chart->builds[(int)value - 1];
    if (build->has_check)
        return (int)value - 1;
    cli_wrong(run, "build %d has no belt: %s", (int)value,
              build->choices.why_none[0] ? build->choices.why_none : "see snub chart");
    return -1;
}

const char *cli_build_words(cli_run *run, const snub_chart *chart, int index)
{
    const snub_build *build = &chart->builds[index];
    snub_text text = {0};
    snub_text_printf(&text, "%d: %s", index + 1, build->has_check ? build->check.designation : "no belt");
    if (build->variant[0] != '\0')
        snub_text_printf(&text, ", %s", build->variant);
    for (int i = 0; i < chart->option_count; i++)
        snub_text_printf(&text, ", %s %s", chart->options[i].path, build->values[i]);
    const char *words = text.failed ? NULL : snub_copy_text(&run->arena, text.data);
    snub_text_free(&text);
    return words;
}

void cli_take_belt(snub_drive *drive, double length, const double *settings)
{
    drive->belt.length = length;
    for (int i = 0; i < drive->pulley_count; i++)
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(settings[i]))
            drive->pulleys[i].setting = settings[i];
}
