/* Up to 19 digits as a whole number; where that and the power of ten are doubles without error, one multiplication or
 * division rounds correctly (Clinger 1990). All else goes to snub_parse_number. */
#include "number.h"

#include <string.h>
#include <strings.h>

enum { DIGITS_MOST = 19, POWERS = TRACE_POWERS, SLOW_MOST = 400 };
static const uint64_t EXACT_MOST = 1ULL << 53;
const double trace_powers[POWERS + 1] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                         1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

static bool is_digit(char c)
{
    return (unsigned char)(c - '0') < 10;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

void trace_trim(const char **from, const char **end)
{
    while (*from < *end && is_blank(**from))
        ++*from;
    while (*end > *from && is_blank((*end)[-1]))
        --*end;
    if (*end - *from < 2 || **from != '"' || (*end)[-1] != '"')
        return;
    ++*from;
    --*end;
    while (*from < *end && is_blank(**from))
        ++*from;
    while (*end > *from && is_blank((*end)[-1]))
        --*end;
}

static bool is_gap(const char *from, size_t length)
{
    static const char *const words[] = {"", "-", "--", "---", "nan", "n/a", "na", "null", "none"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (strlen(words[i]) == length && strncasecmp(from, words[i], length) == 0)
            return true;
    return false;
}

static trace_found slow(const char *from, const char *end, bool comma, double *value)
{
    char text[SLOW_MOST + 1];
    const size_t length = (size_t)(end - from);
    if (is_gap(from, length))
        return TRACE_GAP;
    if (length > SLOW_MOST)
        return TRACE_NEITHER;
    memcpy(text, from, length);
    text[length] = '\0';
    char *mark = comma ? strchr(text, ',') : NULL;
    if (mark != NULL && strchr(text, '.') == NULL)
        *mark = '.';
    return strlen(text) == length && snub_parse_number(text, NULL, value) == SNUB_OK ? TRACE_NUMBER : TRACE_NEITHER;
}

/* Digits with a decimal mark; *after counts those behind it, *count all from the first that is not 0. */
static const char *digits(const char *at, const char *end, bool comma, uint64_t *whole, int *count, int *after)
{
    bool marked = false;
    for (; at < end; at++) {
        if (is_digit(*at)) {
            *whole = *whole * 10 + (uint64_t)(*at - '0');
            *count += *whole > 0;
            *after += marked;
            if (*count > DIGITS_MOST)
                return at;
        } else if (!marked && (*at == '.' || (comma && *at == ','))) {
            marked = true;
        } else {
            return at;
        }
    }
    return at;
}

trace_found trace_number(const char *from, const char *end, bool comma, double *value)
{
    uint64_t whole = 0;
    int count = 0, after = 0;
    if (from < end && (is_blank(*from) || is_blank(end[-1]) || *from == '"'))
        trace_trim(&from, &end);
    const char *at = from + (from < end && (*from == '-' || *from == '+'));
    if (at == end || !is_digit(*at))
        return slow(from, end, comma, value);
    at = digits(at, end, comma, &whole, &count, &after);
    if (at < end || whole > EXACT_MOST || after > POWERS)
        return slow(from, end, comma, value);
    const double size = (double)whole / trace_powers[after];
    *value = *from == '-' ? -size : size;
    return TRACE_NUMBER;
}

bool trace_clock(const char *from, const char *end, bool comma, double *value)
{
    double sum = 0, piece;
    int pieces = 0;
    trace_trim(&from, &end);
    for (const char *at = from; pieces < 3; pieces++) {
        const char *colon = memchr(at, ':', (size_t)(end - at));
        const char *stop = colon != NULL ? colon : end;
        if (stop == at || !is_digit(*at) || trace_number(at, stop, comma, &piece) != TRACE_NUMBER)
            return false;
        if ((pieces > 0 && piece >= SNUB_MINUTE) || (colon != NULL && memchr(at, '.', (size_t)(stop - at)) != NULL))
            return false;
        sum = sum * SNUB_MINUTE + piece;
        if (colon == NULL) {
            *value = sum;
            return pieces > 0;
        }
        at = colon + 1;
    }
    return false;
}
