/* Every case of a judgement: speeds, ways of running, belts in tolerance, both edges of arm friction. */
#include "study.h"
#include "loads.h"
#include "snub/locale.h"

#include <stdlib.h>
#include <string.h>

double snub_corner_length(const snub_study *study, snub_corner corner, double *stretch)
{
    return snub_belt_shown(&study->drive->belt, study->length, snub_corner_belt(corner), stretch);
}

const snub_rig *snub_study_rig(const snub_study *study, snub_corner corner, bool warm)
{
    return &study->rig[warm && study->drive->engine.growth != 0.0][study->same_rig ? SNUB_NOMINAL : corner];
}

bool snub_study_shown_warm(const snub_study *study, int speed)
{
    return study->grows && study->loads->speed[speed] > 0.0;
}

/* ---- the worst of each ------------------------------------------------------------------------------------------- */

/* Cases that are alike differ by rounding alone, which is another with every compiler: the first that is met is named.
 */
static const double ALIKE = 1e-10;

static bool worse(const snub_worst *worst, double value, bool greater)
{
    const double margin = ALIKE * fabs(worst->value);
    return !worst->set || (greater ? value > worst->value + margin : value < worst->value - margin);
}

static bool keep(snub_worst *worst, double value, bool greater, const snub_worst *now)
{
    if (!worse(worst, value, greater))
        return false;
    *worst = *now;
    worst->value = value;
    worst->set = true;
    return true;
}

static void note_hub_loads(snub_study *study, const snub_pulley_state *pulley, const snub_worst *now)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const double *hub = pulley[i].hub;
        const double most = study->hub[i].value; /* hypot takes its time, and few are worse */
        if (study->hub[i].set && hub[0] * hub[0] + hub[1] * hub[1] <= most * most)
            continue;
        if (keep(&study->hub[i], hypot(hub[0], hub[1]), true, now))
            memcpy(study->hub_force[i], hub, sizeof study->hub_force[i]);
    }
    keep(&study->nose, fabs(pulley[study->drive->crank].torque), true, now);
}

static void note_pulleys(snub_study *study, const snub_pulley_state *pulley, double centrifugal, const snub_worst *now)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley_state *state = &pulley[i];
        keep(&study->grip[i], state->grip_design, true, now);
        keep(&study->limit_grip[i], state->grip_limit, true, now);
        if ((now->way == SNUB_STEADY || now->way == SNUB_RISING) &&
            state->grip_limit > study->drive->limits[SNUB_LIMIT_GRIP_SLIP])
            keep(&study->onset, study->loads->speed[now->speed], false, now);
        keep(&study->wet_grip[i], state->grip_wet, true, now);
        keep(&study->slack[i], state->exit - centrifugal, false, now);
        keep(&study->wrap[i], state->wrap, false, now);
        keep(&study->pulley_speed[i], fabs(state->speed), true, now);
        if (keep(&study->tension, state->exit, true, now))
            study->tension_span = i;
    }
    const snub_pulley_state *crank = &pulley[study->drive->crank];
    if (now->peak == NULL) /* power is a mean: belt life goes by it */
        keep(&study->power, -crank->torque * fabs(crank->speed), true, now);
}

/* Arms at an end of their travel all have the same wind: the worst is the one whose belt is furthest beyond it. What
 * the spring could not stretch the belt by is no excess: 0. */
static void note_end(const snub_study *study, snub_worst *end, const snub_rig *rig, const snub_case *wanted,
                     const snub_worst *now)
{
    const bool stop = end == &study->at_stop;
    const double wind = stop ? study->drive->pulleys[study->drive->arm].arm.travel : 0.0;
    double length, beyond = 0.0;
    if (snub_length_for_wind(rig, wanted, wind, &length))
        beyond = stop ? length - wanted->belt_length : wanted->belt_length - length;
    keep(end, fmax(beyond, 0.0), true, now);
}

