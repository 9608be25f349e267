/* The spring arm: ends of its travel, its work range, its dead point. docs/guide/findings.md. */
#include "snub/locale.h"
#include "study.h"

static void tell(const snub_study *s, snub_wording wording, const snub_worst *worst, double limit)
{
    snub_finding f = snub_study_finding(s, wording, s->drive->arm, worst);
    f.limit = limit;
    snub_study_tell(s, &f);
}

void snub_judge_arm(const snub_study *s)
{
    if (s->drive->arm < 0)
        return;
    const snub_arm *arm = &s->drive->pulleys[s->drive->arm].arm;
    if (s->at_rest.set)
        tell(s, SNUB_SAYS_ARM_ON_REST, &s->at_rest, 0.0);
    else if (s->work_low.set && s->work_low.value < arm->work[0])
        tell(s, SNUB_SAYS_ARM_NEAR_REST, &s->work_low, arm->work[0]);
    /* Both ends may be out: each is told. `other` keeps the two apart. */
    if (s->at_stop.set || (s->work_high.set && s->work_high.value > arm->work[1])) {
        const snub_worst *worst = s->at_stop.set ? &s->at_stop : &s->work_high;
        snub_finding f = snub_study_finding(s, s->at_stop.set ? SNUB_SAYS_ARM_ON_STOP : SNUB_SAYS_ARM_NEAR_STOP,
                                            s->drive->arm, worst);
        f.limit = s->at_stop.set ? arm->travel : arm->work[1];
        f.kind = SNUB_OTHER_WORDS;
        f.other = SNUB_MESSAGE("the stop's end");
        snub_study_tell(s, &f);
    }
    if (s->dead.set)
        tell(s, SNUB_SAYS_PAST_DEAD_POINT, &s->dead, NAN);
    if (s->several.set)
        tell(s, SNUB_SAYS_TWO_POSITIONS, &s->several, 1.0);
}
