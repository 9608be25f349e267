/* Three-way merge by lines.
 *
 * Each side's lines are matched with the base's by the shortest script of insertions and deletions (E. W. Myers, "An
 * O(ND) difference algorithm and its variations", Algorithmica 1, 1986). Between base lines that both sides kept, what
 * only one side changed is taken from it. */
#include "lines.h"

#include <stdlib.h>
#include <string.h>

enum { EDITS_MOST = 1500 /* of one side; over that it counts as changed from the first different line to the last */ };

typedef struct line {
    const char *text;
    size_t length; /* with its end */
} line;

typedef struct lines {
    line *item;
    int count;
} lines;

static bool split(snub_side_text side, lines *out)
{
    size_t ends = 1;
    for (size_t i = 0; i < side.length; i++)
        ends += side.data[i] == '\n';
    out->item = malloc(ends * sizeof *out->item);
    out->count = 0;
    if (!out->item)
        return false;
    const char *at = side.data, *end = side.data + side.length;
    while (at < end) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        size_t length = stop ? (size_t)(stop - at) + 1 : (size_t)(end - at);
        out->item[out->count++] = (line){at, length};
        at += length;
    }
    return true;
}

static bool same(line a, line b)
{
    return a.length == b.length && memcmp(a.text, b.text, a.length) == 0;
}

/* match[i]: line of the side that base line i became; -1: it is gone. Between `low` and the ends, `a` of the base and
 * `b` of the side. Walks the furthest points of 0, 1, 2, … edits and keeps them to find the way back. */
static bool match_middle(const line *a, int a_count, const line *b, int b_count, int low, int *match)
{
    const int most = a_count + b_count < EDITS_MOST ? a_count + b_count : EDITS_MOST, middle = most + 1;
    const size_t row = (size_t)(2 * middle + 1);
    int *reach = calloc(row, sizeof *reach), **kept = calloc((size_t)most + 1, sizeof *kept), edits = 0;
    bool found = false, good = reach && kept;
    for (; good && !found && edits <= most; edits++) {
        for (int k = -edits; k <= edits && !found; k += 2) {
            bool down = k == -edits || (k != edits && reach[middle + k - 1] < reach[middle + k + 1]);
            int x = down ? reach[middle + k + 1] : reach[middle + k - 1] + 1, y = x - k;
            while (x < a_count && y < b_count && same(a[x], b[y]))
                x++, y++;
            reach[middle + k] = x;
            found = x >= a_count && y >= b_count;
        }
        size_t wide = (size_t)(2 * edits + 1);
        kept[edits] = malloc(wide * sizeof **kept);
        good = kept[edits] != NULL;
        if (good)
            memcpy(kept[edits], reach + middle - edits, wide * sizeof **kept);
    }
    int x = a_count, y = b_count;
    for (int d = edits - 1; good && found && d >= 0; d--) {
        int k = x - y, before_x = 0, before_y = 0;
        if (d > 0) {
            const int *last = kept[d - 1] + d - 1; /* index k of that row */
            bool down =
                k == -d || (k != d && (k - 1 < -(d - 1) ? -1 : last[k - 1]) < (k + 1 > d - 1 ? -1 : last[k + 1]));
            int from = down ? k + 1 : k - 1;
            before_x = last[from];
            before_y = before_x - from;
        }
        while (x > before_x && y > before_y && x > 0 && y > 0 && same(a[x - 1], b[y - 1])) {
            x--, y--;
            match[low + x] = low + y;
        }
        x = before_x;
        y = before_y;
    }
    for (int d = 0; kept && d <= most; d++)
        free(kept[d]);
    free(kept);
    free(reach);
    return good;
}

static bool match_lines(const lines *base, const lines *side, int *match)
{
    int low = 0, a = base->count, b = side->count;
    for (int i = 0; i < base->count; i++)
        match[i] = -1;
    while (low < a && low < b && same(base->item[low], side->item[low])) {
        match[low] = low;
        low++;
    }
    while (a > low && b > low && same(base->item[a - 1], side->item[b - 1])) {
        a--, b--;
        match[a] = b;
    }
    return match_middle(base->item + low, a - low, side->item + low, b - low, low, match);
}

static void add(const lines *from, int start, int end, snub_text *out)
{
    for (int i = start; i < end; i++) {
        /* the last line of a text may lack its end; what follows must not run into it */
        if (out->length > 0 && out->data[out->length - 1] != '\n')
            snub_text_puts(out, "\n");
        snub_text_add(out, from->item[i].text, from->item[i].length);
    }
}

static bool same_lines(const lines *a, int a_start, int a_end, const lines *b, int b_start, int b_end)
{
    if (a_end - a_start != b_end - b_start)
        return false;
    for (int i = 0; i < a_end - a_start; i++) {
        if (!same(a->item[a_start + i], b->item[b_start + i]))
            return false;
    }
    return true;
}

typedef struct span {
    int start, end;
} span;

static void merge_piece(const lines *all, const span *piece, snub_lines_prefer prefer, snub_text *out, int *clash)
{
    const lines *base = &all[0], *mine = &all[1], *theirs = &all[2];
    const span b = piece[0], m = piece[1], t = piece[2];
    if (same_lines(base, b.start, b.end, mine, m.start, m.end)) {
        add(theirs, t.start, t.end, out);
    } else if (same_lines(base, b.start, b.end, theirs, t.start, t.end) ||
               same_lines(mine, m.start, m.end, theirs, t.start, t.end)) {
        add(mine, m.start, m.end, out);
    } else {
        ++*clash;
        if (prefer != SNUB_LINES_MINE)
            add(theirs, t.start, t.end, out);
        if (prefer == SNUB_LINES_MINE || (prefer == SNUB_LINES_BOTH && b.start == b.end))
            add(mine, m.start, m.end, out);
    }
}

static void merge_all(const lines *all, const int *mine_of, const int *theirs_of, snub_lines_prefer prefer,
                      snub_text *out, int *clash)
{
    span piece[3] = {0};
    for (int i = 0; i <= all[0].count; i++) {
        const bool end = i == all[0].count;
        if (!end && (mine_of[i] < 0 || theirs_of[i] < 0))
            continue;
        piece[0].end = i;
        piece[1].end = end ? all[1].count : mine_of[i];
        piece[2].end = end ? all[2].count : theirs_of[i];
        merge_piece(all, piece, prefer, out, clash);
        if (!end)
            add(&all[0], i, i + 1, out);
        for (int s = 0; s < 3; s++)
            piece[s].start = piece[s].end + 1;
    }
}

snub_status snub_lines_merge(snub_side_text base, snub_side_text mine, snub_side_text theirs, snub_lines_prefer prefer,
                             snub_text *out, int *clash)
{
    lines all[3] = {0};
    bool good = split(base, &all[0]) && split(mine, &all[1]) && split(theirs, &all[2]);
    const size_t room = good ? (size_t)all[0].count + 1 : 1;
    int *mine_of = malloc(room * sizeof *mine_of), *theirs_of = malloc(room * sizeof *theirs_of);
    good = good && mine_of && theirs_of && match_lines(&all[0], &all[1], mine_of) &&
           match_lines(&all[0], &all[2], theirs_of);
    *clash = 0;
    if (good)
        merge_all(all, mine_of, theirs_of, prefer, out, clash);
    for (int s = 0; s < 3; s++)
        free(all[s].item);
    free(mine_of);
    free(theirs_of);
    return good && !out->failed ? SNUB_OK : SNUB_NO_MEMORY;
}
