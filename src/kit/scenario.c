/* A settled build step by step in time. */
#include "fixed_tensioner.h"
#include "scenario_clutch.h"
#include "scenario_course.h"
#include "scenario_loads.h"
#include "scenario_thrown.h"

#include <string.h>

/* The crank's unevenness comes in over this time: a run that began with all of it would begin with a blow. */
static const double FADES_IN = 0.2; /* s */
/* Happenings of one kind and place that are nearer than that are told as one. */
static const double TOGETHER = 0.1; /* s */

/* The crank's orders over its speed: amplitude of the crank's speed times the speed, which changes little. */
typedef struct uneven {
    int count, speeds;
    double order[2 * SNUB_ORDERS];
    double *cosine, *sine; /* [speed * 2 SNUB_ORDERS + order], rad2/s2 */
} uneven;

typedef struct setting {
    const snub_course *course;
    snub_shaft_loads loads;
    uneven uneven;
} setting;

/* ---- the crank --------------------------------------------------------------------------------------------------- */

static int row_of(uneven *u, double order)
{
    for (int k = 0; k < u->count; k++) {
        if (u->order[k] == order)
            return k;
    }
    if (u->count == 2 * SNUB_ORDERS)
        return -1;
    u->order[u->count] = order;
    return u->count++;
}

static bool take_orders(const snub_vibration *v, snub_arena *arena, uneven *u)
{
    u->speeds = v->speeds;
    u->cosine = SNUB_NEW(arena, double, v->speeds * 2 * SNUB_ORDERS);
    u->sine = SNUB_NEW(arena, double, v->speeds * 2 * SNUB_ORDERS);
    if (u->cosine == NULL || u->sine == NULL)
        return false;
    for (int s = 0; s < v->speeds; s++) {
        const snub_vibration_point *p = &v->point[s];
        for (int k = 0; k < p->order_count; k++) {
            const int row = row_of(u, p->order[k].order);
            if (row < 0)
                continue;
            const double size = p->order[k].speed * p->speed * p->speed;
            u->cosine[s * 2 * SNUB_ORDERS + row] = size * cos(p->order[k].phase);
            u->sine[s * 2 * SNUB_ORDERS + row] = size * sin(p->order[k].phase);
        }
    }
    return true;
}

/* d/dt of sum of A cos(o angle - phase). */
static double swing(const setting *s, double time, double mean, double angle)
{
    const uneven *u = &s->uneven;
    const double low = s->loads.low, high = s->loads.high;
    const double at = u->speeds > 1 ? fmin(fmax((mean - low) / (high - low), 0.0), 1.0) * (u->speeds - 1) : 0.0;
    const int k = u->speeds > 1 ? (int)fmin(at, u->speeds - 2) : 0;
    const double share = at - k, fade = time < FADES_IN ? 0.5 * (1.0 - cos(SNUB_PI * time / FADES_IN)) : 1.0;
    const double *c = &u->cosine[k * 2 * SNUB_ORDERS], *d = &u->sine[k * 2 * SNUB_ORDERS];
    const int next = u->speeds > 1 ? 2 * SNUB_ORDERS : 0;
    double sum = 0.0;
    for (int o = 0; o < u->count; o++) {
        const double turned = u->order[o] * angle;
        const double cosine = c[o] + share * (c[o + next] - c[o]), sine = d[o] + share * (d[o + next] - d[o]);
        sum += sine * cos(turned) - cosine * sin(turned);
    }
    return fade * sum / mean;
}

static void crank_at(const void *context, double time, snub_run_crank *crank)
{
    const setting *s = context;
    const snub_course *c = s->course;
    const int k = snub_course_at(c, time);
    const double since = time - c->time[k];
    crank->rate = (c->speed[k + 1] - c->speed[k]) / (c->time[k + 1] - c->time[k]);
    crank->mean = c->speed[k] + crank->rate * since;
    crank->now = crank->mean;
    if (s->uneven.count > 0)
        crank->now += swing(s, time, crank->mean, c->angle[k] + since * (c->speed[k] + 0.5 * crank->rate * since));
}

static double torque_at(const void *context, int pulley, double time, double speed)
{
    const setting *s = context;
    const int k = snub_course_at(s->course, time);
    const snub_course *c = s->course;
    const double rate = (c->speed[k + 1] - c->speed[k]) / (c->time[k + 1] - c->time[k]);
    return snub_shaft_load(&s->loads, pulley, c->speed[k] + rate * (time - c->time[k]), snub_course_open(c, time),
                           speed);
}

