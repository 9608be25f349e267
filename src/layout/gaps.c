/* Gaps between pulleys, spans and each other. Belt strips and rims as plane figures, compared where their ranges along
 * the crank's axis overlap. */
#include "lie.h"
#include "reach.h"
#include "snub/num.h"

/* Of a place along a span, in shares of its length: past it the gap changes by less than 1e-9 mm. */
#define PLACE_TOLERANCE 1e-8
/* Rim, belt, two flanges and discs. */
enum { PIECES_MOST = 4 + SNUB_DISCS_MOST };

typedef struct frame {
    const snub_drive *drive;
    const snub_path *path;
    const snub_lie *lie;
    double flap_fraction, within;
    snub_gap *gaps;
    int most, count, found;
    double widest[SNUB_PULLEYS_MOST]; /* radius of all that turns with a pulley */
} frame;

/* A disc of a pulley, or a belt: its radius and where it stands along the crank's axis. */
typedef struct piece {
    double radius, low, high;
} piece;

static bool share_axis(const piece *a, const piece *b)
{
    return a->low < b->high && b->low < a->high;
}

static double belt_width(const snub_drive *drive)
{
    return drive->belt.ribs * drive->belt.pitch;
}

/* The belt of span i at a place along it: straight from where it leaves one pulley to where it enters the next. */
static piece span_piece(const frame *f, int i, double along)
{
    const snub_z_range *from = &f->lie->leave[i], *to = &f->lie->enter[(i + 1) % f->path->n];
    const double half = 0.5 * belt_width(f->drive), share = along / f->path->span[i];
    return (piece){0.0, from->low + share * (to->low - from->low) - half,
                   from->high + share * (to->high - from->high) + half};
}

/* Insert by rising gap - flap; where the room is full the widest goes. */
static void keep(frame *f, const snub_gap *gap)
{
    if (!(snub_gap_clear(gap) < f->within))
        return;
    f->found++;
    int at = f->count;
    while (at > 0 && snub_gap_clear(&f->gaps[at - 1]) > snub_gap_clear(gap))
        at--;
    if (at >= f->most)
        return;
    if (f->count < f->most)
        f->count++;
    for (int k = f->count - 1; k > at; k--)
        f->gaps[k] = f->gaps[k - 1];
    f->gaps[at] = *gap;
}

/* True where a pair that is at least so far apart would not be listed: most pairs, and the cheap distance tells. */
static bool passes_by(frame *f, double least)
{
    const bool full = f->count == f->most;
    if (least < f->within && !(full && least > snub_gap_clear(&f->gaps[f->most - 1])))
        return false;
    f->found += least < f->within;
    return true;
}

/* True where circles around a pair already show it to be so far apart; of the reach of both, m. */
static bool far_apart(const frame *f, const double a[2], const double b[2], double reach)
{
    const double x = b[0] - a[0], y = b[1] - a[1], near = (1.0 + 1e-9) * (f->within + reach);
    return near > 0.0 && x * x + y * y > near * near;
}

static void point_along(const frame *f, int span, double along, double at[2])
{
    snub_path_leave(f->path, span, at);
    for (int k = 0; k < 2; k++)
        at[k] += along * f->path->u[span][k];
}

/* Middle of a span. */
static void middle_of(const frame *f, int span, double at[2])
{
    point_along(f, span, 0.5 * f->path->span[span], at);
}

/* Of a span's belt from its middle. */
static double span_reach(const frame *f, int span)
{
    const snub_belt *belt = &f->drive->belt;
    return (0.5 + f->flap_fraction) * f->path->span[span] + fmax(belt->back, belt->thickness - belt->back);
}

static void find_widest(frame *f)
{
    for (int i = 0; i < f->path->n; i++)
        f->widest[i] = snub_widest(f->drive, i);
}

/* A part of a pulley, low to high from its plane, as it may stand towards a point. */
static piece stands(const frame *f, int pulley, const double point[2], const snub_z_range *plane, piece part)
{
    part.low += plane->low;
    part.high += plane->high;
    if (f->lie->tilts == NULL || f->lie->tilts[pulley].count == 0)
        return part;
    const snub_z_range lean = snub_lean_towards(&f->lie->tilts[pulley], f->path->centre[pulley], point, part.radius);
    return (piece){part.radius, part.low + lean.low, part.high + lean.high};
}

