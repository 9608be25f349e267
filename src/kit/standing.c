/* A belt round a drive with the engine stopped. docs/theory/layout.md, "Repairs". */
#include "standing.h"

#include "lie.h"

#include <string.h>

/* Places looked at over the arm's travel, over a slot that is locked, and over a slot that is free. */
enum { WINDS = 16, LOCK_STEPS = 16, FREE_STEPS = 8 };
enum { GAPS_MOST = 8 };
/* A pulley touched over less than this carries nothing, rad. */
static const double LEAST_WRAP = 3.0 * SNUB_DEG;

typedef struct look {
    const snub_drive *drive;
    bool stock; /* the belts on offer are the stock */
    double settings[SNUB_PULLEYS_MOST];
    snub_lie_basis lie;
    snub_standing *best;
} look;

bool snub_standing_good(const snub_standing *standing)
{
    return standing->fits && standing->gap >= 0.0;
}

/* ---- one place --------------------------------------------------------------------------------------------------- */

/* Least distance of what must not touch, no belt flap counted; a pulley that is hardly touched is as bad as a touch. */
static double gap_at(const look *l, double wind, const double *settings)
{
    const snub_drive *drive = l->drive;
    const double limit = drive->limits[SNUB_LIMIT_CLEARANCE];
    snub_path path;
    snub_gap gaps[GAPS_MOST];
    int count = 0;
    if (snub_drive_lay(drive, wind, settings, &path, NULL) != SNUB_OK)
        return -INFINITY;
    for (int i = 0; i < path.n; i++) {
        if (path.wrap[i] < LEAST_WRAP)
            return -path.wrap[i];
    }
    snub_lie lie;
    snub_gaps(drive, &path, snub_lie_on(&l->lie, &path, &lie), 0.0, limit, gaps, GAPS_MOST, &count);
    return count > 0 ? gaps[0].gap : limit;
}

/* Better to have: a belt that fits, nothing that touches, the arm in its work range, room; of misses the least. */
static bool better(const snub_standing *a, const snub_standing *b)
{
    if (a->fits != b->fits)
        return a->fits;
    if (!a->fits)
        return a->miss < b->miss;
    if ((a->gap >= 0.0) != (b->gap >= 0.0))
        return a->gap >= 0.0;
    if (a->in_work != b->in_work)
        return a->in_work;
    return a->gap > b->gap;
}

static void keep(const look *l, const snub_standing *found)
{
    if (!l->best->laid || better(found, l->best))
        *l->best = *found;
}

/* ---- belts on offer ---------------------------------------------------------------------------------------------- */

/* Of the belts on offer the one nearest to a range of pitch lengths: whether it fits, by how much it misses.
 * @return its pitch length; without any on offer the middle of the range */
static double find_nearest(const look *l, double low, double high, snub_standing *found)
{
    const snub_belt *belt = &l->drive->belt;
    const int count = l->stock ? belt->stock_count : isnan(belt->length) ? 0 : 1;
    double at = 0.5 * (low + high);
    *found = (snub_standing){.laid = true, .nearest = NAN, .miss = count > 0 ? INFINITY : 0.0};
    for (int i = 0; i < count; i++) {
        const double length = l->stock ? belt->stock[i].length : belt->length;
        const double pitch = snub_belt_pitch_length(belt, length, belt->stretch, false);
        const double miss = fmax(0.0, fmax(low - pitch, pitch - high));
        if (miss < found->miss) {
            found->miss = miss;
            found->too_long = pitch > high;
            found->nearest = length;
            at = pitch;
        }
    }
    found->fits = found->in_work = found->miss <= 0.0;
    return at;
}

/* ---- what takes up slack ----------------------------------------------------------------------------------------- */

/* Between two winds at which the arm holds belts of these pitch lengths, the shorter one further wound. */
static void look_between(const look *l, const double winds[2], const double lengths[2])
{
    const double *work = l->drive->pulleys[l->drive->arm].arm.work;
    snub_standing found;
    const double at = find_nearest(l, lengths[1], lengths[0], &found);
    const double span = lengths[0] - lengths[1];
    const double part = span > 0.0 ? fmin(fmax((lengths[0] - at) / span, 0.0), 1.0) : 0.0;
    const double wind = winds[0] + part * (winds[1] - winds[0]);
    found.in_work = found.fits && wind >= work[0] && wind <= work[1];
    found.gap = gap_at(l, wind, l->settings);
    keep(l, &found);
}

