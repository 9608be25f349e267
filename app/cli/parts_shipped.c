/* Where the parts are that come with the program. */
#include "parts_shipped.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH_ROOM = 4096 };

static char *if_there(snub_arena *arena, const char *base, const char *tail)
{
    char *directory = snub_format(arena, "%s%s", base, tail);
    char *file = directory ? snub_format(arena, "%s/bearings.csv", directory) : NULL;
    return file && access(file, R_OK) == 0 ? directory : NULL;
}

char *parts_shipped_directory(snub_arena *arena)
{
    const char *named = getenv("SNUB_DATA");
    if (named && named[0])
        return if_there(arena, named, "/parts"); /* who names one wants that one */
    char program[PATH_ROOM];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0)
        return NULL;
    program[length] = '\0';
    char *slash = strrchr(program, '/');
    if (!slash)
        return NULL;
    *slash = '\0';
    static const char *const tails[] = {"/../share/snub/parts", "/../../share/snub/parts", "/../../data/parts"};
    for (size_t i = 0; i < sizeof tails / sizeof tails[0]; i++) {
        char *found = if_there(arena, program, tails[i]);
        if (found)
            return found;
    }
    return NULL;
}
