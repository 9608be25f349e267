/* The drive in motion: slack, slip and stops by its swings, resonances. docs/theory/motion.md, what is judged. */
#include <string.h>

#include "loads.h"
#include "snub/locale.h"
#include "swing.h"

/* ---- what counts ---------------------------------------------------------------------------------------------------
 */

static const char *also(const snub_study *s, const char *list, const char *name, const char *key)
{
    return list == NULL ? NULL : snub_format(s->arena, "%s%s`%s%s`", list, list[0] != '\0' ? ", " : "", name, key);
}

/* An idler is nearly all rim, so that its rule of thumb is one of geometry: it does not count. */
static bool shaft_guessed(const snub_inertias *inertias, int pulley)
{
    const snub_inertia_from from = inertias->pulley_from[pulley];
    return from == SNUB_INERTIA_DRIVEN || from == SNUB_INERTIA_ROTORS || from == SNUB_INERTIA_IMPELLER;
}

static const char *also_shafts(const snub_study *s, const char *list)
{
    for (int i = 0; i < s->drive->pulley_count; i++) {
        if (shaft_guessed(&s->loads->shake->inertias, i))
            list = also(s, list, s->drive->pulleys[i].name, ".inertia");
    }
    return list;
}

/* Keys without which a rule of thumb stands in for what matters: the engine's inertia, those of shafts that are driven,
 * the arm's.
 * @return "" where nothing is missing; NULL where memory is out */
static const char *missing_keys(const snub_study *s)
{
    const snub_drive *drive = s->drive;
    const snub_shake *shake = s->loads->shake;
    const char *list = "";
    if (!shake->measured && drive->engine.inertia <= 0.0)
        list = also(s, list, "engine", ".inertia");
    list = also_shafts(s, list);
    if (drive->arm >= 0 && shake->inertias.arm_from == SNUB_INERTIA_ARM)
        list = also(s, list, drive->pulleys[drive->arm].name, ".arm.inertia");
    return list;
}

/* ---- words ---------------------------------------------------------------------------------------------------------
 */

static snub_finding finding_of(const snub_study *s, snub_wording wording, const snub_swing *at, int pulley)
{
    snub_finding f = snub_study_finding(s, wording, pulley, NULL);
    f.value = at->value;
    f.at = (snub_condition){.moment = SNUB_RUNNING,
                            .speed = at->speed,
                            .way = at->way,
                            .corner = SNUB_NOMINAL,
                            .warmth = s->grows ? SNUB_WARM : SNUB_ANY_WARMTH};
    return f;
}

static const char *name_of(const snub_study *s, int pulley)
{
    return pulley >= 0 ? s->drive->pulleys[pulley].name : "";
}

static void name_order(const snub_swing *at, snub_finding *f)
{
    snub_finding_number(f, "order", at->order, SNUB_UNIT_NONE, at->order == floor(at->order) ? 0 : 1);
}

static void name_mend(const snub_study *s, const snub_swing *at, int heavy, snub_finding *f)
{
    snub_finding_words(
        f, "mend",
        at->sticks ? SNUB_MESSAGE("Use a tensioner with less friction, more {pull}, or less inertia on {heavy}.")
                   : SNUB_MESSAGE("Use more {pull}, or less inertia on {heavy}."));
    snub_finding_words(f, "pull",
                       s->drive->arm >= 0      ? SNUB_MESSAGE("arm moment")
                       : s->drive->locked >= 0 ? SNUB_MESSAGE("set tension")
                                               : SNUB_MESSAGE("static tension"));
    snub_finding_name(f, "heavy", name_of(s, heavy));
}

static void name_resonance(const snub_study *s, const snub_swing *at, snub_finding *f)
{
    if (at->mover < s->drive->pulley_count)
        snub_finding_name(f, "part", name_of(s, at->mover));
    else
        snub_finding_words(f, "part", SNUB_MESSAGE("the arm"));
    snub_finding_number(f, "frequency", at->frequency, SNUB_UNIT_HZ, 1);
}

/* ---- what is told --------------------------------------------------------------------------------------------------
 */

