/* What of the drive comes too near to what stands still. docs/theory/clearance.md. */
#include "lie.h"
#include "pass.h"
#include "reach.h"
#include "snub/clearance.h"

typedef struct scan {
    const snub_drive *drive;
    const snub_path *path;
    const snub_lie *lie;
    double gap, flap_fraction, wind;
    double widest[SNUB_PULLEYS_MOST]; /**< of each pulley, m */
    const snub_obstacle *file;        /**< the one that is looked at, as the file has it */
    double middle[2], around;         /**< a circle around its slice that is looked at, m */
    snub_conflict *conflicts;
    int most, count, found;
    bool all; /* also what keeps its distance */
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

/* What is to be kept: the obstacle's own, a body's own where that is more. */
static double own_gap(const scan *s, const snub_conflict *c)
{
    const double wished = c->obstacle->tool ? 0.0 : s->gap;
    const double own = isnan(c->obstacle->clearance) ? wished : c->obstacle->clearance;
    return isnan(c->body_clearance) ? own : fmax(own, c->body_clearance);
}

/* True where what is at least so far from the obstacle, seen from the front, keeps what is to be kept: most things, and
 * the circle around the obstacle tells. */
static bool passes_by(const scan *s, const snub_obstacle *o, double body_clearance, double least)
{
    return !s->all && least > 0.0 &&
           least > own_gap(s, &(snub_conflict){.obstacle = o, .body_clearance = body_clearance});
}

/* Of a point from the circle around the obstacle. */
static double off_obstacle(const scan *s, const double point[2])
{
    return hypot(point[0] - s->middle[0], point[1] - s->middle[1]) - s->around;
}

/* How thick a figure is along a way in the plane; no more than that can be taken off it. */
static double across(const snub_obstacle *o, const double way[2])
{
    double least = INFINITY, most = -INFINITY;
    if (way[0] == 0.0 && way[1] == 0.0)
        return INFINITY;
    for (int i = 0; i < snub_obstacle_points(o); i++) {
        const double *p = snub_obstacle_point(o, i);
        const double by = (p[0] * way[0] + p[1] * way[1]) / hypot(way[0], way[1]);
        least = fmin(least, by);
        most = fmax(most, by);
    }
    return most - least + (o->shape == SNUB_POLYGON ? 0.0 : 2.0 * o->radius);
}

/* Of a pulley's width that its belt does not need, on one side. */
static double spare_of(const scan *s, int pulley)
{
    return 0.5 * (s->drive->pulleys[pulley].width - s->drive->belt.ribs * s->drive->belt.pitch);
}

/* The piece's height over what carries it, which a trim can take; NAN where trimming is out of the question. Flap
 * moves the belt in its plane, so that it takes of the gap seen from the front. */
static void judge(scan *s, snub_conflict *c, double trimmable)
{
    const snub_obstacle *o = c->obstacle;
    const double own = own_gap(s, c), plane = c->plane_gap - c->flap;
    c->axial_gap = fmax(o->low - c->high, c->low - o->high);
    c->gap = snub_in_space(c->plane_gap, c->axial_gap);
    c->needed = c->gap + own - snub_in_space(plane, c->axial_gap);
    /* half a millionth of a metre of grace: a gap that is the limit keeps it */
    if (!(s->all || c->gap <= c->needed - 5e-7))
        return;
    c->relief = missing(own, plane, c->axial_gap);
    c->thick = across(o, c->way);
    c->obstacle = s->file;
    c->wind = s->wind;
    c->relief_from = fmax(o->low, c->low - own);
    c->relief_to = fmin(o->high, c->high + own);
    const double axial = missing(own, c->axial_gap, plane);
    double whole[2];
    snub_left_of(s->file, whole);
    c->from_front = c->low + c->high > o->low + o->high;
    /* with all that stands before this slice */
    c->face_off = axial + (c->from_front ? whole[1] - o->high : o->low - whole[0]);
    c->face_off = c->face_off < whole[1] - whole[0] ? c->face_off : NAN;
    c->trim = c->relief <= trimmable ? c->relief : NAN;
    c->narrower = c->piece == SNUB_PIECE_RIM && axial <= spare_of(s, c->index) ? axial : NAN;
    keep(s, c);
}

/* Least and greatest of a linear function (x, y) -> about_x y - about_y x over an obstacle. */
static snub_z_range over_figure(const snub_obstacle *o, const double centre[2], const double tilt[2])
{
    const double around = snub_obstacle_round(o) * hypot(tilt[0], tilt[1]);
    snub_z_range range = {INFINITY, -INFINITY};
    for (int i = 0; i < snub_obstacle_points(o); i++) {
        const double *p = snub_obstacle_point(o, i);
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

/* The two points that are nearest: from the piece straight to the obstacle. */
static void mark(snub_conflict *c, const double on_piece[2])
{
    const double far = hypot(c->way[0], c->way[1]), apart = fmax(c->plane_gap, 0.0);
    for (int k = 0; k < 2; k++) {
        c->on_piece[k] = on_piece[k];
        c->on_obstacle[k] = on_piece[k] + (far > 0.0 ? apart * c->way[k] / far : 0.0);
    }
}

/* The way from a pulley's middle to where the obstacle is nearest. */
static void point_from(const scan *s, int pulley, double radius, snub_conflict *c)
{
    const double *centre = s->path->centre[pulley];
    double rim[2];
    for (int k = 0; k < 2; k++)
        c->way[k] = c->at[k] - centre[k];
    const double far = hypot(c->way[0], c->way[1]);
    for (int k = 0; k < 2; k++)
        rim[k] = centre[k] + (far > 0.0 ? radius * c->way[k] / far : 0.0);
    mark(c, rim);
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
                       .body_clearance = NAN,
                       .low = plane->low + low + lean.low,
                       .high = plane->high + high + lean.high};
    count_shift(&c, 0.5 * (plane->low + plane->high) + low, 0.5 * (plane->low + plane->high) + high);
    c.plane_gap = snub_obstacle_disc(o, s->path->centre[pulley], radius, c.at);
    point_from(s, pulley, radius, &c);
    judge(s, &c, trimmable);
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
                       .body_clearance = NAN,
                       .low = on->low - half + lean.low,
                       .high = on->high + half + lean.high};
    count_shift(&c, 0.5 * (on->low + on->high) - half, 0.5 * (on->low + on->high) + half);
    c.plane_gap = snub_obstacle_disc(o, s->path->centre[pulley], outer, c.at);
    point_from(s, pulley, outer, &c);
    if (snub_belt_faces(s->path, pulley, c.at))
        judge(s, &c, NAN);
}

/* From a point of the piece to where the obstacle is nearest. */
static void mark_from(const snub_obstacle *o, const double on_piece[2], snub_conflict *c)
{
    double near[2];
    const double square[2] = {c->way[0], c->way[1]};
    snub_obstacle_disc(o, on_piece, 0.0, near);
    for (int k = 0; k < 2; k++)
        c->way[k] = near[k] - on_piece[k];
    mark(c, on_piece);
    for (int k = 0; k < 2; k++)
        c->way[k] = square[k];
}

/* Of the obstacle's circle from the cord of a span. */
static double off_span(const scan *s, const snub_strip *cord)
{
    const double dx = s->middle[0] - cord->from[0], dy = s->middle[1] - cord->from[1];
    const double along = fmin(fmax(dx * cord->u[0] + dy * cord->u[1], 0.0), cord->length);
    return off_obstacle(s, (double[]){cord->from[0] + along * cord->u[0], cord->from[1] + along * cord->u[1]});
}

static void span(scan *s, const snub_obstacle *o, int from)
{
    const snub_belt *belt = &s->drive->belt;
    const snub_path *path = s->path;
    const double half = 0.5 * belt->ribs * belt->pitch, inside = belt->thickness - belt->back;
    snub_span_strip of = {.strip = {.u = {path->u[from][0], path->u[from][1]}, .length = path->span[from]},
                          .flap = o->tool ? 0.0 : s->flap_fraction * path->span[from]};
    snub_path_leave(path, from, of.strip.from);
    if (passes_by(s, o, NAN, off_span(s, &of.strip) - fmax(inside, belt->back) - of.flap))
        return;
    /* ribs lie on the right of travel where the crank turns clockwise */
    of.strip.right = s->drive->turn > 0.0 ? inside : belt->back;
    of.strip.left = s->drive->turn > 0.0 ? belt->back : inside;
    for (int end = 0; end < 2; end++) {
        const snub_z_range *belt_at = end == 0 ? &s->lie->leave[from] : &s->lie->enter[(from + 1) % path->n];
        of.low[end] = belt_at->low - half;
        of.high[end] = belt_at->high + half;
    }
    snub_pass pass;
    const double within = s->all ? INFINITY : own_gap(s, &(snub_conflict){.obstacle = o, .body_clearance = NAN});
    if (!snub_span_pass(&of, o, within, &pass))
        return;
    snub_conflict c = {.obstacle = o,
                       .piece = SNUB_PIECE_SPAN,
                       .index = from,
                       .body_clearance = NAN,
                       .way = {-path->u[from][1], path->u[from][0]},
                       .plane_gap = pass.plane_gap,
                       .flap = pass.flap,
                       .low = pass.low,
                       .high = pass.high,
                       .shift = 0.5 * (pass.high - pass.low) - half,
                       .at = {pass.at[0], pass.at[1]}};
    mark_from(o, pass.at, &c);
    judge(s, &c, NAN);
}

static void pulley(scan *s, const snub_obstacle *o, int i)
{
    const snub_pulley *p = &s->drive->pulleys[i];
    const snub_pulley_hardware *h = &s->drive->hardware->pulleys[i];
    const double front = 0.5 * p->width, rear = -front;
    if (passes_by(s, o, NAN, off_obstacle(s, s->path->centre[i]) - s->widest[i]))
        return;
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

/* Another obstacle: one of the two moves, or the first is a tool's room. */
static void body(scan *s, const snub_obstacle *o, const snub_obstacle *other, const snub_obstacle *named)
{
    double middle[2];
    const double around = snub_obstacle_within(other, middle);
    if (passes_by(s, o, other->clearance, off_obstacle(s, middle) - around))
        return;
    snub_conflict c = {.obstacle = o,
                       .piece = SNUB_PIECE_BODY,
                       .index = s->drive->arm,
                       .disc = named->name,
                       .low = other->low,
                       .high = other->high,
                       .body_clearance = other->clearance};
    double far[2];
    c.plane_gap = snub_body_gap(other, o, c.at, far);
    mark_from(o, c.at, &c);
    judge(s, &c, NAN);
}

/* Slice `k` of an obstacle, as it stands. */
static snub_obstacle slice_at(const scan *s, const snub_obstacle *file, int k, double (*corner)[2])
{
    return snub_obstacle_at(s->drive, file->slice_count > 0 ? &file->slices[k] : file, s->wind, corner);
}

static int slices_of(const snub_obstacle *file)
{
    return file->slice_count > 0 ? file->slice_count : 1;
}

/* Against all that it may meet: what moves with it never comes nearer, what stands still is told once, of the one that
 * does not move. */
static void bodies(scan *s, const snub_obstacle *o)
{
    const snub_hardware *hardware = s->drive->hardware;
    double corner[SNUB_CORNERS_MOST][2];
    for (int k = 0; k < hardware->obstacle_count; k++) {
        const snub_obstacle *other = &hardware->obstacles[k];
        if (other == s->file || other->tool || (o->on_arm && other->on_arm) || !(o->tool || other->on_arm))
            continue;
        for (int slice = 0; slice < slices_of(other); slice++) {
            const snub_obstacle there = slice_at(s, other, slice, corner);
            body(s, o, &there, other);
        }
    }
}

static bool looked_at(const snub_obstacle *o, snub_occasion occasion)
{
    return !o->tool || occasion == SNUB_BELT_OFF || (occasion == SNUB_SWINGS && o->on_arm);
}

static void look_at(scan *s, const snub_obstacle *file)
{
    double corner[SNUB_CORNERS_MOST][2];
    s->file = file;
    for (int k = 0; k < slices_of(file); k++) {
        const snub_obstacle o = slice_at(s, file, k, corner);
        s->around = snub_obstacle_within(&o, s->middle);
        for (int i = 0; i < s->path->n; i++) {
            if (!file->on_arm || i != s->drive->arm)
                pulley(s, &o, i);
            span(s, &o, i);
        }
        bodies(s, &o);
    }
}

/* The arm's wind on a path. */
static double wind_on(const snub_drive *drive, const snub_path *path)
{
    if (drive->arm < 0)
        return 0.0;
    const snub_arm *arm = &drive->pulleys[drive->arm].arm;
    const double *at = path->centre[drive->arm];
    const double turned = arm->loads * (atan2(at[1] - arm->pivot[1], at[0] - arm->pivot[0]) - arm->free);
    return remainder(turned - SNUB_PI, 2.0 * SNUB_PI) + SNUB_PI; /* from 0 to one turn */
}

/* @param[out] flat  used where nothing is said of where things stand along the crank */
static scan scan_of(const snub_drive *drive, const snub_path *path, const snub_lie *lie, snub_lie *flat, double gap,
                    double flap_fraction, snub_conflict *conflicts, int most)
{
    if (lie == NULL)
        snub_lie_flat(drive, flat);
    scan s = {.drive = drive,
              .path = path,
              .lie = lie != NULL ? lie : flat,
              .gap = gap,
              .flap_fraction = flap_fraction,
              .wind = wind_on(drive, path),
              .conflicts = conflicts,
              .most = most};
    for (int i = 0; i < path->n; i++)
        s.widest[i] = snub_widest(drive, i);
    return s;
}

bool snub_obstacle_again(const snub_drive *drive, const snub_path *path, const snub_lie *lie, snub_occasion occasion,
                         double gap, double flap_fraction, const snub_obstacle *obstacle, int i, bool of_span,
                         snub_conflict *conflict)
{
    snub_lie flat;
    double corner[SNUB_CORNERS_MOST][2];
    scan s = scan_of(drive, path, lie, &flat, gap, flap_fraction, conflict, 1);
    s.all = true;
    s.file = obstacle;
    if (!looked_at(obstacle, occasion) || (!of_span && obstacle->on_arm && i == drive->arm))
        return false;
    for (int k = 0; k < slices_of(obstacle); k++) {
        const snub_obstacle o = slice_at(&s, obstacle, k, corner);
        if (of_span)
            span(&s, &o, i);
        else
            pulley(&s, &o, i);
    }
    return s.count > 0;
}

snub_status snub_obstacle_conflicts(const snub_drive *drive, const snub_path *path, const snub_lie *lie,
                                    snub_occasion occasion, double gap, double flap_fraction, snub_conflict *conflicts,
                                    int most, int *count, int *found)
{
    snub_lie flat;
    scan s = scan_of(drive, path, lie, &flat, gap, flap_fraction, conflicts, most);
    const snub_hardware *hardware = drive->hardware;
    for (int k = 0; hardware != NULL && k < hardware->obstacle_count; k++) {
        if (looked_at(&hardware->obstacles[k], occasion))
            look_at(&s, &hardware->obstacles[k]);
    }
    *count = s.count;
    *found = s.found;
    return s.found > most ? SNUB_TOO_LARGE : SNUB_OK;
}
