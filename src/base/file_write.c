/* A whole file out of memory, so that a failure on the way never harms the one that is there. */
#include "snub/base.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file_links.h"
#include "neighbour.h"

static int replace(const char *target, const struct stat *old, const snub_content *what)
{
    snub_neighbour neighbour;
    int code = snub_neighbour_open(AT_FDCWD, target, old, &neighbour);
    if (code)
        return code;
    code = snub_neighbour_fill(&neighbour, what);
    if (!code)
        code = snub_neighbour_move(&neighbour, target);
    if (code)
        snub_neighbour_drop(&neighbour);
    return code;
}

/* Devices and pipes cannot be replaced: what is written goes straight in. */
static int write_into(const char *target, const snub_content *what)
{
    int file = open(target, O_WRONLY | O_NOCTTY | O_CLOEXEC);
    if (file < 0)
        return errno;
    int code = snub_content_write(what, file);
    if (close(file) != 0 && !code)
        code = errno;
    return code;
}

static snub_status put(const char *path, const snub_content *what, snub_error *error)
{
    if (strcmp(path, "-") == 0) {
        int code = fflush(stdout) == 0 ? snub_content_write(what, STDOUT_FILENO) : errno;
        return code ? snub_not_written(error, "standard output", code) : SNUB_OK;
    }
    char target[SNUB_PATH_MOST];
    int code = snub_follow_links(path, target);
    struct stat old;
    bool exists = !code && stat(target, &old) == 0;
    if (!code && !exists && errno != ENOENT)
        code = errno;
    if (code)
        return snub_not_written(error, path, code);
    if (exists && S_ISDIR(old.st_mode))
        code = EISDIR;
    else if (exists && access(target, W_OK) != 0)
        code = errno; /* a rename would get past a file's own write protection */
    else if (exists && !S_ISREG(old.st_mode))
        code = write_into(target, what);
    else
        code = replace(target, exists ? &old : NULL, what);
    return code ? snub_not_written(error, path, code) : SNUB_OK;
}

snub_status snub_file_write(const char *path, const char *data, size_t length, snub_error *error)
{
    const snub_content what = {NULL, data, length};
    return put(path, &what, error);
}

snub_status snub_text_write(const char *path, const snub_text *text, snub_error *error)
{
    if (text->failed && !text->spill_failure)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (text->failed || (text->spilled && fflush(text->spilled) != 0))
        return snub_fail(error, SNUB_IO, NULL, NULL, "temporary file: %s",
                         strerror(text->spill_failure ? text->spill_failure : errno));
    const snub_content what = {text->spilled, text->data ? text->data : "", text->length};
    return put(path, &what, error);
}
