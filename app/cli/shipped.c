/* Where the files are that come with the program. */
#include "shipped.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH_ROOM = 4096 };

static char *if_there(snub_arena *arena, const char *base, const char *tail, const char *what, const char *sign)
{
    char *directory = snub_format(arena, "%s%s%s", base, tail, what);
    char *file = directory ? snub_format(arena, "%s/%s", directory, sign) : NULL;
    return file && access(file, R_OK) == 0 ? directory : NULL;
}

char *cli_shipped(snub_arena *arena, const char *what, const char *source, const char *sign)
{
    const char *named = getenv("SNUB_DATA");
    if (named && named[0])
        return if_there(arena, named, "/", what, sign); /* who names one wants that one */
    char program[PATH_ROOM];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0)
        return NULL;
    program[length] = '\0';
    char *slash = strrchr(program, '/');
    if (!slash)
        return NULL;
    *slash = '\0';
    const struct {
        const char *tail, *what;
    } places[] = {{"/../share/snub/", what}, {"/../../share/snub/", what}, {"/../../", source}};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        char *found = if_there(arena, program, places[i].tail, places[i].what, sign);
        if (found)
            return found;
    }
    return NULL;
}
