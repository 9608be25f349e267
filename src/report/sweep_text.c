/* A sweep as a table and for people. */
#include "cautions.h"
#include "words.h"

#include <string.h>

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
typedef struct sweep_table {
    const snub_sweep *sweep;
    int way;
    bool pulleys, narrow;
    snub_arena *arena;
    snub_column *columns;
    snub_cell *cell; /* next to be written */
} sweep_table;

static bool has_column(const sweep_table *table, int c)
{
    return !(plain[c].blower && table->sweep->blower < 0) && !(plain[c].wide && table->narrow);
}

static int column_count(const sweep_table *table)
{
    int count = table->pulleys ? PULLEY_COLUMNS * table->sweep->pulleys : 0;
    for (int c = 0; c < PLAIN_COLUMNS; c++)
        count += has_column(table, c);
    return count;
}

static void name_columns(sweep_table *table)
{
    static const struct {
        const char *title, *unit;
        int decimals;
    } each[PULLEY_COLUMNS] = {{"speed", "rpm", 0},  {"torque", "N m", 2},     {"entry", "N", 0},
                              {"exit", "N", 0},     {"grip used", "", 3},     {"grip used, limit friction", "", 3},
                              {"hub load", "N", 0}, {"load angle", "deg", 1}, {"slip", "%", 2}};
    snub_column *column = table->columns;
    for (int c = 0; c < PLAIN_COLUMNS; c++)
        if (has_column(table, c)) {
            *column = plain[c].column;
            if (table->narrow && c == OUTLET)
                column->title = "out";
            if (table->narrow && c == CHARGE)
                column->title = "in";
            if (c == GRIP && table->sweep->friction < 1)
                column->unit = "wet";
            column++;
        }
    for (int i = 0; table->pulleys && i < table->sweep->pulleys; i++)
        for (int c = 0; c < PULLEY_COLUMNS; c++) {
            const char *title = snub_format(table->arena, "%s %s", table->sweep->drive->pulleys[i].name, each[c].title);
            *column++ = (snub_column){title ? title : "", each[c].unit, SNUB_CELL_NUMBER, each[c].decimals};
        }
}

static double slip_percent(const snub_sweep_pulley *p)
{
    return p->slip == SNUB_SLIP_OVERRUN ? NAN : 100 * (1 - p->factor);
}

static void put(sweep_table *table, double value)
{
    *table->cell++ = snub_cell_number(value, SNUB_MARK_NONE);
}

static void put_marked(sweep_table *table, double value, bool marginal, bool fail)
{
    *table->cell++ = snub_cell_number(value, fail ? SNUB_MARK_FAIL : marginal ? SNUB_MARK_MARGINAL : SNUB_MARK_NONE);
}

static void put_pulley(sweep_table *table, const snub_sweep_pulley *p, bool solved)
{
    double nothing = solved ? 1 : NAN;
    put(table, p->speed / SNUB_RPM * nothing);
    put(table, p->torque * nothing);
    put(table, p->entry * nothing);
    put(table, p->exit * nothing);
    put_marked(table, p->grip_design * nothing, p->grip_design > table->sweep->drive->limits[SNUB_LIMIT_GRIP_DESIGN],
               p->slip != SNUB_SLIP_NONE);
    put(table, p->grip_limit * nothing);
    put(table, p->hub * nothing);
    put(table, p->hub_angle / SNUB_DEG * nothing);
    put_marked(table, slip_percent(p) * nothing, false, p->slip != SNUB_SLIP_NONE);
}

