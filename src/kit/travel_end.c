/* Ends of travel. docs/theory/tension.md. */
#include "travel_end.h"

#include <string.h>

static double path_length(const snub_drive *drive, double wind, const double *settings)
{
    snub_path path;
    return snub_drive_lay(drive, wind, settings, &path, NULL) == SNUB_OK ? path.length : (double)NAN;
}

static double held_at(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted, double wind)
{
    double length;
    return snub_length_for_wind(rig, wanted, wind, &length) ? length : path_length(drive, wind, rig->settings);
}

void snub_arm_end(const snub_drive *drive, const snub_rig *rig, const snub_case *wanted, const snub_equilibrium *found,
                  snub_travel_end *end)
{
    const double travel = drive->pulleys[drive->arm].arm.travel, belt = wanted->belt_length;
    *end = (snub_travel_end){.pulley = -1, .by = NAN};
    if (found != NULL && found->arm != SNUB_ARM_AT_REST && found->arm != SNUB_ARM_AT_STOP)
        return;
    const double longest = held_at(drive, rig, wanted, 0.0), shortest = held_at(drive, rig, wanted, travel);
    const bool free_end = found != NULL ? found->arm == SNUB_ARM_AT_REST : belt > longest;
    const bool stop = found != NULL ? found->arm == SNUB_ARM_AT_STOP : belt < shortest;
    if (free_end)
        *end = (snub_travel_end){drive->arm, 0.0, true, fmax(0.0, belt - longest)};
    else if (stop)
        *end = (snub_travel_end){drive->arm, travel, false, fmax(0.0, shortest - belt)};
}

void snub_lock_end(const snub_drive *drive, const double *settings, double length, snub_travel_end *end)
{
    double trial[SNUB_PULLEYS_MOST], lack = NAN;
    const int locked = drive->locked;
    *end = (snub_travel_end){.pulley = -1, .by = NAN};
    memcpy(trial, settings, sizeof trial);
    if (snub_lock_set(drive, length, trial, &lack, NULL) == SNUB_OK || !isfinite(lack))
        return;
    const double far = drive->pulleys[locked].slot.length;
    trial[locked] = 0.0;
    const double low = path_length(drive, 0.0, trial);
    trial[locked] = far;
    const double high = path_length(drive, 0.0, trial);
    const bool too_long = lack < 0.0, at_high = (high > low) == too_long;
    *end = (snub_travel_end){locked, at_high ? far : 0.0, too_long, fabs(lack)};
}
