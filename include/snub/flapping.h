/** snub/flapping.h - which spans of a build flap, at which engine speeds, how far, and what is in their way. Room: kit.
 *
 *  Steady, throttle open, as snub/vibration.h. Theory: docs/theory/motion.md, flapping spans.
 */
#ifndef SNUB_FLAPPING_H
#define SNUB_FLAPPING_H

#include "snub/flap.h"
#include "snub/vibration.h"

/** An order whose swing of tension comes at a frequency at which its span may flap. */
typedef struct snub_flap_crossing {
    int span;
    double order;
    int n, k;        /**< modes, as in snub_flap_zone_of: f_n + f_k, or f_n where k is 0 */
    double at;       /**< engine speed where it meets the middle of the zone, or comes nearest, rad/s */
    double swing;    /**< amplitude of tension there, N */
    double needed;   /**< that it takes there, N */
    double from, to; /**< engine speeds between which the span flaps by itself, rad/s; NAN: the swing is too weak */
    double flap;     /**< to which it grows, at most, half-amplitude, m; NAN: too weak, or not known (n < k) */
} snub_flap_crossing;

/** What is in the way of a span where it flaps most. */
typedef enum snub_beside {
    SNUB_BESIDE_NOTHING,
    SNUB_BESIDE_PULLEY,
    SNUB_BESIDE_SPAN,
    SNUB_BESIDE_OBSTACLE
} snub_beside;

/** A span at the speed at which it flaps most; zeros where it never does. */
typedef struct snub_span_flap {
    double speed;                  /**< engine, rad/s; NAN: nothing shakes it */
    double flap;                   /**< half-amplitude, both together, m */
    double of_tension, of_end;     /**< by itself, and by its end on the arm's pulley, all orders added */
    double length;                 /**< of the span, m */
    snub_beside beside;            /**< what has least room beyond what is asked for there */
    int index;                     /**< of that pulley or span */
    const snub_obstacle *obstacle; /**< that one, or NULL */
    double gap;                    /**< to it from the span that stands, m */
    double room;                   /**< what the flap leaves of it there, m: < 0, it hits */
    double asked;                  /**< room that is wanted there: the obstacle's own, else of the limits, m */
} snub_span_flap;

typedef struct snub_flapping {
    int spans;
    snub_span_flap *span; /**< [spans] */
    int count;
    snub_flap_crossing *crossing; /**< by span, order and mode; arena memory */
} snub_flapping;

typedef struct snub_flapping_request {
    double speed;      /**< rad/s, this one alone; NAN: idle to redline */
    snub_way way;      /**< SNUB_STEADY, or SNUB_SHUT: throttle closed */
    double from;       /**< the greatest flap is that of engine speeds from here on, rad/s */
    const bool *spans; /**< [pulleys], which are looked at; NULL: all. Others never flap */
} snub_flapping_request;

/** @param[in] build  settled; one that is not laid has no crossings
 *  @return as snub_vibration_run */
snub_status snub_flapping_find(const snub_build *build, const snub_flapping_request *request, snub_arena *arena,
                               snub_flapping *flapping, snub_error *error);

struct snub_study;

/** How spans flap that have something within reach, in the verdict: the room's own, here because the page's small core
 *  leaves it to the one with charts, or to the server (app/wasm/core.c).
 *  @param[in] build  settled and laid
 *  @param[in] spans  [pulleys], those that are looked at
 *  @param[in] arena  of what is not kept
 *  @param[in,out] tightest  least gap of pulleys and spans, flap taken off, m
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_flap_spans(const struct snub_study *study, const snub_build *build, const bool *spans,
                            snub_arena *arena, double *tightest);

#endif
