/* A sweep as a table and for people. */
#include "snub/report.h"

#include <string.h>

static const double DEG = 180 / SNUB_PI;
static const double RPM = 30 / SNUB_PI;

enum { PLAIN_COLUMNS = 14, PULLEY_COLUMNS = 9, ROWS_SHOWN = 18 };
/* Some of them by number. */
enum { BLOWER_SPEED = 1, OUTLET = 5, CHARGE = 6, GRIP = 12, SLIP = 13 };

/* Which of the plain columns a table has. */
static const struct {
    snub_column column;
    bool blower; /* speaks of the blower */
    bool wide;   /* left out where the table must fit a terminal */
} plain[PLAIN_COLUMNS] = {
    {{"engine", "rpm", SNUB_CELL_NUMBER, 0}, false, false}, {{"blower", "rpm", SNUB_CELL_NUMBER, 0}, true, false},
    {{"boost", "kPa", SNUB_CELL_NUMBER, 1}, true, false},   {{"power", "kW", SNUB_CELL_NUMBER, 1}, true, false},
    {{"torque", "N m", SNUB_CELL_NUMBER, 1}, true, true},   {{"outlet", "degC", SNUB_CELL_NUMBER, 0}, true, false},
    {{"charge", "degC", SNUB_CELL_NUMBER, 0}, true, false}, {{"air", "kg/s", SNUB_CELL_NUMBER, 3}, true, false},
    {{"crank", "kW", SNUB_CELL_NUMBER, 0}, true, false},    {{"belt", "kW", SNUB_CELL_NUMBER, 1}, false, false},
    {{"belt", "m/s", SNUB_CELL_NUMBER, 1}, false, true},    {{"arm", "deg", SNUB_CELL_NUMBER, 1}, false, false},
    {{"grip", "used", SNUB_CELL_NUMBER, 2}, false, false},  {{"slip", "%", SNUB_CELL_NUMBER, 1}, false, false},
};

/** What goes into a table of one way. */
typedef struct sweep_sheet {
    const snub_sweep *sweep;
    int way;
    bool pulleys, narrow;
    snub_arena *arena;
    snub_column *columns;
    snub_cell *cell; /* next to be written */
} sweep_sheet;

static bool has_column(const sweep_sheet *sheet, int c)
{
    return !(plain[c].blower && sheet->sweep->blower < 0) && !(plain[c].wide && sheet->narrow);
}

static int column_count(const sweep_sheet *sheet)
{
    int count = sheet->pulleys ? PULLEY_COLUMNS * sheet->sweep->pulleys : 0;
    for (int c = 0; c < PLAIN_COLUMNS; c++)
        count += has_column(sheet, c);
    return count;
}

