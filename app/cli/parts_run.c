/* What every verb of `snub parts` needs: the catalogue open, and names for messages. */
#include "parts_run.h"

#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "files.h"
#include "progress.h"
#include "snub/json.h"

enum { WAIT_MOST_S = 3600 };

static bool find_catalogue(parts_run *p)
{
    p->path = snub_catalogue_path(cli_value(p->run, "catalogue"), &p->run->arena);
    if (!p->path)
        cli_usage_error(p->run, "no catalogue: there is no home folder; give --catalogue FILE");
    return p->path != NULL;
}

bool parts_open(parts_run *p, snub_catalogue_mode mode)
{
    double wait = 10;
    snub_error error;
    const bool again = p->compared;
    p->compared = true;
    if (!p->path && !find_catalogue(p))
        return false;
    if (!cli_quantity(p->run, "wait", SNUB_Q_TIME, &wait))
        return false;
    if (wait < 0 || wait > WAIT_MOST_S) {
        cli_usage_error(p->run, "--wait takes 0 to %d s", WAIT_MOST_S);
        return false;
    }
    if (!again && !cli_reads_catalogue(p->run, p->path, mode != SNUB_CATALOGUE_READ))
        return false;
    cli_doing("waiting for the catalogue");
    if (snub_catalogue_open(p->path, mode, wait, &p->catalogue, &error) != SNUB_OK) {
        cli_error(&error, NULL, 0);
        return false;
    }
    snub_catalogue_sign(p->catalogue, cli_value(p->run, "by"), cli_value(p->run, "date"));
    if (mode != SNUB_CATALOGUE_READ && snub_catalogue_version_found(p->catalogue) > 0 &&
        snub_catalogue_version_found(p->catalogue) < SNUB_CATALOGUE_VERSION)
        cli_say("snub parts: catalogue upgraded from version %d to %d\n", snub_catalogue_version_found(p->catalogue),
                (int)SNUB_CATALOGUE_VERSION);
    return true;
}

/* A signal that comes before the name of the new file is known waits those few milliseconds. */
bool parts_open_or_begin(parts_run *p)
{
    sigset_t stops, before;
    if (!p->path && !find_catalogue(p))
        return false;
    const bool absent = access(p->path, F_OK) != 0;
    sigemptyset(&stops);
    sigaddset(&stops, SIGINT);
    sigaddset(&stops, SIGTERM);
    if (absent)
        sigprocmask(SIG_BLOCK, &stops, &before);
    const bool opened = parts_open(p, SNUB_CATALOGUE_BUILD);
    if (opened)
        cli_stopped_removes(snub_catalogue_new_file(p->catalogue));
    if (absent)
        sigprocmask(SIG_SETMASK, &before, NULL);
    return opened;
}

void parts_close(parts_run *p)
{
    cli_stopped_removes(NULL);
    snub_catalogue_close(p->catalogue);
    p->catalogue = NULL;
}

snub_status parts_place_new(parts_run *p, snub_error *error)
{
    if (!snub_catalogue_is_new(p->catalogue))
        return SNUB_OK;
    snub_status status = snub_catalogue_place(p->catalogue, error);
    parts_close(p);
    const snub_place place = {p->path, 0, 0, 0, 0};
    if (status == SNUB_STOPPED)
        return snub_fail(error, status, &place, NULL,
                         "another program has just made this catalogue; run the command again");
    if (status != SNUB_OK && error->place.file)
        error->place = place;
    return status;
}

int parts_no_memory(const parts_run *p)
{
    return cli_usage_error(p->run, "out of memory");
}

/* Where memory is out, a text that is all of that. */
const char *parts_shown(const parts_run *p, const char *path)
{
    snub_text text = {0};
    snub_text_safe(&text, path, strlen(path));
    const char *copy = cli_keep_text(p->run, &text);
    return copy ? copy : "?";
}

void parts_put_change(struct json_t *object, const snub_part_change *change)
{
    snub_json_put(object, "what", snub_json_words(change->what));
    snub_json_put(object, "field", change->field[0] ? snub_json_words(change->field) : json_null());
    snub_json_put(object, "old", change->old ? snub_json_words(change->old) : json_null());
    snub_json_put(object, "new", change->now ? snub_json_words(change->now) : json_null());
}
