/* What drawings and sheets share. */
#include "printing.h"

#include <stdlib.h>
#include <string.h>

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
    cli_usage_error(run, "--date takes a date such as 2026-01-31, not \"%.40s\"", *date);
    return false;
}

const char *cli_base_name(const char *path)
{
    const char *stroke = strrchr(path, '/');
    return stroke != NULL && stroke[1] != '\0' ? stroke + 1 : path;
}