/* ---- the model --------------------------------------------------------------------------------------------------- */

static void put_model(snub_scenario_run *run, const snub_rig *rig, const setting *context, snub_run_model *m)
{
    const snub_drive *drive = run->drive;
    const snub_inertias *inertias = &run->vibration.inertias;
    *m = (snub_run_model){.rig = rig,
                          .arm_free = drive->arm >= 0,
                          .slip_drag = snub_run_usual_drag(rig),
                          .crank_at = crank_at,
                          .torque_at = torque_at,
                          .context = context};
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        m->inertia[i] = i == drive->crank ? 0.0 : inertias->pulley[i];
        m->friction[i] = p->side == SNUB_RIB ? drive->belt.limit.rib : drive->belt.limit.back;
        m->rim[i] = inertias->rim[i];
    }
    if (run->clutch.torque > 0.0) {
        m->clutch = &run->clutch;
        m->rim[run->clutch.pulley] = run->clutch_rim;
    }
    if (drive->arm < 0)
        return;
    m->arm_inertia = inertias->arm;
    m->arm_friction[0] = rig->damping * rig->preload;
    m->arm_friction[1] = rig->damping * rig->rate;
    m->stops[1] = rig->travel;
}

static void put_start(const snub_rig *rig, const snub_balance *balance, double crank_speed, snub_run_start *start)
{
    const double *tension = balance->span_tension;
    const int n = rig->n, into = (rig->crank + n - 1) % n;
    const double flow = crank_speed * fabs(rig->path.radius[rig->crank]) / (1.0 + tension[into] / rig->stiffness);
    *start = (snub_run_start){.wind = balance->equilibrium.wind};
    memcpy(start->tension, tension, (size_t)n * sizeof *tension);
    for (int i = 0; i < n; i++) {
        const double strain = tension[(i + n - 1) % n] / rig->stiffness;
        start->speed[i] = flow * (1.0 + strain) / fabs(rig->path.radius[i]);
    }
}

static snub_status balance_at(const snub_build *build, double speed, double open, snub_arena *arena, snub_state *state,
                              snub_error *error)
{
    const snub_wanted_state wanted = {.speed = speed, .way = open > 0.0 ? SNUB_STEADY : SNUB_SHUT};
    return snub_build_state(build, &wanted, arena, state, error);
}

/* ---- what came of it --------------------------------------------------------------------------------------------- */

double snub_loose_sag(double span, double loose)
{
    return sqrt(0.375 * span * fmax(loose, 0.0));
}

static int find_thrown(const snub_scenario_run *run, const snub_rig *rig)
{
    for (int k = 0; k < run->result.event_count; k++) {
        const snub_run_event *e = &run->result.events[k];
        const double span = rig->path.span[e->at];
        const double speed = fabs(rig->path.radius[rig->crank]) * fmax(e->speed[0], e->speed[1]);
        if (e->kind == SNUB_RUN_SLACK && e->longest * speed > span &&
            snub_loose_sag(span, e->slack_long) > run->drive->belt.thickness)
            return k;
    }
    return -1;
}

static snub_status put_end(snub_scenario_run *run, snub_arena *arena, snub_state *state, snub_error *error)
{
    const snub_course *c = &run->course;
    const snub_run_result *r = &run->result;
    run->end = (snub_run_end){.wind = NAN, .balance = NAN, .band = {NAN, NAN}};
    const snub_status status =
        balance_at(run->build, c->speed[c->count - 1], c->open[c->count - 1], arena, state, error);
    run->end.solved = status == SNUB_OK && state->solved && r->whole;
    if (!run->end.solved || run->drive->arm < 0)
        return status;
    run->end.wind = r->samples[r->sample_count - 1].wind;
    run->end.balance = state->balance.equilibrium.wind;
    run->end.band[0] = fmin(state->wind_band[0], state->wind_band[1]);
    run->end.band[1] = fmax(state->wind_band[0], state->wind_band[1]);
    return status;
}

/* How unevenly the crank turns, over the speeds of the course. */
static snub_status find_unevenness(snub_scenario_run *run, double low, double high, snub_arena *arena, uneven *u,
                                   snub_error *error)
{
    const snub_vibration_request request = {.speeds = SNUB_RUN_SPEEDS, .speed = high > low ? (double)NAN : low};
    const snub_status status = snub_vibration_run(run->build, &request, arena, &run->vibration, error);
    if (status != SNUB_OK)
        return status;
    run->even = run->request.even || !run->vibration.uneven.known;
    if (!run->even && !take_orders(&run->vibration, arena, u))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return SNUB_OK;
}

