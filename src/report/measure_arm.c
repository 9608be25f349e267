/* A spring from torques: for people, as JSON, as keys of a drive file. */
#include <math.h>

#include "json_words.h"
#include "measure_words.h"
#include "snub/measure.h"
#include "table.h"
#include "words.h"

#define RATE (1.0 / SNUB_DEG) /* N m/rad of one N m/deg */

/* Sentences of the bits, in their order. */
static const struct {
    unsigned bit;
    const char *id, *words;
} REASONS[] = {
    {SNUB_SPRING_FALLS, "falls",
     "The torque does not rise with the angle, so this is no spring that a belt could wind. Are `free` and `stop` the "
     "right way round?"},
    {SNUB_SPRING_SWAPPED, "swapped",
     "The torque is not larger winding than releasing: the branches have changed places, or the arm was not moved the "
     "same way before each reading."},
    {SNUB_SPRING_PUSHES, "pushes", "The preload is under zero: the free position is another than the one written."},
    {SNUB_SPRING_BENDS, "bends",
     "The torque bends: one rate does not describe this spring. Leave out readings near `free` and `stop`, where the "
     "arm may rest on its pins; if it still bends, give the drive file the range in which the arm works."},
    {SNUB_SPRING_CONSTANT_DRAG, "constant_drag",
     "The friction does not grow with the spring's moment, as `damping` has it. Look for a dry bush or a seized "
     "damper, "
     "and read again after moving the arm a few times."},
};
enum { REASONS_ = sizeof REASONS / sizeof REASONS[0] };

/* ---- for people -------------------------------------------------------------------------------------------------- */

static void add_result(const snub_look *look, const char *name, const snub_sure *sure, double within, snub_unit unit,
                       int decimals, snub_text *out)
{
    snub_text_printf(out, "%-8s %s, with 95 %% within +- %s\n", name, SNUB_SHOWN(look, sure->value, unit, decimals),
                     SNUB_SHOWN(look, within * sure->error, unit, decimals));
}

