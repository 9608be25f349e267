/* Can the belt be put on. docs/guide/findings.md. */
#include "fit.h"
#include "fitting.h"
#include "snub/locale.h"
#include "study.h"

/* Nothing gives way but the belt.
 * @param[in] fitting  NULL: unknown */
static void judge_stretch(const snub_study *s, const snub_fitting *fitting)
{
    const double stretch = fitting != NULL ? fitting->needed - fitting->slack : (double)NAN;
    const double strain = fitting != NULL ? stretch / fitting->length : 0.0, most = snub_breaking_strain(s->drive);
    const bool breaks = strain > most;
    snub_finding f = snub_study_finding(s, breaks ? SNUB_SAYS_BREAKS_ON_FITTING : SNUB_SAYS_NOTHING_TAKES_UP,
                                        breaks ? fitting->last : -1, NULL);
    f.at.moment = SNUB_ON_FITTING;
    if (breaks) {
        f.value = stretch;
        f.limit = most * fitting->length;
        snub_finding_number(&f, "strain", strain, SNUB_UNIT_PERCENT, 1);
    } else {
        snub_finding_by(&f, stretch > 0.0 ? stretch : (double)NAN);
    }
    snub_study_tell(s, &f);
}

void snub_judge_fitting(const snub_study *s)
{
    const bool arm = s->drive->arm >= 0;
    snub_fitting fitting;
    const bool found =
        snub_fitting_find(s->drive, s->rig[0][SNUB_NOMINAL].settings, s->length, &fitting, NULL) == SNUB_OK;
    if (!arm && s->drive->locked < 0) {
        judge_stretch(s, found ? &fitting : NULL);
        return;
    }
    if (!found || fitting.possible)
        return;
    snub_finding f = snub_study_finding(
        s, fitting.slack < 0.0 ? SNUB_SAYS_TOO_SHORT_TO_FIT : SNUB_SAYS_CANNOT_BE_FITTED, fitting.last, NULL);
    f.at.moment = SNUB_ON_FITTING;
    f.value = fitting.slack;
    f.limit = fitting.needed;
    snub_finding_number(&f, "short", -fitting.slack, SNUB_UNIT_MM, 1);
    snub_finding_words(&f, "slackened", arm ? SNUB_MESSAGE("arm on its stop") : SNUB_MESSAGE("slot slackened"));
    snub_finding_words(&f, "more", arm ? SNUB_MESSAGE("more arm travel") : SNUB_MESSAGE("a longer slot"));
    snub_study_tell(s, &f);
}
