/* The belt for a wished arm angle, and what those beside it do. docs/theory/kit.md. */
#include <stdlib.h>
#include <string.h>

#include "fixed_tensioner.h"
#include "snub/kit.h"

/* Winds looked at for the belts that the arm can hold. */
enum { WINDS = 32 };

typedef struct span {
    double low, high; /* effective lengths that the arm holds within its travel, engine stopped, m */
} span;

/* Effective length of the belt with which the arm stands at a wind, m; NAN where it holds none. */
static double length_at(const snub_drive *drive, const snub_rig *rig, double wind)
{
    const snub_case stopped = {0};
    double pitch;
    if (!snub_length_for_wind(rig, &stopped, wind, &pitch))
        return NAN;
    return snub_effective_length(&drive->belt, pitch / (1.0 + drive->belt.stretch));
}

static span lengths_held(const snub_drive *drive, const snub_rig *rig)
{
    const double travel = drive->pulleys[drive->arm].arm.travel;
    span held = {INFINITY, -INFINITY};
    for (int k = 0; k <= WINDS; k++) {
        const double length = length_at(drive, rig, travel * k / WINDS);
        held.low = fmin(held.low, length); /* passes over NAN */
        held.high = fmax(held.high, length);
    }
    return held;
}

static double off(const snub_reach *reach, double length)
{
    return fabs(length - reach->length);
}

/* The nearest of those seen so far stay, in the order of their lengths. */
static void offer(snub_reach *reach, const span *held, double length)
{
    int at = reach->count;
    if (!(length >= held->low && length <= held->high))
        return;
    if (reach->count > 0 && length == reach->belts[reach->count - 1].length)
        return;                            /* two makes of one length */
    if (reach->count == SNUB_REACH_MOST) { /* lengths rise: the first is the farthest on its side */
        if (off(reach, length) >= off(reach, reach->belts[0].length))
            return;
        memmove(reach->belts, reach->belts + 1, sizeof *reach->belts * (SNUB_REACH_MOST - 1));
        at = --reach->count;
    }
    reach->belts[at] = (snub_reach_belt){.length = length};
    reach->count++;
}

static void offer_all(const snub_drive *drive, const span *held, snub_reach *reach)
{
    const snub_belt *belt = &drive->belt;
    for (int i = 0; i < belt->stock_count; i++)
        offer(reach, held, belt->stock[i].length);
    if (belt->stock_count > 0)
        return;
    const double from = ceil(held->low / SNUB_MM), to = floor(held->high / SNUB_MM);
    const double step = fmax(1.0, ceil((to - from) / (SNUB_REACH_MOST - 1)));
    const double wish = round(reach->length / SNUB_MM); /* in steps away from it */
    for (double mm = wish - step * floor((wish - from) / step); mm <= to; mm += step)
        offer(reach, held, snub_written_length(mm * SNUB_MM));
}

/* The whole build with that belt. */
static snub_status judge(const snub_build *build, const double *settings, snub_arena *arena, snub_reach_belt *out,
                         snub_error *error)
{
    const snub_build_request as_written = {0};
    const size_t n = (size_t)build->drive->pulley_count;
    snub_build *made = SNUB_NEW(arena, snub_build, 1);
    snub_pulley *pulleys = SNUB_NEW(arena, snub_pulley, n);
    if (made == NULL || pulleys == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_drive drive = *build->drive;
    memcpy(pulleys, build->drive->pulleys, n * sizeof *pulleys);
    drive.pulleys = pulleys;
    drive.belt.length = out->length;
    for (size_t i = 0; i < n; i++) {
        if (pulleys[i].sits == SNUB_ON_SLOT)
            pulleys[i].setting = settings[i];
    }
    const snub_status status = snub_build_of_drive(&drive, &as_written, arena, made, error);
    if (status != SNUB_OK)
        return status;
    const double travel = drive.pulleys[drive.arm].arm.travel;
    snub_designation(&drive.belt, out->length, out->designation);
    out->wind_rest = made->wind_rest;
    out->wind_redline = made->wind_redline;
    out->room = fmin(made->wind_low, travel - made->wind_high);
    out->tension = made->laid ? made->rest.span_tension[0] : (double)NAN;
    out->grip = made->worst_grip;
    out->verdict = made->verdict;
    return SNUB_OK;
}

snub_status snub_reach_find(const snub_build *build, double wind, snub_arena *arena, snub_reach *reach,
                            snub_error *error)
{
    const snub_drive *drive = build->drive;
    snub_rig *rig = SNUB_NEW(arena, snub_rig, 1);
    *reach = (snub_reach){.wind = wind, .length = NAN, .nearest = -1};
    if (rig == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (snub_build_rig(build, false, rig, NULL) != SNUB_OK)
        return SNUB_OK;
    reach->length = length_at(drive, rig, wind);
    if (isnan(reach->length))
        return SNUB_OK;
    const span held = lengths_held(drive, rig);
    offer_all(drive, &held, reach);
    for (int i = 0; i < reach->count; i++) {
        snub_arena own;
        snub_arena_branch(arena, &own);
        const snub_status status = judge(build, rig->settings, &own, &reach->belts[i], error);
        snub_arena_drop(arena, &own);
        if (status != SNUB_OK)
            return status;
        if (reach->nearest < 0 || off(reach, reach->belts[i].length) < off(reach, reach->belts[reach->nearest].length))
            reach->nearest = i;
    }
    return SNUB_OK;
}
