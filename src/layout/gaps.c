/* Gaps between pulleys, spans and each other. Belt strips and rims as plane figures, compared where their ranges along
 * the crank's axis overlap. */
#include "snub/layout.h"

#include <string.h>

typedef struct frame {
    const snub_drive *drive;
    const snub_path *path;
    double flap_fraction, within;
    snub_gap *gaps;
    int most, count, found;
} frame;

static bool share_axis(double z1, double w1, double z2, double w2)
{
    return fabs(z1 - z2) < 0.5 * (w1 + w2);
}

static double belt_width(const snub_drive *drive)
{
    return drive->belt.ribs * drive->belt.pitch;
}

/* Span i lies at the mean of its two pulleys' planes. */
static double span_plane(const frame *f, int i)
{
    const snub_pulley *pulleys = f->drive->pulleys;
    return 0.5 * (pulleys[i].plane + pulleys[(i + 1) % f->path->n].plane);
}

/* Insert by rising gap - flap; where the room is full the widest goes. */
static void keep(frame *f, const snub_gap *gap)
{
    if (!(gap->gap - gap->flap < f->within))
        return;
    f->found++;
    int at = f->count;
    while (at > 0 && f->gaps[at - 1].gap - f->gaps[at - 1].flap > gap->gap - gap->flap)
        at--;
    if (at >= f->most)
        return;
    if (f->count < f->most)
        f->count++;
    memmove(&f->gaps[at + 1], &f->gaps[at], sizeof *gap * (size_t)(f->count - 1 - at));
    f->gaps[at] = *gap;
}

/* Radius of what stands towards a point: the rim, or the belt's outside where the belt lies on that side. */
static double facing_radius(const frame *f, int pulley, const double point[2])
{
    const snub_path *path = f->path;
    const snub_pulley *p = &f->drive->pulleys[pulley];
    double enter[2];
    snub_path_enter(path, pulley, enter);
    const double ex = enter[0] - path->centre[pulley][0], ey = enter[1] - path->centre[pulley][1];
    const double dx = point[0] - path->centre[pulley][0], dy = point[1] - path->centre[pulley][1];
    double turn = atan2(ex * dy - ey * dx, ex * dx + ey * dy);
    if (path->radius[pulley] > 0.0)
        turn = -turn;
    if (turn < 0.0)
        turn += 2.0 * SNUB_PI;
    if (turn > path->wrap[pulley])
        return p->rim;
    const snub_belt *belt = &f->drive->belt;
    return fmax(p->rim, p->pitch_radius + (p->side == SNUB_RIB ? belt->back : belt->thickness - belt->back));
}

static void pulley_pulley(frame *f, int a, int b)
{
    const snub_pulley *p = &f->drive->pulleys[a], *q = &f->drive->pulleys[b];
    if (!share_axis(p->plane, p->width, q->plane, q->width))
        return;
    const double dx = f->path->centre[b][0] - f->path->centre[a][0];
    const double dy = f->path->centre[b][1] - f->path->centre[a][1];
    const double distance = hypot(dx, dy);
    const double reach_a = facing_radius(f, a, f->path->centre[b]), reach_b = facing_radius(f, b, f->path->centre[a]);
    snub_gap gap = {.kind = SNUB_GAP_PULLEYS, .a = a, .b = b, .gap = distance - reach_a - reach_b};
    const double part = distance > 0.0 ? (reach_a + 0.5 * gap.gap) / distance : 0.0;
    gap.at[0] = f->path->centre[a][0] + part * dx;
    gap.at[1] = f->path->centre[a][1] + part * dy;
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

static void pulley_span(frame *f, int a, int span)
{
    const snub_path *path = f->path;
    const snub_pulley *pulley = &f->drive->pulleys[a];
    if (!share_axis(pulley->plane, pulley->width, span_plane(f, span), belt_width(f->drive)))
        return;
    double start[2];
    snub_path_leave(path, span, start);
    const double dx = path->centre[a][0] - start[0], dy = path->centre[a][1] - start[1];
    const double along = fmin(fmax(dx * path->u[span][0] + dy * path->u[span][1], 0.0), path->span[span]);
    snub_gap gap = {.kind = SNUB_GAP_PULLEY_SPAN, .a = a, .b = span};
    for (int k = 0; k < 2; k++)
        gap.at[k] = start[k] + along * path->u[span][k];
    const double distance = hypot(path->centre[a][0] - gap.at[0], path->centre[a][1] - gap.at[1]);
    gap.gap = distance - facing_radius(f, a, gap.at) - reach_towards(f, span, path->centre[a]);
    gap.flap = flap_at(f, along, path->span[span]);
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

/* An end of one span against the other span: the nearest points of two segments that do not cross are such. */
static void end_to_span(const frame *f, int a, bool far_end, int b, snub_gap *best)
{
    const snub_path *path = f->path;
    double start[2], end[2];
    snub_path_leave(path, b, start);
    snub_path_leave(path, a, end);
    const double along_a = far_end ? path->span[a] : 0.0;
    for (int k = 0; k < 2; k++)
        end[k] += along_a * path->u[a][k];
    const double dx = end[0] - start[0], dy = end[1] - start[1];
    const double along = fmin(fmax(dx * path->u[b][0] + dy * path->u[b][1], 0.0), path->span[b]);
    const double near[2] = {start[0] + along * path->u[b][0], start[1] + along * path->u[b][1]};
    const double gap = hypot(end[0] - near[0], end[1] - near[1]) - reach_towards(f, b, end) - reach_towards(f, a, near);
    const double flap = flap_at(f, along, path->span[b]);
    if (gap - flap < best->gap - best->flap) {
        best->gap = gap;
        best->flap = flap;
        best->at[0] = near[0];
        best->at[1] = near[1];
    }
}

static void span_span(frame *f, int a, int b)
{
    const double width = belt_width(f->drive);
    if (!share_axis(span_plane(f, a), width, span_plane(f, b), width))
        return;
    snub_gap gap = {.kind = SNUB_GAP_SPANS, .a = a, .b = b, .gap = INFINITY};
    double along_a, along_b;
    if (crossing(f, a, b, &along_a, &along_b)) {
        const snub_path *path = f->path;
        const double end_a = fmin(along_a, path->span[a] - along_a), end_b = fmin(along_b, path->span[b] - along_b);
        gap.crossing = true;
        gap.gap = -fmin(end_a, end_b);
        snub_path_leave(path, a, gap.at);
        for (int k = 0; k < 2; k++)
            gap.at[k] += along_a * path->u[a][k];
    } else {
        for (int end = 0; end < 2; end++) {
            end_to_span(f, a, end == 1, b, &gap);
            end_to_span(f, b, end == 1, a, &gap);
        }
    }
    keep(f, &gap);
}

snub_status snub_gaps(const snub_drive *drive, const snub_path *path, double flap_fraction, double within,
                      snub_gap *gaps, int most, int *count)
{
    frame f = {drive, path, flap_fraction, within, gaps, most, 0, 0};
    const int n = path->n;
    for (int a = 0; a < n; a++) {
        for (int b = a + 1; b < n; b++)
            pulley_pulley(&f, a, b);
        for (int span = 0; span < n; span++) {
            if (span != a && (span + 1) % n != a)
                pulley_span(&f, a, span);
        }
        for (int b = a + 1; b < n; b++) {
            const bool neighbours = (a + 1) % n == b || (b + 1) % n == a;
            if (!neighbours)
                span_span(&f, a, b);
        }
    }
    *count = f.count;
    return f.found > most ? SNUB_TOO_LARGE : SNUB_OK;
}
