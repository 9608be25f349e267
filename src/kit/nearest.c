/* Which blower pulley on offer comes nearest to a wished boost, and what it makes in other weather.
 * docs/theory/sweep.md */
#include <math.h>

#include "offers.h"

const snub_weather *snub_weathers(int *count)
{
    /* Far enough apart to show what weather does, near enough to be met: 1976 standard pressures. */
    static const snub_weather weathers[SNUB_WEATHERS] = {
        {"cold day in the mountains", 2000, SNUB_ZERO_CELSIUS},
        {"hot day at sea level", 0, SNUB_ZERO_CELSIUS + 40},
    };
    *count = SNUB_WEATHERS;
    return weathers;
}

/* Boost at an engine speed without belt slip; NAN: blower and engine have no balance there. */
static double boost_at(const snub_drive *drive, int blower, double speed, snub_match_result *match)
{
    double torque;
    const snub_status status = snub_demand_torque(drive, blower, speed, 1.0, SNUB_THROTTLE_OPEN, &torque, match, NULL);
    return status == SNUB_OK ? match->boost : (double)NAN;
}

static double boost_in(const snub_drive *drive, int blower, double speed, const snub_weather *weather)
{
    snub_drive there = *drive;
    snub_match_result match;
    there.air = (snub_air){.temperature = weather->temperature, .altitude = weather->altitude};
    if (snub_standard_atmosphere(weather->altitude, NULL, &there.air.pressure, NULL) != SNUB_OK)
        return NAN;
    if (there.cooler.coolant == drive->air.temperature)
        there.cooler.coolant = 0; /* where the file gives none it is the air's, in that weather too */
    return boost_at(&there, blower, speed, &match);
}

/* Boost of a value of the option; NAN where it is excluded, or cannot be read or matched. */
static double boost_of(const snub_document *document, const snub_reading *reading, const snub_build *own,
                       const snub_option *option, int value, double speed, snub_arena *arena)
{
    const snub_overlay overlay = {.path = option->path, .value = option->values[value], .place = option->place};
    snub_row with;
    snub_arena scratch;
    snub_drive drive;
    snub_errors errors = {0};
    snub_match_result match;
    double boost = NAN;
    snub_arena_branch(arena, &scratch);
    if (snub_row_with(&own->row, &overlay, &scratch, &with) &&
        snub_row_excluded(document, own->drive, &with, NULL) == NULL) {
        snub_reading afresh = *reading;
        afresh.arena = &scratch;
        afresh.overlays = with.overlays;
        afresh.overlay_count = with.overlay_count;
        if (snub_drive_read(document, &afresh, &drive, &errors) == SNUB_OK && snub_first_blower(&drive) >= 0)
            boost = boost_at(&drive, snub_first_blower(&drive), speed, &match);
    }
    snub_errors_free(&errors);
    snub_arena_drop(arena, &scratch);
    return boost;
}

snub_status snub_nearest_offer(const snub_document *document, const snub_reading *reading, const snub_build *build,
                               const snub_sweep_request *request, double speed, double boost, snub_arena *arena,
                               snub_near_offer *nearest, snub_error *error)
{
    const int blower = snub_first_blower(build->drive);
    const snub_option *option = blower >= 0 ? snub_diameter_option(build->drive, blower) : NULL;
    int best = -1, count;
    double miss = INFINITY;
    *nearest = (snub_near_offer){0};
    for (int i = 0; option != NULL && i < option->count; i++) {
        const double made = boost_of(document, reading, build, option, i, speed, arena);
        if (fabs(made - boost) < miss) {
            miss = fabs(made - boost);
            best = i;
        }
    }
    if (best < 0)
        return SNUB_OK;
    const snub_status status =
        snub_offer_make(document, reading, build, option, best, request, arena, &nearest->offer, error);
    if (status != SNUB_OK || nearest->offer.build == NULL)
        return status;
    const snub_drive *drive = nearest->offer.build->drive;
    const snub_weather *weathers = snub_weathers(&count);
    nearest->found = true;
    nearest->blower = snub_first_blower(drive);
    (void)boost_at(drive, nearest->blower, speed, &nearest->match);
    for (int i = 0; i < count; i++)
        nearest->boost_in[i] = boost_in(drive, nearest->blower, speed, &weathers[i]);
    return SNUB_OK;
}
