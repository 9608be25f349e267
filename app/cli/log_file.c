/* Logs as commands read them. */
#include "log_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "progress.h"

enum { PIECE = 1 << 18 };

static bool told(const snub_error *error)
{
    cli_error(error, NULL, 0);
    return false;
}

/* ---- the build ----------------------------------------------------------------------------------------------------
 */

bool cli_log_build_load(cli_run *run, const char *path, cli_log_build *of)
{
    snub_error error;
    if (!cli_load(run, path, &of->loaded) || !cli_one_build(run, &of->loaded, &of->build))
        return false;
    of->wish.ambient = of->build.drive->air.pressure;
    if (snub_log_model_make(&of->build, &of->model, &error) != SNUB_OK)
        return told(&error);
    if (snub_log_offers_find(&of->loaded.document, &of->loaded.reading, &of->build, of->offers, &of->offer_count) !=
        SNUB_OK)
        return cli_usage_error(run, "out of memory"), false;
    return true;
}

/* ---- what is said of the columns ----------------------------------------------------------------------------------
 */

/* "engine=NAME" into its place. @return false: told */
static bool read_choice(cli_run *run, const char *option, const char *value, const char **list)
{
    const char *sign = strchr(value, '=');
    for (int c = 0; sign != NULL && sign[1] != '\0' && c < SNUB_LOG_CHANNELS; c++)
        if (strlen(snub_log_words[c]) == (size_t)(sign - value) &&
            strncmp(value, snub_log_words[c], (size_t)(sign - value)) == 0) {
            list[c] = sign + 1;
            return true;
        }
    cli_usage_error(run,
                    "--%s takes time=, engine=, blower=, throttle=, boost= or temperature= and a %s, not \"%.60s\"",
                    option, strcmp(option, "unit") == 0 ? "unit" : "name", value);
    return false;
}

bool cli_log_wish(cli_run *run, snub_log_wish *wish)
{
    const double most = 100e3;
    for (int i = 0; i < run->given_count; i++) {
        const cli_given *given = &run->given[i];
        const bool column = strcmp(given->option->name, "column") == 0;
        if ((column || strcmp(given->option->name, "unit") == 0) &&
            !read_choice(run, given->option->name, given->value, column ? wish->column : wish->unit))
            return false;
    }
    if (!cli_quantity(run, "rate", SNUB_Q_FREQUENCY, &wish->rate))
        return false;
    if (cli_has(run, "rate") && !(wish->rate > 0.0 && wish->rate <= most))
        return cli_usage_error(run, "--rate is above 0 and at most 100000 rows per second"), false;
    if (cli_has(run, "rate") && wish->column[SNUB_LOG_TIME] != NULL)
        return cli_usage_error(run, "--rate is for a log without time: leave out --column time= or --rate"), false;
    return true;
}

/* ---- reading ------------------------------------------------------------------------------------------------------
 */

static bool open_failed(const char *path)
{
    snub_error error;
    const snub_place place = {.file = path};
    snub_fail(&error, SNUB_IO, &place, NULL, "cannot be read: %s", strerror(errno));
    return told(&error);
}

static bool feed(snub_log_reader *reader, int file, const char *path, char *piece)
{
    struct stat is;
    const long long size = fstat(file, &is) == 0 && S_ISREG(is.st_mode) ? (long long)is.st_size : 0;
    const long long kilobyte = 1000;
    long long done = 0;
    snub_error error;
    for (;;) {
        const ssize_t got = read(file, piece, PIECE);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return open_failed(path);
        if (got == 0)
            break;
        done += got;
        cli_done(done / kilobyte, size / kilobyte);
        if (snub_log_feed(reader, piece, (size_t)got, &error) != SNUB_OK)
            return told(&error);
    }
    return snub_log_finish(reader, &error) == SNUB_OK || told(&error);
}

bool cli_log_read(const char *path, snub_log_reader *reader)
{
    const bool standard = strcmp(path, "-") == 0;
    char *piece = malloc(PIECE);
    bool good = false;
    if (piece == NULL) {
        snub_error error;
        snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        return told(&error);
    }
    const int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    cli_doing("reading the log, in kilobytes");
    good = file >= 0 ? feed(reader, file, path, piece) : open_failed(path);
    if (file >= 0 && !standard)
        close(file);
    free(piece);
    return good;
}
