/* A clamped tube that stands over a slot: its face is a ring without the strip that the slot takes out of its seat.
 * docs/theory/mount.md, standoff. */
#include "snub/mount.h"

/* Of what is left of the face on both sides of the slot's middle line: u along it, v across. */
typedef struct seat {
    double outside, inside, half; /* radii; half of the slot's width, m */
    double area, along, across;   /* integral of 1, u2, v2: m2, m4 */
} seat;

/* ---- while all of it presses ------------------------------------------------------------------------------------- */

/* Adds what is left of a full circle, times `sign`. */
static void add_circle(seat *s, double radius, double sign)
{
    const double h = fmin(s->half, radius), r2 = radius * radius, x = sqrt(r2 - h * h), angle = asin(h / radius);
    s->area += sign * (SNUB_PI * r2 - 2.0 * (h * x + r2 * angle));
    s->along += sign * (SNUB_PI / 4.0 * r2 * r2 -
                        4.0 / 3.0 * (h * (5.0 * r2 - 2.0 * h * h) * x / 8.0 + 3.0 / 8.0 * r2 * r2 * angle));
    s->across += sign * (SNUB_PI / 4.0 * r2 * r2 - 0.5 * (r2 * r2 * angle - h * x * (r2 - 2.0 * h * h)));
}

static seat seat_of(const snub_clamped_tube *tube, double slot)
{
    seat s = {0.5 * tube->outside, 0.5 * tube->inside, 0.5 * slot, 0.0, 0.0, 0.0};
    add_circle(&s, s.outside, 1.0);
    if (s.inside > 0.0)
        add_circle(&s, s.inside, -1.0);
    return s;
}

/* Greatest b u + c v on the seat: at its rim, or at a corner of the slot. */
static double greatest(const seat *s, double b, double c)
{
    const double size = hypot(b, c);
    if (!(size > 0.0))
        return 0.0;
    if (s->outside * fabs(c) >= s->half * size)
        return s->outside * size;
    return fabs(b) * sqrt(s->outside * s->outside - s->half * s->half) + fabs(c) * s->half;
}

double snub_slotted_use(const snub_clamped_tube *tube, double slot, double along, double across)
{
    const seat s = seat_of(tube, slot);
    if (!(s.area > 0.0))
        return INFINITY;
    return greatest(&s, along / s.along, across / s.across) * s.area / tube->preload;
}

/* ---- past that --------------------------------------------------------------------------------------------------- */

enum { LINES = 80, STEPS = 12, TRIES = 60 };

/* Integrals over the part of the seat on which the plane a + b u + c v presses. */
typedef struct pressing {
    double area, s_u, s_v, i_u, i_uv, i_v;
} pressing;

/* Adds a piece of a line along the slot, from u0 to u1 at v, of weight dv. */
static void add_piece(pressing *p, const double plane[3], double u0, double u1, double v, double dv)
{
    const double at = plane[0] + plane[2] * v, b = plane[1];
    if (at + b * u0 < 0.0 && at + b * u1 < 0.0)
        return;
    if (at + b * u0 < 0.0)
        u0 = -at / b;
    else if (at + b * u1 < 0.0)
        u1 = -at / b;
    const double one = (u1 - u0) * dv, two = 0.5 * (u1 * u1 - u0 * u0) * dv;
    p->area += one;
    p->s_u += two;
    p->s_v += one * v;
    p->i_u += (u1 * u1 * u1 - u0 * u0 * u0) / 3.0 * dv;
    p->i_uv += two * v;
    p->i_v += one * v * v;
}

/* The lines lie closest at both ends of a part, where the length of the seat has a steep end. */
static void add_part(const seat *s, const double plane[3], double from, double to, pressing *p)
{
    for (int k = 0; k < LINES; k++) {
        const double turn = (k + 0.5) * SNUB_PI / LINES;
        const double v = from + (to - from) * 0.5 * (1.0 - cos(turn));
        const double dv = (to - from) * 0.5 * sin(turn) * SNUB_PI / LINES;
        const double most = sqrt(s->outside * s->outside - v * v);
        const double least = v < s->inside ? sqrt(s->inside * s->inside - v * v) : 0.0;
        for (int side = -1; side <= 1; side += 2) {
            add_piece(p, plane, least, most, side * v, dv);
            add_piece(p, plane, -most, -least, side * v, dv);
        }
    }
}

static pressing pressing_of(const seat *s, const double plane[3])
{
    pressing p = {0};
    if (s->inside > s->half)
        add_part(s, plane, s->half, s->inside, &p);
    add_part(s, plane, fmax(s->half, s->inside), s->outside, &p);
    return p;
}

/* What is left over of preload and moments, and how that changes with the plane. Past the first lift the bolt bends by
 * what the tube does more than it would shut, and takes that part of the moment. */
