/* Where a long text goes while it is made: a temporary file that has no name any more. */
#include "snub/base.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Bytes that are held before they are moved out: outputs for people and for a bench stay in memory. */
enum { HELD_MOST = 1 << 18 };

/* Beside other temporary files; gone with the program, however it ends. */
static FILE *open_nameless(void)
{
    const char *folder = getenv("TMPDIR");
    char path[4096];
    const int wanted = snprintf(path, sizeof path, "%s/snub-XXXXXX", folder && folder[0] ? folder : "/tmp");
    if (wanted < 0 || (size_t)wanted >= sizeof path) {
        errno = ENAMETOOLONG;
        return NULL;
    }
    const int file = mkstemp(path);
    if (file < 0)
        return NULL;
    unlink(path);
    FILE *stream = fdopen(file, "w+");
    if (!stream)
        close(file);
    return stream;
}

void snub_text_settle(snub_text *text)
{
    if (!text->may_spill || text->failed || text->length < HELD_MOST)
        return;
    if (!text->spilled)
        text->spilled = open_nameless();
    if (!text->spilled || fwrite(text->data, 1, text->length, text->spilled) != text->length) {
        text->spill_failure = errno ? errno : EIO;
        text->failed = true;
        return;
    }
    text->length = 0;
    text->data[0] = 0;
}
