/* What oil film and dirt do to a bearing's life: ISO 281:2007. docs/theory/bearings.md, life. */
#include "snub/mount.h"

/* mm2/s of 1 m2/s. */
#define PER_M2 1e6
/* Added to the viscosity, mm2/s (ASTM D341, as it stands over 2 mm2/s; from memory). */
#define WALTHER 0.7
/* Radial ball bearings: bounds of the viscosity ratio, and the greatest factor. */
#define RATIO_MOST 4.0
#define FACTOR_LEAST 0.1
#define FACTOR_MOST 50.0
/* Pitch diameter from which bearings count as large, mm. */
#define LARGE 100.0

double snub_oil_viscosity(double at_40, double at_100, double temperature)
{
    const double cool = log10(log10(at_40 * PER_M2 + WALTHER)), hot = log10(log10(at_100 * PER_M2 + WALTHER));
    const double from = log10(SNUB_ZERO_CELSIUS + 40.0), to = log10(SNUB_ZERO_CELSIUS + 100.0);
    const double at = cool + (hot - cool) * (log10(temperature) - from) / (to - from);
    return (pow(10.0, pow(10.0, at)) - WALTHER) / PER_M2;
}

double snub_reference_viscosity(double speed, double pitch_diameter)
{
    const double rpm = fabs(speed) / SNUB_RPM, mm = pitch_diameter / SNUB_MM;
    const double of_speed = rpm < 1000.0 ? 45000.0 * pow(rpm, -0.83) : 4500.0 / sqrt(rpm);
    return of_speed / sqrt(mm) / PER_M2;
}

double snub_fatigue_load(double static_load, double pitch_diameter)
{
    const double mm = pitch_diameter / SNUB_MM;
    return static_load / 22.0 * (mm > LARGE ? sqrt(LARGE / mm) : 1.0);
}

double snub_contamination_factor(snub_cleanliness level, double pitch_diameter)
{
    static const double small[] = {1.0, 0.6, 0.5, 0.3, 0.1, 0.0, 0.0}, large[] = {1.0, 0.8, 0.6, 0.4, 0.2, 0.0, 0.0};
    return pitch_diameter / SNUB_MM < LARGE ? small[level] : large[level];
}

double snub_life_modification(double ratio, double contamination, double fatigue_load, double load)
{
    const double kappa = fmin(ratio, RATIO_MOST), clean = contamination * fatigue_load;
    if (!(kappa >= SNUB_VISCOSITY_RATIO_LEAST))
        return FACTOR_LEAST;
    const double film = kappa < 0.4   ? 2.2649 / pow(kappa, 0.054381)
                        : kappa < 1.0 ? 1.9987 / pow(kappa, 0.19087)
                                      : 1.9987 / pow(kappa, 0.071739);
    /* the first constant less itself is all but nothing at the least ratio */
    const double bracket = 1.0 - pow(fmax(2.5671 - film, 0.0), 0.83) * cbrt(clean / load);
    if (!(bracket > 0.0))
        return FACTOR_MOST;
    return fmin(0.1 * pow(bracket, -9.3), FACTOR_MOST);
}
