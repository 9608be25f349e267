/* What of the drive comes too near to what stands still. docs/theory/clearance.md. */
#include "lie.h"
#include "pass.h"
#include "snub/clearance.h"

typedef struct scan {
    const snub_drive *drive;
    const snub_path *path;
    const snub_lie *lie;
    double gap, flap_fraction;
    snub_conflict *conflicts;
    int most, count, found;
} scan;

static double lack(const snub_conflict *c)
{
    return c->needed - c->gap;
}

static void keep(scan *s, const snub_conflict *c)
{
    int at = s->count;
    s->found++;
    while (at > 0 && lack(&s->conflicts[at - 1]) < lack(c))
        at--;
    if (at >= s->most)
        return;
    if (s->count < s->most)
        s->count++;
    for (int k = s->count - 1; k > at; k--)
        s->conflicts[k] = s->conflicts[k - 1];
    s->conflicts[at] = *c;
}

/* What is missing to `wanted` along one way when the gap along the other way is what it is: with the other gap g > 0,
 * sqrt(wanted^2 - g^2) is enough. */
static double missing(double wanted, double along, double other)
{
    const double enough = other > 0.0 ? sqrt(fmax(wanted * wanted - other * other, 0.0)) : wanted;
    return enough - along;
}

/* The piece's height over what carries it, which a trim can take; NAN where trimming is out of the question. Flap
 * moves the belt in its plane, so that it takes of the gap seen from the front. */
static void judge(scan *s, snub_conflict *c, double trimmable)
{
    const snub_obstacle *o = c->obstacle;
    const double own = isnan(o->clearance) ? s->gap : o->clearance, plane = c->plane_gap - c->flap;
    c->axial_gap = fmax(o->low - c->high, c->low - o->high);
    c->gap = snub_in_space(c->plane_gap, c->axial_gap);
    c->needed = c->gap + own - snub_in_space(plane, c->axial_gap);
    /* half a millionth of a metre of grace: a gap that is the limit keeps it */
    if (!(c->gap <= c->needed - 5e-7))
        return;
    c->relief = missing(own, plane, c->axial_gap);
    c->relief_from = fmax(o->low, c->low - own);
    c->relief_to = fmin(o->high, c->high + own);
    const double axial = missing(own, c->axial_gap, plane);
    c->from_front = c->low + c->high > o->low + o->high;
    c->face_off = axial < o->high - o->low ? axial : NAN;
    c->trim = c->relief <= trimmable ? c->relief : NAN;
    c->narrower = axial < c->high - c->low ? axial : NAN;
    keep(s, c);
}

/* Least and greatest of a linear function (x, y) -> about_x y - about_y x over an obstacle. */
static snub_z_range over_figure(const snub_obstacle *o, const double centre[2], const double tilt[2])
{
    const double around = o->shape == SNUB_POLYGON ? 0.0 : o->radius * hypot(tilt[0], tilt[1]);
    const int points = o->shape == SNUB_POLYGON ? o->corners : o->shape == SNUB_STADIUM ? 2 : 1;
    snub_z_range range = {INFINITY, -INFINITY};
    for (int i = 0; i < points; i++) {
        const double *p = o->shape == SNUB_POLYGON ? o->corner[i] : i == 0 ? o->from : o->to;
        const double by = tilt[0] * (p[1] - centre[1]) - tilt[1] * (p[0] - centre[0]);
        range.low = fmin(range.low, by - around);
        range.high = fmax(range.high, by + around);
    }
    return range;
}

/* How far the part of a leaning disc that is beside an obstacle stands fore and aft of its plane. A rim leans by no
 * more than radius times tilt, and where it is beside the obstacle by no more than a plane does there. */
static snub_z_range lean_beside(const scan *s, const snub_obstacle *o, int pulley, double radius)
{
    snub_z_range range = {0.0, 0.0};
    const snub_tilts *tilts = s->lie->tilts == NULL ? NULL : &s->lie->tilts[pulley];
    for (int k = 0; tilts != NULL && k < tilts->count; k++) {
        const double most = radius * hypot(tilts->tilt[k][0], tilts->tilt[k][1]);
        const snub_z_range beside = over_figure(o, s->path->centre[pulley], tilts->tilt[k]);
        const double low = fmin(fmax(beside.low, -most), most), high = fmin(fmax(beside.high, -most), most);
        range.low = k == 0 ? low : fmin(range.low, low);
        range.high = k == 0 ? high : fmax(range.high, high);
    }
    return range;
}

/* By how much the piece may stand nearer to the obstacle along z than it does as drawn. */
static void count_shift(snub_conflict *c, double low, double high)
{
    const bool behind = c->obstacle->low + c->obstacle->high < low + high;
    c->shift = behind ? low - c->low : c->high - high;
}

/* A part of a pulley, low to high from its plane. */
static void disc(scan *s, const snub_obstacle *o, int pulley, snub_piece piece, const char *name, double radius,
                 double low, double high, double trimmable)
{
    const snub_z_range lean = lean_beside(s, o, pulley, radius), *plane = &s->lie->plane[pulley];
    snub_conflict c = {.obstacle = o,
                       .piece = piece,
                       .index = pulley,
                       .disc = name,
                       .low = plane->low + low + lean.low,
                       .high = plane->high + high + lean.high};
    count_shift(&c, 0.5 * (plane->low + plane->high) + low, 0.5 * (plane->low + plane->high) + high);
    c.plane_gap = snub_obstacle_disc(o, s->path->centre[pulley], radius, c.at);
    judge(s, &c, trimmable);
}

