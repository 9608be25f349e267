/* A sweep as a table and for people. */
#include "snub/report.h"

#include <string.h>

static const double DEG = 180 / SNUB_PI;
static const double RPM = 30 / SNUB_PI;

enum { PLAIN_COLUMNS = 14, PULLEY_COLUMNS = 9, ROWS_SHOWN = 18 };

typedef struct sweep_sheet {
    const snub_sweep *sweep;
    int way;
    bool pulleys;
    snub_arena *arena;
    snub_column *columns;
    snub_cell *cell; /* next to be written */
} sweep_sheet;

static int column_count(const snub_sweep *sweep, bool pulleys)
{
    return PLAIN_COLUMNS + (pulleys ? PULLEY_COLUMNS * sweep->pulleys : 0);
}

static void name_columns(sweep_sheet *sheet)
{
    static const snub_column plain[PLAIN_COLUMNS] = {
        {"engine", "rpm", SNUB_CELL_NUMBER, 0},  {"blower", "rpm", SNUB_CELL_NUMBER, 0},
        {"boost", "kPa", SNUB_CELL_NUMBER, 1},   {"power", "kW", SNUB_CELL_NUMBER, 1},
        {"torque", "N m", SNUB_CELL_NUMBER, 1},  {"outlet", "degC", SNUB_CELL_NUMBER, 0},
        {"charge", "degC", SNUB_CELL_NUMBER, 0}, {"air", "kg/s", SNUB_CELL_NUMBER, 3},
        {"crank", "kW", SNUB_CELL_NUMBER, 0},    {"belt", "kW", SNUB_CELL_NUMBER, 1},
        {"belt", "m/s", SNUB_CELL_NUMBER, 1},    {"arm", "deg", SNUB_CELL_NUMBER, 1},
        {"grip", "used", SNUB_CELL_NUMBER, 2},   {"slip", "%", SNUB_CELL_NUMBER, 2},
    };
    static const struct {
        const char *title, *unit;
        int decimals;
    } each[PULLEY_COLUMNS] = {{"speed", "rpm", 0}, {"torque", "N m", 2}, {"entry", "N", 0},
                              {"exit", "N", 0},    {"grip used", "", 3}, {"grip used, limit friction", "", 3},
                              {"hub", "N", 0},     {"hub", "deg", 1},    {"slip", "%", 2}};
    memcpy(sheet->columns, plain, sizeof plain);
    for (int i = 0; sheet->pulleys && i < sheet->sweep->pulleys; i++)
        for (int c = 0; c < PULLEY_COLUMNS; c++) {
            const char *title = snub_format(sheet->arena, "%s %s", sheet->sweep->drive->pulleys[i].name, each[c].title);
            sheet->columns[PLAIN_COLUMNS + i * PULLEY_COLUMNS + c] =
                (snub_column){title ? title : "", each[c].unit, SNUB_CELL_NUMBER, each[c].decimals};
        }
}

static double slip_percent(const snub_sweep_pulley *p)
{
    return p->slip == SNUB_SLIP_OVERRUN ? NAN : 100 * (1 - p->factor);
}

static void put(sweep_sheet *sheet, double value)
{
    *sheet->cell++ = snub_cell_number(value, SNUB_MARK_NONE);
}

static void put_marked(sweep_sheet *sheet, double value, bool watch, bool fail)
{
    *sheet->cell++ = snub_cell_number(value, fail ? SNUB_MARK_FAIL : watch ? SNUB_MARK_WATCH : SNUB_MARK_NONE);
}

static void put_pulley(sweep_sheet *sheet, const snub_sweep_pulley *p, bool solved)
{
    double nothing = solved ? 1 : NAN;
    put(sheet, p->speed * RPM * nothing);
    put(sheet, p->torque * nothing);
    put(sheet, p->entry * nothing);
    put(sheet, p->exit * nothing);
    put_marked(sheet, p->grip_design * nothing, p->grip_design > 1, p->slip != SNUB_SLIP_NONE);
    put(sheet, p->grip_limit * nothing);
    put(sheet, p->hub * nothing);
    put(sheet, p->hub_angle * DEG * nothing);
    put_marked(sheet, slip_percent(p) * nothing, false, p->slip != SNUB_SLIP_NONE);
}

