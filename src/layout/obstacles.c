/* What of the drive comes too near to what stands still. docs/theory/clearance.md. */
#include "clearance2d.h"
#include "snub/clearance.h"
#include "snub/num.h"

/* Gap of a disc or a strip and an obstacle, seen from the front. */
static double obstacle_disc(const snub_obstacle *o, const double centre[2], double radius, double near[2])
{
    double at[2];
    if (near == NULL)
        near = at;
    switch (o->shape) {
    case SNUB_POLYGON: return snub_circle_polygon(centre, radius, o->corners, (const double(*)[2])o->corner, near);
    case SNUB_STADIUM: return snub_point_segment(centre, o->from, o->to, near) - o->radius - radius;
    case SNUB_CIRCLE: break;
    }
    near[0] = o->from[0];
    near[1] = o->from[1];
    return hypot(centre[0] - o->from[0], centre[1] - o->from[1]) - o->radius - radius;
}

static double obstacle_strip(const snub_obstacle *o, const snub_strip *strip, double near[2])
{
    switch (o->shape) {
    case SNUB_POLYGON: return snub_strip_polygon(strip, o->corners, (const double(*)[2])o->corner, near);
    case SNUB_STADIUM: return snub_strip_stadium(strip, o->from, o->to, o->radius, near);
    case SNUB_CIRCLE: break;
    }
    return snub_strip_circle(strip, o->from, o->radius, near);
}

typedef struct scan {
    const snub_drive *drive;
    const snub_path *path;
    double gap, flap_fraction;
    snub_conflict *conflicts;
    int most, count, found;
} scan;

/* Distance in space of two prisms; overlapping both ways, the way out that is shorter. */
static double in_space(double plane, double axial)
{
    if (plane > 0.0 || axial > 0.0)
        return hypot(fmax(plane, 0.0), fmax(axial, 0.0));
    return fmax(plane, axial);
}

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

/* What is missing to `needed` along one way when the gap along the other way is what it is: with the other gap g > 0,
 * sqrt(needed^2 - g^2) is enough. */
static double missing(double needed, double along, double other)
{
    const double wanted = other > 0.0 ? sqrt(fmax(needed * needed - other * other, 0.0)) : needed;
    return wanted - along;
}

/* The piece's height over what carries it, which a trim can take; NAN where trimming is out of the question. */
static void judge(scan *s, snub_conflict *c, double trimmable)
{
    const snub_obstacle *o = c->obstacle;
    c->axial_gap = fmax(o->low - c->high, c->low - o->high);
    c->gap = in_space(c->plane_gap, c->axial_gap);
    c->needed = (isnan(o->clearance) ? s->gap : o->clearance) + c->flap;
    if (!(c->gap < c->needed))
        return;
    /* half a millionth of a metre of grace: a gap that is the limit keeps it */
    if (c->gap > c->needed - 5e-7)
        return;
    c->relief = missing(c->needed, c->plane_gap, c->axial_gap);
    c->relief_from = fmax(o->low, c->low - c->needed);
    c->relief_to = fmin(o->high, c->high + c->needed);
    const double axial = missing(c->needed, c->axial_gap, c->plane_gap);
    c->from_front = c->low + c->high > o->low + o->high;
    c->face_off = axial < o->high - o->low ? axial : NAN;
    c->trim = c->relief <= trimmable ? c->relief : NAN;
    c->narrower = axial < c->high - c->low ? axial : NAN;
    keep(s, c);
}

static void disc(scan *s, const snub_obstacle *o, int pulley, snub_piece piece, const char *name, double radius,
                 double low, double high, double trimmable)
{
    snub_conflict c = {.obstacle = o, .piece = piece, .index = pulley, .disc = name, .low = low, .high = high};
    c.plane_gap = obstacle_disc(o, s->path->centre[pulley], radius, c.at);
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
    snub_conflict c = {
        .obstacle = o, .piece = SNUB_PIECE_WRAP, .index = pulley, .low = p->plane - half, .high = p->plane + half};
    c.plane_gap = obstacle_disc(o, s->path->centre[pulley], outer, c.at);
    if (on_wrap(s->path, pulley, c.at))
        judge(s, &c, NAN);
}

typedef struct place {
    const snub_obstacle *obstacle;
    const snub_strip *strip;
    double flap, axial; /**< half-amplitude at mid-span; distance along z */
} place;

