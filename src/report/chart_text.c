/* A chart for people: a table for each variant, narrow enough for a terminal; the belts below. */
#include "snub/report.h"

#include <string.h>

static const double DEG = 180 / SNUB_PI;
static const double RPM = 30 / SNUB_PI;

/* Columns are added one by one: how many there are depends on options and slots. */
enum {
    COLUMNS_MOST = 96,
    SLOTS_MOST = 16,
    WIDE_FROM = 100 /* columns of a terminal that has room for more than the least */
};

typedef struct layout {
    const snub_chart *chart;
    snub_arena *arena;
    int slots[SLOTS_MOST];  /* pulley indices; the order of pulleys is the same in every build */
    int slot_count;
    int blower;             /* first blower, -1 */
    bool arm;
    bool wide;              /* room for the speed of the worst grip and the pulley of the reason */
    int column_count;
    snub_column columns[COLUMNS_MOST];
} layout;

static void add_column(layout *l, const char *title, const char *unit, snub_cell_type type, int decimals)
{
    if (l->column_count < COLUMNS_MOST)
        l->columns[l->column_count++] = (snub_column){title ? title : "", unit, type, decimals};
}

static const snub_drive *any_drive(const snub_chart *chart)
{
    for (int i = 0; i < chart->build_count; i++) {
        if (chart->builds[i].drive)
            return chart->builds[i].drive;
    }
    return NULL;
}

static void look_at_drive(layout *l)
{
    const snub_drive *drive = any_drive(l->chart);
    l->blower = -1;
    for (int i = 0; drive && i < drive->pulley_count; i++) {
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && l->slot_count < SLOTS_MOST)
            l->slots[l->slot_count++] = i;
        if (drive->pulleys[i].has_blower && l->blower < 0)
            l->blower = i;
    }
    l->arm = drive && drive->arm >= 0;
}

/* The belt's name says its ribs already. */
static bool is_said_elsewhere(const snub_option *option)
{
    return strcmp(option->path, "belt.ribs") == 0;
}

static void add_option_columns(layout *l)
{
    for (int o = 0; o < l->chart->option_count; o++) {
        if (is_said_elsewhere(&l->chart->options[o]))
            continue;
        const char *path = l->chart->options[o].path, *dot = strrchr(path, '.');
        const char *part = dot ? snub_copy_text_n(l->arena, path, (size_t)(dot - path)) : path;
        add_column(l, part, dot ? dot + 1 : "", SNUB_CELL_TEXT, 0);
    }
}

static void add_columns(layout *l)
{
    const snub_drive *drive = any_drive(l->chart);
    add_option_columns(l);
    add_column(l, "belt", "", SNUB_CELL_TEXT, 0);
    for (int i = 0; i < l->slot_count; i++)
        add_column(l, drive->pulleys[l->slots[i]].name, "mm", SNUB_CELL_NUMBER, 1);
    if (l->blower >= 0) {
        add_column(l, "wrap", "deg", SNUB_CELL_NUMBER, 1);
        if (l->slot_count)
            add_column(l, "gain", "%", SNUB_CELL_NUMBER, 1);
    }
    if (l->arm)
        add_column(l, "arm", "deg", SNUB_CELL_TEXT, 0);
    if (l->blower >= 0)
        add_column(l, "boost", "kPa", SNUB_CELL_NUMBER, 0);
    add_column(l, "grip", "used", SNUB_CELL_NUMBER, 2);
    if (l->wide)
        add_column(l, "at", "rpm", SNUB_CELL_NUMBER, 0);
    add_column(l, "verdict", "", SNUB_CELL_LEVEL, 0);
    add_column(l, "first reason", "", SNUB_CELL_TEXT, 0);
}

static snub_mark mark_of(snub_level level)
{
    static const snub_mark marks[] = {SNUB_MARK_PASS, SNUB_MARK_NOTE, SNUB_MARK_WATCH, SNUB_MARK_FAIL};
    return marks[level];
}

/* The worst finding that counts against a build, in a word or two. */
static const char *reason_of(layout *l, const snub_build *build)
{
    if (build->findings.count == 0 || build->verdict < SNUB_WATCH)
        return NULL;
    const snub_finding *worst = &build->findings.items[0];
    bool named = l->wide && worst->pulley;
    char *text = snub_format(l->arena, "%s%s%s", worst->rule, named ? " " : "", named ? worst->pulley : "");
    for (char *at = text; at && *at; at++)
        *at = *at == '_' ? ' ' : *at;
    return text;
}

static snub_cell arm_cell(layout *l, const snub_build *build)
{
    const snub_choice *choice = build->choices.count > 0 ? &build->choices.choice[0] : NULL;
    if (!choice || !isfinite(choice->wind_rest) || !isfinite(choice->wind_redline))
        return snub_cell_text(NULL);
    return snub_cell_text(snub_format(l->arena, "%.0f-%.0f", choice->wind_rest * DEG, choice->wind_redline * DEG));
}

static double boost_of(const snub_build *build)
{
    const snub_loads *loads = &build->loads;
    return loads->match && loads->speeds > 0 ? loads->match[loads->speeds - 1].boost * 1e-3 : NAN;
}

static const char *no_belt(layout *l, const snub_build *build)
{
    if (!build->drive)
        return "none";
    return snub_format(l->arena, "%d%s none", build->drive->belt.ribs, build->drive->belt.section);
}

