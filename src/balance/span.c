/* Natural frequencies of a span that runs along itself: a string, or with bending stiffness a tensioned beam on hinges.
 * docs/theory/motion.md, spans. */
#include "snub/balance.h"

/* Of a frequency. A hundredth of the last digit that any output shows. */
static const double FINE = 1e-10;
/* Steps in the least distance of two frequencies. */
enum { STEPS = 16 };

/* Wave numbers over the length of what swings at w: p +- a that run, -p +- i g that stay at the ends. */
typedef struct waves {
    double p, a, g, sum, difference; /* sum: a^2 + g^2; difference: g^2 - a^2 */
} waves;

/* x^4 + t x^2 - 2 b x - s = 0 into (x - p)^2 = a^2 and (x + p)^2 = -g^2: z = p^2 is the one root of
 * z ((4 z + t)^2 + 4 s) = b^2, whose left side rises and bends upwards, so that Newton comes down from above. */
static waves waves_of(double t, double b, double s)
{
    double z = b * b / (t * t + 4.0 * s);
    for (int k = 0; k < 60; k++) {
        const double side = 4.0 * z + t, square = side * side + 4.0 * s;
        const double step = (z * square - b * b) / (square + 8.0 * z * side);
        if (!(step > 1e-16 * z))
            break;
        z -= step;
    }
    const double r = sqrt((4.0 * z + t) * (4.0 * z + t) + 4.0 * s);
    return (waves){.p = sqrt(z),
                   .a = sqrt(2.0 * (s + 3.0 * z * z + z * t) / (r + t + 2.0 * z)),
                   .g = sqrt(0.5 * (r + t + 2.0 * z)),
                   .sum = r,
                   .difference = t + 2.0 * z};
}

/* What is 0 at a natural frequency of the beam on hinges; its sign turns over at each. */
static double misfit(const snub_free_span *span, double w)
{
    const double l = span->length, of = l * l / span->bending, m = span->mass, v = span->speed;
    const waves x = waves_of((span->tension - m * v * v) * of, m * v * w * of * l, m * w * w * of * l * l);
    const double run = 0.5 * sin(x.a) * (x.sum * x.sum + 4.0 * x.p * x.p * x.difference);
    const double ends = 4.0 * x.p * x.p * x.a * x.g * (cos(x.a) / tanh(x.g) - cos(2.0 * x.p) / sinh(x.g));
    return (run + ends) / (x.sum * x.sum);
}

/* Least distance of two frequencies of a beam: that of the string, which bending stiffness spreads; where the string
 * has nearly none left, at its wave's speed, what bending alone makes of it: at e = EI/(T L^2) small, k1 k2/G^2 of the
 * first two sines, else the first of a beam without tension. */
static double least_distance(const snub_free_span *span, double string)
{
    const double l = span->length, turn = sqrt(span->tension / span->mass) / l;
    const double e = span->bending / (span->tension * l * l), square = SNUB_PI * SNUB_PI;
    return fmax(string, turn * square * fmin(sqrt(e), 0.75 * square * e));
}

/* From below the first root on, root after root. */
static double beam(const snub_free_span *span, double string, int nth)
{
    const double step = least_distance(span, string) / STEPS;
    double low = string, high = low, root = 0.0;
    for (int n = 1; n <= nth; n++) {
        const double sign = n % 2 ? 1.0 : -1.0;
        low = fmax(n * string, root * (1.0 + FINE));
        for (high = low; sign * misfit(span, high) > 0.0; high += step)
            low = high;
        while (high - low > FINE * high) {
            const double middle = 0.5 * (low + high);
            *(sign * misfit(span, middle) > 0.0 ? &low : &high) = middle;
        }
        root = 0.5 * (low + high);
    }
    return root;
}

double snub_span_frequency(const snub_free_span *span, int nth)
{
    if (!(span->tension > 0.0))
        return 0.0;
    const double square = span->tension / span->mass, speed = span->speed;
    if (speed * speed >= square)
        return 0.0;
    const double string = (square - speed * speed) / (2.0 * sqrt(square) * span->length);
    return span->bending > 0.0 ? beam(span, 2.0 * SNUB_PI * string, nth) / (2.0 * SNUB_PI) : nth * string;
}
