/* Grip and slack. docs/guide/findings.md. */
#include "snub/locale.h"
#include "study.h"

/* What holds the belt tight. */
static const char *what_pulls(const snub_drive *drive)
{
    return drive->arm >= 0      ? SNUB_MESSAGE("arm moment")
           : drive->locked >= 0 ? SNUB_MESSAGE("set tension")
                                : SNUB_MESSAGE("static tension");
}

/* Part of an inertia that may be spared, since there has to be a pulley: rule of thumb, no published source. */
static const double SPARED = 0.5;

/* The pulley whose inertia pulls most at the belt while the engine's speed changes; -1: none, the speed stands, or what
 * can be spared of it cannot make up for what is missing: a span changes by no more than the pull that goes.
 * Which span it slackens is another matter: with an idler between, neither end of that span need be heavy. */
static int heaviest(const snub_study *s, const snub_worst *worst)
{
    const snub_drive *drive = s->drive;
    int heavy = -1;
    double most = 0.0;
    const double rate = s->loads->rate[worst->way];
    if (rate == 0.0)
        return -1;
    for (int i = 0; i < drive->pulley_count; i++) {
        const double radius = drive->pulleys[i].pitch_radius, pull = drive->pulleys[i].inertia / (radius * radius);
        const bool runs_on = drive->pulleys[i].overruns && rate < 0.0;
        if (i != drive->crank && !runs_on && pull > most) {
            most = pull;
            heavy = i;
        }
    }
    const double spared = SPARED * most * fabs(rate) * drive->pulleys[drive->crank].pitch_radius;
    return spared > -worst->value ? heavy : -1;
}

/* An arm that is back at its free position sets no tension: the belt is too long. */
static bool arm_hangs(const snub_worst *worst)
{
    return worst->arm == SNUB_ARM_AT_REST;
}

/* A shorter belt in a slot that is locked at a tension only moves the slot. */
static void name_mend(const snub_study *s, const snub_worst *worst, snub_finding *f)
{
    const int heavy = heaviest(s, worst);
    const bool lock = s->drive->locked >= 0;
    if (arm_hangs(worst))
        snub_finding_words(f, "mend",
                           heavy >= 0 ? SNUB_MESSAGE("Use a shorter belt, or less inertia on {heavy}.")
                                      : SNUB_MESSAGE("Use a shorter belt."));
    else if (heavy >= 0)
        snub_finding_words(f, "mend",
                           lock ? SNUB_MESSAGE("Use more {pull}, or less inertia on {heavy}.")
                                : SNUB_MESSAGE("Use more {pull}, a shorter belt, or less inertia on {heavy}."));
    else
        snub_finding_words(
            f, "mend", lock ? SNUB_MESSAGE("Use more {pull}.") : SNUB_MESSAGE("Use more {pull}, or a shorter belt."));
    snub_finding_name(f, "heavy", heavy >= 0 ? s->drive->pulleys[heavy].name : "");
    snub_finding_words(f, "pull", what_pulls(s->drive));
}

static void judge_slack(const snub_study *s, int span)
{
    const snub_worst *worst = &s->slack[span];
    if (!worst->set || worst->value > 0.0)
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_SPAN_SLACK, -1, worst);
    f.limit = 0.0;
    snub_finding_span(s, &f, span);
    name_mend(s, worst, &f);
    snub_study_tell(s, &f);
}

/* A larger crank pulley turns all others faster: what they ask of the belt does not get less. */
static void name_grip(const snub_study *s, const snub_worst *worst, int i, snub_finding *f)
{
    const bool crank = i == s->drive->crank;
    if (arm_hangs(worst))
        snub_finding_words(f, "mend",
                           crank ? SNUB_MESSAGE("Use a shorter belt, or more wrap.")
                                 : SNUB_MESSAGE("Use a shorter belt, more wrap, or a larger pulley."));
    else
        snub_finding_words(f, "mend",
                           crank ? SNUB_MESSAGE("Use more wrap, or more {pull}.")
                                 : SNUB_MESSAGE("Use more wrap, more {pull}, or a larger pulley."));
    snub_finding_words(f, "pull", what_pulls(s->drive));
}

static void judge_grip(const snub_study *s, int i)
{
    const snub_worst *limit = &s->limit_grip[i], *wet = &s->wet_grip[i];
    if (!limit->set || isinf(limit->value))
        return; /* slack is told */
    snub_finding slips = snub_study_finding(s, SNUB_SAYS_SLIPS, i, limit);
    if (slips.value > slips.limit) {
        snub_finding_number(&slips, "share", slips.value, SNUB_UNIT_PERCENT, 0);
        name_grip(s, limit, i, &slips);
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
