/** snub/kit_histogram.h - how a number scatters over the kits of a study: quantiles, classes, what lies beyond its
 * limits. Room: study. */
#ifndef SNUB_KIT_HISTOGRAM_H
#define SNUB_KIT_HISTOGRAM_H

#include "snub/tolerate.h"

enum { SNUB_QUANTILES = 9, SNUB_CLASSES_MOST = 40 };

/** Chances of the quantiles: 0.001 to 0.999, rising. */
extern const double snub_quantile_chance[SNUB_QUANTILES];

typedef struct snub_kit_histogram {
    int count;                       /**< kits that have the number; with 0 there are no quantiles and no classes */
    int endless;                     /**< of them, those in which it has no bound: grip of a slack belt; in no class */
    double quantile[SNUB_QUANTILES]; /**< NAN: too few kits for one of them to be expected beyond it;
                                          not finite: it lies among the endless ones */
    double low_limit, high_limit;    /**< in force; NAN: the number has none */
    int below, above;                /**< kits beyond the limits */
    double from, width;              /**< of the classes; width 0: all kits have the same number, in one class */
    int class_count;
    int kits[SNUB_CLASSES_MOST]; /**< in each class; a number on an edge counts in the class above, the greatest in the
                                    last */
} snub_kit_histogram;

/** Quantiles are linear between the kits in order, kit i of n standing at (i - 1/2) / n. Classes: twice the cube root
 * of n, rounded up, at most SNUB_CLASSES_MOST, all of one width, from the least to the greatest finite number. Limits:
 * grip, `limits.grip_design`; arm, its work range; gap, `limits.clearance`.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_kit_histogram_of(const snub_tolerated *tolerated, snub_followed followed,
                                  snub_kit_histogram *histogram);

#endif
