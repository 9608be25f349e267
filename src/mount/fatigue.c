/* Fatigue: Marin's endurance limit and Goodman's line. Shigley's Mechanical Engineering Design, 9th ed., ch. 6. */
#include "fatigue.h"

#define MEGA 1e6
/* 6061-T6, 97 of 310 MPa at 5e8 turns (tables of alloys, memory). */
#define ALUMINIUM_ENDURANCE 0.31
/* Moduli under this are those of light alloys, Pa. */
#define LIGHT_ALLOY 100e9
#define PARTS_THAT_HOLD 0.99

double snub_marin_surface(double tensile, double a, double b)
{
    return fmin(a * pow(tensile / MEGA, b), 1.0);
}

void snub_marin_finish(snub_finish finish, double *a, double *b)
{
    static const double table[][2] = {{1.58, -0.085}, {4.51, -0.265}, {57.7, -0.718}, {272.0, -0.995}};
    *a = table[finish][0];
    *b = table[finish][1];
}

double snub_marin_size(double diameter)
{
    const double d = diameter * 1000.0;
    if (d < 2.79)
        return 1.0;
    return d <= 51.0 ? 1.24 * pow(d, -0.107) : 1.51 * pow(d, -0.157);
}

/* Standard normal deviate that a share `p` lies below: rational start (Abramowitz and Stegun 26.2.23), then Newton on
 * erfc, so that the table's four values come out to their digits. */
static double normal_deviate(double p)
{
    const double tail = fmin(p, 1.0 - p), t = sqrt(-2.0 * log(tail));
    double z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
    for (int i = 0; i < 3; i++)
        z += (0.5 * erfc(z / sqrt(2.0)) - tail) * sqrt(2.0 * SNUB_PI) * exp(0.5 * z * z);
    return p >= 0.5 ? z : -z;
}

double snub_marin_reliability(double reliability)
{
    return 1.0 - 0.08 * normal_deviate(reliability);
}

/* Se' of steel. */
static double endurance_base(double tensile)
{
    return fmin(0.5 * tensile, 700.0 * MEGA);
}

double snub_endurance(double tensile, const snub_marin *marin)
{
    return marin->surface * marin->size * marin->load * marin->temperature * marin->reliability * marin->other *
           endurance_base(tensile);
}

double snub_goodman(double alternating, double mean, double endurance, double tensile)
{
    return 1.0 / (fabs(alternating) / endurance + fmax(mean, 0.0) / tensile);
}

double snub_metal_endurance(const snub_material *metal, snub_finish finish, double diameter)
{
    const double reliability = snub_marin_reliability(PARTS_THAT_HOLD);
    double a, b;
    if (metal->modulus < LIGHT_ALLOY)
        return ALUMINIUM_ENDURANCE * metal->tensile * reliability;
    snub_marin_finish(finish, &a, &b);
    const snub_marin marin = {.surface = snub_marin_surface(metal->tensile, a, b),
                              .size = snub_marin_size(diameter),
                              .load = 1.0,
                              .temperature = 1.0,
                              .reliability = reliability,
                              .other = 1.0};
    return snub_endurance(metal->tensile, &marin);
}
