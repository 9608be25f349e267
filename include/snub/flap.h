/** snub/flap.h - a span that flaps: shaken to and fro by its tension, or by its end on the arm's pulley. Room: motion.
 *
 *  Theory: docs/theory/motion.md, flapping spans. Pulleys stand but for the arm's; damping is a share of critical, the
 * same for each mode (`belt.flap_damping`).
 */
#ifndef SNUB_FLAP_H
#define SNUB_FLAP_H

#include "snub/balance.h"

/** Modes of a span that are looked at. */
enum { SNUB_SPAN_MODES = 3 };

/** A span as it flaps. */
typedef struct snub_flapper {
    double length, tension, mass;      /**< m; total, N; kg/m */
    double speed;                      /**< m/s */
    double stiffness;                  /**< EA, N */
    double damping;                    /**< share of critical */
    double frequency[SNUB_SPAN_MODES]; /**< Hz, all > 0 */
} snub_flapper;

/** Where a swing of tension makes a span flap. */
typedef struct snub_flap_zone {
    double centre;    /**< frequency of the swing, rad/s */
    double half;      /**< either side of it, rad/s; 0: the swing is too weak */
    double threshold; /**< swing of tension (amplitude) that it takes, N; INFINITY: none does it */
} snub_flap_zone;

/** @param[in] swing  amplitude of tension, N; of one over the tractive tension that much counts, as the span hangs
 * loose then
 *  @param[in] n,k  modes, n <= k: the zone around f_n + f_k; k = 0: the narrow one at f_n itself */
void snub_flap_zone_of(const snub_flapper *span, double swing, int n, int k, snub_flap_zone *zone);
/** Half-amplitude to which the flap grows by itself in that zone, at most, m: the stretch of a flapping belt stiffens
 * it out of the zone. Both pulleys stand. NAN for two modes, n < k. */
double snub_flap_of_tension(const snub_flapper *span, const snub_flap_zone *zone, int n, int k);
/** Half-amplitude of the flap where the end at the arm swings across the span, m: the greatest along it.
 *  @param[in] swing  amplitude of the end, m
 *  @param[in] frequency  > 0, rad/s */
double snub_flap_of_end(const snub_flapper *span, double swing, double frequency);

#endif
