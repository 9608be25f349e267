/* Lines of a drive file whose value is still a placeholder: their comment begins with MEASURE. */
#include <string.h>

#include "snub/drive.h"

static const char MARK[] = "MEASURE:";

static bool opens_quote(const char *line, const char *at)
{
    return (*at == '"' || *at == '\'') && (at == line || strchr(" \t[{,:(", at[-1]) != NULL);
}

/* Where the comment of a line begins that has a value before it; NULL: there is none. Quotes over several lines are not
 * followed. */
static const char *comment_of(const char *line, const char *end)
{
    bool value = false;
    char quote = '\0';
    for (const char *at = line; at < end; at++) {
        if (quote != '\0') {
            if (*at == '\\' && quote == '"' && at + 1 < end)
                at++;
            else if (*at == quote)
                quote = '\0';
        } else if (*at == '#' && (at == line || at[-1] == ' ' || at[-1] == '\t')) {
            return value ? at : NULL;
        } else if (opens_quote(line, at)) {
            quote = *at;
        }
        value = value || (*at != ' ' && *at != '\t');
    }
    return NULL;
}

static bool marked(const char *comment, const char *end)
{
    comment++;
    while (comment < end && *comment == ' ')
        comment++;
    return (size_t)(end - comment) >= sizeof MARK - 1 && memcmp(comment, MARK, sizeof MARK - 1) == 0;
}

/* In characters, from 1, as the reader counts. */
static int column_of(const char *line, const char *at)
{
    int column = 1;
    for (const char *byte = line; byte < at; byte++)
        column += ((unsigned char)*byte & 0xC0) != 0x80;
    return column;
}

snub_placeholders snub_placeholders_find(const char *name, const char *text, size_t length)
{
    snub_placeholders found = {0};
    const char *line = text, *last = text + length;
    for (int number = 1; line < last; number++) {
        const char *end = memchr(line, '\n', (size_t)(last - line));
        end = end != NULL ? end : last;
        const char *comment = comment_of(line, end);
        if (comment != NULL && marked(comment, end) && found.count++ == 0)
            found.place = (snub_place){.file = name, .line = number, .column = column_of(line, comment)};
        line = end + 1;
    }
    return found;
}

void snub_placeholders_error(const snub_placeholders *placeholders, snub_error *error)
{
    memset(error, 0, sizeof *error);
    if (placeholders->count == 1)
        snub_fail(error, SNUB_OK, &placeholders->place, NULL,
                  "the value of this line is a placeholder. Measure it, then take its mark (MEASURE:) away.");
    else
        snub_fail(error, SNUB_OK, &placeholders->place, NULL,
                  "%d lines have placeholders for values; this is the first. Measure each, then take its mark "
                  "(MEASURE:) away.",
                  placeholders->count);
}
