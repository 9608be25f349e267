/* ASCII DXF: two lines a pair. */
#include "dxf_pairs.h"

#include <stdlib.h>
#include <string.h>

enum { LINES_MOST = 100000000 };

snub_status snub_dxf_fail(const snub_dxf_pairs *p, snub_status code, int line, snub_error *error, const char *message)
{
    const snub_place place = {.file = p->name, .line = line};
    return snub_fail(error, code, &place, NULL, "%s", message);
}

static bool is_code(const char *text, int *code)
{
    char *end;
    const long number = strtol(text, &end, 10);
    *code = (int)number;
    return text[0] != '\0' && *end == '\0' && number >= -5 && number <= 1071 && strlen(text) < 8;
}

static snub_status take_line(snub_dxf_pairs *p, snub_error *error)
{
    char *from = p->text, *end = p->text + p->held;
    p->held = 0;
    p->line++;
    if (p->line == 1 && end - from >= 3 && memcmp(from, "\xEF\xBB\xBF", 3) == 0)
        from += 3;
    while (end > from && (end[-1] == '\r' || end[-1] == ' ' || end[-1] == '\t'))
        end--;
    while (from < end && (*from == ' ' || *from == '\t'))
        from++;
    *end = '\0';
    if (p->has_code) {
        p->has_code = false;
        return p->take(p->context, p->code, from, p->line, error);
    }
    if (p->line > LINES_MOST)
        return snub_dxf_fail(p, SNUB_TOO_LARGE, p->line, error, "the file has more than 100 million lines");
    p->has_code = is_code(from, &p->code);
    if (p->has_code)
        return SNUB_OK;
    return snub_dxf_fail(p, SNUB_BAD_INPUT, p->line, error,
                         p->line < 3 ? "not an ASCII DXF file: its first line is not a group code"
                                     : "a group code should be here, a whole number");
}

snub_status snub_dxf_feed(snub_dxf_pairs *p, const char *data, size_t length, snub_error *error)
{
    for (size_t i = 0; i < length; i++) {
        if (data[i] == '\0')
            return snub_dxf_fail(p, SNUB_BAD_INPUT, p->line + 1, error,
                                 "there are bytes here that are no text: save the sketch as ASCII DXF, not binary");
        if (data[i] == '\n') {
            const snub_status status = take_line(p, error);
            if (status != SNUB_OK)
                return status;
        } else if (p->held == SNUB_DXF_LINE_MOST) {
            return snub_dxf_fail(p, SNUB_TOO_LARGE, p->line + 1, error, "the line is longer than 4096 bytes");
        } else {
            p->text[p->held++] = data[i];
        }
    }
    return SNUB_OK;
}

snub_status snub_dxf_finish(snub_dxf_pairs *p, snub_error *error)
{
    const snub_status status = p->held > 0 ? take_line(p, error) : SNUB_OK;
    if (status != SNUB_OK || !p->has_code)
        return status;
    return snub_dxf_fail(p, SNUB_BAD_INPUT, p->line, error, "the file ends behind a group code");
}
