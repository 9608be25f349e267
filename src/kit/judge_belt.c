/* Pulleys and belt as such: sizes, grooves, wrap, speeds, tension and power per rib. docs/guide/findings.md. */
#include "fit.h"
#include "loads.h"
#include "mend.h"
#include "snub/locale.h"

static void judge_grooves(const snub_study *s, int i)
{
    const int grooves = s->drive->pulleys[i].grooves, ribs = s->drive->belt.ribs;
    if (grooves == 0 || grooves >= ribs)
        return;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_FEW_GROOVES, i, NULL);
    f.value = grooves;
    f.limit = ribs;
    snub_study_tell(s, &f);
}

/* Grooves that are too few say the same of a pulley; a plain rim has none. */
static void judge_rim(const snub_study *s, int i)
{
    const snub_pulley *pulley = &s->drive->pulleys[i];
    const snub_belt *belt = &s->drive->belt;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_NARROW_RIM, i, NULL);
    f.value = pulley->width;
    f.limit = snub_belt_width(belt->ribs, belt->pitch);
    if ((pulley->grooves > 0 && pulley->grooves < belt->ribs) || !(f.value < f.limit))
        return;
    snub_mend_number(&f, s->drive, snub_format(s->arena, "%s.width", pulley->name), f.limit, SNUB_UNIT_MM, 1,
                     SNUB_ROUND_UP, s->arena);
    snub_study_tell(s, &f);
}

/* A diameter under a limit of the table. */
static bool judge_diameter(const snub_study *s, int i, snub_wording wording)
{
    const double wide = s->drive->limits[SNUB_LIMIT_BLOWER_DIAMETER_8];
    snub_finding f = snub_study_finding(s, wording, i, NULL);
    f.value = s->drive->pulleys[i].diameter;
    if (!(f.value < f.limit))
        return false;
    if (s->drive->pulleys[i].has_blower)
        snub_finding_number(&f, "ribs", s->drive->belt.ribs, SNUB_UNIT_COUNT, 0);
    snub_finding_words(&f, "more", f.value >= wide ? SNUB_MESSAGE(" Or use a belt of more than 6 ribs.") : "");
    snub_study_tell(s, &f);
    return true;
}

static void judge_size(const snub_study *s, int i)
{
    const snub_pulley *pulley = &s->drive->pulleys[i];
    if (pulley->side == SNUB_BACK) {
        if (!judge_diameter(s, i, SNUB_SAYS_BACK_TOO_SMALL))
            (void)judge_diameter(s, i, SNUB_SAYS_BACK_SMALL_FOR_LIFE);
        return;
    }
    if (pulley->has_blower)
        (void)judge_diameter(s, i,
                             s->drive->belt.ribs <= 6 ? SNUB_SAYS_BLOWER_TOO_SMALL_6 : SNUB_SAYS_BLOWER_TOO_SMALL_8);
    if (!judge_diameter(s, i, SNUB_SAYS_RIB_TOO_SMALL))
        (void)judge_diameter(s, i, SNUB_SAYS_RIB_SMALL_FOR_LIFE);
}

static void judge_wrap(const snub_study *s, int i)
{
    const snub_pulley *pulley = &s->drive->pulleys[i];
    const bool crank = i == s->drive->crank, arm = i == s->drive->arm;
    if (!s->wrap[i].set || !(snub_takes_power(pulley) || crank || arm))
        return;
    const snub_finding f = snub_study_finding(s,
                                              crank                ? SNUB_SAYS_LITTLE_WRAP_CRANK
                                              : pulley->has_blower ? SNUB_SAYS_LITTLE_WRAP_BLOWER
                                              : arm                ? SNUB_SAYS_LITTLE_WRAP_TENSIONER
                                                                   : SNUB_SAYS_LITTLE_WRAP_LOADED,
                                              i, &s->wrap[i]);
    if (f.value < f.limit)
        snub_study_tell(s, &f);
}

/* A shaft or a rotor faster than its maker allows; the engine speed that would just be allowed. */
static void judge_speed(const snub_study *s, int i, snub_wording wording, double step_up, double limit)
{
    const snub_worst *worst = &s->pulley_speed[i];
    if (!worst->set || !(limit > 0.0) || !(worst->value * step_up > limit))
        return;
    snub_finding f = snub_study_finding(s, wording, i, worst);
    f.value = worst->value * step_up;
    f.limit = limit;
    const double engine = s->loads->speed[worst->speed] * limit / f.value;
    snub_finding_most(&f, "engine", engine, SNUB_UNIT_RPM, 0);
    if (engine > s->drive->engine.idle)
        snub_mend_number(&f, s->drive, "engine.redline", engine, SNUB_UNIT_RPM, 0, SNUB_ROUND_DOWN, s->arena);
    snub_study_tell(s, &f);
}

static void judge_speeds(const snub_study *s, int i)
{
    const snub_pulley *pulley = &s->drive->pulleys[i];
    judge_speed(s, i, SNUB_SAYS_PULLEY_TOO_FAST, 1.0, pulley->max_speed);
    if (pulley->has_blower) /* the blower's own limit is of its rotor, behind a step-up */
        judge_speed(s, i, SNUB_SAYS_ROTOR_TOO_FAST, pulley->blower.step_up > 0.0 ? pulley->blower.step_up : 1.0,
                    pulley->blower.max_rotor_speed);
}