typedef struct balance {
    double left[3], by[3][3];
    double area;
} balance;

static balance balance_of(const seat *s, const snub_clamped_tube *tube, const double load[3], const double plane[3])
{
    const pressing p = pressing_of(s, plane);
    const double all[3][3] = {{p.area, p.s_u, p.s_v}, {p.s_u, p.i_u, p.i_uv}, {p.s_v, p.i_uv, p.i_v}};
    const double bolt = tube->bolt_rigidity / tube->modulus;
    const double share[3] = {1.0, fmax(1.0 - bolt / s->along, 0.0), fmax(1.0 - bolt / s->across, 0.0)};
    balance b = {.area = p.area};
    for (int i = 0; i < 3; i++) {
        b.left[i] = -load[i];
        for (int j = 0; j < 3; j++) {
            b.by[i][j] = share[i] * all[i][j] + (i == j && i > 0 ? bolt : 0.0);
            b.left[i] += b.by[i][j] * plane[j];
        }
    }
    return b;
}

/* A step of Newton, by the rule of Cramer. @return false: no single answer */
static bool step_of(const balance *b, double step[3])
{
    const double(*m)[3] = b->by;
    const double c0 = m[1][1] * m[2][2] - m[1][2] * m[2][1], c1 = m[1][2] * m[2][0] - m[1][0] * m[2][2],
                 c2 = m[1][0] * m[2][1] - m[1][1] * m[2][0];
    const double all = m[0][0] * c0 + m[0][1] * c1 + m[0][2] * c2;
    if (!(fabs(all) > 0.0))
        return false;
    const double *r = b->left;
    step[0] =
        -(r[0] * c0 + m[0][1] * (m[1][2] * r[2] - r[1] * m[2][2]) + m[0][2] * (r[1] * m[2][1] - m[1][1] * r[2])) / all;
    step[1] =
        -(m[0][0] * (r[1] * m[2][2] - m[1][2] * r[2]) + r[0] * c1 + m[0][2] * (m[1][0] * r[2] - r[1] * m[2][0])) / all;
    step[2] =
        -(m[0][0] * (m[1][1] * r[2] - r[1] * m[2][1]) + m[0][1] * (r[1] * m[2][0] - m[1][0] * r[2]) + r[0] * c2) / all;
    return true;
}

static double size_of(const balance *b, const double scale[3])
{
    return hypot(hypot(b->left[0] / scale[0], b->left[1] / scale[1]), b->left[2] / scale[2]);
}

/* The plane that balances the load, from one that is near. @return false: none was found */
static bool find_plane(const seat *s, const snub_clamped_tube *tube, const double load[3], double plane[3])
{
    const double scale[3] = {load[0], load[0] * s->outside, load[0] * s->outside};
    balance now = balance_of(s, tube, load, plane);
    for (int k = 0; k < TRIES; k++) {
        double step[3], part = 1.0;
        if (size_of(&now, scale) < 1e-12)
            return true;
        if (!step_of(&now, step))
            return false;
        for (;; part *= 0.5) {
            const double next[3] = {plane[0] + part * step[0], plane[1] + part * step[1], plane[2] + part * step[2]};
            const balance then = balance_of(s, tube, load, next);
            if (then.area > 0.0 && size_of(&then, scale) < size_of(&now, scale)) {
                for (int i = 0; i < 3; i++)
                    plane[i] = next[i];
                now = then;
                break;
            }
            if (part < 1e-6)
                return size_of(&now, scale) < 1e-8;
        }
    }
    return size_of(&now, scale) < 1e-8;
}

snub_pressed_face snub_press_slotted(const snub_clamped_tube *tube, double slot, double along, double across)
{
    const seat s = seat_of(tube, slot);
    if (!(s.area > 0.0))
        return (snub_pressed_face){.most = INFINITY, .line = NAN, .curvature = NAN};
    const double use = snub_slotted_use(tube, slot, along, across);
    double plane[3] = {tube->preload / s.area, along / s.along, across / s.across};
    double touching = 1.0;
    for (int k = 1; use > 1.0 && k <= STEPS; k++) {
        const double part = pow(use, (double)k / STEPS - 1.0), load[3] = {tube->preload, part * along, part * across};
        if (k == 1) { /* from where it is just shut */
            plane[1] /= use;
            plane[2] /= use;
        }
        if (!find_plane(&s, tube, load, plane))
            return (snub_pressed_face){.most = INFINITY, .line = NAN, .curvature = NAN};
    }
    if (use > 1.0)
        touching = fmin(pressing_of(&s, plane).area / s.area, 1.0);
    return (snub_pressed_face){.line = NAN,
                               .most = plane[0] + greatest(&s, plane[1], plane[2]),
                               .curvature = hypot(plane[1], plane[2]) / tube->modulus,
                               .touching = touching};
}
