/** Application chart, for whoever sells: what there is, what it makes, what is not sold and why. */
#include <stdio.h>
#include <string.h>

#include "paper_columns.h"
#include "paper_notes.h"
#include "words.h"

static const snub_paper_share on_paper[] = {
    {"build", 5}, {"code", 11},       {"package", 16}, {"options", 11}, {"designation", 14},
    {"part", 14}, {"own_number", 12}, {"slots", 18},   {"boost", 17},   {"engine_work", 18}};
enum { ON_PAPER = sizeof on_paper / sizeof on_paper[0] };

/* ---- notes to what is sold --------------------------------------------------------------------------------------- */

static const char *rows_of(snub_pages *pages, const snub_paper_note *n)
{
    char more[16];
    snprintf(more, sizeof more, "%d", n->more);
    return n->more > 0 ? snub_pages_fill(pages, SAY("{rows} and {count} more"), "rows", n->rows, "count", more, NULL)
                       : n->rows;
}

static void note_lines(snub_pages *pages, const snub_paper_notes *all)
{
    for (int k = all->first; k < all->count; k++) {
        const snub_paper_note *n = &all->item[k];
        char worst[16];
        snub_text sentence = {0};
        snub_finding_sentence(&n->finding, pages->locale, &sentence);
        snprintf(worst, sizeof worst, "%d", n->worst + 1);
        const bool several = n->row_count + n->more > 1;
        snub_pages_paragraph(
            pages, snub_pages_fill(pages,
                                   several ? SAY("{mark}  (no. {rows}) {text} The figures are those of no. {worst}.")
                                           : SAY("{mark}  (no. {rows}) {text}"),
                                   "mark", n->mark, "rows", rows_of(pages, n), "text",
                                   snub_pages_keep(pages, &sentence), "worst", worst, NULL));
    }
}

/* ---- the table --------------------------------------------------------------------------------------------------- */

/* By these a build would be ordered or fitted. */
static bool is_offer(const char *key)
{
    static const char *const keys[] = {"designation", "part", "own_number", "slots", "boost"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (strcmp(keys[i], key) == 0)
            return true;
    }
    return false;
}

static void row_of(snub_paper_table *t, snub_paper_notes *all, int b, const char **cell)
{
    snub_pages *pages = t->pages;
    const snub_charted *build = &t->chart->builds[b];
    for (int c = 0; c < t->count - 1; c++)
        cell[c] = build->verdict == SNUB_FAIL && is_offer(t->of.columns[c].of->key) ? "" : snub_paper_cell(t, c, b);
    const snub_findings *findings = snub_columns_findings(&t->of, b);
    if (build->verdict == SNUB_FAIL) {
        snub_text why = {0};
        snub_not_sold_words(build, findings, pages->locale, &why);
        cell[t->count - 1] =
            snub_pages_fill(pages, SAY("not sold: {reason}"), "reason", snub_pages_keep(pages, &why), NULL);
        return;
    }
    const char *marks = snub_paper_marks(pages, findings, b, SNUB_MARGINAL, all);
    cell[t->count - 1] =
        marks[0] != '\0' ? snub_pages_fill(pages, SAY("sold; note {marks}"), "marks", marks, NULL) : SAY("sold");
}

/* Builds [from, to), all of one front, and the notes that are about them. */
static void front_table(snub_paper_table *t, snub_paper_notes *all, int from, int to)
{
    snub_pages *pages = t->pages;
    const char **cells = SNUB_NEW(pages->arena, const char *, (size_t)(to - from) * (size_t)t->count);
    if (cells == NULL) {
        pages->failed = true;
        return;
    }
    all->first = all->count;
    for (int b = from; b < to; b++)
        row_of(t, all, b, cells + (size_t)t->count * (size_t)(b - from));
    snub_paper_front_heading(t, from);
    snub_pages_table(pages, t->column, t->count, cells, to - from);
    note_lines(pages, all);
}

/* ---- below the tables -------------------------------------------------------------------------------------------- */

static void belts(snub_pages *pages, const snub_chart *chart)
{
    snub_text text = {0};
    if (chart->on_fewest)
        return; /* the table has them */
    for (int i = 0; i < chart->fewest_count; i++)
        snub_text_printf(&text, "%s%s (%d)", i > 0 ? ", " : "", chart->fewest[i].designation, chart->fewest[i].count);
    if (chart->fewest_count > 0 && text.data != NULL) {
        snub_pages_heading(pages, SAY("Belts to keep in stock"));
        snub_pages_paragraph(pages, snub_pages_fill(pages,
                                                    SAY("The fewest that serve every build that has a belt, each build "
                                                        "with a verdict no worse; in brackets how many builds each "
                                                        "serves: {belts}. The tables above take "
                                                        "the belt that suits each build best: print the chart with "
                                                        "--fewest for the settings with these."),
                                                    "belts", text.data, NULL));
    }
    snub_text_free(&text);
}

static void packages(snub_pages *pages, const snub_rows *rows)
{
    char number[16];
    if (rows->package_count > 0)
        snub_pages_heading(pages, SAY("Packages"));
    for (int p = 0; p < rows->package_count; p++) {
        const snub_package *package = rows->packages[p];
        snub_pages_paragraph(
            pages, package->about[0] != '\0'
                       ? snub_pages_fill(pages, "{name}: {about}", "name", package->name, "about", package->about, NULL)
                       : package->name);
    }
    for (int e = 0; e < rows->excluded_count; e++) {
        const snub_excluded_rows *excluded = &rows->excluded[e];
        snub_text what = {0};
        if (excluded->count == 0)
            continue;
        snprintf(number, sizeof number, "%d", excluded->count);
        snub_exclusion_words(excluded->exclusion, pages->locale, pages->arena, &what);
        snub_pages_paragraph(pages,
                             snub_pages_fill(pages,
                                             SAY("{package} is not sold with {what} (builds left out: {count}): "
                                                 "{reason}"),
                                             "package", excluded->package->name, "what", snub_pages_keep(pages, &what),
                                             "count", number, "reason", excluded->exclusion->reason, NULL));
    }
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const snub_chart *chart = context;
    snub_paper_table *table = SNUB_NEW(pages->arena, snub_paper_table, 1);
    snub_paper_notes *all = SNUB_NEW(pages->arena, snub_paper_notes, 1);
    if (table == NULL || all == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    snub_paper_open(table, pages, chart, on_paper, ON_PAPER);
    snub_paper_add(table, SAY("offer"), 30);
    for (int from = 0, to; from < chart->build_count; from = to) {
        to = snub_paper_front_end(chart, from);
        front_table(table, all, from, to);
    }
    if (all->count == SNUB_PAPER_NOTES_MOST)
        snub_pages_quiet(pages,
                         SAY("More kinds of notes than there are letters: the engineering report has all of them."));
    packages(pages, &chart->rows);
    belts(pages, chart);
    snub_pages_gap(pages, 2);
    snub_pages_quiet(pages, SAY(snub_offer_note(chart)));
    snub_pages_unjudged(pages, chart);
    snub_pages_gap(pages, 2);
    snub_paper_cautions(table);
    pages->failed = pages->failed || table->of.failed;
    return SNUB_OK;
}

snub_status snub_sheet_chart(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error)
{
    snub_pages_job job = {
        .kind = SNUB_MESSAGE("Application chart"), .chart = chart, .landscape = true, .print = print, .context = chart};
    if (chart->build_count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the chart has no build");
    return snub_pages_print(sheet, &job, out, error);
}