static void note_arm(snub_study *study, const snub_rig *rig, const snub_case *wanted, const snub_equilibrium *e,
                     const snub_worst *now)
{
    keep(&study->belt_speed, e->belt_speed, true, now);
    if (e->arm == SNUB_ARM_NONE)
        return;
    keep(&study->wind_low, e->wind, false, now);
    keep(&study->wind_high, e->wind, true, now);
    if (now->way == SNUB_STEADY) {
        keep(&study->work_low, e->wind, false, now);
        keep(&study->work_high, e->wind, true, now);
    }
    if (e->arm == SNUB_ARM_AT_REST)
        note_end(study, &study->at_rest, rig, wanted, now);
    if (e->arm == SNUB_ARM_AT_STOP)
        note_end(study, &study->at_stop, rig, wanted, now);
    if (e->equilibria > 1)
        keep(&study->several, e->equilibria, true, now);
    if (e->past_dead_point)
        keep(&study->dead, e->wind, false, now);
}

/* Hub forces: what the hardware is judged by. */
static bool note_hubs(snub_study *study, const snub_pulley_state *pulley, const snub_worst *now)
{
    const int n = study->drive->pulley_count;
    snub_hub_sample *sample = &study->samples[study->sample_count];
    sample->force = snub_alloc(study->scratch, (size_t)n, sizeof *sample->force);
    sample->speed = SNUB_NEW(study->scratch, double, n);
    sample->reaction = SNUB_NEW(study->scratch, double, n);
    if (sample->force == NULL || sample->speed == NULL || sample->reaction == NULL)
        return false;
    study->sample_count++;
    sample->engine_speed = study->loads->speed[now->speed];
    sample->at = snub_worst_at(study, now);
    sample->steady = now->way == SNUB_STEADY && now->side == 0 && now->peak == NULL &&
                     now->warm == snub_study_shown_warm(study, now->speed);
    for (int i = 0; i < n; i++) {
        memcpy(sample->force[i], pulley[i].hub, sizeof sample->force[i]);
        sample->speed[i] = fabs(pulley[i].speed);
        /* the shaft drags the housing along the way that it turns; speeds are positive clockwise */
        const double absorbed = snub_loads_absorbed(study->drive, study->loads, now->speed, now->way, now->peak, i);
        sample->reaction[i] = pulley[i].speed > 0.0 ? -absorbed : absorbed;
    }
    return true;
}

/* What is told of the cases without balance: the gravest reason; of that the greatest length too many, or the case in
 * which it is met first. */
static void note_none(snub_study *study, snub_failure failure, double amount, const snub_worst *now)
{
    const bool length = failure == SNUB_FAILS_TOO_LONG_FOR_ARM || failure == SNUB_FAILS_TOO_LONG;
    const bool graver = !study->none.set || failure < study->none_failure;
    if (!graver && !(failure == study->none_failure && length && amount > study->none.value))
        return;
    study->none = *now;
    study->none.value = amount;
    study->none_failure = failure;
}

/* ---- the cases --------------------------------------------------------------------------------------------------- */

static bool note_balance(snub_study *study, const snub_rig *rig, const snub_case *wanted, const snub_equilibrium *e,
                         const snub_worst *now)
{
    snub_pulley_state pulley[SNUB_PULLEYS_MOST];
    snub_expand_pulleys(study->drive, rig, wanted, e, pulley);
    note_pulleys(study, pulley, e->centrifugal, now);
    note_hub_loads(study, pulley, now);
    return study->samples == NULL || note_hubs(study, pulley, now);
}

/* The moments in which loads are at their peaks, the arm where the mean torque puts it. */
static bool run_peaks(snub_study *study, const snub_rig *rig, const snub_case *mean, const snub_equilibrium *at,
                      const snub_worst *now)
{
    const int states = now->speed > 0 ? snub_peak_states(study->loads) : 0;
    for (int k = 0; k < states; k++) {
        snub_worst peak = *now;
        snub_case wanted = *mean;
        snub_equilibrium held;
        peak.peak = snub_loads_peak(study->drive, study->loads, now->speed, now->way, k, &wanted);
        snub_solve_held(rig, &wanted, at, &held);
        if (!note_balance(study, rig, &wanted, &held, &peak))
            return false;
    }
    return true;
}

/* Cases that wait to be solved together: enough for the lanes of each rig to be full, and no more than a processor has
 * at hand. */