/* Most blowers are made to turn with the crank, which the belt's ribs run on; on its back one turns against it. */
static void judge_sense(const snub_study *s, int i)
{
    if (!s->drive->pulleys[i].has_blower || s->drive->pulleys[i].side != SNUB_BACK)
        return;
    const snub_finding f = snub_study_finding(s, SNUB_SAYS_BLOWER_TURNS_BACK, i, NULL);
    snub_study_tell(s, &f);
}

/* A belt that is soft by design may be stretched by more, and one with stiff cords carry more, than either bound alone.
 */
double snub_breaking_strain(const snub_drive *drive)
{
    return fmax(2.0 * drive->limits[SNUB_LIMIT_RIB_TENSION] * drive->belt.ribs / drive->belt.stiffness,
                SNUB_STRAIN_MOST);
}

/* Of a span that is pulled beyond its cords, that; else whether it costs the belt's life. */
static void judge_tension(const snub_study *s)
{
    const snub_belt *belt = &s->drive->belt;
    const double most = s->drive->limits[SNUB_LIMIT_RIB_TENSION], per_rib = s->tension.value / belt->ribs;
    const double breaks = snub_breaking_strain(s->drive) * belt->stiffness / belt->ribs;
    if (!(s->tension.set && per_rib > most))
        return;
    const bool may_break = per_rib > breaks;
    snub_finding f =
        snub_study_finding(s, may_break ? SNUB_SAYS_RIB_MAY_BREAK : SNUB_SAYS_RIB_TENSION_HIGH, -1, &s->tension);
    f.value = per_rib;
    snub_finding_span(s, &f, s->tension_span);
    snub_finding_words(&f, "less", snub_less_tension(s->drive, &s->tension));
    if (may_break) {
        f.limit = breaks;
        snub_finding_number(&f, "strain", s->tension.value / belt->stiffness, SNUB_UNIT_PERCENT, 1);
    }
    snub_study_tell(s, &f);
}

static void judge_ribs(const snub_study *s)
{
    const int ribs = s->drive->belt.ribs;
    judge_tension(s);
    if (s->power.set) {
        snub_finding f = snub_study_finding(s, SNUB_SAYS_RIB_POWER_HIGH, -1, &s->power);
        f.value /= ribs;
        snub_finding_number(&f, "power", s->power.value, SNUB_UNIT_KW, 1);
        snub_finding_number(&f, "ribs", ribs, SNUB_UNIT_COUNT, 0);
        if (f.value > f.limit)
            snub_study_tell(s, &f);
    }
}

static void judge_belt_speed(const snub_study *s)
{
    if (!s->belt_speed.set)
        return;
    const snub_finding f = snub_study_finding(s, SNUB_SAYS_BELT_TOO_FAST, -1, &s->belt_speed);
    if (f.value > f.limit)
        snub_study_tell(s, &f);
}

static void judge_balance(const snub_study *s)
{
    static const snub_wording wordings[] = {[SNUB_FAILS_TOO_LONG_FOR_ARM] = SNUB_SAYS_TOO_LONG_FOR_ARM,
                                            [SNUB_FAILS_TOO_LONG] = SNUB_SAYS_TOO_LONG,
                                            [SNUB_FAILS_MOMENTUM] = SNUB_SAYS_SLACK_BY_MOMENTUM,
                                            [SNUB_FAILS_ARM_LOST] = SNUB_SAYS_NO_ARM_POSITION,
                                            [SNUB_FAILS_NO_ANSWER] = SNUB_SAYS_NO_ANSWER};
    if (!s->none.set)
        return;
    snub_finding f = snub_study_finding(s, wordings[s->none_failure], -1, &s->none);
    if (!snub_finding_fit(s->drive, s->loads, &f))
        s->findings->failed = true;
    snub_study_tell(s, &f);
}

/* Values that nobody measured: whatever else passes, it is of another engine. */
static void judge_placeholders(const snub_study *s)
{
    const snub_placeholders *left = &s->drive->document->placeholders;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_PLACEHOLDERS, -1, NULL);
    f.value = left->count;
    snub_finding_number(&f, "first", left->place.line, SNUB_UNIT_COUNT, 0);
    if (left->count > 0)
        snub_study_tell(s, &f);
}

void snub_judge_belt(const snub_study *s)
{
    judge_balance(s);
    for (int i = 0; i < s->drive->pulley_count; i++) {
        judge_grooves(s, i);
        judge_rim(s, i);
        judge_size(s, i);
        judge_wrap(s, i);
        judge_sense(s, i);
        judge_speeds(s, i);
    }
    judge_belt_speed(s);
    judge_ribs(s);
    if (!s->drive->engine.given) {
        const snub_finding f = snub_study_finding(s, SNUB_SAYS_NO_ENGINE, -1, NULL);
        snub_study_tell(s, &f);
    }
    judge_placeholders(s);
}
