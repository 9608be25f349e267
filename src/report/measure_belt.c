/* Fitted belts: for people and as JSON. */
#include <math.h>

#include "json_words.h"
#include "measure_words.h"
#include "snub/fitted.h"
#include "table.h"
#include "words.h"

static bool is_mark(const snub_fitted_belt *b)
{
    return !isnan(b->mark);
}

static double shown(const snub_fitted_belt *b, double si)
{
    return si / (is_mark(b) ? SNUB_MM : SNUB_DEG);
}

static double read_of(const snub_fitted_belt *b)
{
    return is_mark(b) ? b->mark : b->wind;
}

/* ---- for people -------------------------------------------------------------------------------------------------- */

static snub_status add_readings(const snub_fitted *s, const snub_look *look, snub_arena *arena, snub_text *out,
                                snub_error *error)
{
    const bool mark = is_mark(&s->measured->belts[0]);
    const char *unit = mark ? "mm" : "deg";
    const snub_column columns[] = {
        {"belt", "mm", SNUB_CELL_NUMBER, 1},         {mark ? "mark read" : "wind read", unit, SNUB_CELL_NUMBER, 2},
        {"expected", unit, SNUB_CELL_NUMBER, 2},     {"error", unit, SNUB_CELL_NUMBER, 2},
        {"off, in errors", "", SNUB_CELL_NUMBER, 1},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_measured_belt *m = s->measured;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, m->count * COLUMNS), *cell = cells;
    for (int k = 0; cells != NULL && k < m->count; k++) {
        const snub_fitted_belt *b = &m->belts[k];
        *cell++ = snub_cell_plain(b->length / SNUB_MM);
        *cell++ = snub_cell_plain(shown(b, read_of(b)));
        *cell++ = snub_cell_plain(shown(b, s->check[k].expected));
        *cell++ = snub_cell_plain(shown(b, s->check[k].error));
        *cell++ = snub_cell_plain((read_of(b) - s->check[k].expected) / s->check[k].error);
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("belts", columns, COLUMNS, m->count, cells, look, out, error);
}

static const char *name_of(const snub_fitted *s, const snub_explanation *e)
{
    return e->cause == SNUB_CAUSE_LENGTH ? "the belts' length"
           : e->cause == SNUB_CAUSE_CORD ? "cord height, be"
                                         : s->build->drive->pulleys[e->pulley].name;
}

static snub_status add_explanations(const snub_fitted *s, const snub_look *look, snub_arena *arena, snub_text *out,
                                    snub_error *error)
{
    static const snub_column columns[] = {
        {"if it is only", "", SNUB_CELL_TEXT, 0},     {"it is off by", "mm", SNUB_CELL_NUMBER, 2},
        {"error", "mm", SNUB_CELL_NUMBER, 2},         {"usual", "mm", SNUB_CELL_NUMBER, 2},
        {"strange", "", SNUB_CELL_NUMBER, 1},         {"direction", "deg", SNUB_CELL_NUMBER, 0},
        {"readings agree", "%", SNUB_CELL_NUMBER, 0}, {"note", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, s->count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < s->count; i++) {
        const snub_explanation *e = &s->explanation[i];
        *cell++ = snub_cell_text(name_of(s, e));
        *cell++ = snub_cell_plain(e->size.value / SNUB_MM);
        *cell++ = snub_cell_plain(e->size.error / SNUB_MM);
        *cell++ = snub_cell_plain(e->usual / SNUB_MM);
        *cell++ = snub_cell_plain(isfinite(e->strange) ? e->strange : (double)NAN);
        *cell++ = snub_cell_plain(e->direction / SNUB_DEG);
        *cell++ = snub_cell_plain(100.0 * e->chance);
        *cell++ = snub_cell_text(e->fits ? "explains it" : isnan(e->size.value) ? "has no hold" : "no");
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("causes", columns, COLUMNS, s->count, cells, look, out, error);
}

static void add_together(const snub_fitted *s, const snub_look *look, snub_text *out)
{
    if (!s->joint) {
        snub_wrapped(
            look, out,
            s->measured->count < 2
                ? "One reading cannot tell length and cord height apart. Fit belts of other lengths, with "
                  "idlers at other marks."
                : "Length and cord height move all of these readings alike, or cord height moves none of them: "
                  "they cannot be told apart. Fit a belt with an idler on its back at another mark. With "
                  "`outside` in the drive file no reading tells: the back of the belt is known, and the cord "
                  "moves the length and the path by the same.");
        return;
    }
    snub_wrapped(look, out, "Together: length off by %s (error %s), cord height by %s (error %s).",
                 SNUB_SHOWN(look, s->length.value, SNUB_UNIT_MM, 2), SNUB_SHOWN(look, s->length.error, SNUB_UNIT_MM, 2),
                 SNUB_SHOWN(look, s->cord.value, SNUB_UNIT_MM, 2), SNUB_SHOWN(look, s->cord.error, SNUB_UNIT_MM, 2));
    if (!s->apart)
        snub_wrapped(look, out,
                     "These errors are larger than what length and cord height are usually off by: the readings "
                     "hardly tell them apart. Take belts and marks that change the wrap on the belt's back.");
}

static void add_verdict(const snub_fitted *s, const snub_look *look, snub_text *out)
{
    snub_text_puts(out, "\n");
    if (s->agrees)
        snub_wrapped(look, out,
                     "The drive file agrees with these belts (chi-square %.1f over %d, chance of more %.0f %%).",
                     s->sum, s->measured->count, 100.0 * s->chance);
    else if (s->fitting == 1)
        snub_wrapped(look, out, "The drive file does not agree. One thing alone explains it: %s.",
                     name_of(s, &s->explanation[0]));
    else if (s->fitting > 1)
        snub_wrapped(look, out,
                     "The drive file does not agree. %d things would explain it, each alone; the least strange is %s. "
                     "Measure that first.",
                     s->fitting, name_of(s, &s->explanation[0]));
    else
        snub_wrapped(look, out,
                     "FAIL: the drive file does not agree, and no single length, cord height or centre of a usual size "
                     "explains it. Look for the wrong belt, a wrong diameter, a belt that skips a groove, or several "
                     "things at once.");
    add_together(s, look, out);
    if (!s->measured->error_given)
        snub_wrapped(look, out, "Errors of the readings are defaults, rules of thumb: `errors` in the file sets them.");
}

snub_status snub_text_fitted(const snub_fitted *s, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_arena_init(&arena, 0);
    snub_readings_title(s->measured->title, look, out);
    snub_status status = add_readings(s, look, &arena, out, error);
    add_verdict(s, look, out);
    if (status == SNUB_OK)
        status = add_explanations(s, look, &arena, out, error);
    snub_text_puts(out, "\n");
    return snub_readings_end(status, snub_fitted_level(s), &arena, out, error);
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *reading_of(const snub_fitted *s, int k)
{
    const snub_fitted_belt *b = &s->measured->belts[k];
    const double off = read_of(b) - s->check[k].expected;
    json_t *o = json_object();
    snub_json_put(o, "line", json_integer(b->place.line));
    snub_json_put_number(o, "length_mm", b->length / SNUB_MM);
    snub_json_put_number(o, is_mark(b) ? "mark_mm" : "wind_deg", shown(b, read_of(b)));
    snub_json_put_number(o, is_mark(b) ? "expected_mm" : "expected_deg", shown(b, s->check[k].expected));
    snub_json_put_number(o, is_mark(b) ? "error_mm" : "error_deg", shown(b, b->error));
    snub_json_put_number(o, "off_in_errors", off / s->check[k].error);
    return o;
}

static json_t *explanation_of(const snub_fitted *s, const snub_explanation *e)
{
    json_t *o = json_object();
    snub_json_put(o, "cause", snub_json_words(snub_cause_text(e->cause)));
    snub_json_put(o, "pulley",
                  e->pulley >= 0 ? snub_json_words(s->build->drive->pulleys[e->pulley].name) : json_null());
    snub_json_put_number(o, "size_mm", e->size.value / SNUB_MM);
    snub_json_put_number(o, "error_mm", e->size.error / SNUB_MM);
    snub_json_put_number(o, "usual_mm", e->usual / SNUB_MM);
    snub_json_put_number(o, "strange", e->strange);
    snub_json_put_number(o, "direction_deg", e->direction / SNUB_DEG);
    snub_json_put_number(o, "chance", e->chance);
    snub_json_put(o, "explains", json_boolean(e->fits));
    return o;
}

static json_t *together_of(const snub_fitted *s)
{
    json_t *o = json_object();
    snub_json_put_number(o, "length_mm", s->length.value / SNUB_MM);
    snub_json_put_number(o, "length_error_mm", s->length.error / SNUB_MM);
    snub_json_put_number(o, "cord_mm", s->cord.value / SNUB_MM);
    snub_json_put_number(o, "cord_error_mm", s->cord.error / SNUB_MM);
    snub_json_put(o, "told_apart", json_boolean(s->apart));
    return o;
}

json_t *snub_json_fitted(const snub_fitted *s)
{
    json_t *o = json_object(), *readings = json_array(), *causes = json_array();
    snub_json_put(o, "snub", json_integer(1));
    snub_json_put(o, "title", snub_json_words(s->measured->title));
    snub_json_put(o, "agrees", json_boolean(s->agrees));
    snub_json_put_number(o, "chi_square", s->sum);
    snub_json_put_number(o, "chance", s->chance);
    snub_json_put_number(o, "length_error_mm", s->length_error / SNUB_MM);
    for (int k = 0; k < s->measured->count; k++)
        snub_json_append(readings, reading_of(s, k));
    for (int i = 0; i < s->count; i++)
        snub_json_append(causes, explanation_of(s, &s->explanation[i]));
    snub_json_put(o, "belts", readings);
    snub_json_put(o, "causes", causes);
    snub_json_put(o, "together", s->joint ? together_of(s) : json_null());
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(snub_fitted_level(s))));
    return snub_json_whole(o);
}
