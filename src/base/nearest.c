/* The name that was meant. */
#include "snub/base.h"

#include <string.h>

enum {
    WORD_MOST = 63,  /* bytes; longer words are nobody's slip of the finger */
    PREFIX_LEAST = 3 /* letters that may stand for a longer name: "diam" */
};

static char fold(char c)
{
    if (c >= 'A' && c <= 'Z')
        return (char)(c - 'A' + 'a');
    return c == '-' || c == ' ' ? '_' : c;
}

static int least(int a, int b)
{
    return a < b ? a : b;
}

/* Optimal string alignment: insert, delete, replace, and swap of neighbours cost 1 each. Case and kind of dash are
 * free. */
static int distance(const char *a, size_t na, const char *b, size_t nb)
{
    int row[3][WORD_MOST + 1];
    for (size_t j = 0; j <= nb; j++)
        row[0][j] = (int)j;
    for (size_t i = 1; i <= na; i++) {
        int *now = row[i % 3], *before = row[(i + 2) % 3], *earlier = row[(i + 1) % 3];
        now[0] = (int)i;
        for (size_t j = 1; j <= nb; j++) {
            int change = fold(a[i - 1]) != fold(b[j - 1]);
            now[j] = least(least(before[j] + 1, now[j - 1] + 1), before[j - 1] + change);
            if (i > 1 && j > 1 && fold(a[i - 1]) == fold(b[j - 2]) && fold(a[i - 2]) == fold(b[j - 1]))
                now[j] = least(now[j], earlier[j - 2] + 1);
        }
    }
    return row[na % 3][nb];
}

static bool begins(const char *word, size_t length, const char *name)
{
    for (size_t i = 0; i < length; i++) {
        if (!name[i] || fold(word[i]) != fold(name[i]))
            return false;
    }
    return true;
}

/* The one name that begins with the word; NULL where there are none or several. */
static const char *completion(const char *word, size_t length, const char *const *names, int count)
{
    const char *only = NULL;
    if (length < PREFIX_LEAST)
        return NULL;
    for (int i = 0; i < count; i++) {
        if (!begins(word, length, names[i]))
            continue;
        if (only)
            return NULL;
        only = names[i];
    }
    return only;
}

const char *snub_nearest(const char *word, const char *const *names, int count)
{
    size_t length = strlen(word);
    if (length == 0 || length > WORD_MOST)
        return NULL;
    const char *best = NULL;
    int best_distance = 0;
    for (int i = 0; i < count; i++) {
        size_t other = strlen(names[i]);
        if (other > WORD_MOST)
            continue;
        int d = distance(word, length, names[i], other);
        /* One slip in three letters, and never a word replaced whole. */
        size_t longer = length > other ? length : other;
        int allowed = longer < 3 ? 1 : (int)((longer + 2) / 3);
        if (d > allowed || d >= (int)longer)
            continue;
        if (!best || d < best_distance) {
            best = names[i];
            best_distance = d;
        }
    }
    return best ? best : completion(word, length, names, count);
}