static double flap_at(const place *p, double along)
{
    return p->flap * sin(SNUB_PI * fmin(fmax(along / p->strip->length, 0.0), 1.0));
}

/* Flap less the distance of the belt's section at a place along the span. */
static bool nearness(double along, double *value, void *context)
{
    const place *p = context;
    snub_strip section = *p->strip;
    for (int k = 0; k < 2; k++)
        section.from[k] += along * section.u[k];
    section.length = 0.0;
    *value = flap_at(p, along) - in_space(obstacle_strip(p->obstacle, &section, NULL), p->axial);
    return true;
}

/* Where a span passes an obstacle, the place that flap makes the worst need not be the nearest one of the belt at rest:
 * along a wall beside the belt all are alike. */
static void look_along(place *p, snub_conflict *c)
{
    double value;
    snub_strip section = *p->strip;
    const double along = snub_maximise(nearness, p, 0.0, section.length, 16, 1e-8 * section.length, &value);
    if (!(value > c->flap - in_space(c->plane_gap, p->axial)))
        return;
    for (int k = 0; k < 2; k++)
        section.from[k] += along * section.u[k];
    section.length = 0.0;
    c->plane_gap = obstacle_strip(p->obstacle, &section, c->at);
    c->flap = flap_at(p, along);
}

static void span(scan *s, const snub_obstacle *o, int from)
{
    const snub_belt *belt = &s->drive->belt;
    const snub_path *path = s->path;
    const int to = (from + 1) % path->n;
    const double half = 0.5 * belt->ribs * belt->pitch, inside = belt->thickness - belt->back;
    const double za = s->drive->pulleys[from].plane, zb = s->drive->pulleys[to].plane;
    snub_strip strip = {.u = {path->u[from][0], path->u[from][1]}, .length = path->span[from]};
    snub_path_leave(path, from, strip.from);
    /* ribs lie on the right of travel where the crank turns clockwise */
    strip.right = s->drive->turn > 0.0 ? inside : belt->back;
    strip.left = s->drive->turn > 0.0 ? belt->back : inside;
    snub_conflict c = {.obstacle = o,
                       .piece = SNUB_PIECE_SPAN,
                       .index = from,
                       .low = fmin(za, zb) - half,
                       .high = fmax(za, zb) + half};
    c.plane_gap = obstacle_strip(o, &strip, c.at);
    const double along = (c.at[0] - strip.from[0]) * strip.u[0] + (c.at[1] - strip.from[1]) * strip.u[1];
    place p = {o, &strip, s->flap_fraction * strip.length, fmax(o->low - c.high, c.low - o->high)};
    c.flap = flap_at(&p, along);
    if (c.plane_gap > 0.0 && in_space(c.plane_gap, p.axial) < (isnan(o->clearance) ? s->gap : o->clearance) + p.flap)
        look_along(&p, &c);
    judge(s, &c, NAN);
}

static void pulley(scan *s, const snub_obstacle *o, int i)
{
    const snub_pulley *p = &s->drive->pulleys[i];
    const snub_pulley_hardware *h = &s->drive->hardware->pulleys[i];
    const double front = p->plane + 0.5 * p->width, rear = p->plane - 0.5 * p->width;
    disc(s, o, i, SNUB_PIECE_RIM, NULL, p->rim_radius, rear, front, NAN);
    if (h->flange_front > 0.0)
        disc(s, o, i, SNUB_PIECE_FRONT_FLANGE, NULL, p->rim_radius + h->flange_front, front, front + h->flange_width,
             h->flange_front);
    if (h->flange_rear > 0.0)
        disc(s, o, i, SNUB_PIECE_REAR_FLANGE, NULL, p->rim_radius + h->flange_rear, rear - h->flange_width, rear,
             h->flange_rear);
    for (int k = 0; k < h->disc_count; k++)
        disc(s, o, i, SNUB_PIECE_DISC, h->discs[k].name, h->discs[k].radius, p->plane + h->discs[k].low,
             p->plane + h->discs[k].high, NAN);
    wrap(s, o, i);
}

snub_status snub_obstacle_conflicts(const snub_drive *drive, const snub_path *path, double gap, double flap_fraction,
                                    snub_conflict *conflicts, int most, int *count)
{
    scan s = {drive, path, gap, flap_fraction, conflicts, most, 0, 0};
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
