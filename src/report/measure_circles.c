/* Circles of a sketch or a scan, for people. */
#include <math.h>
#include <string.h>

#include "measure_words.h"
#include "snub/circles.h"
#include "table.h"
#include "words.h"

/** Points of a circle that are named where many stand out. */
enum { OUT_SHOWN = 20 };

static const char *name_of(const snub_circles *c, int round, snub_arena *arena)
{
    return c->round[round].name != NULL ? c->round[round].name : snub_format(arena, "circle %d", round + 1);
}

static const char *pulley_of(const snub_circles *c, const snub_round *r)
{
    const int pulley = c->group[r->group].pulley;
    return pulley >= 0 ? c->drive->pulleys[pulley].name : "";
}

/* As it stands behind "in". */
static const char *unit_words(const char *unit)
{
    return strcmp(unit, "in") == 0 ? "inches" : unit;
}

static void add_head(const snub_circles *c, const snub_look *look, snub_text *out)
{
    const snub_sketch *s = c->sketch;
    if (s != NULL && s->unit_told && s->said != NULL)
        snub_wrapped(look, out, "The sketch is read in %s, as you say; it says %s itself.", unit_words(s->unit),
                     unit_words(s->said));
    else if (s != NULL)
        snub_wrapped(look, out, "The sketch is in %s, as %s.", unit_words(s->unit),
                     s->unit_told ? "you say" : "it says");
    else
        snub_wrapped(look, out, "%d points in %s, as %s.%s", c->scan->points, unit_words(c->scan->unit),
                     c->scan->unit_told ? "you say" : "the header says",
                     c->scan->group[0].name == NULL
                         ? " No column says which circle a point is on: all are taken for one circle."
                         : "");
}

/* ---- circles ------------------------------------------------------------------------------------------------------
 */

