/* What comes too near to what: pulleys, spans and each other, with the arm at either end of where it works.
 * docs/guide/findings.md. */
#include "snub/locale.h"
#include "study.h"

enum { GAPS_MOST = 24 };

static const char *name_of(const snub_study *s, int pulley)
{
    return s->drive->pulleys[pulley % s->drive->pulley_count].name;
}

/* "the span from crank to pump", or the pulley's name. */
static const char *thing(const snub_study *s, bool span, int index)
{
    return span ? snub_format(s->arena, "%s - %s", name_of(s, index), name_of(s, index + 1)) : name_of(s, index);
}

static void tell_gap(const snub_study *s, const snub_gap *gap, double wind)
{
    const double clear = gap->gap - gap->flap;
    snub_finding f = snub_study_finding(s,
                                        gap->crossing   ? SNUB_SAYS_SPANS_CROSS
                                        : clear <= 0.0 ? SNUB_SAYS_TOUCHES
                                                        : SNUB_SAYS_GAP_SMALL,
                                        -1, NULL);
    f.value = clear;
    f.pulley = thing(s, gap->kind == SNUB_GAP_SPANS, gap->a);
    f.other = thing(s, gap->kind != SNUB_GAP_PULLEYS, gap->b);
    snub_finding_name(&f, "one", f.pulley);
    snub_finding_name(&f, "two", f.other);
    snub_finding_number(&f, "flap_mm", gap->flap, SNUB_UNIT_MM, 1);
    snub_finding_words(&f, "flap", gap->flap > 0.0 ? SNUB_MESSAGE(" after {flap_mm} of belt flap") : "");
    snub_finding_number(&f, "wind", wind, SNUB_UNIT_DEG, 1);
    snub_finding_words(&f, "arm", s->drive->arm >= 0 ? SNUB_MESSAGE(" with the arm at {wind} from rest") : "");
    snub_study_tell(s, &f);
}

void snub_judge_gaps(const snub_study *s, double *tightest)
{
    const double winds[2] = {s->wind_low.set ? s->wind_low.value : 0.0, s->wind_high.set ? s->wind_high.value : 0.0};
    const double limit = s->drive->limits[SNUB_LIMIT_GAP];
    *tightest = INFINITY;
    for (int end = 0; end < 2; end++) {
        if (end == 1 && winds[1] == winds[0])
            break;
        snub_path path;
        snub_gap gaps[GAPS_MOST];
        int count = 0;
        if (snub_drive_lay(s->drive, winds[end], s->rig[SNUB_NOMINAL].settings, &path, NULL) != SNUB_OK)
            continue;
        snub_gaps(s->drive, &path, s->drive->limits[SNUB_LIMIT_FLAP], INFINITY, gaps, GAPS_MOST, &count);
        for (int g = 0; g < count; g++) {
            *tightest = fmin(*tightest, gaps[g].gap - gaps[g].flap);
            if (gaps[g].gap - gaps[g].flap < limit)
                tell_gap(s, &gaps[g], winds[end]);
        }
    }
}
