/** Engineering report of a whole kit: every build, with its findings and their sources. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "paper_columns.h"
#include "words.h"

enum { NOTES_MOST = 52 };

/** One kind of finding: how it is marked in the table, and its worst case in words. */
typedef struct note {
    snub_finding finding;
    int build;
    char mark[4];
} note;

typedef struct notes {
    note item[NOTES_MOST];
    int count;
} notes;

static bool same_kind(const snub_finding *a, const snub_finding *b)
{
    return strcmp(snub_finding_rule(a), snub_finding_rule(b)) == 0 &&
           strcmp(a->pulley != NULL ? a->pulley : "", b->pulley != NULL ? b->pulley : "") == 0;
}

/* How far over its limit: the case worth printing is the worst. */
static double excess(const snub_finding *f)
{
    if (!isfinite(f->value) || !isfinite(f->limit) || f->limit == 0)
        return 0;
    return fabs(f->value - f->limit) / fabs(f->limit);
}

static bool is_worse(const snub_finding *f, const snub_finding *than)
{
    return f->level > than->level || (f->level == than->level && excess(f) > excess(than));
}

static void collect(snub_columns_of *of, notes *all)
{
    all->count = 0;
    for (int b = 0; b < of->chart->build_count; b++) {
        const snub_findings *findings = snub_columns_findings(of, b);
        for (int i = 0; i < findings->count; i++) {
            const snub_finding *f = &findings->items[i];
            int k = 0;
            while (k < all->count && !same_kind(&all->item[k].finding, f))
                k++;
            if (k == NOTES_MOST)
                continue;
            if (k == all->count) {
                all->item[k] = (note){.finding = *f, .build = b};
                snprintf(all->item[k].mark, sizeof all->item[k].mark, "%c", k < 26 ? 'a' + k : 'A' + k - 26);
                all->count++;
            } else if (is_worse(f, &all->item[k].finding)) {
                all->item[k].finding = *f;
                all->item[k].build = b;
            }
        }
    }
}

static const char *marks_of(snub_pages *pages, const snub_findings *findings, const notes *all)
{
    char text[3 * NOTES_MOST + 1] = "";
    size_t used = 0;
    for (int k = 0; k < all->count; k++)
        for (int i = 0; i < findings->count; i++)
            if (same_kind(&findings->items[i], &all->item[k].finding)) {
                text[used++] = all->item[k].mark[0];
                text[used++] = ' ';
                break;
            }
    text[used > 0 ? used - 1 : 0] = '\0';
    return snub_pages_fill(pages, "{t}", "t", text, NULL);
}

/* ---- the table --------------------------------------------------------------------------------------------------- */

/* Columns on paper, with their share of the width. */
static const snub_paper_share on_paper[] = {
    {"build", 6},     {"code", 11},   {"package", 14},         {"options", 10}, {"designation", 14},
    {"slots", 18},    {"wrap", 10},   {"wrap_gain", 8},        {"boost", 17},   {"pulley", 11},
    {"grip_used", 9}, {"grip_at", 9}, {"blower_grip_used", 9}, {"arm_wind", 9}, {"slip_onset", 9},
    {"verdict", 10}};
enum { ON_PAPER = sizeof on_paper / sizeof on_paper[0] };

/* Builds [from, to), all of one variant. */
static void variant_table(snub_paper_table *t, const notes *all, int from, int to)
{
    snub_pages *pages = t->pages;
    int rows = 0;
    const char **cells = SNUB_NEW(pages->arena, const char *, (size_t)(to - from) * (size_t)t->count);
    if (cells == NULL) {
        pages->failed = true;
        return;
    }
    for (int b = from; b < to; b++) {
        const char **cell = cells + (size_t)t->count * (size_t)rows++;
        for (int c = 0; c < t->count - 1; c++)
            cell[c] = snub_paper_cell(t, c, b);
        cell[t->count - 1] = marks_of(pages, snub_columns_findings(&t->of, b), all);
    }
    snub_paper_front_heading(t, from);
    snub_pages_table(pages, t->column, t->count, cells, rows);
}

/* ---- below the tables -------------------------------------------------------------------------------------------- */

static void explain(snub_pages *pages)
{
    snub_pages_quiet(
        pages, SAY("Grip used is ln(tension ratio) over friction times wrap, on the design friction, at the "
                   "worst of steady, accelerating and overrun: over 1 is marginal; over 1 on the limit friction "
                   "slips and fails. Wrap gain is the blower's wrap against its idler at the low end of the slot. "
                   "Arm angles are from free. Boost is over ambient, without slip of the belt. pass: no limit "
                   "checked here is exceeded. marginal: read the findings first. fail: do not release."));
}

static void note_lines(snub_pages *pages, const notes *all)
{
    char number[16];
    if (all->count == 0)
        return;
    snub_pages_heading(pages, SAY("Notes, each with its worst case"));
    for (int k = 0; k < all->count; k++) {
        const snub_finding *f = &all->item[k].finding;
        snprintf(number, sizeof number, "%d", all->item[k].build + 1);
        snub_text sentence = {0}, basis = {0};
        snub_finding_sentence(f, pages->locale, &sentence);
        snub_finding_basis(f, pages->locale, &basis);
        snub_pages_paragraph(
            pages, snub_pages_fill(pages, SAY("{mark}  {level}, no. {build}: {text} (basis: {source})"), "mark",
                                   all->item[k].mark, "level", SAY(snub_level_text(f->level)), "build", number, "text",
                                   snub_pages_keep(pages, &sentence), "source", snub_pages_keep(pages, &basis), NULL));
    }
    if (all->count == NOTES_MOST)
        snub_pages_quiet(pages, SAY("More kinds of findings than there are letters: see snub chart --findings."));
}

/* The notes have the findings' sentences: what they call for stands below. */
static void cautions(snub_pages *pages, snub_columns_of *of)
{
    snub_caution_set set = SNUB_CAUTION_BIT(SNUB_CAUTION_MAKERS) | SNUB_CAUTION_BIT(SNUB_CAUTION_QUALIFIED);
    for (int i = 0; i < of->chart->build_count; i++)
        set |= snub_cautions_charted(&of->chart->builds[i], snub_columns_findings(of, i));
    snub_pages_cautions(pages, set);
    snub_pages_more_cautions(pages);
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const snub_chart *chart = context;
    snub_paper_table *table = SNUB_NEW(pages->arena, snub_paper_table, 1);
    notes *all = SNUB_NEW(pages->arena, notes, 1);
    if (all == NULL || table == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    snub_paper_open(table, pages, chart, on_paper, ON_PAPER);
    snub_paper_add(table, SAY("notes"), 16);
    collect(&table->of, all);
    explain(pages);
    for (int from = 0, to; from < chart->build_count; from = to) { /* the rows of a variant stand together */
        to = snub_paper_front_end(chart, from);
        variant_table(table, all, from, to);
    }
    note_lines(pages, all);
    snub_pages_gap(pages, 2);
    cautions(pages, &table->of);
    pages->failed = pages->failed || table->of.failed;
    return SNUB_OK;
}

snub_status snub_sheet_kit(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error)
{
    snub_pages_job job = {.kind = SNUB_MESSAGE("Engineering report, all builds"),
                          .chart = chart,
                          .landscape = true,
                          .print = print,
                          .context = chart};
    if (chart->build_count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the chart has no build");
    return snub_pages_print(sheet, &job, out, error);
}