static void put_row(sweep_table *table, int k)
{
    const snub_sweep *sweep = table->sweep;
    const snub_sweep_point *point = &sweep->point[table->way][k];
    const snub_sweep_pulley *p = &sweep->pulley[table->way][k * sweep->pulleys];
    const snub_match_result *m = &point->match;
    double solved = point->solved ? 1 : NAN, grip = 0, slip = 0;
    const double design = sweep->drive->limits[SNUB_LIMIT_GRIP_DESIGN];
    const bool wet = sweep->friction < 1; /* the grip that is left counts, not the design's */
    bool slips = false;
    for (int i = 0; i < sweep->pulleys; i++) {
        grip = fmax(grip, wet ? p[i].grip_limit / sweep->friction : p[i].grip_design);
        slips = slips || p[i].slip != SNUB_SLIP_NONE;
        slip = fmax(slip, slip_percent(&p[i]));
    }
    const double values[PLAIN_COLUMNS] = {sweep->speed[k] / SNUB_RPM,
                                          m->shaft_speed / SNUB_RPM,
                                          m->boost / SNUB_KPA,
                                          m->power / SNUB_KW,
                                          m->torque,
                                          m->outlet_temperature - SNUB_ZERO_CELSIUS,
                                          m->charge_temperature - SNUB_ZERO_CELSIUS,
                                          m->mass_flow,
                                          m->crank_power / SNUB_KW,
                                          point->power / SNUB_KW * solved,
                                          point->belt_speed * solved,
                                          point->wind / SNUB_DEG * solved,
                                          grip * solved,
                                          slip * solved};
    for (int c = 0; c < PLAIN_COLUMNS; c++) {
        bool over = c == BLOWER_SPEED && (m->flags & SNUB_MATCH_OVERSPEED);
        if (has_column(table, c))
            put_marked(table, values[c], c == GRIP && !wet && grip > design,
                       over || ((c == GRIP || c == SLIP) && slips));
    }
    for (int i = 0; table->pulleys && i < sweep->pulleys; i++)
        put_pulley(table, &p[i], point->solved);
}

static snub_status make_table(sweep_table *table, int step, snub_data_table *made, snub_error *error)
{
    const snub_sweep *sweep = table->sweep;
    const int columns = column_count(table), last = sweep->speeds - 1;
    if (step < 1)
        step = 1;
    const int rows = !sweep->ran[table->way] ? 0 : last / step + 1 + (last % step != 0);
    table->columns = SNUB_NEW(table->arena, snub_column, columns);
    snub_cell *cells = table->cell = SNUB_NEW(table->arena, snub_cell, (size_t)columns * (size_t)(rows > 0 ? rows : 1));
    if (!table->columns || !cells)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    name_columns(table);
    for (int row = 0; row < rows; row++)
        put_row(table, row * step < last ? row * step : last);
    *made = (snub_data_table){.name = snub_way_text((snub_way)table->way),
                              .column_count = columns,
                              .columns = table->columns,
                              .row_count = rows,
                              .cells = cells,
                              .keys = 1}; /* the engine's speed */
    return SNUB_OK;
}

