/* A chart for people: a table for each variant, narrow enough for a terminal; the belts below. */
#include "cautions.h"
#include "columns.h"
#include "words.h"

#include <stdlib.h>
#include <string.h>

/* Columns of a terminal from which on there is room for more than the least. */
enum { WIDE_FROM = 100 };

/* Without the package: a narrow table is of one, and its heading says which. */
static const char *const narrow[] = {"options",          "designation", "slots",   "wrap",         "boost",
                                     "blower_grip_used", "grip_used",   "verdict", "first_reason", NULL};
static const char *const wide[] = {
    "code",     "package", "options",          "designation", "own_number", "slots",   "wrap",         "wrap_gain",
    "arm_wind", "boost",   "blower_grip_used", "grip_used",   "grip_at",    "verdict", "first_reason", NULL};

typedef struct layout {
    snub_columns_of of;
    snub_arena *arena;
    bool wide;
    int shown[128], count; /* indices of columns */
    snub_column columns[128];
} layout;

static bool any_own_number(const snub_chart *chart)
{
    for (int b = 0; b < chart->build_count; b++)
        if (chart->builds[b].own_number != NULL)
            return true;
    return false;
}

/* The belt's name says its ribs already; of a pair a narrow table has the first. */
static bool is_left_out(const layout *l, const snub_shown_column *shown)
{
    if (strcmp(shown->of->key, "own_number") == 0)
        return !any_own_number(l->of.chart);
    if (shown->of->per == SNUB_PER_OPTION)
        return strcmp(shown->name, "belt.ribs") == 0;
    return !l->wide && shown->of->json == SNUB_JSON_HIGH;
}

/* "blower.diameter" stands as two lines: blower, diameter. */
static snub_column head_of(layout *l, const snub_shown_column *shown)
{
    const snub_chart_column *c = shown->of;
    snub_column column = {c->head, shown->unit, shown->type, shown->decimals};
    if (c->per == SNUB_PER_OPTION) {
        const char *dot = strrchr(shown->name, '.');
        column.title = dot ? snub_copy_text_n(l->arena, shown->name, (size_t)(dot - shown->name)) : shown->name;
        column.unit = dot ? dot + 1 : "";
    } else if (c->per == SNUB_PER_SLOT) {
        column.title = shown->name;
    }
    if (strcmp(c->key, "grip_used") == 0 || strcmp(c->key, "blower_grip_used") == 0)
        column.unit = "grip";
    if (strcmp(c->key, "boost") == 0 || strcmp(c->key, "arm_wind") == 0)
        column.decimals = 0;
    if (column.title == NULL)
        column.title = "";
    return column;
}

static void lay_out(layout *l)
{
    for (int i = 0; i < l->of.count && l->count < (int)(sizeof l->shown / sizeof l->shown[0]); i++) {
        if (is_left_out(l, &l->of.columns[i]))
            continue;
        l->shown[l->count] = i;
        l->columns[l->count++] = head_of(l, &l->of.columns[i]);
    }
}

static snub_cell cell_of(layout *l, int column, int build)
{
    const snub_charted *b = &l->of.chart->builds[build];
    snub_cell cell = snub_column_cell(&l->of, l->shown[column], build);
    if (strcmp(l->of.columns[l->shown[column]].of->key, "designation") == 0 && !b->settled)
        cell = snub_cell_text(snub_format(l->of.words, "%d%s none", b->ribs, b->section));
    return cell;
}

/* Builds [from, to) as a table. */
static bool build_table(layout *l, int from, int to, snub_data_table *table)
{
    snub_cell *cells = SNUB_NEW(l->arena, snub_cell, (size_t)(to - from) * (size_t)l->count + 1);
    if (!cells)
        return false;
    for (int i = from; i < to; i++) {
        for (int c = 0; c < l->count; c++)
            cells[(size_t)(i - from) * (size_t)l->count + (size_t)c] = cell_of(l, c, i);
    }
    *table = (snub_data_table){
        .name = "builds", .column_count = l->count, .columns = l->columns, .row_count = to - from, .cells = cells};
    return !l->of.failed;
}

/* ---- below the tables -------------------------------------------------------------------------------------------- */