static snub_status add_drawn(const snub_circles *c, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    static const snub_column columns[] = {
        {"circle", "", SNUB_CELL_TEXT, 0},     {"x", "mm", SNUB_CELL_NUMBER, 3},
        {"y", "mm", SNUB_CELL_NUMBER, 3},      {"diameter", "mm", SNUB_CELL_NUMBER, 3},
        {"drawn", "deg", SNUB_CELL_NUMBER, 0}, {"same middle as", "", SNUB_CELL_TEXT, 0},
        {"layer", "", SNUB_CELL_TEXT, 0},      {"line", "", SNUB_CELL_NUMBER, 0},
        {"pulley", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, c->round_count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < c->round_count; i++) {
        const snub_round *r = &c->round[i];
        const int first = c->group[r->group].first;
        *cell++ = snub_cell_text(name_of(c, i, arena));
        *cell++ = snub_cell_plain(r->at[0] / SNUB_MM);
        *cell++ = snub_cell_plain(r->at[1] / SNUB_MM);
        *cell++ = snub_cell_plain(r->diameter / SNUB_MM);
        *cell++ = snub_cell_plain(r->arc / SNUB_DEG);
        *cell++ = snub_cell_text(first != i ? name_of(c, first, arena) : "");
        *cell++ = snub_cell_text(r->layer);
        *cell++ = snub_cell_plain(r->line);
        *cell++ = snub_cell_text(pulley_of(c, r));
    }
    return snub_readings_table("circles", columns, COLUMNS, c->round_count, cells, look, out, error);
}

static snub_status add_fitted(const snub_circles *c, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    static const snub_column columns[] = {
        {"circle", "", SNUB_CELL_TEXT, 0},         {"points", "", SNUB_CELL_NUMBER, 0},
        {"left out", "", SNUB_CELL_NUMBER, 0},     {"x", "mm", SNUB_CELL_NUMBER, 3},
        {"y", "mm", SNUB_CELL_NUMBER, 3},          {"error of x", "mm", SNUB_CELL_NUMBER, 3},
        {"error of y", "mm", SNUB_CELL_NUMBER, 3}, {"diameter", "mm", SNUB_CELL_NUMBER, 3},
        {"its error", "mm", SNUB_CELL_NUMBER, 3},  {"scatter", "mm", SNUB_CELL_NUMBER, 3},
        {"arc", "deg", SNUB_CELL_NUMBER, 0},       {"pulley", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, c->round_count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < c->round_count; i++) {
        const snub_circle_fit *f = c->round[i].fit;
        *cell++ = snub_cell_text(name_of(c, i, arena));
        *cell++ = snub_cell_plain(f->count);
        *cell++ = snub_cell_plain(f->count - f->used);
        for (int k = 0; k < 2; k++)
            *cell++ = snub_cell_plain(f->at[k] / SNUB_MM);
        for (int k = 0; k < 2; k++)
            *cell++ = snub_cell_plain(f->error[k] / SNUB_MM);
        *cell++ = snub_cell_plain(2.0 * f->radius / SNUB_MM);
        *cell++ = snub_cell_plain(2.0 * f->radius_error / SNUB_MM);
        *cell++ = snub_cell_plain(f->scatter / SNUB_MM);
        *cell++ = snub_cell_plain(f->arc / SNUB_DEG);
        *cell++ = snub_cell_text(pulley_of(c, &c->round[i]));
    }
    return snub_readings_table("circles", columns, COLUMNS, c->round_count, cells, look, out, error);
}

/* ---- what is to be said of points ---------------------------------------------------------------------------------
 */

static void add_left_out(const snub_circles *c, int round, const char *name, const snub_look *look, snub_text *out)
{
    const snub_circle_fit *f = c->round[round].fit;
    int shown = 0;
    for (int i = 0; i < f->count && shown < OUT_SHOWN; i++) {
        const snub_circle_point *p = &f->point[i];
        if (!p->out)
            continue;
        snub_wrapped(
            look, out,
            "%s, line %d: LEFT OUT, %s off the circle of the others (%.1f times its error; up to %.1f is chance).",
            name, c->round[round].points->line[i], SNUB_SHOWN(look, p->residual, SNUB_UNIT_MM, 3), fabs(p->against),
            f->limit);
        shown++;
    }
    if (f->count - f->used > shown)
        snub_wrapped(look, out, "%s: %d more points are left out.", name, f->count - f->used - shown);
}

static void add_doubts(const snub_circles *c, int round, const char *name, const snub_look *look, snub_text *out)
{
    const snub_circle_fit *f = c->round[round].fit;
    if (f->straight)
        snub_wrapped(look, out,
                     "%s: NO CIRCLE. On so short an arc the points cannot be told from a straight line. Take points on "
                     "more of the rim.",
                     name);
    else if (c->round[round].hardly)
        snub_wrapped(look, out,
                     "%s: hardly held. With 95 %% its centre lies within %s along %.0f deg, %s across. Take points on "
                     "more of the rim than %.0f deg.",
                     name, SNUB_SHOWN(look, f->axis[0], SNUB_UNIT_MM, 2), f->turn / SNUB_DEG,
                     SNUB_SHOWN(look, f->axis[1], SNUB_UNIT_MM, 2), f->arc / SNUB_DEG);
    if (f->used == SNUB_CIRCLE_POINTS)
        snub_wrapped(look, out, "%s: three points make a circle, and nothing checks it. Take more.", name);
    else if (f->count < SNUB_CIRCLE_TESTED)
        snub_wrapped(look, out, "%s: with fewer than six points a wrong one cannot be found.", name);
    if (f->taken > 1.0)
        snub_wrapped(look, out,
                     "%s: the points scatter %.1f times as much as you say. Its errors are multiplied by that.", name,
                     f->taken);
}

static void add_points(const snub_circles *c, const snub_look *look, snub_arena *arena, snub_text *out)
{
    snub_wrapped(look, out, "Errors are one standard deviation, by the scatter of the points%s.",
                 isnan(c->wish.error) ? "" : " where it is over what you say");
    for (int i = 0; i < c->round_count; i++) {
        const char *name = name_of(c, i, arena);
        if (name == NULL)
            return;
        add_left_out(c, i, name, look, out);
        add_doubts(c, i, name, look, out);
    }
}

/* ---- what is to be said of a sketch -------------------------------------------------------------------------------
 */

static void add_passed_over(const snub_circles *c, const snub_look *look, snub_text *out)
{
    const snub_sketch *s = c->sketch;
    snub_text list = {0};
    if (c->short_count > 0)
        snub_wrapped(look, out, "%d %s of less than %.0f deg %s passed over (--arc).", c->short_count,
                     c->short_count == 1 ? "arc" : "arcs", c->wish.arc / SNUB_DEG, c->short_count == 1 ? "is" : "are");
    for (int i = 0; i < s->skipped_count; i++)
        snub_text_printf(&list, "%s%ld %s (first in line %d)", i > 0 ? ", " : "", s->skipped[i].count,
                         s->skipped[i].what, s->skipped[i].line);
    if (s->skipped_count > 0)
        snub_wrapped(look, out, "Passed over: %s.", list.data != NULL ? list.data : "");
    out->failed = out->failed || list.failed;
    snub_text_free(&list);
}

/* ---- pulleys ------------------------------------------------------------------------------------------------------
 */

static const char *note_of(const snub_round_pulley *p)
{
    switch (p->match) {
    case SNUB_ROUND_FOUND:
        return !p->elsewhere ? p->by_name ? "found by its name" : "found"
                             : "found by its name, but of another place or size";
    case SNUB_ROUND_SEVERAL:
        return p->fits > 1 ? "OPEN: several circles fit" : "OPEN: its circle fits another pulley too";
    case SNUB_ROUND_MOVES: return "not looked for: it moves with an arm or in a slot";
    default: return p->round >= 0 ? "NOT FOUND; this circle is the nearest" : "NOT FOUND";
    }
}

static snub_status add_pulleys(const snub_circles *c, const snub_look *look, snub_arena *arena, snub_text *out,
                               snub_error *error)
{
    static const snub_column columns[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},
        {"circle", "", SNUB_CELL_TEXT, 0},
        {"x off by", "mm", SNUB_CELL_NUMBER, 3},
        {"y off by", "mm", SNUB_CELL_NUMBER, 3},
        {"diameter off by", "mm", SNUB_CELL_NUMBER, 3},
        {"note", "", SNUB_CELL_TEXT, 0},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    const int count = c->drive->pulley_count;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, count * COLUMNS), *cell = cells;
    for (int i = 0; cells != NULL && i < count; i++) {
        const snub_round_pulley *p = &c->pulley[i];
        const bool any = p->round >= 0;
        *cell++ = snub_cell_text(c->drive->pulleys[i].name);
        *cell++ = snub_cell_text(any ? name_of(c, p->round, arena) : "");
        for (int k = 0; k < 2; k++)
            *cell++ = snub_cell_plain(any ? p->off[k] / SNUB_MM : (double)NAN);
        *cell++ = snub_cell_plain(any ? p->size_off / SNUB_MM : (double)NAN);
        *cell++ = snub_cell_text(note_of(p));
    }
    snub_text_puts(out, "\n");
    return snub_readings_table("pulleys", columns, COLUMNS, count, cells, look, out, error);
}

static void add_advice(const snub_circles *c, const snub_look *look, snub_text *out)
{
    bool open = false, missing = false;
    for (int i = 0; i < c->drive->pulley_count; i++) {
        open = open || c->pulley[i].match == SNUB_ROUND_SEVERAL;
        missing = missing || c->pulley[i].match == SNUB_ROUND_NONE;
    }
    snub_wrapped(look, out,
                 "A pulley is found where one middle has a circle of its diameter, of its rim's or of its rib tips', "
                 "to %s, and lies "
                 "within %s of its place in the drive file.",
                 SNUB_SHOWN(look, c->wish.tolerance, SNUB_UNIT_MM, 2),
                 SNUB_SHOWN(look, c->wish.reach, SNUB_UNIT_MM, 1));
    if (open)
        snub_wrapped(look, out,
                     "What is open is not decided here: use a smaller --reach, choose layers, or name the points.");
    if (missing)
        snub_wrapped(look, out,
                     "Is the zero of the file the drive file's? If not, give --origin and --turn. If the drive file is "
                     "farther off, use a larger --reach.");
}

snub_status snub_text_circles(const snub_circles *c, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_arena_init(&arena, 0);
    add_head(c, look, out);
    snub_text_puts(out, "\n");
    snub_status status =
        c->sketch != NULL ? add_drawn(c, look, &arena, out, error) : add_fitted(c, look, &arena, out, error);
    snub_text_puts(out, "\n");
    if (c->sketch != NULL)
        add_passed_over(c, look, out);
    else
        add_points(c, look, &arena, out);
    if (status == SNUB_OK && c->drive != NULL) {
        status = add_pulleys(c, look, &arena, out, error);
        snub_text_puts(out, "\n");
        add_advice(c, look, out);
    }
    return snub_readings_end(status, snub_circles_level(c), &arena, out, error);
}
