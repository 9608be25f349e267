/* A tube clamped by a bolt, whose face presses and cannot pull: how it lifts off. docs/theory/mount.md, standoff. */
#include "snub/mount.h"

/* Half the angle that the pressed part takes of the outer circle, rad, where no more than a line of the edge is left.
 */
#define EDGE 0.05
#define ANGLE_TOLERANCE 1e-13

/* ---- the pressed part of a ring ---------------------------------------------------------------------------------- */

/* Area, first and second moment about the middle of what lies past a line, m2, m3, m4. */
typedef struct part_of_ring {
    double area, first, second;
} part_of_ring;

/* Of a circle, past x. */
static part_of_ring segment(double radius, double x)
{
    if (x >= radius)
        return (part_of_ring){0.0, 0.0, 0.0};
    const double angle = x <= -radius ? SNUB_PI : acos(x / radius);
    const double s = sin(angle), c = cos(angle), r2 = radius * radius;
    return (part_of_ring){r2 * (angle - s * c), 2.0 / 3.0 * r2 * radius * s * s * s,
                          r2 * r2 / 4.0 * (angle - s * c + 2.0 * s * s * s * c)};
}

static part_of_ring pressed(double outside, double inside, double x)
{
    const part_of_ring big = segment(0.5 * outside, x), hole = segment(0.5 * inside, x);
    return (part_of_ring){big.area - hole.area, big.first - hole.first, big.second - hole.second};
}

/* A state of the tube with its line of no pressure at `line`: pressure rises from there as the strain does. */
typedef struct lifted {
    double curvature, moment;       /* 1/m; N m, of tube and bolt */
    double curvature_by, moment_by; /* their change with `line` */
    double area;                    /* pressed, m2 */
} lifted;

static lifted lifted_at(const snub_clamped_tube *t, double line)
{
    const part_of_ring p = pressed(t->outside, t->inside, line);
    /* F = E k (S - x A), M = E k (I - x S); d(S - x A)/dx = -A, d(I - x S)/dx = -S */
    const double force = p.first - line * p.area, moment = p.second - line * p.first;
    const double rigidity = t->modulus * snub_annulus_inertia(t->outside, t->inside);
    const double share = 1.0 - t->bolt_rigidity / rigidity; /* the bolt bends by what the tube bends more than shut */
    lifted l = {.curvature = t->preload / (t->modulus * force), .area = p.area};
    l.curvature_by = l.curvature * p.area / force;
    l.moment = share * t->preload * moment / force + t->bolt_rigidity * l.curvature;
    l.moment_by =
        share * t->preload * (moment * p.area - p.first * force) / (force * force) + t->bolt_rigidity * l.curvature_by;
    return l;
}

/* The line goes from the far edge to the near one as this angle goes from pi to 0. */
static double line_of(const snub_clamped_tube *t, double angle)
{
    return 0.5 * t->outside * cos(angle);
}

typedef struct wanted {
    const snub_clamped_tube *tube;
    double moment;
} wanted;

static bool lack(double angle, double *y, void *context)
{
    const wanted *w = context;
    *y = lifted_at(w->tube, line_of(w->tube, angle)).moment - w->moment;
    return true;
}

/* Angle of the line under a moment past the opening one. */
static double angle_under(const snub_clamped_tube *t, double moment)
{
    wanted w = {t, moment};
    double angle = EDGE;
    /* over the most that an edge can hold the bolt has all but all of it */
    snub_root(lack, &w, EDGE, SNUB_PI, ANGLE_TOLERANCE, &angle, NULL);
    return angle;
}

snub_pressed_face snub_press_face(const snub_clamped_tube *tube, double moment)
{
    const double area = snub_annulus_area(tube->outside, tube->inside);
    const double inertia = snub_annulus_inertia(tube->outside, tube->inside), edge = 0.5 * tube->outside;
    if (moment <= snub_no_gap_moment(tube->preload, tube->outside, tube->inside)) {
        const double bend = moment * edge / inertia, even = tube->preload / area;
        return (snub_pressed_face){.line = bend > 0.0 ? -edge * even / bend : -INFINITY,
                                   .most = even + bend,
                                   .curvature = moment / (tube->modulus * inertia),
                                   .touching = 1.0};
    }
    const double line = line_of(tube, angle_under(tube, moment));
    const lifted l = lifted_at(tube, line);
    return (snub_pressed_face){.line = line,
                               .most = tube->modulus * l.curvature * (edge - line),
                               .curvature = l.curvature,
                               .touching = l.area / area};
}

/* ---- a whole tube ------------------------------------------------------------------------------------------------ */

/* Gauss and Legendre, five points on -1..1. */
enum { GAUSS = 5 };
static const double node[GAUSS] = {-0.9061798459386640, -0.5384693101056831, 0.0, 0.5384693101056831,
                                   0.9061798459386640};
