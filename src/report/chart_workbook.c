/* A chart as tables: builds, their findings, belts, and what it all stands on. */
#include "columns.h"

#include <math.h>
#include <string.h>

#include "table.h"
#include "words.h"

enum {
    KEYS = 3,  /* build, code, verdict */
    SHEETS = 5 /* builds, findings, belts, inputs, limits */
};

typedef struct maker {
    const snub_chart *chart;
    const snub_locale *locale;
    snub_arena *arena, *words;
    snub_columns_of of;
    snub_column *columns; /* those of `of`, as a table has them */
    int second_group;     /* the first for the engineer; 0: none */
    int *first_finding;   /* of each build, in the table of all findings */
    bool failed;
} maker;

static snub_cell plain(double number)
{
    return snub_cell_number(number, SNUB_MARK_NONE);
}

/* ---- worksheets of builds ---------------------------------------------------------------------------------------- */

static bool make_columns(maker *m)
{
    snub_columns_open(m->chart, NULL, m->locale, m->arena, &m->of);
    m->of.words = m->words;
    m->columns = SNUB_NEW(m->arena, snub_column, m->of.count + 1);
    if (m->columns == NULL || m->of.failed)
        return false;
    for (int i = m->of.count - 1; i >= 0; i--) {
        m->second_group = snub_column_is_engineering(m->of.columns[i].of) ? i : m->second_group;
        const snub_shown_column *shown = &m->of.columns[i];
        m->columns[i] = (snub_column){shown->title, shown->unit, shown->type, shown->decimals};
    }
    return true;
}

static bool give_row(void *context, int row, snub_cell *cells)
{
    maker *m = context;
    snub_arena_free(m->words);
    for (int c = 0; c < m->of.count; c++)
        cells[c] = snub_column_cell(&m->of, c, row);
    return !m->of.failed;
}

static snub_data_table builds_table(maker *m)
{
    static const char *const notes[] = {
        "wrap: engine stopped. grip used: the worst case of the build, at design friction; "
        "1 is all of it. slips from: worst belt, limit friction, steady or accelerating.",
        "Lengths are effective lengths. Air is at redline, steady, throttle "
        "open, without slip. An empty cell has no value."};
    return (snub_data_table){.name = "builds",
                             .title = m->chart->rows.title,
                             .column_count = m->of.count,
                             .columns = m->columns,
                             .row_count = m->chart->build_count,
                             .notes = notes,
                             .note_count = 2,
                             .row = give_row,
                             .context = m,
                             .keys = KEYS,
                             .second_group = m->second_group};
}

/* ---- findings ---------------------------------------------------------------------------------------------------- */

