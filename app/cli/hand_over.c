/* From the program that starts quickly to one that has more. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "command.h"
#include "progress.h"
#include "snub/report.h"

enum { PATH_MOST = 4096 };

/* Folder of the running program, with its slash; "" where the system does not say. */
static void own_folder(char folder[PATH_MOST])
{
    ssize_t length = readlink("/proc/self/exe", folder, PATH_MOST - 1);
    folder[length > 0 ? length : 0] = 0;
    char *slash = strrchr(folder, '/');
    if (slash)
        slash[1] = 0;
    else
        folder[0] = 0;
}

static int become(cli_run *run, const char *program)
{
    static const char *const places[] = {"", "../libexec/snub/"}; /* as built, and from snub-full; as installed */
    char folder[PATH_MOST], path[PATH_MOST + 64];
    cli_progress_end(); /* a timer would outlive this program, and end the next */
    own_folder(folder);
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        snprintf(path, sizeof path, "%s%s%s", folder, places[i], program);
        execv(path, run->command_line);
    }
    return cli_usage_error(run, "needs %s, which is not installed next to snub (%s)", program, strerror(errno));
}

int cli_hand_over(cli_run *run)
{
    return become(run, "snub-full");
}
int cli_hand_over_whole(cli_run *run)
{
    return become(run, "snub-whole");
}

bool cli_wants_whole(const cli_run *run)
{
#ifndef SNUB_WHOLE
    const char *format = cli_value(run, "format"), *path = cli_value(run, "output");
    size_t length = path ? strlen(path) : 0;
    return (format && strcmp(format, "xlsx") == 0) || cli_has(run, "xlsx") ||
           (length > 5 && strcmp(path + length - 5, ".xlsx") == 0);
#else
    (void)run;
    return false;
#endif
}

#ifndef SNUB_WHOLE
/* Stands in for the writer of workbooks, whose library loads a whole library of ciphers. It is not reached:
 * cli_wants_whole comes first. */
snub_status snub_tables_xlsx(const snub_data_table *tables, int count, snub_text *out, snub_error *error)
{
    (void)tables, (void)count, (void)out;
    return snub_fail(error, SNUB_IO, NULL, NULL, "only snub-whole writes workbooks");
}
#endif
