/* An error as a person reads it: one line that says it, then the line of the file with a caret under the place. */
#include "safe_text.h"
#include "snub/base.h"

#include <string.h>

enum {
    LINE_SHOWN = 100, /* columns of the user's line at most */
    LINE_BEFORE = 60, /* of these before the caret, where the line is longer */
    TAB_SHOWN = 4     /* columns a tab takes here, wherever it stands, so that the caret stays under its place */
};

/* Text from a file may hold anything; a terminal must not obey it. */
static void add_safe(const char *text, snub_text *out)
{
    const char *end = text + strlen(text);
    while (text < end) {
        const char *start = text;
        uint32_t point = snub_utf8_next(&text, end);
        if (point == '\n' || point == '\t')
            snub_text_puts(out, " ");
        else
            snub_safe_add(out, point, start, (size_t)(text - start));
    }
}

/* Bytes of the line break at `at`, as YAML 1.1 counts them; 0 where there is none. */
static size_t break_length(const char *at, const char *end)
{
    size_t left = (size_t)(end - at);
    const unsigned char *byte = (const unsigned char *)at;
    if (left == 0)
        return 0;
    if (byte[0] == '\n')
        return 1;
    if (byte[0] == '\r')
        return left > 1 && byte[1] == '\n' ? 2 : 1;
    if (left > 1 && byte[0] == 0xC2 && byte[1] == 0x85)
        return 2;
    if (left > 2 && byte[0] == 0xE2 && byte[1] == 0x80 && (byte[2] == 0xA8 || byte[2] == 0xA9))
        return 3;
    return 0;
}

static bool find_line(const char *source, size_t length, int wanted, const char **start, const char **stop)
{
    const char *at = source, *end = source + length;
    if (length >= 3 && memcmp(at, "\xEF\xBB\xBF", 3) == 0)
        at += 3;
    for (int line = 1;; line++) {
        const char *begin = at;
        while (at < end && break_length(at, end) == 0)
            at++;
        if (line == wanted) {
            *start = begin;
            *stop = at;
            return true;
        }
        if (at >= end)
            return false;
        at += break_length(at, end);
    }
}

static int shown_width(uint32_t point, size_t bytes)
{
    return point == '\t' ? TAB_SHOWN : snub_safe_width(point, bytes);
}

static void add_blanks(int count, snub_text *out)
{
    for (int i = 0; i < count; i++)
        snub_text_puts(out, " ");
}

/* The characters of [start, stop) that fall in the shown columns [from, to). */
static void add_line(const char *start, const char *stop, int from, int to, snub_text *out)
{
    int column = 0;
    while (start < stop) {
        const char *begin = start;
        uint32_t point = snub_utf8_next(&start, stop);
        int width = shown_width(point, (size_t)(start - begin));
        if (column >= from && column + width <= to) {
            if (point == '\t')
                add_blanks(TAB_SHOWN, out);
            else
                snub_safe_add(out, point, begin, (size_t)(start - begin));
        }
        column += width;
    }
}

static void add_source(const snub_place *place, const char *source, size_t length, snub_text *out)
{
    const char *start, *stop;
    if (!find_line(source, length, place->line, &start, &stop))
        return;
    int caret = 0, width = 0, character = 1;
    for (const char *at = start; at < stop; character++) {
        const char *begin = at;
        uint32_t point = snub_utf8_next(&at, stop);
        int step = shown_width(point, (size_t)(at - begin));
        if (character < place->column)
            caret += step;
        width += step;
    }
    int from = 0, to = width;
    if (width > LINE_SHOWN) {
        from = caret > LINE_BEFORE ? caret - LINE_BEFORE : 0;
        to = from + LINE_SHOWN;
        if (to > width) {
            from -= to - width;
            to = width;
        }
    }
    const char *cut = "...";
    snub_text_puts(out, from > 0 ? cut : "   ");
    snub_text_puts(out, " ");
    add_line(start, stop, from, to, out);
    snub_text_puts(out, to < width ? " ...\n    " : "\n    ");
    add_blanks(caret - from, out);
    snub_text_puts(out, "^\n");
}

void snub_error_render(const snub_error *error, const char *source, size_t source_length, snub_text *out)
{
    const snub_place *place = &error->place;
    if (place->file) {
        add_safe(place->file, out);
        if (place->line > 0)
            snub_text_printf(out, place->column > 0 ? ":%d:%d" : ":%d", place->line, place->column);
        snub_text_puts(out, ": ");
    }
    if (error->key[0]) {
        add_safe(error->key, out);
        snub_text_puts(out, ": ");
    }
    add_safe(error->message[0] ? error->message : snub_status_text(error->code), out);
    if (error->got[0] || error->need[0]) {
        snub_text_puts(out, " (");
        if (error->got[0]) {
            snub_text_puts(out, "got ");
            add_safe(error->got, out);
        }
        if (error->need[0]) {
            snub_text_puts(out, error->got[0] ? ", need " : "need ");
            add_safe(error->need, out);
        }
        snub_text_puts(out, ")");
    }
    snub_text_puts(out, "\n");
    if (source && place->line > 0)
        add_source(place, source, source_length, out);
}