/* All that turns with a pulley and may stand towards a point. @return how many */
static int pieces_of(const frame *f, int pulley, const double point[2], piece piece_of[PIECES_MOST])
{
    const snub_pulley *p = &f->drive->pulleys[pulley];
    const snub_belt *belt = &f->drive->belt;
    const double half = 0.5 * p->width, belt_half = 0.5 * belt_width(f->drive);
    const double outside = p->pitch_radius + (p->side == SNUB_RIB ? belt->back : belt->thickness - belt->back);
    int n = 0;
    if (snub_belt_faces(f->path, pulley, point)) {
        const piece on = {outside, -belt_half, belt_half};
        piece_of[n++] = stands(f, pulley, point, &f->lie->on[pulley], on);
    }
    const int belts = n;
    piece_of[n++] = (piece){p->rim_radius, -half, half};
    if (f->drive->hardware != NULL) {
        const snub_pulley_hardware *h = &f->drive->hardware->pulleys[pulley];
        if (h->flange_front > 0.0)
            piece_of[n++] = (piece){p->rim_radius + h->flange_front, half, half + h->flange_width};
        if (h->flange_rear > 0.0)
            piece_of[n++] = (piece){p->rim_radius + h->flange_rear, -half - h->flange_width, -half};
        for (int k = 0; k < h->disc_count; k++)
            piece_of[n++] = (piece){h->discs[k].radius, h->discs[k].low, h->discs[k].high};
    }
    for (int k = belts; k < n; k++)
        piece_of[k] = stands(f, pulley, point, &f->lie->plane[pulley], piece_of[k]);
    return n;
}

static void pulley_pulley(frame *f, int a, int b)
{
    piece of_a[PIECES_MOST], of_b[PIECES_MOST];
    const double *at_a = f->path->centre[a], *at_b = f->path->centre[b];
    if (passes_by(f, hypot(at_b[0] - at_a[0], at_b[1] - at_a[1]) - f->widest[a] - f->widest[b]))
        return;
    const int count_a = pieces_of(f, a, at_b, of_a), count_b = pieces_of(f, b, at_a, of_b);
    const double dx = at_b[0] - at_a[0], dy = at_b[1] - at_a[1], distance = hypot(dx, dy);
    snub_gap gap = {.kind = SNUB_GAP_PULLEYS, .a = a, .b = b, .gap = INFINITY};
    double reach = 0.0;
    for (int i = 0; i < count_a; i++) {
        for (int k = 0; k < count_b; k++) {
            const double apart = distance - of_a[i].radius - of_b[k].radius;
            if (!share_axis(&of_a[i], &of_b[k]) || !(apart < gap.gap))
                continue;
            gap.gap = apart;
            reach = of_a[i].radius;
        }
    }
    if (isinf(gap.gap))
        return;
    const double part = distance > 0.0 ? (reach + 0.5 * gap.gap) / distance : 0.0;
    gap.at[0] = at_a[0] + part * dx;
    gap.at[1] = at_a[1] + part * dy;
    keep(f, &gap);
}

/* Half-amplitude of flap at x along a span of length l. */
static double flap_at(const frame *f, double x, double l)
{
    return f->flap_fraction * l * sin(SNUB_PI * fmin(fmax(x / l, 0.0), 1.0));
}

/* The pulley's rim against a span that neither enters nor leaves it. The belt reaches `back` to one side of the pitch
 * line and `thickness - back` to the other: ribs lie towards pulleys that turn with the crank, on the right of travel
 * for a crank that turns clockwise. */
static double reach_towards(const frame *f, int span, const double point[2])
{
    const snub_path *path = f->path;
    double start[2];
    snub_path_leave(path, span, start);
    const double left = -path->u[span][1] * (point[0] - start[0]) + path->u[span][0] * (point[1] - start[1]);
    const bool rib_side = left * f->drive->turn < 0.0;
    return rib_side ? f->drive->belt.thickness - f->drive->belt.back : f->drive->belt.back;
}

/* Place along a span at which its flapping belt comes nearest to a point: distance less flap is convex along the span,
 * so that its slope has one root. Newton's steps, held between the places that are known to lie on either side. */
static double nearest_along(const frame *f, int span, const double point[2])
{
    const snub_path *path = f->path;
    const double length = path->span[span], wave = SNUB_PI / length, rise = f->flap_fraction * length * wave;
    double start[2], low = 0.0, high = length;
    snub_path_leave(path, span, start);
    const double dx = point[0] - start[0], dy = point[1] - start[1];
    const double foot = dx * path->u[span][0] + dy * path->u[span][1];
    const double off = fabs(dx * path->u[span][1] - dy * path->u[span][0]);
    double x = fmin(fmax(foot, 0.0), length);
    for (int k = 0; k < 60 && high - low > PLACE_TOLERANCE * length; k++) {
        const double distance = hypot(x - foot, off);
        if (distance == 0.0)
            break;
        const double slope = (x - foot) / distance - rise * cos(wave * x);
        const double bend = off * off / (distance * distance * distance) + rise * wave * sin(wave * x);
        *(slope > 0.0 ? &high : &low) = x;
        const double next = bend > 0.0 ? x - slope / bend : low;
        const double to = next > low && next < high ? next : 0.5 * (low + high);
        if (fabs(to - x) < 0.1 * PLACE_TOLERANCE * length)
            break;
        x = to;
    }
    return x;
}

