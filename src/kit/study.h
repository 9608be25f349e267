/* What a judgement gathers before it speaks: the worst of every quantity over all cases. Private to the room. */
#ifndef SNUB_STUDY_H
#define SNUB_STUDY_H

#include "finding.h"
#include "snub/kit.h"

/** A value with the case in which it was met. */
typedef struct snub_worst {
    double value;
    int speed; /**< index into loads */
    snub_way way;
    snub_corner corner;
    int side; /**< arm friction -1, 0, 1 */
    bool set;
    bool warm;
    const char *peak;   /**< as in snub_condition */
    snub_arm_state arm; /**< where the arm stands then */
} snub_worst;

/** Hub forces of one case. */
typedef struct snub_hub_sample {
    double engine_speed;
    snub_condition at;
    bool steady;        /**< steady, friction in the middle: what the duty of its belt is made of */
    double (*force)[2]; /**< per pulley, N */
    double *reaction;   /**< torque that its housing takes, about z, counter-clockwise, N m */
    double *speed;      /**< of the pulley, rad/s >= 0 */
} snub_hub_sample;

typedef struct snub_study {
    const snub_drive *drive;
    const snub_loads *loads;
    snub_arena *arena;             /**< of the findings */
    snub_arena *scratch;           /**< of what is not kept */
    double length;                 /**< nominal effective, m */
    bool grows;                    /**< cold and warm are cases of their own */
    snub_rig rig[2][SNUB_CORNERS]; /**< cold, warm */
    bool same_rig;                 /**< all corners use the nominal belt's */
    bool has_rig[2][SNUB_CORNERS];
    /* worst of each */
    snub_worst grip[SNUB_PULLEYS_MOST], limit_grip[SNUB_PULLEYS_MOST], wet_grip[SNUB_PULLEYS_MOST];
    snub_worst slack[SNUB_PULLEYS_MOST]; /**< least tractive tension of the span behind a pulley, N */
    snub_worst wrap[SNUB_PULLEYS_MOST];  /**< least */
    snub_worst pulley_speed[SNUB_PULLEYS_MOST];
    snub_worst hub[SNUB_PULLEYS_MOST]; /**< greatest pull of the belt, N */
    double hub_force[SNUB_PULLEYS_MOST][2];
    bool swings;                                /**< the crank's swing counts in the loads */
    struct snub_swinging *swinging;             /**< what it was found with (swing.h); NULL: it does not count */
    const char *swing_missing;                  /**< keys without which it does not; NULL: nothing is known of it */
    snub_hub_pull hub_swung[SNUB_PULLEYS_MOST]; /**< greatest in it */
    snub_worst nose;                            /**< greatest torque through the crank nose either way, N m */
    snub_worst onset;   /**< lowest speed with slip on limit friction, steady or rising: value is the speed, rad/s */
    snub_worst tension; /**< greatest total, N */
    int tension_span;
    snub_worst belt_speed;
    snub_worst power;               /**< greatest that the crank gives to the belt, W */
    snub_worst wind_low, wind_high; /**< over all cases */
    snub_worst work_low, work_high; /**< steady ones: transients may leave the work range */
    snub_worst at_rest, at_stop;    /**< arm on its rest or stop: value is what the belt is beyond it, m; 0: unknown */
    snub_worst several;             /**< more than one equilibrium */
    snub_worst dead;                /**< past the dead point */
    snub_worst none;                /**< no equilibrium: value is the amount of none_failure */
    snub_failure none_failure;
    int lost;       /**< cases without balance */
    bool ends_only; /**< only at rest and at the last speed; no hub forces */
    int sample_count;
    int steady_count; /**< of them, without the swing; those with it come behind */
    snub_hub_sample *samples;
    snub_findings *findings;
} snub_study;

/** Effective length and stretch of a corner. */
double snub_corner_length(const snub_study *study, snub_corner corner, double *stretch);
/** Rig of a corner, cold or warm. */
const snub_rig *snub_study_rig(const snub_study *study, snub_corner corner, bool warm);
/** Whether what is shown of a speed is warm: the engine runs, and the file says how it grows. */
bool snub_study_shown_warm(const snub_study *study, int speed);
/** Solve every case and keep the worst. @return false where memory is out */
bool snub_study_run(snub_study *study);

/** The conditions of a worst case. */
snub_condition snub_worst_at(const snub_study *study, const snub_worst *worst);
/** A finding of the study's drive about a pulley (-1: none) at its worst case (NULL: laid out). */
snub_finding snub_study_finding(const snub_study *study, snub_wording wording, int pulley, const snub_worst *worst);
/** Names the span behind a pulley. */
void snub_finding_span(const snub_study *study, snub_finding *finding, int span);
/** Greatest pull on a hub, the swing counted where it counts. */
snub_hub_pull snub_study_pull(const snub_study *study, int pulley);
/** What lowers the belt's tension in a case: English words that follow "Use". */
const char *snub_less_tension(const snub_drive *drive, const snub_worst *worst);
/** Strain beyond which a belt may break. */
double snub_breaking_strain(const snub_drive *drive);
void snub_study_tell(const snub_study *study, const snub_finding *finding);

/* ---- the judges: each adds what it finds to study->findings ------------------------------------------------------ */

void snub_judge_belt(const snub_study *study);
/** @param[in] rest  the belt at rest
 *  @param[in] length_chosen  the belt's length is not the file's */
void snub_judge_back(const snub_study *study, const snub_path *rest, bool length_chosen);
void snub_judge_arm(const snub_study *study);
void snub_judge_slip(const snub_study *study);
/** What the inertias that the file does not give would pull.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_judge_inertias(const snub_study *study);
void snub_judge_air(const snub_study *study);
/** @param[out] tightest  gap, flap taken off, m; INFINITY when nothing is near */
void snub_judge_gaps(const snub_study *study, double *tightest);
void snub_judge_fitting(const snub_study *study);
void snub_judge_parts(const snub_study *study);
void snub_judge_hubs(const snub_study *study);
/** Where the swing counts in the loads it joins the study's hub forces.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_judge_motion(snub_study *study);

#endif
