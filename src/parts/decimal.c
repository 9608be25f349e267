/* Numbers as suppliers write them: decimal comma, marks between thousands. Nothing is guessed: "1,234" is an error
 * until somebody says which mark is which. */
#include "import.h"

#include <string.h>

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Bytes of a mark at `at` that may stand within a number, and which; blanks of any width are one mark. */
static size_t mark_at(const char *at, char *mark)
{
    static const struct {
        const char *bytes;
        char mark;
    } marks[] = {{".", '.'}, {",", ','},        {"'", '\''},           {"\xE2\x80\x99", '\''},
                 {" ", ' '}, {"\xC2\xA0", ' '}, {"\xE2\x80\xAF", ' '}, {"\xE2\x80\x89", ' '}};
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        const size_t length = strlen(marks[i].bytes);
        if (strncmp(at, marks[i].bytes, length) == 0) {
            *mark = marks[i].mark;
            return length;
        }
    }
    return 0;
}

typedef struct number_reader {
    const snub_import_dialect *dialect;
    char *out;
    size_t used, room;
    bool broken; /* digits between the marks that no number has */
    snub_number_fault fault;
} number_reader;

static void put(number_reader *r, char c)
{
    if (r->used + 1 < r->room)
        r->out[r->used++] = c;
    else
        r->fault = SNUB_NUMBER_LONG;
}

/* One number, from its first digit (or decimal mark) on. @return behind it */
static const char *take_number(number_reader *r, const char *at)
{
    const char decimal = r->dialect->decimal ? r->dialect->decimal : '.';
    bool grouped = false, fraction = false;
    size_t digits = 0; /* since the last mark */
    for (;;) {
        char mark = 0;
        const size_t length = is_digit(*at) ? 0 : mark_at(at, &mark);
        if (is_digit(*at)) {
            put(r, *at++);
            digits++;
        } else if (length && mark == decimal && !fraction) {
            r->broken = r->broken || (grouped && digits != 3);
            fraction = true;
            digits = 0;
            put(r, '.');
            at += length;
        } else if (length && mark == r->dialect->thousands && !fraction && is_digit(at[length])) {
            r->broken = r->broken || digits == 0 || digits > 3 || (grouped && digits != 3);
            grouped = true;
            digits = 0;
            at += length;
        } else {
            r->broken = r->broken || (grouped && !fraction && digits != 3);
            /* a mark with a digit behind it is of this number, and no mark that it may have */
            if (length && mark != ' ' && is_digit(at[length]))
                r->fault = r->dialect->decimal ? SNUB_NUMBER_OTHER_MARK : SNUB_NUMBER_UNSAID;
            return at;
        }
    }
}

/* A digit behind a letter is of a unit: "kg m2". */
static bool begins_number(const char *text, const char *at, char decimal)
{
    const char before = at > text ? at[-1] : ' ';
    const bool letter = (before >= 'a' && before <= 'z') || (before >= 'A' && before <= 'Z');
    return !letter && (is_digit(*at) || (*at == decimal && is_digit(at[1])));
}

snub_number_fault snub_import_plain_number(const snub_import_dialect *dialect, const char *text, char *out, size_t room)
{
    number_reader r = {.dialect = dialect, .out = out, .room = room};
    const char decimal = dialect->decimal ? dialect->decimal : '.';
    for (const char *at = text; *at && r.fault == SNUB_NUMBER_FINE;)
        if (begins_number(text, at, decimal))
            at = take_number(&r, at);
        else
            put(&r, *at++);
    out[r.used] = '\0';
    return r.fault == SNUB_NUMBER_FINE && r.broken ? SNUB_NUMBER_GROUPS : r.fault;
}
