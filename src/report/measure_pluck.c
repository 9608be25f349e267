/* Plucked spans: for people and as JSON. */
#include <math.h>
#include <stdio.h>

#include "json_words.h"
#include "measure_words.h"
#include "snub/pluck.h"
#include "table.h"
#include "words.h"

/* ---- for people -------------------------------------------------------------------------------------------------- */

static snub_status add_readings(const snub_plucks *s, const snub_look *look, snub_arena *arena, snub_text *out,
                                snub_error *error)
{
    static const snub_column columns[] = {
        {"span from", "", SNUB_CELL_TEXT, 0},      {"to", "", SNUB_CELL_TEXT, 0},
        {"length", "mm", SNUB_CELL_NUMBER, 1},     {"harmonic", "", SNUB_CELL_COUNT, 0},
        {"read", "Hz", SNUB_CELL_NUMBER, 2},       {"error", "Hz", SNUB_CELL_NUMBER, 2},
        {"tension", "N", SNUB_CELL_NUMBER, 1},     {"error of it", "N", SNUB_CELL_NUMBER, 1},
        {"as a string", "N", SNUB_CELL_NUMBER, 1}, {"off, in errors", "", SNUB_CELL_NUMBER, 1},
        {"note", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_measured_pluck *m = s->measured;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, m->count * COLUMNS), *cell = cells;
    for (int k = 0; cells != NULL && k < m->count; k++) {
        const snub_pluck *p = &m->plucks[k];
        const snub_pluck_check *c = &s->check[k];
        *cell++ = snub_cell_text(p->from);
        *cell++ = snub_cell_text(p->to);
        *cell++ = snub_cell_plain(c->length / SNUB_MM);
        *cell++ = snub_cell_count(p->harmonic);
        *cell++ = snub_cell_plain(p->frequency);
        *cell++ = snub_cell_plain(p->frequency_error);
        *cell++ = snub_cell_plain(c->tension.value);
        *cell++ = snub_cell_plain(c->tension.error);
        *cell++ = snub_cell_plain(c->as_string);
        *cell++ = snub_cell_plain(c->against_stated);
        *cell++ = snub_cell_text(c->suspect ? "SUSPECT: pluck it again" : "");
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("readings", columns, COLUMNS, m->count, cells, look, out, error);
}

static snub_status add_spans(const snub_plucks *s, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    static const snub_column columns[] = {
        {"span from", "", SNUB_CELL_TEXT, 0},           {"to", "", SNUB_CELL_TEXT, 0},
        {"length", "mm", SNUB_CELL_NUMBER, 1},          {"the drive expects", "Hz", SNUB_CELL_NUMBER, 1},
        {"at this tension", "Hz", SNUB_CELL_NUMBER, 1}, {"error", "Hz", SNUB_CELL_NUMBER, 1},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_standing_belt *b = s->belt;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, b->count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < b->count; i++) {
        *cell++ = snub_cell_text(b->spans[i].from);
        *cell++ = snub_cell_text(b->spans[i].to);
        *cell++ = snub_cell_plain(b->spans[i].length / SNUB_MM);
        *cell++ = snub_cell_plain(b->spans[i].expected);
        *cell++ = snub_cell_plain(b->spans[i].rings.value);
        *cell++ = snub_cell_plain(b->spans[i].rings.error);
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("spans", columns, COLUMNS, b->count, cells, look, out, error);
}

static void add_expected(const snub_plucks *s, const snub_look *look, snub_text *out)
{
    const double *t = s->belt->tension;
    snub_text_printf(out, "expected %s (%s to %s over belt tolerance and setting)\n",
                     SNUB_SHOWN(look, t[1], SNUB_UNIT_N, 0), SNUB_SHOWN(look, t[0], SNUB_UNIT_N, 0),
                     SNUB_SHOWN(look, t[2], SNUB_UNIT_N, 0));
    if (s->surely)
        snub_wrapped(look, out,
                     "FAIL: the belt is %s than the drive file expects, by more than the error of these readings. "
                     "Check that the belt is the one named there, that it sits in all grooves, and the mark of the "
                     "idler or tensioner; then check mass and bending stiffness.",
                     s->tension.value < t[0] ? "slacker" : "tighter");
    else if (s->outside)
        snub_wrapped(look, out,
                     "The tension is outside of what the drive file expects, but by no more than the error of these "
                     "readings. Pluck more spans, or the longest one several times.");
}

/* What was heard in each sound. */
static void add_heard(const snub_plucks *s, const snub_look *look, snub_text *out)
{
    for (int k = 0; s->heard != NULL && k < s->measured->count; k++) {
        const snub_heard *h = &s->heard[k];
        if (!h->used)
            continue;
        snub_wrapped(look, out, "%s: %.2f s from %.2f s on; %s", s->measured->plucks[k].wav, h->ring.seconds,
                     h->ring.from,
                     h->ring.first_heard ? "the first harmonic is heard itself"
                                         : "the first harmonic is not heard, but follows from those above it");
        for (int i = 0; i < h->ring.count; i++) {
            const snub_tone *t = &h->ring.tone[i];
            char harmonic[24] = "";
            if (t->kind == SNUB_TONE_SPAN)
                snprintf(harmonic, sizeof harmonic, ", harmonic %d", t->harmonic);
            snub_text_printf(out, "  %8.2f Hz, dies to 1/e in %5.2f s, %5.1f dB over the noise: %s%s\n", t->frequency,
                             t->decay > 0.0 ? 1.0 / t->decay : (double)INFINITY, 10.0 * log10(t->over_noise),
                             snub_tone_text(t->kind), harmonic);
        }
        if (h->sound.clipped > 0)
            snub_wrapped(look, out,
                         "  %ld samples are at full scale: the recording is clipped, and only what comes "
                         "behind them is used. Record with less gain.",
                         h->sound.clipped);
        if (h->sound.cut_short)
            snub_wrapped(look, out, "  The file ends before what its head says.");
    }
}

static void add_agreement(const snub_plucks *s, const snub_look *look, snub_text *out)
{
    snub_text_puts(out, "\n");
    if (s->taken > 1.0)
        snub_wrapped(look, out,
                     "The readings scatter %.1f times as much as their errors say (chi-square %.1f over %d). All "
                     "errors here are multiplied by that. Turn the crank two turns by hand, so that all spans come to "
                     "one tension, and pluck again.",
                     s->scale, s->sum, s->redundancy);
    else if (s->redundancy > 0)
        snub_wrapped(look, out,
                     "The readings agree within their errors (chi-square %.1f over %d, chance of more %.0f %%).",
                     s->sum, s->redundancy, 100.0 * s->chance);
    if (s->bending.value > 0.0)
        snub_wrapped(look, out, "Bending stiffness %.4g N m2, with ends that are %s.", s->bending.value,
                     snub_span_ends_text(s->measured->ends));
    else
        snub_wrapped(look, out,
                     "Taken as a string: the file gives no `bending_stiffness`. A stiff belt rings higher, so the "
                     "true tension is lower, most in short spans.");
    bool usual = isnan(s->measured->mass_error);
    for (int k = 0; k < s->measured->count; k++)
        usual = usual || !s->measured->plucks[k].error_given;
    if (usual)
        snub_wrapped(look, out,
                     "Errors of frequency or mass are defaults, rules of thumb: `errors` in the file sets them.");
}

snub_status snub_text_plucks(const snub_plucks *s, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_arena_init(&arena, 0);
    snub_readings_title(s->measured->title, look, out);
    snub_text_printf(out, "tension  %s, with 95 %% within +- %s\n", SNUB_SHOWN(look, s->tension.value, SNUB_UNIT_N, 0),
                     SNUB_SHOWN(look, s->within * s->tension.error, SNUB_UNIT_N, 0));
    if (s->belt != NULL)
        add_expected(s, look, out);
    add_agreement(s, look, out);
    snub_status status = add_readings(s, look, &arena, out, error);
    if (status == SNUB_OK && s->belt != NULL)
        status = add_spans(s, look, &arena, out, error);
    add_heard(s, look, out);
    snub_text_puts(out, "\n");
    return snub_readings_end(status, snub_plucks_level(s), &arena, out, error);
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *heard_of(const char *wav, const snub_heard *h)
{
    json_t *o = json_object(), *tones = json_array();
    snub_json_put(o, "wav", snub_json_words(wav));
    snub_json_put_number(o, "from_s", h->ring.from);
    snub_json_put_number(o, "seconds", h->ring.seconds);
    snub_json_put_number(o, "rate_Hz", h->sound.file_rate);
    snub_json_put(o, "channels", json_integer(h->sound.channels));
    snub_json_put(o, "bits", json_integer(h->sound.bits));
    snub_json_put(o, "clipped", json_integer(h->sound.clipped));
    snub_json_put(o, "cut_short", json_boolean(h->sound.cut_short));
    snub_json_put(o, "first_harmonic_heard", json_boolean(h->ring.first_heard));
    snub_json_put_number(o, "needed_over_noise", h->ring.needed);
    for (int i = 0; i < h->ring.count; i++) {
        const snub_tone *t = &h->ring.tone[i];
        json_t *tone = json_object();
        snub_json_put_number(tone, "Hz", t->frequency);
        snub_json_put_number(tone, "error_Hz", t->error);
        snub_json_put_number(tone, "decay_1_s", t->decay);
        snub_json_put_number(tone, "amplitude", t->amplitude);
        snub_json_put_number(tone, "over_noise", t->over_noise);
        snub_json_put(tone, "kind", snub_json_words(snub_tone_text(t->kind)));
        snub_json_put(tone, "harmonic", t->kind == SNUB_TONE_SPAN ? json_integer(t->harmonic) : json_null());
        snub_json_append(tones, tone);
    }
    snub_json_put(o, "tones", tones);
    return o;
}

static json_t *reading_of(const snub_plucks *s, int k)
{
    const snub_pluck *p = &s->measured->plucks[k];
    const snub_pluck_check *c = &s->check[k];
    json_t *o = json_object();
    snub_json_put(o, "from", snub_json_words(p->from));
    snub_json_put(o, "to", snub_json_words(p->to));
    snub_json_put(o, "line", json_integer(p->place.line));
    snub_json_put_number(o, "length_mm", c->length / SNUB_MM);
    snub_json_put(o, "harmonic", json_integer(p->harmonic));
    snub_json_put_number(o, "read_Hz", p->frequency);
    snub_json_put_number(o, "error_Hz", p->frequency_error);
    snub_json_put_number(o, "residual_Hz", c->residual);
    snub_json_put_number(o, "tension_N", c->tension.value);
    snub_json_put_number(o, "tension_error_N", c->tension.error);
    snub_json_put_number(o, "tension_as_string_N", c->as_string);
    snub_json_put_number(o, "share_checked", c->share);
    snub_json_put_number(o, "against_stated", c->against_stated);
    snub_json_put(o, "suspect", json_boolean(c->suspect));
    snub_json_put(o, "heard", s->heard != NULL && s->heard[k].used ? heard_of(p->wav, &s->heard[k]) : json_null());
    return o;
}

static json_t *belt_of(const snub_plucks *s)
{
    const snub_standing_belt *b = s->belt;
    json_t *o = json_object(), *spans = json_array(), *range = json_array();
    for (int i = 0; i < b->count; i++) {
        json_t *r = json_object();
        snub_json_put(r, "from", snub_json_words(b->spans[i].from));
        snub_json_put(r, "to", snub_json_words(b->spans[i].to));
        snub_json_put_number(r, "length_mm", b->spans[i].length / SNUB_MM);
        snub_json_put_number(r, "expected_Hz", b->spans[i].expected);
        snub_json_put_number(r, "rings_Hz", b->spans[i].rings.value);
        snub_json_put_number(r, "rings_error_Hz", b->spans[i].rings.error);
        snub_json_append(spans, r);
    }
    for (int i = 0; i < 3; i++)
        snub_json_append(range, snub_json_number(b->tension[i]));
    snub_json_put(o, "expected_N", range);
    snub_json_put(o, "outside", json_boolean(s->outside));
    snub_json_put(o, "surely_outside", json_boolean(s->surely));
    snub_json_put(o, "spans", spans);
    return o;
}

json_t *snub_json_plucks(const snub_plucks *s)
{
    json_t *o = json_object(), *readings = json_array();
    snub_json_put(o, "snub", json_integer(1));
    snub_json_put(o, "title", snub_json_words(s->measured->title));
    snub_json_put_number(o, "tension_N", s->tension.value);
    snub_json_put_number(o, "tension_error_N", s->tension.error);
    snub_json_put_number(o, "errors_within_95", s->within);
    snub_json_put_number(o, "mass_kg_m", s->mass.value);
    snub_json_put_number(o, "mass_error_kg_m", s->mass.error);
    snub_json_put_number(o, "bending_stiffness_N_m2", s->bending.value);
    snub_json_put_number(o, "bending_stiffness_error_N_m2", s->bending.error);
    snub_json_put(o, "ends", snub_json_words(snub_span_ends_text(s->measured->ends)));
    snub_json_put(o, "redundancy", json_integer(s->redundancy));
    snub_json_put_number(o, "chi_square", s->sum);
    snub_json_put_number(o, "chance", s->chance);
    snub_json_put_number(o, "errors_multiplied_by", s->taken);
    snub_json_put_number(o, "stated_limit", s->stated_limit);
    for (int k = 0; k < s->measured->count; k++)
        snub_json_append(readings, reading_of(s, k));
    snub_json_put(o, "readings", readings);
    snub_json_put(o, "drive", s->belt != NULL ? belt_of(s) : json_null());
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(snub_plucks_level(s))));
    return snub_json_whole(o);
}
