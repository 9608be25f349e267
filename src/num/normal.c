/** The normal distribution: shares by erfc, quantiles by M. J. Wichura, Algorithm AS 241 (PPND16), Applied Statistics
 * 37 (1988) 477: rational functions, good to 1e-16 of the value. */
#include "normal.h"

#include <math.h>

static double ratio(const double over[8], const double under[7], double x)
{
    double a = over[7], b = under[6];
    for (int i = 6; i >= 0; i--)
        a = a * x + over[i];
    for (int i = 5; i >= 0; i--)
        b = b * x + under[i];
    return a / (b * x + 1.0);
}

/* q = chance - 1/2, |q| <= 0.425. */
static double middle(double q)
{
    static const double over[] = {3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3,
                                  1.3731693765509461125e4, 4.5921953931549871457e4, 6.7265770927008700853e4,
                                  3.3430575583588128105e4, 2.5090809287301226727e3},
                        under[] = {4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
                                   2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4,
                                   5.2264952788528545610e3};
    return q * ratio(over, under, 0.180625 - q * q);
}

/* r = sqrt(-log(tail)), under 5 and from 5 on. */
static double near_tail(double r)
{
    static const double over[] = {1.42343711074968357734e0,  4.63033784615654529590e0, 5.76949722146069140550e0,
                                  3.64784832476320460504e0,  1.27045825245236838258e0, 2.41780725177450611770e-1,
                                  2.27238449892691845833e-2, 7.74545014278341407640e-4},
                        under[] = {2.05319162663775882187e0,  1.67638483018380384940e0,  6.89767334985100004550e-1,
                                   1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4,
                                   1.05075007164441684324e-9};
    return ratio(over, under, r - 1.6);
}

static double far_tail(double r)
{
    static const double over[] = {6.65790464350110377720e0,  5.46378491116411436990e0,  1.78482653991729133580e0,
                                  2.96560571828504891230e-1, 2.65321895265761230930e-2, 1.24266094738807843860e-3,
                                  2.71155556874348757815e-5, 2.01033439929228813265e-7},
                        under[] = {5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
                                   7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7,
                                   2.04426310338993978564e-15};
    return ratio(over, under, r - 5.0);
}

double snub_normal_below(double z)
{
    return 0.5 * erfc(-z * sqrt(0.5));
}

double snub_normal_quantile(double chance)
{
    const double q = chance - 0.5;
    if (fabs(q) <= 0.425)
        return middle(q);
    const double r = sqrt(-log(q < 0.0 ? chance : 1.0 - chance)), z = r <= 5.0 ? near_tail(r) : far_tail(r);
    return q < 0.0 ? -z : z;
}
