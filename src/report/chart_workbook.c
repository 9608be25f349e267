/* A chart as tables: builds, builds of each rib count, belts, and what it all stands on. */
#include "columns.h"

#include <math.h>
#include <string.h>

enum {
    OTHER_SHEETS = 4, /* all builds, belts, inputs, limits */
    RIBS_MOST = 64    /* different rib counts of one kit: more cannot be built */
};

typedef struct maker {
    const snub_chart *chart;
    const snub_locale *locale;
    snub_arena *arena, *words;
    snub_columns_of of;
    snub_column *columns; /* those of `of`, as a table has them */
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
    for (int i = 0; i < m->of.count; i++) {
        const snub_shown_column *shown = &m->of.columns[i];
        m->columns[i] = (snub_column){shown->title, snub_unit_describe(shown->of->unit)->text, shown->of->type,
                                      shown->of->decimals};
    }
    return true;
}

static bool has_ribs(const snub_charted *build, int ribs)
{
    return ribs == 0 || build->ribs == ribs;
}

/* The builds of a worksheet. */
typedef struct builds_of {
    maker *m;
    int *builds, count;
} builds_of;

static bool give_row(void *context, int row, snub_cell *cells)
{
    const builds_of *sheet = context;
    maker *m = sheet->m;
    snub_arena_free(m->words);
    for (int c = 0; c < m->of.count; c++)
        cells[c] = snub_column_cell(&m->of, c, sheet->builds[row]);
    return !m->of.failed;
}

static builds_of *list_builds(maker *m, int ribs)
{
    const snub_chart *chart = m->chart;
    builds_of *sheet = SNUB_NEW(m->arena, builds_of, 1);
    int *builds = SNUB_NEW(m->arena, int, chart->build_count);
    if (!sheet || !builds)
        return NULL;
    *sheet = (builds_of){.m = m, .builds = builds};
    for (int b = 0; b < chart->build_count; b++) {
        if (has_ribs(&chart->builds[b], ribs))
            builds[sheet->count++] = b;
    }
    return sheet;
}

/* ribs 0: all builds. */
static bool builds_worksheet(maker *m, int ribs, snub_data_table *table)
{
    static const char *const notes[] = {
        "wrap: engine stopped. grip used: the worst case of the build, at design friction; "
        "1 is all of it. slips from: worst belt, limit friction, steady or accelerating.",
        "Lengths are effective lengths. Air is at redline, steady, throttle "
        "open, without slip. An empty cell has no value."};
    builds_of *sheet = list_builds(m, ribs);
    if (!sheet)
        return false;
    *table = (snub_data_table){.title = m->chart->rows.title,
                               .column_count = m->of.count,
                               .columns = m->columns,
                               .row_count = sheet->count,
                               .notes = notes,
                               .note_count = 2,
                               .row = give_row,
                               .context = sheet};
    table->name = ribs ? snub_format(m->arena, "%d ribs", ribs) : "all builds";
    return table->name != NULL;
}

static int rib_counts(const snub_chart *chart, int ribs[RIBS_MOST])
{
    int count = 0;
    for (int b = 0; b < chart->build_count; b++) {
        int wanted = chart->builds[b].ribs, at = 0;
        while (at < count && ribs[at] < wanted)
            at++;
        if ((at < count && ribs[at] == wanted) || count == RIBS_MOST)
            continue;
        memmove(&ribs[at + 1], &ribs[at], (size_t)(count - at) * sizeof ribs[0]);
        ribs[at] = wanted;
        count++;
    }
    return count;
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
    *table = (snub_data_table){"belts", "Belts", COLUMNS, columns, rows, cells, notes, 1, NULL, NULL};
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
    *table = (snub_data_table){
        "inputs", "What the drive file says", INPUT_COLUMNS, columns, l.count, cells, notes, 1, NULL, NULL};
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
                                                      : info->source;
        m->failed = m->failed || !source;
        *cell++ = snub_cell_text(source);
    }
    *table =
        (snub_data_table){"limits and sources", "Limits in force", COLUMNS, columns, rows, cells, NULL, 0, NULL, NULL};
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

snub_status snub_chart_workbook(const snub_chart *chart, const snub_locale *locale, snub_arena *arena,
                                snub_arena *words, snub_data_table **tables, int *count, snub_error *error)
{
    int ribs[RIBS_MOST + 1], kinds = rib_counts(chart, ribs), made = 0;
    maker *m = SNUB_NEW(arena, maker, 1);
    snub_data_table *list = SNUB_NEW(arena, snub_data_table, kinds + OTHER_SHEETS);
    if (m != NULL)
        *m = (maker){.chart = chart, .locale = locale, .arena = arena, .words = words};
    bool good = m != NULL && list && make_columns(m) && builds_worksheet(m, 0, &list[made++]);
    for (int i = 0; i < kinds && good; i++)
        good = builds_worksheet(m, ribs[i], &list[made++]);
    good = good && belts_worksheet(m, &list[made++]);
    good = good && inputs_worksheet(m, &list[made++]);
    good = good && limits_worksheet(m, &list[made++]);
    if (!good)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *tables = list;
    *count = made;
    return in_units(m, list, made, error);
}
