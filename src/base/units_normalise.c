/* One spelling for a unit. */
#include "units_table.h"

#include <string.h>

typedef struct respelling {
    const char *from, *to;
} respelling;

/* Longest first where one begins another. */
static const respelling respellings[] = {
    {"\xC2\xB0"
     "C",
     "degC"},
    {"\xC2\xB0"
     "F",
     "degF"},
    {"\xC2\xB0", "deg"}, /* degree sign */
    {"\xC2\xB7", " "},
    {"\xE2\x8B\x85", " "},
    {"\xC3\x97", " "}, /* middle dot, dot operator, times */
    {"\xC2\xB2", "2"},
    {"\xC2\xB3", "3"}, /* superscripts */
    {"\xC2\xB5", "u"},
    {"\xCE\xBC", "u"}, /* micro sign, mu */
    {"**", ""},
    {"^", ""},
    {"*", " "},
    {"\t", " "},
};

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool respell(const char *text, char *out)
{
    size_t length = 0;
    while (*text) {
        const respelling *found = NULL;
        for (size_t i = 0; !found && i < sizeof respellings / sizeof respellings[0]; i++) {
            if (strncmp(text, respellings[i].from, strlen(respellings[i].from)) == 0)
                found = &respellings[i];
        }
        const char *piece = found ? found->to : text;
        size_t piece_length = found ? strlen(found->to) : 1;
        if (length + piece_length >= UNIT_TEXT_MOST)
            return false;
        memcpy(out + length, piece, piece_length);
        length += piece_length;
        text += found ? strlen(found->from) : 1;
    }
    out[length] = 0;
    return true;
}

/* A dash or a dot between letters multiplies, as in "lbf-ft"; single blanks, and none around a slash. */
static void tidy(char *text)
{
    char *to = text;
    for (const char *at = text; *at; at++) {
        char c = *at;
        if ((c == '-' || c == '.') && at > text && (is_letter(at[-1]) || is_digit(at[-1])) && is_letter(at[1]))
            c = ' ';
        bool after_gap = to == text || to[-1] == ' ' || to[-1] == '/';
        if (c == ' ' && (after_gap || at[1] == 0 || at[1] == '/'))
            continue;
        if (c == '/' && to > text && to[-1] == ' ')
            to--;
        *to++ = c;
    }
    while (to > text && to[-1] == ' ')
        to--;
    *to = 0;
}

/* "lg(re m)" is a logarithm to the database: no quantity here is one, and what its reader drops on the way it loses. */
static bool is_logarithm(const char *open_bracket, const char *start)
{
    const char *end = open_bracket, *after = open_bracket + 1;
    while (end > start && end[-1] == ' ')
        end--;
    after += strspn(after, " ");
    return end - start >= 2 && (end[-2] == 'l' || end[-2] == 'L') && strchr("bgnBGN", end[-1]) != NULL &&
           (after[0] == 'r' || after[0] == 'R') && (after[1] == 'e' || after[1] == 'E');
}

/* Digits are powers only: "3 1/2 in" must not become three times half an inch. */
static bool is_plain(const char *text)
{
    if (strcmp(text, "%") == 0)
        return true;
    if (!is_letter(text[0]))
        return false;
    for (const char *at = text + 1; *at; at++) {
        char before = at[-1];
        bool good = is_letter(*at) || *at == ' ' || *at == '_' || *at == ')' || (*at == '(' && !is_logarithm(at, text));
        if (is_digit(*at))
            good = is_letter(before) || is_digit(before) || before == '-';
        else if (*at == '-')
            good = is_letter(before) && is_digit(at[1]);
        else if (*at == '/')
            good = at[1] != 0 && before != '/';
        if (!good)
            return false;
    }
    return true;
}

bool snub_unit_normalise(const char *text, char out[UNIT_TEXT_MOST])
{
    if (!respell(text, out))
        return false;
    tidy(out);
    return is_plain(out);
}