snub_status snub_sweep_table(const snub_sweep *sweep, snub_way way, int step, bool pulleys, snub_arena *arena,
                             snub_data_table *made, snub_error *error)
{
    sweep_table table = {.sweep = sweep, .way = (int)way, .pulleys = pulleys, .arena = arena};
    return make_table(&table, step, made, error);
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

/* "from 5450 rpm (rising), 5800 rpm (steady)" */
static void add_onsets(const snub_sweep *sweep, int pulley, const snub_locale *locale, snub_text *out)
{
    bool any = false;
    for (int way = 0; way < SNUB_WAYS; way++) {
        const double onset = snub_sweep_slip_onset(sweep, (snub_way)way, pulley);
        if (!isfinite(onset))
            continue;
        if (any)
            snub_text_puts(out, ", ");
        else
            snub_text_printf(out, "%s ", snub_say(locale, SNUB_MESSAGE("from")));
        snub_value_text(locale, onset, SNUB_UNIT_RPM, 0, out);
        snub_text_printf(out, " (%s)", snub_say(locale, snub_way_text((snub_way)way)));
        any = true;
    }
}

static const char *slip_sentence(const snub_sweep_point *point, snub_slip_kind kind)
{
    const double noticed = 100; /* Pa */
    if (kind == SNUB_SLIP_OVERRUN)
        return SNUB_MESSAGE(
            "{pulley} drives the belt by its inertia harder than the belt can hold, {from}: it runs on, "
            "and the belt chirps and wears. Use less inertia or more wrap, or let the engine slow less "
            "quickly.");
    if (kind == SNUB_SLIP_STALLED)
        return SNUB_MESSAGE(
            "The belt slides right through on {pulley}, {from}: this torque does not fall with speed, so "
            "the pulley stops and the belt burns ({heat} at {speed}). Do not run it.");
    if (point->boost_without_slip - point->match.boost > noticed)
        return SNUB_MESSAGE(
            "{pulley} slips {from}. At {speed}, {way}, the slip is {slow}, boost falls from {without} to "
            "{boost} and {heat} go to heat. Use a larger blower pulley, more wrap or more {pull}.");
    return SNUB_MESSAGE("{pulley} slips {from}. At {speed}, {way}, the slip is {slow} and {heat} go to heat. Use more "
                        "wrap, or more {pull}.");
}

void snub_slip_words(const snub_sweep *sweep, int pulley, const snub_locale *locale, snub_text *out)
{
    const snub_slip_worst worst = snub_sweep_worst_slip(sweep, pulley);
    snub_text from = {0};
    if (!worst.slips)
        return;
    const snub_sweep_pulley *p = &sweep->pulley[worst.way][worst.at * sweep->pulleys + pulley];
    const snub_sweep_point *point = &sweep->point[worst.way][worst.at];
    add_onsets(sweep, pulley, locale, &from);
    const snub_named places[] = {
        snub_named_text("pulley", sweep->drive->pulleys[pulley].name),
        snub_named_text("from", from.data),
        snub_named_number("speed", sweep->speed[worst.at], SNUB_UNIT_RPM, 0),
        snub_named_words("way", snub_way_text(worst.way)),
        snub_named_number("slow", 1 - p->factor, SNUB_UNIT_PERCENT, 1),
        snub_named_number("heat", p->heat, SNUB_UNIT_KW, 1),
        snub_named_words("pull", sweep->drive->arm >= 0      ? SNUB_MESSAGE("arm moment")
                                 : sweep->drive->locked >= 0 ? SNUB_MESSAGE("set tension")
                                                             : SNUB_MESSAGE("static tension")),
        snub_named_number("without", point->boost_without_slip, SNUB_UNIT_KPA, 1),
        snub_named_number("boost", point->match.boost, SNUB_UNIT_KPA, 1),
    };
    snub_words_fill(slip_sentence(point, p->slip), places, (int)(sizeof places / sizeof places[0]), locale, out);
    out->failed = out->failed || from.failed;
    snub_text_free(&from);
}

static const char *offer_sentence(const snub_pulley_offer *offer)
{
    if (offer->excluded)
        return SNUB_MESSAGE("{value} is not sold in this package ({why})");
    if (offer->build == NULL)
        return SNUB_MESSAGE("{value} cannot be read: {why}");
    if (!offer->build->laid)
        return SNUB_MESSAGE("{diameter} has no belt that runs");
    if (!offer->swept)
        return SNUB_MESSAGE("{diameter} takes {belt}, verdict {verdict}");
    return offer->rotor_speed > offer->rotor_limit
               ? SNUB_MESSAGE("{diameter} takes {belt}, {boost} at redline, {slip}, rotor {over} over its limit, "
                              "verdict {verdict}")
               : SNUB_MESSAGE("{diameter} takes {belt}, {boost} at redline, {slip}, verdict {verdict}");
}

/* Where an offer slips, and where when wet; its verdict is of every belt in tolerance, this is of the nominal one.
 * @param[in] wet  the offer was swept wet: there is no dry belt beside it */
static void add_offer_slip(const snub_pulley_offer *offer, bool wet, const snub_locale *locale, snub_text *out)
{
    const snub_pulley *pulleys = offer->build->drive->pulleys;
    const bool slips = isfinite(offer->slip.onset), slips_wet = isfinite(offer->wet.onset);
    const snub_named places[] = {
        snub_named_text("pulley", pulleys[offer->slip.pulley].name),
        snub_named_number("onset", offer->slip.onset, SNUB_UNIT_RPM, 0),
        snub_named_words("way", snub_way_text(offer->slip.way)),
        snub_named_text("wet_pulley", pulleys[offer->wet.pulley].name),
        snub_named_number("wet_onset", offer->wet.onset, SNUB_UNIT_RPM, 0),
        snub_named_words("wet_way", snub_way_text(offer->wet.way)),
    };
    const char *words = SNUB_MESSAGE("no slip up to redline, dry or wet");
    if (wet)
        words = slips ? SNUB_MESSAGE("{pulley} slips from {onset} ({way})") : SNUB_MESSAGE("no slip up to redline");
    else if (slips && slips_wet)
        words = SNUB_MESSAGE("{pulley} slips from {onset} ({way}), wet from {wet_onset} ({wet_pulley}, {wet_way})");
    else if (slips)
        words = SNUB_MESSAGE("{pulley} slips from {onset} ({way})");
    else if (slips_wet)
        words = SNUB_MESSAGE("no slip up to redline when dry, wet {wet_pulley} slips from {wet_onset} ({wet_way})");
    snub_words_fill(words, places, (int)(sizeof places / sizeof places[0]), locale, out);
}

void snub_offer_words(const snub_pulley_offer *offer, bool wet, const snub_locale *locale, snub_text *out)
{
    const snub_build *build = offer->build;
    const int blower = build != NULL ? snub_first_blower(build->drive) : -1;
    snub_text slip = {0};
    if (offer->swept)
        add_offer_slip(offer, wet, locale, &slip);
    const snub_named places[] = {
        snub_named_text("value", offer->value),
        snub_named_text("why", offer->why),
        snub_named_number("diameter", blower >= 0 ? build->drive->pulleys[blower].nominal_diameter : (double)NAN,
                          SNUB_UNIT_MM, 1),
        snub_named_text("belt", build != NULL ? build->designation : ""),
        snub_named_text("slip", slip.data != NULL ? slip.data : ""),
        snub_named_number("boost", offer->boost, SNUB_UNIT_KPA, 0),
        snub_named_number("over", offer->rotor_speed / offer->rotor_limit - 1, SNUB_UNIT_PERCENT, 0),
        snub_named_words("verdict", snub_level_text(build != NULL ? build->verdict : SNUB_FAIL)),
    };
    snub_words_fill(offer_sentence(offer), places, (int)(sizeof places / sizeof places[0]), locale, out);
    out->failed = out->failed || slip.failed;
    snub_text_free(&slip);
}

void snub_offers_words(const snub_sweep *sweep, const snub_pulley_offer *offers, int count, const snub_locale *locale,
                       snub_text *out)
{
    for (int i = 0; i < count; i++) {
        snub_text_puts(out, i > 0 ? "; " : "");
        snub_offer_words(&offers[i], sweep->friction < 1, locale, out);
    }
}

/* "air 101.3 kPa, 25 degC; to standard air a dyno's power is multiplied by 1.000 (SAE J1349), ..." */
static void add_air(const snub_drive *drive, const snub_look *look, snub_text *words)
{
    static const struct {
        snub_correction form;
        const char *name;
    } forms[] = {{SNUB_SAE_J1349, "SAE J1349"}, {SNUB_ISO_1585, "ISO 1585"}, {SNUB_DIN_70020, "DIN 70020"}};
    const snub_air *air = &drive->air;
    snub_text_printf(words, "Air: %s, %s, %.0f %% humid, %s.", SNUB_SHOWN(look, air->pressure, SNUB_UNIT_KPA, 2),
                     SNUB_SHOWN(look, air->temperature, SNUB_UNIT_DEGC, 1), air->humidity / SNUB_PERCENT,
                     SNUB_SHOWN(look, snub_air_density(air), SNUB_UNIT_KG_M3, 3));
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        double factor;
        bool allowed;
        if (snub_power_correction(forms[i].form, air, 1, &factor, &allowed, NULL) == SNUB_OK)
            snub_text_printf(words, "%s %.3f %s%s", i == 0 ? " In this air a dyno's power is to be multiplied by" : ",",
                             factor, forms[i].name, allowed ? "" : " (out of its range)");
    }
    snub_text_puts(words, ".");
}

