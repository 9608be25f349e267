/* What of the drive comes too near to what stands still. docs/theory/clearance.md. */
#include "pass.h"
#include "snub/clearance.h"

typedef struct scan {
    const snub_drive *drive;
    const snub_path *path;
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

static void disc(scan *s, const snub_obstacle *o, int pulley, snub_piece piece, const char *name, double radius,
                 double low, double high, double trimmable)
{
    snub_conflict c = {.obstacle = o, .piece = piece, .index = pulley, .disc = name, .low = low, .high = high};
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
    snub_conflict c = {
        .obstacle = o, .piece = SNUB_PIECE_WRAP, .index = pulley, .low = p->plane - half, .high = p->plane + half};
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
        const double plane = s->drive->pulleys[(from + end) % path->n].plane;
        of.low[end] = plane - half;
        of.high[end] = plane + half;
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
                       .at = {pass.at[0], pass.at[1]}};
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
