/** Whether the belt can be put on, and over which rim. Private to src/kit. */
#ifndef SNUB_KIT_FITTING_H
#define SNUB_KIT_FITTING_H

#include "snub/kit.h"

typedef struct snub_fitting {
    bool possible; /**< a way was found */
    int last;      /**< pulley to pass the belt over last */
    double slack;  /**< belt over path with the arm on its stop (or the slot slackened), m; negative: too short */
    double length; /**< of the belt, pulled by hand, m */
    double needed; /**< to pass the belt over that pulley's rim, m */
} snub_fitting;

/** Can the belt be fitted: shortest new belt, arm on its stop, passed over the rim of the easiest pulley last. */
snub_status snub_fitting_find(const snub_drive *drive, const double *settings, double effective, snub_fitting *fitting,
                              snub_error *error);

#endif
