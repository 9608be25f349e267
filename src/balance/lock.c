/* The drive without an arm: a pulley is pulled along its slot until the belt at rest has a set tension, then locked. */
#include "snub/balance.h"

#include <string.h>

/* Steps along the slot in the search for a change of sign. */
enum { SLOT_GRID = 64 };
/* On the setting, m. */
static const double SETTING_TOLERANCE_M = 1e-12;

typedef struct lock {
    const snub_drive *drive;
    double settings[SNUB_PULLEYS_MOST];
    double belt_length;
} lock;

/* Length that is left over at the set tension: path - stretch - belt. Positive where the belt is too short. */
static bool left_over(double setting, double *y, void *context)
{
    lock *l = context;
    snub_path path;
    const snub_belt *belt = &l->drive->belt;
    l->settings[l->drive->locked] = setting;
    if (snub_drive_lay(l->drive, 0.0, l->settings, &path, NULL) != SNUB_OK)
        return false;
    const double tension = l->drive->pulleys[l->drive->locked].fixed_tension;
    *y = path.length * (1.0 - (tension - belt->measuring_tension) / belt->stiffness) - l->belt_length;
    return true;
}

static snub_status out_of_slot(const lock *l, double least, double most, snub_error *error)
{
    const snub_pulley *pulley = &l->drive->pulleys[l->drive->locked];
    if (isnan(least)) {
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, &pulley->place, pulley->name,
                         "no position in the slot of %s lets the belt run around all pulleys", pulley->name);
    }
    const bool short_belt = least > 0.0;
    return snub_fail(error, SNUB_NO_EQUILIBRIUM, &pulley->place, pulley->name,
                     "the belt is %.1f mm too %s to reach the set tension of %.0f N anywhere in the slot of %s",
                     (short_belt ? least : -most) * 1e3, short_belt ? "short" : "long", pulley->fixed_tension,
                     pulley->name);
}

snub_status snub_lock_set(const snub_drive *drive, double belt_length, double *settings, double *lack,
                          snub_error *error)
{
    lock l = {.drive = drive, .belt_length = belt_length};
    memcpy(l.settings, settings, sizeof(double) * (size_t)drive->pulley_count);
    const double length = drive->pulleys[drive->locked].slot.length;
    double last = NAN, least = NAN, most = NAN;
    for (int k = 0; k <= SLOT_GRID; k++) {
        double y;
        if (!left_over(length * k / SLOT_GRID, &y, &l)) {
            last = NAN;
            continue;
        }
        least = fmin(least, y);
        most = fmax(most, y);
        if ((last <= 0.0 && y >= 0.0) || (last >= 0.0 && y <= 0.0)) {
            return snub_root(left_over, &l, length * (k - 1) / SLOT_GRID, length * k / SLOT_GRID, SETTING_TOLERANCE_M,
                             &settings[drive->locked], error);
        }
        last = y;
    }
    if (lack != NULL)
        *lack = isnan(least) ? NAN : least > 0.0 ? least : most;
    return out_of_slot(&l, least, most, error);
}
