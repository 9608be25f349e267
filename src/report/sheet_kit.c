/** Engineering report of a whole kit: every build, with its findings and their sources. */
#include <stdio.h>

#include "paper_columns.h"
#include "paper_notes.h"
#include "words.h"

/* ---- the table --------------------------------------------------------------------------------------------------- */

/* Columns on paper, with their share of the width. */
static const snub_paper_share on_paper[] = {
    {"build", 6},     {"code", 11},   {"package", 14},         {"options", 10}, {"designation", 14},
    {"slots", 18},    {"wrap", 10},   {"wrap_gain", 8},        {"boost", 17},   {"pulley", 11},
    {"grip_used", 9}, {"grip_at", 9}, {"blower_grip_used", 9}, {"arm_wind", 9}, {"slip_onset", 9},
    {"verdict", 10}};
enum { ON_PAPER = sizeof on_paper / sizeof on_paper[0] };

/* Builds [from, to), all of one variant. */
static void variant_table(snub_paper_table *t, snub_paper_notes *all, int from, int to)
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
        cell[t->count - 1] = snub_paper_marks(pages, snub_columns_findings(&t->of, b), b, SNUB_PASS, all);
    }
    snub_paper_front_heading(t, from);
    snub_pages_table(pages, t->column, t->count, cells, rows);
}

/* ---- below the tables -------------------------------------------------------------------------------------------- */

static void explain(const snub_paper_table *t)
{
    const struct {
        const char *key; /* NULL: of every drive */
        const char *words;
    } says[] = {
        {NULL, SNUB_MESSAGE("Grip used is ln(tension ratio) over friction times wrap, on the design friction, at the "
                            "worst of steady, accelerating and overrun: over 1 is marginal; over 1 on the limit "
                            "friction slips and fails.")},
        {"wrap_gain", SNUB_MESSAGE("Wrap gain is the blower's wrap against its idler at the low end of the slot.")},
        {"arm_wind", SNUB_MESSAGE("Arm angles are from free.")},
        {"boost", SNUB_MESSAGE("Boost is over ambient, without slip of the belt.")},
        {NULL, SNUB_MESSAGE("pass: no limit checked here is exceeded. marginal: read the findings first. fail: do not "
                            "release.")}};
    snub_text text = {0};
    for (size_t i = 0; i < sizeof says / sizeof says[0]; i++) {
        if (says[i].key == NULL || snub_paper_has(t, says[i].key))
            snub_text_printf(&text, "%s%s", text.length > 0 ? " " : "", snub_say(t->pages->locale, says[i].words));
    }
    snub_pages_quiet(t->pages, snub_pages_keep(t->pages, &text));
}

static void note_lines(snub_pages *pages, const snub_paper_notes *all)
{
    char number[16];
    if (all->count == 0)
        return;
    snub_pages_heading(pages, SAY("Notes, each with its worst case"));
    for (int k = 0; k < all->count; k++) {
        const snub_finding *f = &all->item[k].finding;
        snprintf(number, sizeof number, "%d", all->item[k].worst + 1);
        snub_text sentence = {0}, basis = {0};
        snub_finding_sentence(f, pages->locale, &sentence);
        snub_finding_basis(f, pages->locale, &basis);
        snub_pages_paragraph(
            pages, snub_pages_fill(pages, SAY("{mark}  {level}, no. {build}: {text} (basis: {source})"), "mark",
                                   all->item[k].mark, "level", SAY(snub_level_text(f->level)), "build", number, "text",
                                   snub_pages_keep(pages, &sentence), "source", snub_pages_keep(pages, &basis), NULL));
    }
    if (all->count == SNUB_PAPER_NOTES_MOST)
        snub_pages_quiet(pages, SAY("More kinds of findings than there are letters: see snub chart --findings."));
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const snub_chart *chart = context;
    snub_paper_table *table = SNUB_NEW(pages->arena, snub_paper_table, 1);
    snub_paper_notes *all = SNUB_NEW(pages->arena, snub_paper_notes, 1);
    if (all == NULL || table == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    snub_paper_open(table, pages, chart, on_paper, ON_PAPER);
    snub_paper_add(table, SAY("notes"), 16);
    explain(table);
    for (int from = 0, to; from < chart->build_count; from = to) { /* the rows of a variant stand together */
        to = snub_paper_front_end(chart, from);
        variant_table(table, all, from, to);
    }
    note_lines(pages, all);
    snub_pages_unjudged(pages, chart);
    snub_pages_gap(pages, 2);
    snub_paper_cautions(table);
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