/* Of a point from a span that does not flap. */
static double off_span(const frame *f, int span, const double point[2])
{
    const double *u = f->path->u[span];
    double start[2];
    snub_path_leave(f->path, span, start);
    const double dx = point[0] - start[0], dy = point[1] - start[1];
    const double along = fmin(fmax(dx * u[0] + dy * u[1], 0.0), f->path->span[span]);
    return hypot(dx - along * u[0], dy - along * u[1]);
}

static void pulley_span(frame *f, int a, int span)
{
    const double *centre = f->path->centre[a];
    const snub_belt *of = &f->drive->belt;
    double middle[2];
    middle_of(f, span, middle);
    if (far_apart(f, centre, middle, f->widest[a] + span_reach(f, span)))
        return;
    if (passes_by(f, off_span(f, span, centre) - f->widest[a] - fmax(of->back, of->thickness - of->back) -
                         f->flap_fraction * f->path->span[span]))
        return;
    const double along = nearest_along(f, span, centre);
    const piece belt = span_piece(f, span, along);
    piece of_a[PIECES_MOST];
    snub_gap gap = {.kind = SNUB_GAP_PULLEY_SPAN, .a = a, .b = span};
    double radius = -INFINITY;
    point_along(f, span, along, gap.at);
    const int count = pieces_of(f, a, gap.at, of_a);
    for (int i = 0; i < count; i++) {
        if (share_axis(&of_a[i], &belt))
            radius = fmax(radius, of_a[i].radius);
    }
    if (isinf(radius))
        return;
    gap.gap = hypot(centre[0] - gap.at[0], centre[1] - gap.at[1]) - radius - reach_towards(f, span, centre);
    gap.flap = flap_at(f, along, f->path->span[span]);
    keep(f, &gap);
}

/* Where two spans cross: parameters along each, or false. */
static bool crossing(const frame *f, int a, int b, double *along_a, double *along_b)
{
    const double *ua = f->path->u[a], *ub = f->path->u[b];
    double pa[2], pb[2];
    snub_path_leave(f->path, a, pa);
    snub_path_leave(f->path, b, pb);
    const double det = ua[0] * ub[1] - ua[1] * ub[0];
    if (det == 0.0)
        return false;
    const double dx = pb[0] - pa[0], dy = pb[1] - pa[1];
    *along_a = (dx * ub[1] - dy * ub[0]) / det;
    *along_b = (dx * ua[1] - dy * ua[0]) / det;
    return *along_a >= 0.0 && *along_a <= f->path->span[a] && *along_b >= 0.0 && *along_b <= f->path->span[b];
}

static void tell_crossing(frame *f, int a, int b, double along_a, double along_b)
{
    const snub_path *path = f->path;
    const double end_a = fmin(along_a, path->span[a] - along_a), end_b = fmin(along_b, path->span[b] - along_b);
    snub_gap gap = {.kind = SNUB_GAP_SPANS, .a = a, .b = b, .crossing = true, .gap = -fmin(end_a, end_b)};
    point_along(f, a, along_a, gap.at);
    keep(f, &gap);
}

static bool share_there(const frame *f, int a, int b, double along_a, double along_b)
{
    const piece belt_a = span_piece(f, a, along_a), belt_b = span_piece(f, b, along_b);
    return share_axis(&belt_a, &belt_b);
}

typedef struct two_spans {
    const frame *f;
    int a, b;
} two_spans;

/* Minus the least distance less both flaps of a place along a. */
static bool nearness(double along, double *value, void *context)
{
    const two_spans *two = context;
    const frame *f = two->f;
    double at_a[2], at_b[2];
    point_along(f, two->a, along, at_a);
    const double along_b = nearest_along(f, two->b, at_a);
    point_along(f, two->b, along_b, at_b);
    *value = flap_at(f, along, f->path->span[two->a]) + flap_at(f, along_b, f->path->span[two->b]) -
             hypot(at_a[0] - at_b[0], at_a[1] - at_b[1]);
    return true;
}

/* Least distance of two spans that do not cross, without flap: at an end of one of them. */
static double bare_distance(const frame *f, int a, int b)
{
    double best = INFINITY;
    for (int k = 0; k < 4; k++) {
        const int of = k < 2 ? a : b, to = k < 2 ? b : a;
        double end[2], start[2], near[2];
        point_along(f, of, k % 2 ? f->path->span[of] : 0.0, end);
        snub_path_leave(f->path, to, start);
        const double foot = (end[0] - start[0]) * f->path->u[to][0] + (end[1] - start[1]) * f->path->u[to][1];
        point_along(f, to, fmin(fmax(foot, 0.0), f->path->span[to]), near);
        best = fmin(best, hypot(end[0] - near[0], end[1] - near[1]));
    }
    return best;
}