/* The build of a row of findings; `first_finding` rises. */
static int build_of(const maker *m, int row)
{
    int low = 0, high = m->chart->build_count;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (m->first_finding[middle] <= row)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static bool give_finding(void *context, int row, snub_cell *cells)
{
    maker *m = context;
    const int b = build_of(m, row);
    const snub_findings *findings = snub_columns_findings(&m->of, b);
    const snub_finding *f = &findings->items[row - m->first_finding[b]];
    snub_text sentence = {0};
    snub_arena_free(m->words);
    snub_finding_sentence(f, m->locale, &sentence);
    cells[0] = snub_cell_count(b + 1);
    cells[1] = snub_cell_text(m->chart->builds[b].row->code);
    cells[2] = snub_cell_level(snub_mark_of(f->level));
    cells[3] = snub_cell_text(snub_finding_rule(f));
    cells[4] = snub_cell_text(snub_words_copy(&sentence, m->words));
    return !m->of.failed && cells[4].text != NULL;
}

/* One row a finding: a filter then shows a rule's, or a build's. */
static bool findings_worksheet(maker *m, snub_data_table *table)
{
    static const snub_column columns[] = {{"build", "", SNUB_CELL_COUNT, 0},
                                          {"code", "", SNUB_CELL_TEXT, 0},
                                          {"level", "", SNUB_CELL_LEVEL, 0},
                                          {"rule", "", SNUB_CELL_TEXT, 0},
                                          {"finding", "", SNUB_CELL_TEXT, 0}};
    int count = 0;
    m->first_finding = SNUB_NEW(m->arena, int, m->chart->build_count + 1);
    for (int b = 0; m->first_finding != NULL && b < m->chart->build_count; b++) {
        m->first_finding[b] = count;
        count += snub_columns_findings(&m->of, b)->count;
    }
    *table = (snub_data_table){.name = "findings",
                               .title = "Findings of each build",
                               .column_count = sizeof columns / sizeof columns[0],
                               .columns = columns,
                               .row_count = count,
                               .row = give_finding,
                               .context = m,
                               .keys = 2};
    return m->first_finding != NULL && !m->of.failed;
}

/* ---- belts ------------------------------------------------------------------------------------------------------ */

static bool is_among(const snub_belt_use *belts, int count, const char *designation)
{
    for (int i = 0; i < count; i++)
        if (strcmp(belts[i].designation, designation) == 0)
            return true;
    return false;
}

static bool belts_worksheet(maker *m, snub_data_table *table)
{
    static const snub_column columns[] = {
        {"belt", "", SNUB_CELL_TEXT, 0},           {"ribs", "", SNUB_CELL_COUNT, 0},
        {"length", "mm", SNUB_CELL_NUMBER, 1},     {"builds", "", SNUB_CELL_COUNT, 0},
        {"in the fewest", "", SNUB_CELL_TRUTH, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_chart *chart = m->chart;
    int extra = 0; /* belts of the fewest that no build takes */
    for (int i = 0; i < chart->fewest_count; i++)
        extra += !is_among(chart->belts, chart->belt_count, chart->fewest[i].designation);
    int rows = chart->belt_count + extra;
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)rows * COLUMNS + 1), *cell = cells;
    const char **notes = SNUB_NEW(m->arena, const char *, 1);
    if (!cells || !notes)
        return false;
    notes[0] =
        chart->fewest_exact
            ? "builds: those that take this belt. The fewest belts serve every build that has a belt, each with a "
              "verdict no worse; no smaller number does."
            : "builds: those that take this belt. The fewest belts serve every build that has a belt, each with a "
              "verdict no worse; a smaller number was not ruled out.";
    for (int pass = 0; pass < 2; pass++) {
        const snub_belt_use *list = pass ? chart->fewest : chart->belts;
        for (int i = 0; i < (pass ? chart->fewest_count : chart->belt_count); i++) {
            const snub_belt_use *belt = &list[i];
            if (pass && is_among(chart->belts, chart->belt_count, belt->designation))
                continue;
            *cell++ = snub_cell_text(belt->designation);
            *cell++ = snub_cell_count(belt->ribs);
            *cell++ = plain(belt->length / SNUB_MM);
            *cell++ = snub_cell_count(pass ? 0 : belt->count);
            *cell++ = snub_cell_truth(is_among(chart->fewest, chart->fewest_count, belt->designation));
        }
    }
    *table = (snub_data_table){.name = "belts",
                               .title = "Belts",
                               .column_count = COLUMNS,
                               .columns = columns,
                               .row_count = rows,
                               .cells = cells,
                               .notes = notes,
                               .note_count = 1};
    return true;
}

/* ---- inputs ----------------------------------------------------------------------------------------------------- */

typedef struct leaves {
    maker *m;
    snub_cell *cells; /* NULL: count only */
    int count;
} leaves;

enum { INPUT_COLUMNS = 4 };

static void walk_node(leaves *l, const snub_node *node, const char *path)
{
    if (node->kind == SNUB_SCALAR) {
        if (l->cells) {
            snub_cell *cell = &l->cells[l->count * INPUT_COLUMNS];
            cell[0] = snub_cell_text(path);
            cell[1] = snub_cell_text(node->text);
            cell[2] = snub_cell_count(node->place.line > 0 ? (double)node->place.line : (double)NAN);
            cell[3] = snub_cell_text(node->place.file);
        }
        l->count++;
        return;
    }
    for (int i = 0; i < node->count && !l->m->failed; i++) {
        const char *dot = path[0] ? "." : "";
        const char *name = node->kind == SNUB_MAP ? node->keys[i]->text : NULL;
        /* an item of a list goes by its `name` where it has one, as paths in options do */
        const snub_node *named =
            !name && node->items[i]->kind == SNUB_MAP ? snub_node_get(node->items[i], "name") : NULL;
        const char *inner = name ? snub_format(l->m->arena, "%s%s%s", path, dot, name)
                            : named && named->kind == SNUB_SCALAR
                                ? snub_format(l->m->arena, "%s%s%s", path, dot, named->text)
                                : snub_format(l->m->arena, "%s%s%d", path, dot, i);
        if (inner)
            walk_node(l, node->items[i], inner);
        else
            l->m->failed = true;
    }
}

/* The file, and then what was laid over it for every build (--set): later rows win. */
static void walk_inputs(leaves *l)
{
    const snub_chart *chart = l->m->chart;
    if (chart->document && chart->document->root)
        walk_node(l, chart->document->root, "");
    if (chart->build_count == 0)
        return;
    const snub_row *row = chart->builds[0].row;
    for (int i = row->overlay_count - row->set_count; i < row->overlay_count; i++)
        walk_node(l, row->overlays[i].value, row->overlays[i].path);
}

static bool inputs_worksheet(maker *m, snub_data_table *table)
{
    static const snub_column columns[] = {{"key", "", SNUB_CELL_TEXT, 0},
                                          {"value as written", "", SNUB_CELL_TEXT, 0},
                                          {"line", "", SNUB_CELL_COUNT, 0},
                                          {"from", "", SNUB_CELL_TEXT, 0}};
    leaves l = {.m = m};
    walk_inputs(&l);
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)l.count * INPUT_COLUMNS + 1);
    const char **notes = SNUB_NEW(m->arena, const char *, 1);
    if (!cells || !notes || m->failed)
        return false;
    l = (leaves){.m = m, .cells = cells};
    walk_inputs(&l);
    notes[0] =
        "A bare number is in mm, deg, N, N m, kg, kg m2, kW, rpm, kPa, degC or L, as its key asks. Of two rows with "
        "one key the later one holds.";
    *table = (snub_data_table){.name = "inputs",
                               .title = "What the drive file says",
                               .column_count = INPUT_COLUMNS,
                               .columns = columns,
                               .row_count = l.count,
                               .cells = cells,
                               .notes = notes,
                               .note_count = 1};
    return !m->failed;
}