static void look_over_arm(const look *l)
{
    const snub_case at_rest = {0};
    const double travel = l->drive->pulleys[l->drive->arm].arm.travel;
    double winds[2] = {0}, lengths[2] = {NAN, NAN};
    snub_rig rig;
    if (snub_rig_prepare(l->drive, l->settings, &rig, NULL) != SNUB_OK)
        return;
    if (!l->best->laid)
        l->best->laid = true;
    for (int k = 0; k <= WINDS; k++) {
        winds[1] = travel * k / WINDS;
        if (!snub_length_for_wind(&rig, &at_rest, winds[1], &lengths[1]))
            lengths[1] = NAN;
        if (lengths[0] >= lengths[1])
            look_between(l, winds, lengths);
        winds[0] = winds[1];
        lengths[0] = lengths[1];
    }
}

/* Pitch length, at measuring tension, of a belt that has a tension all round on this path. */
static double length_on(const snub_belt *belt, const snub_path *path, double tension)
{
    return path->length * (1.0 - (tension - belt->measuring_tension) / belt->stiffness);
}

static void look_over_lock(const look *l)
{
    const snub_pulley *locked = &l->drive->pulleys[l->drive->locked];
    double settings[SNUB_PULLEYS_MOST], before = NAN;
    memcpy(settings, l->settings, sizeof settings);
    for (int k = 0; k <= LOCK_STEPS; k++) {
        snub_path path;
        settings[l->drive->locked] = locked->slot.length * k / LOCK_STEPS;
        const bool laid = snub_drive_lay(l->drive, 0.0, settings, &path, NULL) == SNUB_OK;
        const double length = laid ? length_on(&l->drive->belt, &path, locked->fixed_tension) : (double)NAN;
        if (isfinite(length) && isfinite(before)) {
            snub_standing found;
            find_nearest(l, fmin(before, length), fmax(before, length), &found);
            found.gap = gap_at(l, 0.0, settings);
            keep(l, &found);
        }
        before = length;
    }
}

/* Nothing takes up slack: taut at rest, and no more tension than the limit of a rib. */
static void look_at_fixed(const look *l)
{
    const snub_belt *belt = &l->drive->belt;
    snub_path path;
    snub_standing found;
    if (snub_drive_lay(l->drive, 0.0, l->settings, &path, NULL) != SNUB_OK)
        return;
    const double most = l->drive->limits[SNUB_LIMIT_RIB_TENSION] * belt->ribs;
    find_nearest(l, length_on(belt, &path, most), length_on(belt, &path, 0.0), &found);
    found.gap = gap_at(l, 0.0, l->settings);
    keep(l, &found);
}

static void look_at_setting(const look *l)
{
    if (l->drive->arm >= 0)
        look_over_arm(l);
    else if (l->drive->locked >= 0)
        look_over_lock(l);
    else
        look_at_fixed(l);
}

/* ---- settings ---------------------------------------------------------------------------------------------------- */

/* The first free slot is looked at over its length, any other in its middle: enough to know whether a belt runs. */
void snub_standing_find(const snub_drive *drive, bool afresh, snub_standing *standing)
{
    look l = {.drive = drive, .best = standing};
    int free_slot = -1;
    *standing = (snub_standing){.gap = -INFINITY, .miss = INFINITY, .nearest = NAN};
    snub_lie_drawn(drive, &l.lie);
    l.stock = drive->belt.stock_count > 0 && (afresh || isnan(drive->belt.length));
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        l.settings[i] = pulley->sits == SNUB_ON_SLOT ? pulley->setting : (double)NAN;
        if (pulley->sits != SNUB_ON_SLOT || i == drive->locked || (!afresh && !isnan(pulley->setting)))
            continue;
        l.settings[i] = 0.5 * pulley->slot.length;
        free_slot = free_slot < 0 ? i : free_slot;
    }
    for (int k = 0; k <= (free_slot >= 0 ? FREE_STEPS : 0); k++) {
        if (free_slot >= 0)
            l.settings[free_slot] = drive->pulleys[free_slot].slot.length * k / FREE_STEPS;
        look_at_setting(&l);
        if (snub_standing_good(standing) && standing->in_work)
            break;
    }
}