static const double weight[GAUSS] = {0.2369268850561891, 0.4786286704993665, 0.5688888888888889, 0.4786286704993665,
                                     0.2369268850561891};

/* What the curvature adds up to over the moment, from one angle to the next: k dM and k M dM. */
static void add_up(const snub_clamped_tube *t, double from, double to, double sum[2])
{
    for (int k = 0; k < GAUSS; k++) {
        const double angle = 0.5 * (from + to) + 0.5 * (to - from) * node[k];
        const lifted l = lifted_at(t, line_of(t, angle));
        /* dM = dM/dx dx, dx = -R sin(angle) d(angle) */
        const double step = -0.5 * (to - from) * weight[k] * 0.5 * t->outside * sin(angle) * l.moment_by * l.curvature;
        sum[0] += step;
        sum[1] += step * l.moment;
    }
}

void snub_tube_bending(const snub_clamped_tube *tube, double most, snub_tube_law *law)
{
    const double shut = snub_no_gap_moment(tube->preload, tube->outside, tube->inside);
    *law = (snub_tube_law){.rigidity = tube->modulus * snub_annulus_inertia(tube->outside, tube->inside), .shut = shut};
    if (!(most > shut))
        return;
    double sum[2] = {shut * shut / (2.0 * law->rigidity), shut * shut * shut / (3.0 * law->rigidity)};
    double last = SNUB_PI;
    const double end = angle_under(tube, most);
    for (int k = 0; k < SNUB_TUBE_POINTS; k++) {
        const double angle = SNUB_PI + (end - SNUB_PI) * k / (SNUB_TUBE_POINTS - 1.0);
        const lifted l = lifted_at(tube, line_of(tube, angle));
        if (k > 0)
            add_up(tube, last, angle, sum);
        law->moment[k] = k > 0 ? l.moment : shut;
        law->curvature[k] = k > 0 ? l.curvature : shut / law->rigidity;
        law->softness[k] = k > 0 ? l.curvature_by / l.moment_by : 1.0 / law->rigidity;
        law->turn[k] = sum[0];
        law->work[k] = sum[1];
        last = angle;
    }
    law->points = SNUB_TUBE_POINTS;
}

/* Value, slope and what the slope changes by, at an end of a piece. */
typedef struct end {
    double value, slope, bend;
} end;

/* Polynomial of the fifth order between two ends, `run` apart. */
static double quintic(double part, double run, const end *a, const end *b)
{
    const double p3 = part * part * part, p4 = p3 * part, p5 = p4 * part;
    const double rise = b->value - a->value - run * a->slope - 0.5 * run * run * a->bend;
    const double turn = run * (b->slope - a->slope) - run * run * a->bend, more = run * run * (b->bend - a->bend);
    return a->value + part * run * a->slope + 0.5 * part * part * run * run * a->bend +
           p3 * (10.0 * rise - 4.0 * turn + 0.5 * more) - p4 * (15.0 * rise - 7.0 * turn + more) +
           p5 * (6.0 * rise - 3.0 * turn + 0.5 * more);
}

/* Of both integrals at a point: d(turn)/dM = k, d(work)/dM = k M. */
static end turn_at(const snub_tube_law *law, int k)
{
    return (end){law->turn[k], law->curvature[k], law->softness[k]};
}

static end work_at(const snub_tube_law *law, int k)
{
    return (end){law->work[k], law->curvature[k] * law->moment[k],
                 law->curvature[k] + law->moment[k] * law->softness[k]};
}

/* Integrals of k dM and k M dM from no moment on. */
static void integrals(const snub_tube_law *law, double moment, double *turn, double *work)
{
    if (moment <= law->shut || law->points == 0) {
        *turn = moment * moment / (2.0 * law->rigidity);
        *work = moment * moment * moment / (3.0 * law->rigidity);
        return;
    }
    int low = 0, high = law->points - 1;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        *(moment < law->moment[middle] ? &high : &low) = middle;
    }
    const double run = law->moment[high] - law->moment[low], part = (moment - law->moment[low]) / run;
    const end t0 = turn_at(law, low), t1 = turn_at(law, high), w0 = work_at(law, low), w1 = work_at(law, high);
    *turn = quintic(part, run, &t0, &t1);
    *work = quintic(part, run, &w0, &w1);
}

snub_bend snub_tube_bend(const snub_tube_law *law, double force, double arm, double length)
{
    double turn[2], work[2];
    if (!(force > 0.0))
        return (snub_bend){0.0, 0.0};
    integrals(law, force * arm, &turn[0], &work[0]);
    integrals(law, force * fmax(arm - length, 0.0), &turn[1], &work[1]);
    return (snub_bend){.deflection = (work[0] - work[1]) / (force * force), .slope = (turn[0] - turn[1]) / force};
}
