/* The belt's pull at pulleys, and what the crank nose carries. docs/theory/findings.md. */
#include "loads.h"
#include "study.h"

bool snub_hub_is_told(const snub_drive *drive, int pulley)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    return pulley == drive->crank || snub_takes_power(p) || p->max_hub > 0.0;
}

static void judge_hub(const snub_study *s, int i)
{
    const double limit = s->drive->pulleys[i].max_hub;
    const snub_hub_pull pull = snub_study_pull(s, i);
    const double size = hypot(pull.force[0], pull.force[1]);
    if (!(limit > 0.0) || !pull.met || !(size > limit))
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_HUB_OVER_LIMIT, i, NULL);
    const double angle = atan2(pull.force[1], pull.force[0]);
    f.value = size;
    f.at = pull.at;
    f.limit = limit;
    snub_finding_number(&f, "angle", angle, SNUB_UNIT_DEG, 0);
    snub_finding_words(&f, "less", snub_less_tension(s->drive, &s->hub[i]));
    snub_study_tell(s, &f);
}

static void judge_nose(const snub_study *s)
{
    const int crank = s->drive->crank;
    const double limit = s->drive->pulleys[crank].max_torque;
    if (!(limit > 0.0) || !s->nose.set || !(s->nose.value > limit))
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_NOSE_OVER_LIMIT, crank, &s->nose);
    f.limit = limit;
    snub_study_tell(s, &f);
}

void snub_judge_hubs(const snub_study *s)
{
    for (int i = 0; i < s->drive->pulley_count; i++)
        judge_hub(s, i);
    judge_nose(s);
}
