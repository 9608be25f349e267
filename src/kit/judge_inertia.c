/* What an inertia that the file does not give would pull at the belt. docs/theory/motion.md, inertias. */
#include "loads.h"
#include "snub/motion.h"
#include "study.h"

/* Of the greatest tension: a pull below that is within what the belt's own figures are known by. Rule of thumb, no
 * published source. */
static const double PULL_COUNTS = 0.1;

static bool inertia_missing(const snub_study *s, int i)
{
    const snub_pulley *p = &s->drive->pulleys[i];
    return i != s->drive->crank && snub_takes_power(p) && !(p->inertia > 0.0);
}

/* What pulleys without inertia would pull at the belt while the engine's speed changes, N: none slows one that
 * overruns. */
static double missing_pull(const snub_study *s, const snub_inertias *assumed, double rate)
{
    double pull = 0.0;
    for (int i = 0; i < s->drive->pulley_count; i++) {
        const snub_pulley *p = &s->drive->pulleys[i];
        if (inertia_missing(s, i) && !(p->overruns && rate < 0.0))
            pull += assumed->pulley[i] * fabs(snub_speed_ratio(s->drive, i) * rate / p->pitch_radius);
    }
    return pull;
}

static const char *missing_inertias(const snub_study *s)
{
    const char *list = "";
    for (int i = 0; i < s->drive->pulley_count; i++) {
        if (inertia_missing(s, i))
            list = snub_key_listed(s->arena, list, s->drive->pulleys[i].name, ".inertia");
    }
    return list;
}

snub_status snub_judge_inertias(const snub_study *s)
{
    snub_inertias assumed;
    snub_finding f = snub_study_finding(s, SNUB_SAYS_INERTIA_MISSING, -1, NULL);
    double fastest = 0.0;
    f.value = 0.0;
    snub_inertias_of(s->drive, &assumed);
    for (int way = 0; way < SNUB_WAYS; way++) {
        const double rate = s->loads->runs[way] ? s->loads->rate[way] : 0.0;
        const double pull = missing_pull(s, &assumed, rate);
        if (pull > f.value) {
            f.value = pull;
            fastest = fabs(rate);
        }
    }
    if (!s->tension.set || !(f.value > PULL_COUNTS * s->tension.value))
        return SNUB_OK;
    const char *missing = missing_inertias(s);
    if (missing == NULL)
        return SNUB_NO_MEMORY;
    snub_finding_name(&f, "missing", missing);
    snub_finding_number(&f, "rate", fastest, SNUB_UNIT_RPM_S, 0);
    snub_study_tell(s, &f);
    return SNUB_OK;
}