static bool limits_worksheet(maker *m, snub_data_table *table)
{
    static const snub_column columns[] = {{"limit", "", SNUB_CELL_TEXT, 0},
                                          {"value", "", SNUB_CELL_NUMBER, -1},
                                          {"unit", "", SNUB_CELL_TEXT, 0},
                                          {"source", "", SNUB_CELL_TEXT, 0}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    int rows = m->chart->build_count > 0 ? SNUB_LIMITS_ : 0;
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)rows * COLUMNS + 1), *cell = cells;
    if (!cells)
        return false;
    for (int i = 0; i < rows; i++) {
        const snub_limit_info *info = snub_limit_describe((snub_limit)i);
        const int line = m->chart->limits_given_at[i];
        *cell++ = snub_cell_text(info->key);
        const snub_shown shown = snub_number_shown(m->locale, snub_in_unit(info->unit, m->chart->limits[i]),
                                                   snub_unit_describe(info->unit)->text, -1);
        *cell++ = plain(shown.value);
        *cell++ = snub_cell_text(shown.unit);
        const char *source = line > 0                 ? snub_format(m->arena, "the drive file, line %d", line)
                             : line == SNUB_LAID_OVER ? "changed for this build"
                                                      : m->chart->limits_source[i];
        m->failed = m->failed || !source;
        *cell++ = snub_cell_text(source);
    }
    *table = (snub_data_table){.name = "limits and sources",
                               .title = "Limits in force",
                               .column_count = COLUMNS,
                               .columns = columns,
                               .row_count = rows,
                               .cells = cells};
    return !m->failed;
}

/* Limits have their units in cells of their own, inputs are as written. */
static snub_status in_units(const maker *m, snub_data_table *list, int count, snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int i = 0; i < count && status == SNUB_OK; i++) {
        const snub_data_table metric = list[i];
        status = snub_table_in_units(&metric, m->locale, m->arena, &list[i], error);
    }
    return status;
}

static maker *make_maker(const snub_chart *chart, const snub_locale *locale, snub_arena *arena, snub_arena *words)
{
    maker *m = SNUB_NEW(arena, maker, 1);
    if (m == NULL)
        return NULL;
    *m = (maker){.chart = chart, .locale = locale, .arena = arena, .words = words};
    return make_columns(m) ? m : NULL;
}

snub_status snub_chart_table(const snub_chart *chart, const snub_locale *locale, snub_arena *arena, snub_arena *words,
                             snub_data_table *table, snub_error *error)
{
    maker *m = make_maker(chart, locale, arena, words);
    if (m == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *table = builds_table(m);
    return in_units(m, table, 1, error);
}

snub_status snub_chart_workbook(const snub_chart *chart, const snub_locale *locale, snub_arena *arena,
                                snub_arena *words, snub_data_table **tables, int *count, snub_error *error)
{
    maker *m = make_maker(chart, locale, arena, words);
    snub_data_table *list = SNUB_NEW(arena, snub_data_table, SHEETS);
    if (m == NULL || list == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    list[0] = builds_table(m);
    m->of.count -= 1; /* findings are the last column: they have a worksheet */
    list[0].column_count = m->of.count;
    if (!findings_worksheet(m, &list[1]) || !belts_worksheet(m, &list[2]) || !inputs_worksheet(m, &list[3]) ||
        !limits_worksheet(m, &list[4]))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *tables = list;
    *count = SHEETS;
    return in_units(m, list, SHEETS, error);
}
