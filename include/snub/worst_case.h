/** snub/worst_case.h - tolerances of a build added up without chance: slopes, worst case and root of the sum of
 * squares, and the kits at the worst ends, judged. Room: study. docs/theory/tolerate.md, worst case and RSS. */
#ifndef SNUB_WORST_CASE_H
#define SNUB_WORST_CASE_H

#include "snub/tolerate.h"

/** Where the ends of a value come from. */
typedef enum snub_end_basis {
    SNUB_END_TOLERANCE, /**< the tolerance has two */
    SNUB_END_QUANTILE,  /**< it has one or none: as many kits lie beyond as beyond three sigma of a normal value */
    SNUB_END_MEASURED   /**< least and greatest measured */
} snub_end_basis;

typedef struct snub_value_ends {
    double low, high; /**< SI */
    snub_end_basis basis;
    snub_level at_low, at_high; /**< verdict with this value alone at its end; SNUB_FAIL too where it does not go
                                     together with the others */
} snub_value_ends;

/** A kit whose values are where the slopes say that a number is worst. */
typedef struct snub_end_kit {
    double *value; /**< [scatter_count], SI; one without a slope is as in the file */
    bool judged;   /**< false: its values do not go together in one kit */
    snub_kit kit;
} snub_end_kit;

/** Of one number. */
typedef struct snub_worst_case {
    bool known;                     /**< the nominal kit has it, and each with one value at an end; else all but
                                         `at_low`, `at_high` is nothing */
    double *at_low, *at_high;       /**< [scatter_count]: with this value alone at its end; NAN: that kit has none */
    double linear_low, linear_high; /**< by the slopes, all parts at their worst end */
    double rss_low, rss_high;       /**< by the slopes, three standard deviations to each side of the mean */
    snub_end_kit lowest, highest;   /**< of the number by the slopes; what they really come to is in their kits */
} snub_worst_case;

typedef struct snub_worst_cases {
    snub_value_ends *ends; /**< [scatter_count] */
    snub_worst_case of[SNUB_FOLLOWED_];
    int kits;     /**< judged for it */
    bool stopped; /**< by `go_on`: no number is known */
} snub_worst_cases;

typedef struct snub_worst_case_request {
    int threads;
    bool (*go_on)(int done, int all, void *context); /**< as in snub_tolerate_request */
    void *context;
} snub_worst_case_request;

/** Two kits for each value that scatters, then two for each number. Values of a group that move as one (correlation 1
 * or -1) go to their ends together.
 *  @param[in] of  of snub_tolerate_build with the same document and reading
 *  @return SNUB_OK, also where it was stopped; SNUB_NO_MEMORY; what else snub_build_make may come to */
snub_status snub_tolerate_worst_cases(const snub_document *document, const snub_reading *reading,
                                      const snub_tolerated *of, const snub_worst_case_request *request,
                                      snub_worst_cases *result);

#endif
