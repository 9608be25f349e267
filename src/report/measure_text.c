/* Centres from readings, for people. */
#include <math.h>
#include <string.h>

#include "measure_words.h"
#include "snub/measure.h"
#include "table.h"
#include "words.h"

static const char *name_of(const snub_centres *c, int pulley)
{
    return c->measured->pulleys[pulley].name;
}

/* ---- centres ----------------------------------------------------------------------------------------------------- */

static snub_status add_centres(const snub_centres *c, const snub_look *look, snub_arena *arena, snub_text *out,
                               snub_error *error)
{
    static const snub_column columns[] = {
        {"centre", "", SNUB_CELL_TEXT, 0},
        {"x", "mm", SNUB_CELL_NUMBER, 2},
        {"y", "mm", SNUB_CELL_NUMBER, 2},
        {"error of x", "mm", SNUB_CELL_NUMBER, 2},
        {"error of y", "mm", SNUB_CELL_NUMBER, 2},
        {"95 % along", "mm", SNUB_CELL_NUMBER, 2},
        {"95 % across", "mm", SNUB_CELL_NUMBER, 2},
        {"direction", "deg", SNUB_CELL_NUMBER, 0},
        {"rim diameter", "mm", SNUB_CELL_NUMBER, 2},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, c->measured->pulley_count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < c->measured->pulley_count; i++) {
        const snub_centre *p = &c->centre[i];
        const bool sure = !(p->axis[0] > 0.0);
        *cell++ = snub_cell_text(name_of(c, i));
        for (int k = 0; k < 2; k++)
            *cell++ = snub_cell_plain(p->at[k] / SNUB_MM);
        for (int k = 0; k < 2; k++)
            *cell++ = snub_cell_plain(sure ? (double)NAN : p->error[k] / SNUB_MM);
        for (int k = 0; k < 2; k++)
            *cell++ = snub_cell_plain(sure ? (double)NAN : p->axis[k] / SNUB_MM);
        *cell++ = snub_cell_plain(sure ? (double)NAN : p->turn / SNUB_DEG);
        *cell++ = snub_cell_plain(p->diameter / SNUB_MM);
    }
    return snub_readings_table("centres", columns, COLUMNS, c->measured->pulley_count, cells, look, out, error);
}

static void add_agreement(const snub_centres *c, const snub_look *look, snub_text *out)
{
    const int more = c->redundancy;
    const char *readings = more == 1 ? "reading" : "readings";
    snub_wrapped(
        look, out,
        "With 95 %% a centre lies in an ellipse that reaches so far along its direction, counter-clockwise from the "
        "right, and so far across.");
    snub_text_puts(out, "\n");
    if (more == 0)
        snub_wrapped(
            look, out,
            "There are just as many readings as unknowns, so that nothing checks them. One reading more would.");
    else if (c->taken > 1.0)
        snub_wrapped(
            look, out,
            "The readings scatter %.1f times as much as their errors say (%d %s more than needed; chi-square %.1f, by "
            "chance once in %.0f times). All errors here are multiplied by that.",
            c->scale, more, readings, c->sum, fmin(1.0 / c->chance, 1e9));
    else
        snub_wrapped(look, out,
                     "The readings agree within their errors (%d %s more than needed; chi-square %.1f, chance of more "
                     "%.0f %%).",
                     more, readings, c->sum, 100.0 * c->chance);
}

/* ---- readings ---------------------------------------------------------------------------------------------------- */

static const char *reading_name(const snub_centres *c, const snub_read_check *r, snub_arena *arena)
{
    const snub_measured *m = c->measured;
    if (r->distance < 0)
        return snub_format(arena, "diameter of %s", name_of(c, r->pulley));
    const snub_distance *d = &m->distances[r->distance];
    const char *first = d->kind == SNUB_TO_EDGE ? m->edges[d->b].name : name_of(c, d->a);
    return snub_format(arena, "%s %s - %s", snub_distance_text(d->kind), first,
                       name_of(c, d->kind == SNUB_TO_EDGE ? d->a : d->b));
}

