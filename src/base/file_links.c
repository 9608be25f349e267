/* Symbolic links, and whether two paths are one file. */
#include "file_links.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "snub/base.h"

enum { LINKS_MOST = 16 }; /* symbolic links followed before we call it a loop */

size_t snub_folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) + 1 : 0;
}

int snub_follow_links(const char *path, char target[SNUB_PATH_MOST])
{
    if (strlen(path) >= SNUB_PATH_MOST)
        return ENAMETOOLONG;
    strcpy(target, path);
    for (int links = 0; links < LINKS_MOST; links++) {
        struct stat facts;
        if (lstat(target, &facts) != 0)
            return errno == ENOENT ? 0 : errno; /* it may be a link, only not seen: a rename would replace it */
        if (!S_ISLNK(facts.st_mode))
            return 0;
        char next[SNUB_PATH_MOST];
        ssize_t got = readlink(target, next, sizeof next - 1);
        if (got < 0)
            return errno;
        next[got] = 0;
        size_t keep = next[0] == '/' ? 0 : snub_folder_length(target);
        if (keep + (size_t)got >= SNUB_PATH_MOST)
            return ENAMETOOLONG;
        memcpy(target + keep, next, (size_t)got + 1);
    }
    return ELOOP;
}

/* The folder in which a file would come to be, and its name there. */
static bool birthplace(const char *path, char target[SNUB_PATH_MOST], struct stat *folder, const char **name)
{
    if (snub_follow_links(path, target) != 0)
        return false;
    const size_t length = snub_folder_length(target);
    char within[SNUB_PATH_MOST];
    memcpy(within, target, length);
    memcpy(within + length, ".", 2);
    *name = target + length;
    return (*name)[0] && stat(within, folder) == 0;
}

char *snub_file_target(const char *path, snub_arena *arena)
{
    char target[SNUB_PATH_MOST];
    return snub_follow_links(path, target) == 0 ? snub_copy_text(arena, target) : NULL;
}

bool snub_file_same(const char *a, const char *b)
{
    struct stat of_a, of_b;
    const bool a_there = stat(a, &of_a) == 0, b_there = stat(b, &of_b) == 0;
    if (a_there != b_there)
        return false;
    if (a_there)
        return S_ISREG(of_a.st_mode) && of_a.st_dev == of_b.st_dev && of_a.st_ino == of_b.st_ino;
    char target_a[SNUB_PATH_MOST], target_b[SNUB_PATH_MOST];
    const char *name_a, *name_b;
    return birthplace(a, target_a, &of_a, &name_a) && birthplace(b, target_b, &of_b, &name_b) &&
           of_a.st_dev == of_b.st_dev && of_a.st_ino == of_b.st_ino && strcmp(name_a, name_b) == 0;
}
