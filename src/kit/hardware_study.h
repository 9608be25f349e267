/** src/kit/hardware_study.h - what the judges of hardware share (inside src/kit only). */
#ifndef SNUB_KIT_HARDWARE_STUDY_H
#define SNUB_KIT_HARDWARE_STUDY_H

#include "snub/hardware.h"
#include "study.h"

typedef struct snub_hardware_study {
    const snub_study *study;
    const snub_drive *drive;
    const snub_hardware *hardware;
    const snub_path *path; /**< as it runs */
    const snub_path *rest; /**< with the engine at rest */
    snub_arena *arena;
    int duty_count;
    const snub_duty_point *duty;
    double tilt[SNUB_PULLEYS_MOST][2]; /**< under the worst load, as built not counted in, rad */
    snub_hardware_report *report;
} snub_hardware_study;

/** Judge all hardware of a drive whose study has run; findings join the study's.
 *  @param[in] running,rest  paths of the nominal belt
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_judge_hardware(const snub_study *study, const snub_path *running, const snub_path *rest,
                                snub_hardware_report *report, snub_error *error);

/** Its obstacles alone, before the study has run: what they find does not depend on loads. */
void snub_judge_obstacles(const snub_study *study, const snub_path *running, const snub_path *rest,
                          snub_hardware_report *report);

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

/** A finding about a pulley (-1: none) and a thing (NULL: none). Value is given, limit is the list's where it has one,
 *  else NAN. */
snub_finding snub_hardware_finding(const snub_hardware_study *study, snub_wording wording, int pulley,
                                   const char *other, double value);
/** The same about a mount, and about a bolt of it. */
snub_finding snub_mount_finding(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                                double value);
snub_finding snub_bolt_finding(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                               const snub_bolt *bolt, double value);
void snub_hardware_tell(const snub_hardware_study *study, const snub_finding *finding);

/** z of the front of what the pulley's own stack stands on: its mount's, or the datum. */
double snub_hardware_base(const snub_hardware *hardware, int pulley);

#endif
