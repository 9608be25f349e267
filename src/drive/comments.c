#include "comments.h"

#include <string.h>

static const char *find(const char *at, const char *end, const char *piece, size_t size)
{
    while (size <= (size_t)(end - at)) {
        at = memchr(at, piece[0], (size_t)(end - at) - size + 1);
        if (!at || memcmp(at, piece, size) == 0)
            return at;
        at++;
    }
    return NULL;
}

bool snub_bytes_contain(const char *text, size_t length, const char *piece, size_t size, const char **last)
{
    const char *end = text + length, *found = *last ? find(*last, end, piece, size) : NULL;
    if (!found)
        found = find(text, end, piece, size);
    if (found)
        *last = found;
    return found != NULL;
}

static const char *comment_of(const char *line, const char *end)
{
    for (const char *at = line; at < end; at++) {
        if (*at == '#' && (at == line || at[-1] == ' ' || at[-1] == '\t'))
            return at;
    }
    return NULL;
}

const char *snub_next_comment(const char **line, const char *end, size_t *size)
{
    const char *comment = NULL;
    while (!comment && *line < end) {
        const char *mark = memchr(*line, '\n', (size_t)(end - *line)), *stop = mark ? mark : end;
        comment = comment_of(*line, stop);
        *size = comment ? (size_t)(stop - comment) : 0;
        *line = mark ? mark + 1 : end;
    }
    return comment;
}
