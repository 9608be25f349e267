/* How unevenly the crank turns: torque of gas and of reciprocating masses, by orders. */
#include "torque.h"

/* Steps of a stroke; Simpson's rule is good to 1e-9 of the mean with them. Stroke by stroke, because the cycle has its
 * corners at the dead centres. */
enum { STEPS = 720 };

typedef struct place {
    double x, first, second; /* of the piston from the crank's centre, by angle: m, m/rad, m/rad2 */
} place;

static place piston(const snub_cylinder *c, double angle)
{
    const double r = c->crank_radius, s = sin(angle), o = cos(angle);
    const double up = sqrt(c->rod * c->rod - r * r * s * s);
    return (place){.x = r * o + up,
                   .first = -r * s - r * r * s * o / up,
                   .second = -r * o - r * r * (o * o - s * s) / up - r * r * r * r * s * s * o * o / (up * up * up)};
}

/* Top of compression over volume at an angle, to the power of n. */
static double pressed(const snub_cylinder *c, double angle, double n)
{
    const double swept = 2.0 * c->crank_radius, clearance = swept / (c->compression - 1.0);
    return pow(clearance / (clearance + c->crank_radius + c->rod - piston(c, angle).x), n);
}

static double pressure(const snub_cylinder *c, double angle)
{
    const double cycle = c->strokes * SNUB_PI, at = angle - cycle * floor(angle / cycle);
    const double top = c->intake * pow(c->compression, c->n_compression);
    if (at < SNUB_PI)
        return (top + c->rise) * pressed(c, at, c->n_expansion);
    if (at >= cycle - SNUB_PI)
        return top * pressed(c, at, c->n_compression);
    return at < 2.0 * SNUB_PI ? c->exhaust : c->intake;
}

double snub_gas_torque(const snub_cylinder *cylinder, double angle)
{
    const double area = 0.25 * SNUB_PI * cylinder->bore * cylinder->bore;
    return -(pressure(cylinder, angle) - cylinder->outside) * area * piston(cylinder, angle).first;
}

double snub_mass_torque(const snub_cylinder *cylinder, double angle, double speed)
{
    const place p = piston(cylinder, angle);
    return -cylinder->reciprocating * p.first * p.second * speed * speed;
}

typedef struct pair {
    double cosine, sine;
} pair;

double snub_mean_torque(const snub_cylinder *c)
{
    const double bore = 0.25 * SNUB_PI * c->bore * c->bore, swept = 2.0 * c->crank_radius * bore;
    const double clearance = swept / (c->compression - 1.0), top = c->intake * pow(c->compression, c->n_compression);
    /* Work of a polytropic change between clearance volume and bottom dead centre, by the pressure on top. */
    const double out = clearance * (1.0 - pow(c->compression, 1.0 - c->n_expansion)) / (c->n_expansion - 1.0);
    const double in = clearance * (1.0 - pow(c->compression, 1.0 - c->n_compression)) / (c->n_compression - 1.0);
    const double pumped = c->strokes == 4 ? (c->intake - c->exhaust) * swept : 0.0;
    return ((top + c->rise) * out - top * in + pumped) / (c->strokes * SNUB_PI);
}

/* Cosine and sine of half orders at each step of two turns: order k/2 at step m is entry k m, round and round. */
enum { ROUND = 4 * STEPS };
typedef struct wave {
    pair at[ROUND];
} wave;

static void make_wave(wave *w)
{
    for (int j = 0; j < ROUND; j++) {
        const double angle = j * 2.0 * SNUB_PI / ROUND;
        w->at[j] = (pair){cos(angle), sin(angle)};
    }
}

/* Fourier coefficients of what acts in one stroke alone, by Simpson's rule from dead centre to dead centre. */
static pair harmonic(const double *y, int strokes, int stroke, int k, const wave *w)
{
    pair sum = {0.0, 0.0};
    int at = k * stroke * STEPS % ROUND;
    for (int i = 0; i <= STEPS; i++) {
        const double weight = i == 0 || i == STEPS ? 1.0 : i % 2 == 1 ? 4.0 : 2.0;
        sum.cosine += weight * y[i] * w->at[at].cosine;
        sum.sine += weight * y[i] * w->at[at].sine;
        at = (at + k) % ROUND;
    }
    const double scale = 2.0 / (3.0 * strokes * STEPS);
    return (pair){scale * sum.cosine, scale * sum.sine};
}