static void add_list(const snub_belt_use *belts, int count, const snub_look *look, snub_text *out)
{
    snub_text line = {0};
    snub_text_puts(&line, "");
    for (int i = 0; i < count; i++)
        snub_text_printf(&line, "%s%s (%d)", i ? ", " : "", belts[i].designation, belts[i].count);
    if (count > 0) {
        snub_text_puts(out, "  ");
        snub_wrap(line.data ? line.data : "", 2, 2, look->width, out);
    }
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

static void add_belts(const snub_chart *chart, const snub_look *look, snub_text *out)
{
    snub_text_printf(out, "\nbelts that the builds take, with how many each serves: %d\n", chart->belt_count);
    add_list(chart->belts, chart->belt_count, look, out);
    if (chart->on_fewest || chart->fewest_count == 0)
        return;
    snub_text_printf(out, "fewest belts that serve every build that has one, with a verdict no worse%s: %d\n",
                     chart->fewest_exact ? "" : ", as far as was searched", chart->fewest_count);
    add_list(chart->fewest, chart->fewest_count, look, out);
    if (chart->fewest_count < chart->belt_count)
        snub_text_puts(out, "  snub chart --fewest charts the kit on those alone\n");
}

/* What the kit is sold as, and what it is not sold as. */
static void add_packages(const snub_rows *rows, snub_arena *arena, const snub_look *look, snub_text *out)
{
    for (int p = 0; p < rows->package_count; p++) {
        snub_text line = {0};
        const snub_package *package = rows->packages[p];
        snub_text_printf(&line, "%s%s%s", package->name, package->about[0] != '\0' ? ": " : "", package->about);
        snub_text_puts(out, p == 0 ? "\npackages\n  " : "  ");
        snub_wrap(line.data != NULL ? line.data : "", 2, 4, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
    }
    for (int e = 0, told = 0; e < rows->excluded_count; e++) {
        const snub_excluded_rows *excluded = &rows->excluded[e];
        snub_text line = {0};
        if (excluded->count == 0)
            continue;
        snub_text_printf(&line, "%s, not with ", excluded->package->name);
        snub_exclusion_words(excluded->exclusion, NULL, arena, &line);
        snub_text_printf(&line, " (%d build%s): %s", excluded->count, excluded->count == 1 ? "" : "s",
                         excluded->exclusion->reason);
        snub_text_puts(out, told++ == 0 ? "not sold, so not in the tables\n  " : "  ");
        snub_wrap(line.data != NULL ? line.data : "", 2, 4, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
    }
}

/* The shims of a build in words, and which build it is. */
typedef struct shimmed {
    const char *words;
    int build;
    int first; /* build that has them first */
} shimmed;

static int by_shims(const void *a, const void *b)
{
    const shimmed *x = a, *y = b;
    const int order = strcmp(x->words, y->words);
    return order != 0 ? order : x->build - y->build;
}

static int by_first_build(const void *a, const void *b)
{
    const shimmed *x = a, *y = b;
    return x->first != y->first ? x->first - y->first : x->build - y->build;
}

/* Builds with shims: those with the same together, the kind that comes first before the others. */
static shimmed *list_shims(layout *l, int *count)
{
    const snub_chart *chart = l->of.chart;
    shimmed *all = SNUB_NEW(l->arena, shimmed, chart->build_count);
    *count = 0;
    for (int i = 0; i < chart->build_count && all != NULL; i++) {
        snub_text one = {0};
        snub_shim_words(snub_columns_findings(&l->of, i), NULL, &one);
        const char *words = one.length > 0 ? snub_words_copy(&one, l->arena) : NULL;
        snub_text_free(&one);
        if (words != NULL)
            all[(*count)++] = (shimmed){words, i, i};
    }
    if (all == NULL)
        return NULL;
    qsort(all, (size_t)*count, sizeof *all, by_shims);
    for (int k = 1; k < *count; k++)
        all[k].first = strcmp(all[k].words, all[k - 1].words) == 0 ? all[k - 1].first : all[k].build;
    qsort(all, (size_t)*count, sizeof *all, by_first_build);
    return all;
}

/* Shims that verdicts include: each kind once, with the builds that have it. */
static void add_shims(layout *l, const snub_look *look, snub_text *out)
{
    int count;
    const shimmed *all = list_shims(l, &count);
    for (int from = 0, to; all != NULL && from < count; from = to) {
        snub_text line = {0};
        for (to = from; to < count && all[to].first == all[from].first;)
            to++;
        if (to - from == l->of.chart->build_count)
            snub_text_puts(&line, "all");
        for (int k = from; k < to && to - from < l->of.chart->build_count; k++)
            snub_text_printf(&line, "%s%d", k > from ? ", " : "", all[k].build + 1);
        snub_text_printf(&line, ": %s", all[from].words);
        snub_text_puts(out, from > 0 ? "  " : "\nshims that the verdict includes, by build\n  ");
        snub_wrap(line.data != NULL ? line.data : "", 2, 2, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
    }
}

/* The values of an option that is a position, best first. */
static snub_status add_rank(layout *l, int option, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"position", "", SNUB_CELL_TEXT, 0},    {"pass", "", SNUB_CELL_COUNT, 0},
        {"marginal", "", SNUB_CELL_COUNT, 0},   {"fail", "", SNUB_CELL_COUNT, 0},
        {"worst", "grip", SNUB_CELL_NUMBER, 2}, {"least gap", "mm", SNUB_CELL_NUMBER, 1},
        {"belts", "", SNUB_CELL_COUNT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_option *of = &l->of.chart->rows.options[option];
    snub_rank *ranks = SNUB_NEW(l->arena, snub_rank, of->count);
    snub_cell *cells = SNUB_NEW(l->arena, snub_cell, (size_t)of->count * COLUMNS), *cell = cells;
    if (ranks == NULL || cells == NULL || !snub_rank_values(l->of.chart, option, l->arena, ranks))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < of->count; i++) {
        *cell++ = snub_cell_text(ranks[i].value);
        *cell++ = snub_cell_count(ranks[i].counts[SNUB_PASS]);
        *cell++ = snub_cell_count(ranks[i].counts[SNUB_MARGINAL]);
        *cell++ = snub_cell_count(ranks[i].counts[SNUB_FAIL]);
        *cell++ = snub_cell_number(ranks[i].grip, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(ranks[i].gap / SNUB_MM, SNUB_MARK_NONE);
        *cell++ = snub_cell_count(ranks[i].belts);
    }
    const snub_data_table table = {
        .name = "positions", .column_count = COLUMNS, .columns = columns, .row_count = of->count, .cells = cells};
    snub_text_printf(out, "\npositions of %s, best first, over all builds that have them\n", of->path);
    return snub_table_show(&table, look, out, error);
}

static snub_status add_ranks(layout *l, const snub_look *look, snub_text *out, snub_error *error)
{
    const snub_rows *rows = &l->of.chart->rows;
    snub_status status = SNUB_OK;
    for (int o = 0; o < rows->option_count && status == SNUB_OK; o++) {
        if (snub_is_place_option(&rows->options[o]))
            status = add_rank(l, o, look, out, error);
    }
    return status;
}

/* Where the file writes a belt or a setting that the chart did not choose. */
static void add_own(const snub_chart *chart, const snub_look *look, snub_text *out)
{
    snub_text line = {0};
    int differ = 0;
    for (int i = 0; i < chart->build_count; i++) {
        const snub_charted *b = &chart->builds[i];
        bool other = !isnan(b->own_length) && b->own_length != b->length;
        for (int p = 0; p < b->pulley_count; p++) {
            const snub_charted_pulley *pulley = &b->pulleys[p];
            other = other || (!isnan(pulley->own_setting) && pulley->own_setting != pulley->setting);
        }
        differ += other;
    }
    if (differ == 0)
        return;
    snub_text_printf(
        &line,
        "The file itself gives a belt or a slot setting; a chart chooses afresh, and %d of %d builds take "
        "another. `snub check` judges the file as it is written, `snub check --build N` as the chart does.",
        differ, chart->build_count);
    snub_text_puts(out, "\n");
    snub_wrap(line.data ? line.data : "", 0, 0, look->width, out);
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

static void add_build_findings(layout *l, const snub_look *look, snub_text *out)
{
    for (int i = 0; i < l->of.chart->build_count; i++) {
        const snub_charted *build = &l->of.chart->builds[i];
        if (build->finding_count == 0)
            continue;
        snub_text_printf(out, "\n%d: ", i + 1);
        snub_row_words(build->row, false, look->locale, out);
        snub_text_printf(out, ": %s\n", build->settled ? build->designation : "no belt");
        snub_findings_show(snub_columns_findings(&l->of, i), SNUB_ALL_AREAS, look, out);
        snub_text_settle(out);
    }
}

/* Where the findings are listed, what they call for stands below them. */
static void add_cautions(layout *l, bool all_findings, const snub_look *look, snub_text *out)
{
    snub_caution_set set = SNUB_CAUTION_BIT(SNUB_CAUTION_MAKERS);
    for (int i = 0; i < l->of.chart->build_count && all_findings; i++)
        set |= snub_cautions_charted(&l->of.chart->builds[i], snub_columns_findings(&l->of, i));
    snub_text_puts(out, "\n");
    snub_cautions_show(set, look, out);
}

static void add_counts(const snub_chart *chart, snub_text *out)
{
    int counts[SNUB_FAIL + 1] = {0};
    for (int i = 0; i < chart->build_count; i++)
        counts[chart->builds[i].verdict]++;
    snub_text_printf(out, "%d build%s: %d pass, %d marginal, %d fail\n", chart->build_count,
                     chart->build_count == 1 ? "" : "s", counts[SNUB_PASS] + counts[SNUB_NOTE], counts[SNUB_MARGINAL],
                     counts[SNUB_FAIL]);
    if (chart->rows.same > 0)
        snub_text_printf(out, "%d rows are left out: each is the same drive as another row under another name\n",
                         chart->rows.same);
}

static void add_title(const snub_chart *chart, const snub_look *look, snub_text *out)
{
    snub_text sets = {0};
    snub_text_printf(out, "%s\n", chart->rows.title ? chart->rows.title : "(no title)");
    if (chart->build_count > 0 && chart->builds[0].row->set_count > 0) {
        snub_row only = *chart->builds[0].row;
        only.variant = only.package = "";
        only.option_count = 0;
        snub_row_words(&only, false, look->locale, &sets);
        snub_text_printf(out, "%s\n", sets.data ? sets.data : "");
        snub_text_free(&sets);
    }
    if (chart->on_fewest)
        snub_text_puts(out, "on the fewest belts\n");
}

/* Builds that share a table: of one engine front, in a narrow one of one package too. */
static bool share_table(const layout *l, const snub_row *a, const snub_row *b)
{
    return strcmp(a->variant, b->variant) == 0 && (l->wide || strcmp(a->package, b->package) == 0);
}

/* "variant: low compressor, package track" */
static void add_heading(const layout *l, const snub_row *row, snub_text *out)
{
    snub_text_printf(out, "\n%s%s", row->variant[0] ? "variant: " : "as in the file", row->variant);
    if (!l->wide && row->package[0])
        snub_text_printf(out, ", package %s", row->package);
    snub_text_puts(out, "\n");
}

snub_status snub_text_chart(const snub_chart *chart, const snub_look *look, bool all_findings, snub_text *out,
                            snub_error *error)
{
    snub_arena arena = {0};
    layout l = {.arena = &arena, .wide = look->width == 0 || look->width >= WIDE_FROM};
    snub_status status = SNUB_OK;
    snub_columns_open(chart, l.wide ? wide : narrow, look->locale, &arena, &l.of);
    lay_out(&l);
    add_title(chart, look, out);
    for (int from = 0, to; from < chart->build_count && status == SNUB_OK; from = to) {
        snub_data_table table;
        to = from + 1;
        while (to < chart->build_count && share_table(&l, chart->builds[from].row, chart->builds[to].row))
            to++;
        if (!build_table(&l, from, to, &table)) {
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
            break;
        }
        add_heading(&l, chart->builds[from].row, out);
        status = snub_table_show(&table, look, out, error);
    }
    if (status == SNUB_OK)
        status = add_ranks(&l, look, out, error);
    if (all_findings)
        add_build_findings(&l, look, out);
    add_packages(&chart->rows, &arena, look, out);
    add_belts(chart, look, out);
    add_shims(&l, look, out);
    add_own(chart, look, out);
    add_cautions(&l, all_findings, look, out);
    snub_text_puts(out, "\n");
    snub_unjudged_show(NULL, 0, chart, look, out);
    add_counts(chart, out);
    if (status == SNUB_OK && (out->failed || l.of.failed || arena.refused))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_arena_free(&arena);
    return status;
}
