/** Application chart: every build that the kit offers, on paper. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "columns.h"
#include "pages.h"
#include "words.h"

enum { NOTES_MOST = 52, COLUMNS_MOST = 48 };

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
static const struct {
    const char *key;
    double share;
} on_paper[] = {{"build", 6},     {"code", 11},   {"package", 14},         {"options", 10}, {"designation", 14},
                {"slots", 18},    {"wrap", 10},   {"wrap_gain", 8},        {"boost", 17},   {"pulley", 11},
                {"grip_used", 9}, {"grip_at", 9}, {"blower_grip_used", 9}, {"arm_wind", 9}, {"slip_onset", 9},
                {"verdict", 10}};
enum { ON_PAPER = sizeof on_paper / sizeof on_paper[0] };

typedef struct paper_table {
    snub_pages *pages;
    const snub_chart *chart;
    const notes *notes;
    snub_columns_of of;
    snub_pages_column column[COLUMNS_MOST];
    int count;
} paper_table;

static double share_of(const char *key)
{
    for (int i = 0; i < ON_PAPER; i++) {
        if (strcmp(on_paper[i].key, key) == 0)
            return on_paper[i].share;
    }
    return 10;
}

/* "blower.diameter" reads as "blower diameter". */
static const char *column_title(snub_pages *pages, const snub_shown_column *shown)
{
    if (shown->of->per != SNUB_PER_OPTION)
        return shown->title;
    char *title = snub_copy_text(pages->arena, shown->title);
    for (char *c = title; c != NULL && *c != '\0'; c++)
        *c = *c == '.' || *c == '_' ? ' ' : *c;
    pages->failed = pages->failed || title == NULL;
    return title != NULL ? title : "";
}

/* "mm (in)" where a reader may hold either tool. */
static const char *column_unit(snub_pages *pages, snub_unit unit)
{
    const snub_unit_info *info = snub_unit_describe(unit);
    const bool inches = pages->locale->inches;
    return info->both ? snub_pages_fill(pages, "{a} ({b})", "a", inches ? info->us_text : info->text, "b",
                                        inches ? info->text : info->us_text, NULL)
           : inches   ? info->us_text
                      : info->text;
}

static void open_table(paper_table *t)
{
    const char *keys[ON_PAPER + 1] = {NULL};
    for (int i = 0; i < ON_PAPER; i++)
        keys[i] = on_paper[i].key;
    snub_columns_open(t->chart, keys, t->pages->locale, t->pages->arena, &t->of);
    for (int i = 0; i < t->of.count && t->count < COLUMNS_MOST - 1; i++) {
        const snub_shown_column *shown = &t->of.columns[i];
        const bool words = shown->of->type == SNUB_CELL_TEXT || shown->of->type == SNUB_CELL_LEVEL;
        t->column[t->count++] =
            (snub_pages_column){column_title(t->pages, shown), column_unit(t->pages, shown->of->unit),
                                share_of(shown->of->key), words && shown->of->per != SNUB_PER_OPTION ? -1 : 1};
    }
    t->column[t->count++] = (snub_pages_column){snub_say(t->pages->locale, SNUB_MESSAGE("notes")), "", 16, -1};
    t->pages->failed = t->pages->failed || t->of.failed;
}

/* A number without its unit, which stands over the column; in both units where the column is. */
static const char *number_cell(snub_pages *pages, const snub_chart_column *c, double si)
{
    const snub_unit_info *info = snub_unit_describe(c->unit);
    const int more = c->decimals + info->us_decimals > 0 ? c->decimals + info->us_decimals : 0;
    if (!isfinite(si))
        return "";
    const char *metric = snub_pages_number(pages, (si - info->zero) / info->size, c->decimals, "");
    const char *us = snub_pages_number(pages, (si - info->us_zero) / info->us_size, more, "");
    const bool inches = pages->locale->inches;
    return info->both ? snub_pages_fill(pages, "{a} ({b})", "a", inches ? us : metric, "b", inches ? metric : us, NULL)
           : inches   ? us
                      : metric;
}

static const char *cell_of(paper_table *t, int column, int b)
{
    const snub_chart_column *c = t->of.columns[column].of;
    const snub_column_value value = snub_column_at(&t->of, column, b);
    if (strcmp(c->key, "designation") == 0 && !t->chart->builds[b].settled)
        return snub_say(t->pages->locale, SNUB_MESSAGE("no belt"));
    if (c->type == SNUB_CELL_LEVEL)
        return snub_say(t->pages->locale, value.text);
    if (c->type == SNUB_CELL_TEXT)
        return value.text != NULL ? value.text : "";
    return number_cell(t->pages, c, value.number);
}

/* Builds [from, to), all of one variant. */
static void variant_table(paper_table *t, int from, int to)
{
    snub_pages *pages = t->pages;
    const char *variant = t->chart->builds[from].row->variant;
    int rows = 0;
    const char **cells = SNUB_NEW(pages->arena, const char *, (size_t)(to - from) * (size_t)t->count);
    if (cells == NULL) {
        pages->failed = true;
        return;
    }
    for (int b = from; b < to; b++) {
        const char **cell = cells + (size_t)t->count * (size_t)rows++;
        for (int c = 0; c < t->count - 1; c++)
            cell[c] = cell_of(t, c, b);
        cell[t->count - 1] = marks_of(pages, snub_columns_findings(&t->of, b), t->notes);
    }
    const char *front = variant[0] != '\0' ? variant : SAY("as in the file");
    snub_pages_heading(pages, snub_pages_fill(pages, SAY("Engine front: {variant}"), "variant", front, NULL));
    snub_pages_table(pages, t->column, t->count, cells, rows);
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
                                                        "serves: {belts}."),
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
        snub_exclusion_words(excluded->exclusion, pages->arena, &what);
        snub_pages_paragraph(pages,
                             snub_pages_fill(pages,
                                             SAY("{package} is not sold with {what} (builds left out: {count}): "
                                                 "{reason}"),
                                             "package", excluded->package->name, "what", snub_pages_keep(pages, &what),
                                             "count", number, "reason", excluded->exclusion->reason, NULL));
    }
}

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
    paper_table *table = SNUB_NEW(pages->arena, paper_table, 1);
    notes *all = SNUB_NEW(pages->arena, notes, 1);
    if (all == NULL || table == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    *table = (paper_table){.pages = pages, .chart = chart, .notes = all};
    open_table(table);
    collect(&table->of, all);
    explain(pages);
    for (int from = 0, to; from < chart->build_count; from = to) { /* the rows of a variant stand together */
        to = from + 1;
        while (to < chart->build_count && strcmp(chart->builds[to].row->variant, chart->builds[from].row->variant) == 0)
            to++;
        variant_table(table, from, to);
    }
    packages(pages, &chart->rows);
    note_lines(pages, all);
    belts(pages, chart);
    snub_pages_gap(pages, 2);
    cautions(pages, &table->of);
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
