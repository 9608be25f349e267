/** src/kit/hardware_study.h - what the judges of hardware share (inside src/kit only). */
#ifndef SNUB_KIT_HARDWARE_STUDY_H
#define SNUB_KIT_HARDWARE_STUDY_H

#include "snub/hardware.h"

/** Hub forces of one case. */
typedef struct snub_hub_sample {
    double engine_speed;
    const char *state;
    bool steady;                        /**< steady, friction in the middle: what the duty is made of */
    double force[SNUB_PULLEYS_MOST][2]; /**< N */
    double speed[SNUB_PULLEYS_MOST];    /**< of the pulley, rad/s >= 0 */
} snub_hub_sample;

typedef struct snub_hardware_study {
    const snub_drive *drive;
    const snub_hardware *hardware;
    const snub_path *path; /**< as it runs */
    snub_arena *arena;
    int sample_count;
    snub_hub_sample *samples;
    int duty_count;
    const snub_duty_point *duty;
    double tilt[SNUB_PULLEYS_MOST][2]; /**< under the worst load, as built not counted in, rad */
    snub_hardware_report *report;
} snub_hardware_study;

void snub_hardware_standoffs(snub_hardware_study *study);
void snub_hardware_bolts(snub_hardware_study *study);
snub_status snub_hardware_planes(snub_hardware_study *study, snub_error *error);
void snub_hardware_bearings(snub_hardware_study *study);
void snub_hardware_obstacles(snub_hardware_study *study);
void snub_hardware_facts(snub_hardware_study *study);

/** Nominal, least and greatest preload of a bolt and the torque for it, with where that comes from. */
typedef struct snub_tightness {
    double preload, low, high, torque;
    const char *source;
} snub_tightness;
snub_tightness snub_tightness_of(const snub_bolt *bolt, snub_arena *arena);

/** Add a finding; the text is formatted into the arena. */
void snub_hardware_find(snub_hardware_study *study, snub_level level, const char *rule, const char *pulley,
                        const char *other, double value, double limit, const char *unit, const char *source,
                        const char *format, ...) __attribute__((format(printf, 10, 11)));

/** z of the front of what the pulley's own stack stands on: its mount's, or the datum. */
double snub_hardware_base(const snub_hardware *hardware, int pulley);

#endif
