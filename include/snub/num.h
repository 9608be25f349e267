/** snub/num.h - numbers without belts: curves, surfaces, roots and maxima of one unknown, the standard atmosphere. */
#ifndef SNUB_NUM_H
#define SNUB_NUM_H

#include "snub/base.h"

/** The standard atmosphere (US Standard Atmosphere, 1976) at a geometric altitude [m], -5000..20000.
 *  @param[out] temperature [K], pressure [Pa]; each may be NULL; untouched on error
 *  @return SNUB_OK; SNUB_BAD_INPUT */
snub_status snub_standard_atmosphere(double altitude, double *temperature, double *pressure, snub_error *error);

/** Density of dry air [kg/m3] as a perfect gas, at an absolute pressure [Pa] and a temperature [K]. */
double snub_dry_air_density(double pressure, double temperature);

/** Curve through points, straight between them, held at its ends. x strictly rising.
 *  n = 0 is a curve that is zero everywhere. */
typedef struct snub_curve {
    int n;
    double *x, *y;
} snub_curve;

/** Value at x. */
double snub_curve_at(const snub_curve *table, double x);

/** Table of two unknowns, bilinear between its points and held at its edges. x and y strictly rising;
 *  z[i * ny + j] belongs to x[i], y[j]. nx = 0: none. */
typedef struct snub_surface {
    int nx, ny;
    double *x, *y, *z;
} snub_surface;

/** Value at (x, y); 0 where the surface has no points. */
double snub_surface_at(const snub_surface *surface, double x, double y);

/** A function of one unknown; returns false where it has no value. */
typedef bool (*snub_function)(double x, double *y, void *context);

/** A root of f between a and b, whose values must differ in sign: Brent's method (bisection, secant, inverse
 *  quadratic). Never returns an answer from the iteration cap.
 *  @param[in] tolerance  on x, > 0
 *  @param[out] root  untouched on error
 *  @return SNUB_OK; SNUB_BAD_INPUT (no change of sign, or f has no value there); SNUB_NO_CONVERGENCE */
snub_status snub_root(snub_function f, void *context, double a, double b, double tolerance, double *root,
                      snub_error *error);

/** Greatest f on [a, b]: grid of `grid` intervals, then golden section around the best cell.
 *  @return the place; *best its value. f without a value counts as minus infinity. NAN if it has none anywhere. */
double snub_maximise(snub_function f, void *context, double a, double b, int grid, double tolerance, double *best);

#endif
