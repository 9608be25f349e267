/* What drawings and sheets share. */
#include "printing.h"

#include <string.h>

bool cli_day(const cli_run *run, const char **date)
{
    *date = cli_value(run, "date");
    if (*date == NULL || snub_is_day(*date, strlen(*date)))
        return true;
    cli_usage_error(run, "--date takes a date such as 2026-01-31, not \"%.40s\"", *date);
    return false;
}

const char *cli_base_name(const char *path)
{
    const char *stroke = strrchr(path, '/');
    return stroke != NULL && stroke[1] != '\0' ? stroke + 1 : path;
}