static void add_build(layout *l, const snub_build *build, snub_cell *cell)
{
    const snub_check *check = build->has_check ? &build->check : NULL;
    bool laid = check && check->laid;
    for (int o = 0; o < l->chart->option_count; o++) {
        if (!is_said_elsewhere(&l->chart->options[o]))
            *cell++ = snub_cell_text(build->values[o]);
    }
    *cell++ = snub_cell_text(check && check->designation[0] ? check->designation : no_belt(l, build));
    for (int i = 0; i < l->slot_count; i++)
        *cell++ = snub_cell_number(check ? check->settings[l->slots[i]] * 1e3 : NAN, SNUB_MARK_NONE);
    if (l->blower >= 0) {
        *cell++ = snub_cell_number(laid ? check->rest.path.wrap[l->blower] * DEG : NAN, SNUB_MARK_NONE);
        if (l->slot_count)
            *cell++ = snub_cell_number(laid ? build->wrap_gain * 100 : NAN, SNUB_MARK_NONE);
    }
    if (l->arm)
        *cell++ = arm_cell(l, build);
    if (l->blower >= 0)
        *cell++ = snub_cell_number(boost_of(build), SNUB_MARK_NONE);
    *cell++ = snub_cell_number(laid ? check->worst_grip : NAN, mark_of(build->verdict));
    if (l->wide)
        *cell++ = snub_cell_number(laid ? check->worst_grip_speed * RPM : NAN, SNUB_MARK_NONE);
    *cell++ = snub_cell_level(mark_of(build->verdict));
    *cell++ = snub_cell_text(reason_of(l, build));
}

/* Builds [from, to) as a table. */
static bool build_table(layout *l, int from, int to, snub_sheet_table *table)
{
    snub_cell *cells = SNUB_NEW(l->arena, snub_cell, (size_t)(to - from) * (size_t)l->column_count + 1);
    if (!cells)
        return false;
    for (int i = from; i < to; i++)
        add_build(l, &l->chart->builds[i], cells + (size_t)(i - from) * (size_t)l->column_count);
    *table = (snub_sheet_table){.name = "builds", .column_count = l->column_count, .columns = l->columns,
                                .row_count = to - from, .cells = cells};
    return true;
}

/* ---- for a terminal ---------------------------------------------------------------------------------------------- */

static void add_belts(const snub_chart *chart, const snub_look *look, snub_text *out)
{
    snub_text line = {0};
    snub_text_puts(&line, "");
    for (int i = 0; i < chart->belt_count; i++)
        snub_text_printf(&line, "%s%s (%d)", i ? ", " : "", chart->belts[i].designation, chart->belts[i].count);
    snub_text_printf(out, "\nbelts that the best choices take, with how many builds each serves: %d\n",
                     chart->belt_count);
    if (chart->belt_count) {
        snub_text_puts(out, "  ");
        snub_wrap(line.data ? line.data : "", 2, 2, look->width, out);
    }
    line.length = 0;
    for (int i = 0; i < chart->fewest_count; i++)
        snub_text_printf(&line, "%s%s (%d)", i ? ", " : "", chart->fewest[i].designation, chart->fewest[i].count);
    if (chart->fewest_count) {
        snub_text_printf(out, "fewest belts that serve every build that can be served%s: %d\n  ",
                         chart->fewest_exact ? "" : ", as far as was searched", chart->fewest_count);
        snub_wrap(line.data ? line.data : "", 2, 2, look->width, out);
    }
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

static void add_build_findings(const snub_chart *chart, const snub_look *look, snub_text *out)
{
    for (int i = 0; i < chart->build_count; i++) {
        const snub_build *build = &chart->builds[i];
        if (build->findings.count == 0)
            continue;
        snub_text_puts(out, "\n");
        if (build->variant[0])
            snub_text_printf(out, "%s, ", build->variant);
        for (int o = 0; o < chart->option_count; o++)
            snub_text_printf(out, "%s %s, ", chart->options[o].path, build->values[o]);
        snub_text_printf(out, "%s\n", build->has_check && build->check.designation[0] ? build->check.designation
                                                                                       : "no belt");
        snub_findings_show(&build->findings, look, out);
    }
}

static void add_counts(const snub_chart *chart, snub_text *out)
{
    int counts[SNUB_FAIL + 1] = {0};
    for (int i = 0; i < chart->build_count; i++)
        counts[chart->builds[i].verdict]++;
    snub_text_printf(out, "\n%d builds: %d pass, %d watch, %d fail\n", chart->build_count,
                     counts[SNUB_PASS] + counts[SNUB_NOTE], counts[SNUB_WATCH], counts[SNUB_FAIL]);
}

snub_status snub_text_chart(const snub_chart *chart, const snub_look *look, bool all_findings, snub_text *out,
                            snub_error *error)
{
    snub_arena arena = {0};
    layout l = {.chart = chart, .arena = &arena, .wide = look->width == 0 || look->width >= WIDE_FROM};
    snub_status status = SNUB_OK;
    look_at_drive(&l);
    add_columns(&l);
    snub_text_printf(out, "%s\n", chart->title ? chart->title : "(no title)");
    for (int from = 0, to; from < chart->build_count && status == SNUB_OK; from = to) {
        snub_sheet_table table;
        to = from + 1;
        while (to < chart->build_count && strcmp(chart->builds[to].variant, chart->builds[from].variant) == 0)
            to++;
        if (!build_table(&l, from, to, &table)) {
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
            break;
        }
        const char *variant = chart->builds[from].variant;
        snub_text_printf(out, "\n%s%s\n", variant[0] ? "variant: " : "as the file stands", variant);
        status = snub_table_show(&table, look, out, error);
    }
    if (all_findings)
        add_build_findings(chart, look, out);
    add_belts(chart, look, out);
    add_counts(chart, out);
    if (status == SNUB_OK && (out->failed || arena.refused))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_arena_free(&arena);
    return status;
}
