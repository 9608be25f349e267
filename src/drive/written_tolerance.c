/** Taking a number and its tolerance apart. */
#include "written_tolerance.h"
#include "snub/drive.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PLUS_MINUS_SIGN "\xC2\xB1"

static size_t trimmed(const char *text, size_t length)
{
    while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
        length--;
    return length;
}

/** "+-", "+/-" or the sign for it. @return its bytes, 0: it is none */
static size_t both_signs(const char *at)
{
    static const char *const signs[] = {"+-", "+/-", PLUS_MINUS_SIGN};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        if (strncmp(at, signs[i], strlen(signs[i])) == 0)
            return strlen(signs[i]);
    }
    return 0;
}

/** A deviation with its sign, behind a blank: " +0.1", " -0.05". */
static const char *next_signed(const char *at)
{
    for (; *at != '\0'; at++) {
        if ((at[0] == ' ' || at[0] == '\t') && (at[1] == '+' || at[1] == '-') && strchr("0123456789.", at[2]) != NULL &&
            at[2] != '\0')
            return at + 1;
    }
    return NULL;
}

static bool split_signed(const char *text, snub_written *written)
{
    const char *first = next_signed(text), *second = first != NULL ? next_signed(first) : NULL;
    if (first == NULL || first == text)
        return false;
    *written = (snub_written){.nominal = trimmed(text, (size_t)(first - text))};
    const char *ends[] = {second != NULL ? second : first + strlen(first),
                          second != NULL ? second + strlen(second) : NULL};
    const char *begins[] = {first, second};
    for (int i = 0; i < 2 && begins[i] != NULL; i++) {
        const size_t length = trimmed(begins[i] + 1, (size_t)(ends[i] - begins[i] - 1));
        if (*begins[i] == '+') {
            written->plus = begins[i] + 1;
            written->plus_length = length;
        } else {
            written->minus = begins[i] + 1;
            written->minus_length = length;
        }
    }
    return written->nominal > 0;
}

bool snub_written_split(const char *text, snub_written *written)
{
    for (const char *at = text; *at != '\0'; at++) {
        const size_t sign = both_signs(at);
        if (sign == 0)
            continue;
        const char *from = at + sign + strspn(at + sign, " \t");
        const size_t length = trimmed(from, strlen(from));
        *written = (snub_written){trimmed(text, (size_t)(at - text)), from, from, length, length};
        return written->nominal > 0;
    }
    return split_signed(text, written);
}

size_t snub_nominal_length(const char *text)
{
    snub_written written;
    return snub_written_split(text, &written) ? written.nominal : strlen(text);
}

/** SI of one unit more. @param[in] unit  as written; "": the bare one */
static snub_status size_of(snub_units *units, snub_quantity quantity, const char *unit, snub_arena *arena, double *size,
                           snub_error *error)
{
    double none = 0, one = 0;
    const char *texts[] = {snub_format(arena, "1 %s", unit), snub_format(arena, "2 %s", unit)};
    if (texts[0] == NULL || texts[1] == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = snub_units_parse(units, quantity, texts[0], &none, error);
    if (status == SNUB_OK)
        status = snub_units_parse(units, quantity, texts[1], &one, error);
    *size = one - none;
    return status;
}

static snub_status refuse(snub_error *error, const char *text, const char *need, const char *message)
{
    snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "%s", message);
    snprintf(error->got, sizeof error->got, "%.80s", text);
    snprintf(error->need, sizeof error->need, "%s", need);
    return SNUB_BAD_INPUT;
}

const char *snub_written_unit(const char *text)
{
    const char *rest = text;
    double number;
    if (snub_parse_number(text, &rest, &number) != SNUB_OK)
        return "";
    return rest + strspn(rest, " \t");
}

snub_status snub_written_deviation(snub_units *units, snub_quantity quantity, const char *nominal_text, double nominal,
                                   const char *text, bool beside, snub_arena *arena, double *deviation,
                                   snub_error *error)
{
    const char *rest = text, *its = snub_written_unit(nominal_text);
    double number = 0, size = 1, bare = 1, other = 1;
    if (snub_parse_number(text, &rest, &number) != SNUB_OK)
        return refuse(error, text, "such as '+- 0.1', '+0.1 -0.05' or '+- 5 %'", "the tolerance is not a number");
    rest += strspn(rest, " \t");
    if (number < 0)
        return refuse(error, text, "a positive number", "the tolerance is negative");
    if (strcmp(rest, "%") == 0) {
        if (nominal == 0)
            return refuse(error, text, "a tolerance with its unit", "the tolerance is a percentage of nothing");
        *deviation = 0.01 * number * fabs(nominal);
        return SNUB_OK;
    }
    snub_status status = size_of(units, quantity, "", arena, &bare, error);
    if (status == SNUB_OK)
        status = size_of(units, quantity, its, arena, &other, error);
    if (status == SNUB_OK)
        status = size_of(units, quantity, rest, arena, &size, error);
    if (status != SNUB_OK)
        return status;
    if (*rest == '\0' && beside)
        size = other;
    const bool doubtful = beside ? *its == '\0' && *rest != '\0' : *its != '\0' && *rest == '\0';
    const double missing = fabs((beside ? size : other) - bare);
    if (doubtful && number != 0 && missing > 1e-9 * bare && nominal != 0)
        return refuse(error, text, "the unit on both",
                      beside ? "the tolerance has a unit, and its value has none"
                             : "the tolerance has no unit, and its value has one");
    *deviation = number * size;
    return SNUB_OK;
}
