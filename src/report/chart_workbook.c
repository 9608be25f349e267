/* A chart as tables: builds, builds of each rib count, belts, and what it all stands on. */
#include "chart_shown.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

static const double M_TO_MM = 1000.0;
static const double RAD_TO_DEG = 180.0 / SNUB_PI;
static const double RAD_S_TO_RPM = 30.0 / SNUB_PI;

enum {
    FIXED_COLUMNS = 17, /* beside those of options, slots and pulleys */
    OTHER_SHEETS = 4,   /* all builds, belts, inputs, limits */
    RIBS_MOST = 64      /* different rib counts of one kit: more cannot be built */
};

typedef struct names {
    const char *items[SNUB_PULLEYS_MOST * 2];
    int count;
} names;

typedef struct maker {
    const snub_chart *chart;
    snub_arena *arena;
    names slots, shown;
    snub_column *columns;
    int column_count;
    bool air, hardware; /* any build has them */
    bool failed;
} maker;

/* Numbers of a build's summary, and how they are shown: shown = number * scale + shift. */
typedef struct summary_column {
    const char *title, *unit;
    int decimals;
    size_t offset;
    double scale, shift;
} summary_column;

#define AIR(field) offsetof(snub_air_summary, field)
static const summary_column AIR_COLUMNS[] = {
    {"boost at redline", "kPa", 1, AIR(boost), 1e-3, 0},
    {"blower pulley speed", "rpm", 0, AIR(shaft_speed), 30.0 / SNUB_PI, 0},
    {"rotor speed", "rpm", 0, AIR(rotor_speed), 30.0 / SNUB_PI, 0},
    {"blower power", "kW", 1, AIR(power), 1e-3, 0},
    {"blower torque", "N m", 1, AIR(torque), 1, 0},
    {"blower belt force", "N", 0, AIR(belt_force), 1, 0},
    {"air out of the blower", "degC", 0, AIR(outlet), 1, -273.15},
    {"air into the engine", "degC", 0, AIR(charge), 1, -273.15},
    {"air flow", "kg/s", 3, AIR(mass_flow), 1, 0},
    {"slips from", "rpm", 0, AIR(slip_onset), 30.0 / SNUB_PI, 0},
};
#define HARDWARE(field) offsetof(snub_hardware_summary, field)
static const summary_column HARDWARE_COLUMNS[] = {
    {"bearing life", "h", 0, HARDWARE(bearing_life), 1.0 / 3600, 0},
    {"bolt slip used", "", 2, HARDWARE(bolt_slip), 1, 0},
    {"bolt margin", "", 2, HARDWARE(bolt_margin), 1, 0},
    {"belt entry angle", "deg", 2, HARDWARE(entry_angle), 180.0 / SNUB_PI, 0},
};
enum {
    AIR_COUNT = sizeof AIR_COLUMNS / sizeof AIR_COLUMNS[0],
    HARDWARE_COUNT = sizeof HARDWARE_COLUMNS / sizeof HARDWARE_COLUMNS[0]
};

/* ---- what the columns are --------------------------------------------------------------------------------------- */

static void add_name(names *list, const char *name)
{
    for (int i = 0; i < list->count; i++)
        if (strcmp(list->items[i], name) == 0)
            return;
    if (list->count < (int)(sizeof list->items / sizeof list->items[0]))
        list->items[list->count++] = name;
}

static bool has_air(const snub_build *build)
{
    return build->has_check && !isnan(build->air.power);
}

static bool has_hardware(const snub_build *build)
{
    return build->has_check && build->hardware.given;
}

/* A variant may put another pulley on a slot: the names of all builds, in the order in which they come. */
static void gather_names(maker *m)
{
    for (int b = 0; b < m->chart->build_count; b++) {
        const snub_drive *drive = m->chart->builds[b].drive;
        for (int i = 0; drive && i < drive->pulley_count; i++) {
            if (drive->pulleys[i].sits == SNUB_ON_SLOT)
                add_name(&m->slots, drive->pulleys[i].name);
            if (snub_chart_shows(m->chart, drive, i))
                add_name(&m->shown, drive->pulleys[i].name);
        }
        m->air = m->air || has_air(&m->chart->builds[b]);
        m->hardware = m->hardware || has_hardware(&m->chart->builds[b]);
    }
}

