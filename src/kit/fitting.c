/* Can the belt be fitted: with the arm on its stop, is there slack enough to pass it over the last pulley's rim. */
#include "fitting.h"

#include <string.h>

/* Tension that a fitter's hand puts into the belt, N (rule of thumb). */
static const double HAND_TENSION_N = 100.0;

/* Radius over which a belt must pass that comes from the front: rim, front flange, whatever disc stands before the
 * belt.
 */
static double in_front(const snub_drive *drive, int pulley)
{
    double radius = drive->pulleys[pulley].rim_radius;
    if (drive->hardware == NULL)
        return radius;
    const snub_pulley_hardware *h = &drive->hardware->pulleys[pulley];
    radius += h->flange_front;
    for (int k = 0; k < h->disc_count; k++) {
        if (h->discs[k].high > 0.0)
            radius = fmax(radius, h->discs[k].radius);
    }
    return radius;
}

/* Path with one pulley's belt lifted onto its rim: ribs (or the back) ride on the flange all around the wrap. On the
 * safe side: a fitter lifts one edge at a time. */
static bool lifted_length(const snub_drive *drive, const snub_path *path, int pulley, double *length)
{
    const snub_belt *belt = &drive->belt;
    const snub_pulley *p = &drive->pulleys[pulley];
    const double inside = p->side == SNUB_RIB ? belt->thickness - belt->back : belt->back;
    double radius[SNUB_PULLEYS_MOST];
    snub_path lifted;
    memcpy(radius, path->radius, sizeof radius);
    const double rim = fmax(in_front(drive, pulley) + inside, p->pitch_radius);
    radius[pulley] = copysign(rim, path->radius[pulley]);
    if (snub_path_lay(path->n, (const double(*)[2])path->centre, radius, drive->turn, &lifted, NULL) != SNUB_OK) {
        return false;
    }
    *length = lifted.length;
    return true;
}

/* The path at its slackest: arm on its stop, or the locked pulley at the better end of its slot. */
static snub_status slackest(const snub_drive *drive, const double *settings, snub_path *path, snub_error *error)
{
    if (drive->arm >= 0)
        return snub_drive_lay(drive, drive->pulleys[drive->arm].arm.travel, settings, path, error);
    if (drive->locked < 0)
        return snub_drive_lay(drive, 0.0, settings, path, error);
    double own[SNUB_PULLEYS_MOST];
    snub_path other;
    memcpy(own, settings, sizeof(double) * (size_t)drive->pulley_count);
    own[drive->locked] = 0.0;
    const snub_status low = snub_drive_lay(drive, 0.0, own, path, error);
    own[drive->locked] = drive->pulleys[drive->locked].slot.length;
    const snub_status high = snub_drive_lay(drive, 0.0, own, &other, error);
    if (high == SNUB_OK && (low != SNUB_OK || other.length < path->length))
        *path = other;
    return low == SNUB_OK || high == SNUB_OK ? SNUB_OK : low;
}

snub_status snub_fitting_find(const snub_drive *drive, const double *settings, double effective, snub_fitting *fitting,
                              snub_error *error)
{
    snub_path path;
    const snub_status status = slackest(drive, settings, &path, error);
    if (status != SNUB_OK)
        return status;
    const double shortest =
        snub_belt_pitch_length(&drive->belt, effective - snub_belt_tolerance(&drive->belt, effective), 0.0, false);
    /* Pulled on by hand the belt is stretched less than on the rig where it was measured. */
    const double pulled = shortest * (1.0 + (HAND_TENSION_N - drive->belt.measuring_tension) / drive->belt.stiffness);
    fitting->length = pulled;
    fitting->slack = pulled - path.length;
    fitting->needed = INFINITY;
    fitting->last = drive->crank;
    for (int i = 0; i < path.n; i++) {
        double lifted;
        if (!lifted_length(drive, &path, i, &lifted))
            continue;
        if (lifted - path.length < fitting->needed) {
            fitting->needed = lifted - path.length;
            fitting->last = i;
        }
    }
    fitting->possible = fitting->slack >= fitting->needed;
    return SNUB_OK;
}
