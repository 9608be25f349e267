/* Can the belt be put on. docs/guide/findings.md. */
#include "fitting.h"
#include "snub/locale.h"
#include "study.h"

void snub_judge_fitting(const snub_study *s)
{
    const bool arm = s->drive->arm >= 0;
    snub_fitting fitting;
    if (!arm && s->drive->locked < 0) {
        snub_finding f = snub_study_finding(s, SNUB_SAYS_NOTHING_TAKES_UP, -1, NULL);
        f.at.moment = SNUB_ON_FITTING;
        snub_study_tell(s, &f);
        return;
    }
    if (snub_fitting_find(s->drive, s->rig[0][SNUB_NOMINAL].settings, s->length, &fitting, NULL) != SNUB_OK ||
        fitting.possible)
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
