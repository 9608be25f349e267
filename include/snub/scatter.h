/** snub/scatter.h - how a value scatters from kit to kit. Room: num. docs/theory/scatter.md. */
#ifndef SNUB_SCATTER_H
#define SNUB_SCATTER_H

typedef enum snub_scatter_kind {
    SNUB_NORMAL,
    SNUB_UNIFORM,
    SNUB_TRIANGULAR,
    SNUB_SKEWED,
    SNUB_SAMPLED
} snub_scatter_kind;

/** How a value scatters. Of a normal or skewed one that is cut, more than 1e-300 must be left. */
typedef struct snub_scatter {
    snub_scatter_kind kind;
    double centre;        /**< normal: mean before it is cut; triangular: mode; skewed: location of the skew-normal */
    double sigma;         /**< normal: standard deviation before it is cut; skewed: scale of the skew-normal; > 0 */
    double alpha;         /**< skewed: shape; > 0 has its tail to the right */
    double low, high;     /**< uniform, triangular: ends; normal, skewed: where it is cut; -INFINITY, INFINITY: not */
    int count;            /**< sampled: >= 1 */
    const double *sample; /**< sampled: measured values, rising; the quantile is linear between their plotting
                             positions (i + 1/2)/count, and the least and the greatest value beyond them */
} snub_scatter;

/** The value that a share of the kits is at or below.
 *  @param[in] chance  0 < chance < 1; the tails are good to 1e-12 of sigma down to a chance of 1e-16 */
double snub_scatter_value(const snub_scatter *scatter, double chance);
/** Share of the kits at or below a value, 0 to 1; good to 1e-12 of itself where it is small. */
double snub_scatter_chance(const snub_scatter *scatter, double value);
/** Of the scatter as it is cut. */
void snub_scatter_moments(const snub_scatter *scatter, double *mean, double *variance);

#endif
