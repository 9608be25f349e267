/** Notes under the tables of a chart on paper. */
#include "paper_notes.h"

#include <stdio.h>
#include <string.h>

#include "words.h"

enum { NUMBER_MOST = 8 };

static bool same_kind(const snub_finding *a, const snub_finding *b)
{
    return strcmp(snub_finding_rule(a), snub_finding_rule(b)) == 0 &&
           strcmp(a->pulley != NULL ? a->pulley : "", b->pulley != NULL ? b->pulley : "") == 0;
}

/* The note of a finding, made where there is none yet. -1: more kinds than letters. */
static int note_of(snub_paper_notes *all, const snub_finding *f, int build)
{
    int k = all->first;
    while (k < all->count && !same_kind(&all->item[k].finding, f))
        k++;
    if (k == SNUB_PAPER_NOTES_MOST)
        return -1;
    snub_paper_note *note = &all->item[k];
    if (k == all->count) {
        *note = (snub_paper_note){.finding = *f, .worst = build, .mark = {(char)(k < 26 ? 'a' + k : 'A' + k - 26)}};
        all->count++;
    } else if (snub_finding_worse(f, &note->finding)) {
        note->finding = *f;
        note->worst = build;
    }
    return k;
}

static void add_row(snub_paper_note *note, int build)
{
    const size_t used = strlen(note->rows);
    if (used + NUMBER_MOST >= sizeof note->rows) {
        note->more++;
        return;
    }
    snprintf(note->rows + used, sizeof note->rows - used, "%s%d", used > 0 ? ", " : "", build + 1);
    note->row_count++;
}

const char *snub_paper_marks(snub_pages *pages, const snub_findings *findings, int build, snub_level least,
                             snub_paper_notes *all)
{
    char marks[2 * SNUB_PAPER_NOTES_MOST + 1] = "";
    bool has[SNUB_PAPER_NOTES_MOST] = {0};
    size_t used = 0;
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *f = &findings->items[i];
        const int k = f->level >= least ? note_of(all, f, build) : -1;
        if (k >= 0)
            has[k] = true;
    }
    for (int k = all->first; k < all->count; k++) {
        if (!has[k])
            continue;
        add_row(&all->item[k], build);
        if (used > 0)
            marks[used++] = ' ';
        marks[used++] = all->item[k].mark[0];
    }
    marks[used] = '\0';
    return snub_pages_fill(pages, "{t}", "t", marks, NULL);
}