/* ---- for a terminal ---------------------------------------------------------------------------------------------- */

static const char *way_words(snub_way way)
{
    static const char *const words[SNUB_WAYS] = {[SNUB_STEADY] = "steady, throttle open",
                                                 [SNUB_RISING] = "accelerating, throttle open",
                                                 [SNUB_FALLING] = "overrun: slowing, throttle closed",
                                                 [SNUB_SHUT] = "closed throttle: speed held",
                                                 [SNUB_SHIFT] = "no-lift shift: gear change, throttle open",
                                                 [SNUB_BLIP] = "throttle blip: out of gear, throttle open",
                                                 [SNUB_AFTER_BLIP] = "after a blip: out of gear, throttle closed"};
    return words[way];
}

/* A paragraph after a blank line; the words are freed. */
static void put_paragraph(snub_text *words, const snub_look *look, snub_text *out)
{
    if (words->length > 0) {
        snub_text_puts(out, "\n");
        snub_wrap(words->data, 0, 2, look->width, out);
    }
    out->failed = out->failed || words->failed;
    snub_text_free(words);
}

static void add_heading(const snub_sweep *sweep, snub_way way, const snub_look *look, snub_text *out)
{
    const snub_build *build = sweep->build;
    snub_text row = {0};
    snub_text_printf(out, "%s\n", build->drive->title != NULL ? build->drive->title : "(no title)");
    snub_row_words(&build->row, sweep->friction < 1, look->locale, &row);
    if (row.length > 0)
        snub_text_printf(out, "build %s\n", row.data);
    snub_text_printf(out, "belt %s", build->designation);
    snub_belt_size_words(build, look->locale, out);
    snub_text_printf(out, ", %s, nominal belt, slip counted in\n", way_words(way));
    if (sweep->friction < 1)
        snub_text_printf(out, "grip of a wet belt, which has %.0f %% of the limit friction: it slips at 1\n",
                         sweep->friction / SNUB_PERCENT);
    snub_text_puts(out, "\n");
    out->failed = out->failed || row.failed;
    snub_text_free(&row);
}

