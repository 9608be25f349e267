/* A span that flaps. docs/theory/motion.md, flapping spans. */
#include "snub/flap.h"

#include "coupling.h"

double snub_flap_coupling(double of_wave, int n, int k)
{
    /* |sin x/x| or |cos x/(1 - ..)| of the sum s over the difference d; their 0/0 is bridged. */
    const double nu = of_wave, s = n + k, d = n - k, x = 0.5 * s * SNUB_PI * nu;
    if (n == k) {
        const double part = nu > 0.0 ? fabs(sin(x) / x) : 1.0;
        return 0.5 * n * n * SNUB_PI * SNUB_PI * part;
    }
    const double over = fabs(d * d - s * s * nu * nu);
    const double round = (n + k) % 2 == 0 ? fabs(sin(x)) : fabs(cos(x));
    const double front = 4.0 * SNUB_PI * nu * n * n * k * k / s;
    /* d = s nu: the wave round by (d pi/2 - x) of the place where it is 0, over (d - s nu)(d + s nu) */
    return over > 1e-9 ? front * round / over : front * SNUB_PI / (4.0 * fabs(d));
}

/* First order: amplitudes of two modes grow by g where they are tied, and die by d_n, d_k. */
static void sum_zone(const snub_flapper *span, double swing, int n, int k, snub_flap_zone *zone)
{
    const double wave = sqrt(span->tension / span->mass);
    const double w_n = 2.0 * SNUB_PI * span->frequency[n - 1], w_k = 2.0 * SNUB_PI * span->frequency[k - 1];
    const double each = wave / span->length * snub_flap_coupling(span->speed / wave, n, k) /
                        (2.0 * SNUB_PI * sqrt((double)n * k) * span->tension); /* g for each N of swing */
    const double d_n = span->damping * w_n, d_k = span->damping * w_k, dies = sqrt(d_n * d_k);
    const double g = each * swing, over = g * g - dies * dies;
    zone->centre = w_n + w_k;
    if (n == k) /* second order: by the swing's own unevenness, and by damping */
        zone->centre -= w_n * (0.5 * (g / w_n) * (g / w_n) + span->damping * span->damping);
    zone->half = over > 0.0 ? (d_n + d_k) / dies * sqrt(over) : 0.0;
    zone->threshold = each > 0.0 ? dies / each : (double)INFINITY;
}

/* Second order: the swing comes once in a period of the span. */
static void own_zone(const snub_flapper *span, double swing, int n, snub_flap_zone *zone)
{
    const double wave = sqrt(span->tension / span->mass), nu = span->speed / wave;
    const double w = 2.0 * SNUB_PI * span->frequency[n - 1];
    const double each = 2.0 * snub_flap_coupling(nu, n, n) * wave /
                        (n * SNUB_PI * w * span->length * span->tension); /* depth of the square's swing, per N */
    const double depth = each * swing, strength = depth * depth / 8.0;
    const double over = strength * strength - span->damping * span->damping;
    zone->centre = w * (1.0 - depth * depth / 12.0 - 0.5 * span->damping * span->damping);
    zone->half = over > 0.0 ? w * sqrt(over) : 0.0;
    zone->threshold = each > 0.0 ? sqrt(8.0 * span->damping) / each : (double)INFINITY;
}

void snub_flap_zone_of(const snub_flapper *span, double swing, int n, int k, snub_flap_zone *zone)
{
    /* More than it pulls cannot be taken off: there it hangs loose. */
    const double most = span->tension - span->mass * span->speed * span->speed, counted = fmin(swing, most);
    if (k == 0)
        own_zone(span, counted, n, zone);
    else
        sum_zone(span, counted, n, k, zone);
}

double snub_flap_of_tension(const snub_flapper *span, const snub_flap_zone *zone, int n, int k)
{
    if (k != 0 && k != n)
        return NAN;
    const double w = 2.0 * SNUB_PI * span->frequency[n - 1], wave = n * SNUB_PI / span->length;
    const double off = k == n ? 0.5 * zone->half : zone->half; /* of the span's own swing */
    const double cubic = span->stiffness * wave * wave * wave * wave / (4.0 * span->mass);
    return sqrt(16.0 * w * off / (3.0 * cubic));
}

double snub_flap_of_end(const snub_flapper *span, double swing, double frequency)
{
    const double turn = 0.5 * frequency / span->frequency[0];
    if (turn < 0.5 * SNUB_PI)
        return swing;
    return swing / hypot(sin(turn), sinh(span->damping * turn));
}
