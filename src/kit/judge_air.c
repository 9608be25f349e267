/* Blower and charge, steady with the throttle open. docs/guide/findings.md. */
#include "snub/locale.h"
#include "study.h"

/* Of the speed that an impeller is made for: pressure rise goes with speed squared. */
static const double FAR_UNDER = 0.5;

static snub_condition steady_at(const snub_study *s, int k)
{
    return (snub_condition){.moment = SNUB_RUNNING, .speed = s->loads->speed[k], .way = SNUB_STEADY};
}

static void judge_temperature(const snub_study *s)
{
    const snub_match_result *match = s->loads->match;
    int hottest = 1;
    for (int k = 2; k < s->loads->speeds; k++) {
        if (match[k].outlet_temperature > match[hottest].outlet_temperature)
            hottest = k;
    }
    snub_finding f = snub_study_finding(s, SNUB_SAYS_CHARGE_HOT, s->loads->blower, NULL);
    f.value = match[hottest].outlet_temperature;
    f.at = steady_at(s, hottest);
    if (f.value > f.limit)
        snub_study_tell(s, &f);
}

/* Speeds at which the match has something to say: the first and the last, and whether it is silent between. */
static void judge_flag(const snub_study *s, unsigned flag, snub_wording wording)
{
    const snub_match_result *match = s->loads->match;
    int first = 0, last = 0, met = 0, worst = 0;
    for (int k = 1; k < s->loads->speeds; k++) {
        if (!(match[k].flags & flag))
            continue;
        first = first > 0 ? first : k;
        last = k;
        met++;
        if (worst == 0 || match[k].outside > match[worst].outside)
            worst = k;
    }
    if (first == 0)
        return;
    snub_finding f = snub_study_finding(s, wording, s->loads->blower, NULL);
    if (flag == SNUB_MATCH_OUTSIDE_MAP)
        f.value = match[worst].outside;
    f.at = steady_at(s, flag == SNUB_MATCH_OUTSIDE_MAP ? worst : first);
    snub_finding_words(&f, "gaps", met < last - first + 1 ? SNUB_MESSAGE("with gaps, ") : "");
    snub_finding_number(&f, "from", s->loads->speed[first], SNUB_UNIT_RPM, 0);
    snub_finding_number(&f, "to", s->loads->speed[last], SNUB_UNIT_RPM, 0);
    snub_study_tell(s, &f);
}

/* A displacement blower without leakage gives boost at any speed, however slow. What that does is worked out with the
 * leakage that is usual. */
static void judge_leakage(const snub_study *s)
{
    const snub_drive *drive = s->drive;
    const int last = s->loads->speeds - 1;
    const snub_match_result *idle = &s->loads->match[1], *redline = &s->loads->match[last];
    snub_match_result leaking[2];
    snub_blower blower = drive->pulleys[s->loads->blower].blower;
    if (blower.kind == SNUB_CENTRIFUGAL || blower.map_lines > 0 || blower.leakage_given)
        return;
    blower.leakage_speed = snub_usual_leakage(&blower);
    for (int k = 0; k < 2; k++) {
        const snub_match_result *tight = k == 0 ? idle : redline;
        if (snub_match(&drive->engine, &drive->air, &drive->cooler, &blower, tight->crank_speed, tight->shaft_speed,
                       SNUB_THROTTLE_OPEN, &leaking[k], NULL) != SNUB_OK)
            return;
    }
    snub_finding f = snub_study_finding(s, SNUB_SAYS_NO_LEAKAGE, s->loads->blower, NULL);
    f.value = idle->boost;
    f.at = steady_at(s, 1);
    snub_finding_number(&f, "idle", s->loads->speed[1], SNUB_UNIT_RPM, 0);
    snub_finding_number(&f, "redline", s->loads->speed[last], SNUB_UNIT_RPM, 0);
    snub_finding_number(&f, "most", redline->boost, SNUB_UNIT_KPA, 0);
    snub_finding_number(&f, "leakage", blower.leakage_speed, SNUB_UNIT_RPM, 0);
    snub_finding_number(&f, "value_leaking", leaking[0].boost, SNUB_UNIT_KPA, 0);
    snub_finding_number(&f, "most_leaking", leaking[1].boost, SNUB_UNIT_KPA, 0);
    snub_study_tell(s, &f);
}

/* An impeller behind gears that the file leaves out. */
static void judge_step_up(const snub_study *s)
{
    const int last = s->loads->speeds - 1;
    const snub_blower *blower = &s->drive->pulleys[s->loads->blower].blower;
    const double made_for = blower->map_lines > 0 ? blower->map[blower->map_lines - 1].speed : blower->design_speed;
    if (blower->kind != SNUB_CENTRIFUGAL || blower->step_up > 0.0)
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_NO_STEP_UP, s->loads->blower, NULL);
    f.value = s->loads->match[last].rotor_speed;
    f.at = steady_at(s, last);
    snub_finding_number(&f, "design", made_for, SNUB_UNIT_RPM, 0);
    snub_finding_number(&f, "share", f.value / made_for, SNUB_UNIT_PERCENT, 0);
    if (f.value < FAR_UNDER * made_for)
        snub_study_tell(s, &f);
}

/* Each blower is matched by itself; two that feed one engine share its air. */
static void judge_number(const snub_study *s)
{
    int blowers = 0;
    for (int i = 0; i < s->drive->pulley_count; i++)
        blowers += s->drive->pulleys[i].has_blower;
    if (blowers < 2)
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_SEVERAL_BLOWERS, -1, NULL);
    f.value = blowers;
    f.limit = 1;
    snub_study_tell(s, &f);
}

void snub_judge_air(const snub_study *s)
{
    judge_number(s);
    if (s->loads->match == NULL || s->loads->speeds < 2)
        return;
    judge_leakage(s);
    judge_step_up(s);
    judge_temperature(s);
    judge_flag(s, SNUB_MATCH_NO_BOOST, SNUB_SAYS_NO_BOOST);
    judge_flag(s, SNUB_MATCH_OUTSIDE_MAP, SNUB_SAYS_OUTSIDE_MAP);
    judge_flag(s, SNUB_MATCH_SURGE, SNUB_SAYS_SURGE);
    judge_flag(s, SNUB_MATCH_SEVERAL, SNUB_SAYS_SEVERAL_MATCHES);
}