enum { WAITING_MOST = 216 };

typedef struct waiting {
    int count;
    snub_worst now[WAITING_MOST];
    const snub_rig *rig[WAITING_MOST];
    snub_case wanted[WAITING_MOST];
    snub_equilibrium e[WAITING_MOST];
    snub_status status[WAITING_MOST];
} waiting;

static bool note_case(snub_study *study, const snub_worst *now, const snub_rig *rig, const snub_case *wanted,
                      const snub_equilibrium *e, snub_status status)
{
    double amount;
    if (status != SNUB_OK) {
        const snub_failure failure = snub_solve_failure(rig, wanted, status, &amount);
        note_none(study, failure, amount, now);
        study->lost++;
        return true;
    }
    snub_worst met = *now;
    met.arm = e->arm;
    note_arm(study, rig, wanted, e, &met);
    return note_balance(study, rig, wanted, e, &met) && run_peaks(study, rig, wanted, e, &met);
}

/* All that wait for one rig. */
static void solve_of_rig(waiting *w, const snub_rig *rig)
{
    const snub_case *wanted[WAITING_MOST];
    snub_equilibrium *e[WAITING_MOST];
    snub_status status[WAITING_MOST];
    int count = 0, told = 0;
    for (int i = 0; i < w->count; i++) {
        if (w->rig[i] != rig)
            continue;
        wanted[count] = &w->wanted[i];
        e[count++] = &w->e[i];
    }
    snub_solve_many(rig, count, wanted, e, status);
    for (int i = 0; i < w->count; i++) {
        if (w->rig[i] == rig)
            w->status[i] = status[told++];
    }
}

/* Solve what waits, and note it in the order in which it came. */
static bool run_waiting(snub_study *study, waiting *w)
{
    for (int warm = 0; warm < 2; warm++) {
        for (int corner = 0; corner < SNUB_CORNERS; corner++)
            solve_of_rig(w, &study->rig[warm][corner]);
    }
    for (int i = 0; i < w->count; i++) {
        if (!note_case(study, &w->now[i], w->rig[i], &w->wanted[i], &w->e[i], w->status[i]))
            return false;
    }
    w->count = 0;
    return true;
}

static bool run_case(snub_study *study, waiting *w, const snub_worst *now)
{
    double stretch;
    const int i = w->count++;
    const double length = snub_corner_length(study, now->corner, &stretch);
    w->now[i] = *now;
    w->rig[i] = snub_study_rig(study, now->corner, now->warm);
    snub_loads_case(study->drive, study->loads, now->speed, now->way, now->side, length, stretch, now->warm,
                    &w->wanted[i]);
    return w->count < WAITING_MOST || run_waiting(study, w);
}

/* Tension and wind go with the side of arm friction: the middle lies between its edges, and is looked at first for the
 * nominal belt, so that it is the one that is told where others are no worse; for the other belts only where hardware
 * has a duty. */
static bool run_corner(snub_study *study, waiting *w, int speed, snub_way way, snub_corner corner, bool warm)
{
    static const int nominal[] = {0, -1, 1}, other[] = {-1, 1, 0}, no_arm[] = {0};
    const bool arm = study->drive->arm >= 0, duty = study->samples != NULL && way == SNUB_STEADY;
    const int *sides = !arm ? no_arm : corner == SNUB_NOMINAL ? nominal : other;
    const int count = !arm ? 1 : corner == SNUB_NOMINAL || duty ? 3 : 2;
    for (int k = 0; k < count; k++) {
        const snub_worst now = {0.0, speed, way, corner, sides[k], true, warm, NULL, SNUB_ARM_NONE};
        if (!run_case(study, w, &now))
            return false;
    }
    return true;
}

/* Every belt, cold and warm; first as it is shown, so that of cases that are alike that one is named. */
static bool run_corners(snub_study *study, waiting *w, int speed, snub_way way)
{
    const bool shown = snub_study_shown_warm(study, speed);
    for (int k = 0; k < (study->grows ? 2 : 1); k++) {
        const bool warm = k == 0 ? shown : !shown;
        for (int corner = 0; corner < SNUB_CORNERS; corner++) {
            if (study->has_rig[warm][corner] && !run_corner(study, w, speed, way, (snub_corner)corner, warm))
                return false;
        }
    }
    return true;
}

