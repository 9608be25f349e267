/** A build in motion over a few stated speeds: the worst of what its swings do. Private to src/kit.
 *  docs/theory/motion.md, what is judged. */
#ifndef SNUB_KIT_SWING_H
#define SNUB_KIT_SWING_H

#include "hub_swing.h"
#include "shake.h"
#include "study.h"

/** Below so many times idle no engine stays at full load. Rule of thumb, no published source. */
static const double SNUB_FULL_LOAD_FROM = 2.0;

/** The worst of a kind, and where it is met. */
typedef struct snub_swing {
    bool set;
    double share;        /**< of its limit */
    double value, limit; /**< N, rad or grip */
    double speed;        /**< engine, rad/s */
    snub_way way;        /**< SNUB_STEADY: full load; SNUB_SHUT: without load */
    int where;           /**< span or pulley; -1: the arm */
    double order;        /**< that shakes it most */
    int heavy;           /**< pulley whose inertia pulls most at the belt in that order */
    bool sticks;         /**< the arm's friction holds it in every order */
    double friction;     /**< half of its band, N m */
    /* of a resonance */
    double frequency; /**< Hz */
    int mover;        /**< that has most of the energy; the arm is the one behind the pulleys */
} snub_swing;

typedef struct snub_swings {
    snub_swing slack; /**< amplitude of a span's tension (root of the squares of its orders) over what it carries */
    snub_swing bound; /**< the same, the amplitudes of all orders added up */
    snub_swing held;  /**< the same as slack, where the arm's friction holds it */
    snub_swing slip;  /**< grip at the peak, of what limit friction gives */
    snub_swing stop;  /**< wind with its amplitude, over the travel */
    snub_swing rest;  /**< amplitude over the wind */
    snub_swing idle;  /**< one order's amplitude over what a span carries, where it meets a resonance near idle */
    snub_swing range; /**< and in the range above */
    /* where it counts in the loads: of states in which no span hangs loose */
    snub_hub_pull hub[SNUB_PULLEYS_MOST]; /**< greatest pull on each hub */
    struct snub_swinging *by;
    int sample_count;
    snub_hub_sample *samples; /**< ends of the swing in each state, where the study keeps such; its scratch memory */
} snub_swings;

/** @param[in] counts  the swing counts in the loads
 *  @param[out] swings  nothing set where the crank's unevenness is not known, or no state has a balance
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_swings_find(const snub_study *study, bool counts, snub_swings *swings);

/** The swing of the hub forces at each speed of a duty: full load from twice idle, else without load.
 *  @param[out] cycle  [count]; no points where the swing does not count, the speed lies outside of idle to redline, a
 *                     span hangs loose, or nothing swings
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_swing_duty(const snub_study *study, const snub_duty_point *duty, int count, snub_arena *arena,
                            snub_hub_cycle *cycle);

#endif