static snub_status run_course(snub_scenario_run *run, const snub_rig *rig, const setting *s, const snub_state *state,
                              snub_arena *arena, snub_error *error)
{
    snub_run_model *model = SNUB_NEW(arena, snub_run_model, 1);
    const snub_course *c = &run->course;
    snub_run_start start;
    if (model == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    put_model(run, rig, s, model);
    put_start(rig, &state->balance, c->speed[0], &start);
    const snub_run_request request = {.length = c->time[c->count - 1],
                                      .sample = run->request.sample,
                                      .tolerance = run->request.tolerance,
                                      .together = TOGETHER,
                                      .break_count = c->count,
                                      .breaks = c->time,
                                      .progress = run->request.progress,
                                      .context = run->request.context};
    return snub_run(model, &start, &request, arena, &run->result, error);
}

/* From here on the shaft of a clutch is still. @return SNUB_NO_CONVERGENCE: no balance to start from */
static snub_status start_open(snub_scenario_run *run, const snub_rig *rig, snub_arena *arena, snub_state *state,
                              snub_error *error)
{
    if (!(run->clutch.torque > 0.0))
        return SNUB_OK;
    return snub_balance_without(run->build, rig, run->course.speed[0], run->clutch.pulley, arena, &state->balance,
                                error);
}

/* Speeds of the engine over which loads and unevenness are tabulated. */
static void find_range(const snub_scenario_run *run, double *low, double *high)
{
    const snub_engine *engine = &run->drive->engine;
    const double speed = run->course.speed[0];
    *low = run->request.scenario == SNUB_SCENARIO_HOLD ? speed : fmin(engine->idle, speed);
    *high = run->request.scenario == SNUB_SCENARIO_HOLD ? speed : fmax(engine->redline, speed);
}

static snub_status prepare(snub_scenario_run *run, setting *s, snub_rig *rig, snub_arena *arena, snub_error *error)
{
    double low, high;
    find_range(run, &low, &high);
    snub_status status = find_unevenness(run, low, high, arena, &s->uneven, error);
    if (status != SNUB_OK || !run->started)
        return status;
    status = snub_shaft_loads_make(run->drive, low, high, arena, &s->loads, error);
    if (status == SNUB_OK && run->request.scenario == SNUB_SCENARIO_ENGAGE)
        status = snub_scenario_clutch(&s->loads, run, error);
    return status == SNUB_OK ? snub_build_rig(run->build, true, rig, error) : status;
}

const char *snub_scenario_outside(const snub_scenario_run *run)
{
    const snub_engine *engine = &run->drive->engine;
    const double speed = run->request.speed;
    if (run->request.scenario < SNUB_SCENARIO_HOLD || isnan(speed))
        return NULL;
    return speed < engine->idle ? "below idle" : speed > engine->redline ? "over the redline" : NULL;
}

snub_status snub_scenario_run_make(const snub_build *build, const snub_scenario_request *request, snub_arena *arena,
                                   snub_scenario_run *run, snub_error *error)
{
    const snub_drive *drive = build->drive;
    memset(run, 0, sizeof *run);
    run->build = build;
    run->drive = drive;
    run->request = *request;
    run->thrown = -1;
    run->end = (snub_run_end){.wind = NAN, .balance = NAN, .band = {NAN, NAN}};
    snub_status status = snub_course_make(&drive->engine, request, &run->course, error);
    if (status != SNUB_OK)
        return status;
    setting *s = SNUB_NEW(arena, setting, 1);
    snub_state *state = SNUB_NEW(arena, snub_state, 1);
    snub_rig *rig = SNUB_NEW(arena, snub_rig, 1);
    if (s == NULL || state == NULL || rig == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    s->course = &run->course;
    status = balance_at(build, run->course.speed[0], run->course.open[0], arena, state, error);
    run->started = status == SNUB_OK && state->solved;
    run->why = state->why;
    if (status == SNUB_OK)
        status = prepare(run, s, rig, arena, error);
    if (status != SNUB_OK || !run->started)
        return status;
    status = start_open(run, rig, arena, state, error);
    if (status == SNUB_OK)
        status = run_course(run, rig, s, state, arena, error);
    if (status != SNUB_OK)
        return status;
    run->thrown = find_thrown(run, rig);
    return put_end(run, arena, state, error);
}
