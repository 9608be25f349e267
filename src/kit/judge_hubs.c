/* The belt's pull at pulleys, and what the crank nose carries. docs/theory/findings.md. */
#include "study.h"

bool snub_hub_is_told(const snub_drive *drive, int pulley)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    return pulley == drive->crank || p->load.n > 0 || p->load_by_boost.nx > 0 || p->has_blower || p->max_hub > 0.0;
}

static void judge_hub(const snub_study *s, int i)
{
    const double limit = s->drive->pulleys[i].max_hub;
    if (!(limit > 0.0) || !s->hub[i].set || !(s->hub[i].value > limit))
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_HUB_OVER_LIMIT, i, &s->hub[i]);
    const double angle = atan2(s->hub_force[i][1], s->hub_force[i][0]);
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
