/** src/study/optimise.h - least value of a function of a few numbers, with constraints (inside src/study only).
 *
 *  No derivatives: first a controlled random search over the whole box, then a local search from the best point that it
 *  met. Both are NLopt's; docs/theory/search.md says which and why. The seed is set: the same problem gives the same
 *  points in the same order.
 */
#ifndef SNUB_STUDY_OPTIMISE_H
#define SNUB_STUDY_OPTIMISE_H

#include <stdint.h>

#include "snub/base.h"

enum { SNUB_OPTIMISE_MOST = 64 /**< numbers, and constraints */ };

typedef struct snub_optimise {
    int count, constraints;
    const double *low, *high; /**< of each number; low < high, finite */
    const double *start;      /**< a point that is tried first; NULL: none */
    /** @param[out] over  of each constraint by how much it is broken; <= 0: it holds
     *  @return false: stop */
    bool (*evaluate)(const double *x, double *value, double *over, void *context);
    void *context;
    int rounds;        /**< of the two parts, each with other random points; >= 1. More miss a minimum less often */
    int global, local; /**< evaluations of each part of a round at most; 0: it is left out */
    uint32_t seed;
    double wall;      /**< above every value where all constraints hold */
    double slack;     /**< a constraint that is broken by no more holds */
    double tolerance; /**< of each number when the local search ends, share of its range */
} snub_optimise;

typedef struct snub_optimum {
    double x[SNUB_OPTIMISE_MOST];
    double value, over; /**< there; over: the sum of what is broken, 0: all holds. NAN: nothing was evaluated */
    int evaluations;
    bool converged; /**< a local search that ended by its tolerance met it, and all constraints hold */
    bool stopped;   /**< by `evaluate` */
} snub_optimum;

/** The first of two points is better: less broken, then the lesser value. */
bool snub_optimum_better(double value, double over, double value_then, double over_then);
/** @return SNUB_OK, also where it did not converge or was stopped; SNUB_BAD_INPUT: no numbers, too many, or an empty
 *  range; SNUB_NO_MEMORY */
snub_status snub_optimise_run(const snub_optimise *problem, snub_optimum *result, snub_error *error);

#endif
