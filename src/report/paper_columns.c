/** Columns of a chart as tables on paper. */
#include "paper_columns.h"

#include <math.h>
#include <string.h>

#include "words.h"

static double share_of(const snub_paper_share *shares, int count, const char *key)
{
    for (int i = 0; i < count; i++) {
        if (strcmp(shares[i].key, key) == 0)
            return shares[i].share;
    }
    return 10;
}

static const char *column_title(snub_pages *pages, const snub_shown_column *shown)
{
    snub_text words = {0};
    if (shown->of->per != SNUB_PER_OPTION)
        return shown->title;
    snub_path_words(shown->title, pages->locale, &words);
    return snub_pages_keep(pages, &words);
}

/* "mm (in)" where a reader may hold either tool; an option stands as it was written. */
static const char *column_unit(snub_pages *pages, const snub_shown_column *shown)
{
    const snub_unit_info *info = snub_unit_describe(shown->of->unit);
    const char *metric = SAY(info->text), *us = SAY(info->us_text);
    const bool inches = pages->locale->inches;
    if (shown->of->per == SNUB_PER_OPTION)
        return SAY(shown->unit);
    return info->both ? snub_pages_fill(pages, "{a} ({b})", "a", inches ? us : metric, "b", inches ? metric : us, NULL)
           : inches   ? us
                      : metric;
}

/* Words that no build has are left out with their column: a kit without part numbers, say. */
static bool is_empty(snub_columns_of *of, int column)
{
    const snub_chart_column *c = of->columns[column].of;
    for (int b = 0; b < of->chart->build_count; b++) {
        if (c->type != SNUB_CELL_TEXT || c->per != SNUB_PER_BUILD || snub_column_at(of, column, b).text != NULL)
            return false;
    }
    return strcmp(c->key, "designation") != 0; /* "no belt" stands there */
}

static void drop_empty(snub_columns_of *of)
{
    int kept = 0;
    for (int i = 0; i < of->count; i++)
        if (!is_empty(of, i))
            of->columns[kept++] = of->columns[i];
    of->count = kept;
}

void snub_paper_open(snub_paper_table *t, snub_pages *pages, const snub_chart *chart, const snub_paper_share *shares,
                     int count)
{
    *t = (snub_paper_table){.pages = pages, .chart = chart};
    const char **keys = SNUB_NEW(pages->arena, const char *, count + 1);
    if (keys == NULL) {
        pages->failed = true;
        return;
    }
    for (int i = 0; i < count; i++)
        keys[i] = shares[i].key;
    snub_columns_open(chart, keys, pages->locale, pages->arena, &t->of);
    drop_empty(&t->of);
    for (int i = 0; i < t->of.count && t->count < SNUB_PAPER_COLUMNS_MOST - 2; i++) {
        const snub_shown_column *shown = &t->of.columns[i];
        const bool words = shown->of->type == SNUB_CELL_TEXT || shown->of->type == SNUB_CELL_LEVEL;
        t->column[t->count++] = (snub_pages_column){column_title(pages, shown), column_unit(pages, shown),
                                                    share_of(shares, count, shown->of->key),
                                                    words && shown->of->per != SNUB_PER_OPTION ? -1 : 1};
    }
    pages->failed = pages->failed || t->of.failed;
}

void snub_paper_add(snub_paper_table *t, const char *title, double share)
{
    t->column[t->count++] = (snub_pages_column){title, "", share, -1};
}

bool snub_paper_has(const snub_paper_table *t, const char *key)
{
    for (int i = 0; i < t->of.count; i++) {
        if (strcmp(t->of.columns[i].of->key, key) == 0)
            return true;
    }
    return false;
}

int snub_paper_front_end(const snub_chart *chart, int from)
{
    int to = from + 1;
    while (to < chart->build_count && strcmp(chart->builds[to].row->variant, chart->builds[from].row->variant) == 0)
        to++;
    return to;
}

void snub_paper_front_heading(snub_paper_table *t, int build)
{
    snub_pages *pages = t->pages;
    const char *variant = t->chart->builds[build].row->variant;
    const char *front = variant[0] != '\0' ? variant : SAY("as in the file");
    snub_pages_heading(pages, snub_pages_fill(pages, SAY("Engine front: {variant}"), "variant", front, NULL));
}

void snub_paper_cautions(snub_paper_table *t)
{
    snub_caution_set set = SNUB_CAUTION_BIT(SNUB_CAUTION_MAKERS) | SNUB_CAUTION_BIT(SNUB_CAUTION_QUALIFIED);
    for (int i = 0; i < t->chart->build_count; i++)
        set |= snub_cautions_charted(&t->chart->builds[i], snub_columns_findings(&t->of, i));
    snub_pages_cautions(t->pages, set);
    snub_pages_more_cautions(t->pages);
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

const char *snub_paper_cell(snub_paper_table *t, int column, int b)
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