static const char *reading_note(const snub_centres *c, const snub_read_check *r, const snub_look *look,
                                snub_arena *arena)
{
    const bool usual = r->distance >= 0 && !c->measured->distances[r->distance].error_given;
    if (r->suspect && isfinite(r->others))
        return snub_format(arena, "SUSPECT: the others put it at %s +- %s",
                           SNUB_SHOWN(look, r->others, SNUB_UNIT_MM, 2),
                           SNUB_SHOWN(look, r->others_error, SNUB_UNIT_MM, 2));
    return isnan(r->against_stated) ? (usual ? "nothing checks it; default error" : "nothing checks it")
           : usual                  ? "default error"
                                    : "";
}

static snub_status add_readings(const snub_centres *c, const snub_look *look, snub_arena *arena, snub_text *out,
                                snub_error *error)
{
    static const snub_column columns[] = {
        {"reading", "", SNUB_CELL_TEXT, 0},          {"read", "mm", SNUB_CELL_NUMBER, 2},
        {"error", "mm", SNUB_CELL_NUMBER, 2},        {"off by", "mm", SNUB_CELL_NUMBER, 2},
        {"checked", "", SNUB_CELL_NUMBER, 2},        {"off, in errors", "", SNUB_CELL_NUMBER, 1},
        {"against others", "", SNUB_CELL_NUMBER, 1}, {"note", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, c->check_count * COLUMNS), *cell = cells;
    for (int k = 0; cells != NULL && k < c->check_count; k++) {
        const snub_read_check *r = &c->check[k];
        *cell++ = snub_cell_text(reading_name(c, r, arena));
        *cell++ = snub_cell_plain(r->value / SNUB_MM);
        *cell++ = snub_cell_plain(r->error / SNUB_MM);
        *cell++ = snub_cell_plain(r->residual / SNUB_MM);
        *cell++ = snub_cell_plain(r->share);
        *cell++ = snub_cell_plain(r->against_stated);
        *cell++ = snub_cell_plain(r->against_rest);
        *cell++ = snub_cell_text(reading_note(c, r, look, arena));
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("readings", columns, COLUMNS, c->check_count, cells, look, out, error);
}

static void add_suspects(const snub_centres *c, const snub_look *look, snub_text *out)
{
    snub_text_puts(out, "\n");
    if (c->suspects > 1)
        snub_wrapped(
            look, out,
            "One of %d readings is wrong, and these cannot be told apart: measure them again, or add a reading.",
            c->suspects);
    else if (c->suspects == 1)
        snub_wrapped(look, out,
                     "Measure the suspect reading again. If it stays, look for what it was taken between: a "
                     "flange, a key, a slanted calliper.");
    if (isfinite(c->rest_limit))
        snub_wrapped(look, out,
                     "A reading is suspect over %.1f against its stated error, or over %.1f against the others: of "
                     "good sets of %d, "
                     "one in twenty has such a reading.",
                     c->stated_limit, c->rest_limit, c->check_count);
    else if (c->redundancy > 0)
        snub_wrapped(
            look, out,
            "A reading is suspect over %.1f against its stated error: of good sets of %d, one in twenty has such a "
            "reading.",
            c->stated_limit, c->check_count);
    snub_wrapped(
        look, out,
        "Errors are standard deviations: two of three readings lie within theirs. A reading is off by what the fitted "
        "centres give more than was read; checked is the share of its error that shows there.");
}

/* ---- layouts and what next --------------------------------------------------------------------------------------- */

static void add_layouts(const snub_centres *c, const snub_look *look, snub_text *out)
{
    if (c->choice != SNUB_LAYOUT_UNDECIDED && c->choice != SNUB_LAYOUT_DRIVE)
        return;
    const snub_measured *m = c->measured;
    snub_text_puts(out, "\n");
    if (c->choice == SNUB_LAYOUT_DRIVE) {
        snub_wrapped(look, out, "%d layouts fit the readings; this one is the nearest to the drive file's.",
                     c->layouts);
        return;
    }
    const char *name = name_of(c, c->decider);
    snub_wrapped(look, out,
                 "FAIL: %d layouts fit the readings, and this may be the wrong one. In another, %s is at %s, %s.",
                 c->layouts, name, SNUB_SHOWN(look, c->other[c->decider][0], SNUB_UNIT_MM, 1),
                 SNUB_SHOWN(look, c->other[c->decider][1], SNUB_UNIT_MM, 1));
    if (c->settles.a >= 0)
        snub_wrapped(look, out, "Measure from %s to %s: here %s between centres, there %s. Or write a side.",
                     name_of(c, c->settles.a), name_of(c, c->settles.b),
                     SNUB_SHOWN(look, c->settles.now, SNUB_UNIT_MM, 1),
                     SNUB_SHOWN(look, c->settles_other, SNUB_UNIT_MM, 1));
    else if (m->framed)
        snub_wrapped(look, out,
                     "It is the mirror image: no distance tells them apart. Write the side, as `sides: [{left: %s, of: "
                     "[%s, %s]}]`, left or right as you look from the one to the other.",
                     name, name_of(c, m->origin), name_of(c, m->towards));
    else
        snub_wrapped(look, out, "No distance tells them apart. Write a side, as `sides: [{left: %s, of: [A, B]}]`.",
                     name);
}

static void add_next(const snub_centres *c, const snub_look *look, snub_text *out)
{
    if (c->next_count == 0)
        return;
    double longest = 0.0;
    for (int i = 0; i < c->measured->pulley_count; i++)
        longest = fmax(longest, c->centre[i].axis[0]);
    snub_text_puts(out, "\n");
    snub_wrapped(look, out, "Longest ellipse: %s. One reading more, taken as well as the others, would make it:",
                 SNUB_SHOWN(look, longest, SNUB_UNIT_MM, 2));
    for (int i = 0; i < c->next_count; i++) {
        const snub_next_reading *n = &c->next[i];
        snub_text_printf(out, "  %s  %s - %s\n", SNUB_SHOWN(look, n->worst, SNUB_UNIT_MM, 2), name_of(c, n->a),
                         name_of(c, n->b));
    }
}

/* ---- the drive --------------------------------------------------------------------------------------------------- */

static snub_status add_wraps(const snub_effect *e, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    static const snub_column columns[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},
        {"wrap", "deg", SNUB_CELL_NUMBER, 1},
        {"error of wrap", "deg", SNUB_CELL_NUMBER, 2},
        {"mark", "mm", SNUB_CELL_NUMBER, 1},
        {"error of mark", "mm", SNUB_CELL_NUMBER, 2},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const snub_drive *drive = e->build->drive;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, drive->pulley_count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < drive->pulley_count; i++) {
        *cell++ = snub_cell_text(drive->pulleys[i].name);
        *cell++ = snub_cell_plain(e->wrap[i].value / SNUB_DEG);
        *cell++ = snub_cell_plain(e->wrap[i].error / SNUB_DEG);
        *cell++ = snub_cell_plain(e->mark[i].value / SNUB_MM);
        *cell++ = snub_cell_plain(e->mark[i].error / SNUB_MM);
    }
    return snub_readings_table("drive", columns, COLUMNS, drive->pulley_count, cells, look, out, error);
}

static snub_status add_effect(const snub_effect *e, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    snub_text_puts(out, "\n");
    if (!e->solved) {
        snub_wrapped(look, out, "With these centres the drive has no belt that runs: see `snub check` with them.");
        return SNUB_OK;
    }
    snub_wrapped(look, out, "The drive with these centres takes %s, engine stopped. Length along the pulleys %s +- %s.",
                 e->build->designation, SNUB_SHOWN(look, e->length.value, SNUB_UNIT_MM, 1),
                 SNUB_SHOWN(look, e->length.error, SNUB_UNIT_MM, 2));
    if (isfinite(e->wind.value))
        snub_wrapped(look, out, "Arm %.1f +- %.2f deg from free.", e->wind.value / SNUB_DEG, e->wind.error / SNUB_DEG);
    return add_wraps(e, look, arena, out, error);
}

snub_status snub_text_centres(const snub_centres *c, const snub_effect *effect, const snub_look *look, snub_text *out,
                              snub_error *error)
{
    snub_arena arena;
    snub_arena_init(&arena, 0);
    if (c->measured->title[0] != '\0')
        snub_wrapped(look, out, "%s\n", c->measured->title);
    snub_status status = add_centres(c, look, &arena, out, error);
    add_agreement(c, look, out);
    add_layouts(c, look, out);
    if (status == SNUB_OK)
        status = add_readings(c, look, &arena, out, error);
    add_suspects(c, look, out);
    add_next(c, look, out);
    if (status == SNUB_OK && effect != NULL)
        status = add_effect(effect, look, &arena, out, error);
    snub_text_puts(out, "\n");
    return snub_readings_end(status, snub_centres_level(c), &arena, out, error);
}