static void name_columns(sweep_sheet *sheet)
{
    static const struct {
        const char *title, *unit;
        int decimals;
    } each[PULLEY_COLUMNS] = {{"speed", "rpm", 0}, {"torque", "N m", 2}, {"entry", "N", 0},
                              {"exit", "N", 0},    {"grip used", "", 3}, {"grip used, limit friction", "", 3},
                              {"hub", "N", 0},     {"hub", "deg", 1},    {"slip", "%", 2}};
    snub_column *column = sheet->columns;
    for (int c = 0; c < PLAIN_COLUMNS; c++)
        if (has_column(sheet, c)) {
            *column = plain[c].column;
            if (sheet->narrow && c == OUTLET)
                column->title = "out";
            if (sheet->narrow && c == CHARGE)
                column->title = "in";
            column++;
        }
    for (int i = 0; sheet->pulleys && i < sheet->sweep->pulleys; i++)
        for (int c = 0; c < PULLEY_COLUMNS; c++) {
            const char *title = snub_format(sheet->arena, "%s %s", sheet->sweep->drive->pulleys[i].name, each[c].title);
            *column++ = (snub_column){title ? title : "", each[c].unit, SNUB_CELL_NUMBER, each[c].decimals};
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
    double solved = point->solved ? 1 : NAN, grip = 0, slip = 0;
    bool slips = false;
    for (int i = 0; i < sweep->pulleys; i++) {
        grip = fmax(grip, p[i].grip_design);
        slips = slips || p[i].slip != SNUB_SLIP_NONE;
        slip = fmax(slip, slip_percent(&p[i]));
    }
    const double values[PLAIN_COLUMNS] = {sweep->speed[k] * RPM,
                                          m->shaft_speed * RPM,
                                          m->boost / 1e3,
                                          m->power / 1e3,
                                          m->torque,
                                          m->outlet_temperature - 273.15,
                                          m->charge_temperature - 273.15,
                                          m->mass_flow,
                                          m->crank_power / 1e3,
                                          point->power / 1e3 * solved,
                                          point->belt_speed * solved,
                                          point->wind * DEG * solved,
                                          grip * solved,
                                          slip * solved};
    for (int c = 0; c < PLAIN_COLUMNS; c++) {
        bool over = c == BLOWER_SPEED && (m->flags & SNUB_MATCH_OVERSPEED);
        if (has_column(sheet, c))
            put_marked(sheet, values[c], c == GRIP && grip > 1, over || ((c == GRIP || c == SLIP) && slips));
    }
    for (int i = 0; sheet->pulleys && i < sweep->pulleys; i++)
        put_pulley(sheet, &p[i], point->solved);
}

static snub_status make_table(sweep_sheet *sheet, int step, snub_sheet_table *table, snub_error *error)
{
    const snub_sweep *sweep = sheet->sweep;
    const int columns = column_count(sheet), last = sweep->speeds - 1;
    if (step < 1)
        step = 1;
    const int rows = !sweep->ran[sheet->way] ? 0 : last / step + 1 + (last % step != 0);
    sheet->columns = SNUB_NEW(sheet->arena, snub_column, columns);
    snub_cell *cells = sheet->cell = SNUB_NEW(sheet->arena, snub_cell, (size_t)columns * (size_t)(rows > 0 ? rows : 1));
    if (!sheet->columns || !cells)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    name_columns(sheet);
    for (int row = 0; row < rows; row++)
        put_row(sheet, row * step < last ? row * step : last);
    *table = (snub_sheet_table){.name = snub_sweep_way_text((snub_sweep_way)sheet->way),
                                .column_count = columns,
                                .columns = sheet->columns,
                                .row_count = rows,
                                .cells = cells};
    return SNUB_OK;
}

snub_status snub_sweep_table(const snub_sweep *sweep, snub_sweep_way way, int step, bool pulleys, snub_arena *arena,
                             snub_sheet_table *table, snub_error *error)
{
    sweep_sheet sheet = {.sweep = sweep, .way = (int)way, .pulleys = pulleys, .arena = arena};
    return make_table(&sheet, step, table, error);
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

/* "air 101.3 kPa, 25 degC; to standard air a dyno's power is multiplied by 1.000 (SAE J1349), ..." */
static void add_air(const snub_drive *drive, snub_text *words)
{
    static const struct {
        snub_correction form;
        const char *name;
    } forms[] = {{SNUB_SAE_J1349, "SAE J1349"}, {SNUB_ISO_1585, "ISO 1585"}, {SNUB_DIN_70020, "DIN 70020"}};
    const snub_air *air = &drive->air;
    snub_text_printf(words, "Air: %.2f kPa, %.1f degC, %.0f %% humid, %.3f kg/m3.", air->pressure / 1e3,
                     air->temperature - 273.15, 100 * air->humidity, snub_air_density(air));
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        double factor;
        bool allowed;
        if (snub_power_correction(forms[i].form, air, 1, &factor, &allowed, NULL) == SNUB_OK)
            snub_text_printf(words, "%s %.3f %s%s", i == 0 ? " In this air a dyno's power is to be multiplied by" : ",",
                             factor, forms[i].name, allowed ? "" : " (out of its range)");
    }
    snub_text_puts(words, ".");
}

snub_status snub_text_sweep(const snub_sweep *sweep, snub_sweep_way way, const snub_pulley_offer *offers,
                            int offer_count, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_sheet_table table;
    snub_arena_init(&arena, 0);
    int step = (sweep->speeds + ROWS_SHOWN - 1) / ROWS_SHOWN;
    sweep_sheet sheet = {.sweep = sweep, .way = (int)way, .narrow = look->width > 0 && look->width < 100, .arena = &arena};
    snub_status status = make_table(&sheet, step, &table, error);
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
        snub_text_puts(&estimate, " ");
        add_air(sweep->drive, &estimate);
        snub_text_puts(out, "\n");
        snub_wrap(estimate.data ? estimate.data : "", 0, 2, look->width, out);
        words.failed = words.failed || estimate.failed;
        snub_text_free(&estimate);
    }
    bool failed = words.failed || out->failed;
    snub_text_free(&words);
    return failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
