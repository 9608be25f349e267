/* Grip and slack. docs/guide/findings.md. */
#include "snub/locale.h"
#include "study.h"

/* What holds the belt tight. */
static const char *what_pulls(const snub_drive *drive)
{
    return drive->arm >= 0     ? SNUB_MESSAGE("arm moment")
           : drive->locked >= 0 ? SNUB_MESSAGE("tension at the lock")
                                : SNUB_MESSAGE("tension at rest");
}

static void judge_slack(const snub_study *s, int span)
{
    const snub_worst *worst = &s->slack[span];
    if (!worst->set || worst->value > 0.0)
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_SPAN_SLACK, -1, worst);
    f.limit = 0.0;
    snub_finding_span(s, &f, span);
    snub_finding_words(&f, "pull", what_pulls(s->drive));
    snub_study_tell(s, &f);
}

static void judge_grip(const snub_study *s, int i)
{
    const snub_worst *limit = &s->limit_grip[i], *wet = &s->wet_grip[i];
    if (!limit->set || isinf(limit->value))
        return; /* slack is told */
    snub_finding slips = snub_study_finding(s, SNUB_SAYS_SLIPS, i, limit);
    if (slips.value > slips.limit) {
        snub_finding_number(&slips, "share", slips.value, SNUB_UNIT_PERCENT, 0);
        snub_finding_words(&slips, "pull", what_pulls(s->drive));
        snub_study_tell(s, &slips);
        return;
    }
    const snub_finding over = snub_study_finding(s, SNUB_SAYS_OVER_DESIGN_GRIP, i, &s->grip[i]);
    if (over.value > over.limit)
        snub_study_tell(s, &over);
    snub_finding f = snub_study_finding(s, SNUB_SAYS_SLIPS_WET, i, wet);
    f.limit = slips.limit;
    if (f.value > f.limit)
        snub_study_tell(s, &f);
}

void snub_judge_slip(const snub_study *s)
{
    for (int i = 0; i < s->drive->pulley_count; i++) {
        judge_slack(s, i);
        judge_grip(s, i);
    }
}
