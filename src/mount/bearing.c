/* Bearing loads and lives. docs/theory/bearings.md; sources beside the tables. */
#include "bearing.h"

/* Linear between points, held at the ends. */
static double between(const double *x, const double *y, int n, double at)
{
    int k = 0;
    while (k < n - 2 && at > x[k + 1])
        k++;
    const double part = fmin(fmax((at - x[k]) / (x[k + 1] - x[k]), 0.0), 1.0);
    return y[k] + part * (y[k + 1] - y[k]);
}

snub_xy snub_bearing_xy(double relative, bool c3)
{
    enum { ROWS = 9 };
    static const double at[ROWS] = {0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89};
    /* NSK CAT. No. E1102e */
    static const double e[ROWS] = {0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44};
    static const double y[ROWS] = {2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00};
    /* SKF General Catalogue, Table 5, p. 299 */
    static const double e3[ROWS] = {0.29, 0.32, 0.36, 0.38, 0.40, 0.44, 0.49, 0.54, 0.54};
    static const double y3[ROWS] = {1.88, 1.71, 1.52, 1.41, 1.34, 1.23, 1.10, 1.01, 1.00};
    return (snub_xy){between(at, c3 ? e3 : e, ROWS, relative), c3 ? 0.46 : 0.56,
                     between(at, c3 ? y3 : y, ROWS, relative)};
}

double snub_bearing_equivalent(snub_bearing_load load, double f0, double static_load, bool c3)
{
    const double radial = fabs(load.radial), axial = fabs(load.axial);
    const snub_xy f = snub_bearing_xy(f0 * axial / static_load, c3);
    return axial <= f.e * radial ? radial : f.x * radial + f.y * axial;
}

double snub_double_row_equivalent(snub_bearing_load load, const snub_double_row *row)
{
    const double radial = fabs(load.radial), axial = fabs(load.axial);
    return axial <= row->e * radial ? radial + row->y_low * axial : row->x_high * radial + row->y_high * axial;
}

double snub_bearing_static(snub_bearing_load load)
{
    const double radial = fabs(load.radial);
    return fmax(radial, 0.6 * radial + 0.5 * fabs(load.axial));
}

double snub_bearing_life(double dynamic, double load, double speed)
{
    const double million_turns = load > 0.0 ? pow(dynamic / load, 3.0) : INFINITY;
    return million_turns * 1e6 * 2.0 * SNUB_PI / speed;
}

double snub_reliability_factor(double percent)
{
    return 4.26 * pow(log(100.0 / percent), 2.0 / 3.0) + 0.05;
}

double snub_duty_mean(const snub_duty_load *duty, int n, double exponent, double *mean_speed)
{
    double turns = 0.0, damage = 0.0, time = 0.0;
    for (int i = 0; i < n; i++) {
        const double part = fabs(duty[i].speed) * duty[i].share;
        turns += part;
        time += duty[i].share;
        damage += part * pow(fabs(duty[i].load), exponent);
    }
    if (mean_speed != NULL)
        *mean_speed = time > 0.0 ? turns / time : 0.0;
    return turns > 0.0 ? pow(damage / turns, 1.0 / exponent) : 0.0;
}

double snub_grease_life(double speed, double greatest_speed, double temperature, bool wide)
{
    const double celsius = temperature - SNUB_ZERO_CELSIUS, share = speed / greatest_speed;
    const double slack = 1e-9;
    if (celsius > (wide ? 130.0 : 110.0) + slack || share > 1.0 + slack)
        return NAN;
    const double x = fmax(share, 0.25), t = fmax(celsius, 70.0);
    const double lg = wide ? 6.12 - 1.4 * x - (0.018 - 0.006 * x) * t : 6.54 - 2.6 * x - (0.025 - 0.012 * x) * t;
    return pow(10.0, lg) * SNUB_HOUR;
}

double snub_grease_load_factor(double load_ratio)
{
    /* SKF, p. 246 Table 4: 1 at 0.05, 0.7 at 0.1, 0.5 at 0.125, 0.2 at 0.25. The life that it stands on is NSK's, which
     * holds to 0.1: over that alone it counts, from 1. */
    enum { ROWS = 3 };
    static const double at[ROWS] = {0.1, 0.125, 0.25}, factor[ROWS] = {1, 0.5 / 0.7, 0.2 / 0.7};
    return load_ratio > at[ROWS - 1] ? NAN : between(at, factor, ROWS, load_ratio);
}

void snub_bearing_tilt_limit(int rows, double *least, double *most, const char **source)
{
    *least = 2.0 * SNUB_ARCMIN;
    *most = rows > 1 ? 2.0 * SNUB_ARCMIN : 10.0 * SNUB_ARCMIN;
    /* SKF General Catalogue, p. 296 for a single row */
    *source = rows > 1 ? "bearing maker's catalogue (double-row deep groove, 2 minutes of arc)"
                       : "bearing maker's catalogue (single-row deep groove, 2 to 10 minutes of arc)";
}

void snub_bearing_pair(double force, double offset, double spacing, double load[2])
{
    load[0] = force * (0.5 + offset / spacing);
    load[1] = force * (0.5 - offset / spacing);
}

double snub_bearing_moment_thrust(double moment, double pitch_diameter)
{
    return 4.0 * fabs(moment) / pitch_diameter;
}

double snub_bearing_n_dm(double speed, double bore, double outside)
{
    return fabs(speed) / SNUB_RPM * 0.5 * (bore + outside) * 1000.0;
}
