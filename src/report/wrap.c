/* Words into lines. */
#include "snub/report.h"

#include <string.h>

static void begin_line(int indent, snub_text *out)
{
    snub_text_puts(out, "\n");
    for (int i = 0; i < indent; i++)
        snub_text_puts(out, " ");
}

/* Columns of a piece of text that has no NUL behind it. */
static int piece_width(const char *text, size_t length)
{
    const char *end = text + length;
    int width = 0;
    while (text < end)
        width += snub_utf8_width(snub_utf8_next(&text, end));
    return width;
}

void snub_wrap(const char *words, int column, int indent, int width, snub_text *out)
{
    bool first = true;
    while (*words) {
        size_t blanks = strspn(words, " \n\t");
        words += blanks;
        size_t length = strcspn(words, " \n\t");
        if (!length)
            break;
        int wide = piece_width(words, length);
        if (!first && width > 0 && column + 1 + wide > width) {
            begin_line(indent, out);
            column = indent;
        } else if (!first) {
            snub_text_puts(out, " ");
            column++;
        }
        snub_text_add(out, words, length);
        column += wide;
        words += length;
        first = false;
    }
    snub_text_puts(out, "\n");
}
