/* Who changes the catalogue, and when. */
#include "catalogue.h"

#include <pwd.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* By the account, whatever the environment says; an account without a name has its number. */
static void put_user(char *to, size_t room)
{
    enum { LINE_MOST = 4096 };
    struct passwd entry, *found = NULL;
    char line[LINE_MOST];
    if (getpwuid_r(getuid(), &entry, line, sizeof line, &found) == 0 && found && found->pw_name[0])
        snub_put_text(to, room, found->pw_name);
    else
        snprintf(to, room, "account %lu", (unsigned long)getuid());
}

static void put_now(char *to, size_t room)
{
    const time_t now = time(NULL);
    struct tm utc;
    if (!gmtime_r(&now, &utc) || strftime(to, room, "%Y-%m-%dT%H:%M:%SZ", &utc) == 0)
        snub_put_text(to, room, "unknown time");
}

void snub_author_of(const snub_catalogue *catalogue, snub_author *author)
{
    memset(author, 0, sizeof *author);
    if (catalogue->user)
        snub_put_text(author->user, sizeof author->user, catalogue->user);
    else
        put_user(author->user, sizeof author->user);
    if (catalogue->at)
        snub_put_text(author->at, sizeof author->at, catalogue->at);
    else
        put_now(author->at, sizeof author->at);
    if (gethostname(author->host, sizeof author->host - 1) != 0 || !author->host[0])
        snub_put_text(author->host, sizeof author->host, "unknown host");
}