static void add_slip(const snub_sweep *sweep, const snub_look *look, snub_text *out)
{
    for (int i = 0; i < sweep->pulleys; i++) {
        snub_text words = {0};
        snub_slip_words(sweep, i, look->locale, &words);
        put_paragraph(&words, look, out);
    }
}

static void add_foot(const snub_sweep *sweep, const snub_pulley_offer *offers, int offer_count, const snub_look *look,
                     snub_text *out)
{
    snub_text words = {0};
    if (offer_count > 0) {
        snub_text_puts(&words, "Blower pulleys in the kit, each as the chart builds it: ");
        snub_offers_words(sweep, offers, offer_count, look->locale, &words);
        snub_text_puts(&words, ".");
        put_paragraph(&words, look, out);
    }
    if (sweep->blower >= 0) {
        snub_crank_power_assumptions(&sweep->drive->engine, look->locale, &words);
        snub_blower_assumptions(&sweep->drive->pulleys[sweep->blower].blower, look->locale, &words);
        snub_text_puts(&words, " ");
        add_air(sweep->drive, look, &words);
        put_paragraph(&words, look, out);
    }
}

snub_status snub_text_sweep(const snub_sweep *sweep, snub_way way, const snub_pulley_offer *offers, int offer_count,
                            const snub_look *look, snub_text *out, snub_error *error)
{
    const snub_build *build = sweep->build;
    snub_arena arena = {0};
    snub_data_table made;
    const int step = (sweep->speeds + ROWS_SHOWN - 1) / ROWS_SHOWN;
    sweep_table table = {
        .sweep = sweep, .way = (int)way, .narrow = look->width > 0 && look->width < 100, .arena = &arena};
    snub_status status = make_table(&table, step, &made, error);
    if (status == SNUB_OK) {
        add_heading(sweep, way, look, out);
        status = snub_table_show(&made, look, out, error);
    }
    snub_arena_free(&arena);
    if (status != SNUB_OK)
        return status;
    add_slip(sweep, look, out);
    if (snub_areas_count(build, SNUB_AREAS_OF_SWEEP) > 0)
        snub_text_puts(out, "\n");
    snub_findings_show(&build->findings, SNUB_AREAS_OF_SWEEP, look, out);
    add_foot(sweep, offers, offer_count, look, out);
    snub_text_puts(out, "\n");
    snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_OVERSPEED) | snub_cautions_advised(build, SNUB_AREAS_OF_SWEEP),
                       look, out);
    snub_verdict_show(build, SNUB_AREAS_OF_SWEEP, look, out);
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