/* Spans that run side by side come nearest in their middles, where both flap most, not at their ends. Distance less
 * flap is convex in both places. Spans too far apart to be listed are not looked at that closely. */
static void span_span(frame *f, int a, int b)
{
    const snub_path *path = f->path;
    double along_a, along_b, near_a[2], middle_a[2], middle_b[2];
    middle_of(f, a, middle_a);
    middle_of(f, b, middle_b);
    if (far_apart(f, middle_a, middle_b, span_reach(f, a) + span_reach(f, b)))
        return;
    if (crossing(f, a, b, &along_a, &along_b)) {
        if (share_there(f, a, b, along_a, along_b))
            tell_crossing(f, a, b, along_a, along_b);
        return;
    }
    const double thick = 2.0 * fmax(f->drive->belt.back, f->drive->belt.thickness - f->drive->belt.back);
    const double least = bare_distance(f, a, b) - thick - f->flap_fraction * (path->span[a] + path->span[b]);
    if (passes_by(f, least))
        return;
    two_spans two = {f, a, b};
    snub_gap gap = {.kind = SNUB_GAP_SPANS, .a = a, .b = b};
    double value;
    along_a = snub_maximise(nearness, &two, 0.0, path->span[a], 4, PLACE_TOLERANCE * path->span[a], &value);
    point_along(f, a, along_a, near_a);
    along_b = nearest_along(f, b, near_a);
    if (!share_there(f, a, b, along_a, along_b))
        return;
    point_along(f, b, along_b, gap.at);
    gap.flap = flap_at(f, along_a, path->span[a]) + flap_at(f, along_b, path->span[b]);
    gap.gap = gap.flap - value - reach_towards(f, b, near_a) - reach_towards(f, a, gap.at);
    keep(f, &gap);
}

/* Two spans of one pulley cross where it is wrapped by more than half a turn and they are long enough. */
static void neighbours_cross(frame *f, int a, int b, int shared)
{
    double along_a, along_b;
    if (f->path->wrap[shared] > SNUB_PI && crossing(f, a, b, &along_a, &along_b) &&
        share_there(f, a, b, along_a, along_b))
        tell_crossing(f, a, b, along_a, along_b);
}

/* Two spans: of one pulley only where they cross. */
static void two_of(frame *f, int a, int b)
{
    const int n = f->path->n;
    if ((a + 1) % n == b)
        neighbours_cross(f, a, b, b);
    else if ((b + 1) % n == a)
        neighbours_cross(f, a, b, a);
    else
        span_span(f, a, b);
}

/* @param[out] flat  filled and used where nothing is said of where things stand along the crank */
static frame frame_of(const snub_drive *drive, const snub_path *path, const snub_lie *lie, snub_lie *flat,
                      double flap_fraction)
{
    if (lie == NULL)
        snub_lie_flat(drive, flat);
    frame f = {.drive = drive, .path = path, .lie = lie != NULL ? lie : flat, .flap_fraction = flap_fraction};
    find_widest(&f);
    return f;
}

bool snub_gap_again(const snub_drive *drive, const snub_path *path, const snub_lie *lie, double flap_fraction,
                    snub_gap *gap)
{
    snub_gap found;
    snub_lie flat;
    frame f = frame_of(drive, path, lie, &flat, flap_fraction);
    f.within = INFINITY;
    f.gaps = &found;
    f.most = 1;
    switch (gap->kind) {
    case SNUB_GAP_PULLEYS: pulley_pulley(&f, gap->a, gap->b); break;
    case SNUB_GAP_PULLEY_SPAN: pulley_span(&f, gap->a, gap->b); break;
    case SNUB_GAP_SPANS: two_of(&f, gap->a, gap->b); break;
    }
    if (f.count > 0)
        *gap = found;
    return f.count > 0;
}

snub_status snub_gaps(const snub_drive *drive, const snub_path *path, const snub_lie *lie, double flap_fraction,
                      double within, snub_gap *gaps, int most, int *count)
{
    snub_lie flat;
    frame f = frame_of(drive, path, lie, &flat, flap_fraction);
    f.within = within;
    f.gaps = gaps;
    f.most = most;
    const int n = path->n;
    for (int a = 0; a < n; a++) {
        for (int b = a + 1; b < n; b++)
            pulley_pulley(&f, a, b);
        for (int span = 0; span < n; span++) {
            if (span != a && (span + 1) % n != a)
                pulley_span(&f, a, span);
        }
        for (int b = a + 1; b < n; b++)
            two_of(&f, a, b);
    }
    *count = f.count;
    return f.found > most ? SNUB_TOO_LARGE : SNUB_OK;
}
