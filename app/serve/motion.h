/** What a request about motion asks for: its key "motion". */
#ifndef SNUB_SERVE_MOTION_H
#define SNUB_SERVE_MOTION_H

#include "snub/scenario.h"
#include "snub/vibration.h"

enum {
    SERVE_MOTION_SPEEDS = 13,       /**< of the map, as `snub motion` has them */
    SERVE_MOTION_SECONDS_MOST = 20, /**< of a speed that is held */
    SERVE_MOTION_ROWS_MOST = 20000, /**< of a run; more are drawn together */
    SERVE_MOTION_PLACES = 60        /**< steps of the arm's travel at which the belt is laid */
};

typedef struct serve_motion_request {
    bool runs; /**< in time; else over the speeds */
    snub_scenario_request scenario;
    snub_vibration_request vibration;
} serve_motion_request;

/** {"run","rpm","seconds","even","every"} of `snub motion --run`, or {"case","speeds"} of `snub motion`; {} for its
 *  defaults.
 *  @return SNUB_OK; SNUB_BAD_INPUT (key and message filled) */
snub_status serve_motion_read(const char *body, size_t length, serve_motion_request *wanted, snub_error *error);

#endif