static void add_column(maker *m, const char *title, const char *unit, snub_cell_type type, int decimals)
{
    m->failed = m->failed || !title;
    m->columns[m->column_count++] = (snub_column){title ? title : "", unit, type, decimals};
}

static bool make_columns(maker *m)
{
    int room =
        FIXED_COLUMNS + AIR_COUNT + HARDWARE_COUNT + 1 + m->chart->option_count + m->slots.count + 2 * m->shown.count;
    m->columns = SNUB_NEW(m->arena, snub_column, room);
    if (!m->columns)
        return false;
    add_column(m, "build", "", SNUB_CELL_COUNT, 0);
    add_column(m, "verdict", "", SNUB_CELL_LEVEL, 0);
    add_column(m, "variant", "", SNUB_CELL_TEXT, 0);
    for (int i = 0; i < m->chart->option_count; i++)
        add_column(m, m->chart->options[i].path, "", SNUB_CELL_TEXT, 0);
    add_column(m, "ribs", "", SNUB_CELL_COUNT, 0);
    add_column(m, "belt", "", SNUB_CELL_TEXT, 0);
    add_column(m, "belt length", "mm", SNUB_CELL_NUMBER, 1);
    for (int i = 0; i < m->slots.count; i++)
        add_column(m, snub_format(m->arena, "%s along slot", m->slots.items[i]), "mm", SNUB_CELL_NUMBER, 1);
    for (int i = 0; i < m->shown.count; i++)
        add_column(m, snub_format(m->arena, "diameter of %s", m->shown.items[i]), "mm", SNUB_CELL_NUMBER, 2);
    for (int i = 0; i < m->shown.count; i++)
        add_column(m, snub_format(m->arena, "wrap of %s", m->shown.items[i]), "deg", SNUB_CELL_NUMBER, 1);
    add_column(m, "wrap gain", "%", SNUB_CELL_NUMBER, 1);
    add_column(m, "arm wind at rest", "deg", SNUB_CELL_NUMBER, 1);
    add_column(m, "arm wind at redline", "deg", SNUB_CELL_NUMBER, 1);
    add_column(m, "grip used", "", SNUB_CELL_NUMBER, 2);
    add_column(m, "grip used at", "rpm", SNUB_CELL_NUMBER, 0);
    add_column(m, "tightest gap", "mm", SNUB_CELL_NUMBER, 1);
    for (int i = 0; m->air && i < AIR_COUNT; i++)
        add_column(m, AIR_COLUMNS[i].title, AIR_COLUMNS[i].unit, SNUB_CELL_NUMBER, AIR_COLUMNS[i].decimals);
    for (int i = 0; m->hardware && i < HARDWARE_COUNT; i++)
        add_column(m, HARDWARE_COLUMNS[i].title, HARDWARE_COLUMNS[i].unit, SNUB_CELL_NUMBER,
                   HARDWARE_COLUMNS[i].decimals);
    if (m->hardware)
        add_column(m, "conflicts of hardware", "", SNUB_CELL_COUNT, 0);
    add_column(m, "second choice", "", SNUB_CELL_TEXT, 0);
    add_column(m, "shortest belt that would do", "mm", SNUB_CELL_NUMBER, 1);
    add_column(m, "longest belt that would do", "mm", SNUB_CELL_NUMBER, 1);
    add_column(m, "findings", "", SNUB_CELL_TEXT, 0);
    return !m->failed;
}

/* ---- one build -------------------------------------------------------------------------------------------------- */

static snub_mark mark_of(snub_level level)
{
    switch (level) {
    case SNUB_FAIL: return SNUB_MARK_FAIL;
    case SNUB_WATCH: return SNUB_MARK_WATCH;
    case SNUB_NOTE: return SNUB_MARK_NOTE;
    case SNUB_PASS: break;
    }
    return SNUB_MARK_PASS;
}