static void tell_slack(const snub_study *s, const snub_swings *w)
{
    const bool slack = w->slack.set && w->slack.share >= 1.0;
    const snub_swing *at = slack ? &w->slack : &w->bound;
    if (!at->set || at->share < 1.0)
        return;
    snub_finding f = finding_of(s, slack ? SNUB_SAYS_SWINGS_SLACK : SNUB_SAYS_MAY_SWING_SLACK, at, -1);
    f.limit = at->limit;
    snub_finding_span(s, &f, at->where);
    name_order(at, &f);
    name_mend(s, at, at->heavy, &f);
    snub_study_tell(s, &f);
}

static void tell_slip(const snub_study *s, const snub_swing *at)
{
    if (!at->set || !(at->share > 1.0))
        return;
    /* an idler has nothing but its own inertia to slip by */
    const bool idles = at->where != s->drive->crank && !snub_takes_power(&s->drive->pulleys[at->where]);
    snub_finding f = finding_of(s, SNUB_SAYS_SLIPS_IN_SWING, at, at->where);
    snub_finding_number(&f, "share", at->value, SNUB_UNIT_PERCENT, 0);
    name_order(at, &f);
    name_mend(s, at, idles ? at->where : at->heavy, &f);
    snub_study_tell(s, &f);
}

static void tell_stop(const snub_study *s, const snub_swing *at, snub_wording wording)
{
    if (!at->set || at->share < 1.0)
        return;
    snub_finding f = finding_of(s, wording, at, s->drive->arm);
    f.limit = at->limit;
    name_order(at, &f);
    snub_finding_name(&f, "heavy", name_of(s, at->heavy));
    snub_study_tell(s, &f);
}

static void tell_resonance(const snub_study *s, const snub_swing *at, snub_wording wording)
{
    snub_finding f = finding_of(s, wording, at, -1);
    f.value = at->share;
    if (!at->set || !(f.value > f.limit))
        return;
    snub_finding_span(s, &f, at->where);
    name_order(at, &f);
    name_resonance(s, at, &f);
    if (wording == SNUB_SAYS_RESONANCE_AT_IDLE)
        snub_finding_number(&f, "margin", fabs(at->speed / s->drive->engine.idle - 1.0), SNUB_UNIT_PERCENT, 0);
    snub_study_tell(s, &f);
}

/* The arm does not do its job where a span hangs loose that it should keep tight. */
static void tell_held(const snub_study *s, const snub_swing *at)
{
    if (!at->set || !(at->share >= 1.0))
        return;
    snub_finding f = finding_of(s, SNUB_SAYS_ARM_HELD, at, s->drive->arm);
    f.value = at->friction;
    snub_study_tell(s, &f);
}

/* ---- what does not count -------------------------------------------------------------------------------------------
 */

/* One note on the gravest of it: all of it goes by the same rules of thumb. */
static void tell_assumed(const snub_study *s, const snub_swings *w, const char *missing)
{
    const double allowed = s->drive->limits[SNUB_LIMIT_RESONANCE_SWING];
    const struct {
        const snub_swing *at;
        double limit;
        const char *what;
    } kinds[] = {
        {&w->slack, 1.0, SNUB_MESSAGE("The span {a} to {b} hangs loose for a part of each swing")},
        {&w->slip, 1.0, SNUB_MESSAGE("{a} slips at the peak of each swing")},
        {&w->stop, 1.0, SNUB_MESSAGE("The arm swings against its stop")},
        {&w->rest, 1.0, SNUB_MESSAGE("The arm swings back to its free position")},
        {&w->idle, allowed, SNUB_MESSAGE("Near idle the crank meets a resonance, and the span {a} to {b} swings hard")},
        {&w->range, allowed, SNUB_MESSAGE("The crank meets a resonance, and the span {a} to {b} swings hard")},
    };
    size_t k = 0;
    while (k < sizeof kinds / sizeof kinds[0] && !(kinds[k].at->set && kinds[k].at->share > kinds[k].limit))
        k++;
    if (k == sizeof kinds / sizeof kinds[0])
        return;
    const snub_swing *at = kinds[k].at;
    snub_finding f = finding_of(s, SNUB_SAYS_SWING_ASSUMED, at, -1);
    f.value = at->share;
    f.limit = kinds[k].limit;
    snub_finding_words(&f, "what", kinds[k].what);
    snub_finding_name(&f, "a", name_of(s, at->where));
    snub_finding_name(&f, "b", name_of(s, (at->where + 1) % s->drive->pulley_count));
    snub_finding_name(&f, "missing", missing);
    snub_study_tell(s, &f);
}