/* What acts in a stroke per Pa, and per kg and (rad/s)2, at each of its steps. */
static void sample(const snub_cylinder *c, int stroke, snub_harmonic_part part, double *y)
{
    const double area = 0.25 * SNUB_PI * c->bore * c->bore;
    for (int i = 0; i <= STEPS; i++) {
        const double angle = (stroke * STEPS + i) * SNUB_PI / STEPS;
        const place p = piston(c, angle);
        y[i] = part == SNUB_HARMONIC_MASS ? -p.first * p.second : -area * p.first;
        if (part == SNUB_HARMONIC_EXPANSION)
            y[i] *= pressed(c, angle, c->n_expansion);
        if (part == SNUB_HARMONIC_COMPRESSION)
            y[i] *= pressed(c, angle, c->n_compression);
    }
}

/* All cylinders of one order: what one has is turned by the angle at which it fires. */
static pair fired(const double *firing, int cylinders, double order)
{
    pair sum = {0.0, 0.0};
    for (int j = 0; j < cylinders; j++) {
        sum.cosine += cos(order * firing[j]);
        sum.sine += sin(order * firing[j]);
    }
    return sum;
}

static void add_part(const snub_cylinder *c, int stroke, snub_harmonic_part part, const wave *w, const pair *all,
                     snub_harmonics *h)
{
    double y[STEPS + 1];
    sample(c, stroke, part, y);
    for (int k = 1; k <= SNUB_ORDERS; k++) {
        const pair turned = all[k - 1];
        if (turned.cosine == 0.0 && turned.sine == 0.0)
            continue;
        const pair one = harmonic(y, c->strokes, stroke, k, w);
        h->part[part][k - 1][0] += one.cosine * turned.cosine - one.sine * turned.sine;
        h->part[part][k - 1][1] += one.sine * turned.cosine + one.cosine * turned.sine;
    }
}

/* Cylinders that fire evenly cancel but for rounding: their sum has cylinders x eps. */
static const double CANCELS = 1e-12;

void snub_harmonics_of(const snub_cylinder *sizes, const double *firing, int cylinders, snub_harmonics *harmonics)
{
    wave w;
    pair all[SNUB_ORDERS];
    const int last = sizes->strokes - 1;
    make_wave(&w);
    *harmonics = (snub_harmonics){.strokes = sizes->strokes};
    for (int k = 1; k <= SNUB_ORDERS; k++) {
        /* A two-stroke repeats every turn: it has no half orders. */
        const bool none = sizes->strokes == 2 && k % 2 == 1;
        all[k - 1] = none ? (pair){0.0, 0.0} : fired(firing, cylinders, 0.5 * k);
        if (hypot(all[k - 1].cosine, all[k - 1].sine) < CANCELS * cylinders)
            all[k - 1] = (pair){0.0, 0.0};
    }
    add_part(sizes, 0, SNUB_HARMONIC_EXPANSION, &w, all, harmonics);
    add_part(sizes, last, SNUB_HARMONIC_COMPRESSION, &w, all, harmonics);
    for (int stroke = 0; stroke < sizes->strokes; stroke++) {
        add_part(sizes, stroke, (snub_harmonic_part)(SNUB_HARMONIC_STROKE + stroke), &w, all, harmonics);
        add_part(sizes, stroke, SNUB_HARMONIC_MASS, &w, all, harmonics);
    }
}

/* Pressure, or mass times speed squared, that each part is multiplied by. */
static void weigh(const snub_harmonics *h, const snub_cylinder *c, double speed, double *weight)
{
    const double top = c->intake * pow(c->compression, c->n_compression);
    weight[SNUB_HARMONIC_EXPANSION] = top + c->rise;
    weight[SNUB_HARMONIC_COMPRESSION] = top;
    weight[SNUB_HARMONIC_MASS] = c->reciprocating * speed * speed;
    for (int stroke = 0; stroke < h->strokes; stroke++)
        weight[SNUB_HARMONIC_STROKE + stroke] = -c->outside;
    if (h->strokes == 4) {
        weight[SNUB_HARMONIC_STROKE + 1] += c->exhaust;
        weight[SNUB_HARMONIC_STROKE + 2] += c->intake;
    }
}

void snub_orders_at(const snub_harmonics *harmonics, const snub_cylinder *cylinder, double speed, double inertia,
                    snub_order *orders)
{
    double weight[SNUB_HARMONIC_PARTS] = {0.0};
    weigh(harmonics, cylinder, speed, weight);
    for (int k = 0; k < SNUB_ORDERS; k++) {
        pair all = {0.0, 0.0};
        for (int part = 0; part < SNUB_HARMONIC_PARTS; part++) {
            all.cosine += weight[part] * harmonics->part[part][k][0];
            all.sine += weight[part] * harmonics->part[part][k][1];
        }
        const double order = 0.5 * (k + 1), torque = hypot(all.cosine, all.sine), turned = order * speed;
        orders[k] = (snub_order){.order = order, .torque = torque, .angle = torque / (inertia * turned * turned)};
        orders[k].speed = orders[k].angle * order;
        orders[k].phase = atan2(-all.sine, -all.cosine); /* the angle swings against the torque */
    }
}
