/** snub/shares.h - how large a share may be of which some were counted, what a process is capable of, how tolerances
 * add up. Room: num.
 */
#ifndef SNUB_SHARES_H
#define SNUB_SHARES_H

#include <stdint.h>

typedef struct snub_interval {
    double low, high;
} snub_interval;

/** Share of a beta distribution at or below x: the regularised incomplete beta function. a, b > 0; 0 for x <= 0, 1 for
 *  x >= 1. NAN where its continued fraction does not end, which needs a or b above 1e9. */
double snub_beta_under(double x, double a, double b);
/** The x for which snub_beta_under is `chance`, 0 to 1; NAN as there. */
double snub_beta_value(double chance, double a, double b);

/** Shares which go together with `counted` of `of` independent kits, after Clopper and Pearson (1934): holds the true
 * one with at least this confidence, 0 < confidence < 1, half of the rest on each side. 0 <= counted <= of, of > 0.
 * Kits at scrambled Sobol points are not independent: for them it is too wide, and snub_estimate_of_runs is right. */
snub_interval snub_share_exact(int64_t counted, int64_t of, double confidence);
/** One-sided: with this confidence the true share is at least low; and by itself, with the same, at most high. */
snub_interval snub_share_one_sided(int64_t counted, int64_t of, double confidence);
/** After Wilson (1927): narrower, holds the true share about as often as it says, not always at least. */
snub_interval snub_share_wilson(int64_t counted, int64_t of, double confidence);
/** Fewest kits so that with this confidence the greatest of them is above this share of all (both_ends 0), or the least
 *  and the greatest hold it between them (1), after Wilks (1941). Both in (0, 1); -1: more than 2^30. */
int snub_kits_needed(double share, double confidence, int both_ends);

/** A mean over independent runs, such as scramblings with other seeds. */
typedef struct snub_estimate {
    double value;
    double error;     /**< standard error of the value; NAN for one run */
    double low, high; /**< by Student's t; NAN for one run */
} snub_estimate;

/** @param[in] runs  > 0 */
snub_estimate snub_estimate_of_runs(int runs, const double *value, double confidence);

/** How a normal value fits between its limits. */
typedef struct snub_capability {
    double cp;           /**< width of the limits over six standard deviations; NAN with one limit */
    double cpk;          /**< distance of the mean to the nearer limit over three; below 0 beyond it */
    double cpm;          /**< as cp, by the scatter about the target; NAN with one limit or no target */
    double below, above; /**< share under the low limit, over the high one */
} snub_capability;

/** @param[in] low, high  limits; -INFINITY, INFINITY: none
 *  @param[in] target     NAN: none
 *  @param[in] sd         > 0 */
snub_capability snub_capability_of(double mean, double sd, double low, double high, double target);

/** A sum of parts, each with a slope and a tolerance +-. */
typedef struct snub_stack_sums {
    double worst; /**< all parts at their worst end */
    double rss; /**< root of the sum of squares: as rare as each part's tolerance if parts are independent and normal */
} snub_stack_sums;

snub_stack_sums snub_stack_of(int parts, const double *slope, const double *tolerance);

#endif
