/** snub/vibration.h - a settled build in motion: natural frequencies, and its spans over the rev range. Room: kit.
 *
 *  The state is that of `snub check --rpm N`: throttle open (full load) or closed (without load), speed held, nominal
 * belt, arm friction at the middle of its band. Theory: docs/theory/motion.md.
 */
#ifndef SNUB_VIBRATION_H
#define SNUB_VIBRATION_H

#include "snub/coupled.h"
#include "snub/flap.h"
#include "snub/kit.h"
#include "snub/motion.h"

enum { SNUB_VIBRATION_SPEEDS_MOST = 400 };

/** A span at one speed. Zeros where it is slack. */
typedef struct snub_span_motion {
    double tension; /**< total, N */
    double length;  /**< m */
    double across;  /**< how far its end on the arm's pulley goes across it, m/rad of wind; 0: neither end does */
    double frequency[SNUB_SPAN_MODES]; /**< Hz */
    double of_wave; /**< belt speed over the speed of a wave in the span: at 1 the span does not swing back */
} snub_span_motion;

/** One speed. */
typedef struct snub_vibration_point {
    double speed;            /**< engine, rad/s */
    bool solved;             /**< false: `why` says so, and the rest is empty */
    snub_finding why;        /**< as in snub_state */
    double belt_speed;       /**< m/s */
    snub_span_motion *span;  /**< [pulleys] */
    int order_count;         /**< of the crank's unevenness; 0: not known here, see snub_unevenness */
    snub_order *order;       /**< rising; of each k-th half order, those that amount to something */
    snub_response *response; /**< [order_count], of each order by itself; NULL where there is no balance */
    double peak;             /**< highest pressure in the cylinders, Pa; NAN where the angle was measured */
    double gas_torque;       /**< mean, N m; NAN where the angle was measured */
} snub_vibration_point;

/** How unevenly the crank turns: measured (engine.irregularity), else from cylinders, at full load or without load. */
typedef struct snub_unevenness {
    bool known;       /**< at any speed */
    bool measured;    /**< from the file's table */
    snub_error why;   /**< where it is not known */
    unsigned assumed; /**< bits of snub_cylinder_assumed; 0 where it was measured */
} snub_unevenness;

/** Natural frequencies with the crank held, or free. */
typedef struct snub_vibration_modes {
    bool found;
    snub_error why; /**< where not found */
    snub_modes modes;
} snub_vibration_modes;

/** The same of arm and spans together. */
typedef struct snub_vibration_coupled {
    bool found;
    snub_error why; /**< where not found */
    snub_coupled_modes modes;
} snub_vibration_coupled;

typedef struct snub_vibration {
    const snub_build *build;
    const snub_drive *drive;
    snub_way way; /**< as asked */
    snub_inertias inertias;
    double firing; /**< firings per turn of the crank; NAN where the file gives no cylinders */
    int speeds;
    snub_vibration_point *point; /**< [speeds], rising */
    double modes_speed;          /**< engine speed of the modes: the lowest with a balance, rad/s; NAN: none has one */
    snub_motion *motion;         /**< there; NULL: none */
    snub_vibration_modes held, free;
    snub_vibration_coupled *coupled; /**< crank held, then free; NULL: not asked for, or no balance */
    snub_unevenness uneven;
    const struct snub_flapping *flapping; /**< snub/flapping.h, the caller's; NULL: not looked at */
    const struct snub_calming *calming;   /**< snub/calm.h, likewise */
} snub_vibration;

typedef struct snub_vibration_request {
    int speeds;   /**< from idle to redline, ends counted; >= 2. Without an engine: the engine stopped alone */
    double speed; /**< rad/s, this one alone; NAN: the range */
    snub_way way; /**< SNUB_STEADY, or SNUB_SHUT: throttle closed */
} snub_vibration_request;

/** The lowest modes of arm and spans together, at `modes_speed`: fills `coupled`.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_vibration_couple(snub_vibration *vibration, snub_arena *arena, snub_error *error);

/** @param[in] build  settled; one that is not laid has no point with a balance
 *  @param[out] vibration  all its memory is in the arena
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE (a resonance without any damping); SNUB_NO_MEMORY */
snub_status snub_vibration_run(const snub_build *build, const snub_vibration_request *request, snub_arena *arena,
                               snub_vibration *vibration, snub_error *error);

#endif
