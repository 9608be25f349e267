/** snub/tighten.h - which tolerance to tighten and which to loosen, from kits that are counted already. Room: num.
 *  docs/theory/tolerate.md.
 *
 *  A width is changed by a factor about the value's middle. The kits of a narrower or wider scatter are the same kits
 * with other weights, so nothing about them is calculated anew. What a width costs is taken to go as one over it: half
 * as wide costs twice as much.
 */
#ifndef SNUB_TIGHTEN_H
#define SNUB_TIGHTEN_H

#include <stdbool.h>
#include <stdint.h>

#include "snub/scatter.h"

/** A value that scatters, and what it costs to hold it so. */
typedef struct snub_held {
    snub_scatter scatter;
    double middle; /**< what is aimed at, which stays where it is when the width changes */
    double cost;   /**< of holding it as it is, per kit, > 0; NAN: not given */
    bool alone;    /**< independent of every other value; one that shares a cause with others is not predicted */
} snub_held;

/** Kits that have been judged. */
typedef struct snub_counted_kits {
    int values;
    const snub_held *held; /**< [values] */
    int64_t count;         /**< > 0 */
    const double *value;   /**< [count][values], drawn from `held` */
    const bool *fails;     /**< [count] */
} snub_counted_kits;

/** What another width of one value does. Every double is NAN where it is not predicted: the value is not alone, or it
 *  scatters as measured, which has no density. */
typedef struct snub_width_change {
    double factor;    /**< new width over the old */
    double share;     /**< failing then */
    double change;    /**< against now */
    double error;     /**< standard error of the change, as of independent kits; at least one effective kit */
    double effective; /**< as many evenly weighted kits would say as much */
    double missing; /**< share of the new scatter that lies beyond every kit, less the same of the old: share may be off
                       by as much */
    bool trusted;   /**< effective is enough by both limits below, and missing is no more than the error */
    double cost;    /**< more per kit, below 0: saved; NAN without a cost */
} snub_width_change;

/** Rules of thumb, no published source: under a hundred even kits a standard error is no guide, and where nine kits of
 * ten are lost to uneven weights, a few of them decide. */
#define SNUB_EFFECTIVE_KITS_LEAST 100.0
#define SNUB_EFFECTIVE_SHARE_LEAST 0.1

typedef struct snub_width {
    snub_width_change half, twice;
    snub_width_change wider; /**< the widest up to twice that can be trusted; factor NAN: none */
    double slope;            /**< failing share by the logarithm of the width, at the width as it is */
    double slope_error;
    double per_cost; /**< slope over cost: failing share that one unit of money per kit takes away. Where it is equal
                        for all values, no money moved from one to another helps. NAN without a cost */
} snub_width;

typedef struct snub_width_plan {
    double share; /**< failing now */
    int tighten; /**< halving it takes away most failing kits per money; -1: none that is trusted, costed and certain */
    int loosen;  /**< a little wider, it brings fewest failing kits per money saved, twice its error counted against it;
                    -1: none that is trusted and costed */
} snub_width_plan;

/** One value at another width. @param[in] factor  > 0 */
snub_width_change snub_width_changed(const snub_counted_kits *kits, int value, double factor);
/** All of them. @param[out] width  [values] */
snub_width_plan snub_width_plan_of(const snub_counted_kits *kits, snub_width *width);

#endif
