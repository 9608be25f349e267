/* The spring arm: ends of its travel, its work range, its dead point. docs/guide/findings.md. */
#include "fit.h"
#include "loads.h"
#include "snub/locale.h"
#include "study.h"

static void tell(const snub_study *s, snub_wording wording, const snub_worst *worst, double limit)
{
    snub_finding f = snub_study_finding(s, wording, s->drive->arm, worst);
    f.limit = limit;
    snub_study_tell(s, &f);
}

/* What the belt of a case is longer than the one with which the arm stands at a wind, m; NAN where it holds none. */
static double too_long(const snub_study *s, const snub_worst *worst, double wind)
{
    snub_case wanted;
    double stretch, length;
    const double effective = snub_corner_length(s, worst->corner, &stretch);
    snub_loads_case(s->drive, s->loads, worst->speed, worst->way, worst->side, effective, stretch, worst->warm,
                    &wanted);
    return snub_length_for_wind(snub_study_rig(s, worst->corner, worst->warm), &wanted, wind, &length)
               ? wanted.belt_length - length
               : (double)NAN;
}

/* At an end of the travel, or beyond an end of the work range: by how much the belt is wrong, and which ones would fit.
 * @param[in] over  m; told where there is any */
static void tell_end(const snub_study *s, snub_finding f, double over, double limit, bool stop)
{
    f.limit = limit;
    if (stop) { /* both ends may be out: `other` keeps the two apart */
        f.kind = SNUB_OTHER_WORDS;
        f.other = SNUB_MESSAGE("the stop's end");
    }
    snub_finding_by(&f, over > 0.0 ? over : (double)NAN);
    if (!snub_finding_fit(s->drive, s->loads, &f))
        s->findings->failed = true;
    snub_study_tell(s, &f);
}

/* The arm stands on it. */
static void tell_on(const snub_study *s, snub_wording wording, const snub_worst *worst, double limit, bool stop)
{
    snub_finding f = snub_study_finding(s, wording, s->drive->arm, worst);
    f.value = limit;
    tell_end(s, f, worst->value, limit, stop);
}

/* A belt that is much too long has no balance in its worst cases: the arm stands at rest in the others only. */
static const snub_worst *furthest_off(const snub_study *s)
{
    const bool slack = s->none.set && s->none_failure == SNUB_FAILS_TOO_LONG_FOR_ARM;
    return slack && s->none.value > s->at_rest.value ? &s->none : &s->at_rest;
}

/* The arm stands short of it. */
static void tell_near(const snub_study *s, snub_wording wording, const snub_worst *worst, double limit, bool stop)
{
    const double over = too_long(s, worst, limit);
    tell_end(s, snub_study_finding(s, wording, s->drive->arm, worst), stop ? -over : over, limit, stop);
}

void snub_judge_arm(const snub_study *s)
{
    if (s->drive->arm < 0)
        return;
    const snub_arm *arm = &s->drive->pulleys[s->drive->arm].arm;
    if (s->at_rest.set)
        tell_on(s, SNUB_SAYS_ARM_ON_REST, furthest_off(s), 0.0, false);
    else if (s->work_low.set && s->work_low.value < arm->work[0])
        tell_near(s, SNUB_SAYS_ARM_NEAR_REST, &s->work_low, arm->work[0], false);
    if (s->at_stop.set)
        tell_on(s, SNUB_SAYS_ARM_ON_STOP, &s->at_stop, arm->travel, true);
    else if (s->work_high.set && s->work_high.value > arm->work[1])
        tell_near(s, SNUB_SAYS_ARM_NEAR_STOP, &s->work_high, arm->work[1], true);
    if (s->dead.set)
        tell(s, SNUB_SAYS_PAST_DEAD_POINT, &s->dead, NAN);
    if (s->several.set)
        tell(s, SNUB_SAYS_TWO_POSITIONS, &s->several, 1.0);
}