static const char *findings_text(maker *m, const snub_findings *findings)
{
    snub_text text = {0};
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *finding = &findings->items[i];
        snub_text_printf(&text, "%s%s: %s%s%s%s%s: %s", i ? "\n" : "", snub_level_text(finding->level), finding->rule,
                         finding->pulley ? ", " : "", finding->pulley ? finding->pulley : "",
                         finding->other ? ", " : "", finding->other ? finding->other : "",
                         finding->text ? finding->text : "");
    }
    const char *copy = text.failed ? NULL : snub_copy_text(m->arena, text.data ? text.data : "");
    m->failed = m->failed || !copy;
    snub_text_free(&text);
    return copy;
}

static snub_cell plain(double number)
{
    return snub_cell_number(number, SNUB_MARK_NONE);
}

static snub_cell slot_cell(const snub_build *build, const char *name)
{
    int i = build->drive && build->has_check ? snub_drive_pulley(build->drive, name) : -1;
    bool set = i >= 0 && build->drive->pulleys[i].sits == SNUB_ON_SLOT;
    return plain(set ? build->check.settings[i] * M_TO_MM : NAN);
}

static snub_cell diameter_cell(const snub_build *build, const char *name)
{
    int i = build->drive ? snub_drive_pulley(build->drive, name) : -1;
    return plain(i >= 0 ? build->drive->pulleys[i].nominal_diameter * M_TO_MM : NAN);
}

static snub_cell wrap_cell(const snub_build *build, const char *name)
{
    int i = build->drive && build->has_check ? snub_drive_pulley(build->drive, name) : -1;
    return plain(i >= 0 ? build->check.rest.path.wrap[i] * RAD_TO_DEG : NAN);
}

static snub_cell grip_cell(const snub_build *build)
{
    if (!build->has_check)
        return plain(NAN);
    double grip = build->check.worst_grip;
    bool over = build->drive && grip > build->drive->limits[SNUB_LIMIT_GRIP_DESIGN];
    return snub_cell_number(grip,
                            over ? mark_of(build->verdict == SNUB_FAIL ? SNUB_FAIL : SNUB_WATCH) : SNUB_MARK_NONE);
}

static void fill_summary(const void *summary, bool given, const summary_column *columns, int count, snub_cell **cell)
{
    for (int i = 0; i < count; i++) {
        double number = *(const double *)((const char *)summary + columns[i].offset);
        *(*cell)++ = plain(given ? number * columns[i].scale + columns[i].shift : NAN);
    }
}

/* The belt of the second best choice. */
static snub_cell second_cell(maker *m, const snub_build *build)
{
    char designation[32];
    if (build->choices.count < 2 || !build->drive)
        return (snub_cell){0};
    snub_designation(&build->drive->belt, build->choices.choice[1].length, designation);
    const char *copy = snub_copy_text(m->arena, designation);
    m->failed = m->failed || !copy;
    return snub_cell_text(copy);
}

static void fill_build(maker *m, int index, snub_cell *cell)
{
    const snub_build *build = &m->chart->builds[index];
    const snub_choice *choice = build->choices.count > 0 ? &build->choices.choice[0] : NULL;
    bool arm = build->has_check && choice && build->drive && build->drive->arm >= 0;
    *cell++ = snub_cell_count(index + 1);
    *cell++ = snub_cell_level(mark_of(build->verdict));
    *cell++ = snub_cell_text(build->variant && build->variant[0] ? build->variant : NULL);
    for (int i = 0; i < m->chart->option_count; i++)
        *cell++ = snub_cell_text(build->values[i]);
    *cell++ = snub_cell_count(build->drive ? (double)build->drive->belt.ribs : (double)NAN);
    *cell++ = snub_cell_text(build->has_check ? build->check.designation : NULL);
    *cell++ = plain(choice ? choice->length * M_TO_MM : NAN);
    for (int i = 0; i < m->slots.count; i++)
        *cell++ = slot_cell(build, m->slots.items[i]);
    for (int i = 0; i < m->shown.count; i++)
        *cell++ = diameter_cell(build, m->shown.items[i]);
    for (int i = 0; i < m->shown.count; i++)
        *cell++ = wrap_cell(build, m->shown.items[i]);
    *cell++ = plain(build->has_check ? build->wrap_gain * 100 : NAN);
    *cell++ = plain(arm ? choice->wind_rest * RAD_TO_DEG : NAN);
    *cell++ = plain(arm ? choice->wind_redline * RAD_TO_DEG : NAN);
    *cell++ = grip_cell(build);
    *cell++ = plain(build->has_check ? build->check.worst_grip_speed * RAD_S_TO_RPM : NAN);
    *cell++ = plain(build->has_check ? build->check.tightest_gap * M_TO_MM : NAN);
    if (m->air)
        fill_summary(&build->air, has_air(build), AIR_COLUMNS, AIR_COUNT, &cell);
    if (m->hardware) {
        fill_summary(&build->hardware, has_hardware(build), HARDWARE_COLUMNS, HARDWARE_COUNT, &cell);
        *cell++ = has_hardware(build) ? snub_cell_count(build->hardware.conflicts) : (snub_cell){0};
    }
    *cell++ = second_cell(m, build);
    *cell++ = plain(build->choices.wanted_length[0] * M_TO_MM);
    *cell++ = plain(build->choices.wanted_length[1] * M_TO_MM);
    *cell++ = snub_cell_text(findings_text(m, &build->findings));
}