static bool run_ways(snub_study *study, waiting *w)
{
    const int last = study->loads->speeds - 1;
    for (int speed = 0; speed <= last; speed += study->ends_only && last > 1 ? last : 1) {
        for (int way = 0; way < (speed == 0 ? 1 : SNUB_WAYS); way++) {
            if (study->loads->runs[way] && !run_corners(study, w, speed, (snub_way)way))
                return false;
        }
    }
    return run_waiting(study, w);
}

bool snub_study_run(snub_study *study)
{
    const int cases = (study->grows ? 2 : 1) * 3 * SNUB_CORNERS * SNUB_WAYS * study->loads->speeds *
                      (1 + snub_peak_states(study->loads));
    const bool hubs = study->drive->hardware != NULL && !study->ends_only;
    waiting *w = malloc(sizeof *w); /* large, and written before it is read */
    study->samples = hubs ? SNUB_NEW(study->scratch, snub_hub_sample, cases) : NULL;
    bool good = w != NULL && (!hubs || study->samples != NULL);
    if (good) {
        w->count = 0;
        good = run_ways(study, w);
    }
    free(w);
    study->steady_count = study->sample_count;
    return good;
}

/* ---- findings ---------------------------------------------------------------------------------------------------- */

snub_condition snub_worst_at(const snub_study *study, const snub_worst *worst)
{
    const double speed = study->loads->speed[worst->speed];
    return (snub_condition){.moment = speed > 0.0 ? SNUB_RUNNING : SNUB_AT_REST,
                            .speed = speed,
                            .way = worst->way,
                            .corner = worst->corner,
                            .side = study->drive->arm >= 0 ? worst->side : 0,
                            .warmth = !study->grows ? SNUB_ANY_WARMTH
                                      : worst->warm ? SNUB_WARM
                                                    : SNUB_COLD,
                            .peak = worst->peak};
}

snub_finding snub_study_finding(const snub_study *study, snub_wording wording, int pulley, const snub_worst *worst)
{
    snub_finding finding = snub_finding_of(study->drive, wording);
    if (pulley >= 0) {
        finding.pulley = study->drive->pulleys[pulley].name;
        finding.line = study->drive->pulleys[pulley].place.line;
    }
    if (worst != NULL) {
        finding.value = worst->value;
        finding.at = snub_worst_at(study, worst);
    }
    return finding;
}

snub_hub_pull snub_study_pull(const snub_study *study, int pulley)
{
    const double *force = study->hub_force[pulley], *most = study->hub_swung[pulley].force;
    snub_hub_pull pull = {.met = study->hub[pulley].set,
                          .force = {force[0], force[1]},
                          .at = snub_worst_at(study, &study->hub[pulley]),
                          .steady = study->hub[pulley].value};
    if (study->hub_swung[pulley].met && hypot(most[0], most[1]) > pull.steady) {
        memcpy(pull.force, most, sizeof pull.force);
        pull.at = study->hub_swung[pulley].at;
    }
    return pull;
}

void snub_finding_span(const snub_study *study, snub_finding *finding, int span)
{
    finding->kind = SNUB_OTHER_SPAN;
    finding->other = study->drive->pulleys[span].name;
    finding->second = study->drive->pulleys[(span + 1) % study->drive->pulley_count].name;
}

/* A longer belt in a slot that is locked at a tension only moves the slot; on an arm it changes the lever as well. An
 * arm on its stop sets no tension. */
const char *snub_less_tension(const snub_drive *drive, const snub_worst *worst)
{
    return drive->arm >= 0 && worst->arm != SNUB_ARM_AT_STOP ? SNUB_MESSAGE("less arm moment")
           : drive->locked >= 0                              ? SNUB_MESSAGE("a lower set tension")
                                                             : SNUB_MESSAGE("a longer belt");
}

void snub_study_tell(const snub_study *study, const snub_finding *finding)
{
    snub_findings_add(study->findings, study->arena, finding);
}
