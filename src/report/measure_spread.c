/* Strips, balls and worn belts: for people and as JSON. */
#include <math.h>

#include "json_words.h"
#include "measure_words.h"
#include "snub/spread.h"
#include "words.h"

/* By kind: name, unit with decimals, and what one of the unit is. */
static const struct {
    const char *name;
    snub_unit unit;
    int decimals;
    double one;
    const char *json;
} KINDS[] = {
    {"wrap", SNUB_UNIT_DEG, 1, SNUB_DEG, "deg"},
    {"effective diameter", SNUB_UNIT_MM, 2, SNUB_MM, "mm"},
    {"groove to groove", SNUB_UNIT_MM, 3, SNUB_MM, "mm"},
    {"groove angle", SNUB_UNIT_DEG, 2, SNUB_DEG, "deg"},
    {"growth of the belt", SNUB_UNIT_PERCENT, 2, SNUB_PERCENT, "pct"},
    {"pin over the ribs", SNUB_UNIT_MM, 2, SNUB_MM, "mm"},
};

/* ---- for people -------------------------------------------------------------------------------------------------- */

static const char *shown(const snub_look *look, const snub_spread_check *c, double si, snub_arena *arena)
{
    const char *text = SNUB_SHOWN(look, si, KINDS[c->kind].unit, KINDS[c->kind].decimals);
    return isnan(si) ? "" : snub_format(arena, "%s", text);
}

static snub_status add_checks(const snub_spread *s, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    static const snub_column columns[] = {
        {"what", "", SNUB_CELL_TEXT, 0},     {"of", "", SNUB_CELL_TEXT, 0},
        {"measured", "", SNUB_CELL_TEXT, 0}, {"error", "", SNUB_CELL_TEXT, 0},
        {"expected", "", SNUB_CELL_TEXT, 0}, {"limit", "", SNUB_CELL_TEXT, 0},
        {"verdict", "", SNUB_CELL_TEXT, 0},  {"basis of the limit", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, s->count * COLUMNS), *cell = cells;
    for (int k = 0; cells != NULL && k < s->count; k++) {
        const snub_spread_check *c = &s->check[k];
        *cell++ = snub_cell_text(KINDS[c->kind].name);
        *cell++ = snub_cell_text(c->pulley != NULL ? c->pulley : "belt");
        *cell++ = snub_cell_text(shown(look, c, c->value.value, arena));
        *cell++ = snub_cell_text(shown(look, c, c->value.error, arena));
        *cell++ = snub_cell_text(shown(look, c, c->expected, arena));
        *cell++ = snub_cell_text(shown(look, c, c->limit, arena));
        *cell++ = snub_cell_text(snub_level_text(c->level));
        *cell++ = snub_cell_text(c->basis);
    }
    return snub_readings_table("checks", columns, COLUMNS, s->count, cells, look, out, error);
}

/* What to do about what is not good: once for each kind. */
static void add_advice(const snub_spread *s, const snub_look *look, snub_text *out)
{
    static const char *const advice[] = {
        "Wrap: the belt does not lie as the drive file has it. Look for a centre that is off, or an idler at another "
        "mark; `snub measure centres` finds it. Lay the strip again first.",
        "Effective diameter: another pulley than the drive file has, or worn grooves. Write what you measured into the "
        "drive file (`diameter: {value, over: balls}`), or replace the pulley.",
        "Groove to groove: the ribs do not share the load. Replace the pulley.",
        "Groove angle: the flanks are worn or cut wrong. Replace the pulley.",
        "Growth of the belt: it is near its limit or over it. Measure it again at the next service, and replace it at "
        "the limit.",
        "Pin over the ribs: the flanks of the ribs are worn. Replace the belt where the pin is level with them.",
    };
    for (int kind = 0; kind <= SNUB_SPREAD_PIN; kind++) {
        bool bad = false;
        for (int k = 0; k < s->count; k++)
            bad = bad || ((int)s->check[k].kind == kind && s->check[k].level != SNUB_PASS);
        if (bad)
            snub_wrapped(look, out, "%s", advice[kind]);
    }
}

snub_status snub_text_spread(const snub_spread *s, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_arena_init(&arena, 0);
    snub_readings_title(s->measured->title, look, out);
    snub_text_puts(out, "\n");
    snub_status status = add_checks(s, look, &arena, out, error);
    snub_text_puts(out, "\n");
    add_advice(s, look, out);
    return snub_readings_end(status, snub_spread_level(s), &arena, out, error);
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

json_t *snub_json_spread(const snub_spread *s)
{
    json_t *o = json_object(), *checks = json_array();
    snub_json_put(o, "snub", json_integer(1));
    snub_json_put(o, "title", snub_json_words(s->measured->title));
    snub_json_put_number(o, "errors_within_95", s->within);
    for (int k = 0; k < s->count; k++) {
        const snub_spread_check *c = &s->check[k];
        const double one = KINDS[c->kind].one;
        json_t *check = json_object();
        snub_json_put(check, "what", snub_json_words(snub_spread_text(c->kind)));
        snub_json_put(check, "pulley", c->pulley != NULL ? snub_json_words(c->pulley) : json_null());
        snub_json_put(check, "line", c->line > 0 ? json_integer(c->line) : json_null());
        snub_json_put(check, "unit", snub_json_words(KINDS[c->kind].json));
        snub_json_put_number(check, "value", c->value.value / one);
        snub_json_put_number(check, "error", c->value.error / one);
        snub_json_put_number(check, "expected", c->expected / one);
        snub_json_put_number(check, "limit", c->limit / one);
        snub_json_put(check, "basis", snub_json_words(c->basis));
        snub_json_put(check, "verdict", snub_json_words(snub_level_text(c->level)));
        snub_json_append(checks, check);
    }
    snub_json_put(o, "checks", checks);
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(snub_spread_level(s))));
    return snub_json_whole(o);
}