/* ---- sheets of builds ------------------------------------------------------------------------------------------- */

/* ribs 0: all builds. */
static bool builds_sheet(maker *m, int ribs, snub_sheet_table *table)
{
    static const char *const notes[] = {
        "wrap: belt at rest. grip used: the worst case of the build, at design friction; "
        "1 is all of it.",
        "Lengths are effective lengths. Air is at redline, steady, throttle "
        "open, without slip. An empty cell has no value."};
    int rows = 0;
    for (int b = 0; b < m->chart->build_count; b++)
        rows += ribs == 0 || (m->chart->builds[b].drive && m->chart->builds[b].drive->belt.ribs == ribs);
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)rows * (size_t)m->column_count + 1);
    if (!cells)
        return false;
    *table = (snub_sheet_table){.title = m->chart->title,
                                .column_count = m->column_count,
                                .columns = m->columns,
                                .row_count = rows,
                                .cells = cells,
                                .notes = notes,
                                .note_count = 2};
    table->name = ribs ? snub_format(m->arena, "%d ribs", ribs) : "all builds";
    for (int b = 0; b < m->chart->build_count; b++) {
        const snub_build *build = &m->chart->builds[b];
        if (ribs && (!build->drive || build->drive->belt.ribs != ribs))
            continue;
        fill_build(m, b, cells);
        cells += m->column_count;
    }
    return table->name && !m->failed;
}

