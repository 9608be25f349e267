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

/* Torque of one cylinder over its cycle. The ends of each stroke are sampled from inside of it, on either side. */
typedef struct sampled {
    int strokes;
    double torque[4][STEPS + 1];
} sampled;

static void sample(const snub_cylinder *c, double speed, sampled *over)
{
    const double step = SNUB_PI / STEPS, hair = 1e-9 * step;
    over->strokes = c->strokes;
    for (int stroke = 0; stroke < c->strokes; stroke++) {
        for (int i = 0; i <= STEPS; i++) {
            const double angle = stroke * SNUB_PI + i * step + (i == 0 ? hair : i == STEPS ? -hair : 0.0);
            over->torque[stroke][i] = snub_gas_torque(c, angle) + snub_mass_torque(c, angle, speed);
        }
    }
}

/* Fourier coefficients of an order, by Simpson's rule from dead centre to dead centre. */
static pair harmonic(const sampled *over, double order)
{
    pair sum = {0.0, 0.0};
    const double step = SNUB_PI / STEPS;
    for (int stroke = 0; stroke < over->strokes; stroke++) {
        for (int i = 0; i <= STEPS; i++) {
            const double weight = (i == 0 || i == STEPS ? 1.0 : i % 2 == 1 ? 4.0 : 2.0) * step / 3.0;
            const double angle = stroke * SNUB_PI + i * step;
            sum.cosine += weight * over->torque[stroke][i] * cos(order * angle);
            sum.sine += weight * over->torque[stroke][i] * sin(order * angle);
        }
    }
    const double scale = 2.0 / (over->strokes * SNUB_PI);
    return (pair){scale * sum.cosine, scale * sum.sine};
}

void snub_orders_of(const snub_cylinder *cylinder, const double *firing, int cylinders, double speed, double inertia,
                    snub_order *orders)
{
    sampled over;
    sample(cylinder, speed, &over);
    for (int k = 1; k <= SNUB_ORDERS; k++) {
        const double order = 0.5 * k;
        pair all = {0.0, 0.0};
        /* A two-stroke repeats every turn: it has no half orders. */
        const pair one = cylinder->strokes == 2 && k % 2 == 1 ? all : harmonic(&over, order);
        for (int j = 0; j < cylinders; j++) {
            const double c = cos(order * firing[j]), s = sin(order * firing[j]);
            all.cosine += one.cosine * c - one.sine * s;
            all.sine += one.sine * c + one.cosine * s;
        }
        const double torque = hypot(all.cosine, all.sine), turned = order * speed;
        orders[k - 1] = (snub_order){.order = order, .torque = torque, .angle = torque / (inertia * turned * turned)};
        orders[k - 1].speed = orders[k - 1].angle * order;
    }
}