static void put_row(sweep_sheet *sheet, int k)
{
    const snub_sweep *sweep = sheet->sweep;
    const snub_sweep_point *point = &sweep->point[sheet->way][k];
    const snub_sweep_pulley *p = &sweep->pulley[sheet->way][k * sweep->pulleys];
    const snub_match_result *m = &point->match;
    double blown = sweep->blower >= 0 ? 1 : NAN, solved = point->solved ? 1 : NAN, grip = 0, slip = 0;
    bool slips = false;
    for (int i = 0; i < sweep->pulleys; i++) {
        grip = fmax(grip, p[i].grip_design);
        slips = slips || p[i].slip != SNUB_SLIP_NONE;
        if (i != sweep->drive->crank || p[i].slip != SNUB_SLIP_NONE)
            slip = fmax(slip, slip_percent(&p[i]));
    }
    put(sheet, sweep->speed[k] * RPM);
    put_marked(sheet, m->shaft_speed * RPM * blown, false, m->flags & SNUB_MATCH_OVERSPEED);
    put(sheet, m->boost / 1e3 * blown);
    put(sheet, m->power / 1e3 * blown);
    put(sheet, m->torque * blown);
    put(sheet, (m->outlet_temperature - 273.15) * blown);
    put(sheet, (m->charge_temperature - 273.15) * blown);
    put(sheet, m->mass_flow * blown);
    put(sheet, m->crank_power / 1e3 * blown);
    put(sheet, point->power / 1e3 * solved);
    put(sheet, point->belt_speed * solved);
    put(sheet, point->wind * DEG * solved);
    put_marked(sheet, grip * solved, grip > 1, slips);
    put_marked(sheet, slip * solved, false, slips);
    for (int i = 0; sheet->pulleys && i < sweep->pulleys; i++)
        put_pulley(sheet, &p[i], point->solved);
}

snub_status snub_sweep_table(const snub_sweep *sweep, snub_sweep_way way, int step, bool pulleys, snub_arena *arena,
                             snub_sheet_table *table, snub_error *error)
{
    const int columns = column_count(sweep, pulleys), last = sweep->speeds - 1;
    if (step < 1)
        step = 1;
    const int rows = !sweep->ran[way] ? 0 : last / step + 1 + (last % step != 0);
    sweep_sheet sheet = {.sweep = sweep, .way = way, .pulleys = pulleys, .arena = arena};
    sheet.columns = SNUB_NEW(arena, snub_column, columns);
    snub_cell *cells = sheet.cell = SNUB_NEW(arena, snub_cell, (size_t)columns * (size_t)(rows > 0 ? rows : 1));
    if (!sheet.columns || !cells)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    name_columns(&sheet);
    for (int row = 0; row < rows; row++)
        put_row(&sheet, row * step < last ? row * step : last);
    *table = (snub_sheet_table){.name = snub_sweep_way_text(way),
                                .column_count = columns,
                                .columns = sheet.columns,
                                .row_count = rows,
                                .cells = cells};
    return SNUB_OK;
}

static const char *way_words(snub_sweep_way way)
{
    switch (way) {
    case SNUB_SWEEP_STEADY: return "steady, throttle open";
    case SNUB_SWEEP_RISING: return "rising, throttle open";
    case SNUB_SWEEP_FALLING: return "falling, throttle shut";
    case SNUB_SWEEP_SHUT: return "speed held, throttle shut";
    case SNUB_SWEEP_SHIFT: return "gear change, throttle open";
    default: return "";
    }
}

snub_status snub_text_sweep(const snub_sweep *sweep, snub_sweep_way way, const snub_pulley_offer *offers,
                            int offer_count, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_sheet_table table;
    snub_arena_init(&arena, 0);
    int step = (sweep->speeds + ROWS_SHOWN - 1) / ROWS_SHOWN;
    snub_status status = snub_sweep_table(sweep, way, step, false, &arena, &table, error);
    if (status == SNUB_OK) {
        snub_text_printf(out, "%s\nbelt %s, %s, nominal belt, slip counted in%s\n\n",
                         sweep->drive->title ? sweep->drive->title : "(no title)", sweep->designation, way_words(way),
                         sweep->friction < 1 ? ", wet" : "");
        status = snub_table_show(&table, look, out, error);
    }
    snub_arena_free(&arena);
    if (status != SNUB_OK)
        return status;
    if (sweep->findings.count > 0)
        snub_text_puts(out, "\n");
    snub_findings_show(&sweep->findings, look, out);
    snub_text words = {0};
    if (offer_count > 0) {
        snub_text_puts(&words, "Blower pulleys on offer: ");
        snub_sweep_advice(sweep, offers, offer_count, &words);
        snub_text_puts(&words, ".");
        snub_text_puts(out, "\n");
        snub_wrap(words.data ? words.data : "", 0, 2, look->width, out);
    }
    if (sweep->blower >= 0) {
        snub_text estimate = {0};
        snub_crank_power_assumptions(&sweep->drive->engine, &estimate);
        snub_text_puts(out, "\n");
        snub_wrap(estimate.data ? estimate.data : "", 0, 2, look->width, out);
        words.failed = words.failed || estimate.failed;
        snub_text_free(&estimate);
    }
    bool failed = words.failed || out->failed;
    snub_text_free(&words);
    return failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