/* What the swing adds to the loads, behind the cases without it. */
static snub_status join_loads(snub_study *s, const snub_swings *w)
{
    s->swings = true;
    s->swinging = w->by;
    memcpy(s->hub_swung, w->hub, sizeof s->hub_swung);
    if (w->sample_count == 0)
        return SNUB_OK;
    snub_hub_sample *all = SNUB_NEW(s->scratch, snub_hub_sample, s->sample_count + w->sample_count);
    if (all == NULL)
        return SNUB_NO_MEMORY;
    memcpy(all, s->samples, sizeof *all * (size_t)s->sample_count);
    memcpy(all + s->sample_count, w->samples, sizeof *all * (size_t)w->sample_count);
    s->samples = all;
    s->sample_count += w->sample_count;
    return SNUB_OK;
}

snub_status snub_judge_motion(snub_study *s)
{
    snub_swings w;
    if (s->loads->shake == NULL)
        return SNUB_OK;
    const char *missing = missing_keys(s);
    if (missing == NULL)
        return SNUB_NO_MEMORY;
    const bool counts = missing[0] == '\0';
    snub_status status = snub_swings_find(s, counts, &w);
    if (status != SNUB_OK || !w.slack.set)
        return status;
    s->swing_missing = missing;
    if (counts && join_loads(s, &w) != SNUB_OK)
        return SNUB_NO_MEMORY;
    if (!counts) {
        tell_assumed(s, &w, missing);
        return SNUB_OK;
    }
    tell_slack(s, &w);
    tell_slip(s, &w.slip);
    tell_stop(s, &w.stop, SNUB_SAYS_SWINGS_ON_STOP);
    tell_stop(s, &w.rest, SNUB_SAYS_SWINGS_ON_REST);
    tell_resonance(s, &w.idle, SNUB_SAYS_RESONANCE_AT_IDLE);
    tell_resonance(s, &w.range, SNUB_SAYS_RESONANCE_IN_RANGE);
    tell_held(s, &w.held);
    return SNUB_OK;
}

/* ---- inertias that the cases are without ------------------------------------------------------------------------ */

/* Of the greatest tension: a pull below that is within what the belt's own figures are known by. Rule of thumb, no
 * published source. */
static const double PULL_COUNTS = 0.1;

/* What pulleys without inertia would pull at the belt while the engine's speed changes, N: none slows one that
 * overruns. */
static double missing_pull(const snub_study *s, const snub_inertias *guessed, double rate)
{
    double pull = 0.0;
    for (int i = 0; i < s->drive->pulley_count; i++) {
        const snub_pulley *p = &s->drive->pulleys[i];
        if (shaft_guessed(guessed, i) && !(p->overruns && rate < 0.0))
            pull += guessed->pulley[i] * fabs(snub_speed_ratio(s->drive, i) * rate / p->pitch_radius);
    }
    return pull;
}

snub_status snub_judge_inertias(const snub_study *s)
{
    if (s->loads->shake == NULL)
        return SNUB_OK;
    const snub_inertias *guessed = &s->loads->shake->inertias;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_INERTIA_MISSING, -1, NULL);
    double fastest = 0.0;
    f.value = 0.0;
    for (int way = 0; way < SNUB_WAYS; way++) {
        const double pull = missing_pull(s, guessed, s->loads->rate[way]);
        if (pull > f.value) {
            f.value = pull;
            fastest = fabs(s->loads->rate[way]);
        }
    }
    if (!s->tension.set || !(f.value > PULL_COUNTS * s->tension.value))
        return SNUB_OK;
    const char *missing = also_shafts(s, "");
    if (missing == NULL)
        return SNUB_NO_MEMORY;
    snub_finding_name(&f, "missing", missing);
    snub_finding_number(&f, "rate", fastest, SNUB_UNIT_RPM_S, 0);
    snub_study_tell(s, &f);
    return SNUB_OK;
}