static int rib_counts(const snub_chart *chart, int ribs[RIBS_MOST])
{
    int count = 0;
    for (int b = 0; b < chart->build_count; b++) {
        if (!chart->builds[b].drive)
            continue;
        int wanted = chart->builds[b].drive->belt.ribs, at = 0;
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

static bool belts_sheet(maker *m, snub_sheet_table *table)
{
    static const snub_column columns[] = {
        {"belt", "", SNUB_CELL_TEXT, 0},           {"ribs", "", SNUB_CELL_COUNT, 0},
        {"length", "mm", SNUB_CELL_NUMBER, 1},     {"builds", "", SNUB_CELL_COUNT, 0},
        {"in the fewest", "", SNUB_CELL_TRUTH, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_chart *chart = m->chart;
    int extra = 0; /* belts of the fewest that no best choice uses */
    for (int i = 0; i < chart->fewest_count; i++)
        extra += !is_among(chart->belts, chart->belt_count, chart->fewest[i].designation);
    int rows = chart->belt_count + extra;
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)rows * COLUMNS + 1), *cell = cells;
    const char **notes = SNUB_NEW(m->arena, const char *, 1);
    if (!cells || !notes)
        return false;
    notes[0] = chart->fewest_exact
                   ? "builds: whose best choice is this belt. The fewest belts serve every build that can "
                     "be served; no smaller number does."
                   : "builds: whose best choice is this belt. The fewest belts serve every build that can "
                     "be served; a smaller number was not ruled out.";
    for (int pass = 0; pass < 2; pass++) {
        const snub_belt_use *list = pass ? chart->fewest : chart->belts;
        for (int i = 0; i < (pass ? chart->fewest_count : chart->belt_count); i++) {
            const snub_belt_use *belt = &list[i];
            if (pass && is_among(chart->belts, chart->belt_count, belt->designation))
                continue;
            *cell++ = snub_cell_text(belt->designation);
            *cell++ = snub_cell_count(belt->ribs);
            *cell++ = plain(belt->length * M_TO_MM);
            *cell++ = snub_cell_count(pass ? 0 : belt->count);
            *cell++ = snub_cell_truth(is_among(chart->fewest, chart->fewest_count, belt->designation));
        }
    }
    *table = (snub_sheet_table){"belts", "Belts", COLUMNS, columns, rows, cells, notes, 1};
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

static bool is_in_all(const snub_chart *chart, const snub_overlay *overlay)
{
    for (int b = 1; b < chart->build_count; b++) {
        bool there = false;
        for (int i = 0; i < chart->builds[b].overlay_count && !there; i++)
            there = chart->builds[b].overlays[i].value == overlay->value;
        if (!there)
            return false;
    }
    return true;
}

/* The file, and then what was laid over it for every build (--set): later rows win. */
static void walk_inputs(leaves *l)
{
    const snub_chart *chart = l->m->chart;
    if (chart->document && chart->document->root)
        walk_node(l, chart->document->root, "");
    for (int i = 0; chart->build_count && i < chart->builds[0].overlay_count; i++)
        if (is_in_all(chart, &chart->builds[0].overlays[i]))
            walk_node(l, chart->builds[0].overlays[i].value, chart->builds[0].overlays[i].path);
}

static bool inputs_sheet(maker *m, snub_sheet_table *table)
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
    *table = (snub_sheet_table){"inputs", "What the drive file says", INPUT_COLUMNS, columns, l.count, cells, notes, 1};
    return !m->failed;
}

static bool limits_sheet(maker *m, snub_sheet_table *table)
{
    static const snub_column columns[] = {{"limit", "", SNUB_CELL_TEXT, 0},
                                          {"value", "", SNUB_CELL_NUMBER, -1},
                                          {"unit", "", SNUB_CELL_TEXT, 0},
                                          {"source", "", SNUB_CELL_TEXT, 0}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_drive *drive = NULL;
    for (int b = 0; b < m->chart->build_count && !drive; b++)
        drive = m->chart->builds[b].drive;
    int rows = drive ? SNUB_LIMIT_COUNT_ : 0;
    snub_cell *cells = SNUB_NEW(m->arena, snub_cell, (size_t)rows * COLUMNS + 1), *cell = cells;
    if (!cells)
        return false;
    for (int i = 0; i < rows; i++) {
        const snub_limit_info *info = snub_limit_describe((snub_limit)i);
        int line = drive->limits_place[i].line;
        double value = info->quantity == SNUB_Q_TEMPERATURE
                           ? snub_quantity_to_bare(SNUB_Q_TEMPERATURE, drive->limits[i])
                           : drive->limits[i] * info->scale;
        *cell++ = snub_cell_text(info->key);
        *cell++ = plain(value);
        *cell++ = snub_cell_text(info->unit);
        const char *source = line > 0 ? snub_format(m->arena, "the drive file, line %d", line) : info->source;
        m->failed = m->failed || !source;
        *cell++ = snub_cell_text(source);
    }
    *table = (snub_sheet_table){"limits and sources", "Limits in force", COLUMNS, columns, rows, cells, NULL, 0};
    return !m->failed;
}

snub_status snub_chart_workbook(const snub_chart *chart, snub_arena *arena, snub_sheet_table **tables, int *count,
                                snub_error *error)
{
    int ribs[RIBS_MOST + 1], kinds = rib_counts(chart, ribs), made = 0;
    maker m = {.chart = chart, .arena = arena};
    snub_sheet_table *list = SNUB_NEW(arena, snub_sheet_table, kinds + OTHER_SHEETS);
    gather_names(&m);
    bool good = list && make_columns(&m) && builds_sheet(&m, 0, &list[made++]);
    for (int i = 0; i < kinds && good; i++)
        good = builds_sheet(&m, ribs[i], &list[made++]);
    good = good && belts_sheet(&m, &list[made++]);
    good = good && inputs_sheet(&m, &list[made++]);
    good = good && limits_sheet(&m, &list[made++]);
    if (!good)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *tables = list;
    *count = made;
    return SNUB_OK;
}
