/* Which pulley makes a wished boost. docs/theory/match.md */
#include <math.h>

#include "snub/demand.h"

#define RATIO_SEARCHED_MOST 40.0 /* blower turns per crank turn */
#define RATIO_STEP 1.15          /* of the search outward */
#define RATIO_TOLERANCE 1e-9     /* of the speed, relative to the crank's */

typedef struct wish_search {
    const snub_engine *engine;
    const snub_air *air;
    const snub_cooler *cooler;
    const snub_blower *blower;
    double crank_speed, boost;
} wish_search;

static snub_status match_at(const wish_search *search, double shaft_speed, snub_match_result *match, snub_error *error)
{
    return snub_match(search->engine, search->air, search->cooler, search->blower, search->crank_speed, shaft_speed,
                      SNUB_THROTTLE_OPEN, match, error);
}

/* More air than the engine swallows at any ratio counts as more boost than wished. */
static bool boost_over(double shaft_speed, double *value, void *context)
{
    const wish_search *search = context;
    snub_match_result match;
    snub_status status = match_at(search, shaft_speed, &match, NULL);
    if (status == SNUB_NO_EQUILIBRIUM)
        *value = SNUB_RATIO_MOST * search->air->pressure;
    else if (status)
        return false;
    else
        *value = match.boost - search->boost;
    return true;
}

/* Walk outward from a slow blower until the boost is there; the greatest boost met is kept for the message. */
static snub_status bracket(const wish_search *search, double *low, double *high, snub_error *error)
{
    double best = -search->air->pressure, value;
    *low = *high = 0.05 * search->crank_speed;
    for (double speed = *low; speed <= RATIO_SEARCHED_MOST * search->crank_speed; speed *= RATIO_STEP) {
        snub_match_result match;
        snub_status status = match_at(search, speed, &match, error);
        if (status && status != SNUB_NO_EQUILIBRIUM)
            return status;
        if (!boost_over(speed, &value, (void *)search))
            return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL,
                             "no operating point at a blower speed of %.6g rad/s", speed);
        *high = speed;
        if (value >= 0)
            return SNUB_OK;
        *low = speed;
        best = fmax(best, value + search->boost);
    }
    return snub_fail(
        error, SNUB_NO_EQUILIBRIUM, &search->blower->place, NULL,
        "a boost of %.4g kPa is out of reach: the most is %.4g kPa at up to %g blower turns per crank turn",
        search->boost / 1e3, best / 1e3, RATIO_SEARCHED_MOST);
}

/* Blower pulley speed that makes a wished boost, throttle open: the least that does it. Out of reach up to
 * RATIO_SEARCHED_MOST turns per crank turn: SNUB_NO_EQUILIBRIUM, and the greatest boost is told. */
static snub_status speed_for_boost(const snub_engine *engine, const snub_air *air, const snub_cooler *cooler,
                                   const snub_blower *blower, double crank_speed, double boost, double *shaft_speed,
                                   snub_match_result *match, snub_error *error)
{
    if (!(crank_speed > 0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a target boost needs an engine speed above 0");
    if (!(boost > 0 && boost < (SNUB_RATIO_MOST - 1) * air->pressure))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "a target boost of %.6g kPa is not possible: it must be above 0 and below a ratio of %g",
                         boost / 1e3, SNUB_RATIO_MOST);
    wish_search search = {engine, air, cooler, blower, crank_speed, boost};
    double low, high, speed, value;
    snub_status status = bracket(&search, &low, &high, error);
    if (status)
        return status;
    speed = high;
    if (high > low && (!boost_over(low, &value, &search) || value < 0))
        status = snub_root(boost_over, &search, low, high, RATIO_TOLERANCE * crank_speed, &speed, error);
    if (status)
        return status;
    snub_match_result found;
    status = match_at(&search, speed, &found, error);
    if (status)
        return status;
    *shaft_speed = speed;
    if (match)
        *match = found;
    return SNUB_OK;
}

/* Pitch radius to the diameter that the pulley is called by, over whatever that is measured. */
static double file_diameter(const snub_drive *drive, int pulley, double pitch_radius)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    return (p->nominal_diameter > 0 ? p->nominal_diameter : p->diameter) + 2 * (pitch_radius - p->pitch_radius);
}

snub_status snub_wish_for_boost(const snub_drive *drive, int pulley, double crank_speed, double boost, snub_wish *wish,
                                snub_error *error)
{
    const snub_pulley *p = &drive->pulleys[pulley], *crank = &drive->pulleys[drive->crank];
    if (!p->has_blower)
        return snub_fail(error, SNUB_BAD_INPUT, &p->place, p->name, "the pulley does not drive a blower");
    snub_wish w = {0};
    double shaft = NAN;
    snub_status status = speed_for_boost(&drive->engine, &drive->air, &drive->cooler, &p->blower, crank_speed, boost,
                                         &shaft, &w.match, error);
    if (status)
        return status;
    double step_up = p->blower.step_up > 0 ? p->blower.step_up : 1;
    w.ratio = shaft / crank_speed;
    w.ratio_now = snub_speed_ratio(drive, pulley);
    w.blower_diameter = file_diameter(drive, pulley, crank->pitch_radius / w.ratio);
    w.crank_diameter = file_diameter(drive, drive->crank, p->pitch_radius * w.ratio);
    w.rotor_speed_redline = drive->engine.redline * w.ratio * step_up;
    double limit = snub_rotor_limit(p);
    w.rotor_overspeed = w.rotor_speed_redline / limit - 1;
    w.others_faster = w.ratio / w.ratio_now - 1;
    *wish = w;
    return SNUB_OK;
}