static snub_status add_readings(const snub_spring *s, const snub_look *look, snub_arena *arena, snub_text *out,
                                snub_error *error)
{
    static const snub_column columns[] = {
        {"reading", "", SNUB_CELL_TEXT, 0},          {"from free", "deg", SNUB_CELL_NUMBER, 1},
        {"read", "N m", SNUB_CELL_NUMBER, 1},        {"error", "N m", SNUB_CELL_NUMBER, 2},
        {"off by", "N m", SNUB_CELL_NUMBER, 2},      {"checked", "", SNUB_CELL_NUMBER, 2},
        {"off, in errors", "", SNUB_CELL_NUMBER, 1}, {"note", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_measured_arm *m = s->measured;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, m->count * COLUMNS), *cell = cells;
    for (int k = 0; cells != NULL && k < m->count; k++) {
        *cell++ = snub_cell_text(m->readings[k].branch > 0 ? "winding" : "releasing");
        *cell++ = snub_cell_plain(m->readings[k].wind / SNUB_DEG);
        *cell++ = snub_cell_plain(m->readings[k].torque);
        *cell++ = snub_cell_plain(s->check[k].error);
        *cell++ = snub_cell_plain(s->check[k].residual);
        *cell++ = snub_cell_plain(s->check[k].share);
        *cell++ = snub_cell_plain(s->check[k].against_stated);
        *cell++ = snub_cell_text(s->check[k].suspect ? "SUSPECT: read it again" : "");
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("readings", columns, COLUMNS, m->count, cells, look, out, error);
}

static void add_agreement(const snub_spring *s, const snub_look *look, snub_text *out)
{
    snub_text_puts(out, "\n");
    if (s->taken > 1.0)
        snub_wrapped(
            look, out,
            "The readings scatter %.1f times as much as their errors say (chi-square %.1f over %d). All errors "
            "here are multiplied by that.",
            s->scale, s->sum, s->redundancy);
    else if (s->redundancy > 0)
        snub_wrapped(look, out,
                     "The readings agree within their errors (chi-square %.1f over %d, chance of more %.0f %%).",
                     s->sum, s->redundancy, 100.0 * s->chance);
    if (!s->measured->torque_error_given || !s->measured->angle_error_given)
        snub_wrapped(look, out,
                     "Errors of torque or angle are defaults, rules of thumb: `errors` in the file sets them.");
    for (int i = 0; i < REASONS_; i++)
        if (s->no_spring & REASONS[i].bit)
            snub_wrapped(look, out, "FAIL: %s", REASONS[i].words);
    if (s->redundancy < 2)
        snub_wrapped(look, out, "With so few readings nothing shows whether the spring is straight. Take some more.");
}

snub_status snub_text_spring(const snub_spring *s, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_arena_init(&arena, 0);
    snub_readings_title(s->measured->title, look, out);
    add_result(look, "travel", &s->travel, s->within, SNUB_UNIT_DEG, 1, out);
    add_result(look, "preload", &s->preload, s->within, SNUB_UNIT_N_M, 2, out);
    add_result(look, "rate", &s->rate, s->within, SNUB_UNIT_N_M_DEG, 4, out);
    add_result(look, "damping", &s->damping, s->within, SNUB_UNIT_NONE, 3, out);
    add_agreement(s, look, out);
    snub_status status = add_readings(s, look, &arena, out, error);
    snub_text_puts(out, "\n");
    return snub_readings_end(status, snub_spring_level(s), &arena, out, error);
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *reading_of(const snub_spring *s, int k)
{
    json_t *o = json_object();
    snub_json_put(o, "branch", snub_json_words(s->measured->readings[k].branch > 0 ? "winding" : "releasing"));
    snub_json_put(o, "line", json_integer(s->measured->lines[k]));
    snub_json_put_number(o, "wind_deg", s->measured->readings[k].wind / SNUB_DEG);
    snub_json_put_number(o, "read_N_m", s->measured->readings[k].torque);
    snub_json_put_number(o, "error_N_m", s->check[k].error);
    snub_json_put_number(o, "residual_N_m", s->check[k].residual);
    snub_json_put_number(o, "share_checked", s->check[k].share);
    snub_json_put_number(o, "against_stated", s->check[k].against_stated);
    snub_json_put(o, "suspect", json_boolean(s->check[k].suspect));
    return o;
}

json_t *snub_json_spring(const snub_spring *s)
{
    json_t *o = json_object(), *readings = json_array(), *reasons = json_array();
    snub_json_put(o, "snub", json_integer(1));
    snub_json_put(o, "title", snub_json_words(s->measured->title));
    snub_json_put_number(o, "travel_deg", s->travel.value / SNUB_DEG);
    snub_json_put_number(o, "travel_error_deg", s->travel.error / SNUB_DEG);
    snub_json_put_number(o, "preload_N_m", s->preload.value);
    snub_json_put_number(o, "preload_error_N_m", s->preload.error);
    snub_json_put_number(o, "rate_N_m_deg", s->rate.value / RATE);
    snub_json_put_number(o, "rate_error_N_m_deg", s->rate.error / RATE);
    snub_json_put_number(o, "damping", s->damping.value);
    snub_json_put_number(o, "damping_error", s->damping.error);
    snub_json_put_number(o, "errors_within_95", s->within);
    snub_json_put(o, "redundancy", json_integer(s->redundancy));
    snub_json_put_number(o, "chi_square", s->sum);
    snub_json_put_number(o, "chance", s->chance);
    snub_json_put_number(o, "errors_multiplied_by", s->taken);
    snub_json_put_number(o, "bend_over_error", s->bend);
    snub_json_put_number(o, "drag_over_error", s->drag);
    snub_json_put_number(o, "further_limit", s->further_limit);
    snub_json_put_number(o, "stated_limit", s->stated_limit);
    for (int i = 0; i < REASONS_; i++)
        if (s->no_spring & REASONS[i].bit)
            snub_json_append(reasons, snub_json_words(REASONS[i].id));
    for (int k = 0; k < s->measured->count; k++)
        snub_json_append(readings, reading_of(s, k));
    snub_json_put(o, "no_spring", reasons);
    snub_json_put(o, "readings", readings);
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(snub_spring_level(s))));
    return snub_json_whole(o);
}

/* ---- to be pasted ------------------------------------------------------------------------------------------------ */

static void add_key(const char *key, const snub_sure *sure, snub_unit unit, int decimals, const snub_locale *locale,
                    snub_text *out)
{
    char value[SNUB_VALUE_TEXT], error[SNUB_VALUE_TEXT];
    snub_text_printf(out, "%s: %s   # +- %s\n", key, snub_value_string(locale, sure->value, unit, decimals, value),
                     snub_value_string(locale, sure->error, unit, decimals, error));
}

void snub_fragment_spring(const snub_spring *s, const snub_locale *locale, snub_text *out)
{
    snub_text_puts(
        out, "# Of the tensioner's arm, measured; behind each its standard deviation. `free` of a drive file is the\n"
             "# direction of the arm, counter-clockwise from the right, in that position.\n");
    add_key("travel", &s->travel, SNUB_UNIT_DEG, 1, locale, out);
    add_key("preload", &s->preload, SNUB_UNIT_N_M, 2, locale, out);
    add_key("rate", &s->rate, SNUB_UNIT_N_M_DEG, 4, locale, out);
    add_key("damping", &s->damping, SNUB_UNIT_NONE, 3, locale, out);
}