static bool on_wrap(const snub_path *path, int pulley, const double point[2])
{
    double enter[2];
    snub_path_enter(path, pulley, enter);
    const double ex = enter[0] - path->centre[pulley][0], ey = enter[1] - path->centre[pulley][1];
    const double px = point[0] - path->centre[pulley][0], py = point[1] - path->centre[pulley][1];
    double turn = atan2(ex * py - ey * px, ex * px + ey * py);
    if (path->radius[pulley] > 0.0)
        turn = -turn;
    if (turn < 0.0)
        turn += 2.0 * SNUB_PI;
    return turn <= path->wrap[pulley];
}

static void wrap(scan *s, const snub_obstacle *o, int pulley)
{
    const snub_belt *belt = &s->drive->belt;
    const snub_pulley *p = &s->drive->pulleys[pulley];
    const double half = 0.5 * belt->ribs * belt->pitch;
    const double outer = p->pitch_radius + (p->side == SNUB_RIB ? belt->back : belt->thickness - belt->back);
    const snub_z_range lean = lean_beside(s, o, pulley, outer), *on = &s->lie->on[pulley];
    snub_conflict c = {.obstacle = o,
                       .piece = SNUB_PIECE_WRAP,
                       .index = pulley,
                       .low = on->low - half + lean.low,
                       .high = on->high + half + lean.high};
    count_shift(&c, 0.5 * (on->low + on->high) - half, 0.5 * (on->low + on->high) + half);
    c.plane_gap = snub_obstacle_disc(o, s->path->centre[pulley], outer, c.at);
    if (on_wrap(s->path, pulley, c.at))
        judge(s, &c, NAN);
}

static void span(scan *s, const snub_obstacle *o, int from)
{
    const snub_belt *belt = &s->drive->belt;
    const snub_path *path = s->path;
    const double half = 0.5 * belt->ribs * belt->pitch, inside = belt->thickness - belt->back;
    snub_span_strip of = {.strip = {.u = {path->u[from][0], path->u[from][1]}, .length = path->span[from]},
                          .flap = s->flap_fraction * path->span[from]};
    snub_path_leave(path, from, of.strip.from);
    /* ribs lie on the right of travel where the crank turns clockwise */
    of.strip.right = s->drive->turn > 0.0 ? inside : belt->back;
    of.strip.left = s->drive->turn > 0.0 ? belt->back : inside;
    for (int end = 0; end < 2; end++) {
        const snub_z_range *belt_at = end == 0 ? &s->lie->leave[from] : &s->lie->enter[(from + 1) % path->n];
        of.low[end] = belt_at->low - half;
        of.high[end] = belt_at->high + half;
    }
    snub_pass pass;
    if (!snub_span_pass(&of, o, isnan(o->clearance) ? s->gap : o->clearance, &pass))
        return;
    snub_conflict c = {.obstacle = o,
                       .piece = SNUB_PIECE_SPAN,
                       .index = from,
                       .plane_gap = pass.plane_gap,
                       .flap = pass.flap,
                       .low = pass.low,
                       .high = pass.high,
                       .shift = 0.5 * (pass.high - pass.low) - half,
                       .at = {pass.at[0], pass.at[1]}};
    judge(s, &c, NAN);
}

static void pulley(scan *s, const snub_obstacle *o, int i)
{
    const snub_pulley *p = &s->drive->pulleys[i];
    const snub_pulley_hardware *h = &s->drive->hardware->pulleys[i];
    const double front = 0.5 * p->width, rear = -front;
    disc(s, o, i, SNUB_PIECE_RIM, NULL, p->rim_radius, rear, front, NAN);
    if (h->flange_front > 0.0)
        disc(s, o, i, SNUB_PIECE_FRONT_FLANGE, NULL, p->rim_radius + h->flange_front, front, front + h->flange_width,
             h->flange_front);
    if (h->flange_rear > 0.0)
        disc(s, o, i, SNUB_PIECE_REAR_FLANGE, NULL, p->rim_radius + h->flange_rear, rear - h->flange_width, rear,
             h->flange_rear);
    for (int k = 0; k < h->disc_count; k++)
        disc(s, o, i, SNUB_PIECE_DISC, h->discs[k].name, h->discs[k].radius, h->discs[k].low, h->discs[k].high, NAN);
    wrap(s, o, i);
}

snub_status snub_obstacle_conflicts(const snub_drive *drive, const snub_path *path, const snub_lie *lie, double gap,
                                    double flap_fraction, snub_conflict *conflicts, int most, int *count)
{
    snub_lie flat;
    if (lie == NULL)
        snub_lie_flat(drive, &flat);
    scan s = {drive, path, lie != NULL ? lie : &flat, gap, flap_fraction, conflicts, most, 0, 0};
    const snub_hardware *hardware = drive->hardware;
    for (int k = 0; hardware != NULL && k < hardware->obstacle_count; k++) {
        for (int i = 0; i < path->n; i++) {
            pulley(&s, &hardware->obstacles[k], i);
            span(&s, &hardware->obstacles[k], i);
        }
    }
    *count = s.count;
    return s.found > most ? SNUB_TOO_LARGE : SNUB_OK;
}
