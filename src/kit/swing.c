/* What the swings of a build do at worst. docs/theory/motion.md, what is judged. */
#include "swing.h"

#include <string.h>

#include "loads.h"

/* Even steps up to redline, from idle and from where full load begins; resonances that main orders meet are judged at
 * their own speeds beside them. */
enum { STEPS = 6, SPEEDS_MOST = 64 };
/* A main order has this share of the greatest angle at idle; less than the other of the greatest of a state is left out
 * there: a tenth in a resonance of tenfold gain. */
static const double MAIN_ORDER = 0.05, NO_ORDER = 0.01;

/* Shares that differ by no more differ by rounding alone, which is another with every compiler. */
static const double ALIKE = 1e-10;

/* A resonance: an order meets a mode. */
typedef struct meeting {
    double speed, order, frequency;
    int mover;
    bool sticks; /* of the drive whose arm is held */
} meeting;

typedef struct snub_swinging {
    const snub_study *s;
    snub_swings *out;
    bool counts; /* in the loads */
    /* without load, and at full load: of all states so far */
    snub_hub_ends ends[2];
    snub_hub_sample *end[2];
    int *end_point[2]; /* of its cycle */
    /* the state at hand */
    double speed;
    snub_way way;
    snub_balance balance;
    snub_motion motion;
    int count;
    snub_order *order;
    snub_response *response;
    bool sticks; /* in every order */
    /* what to look at */
    int meetings;
    meeting meeting[SPEEDS_MOST];
} swinging;

/* ---- one state ----------------------------------------------------------------------------------------------------
 */

/* The last speed of the loads that is not over this one, and how far it is to the next. */
static int before(const snub_loads *loads, double speed, double *part)
{
    int k = 0;
    while (k < loads->speeds - 2 && loads->speed[k + 1] <= speed)
        k++;
    *part = (speed - loads->speed[k]) / (loads->speed[k + 1] - loads->speed[k]);
    return k;
}

static double between(double a, double b, double part)
{
    return a + part * (b - a);
}

static bool balance_at(swinging *w)
{
    const snub_study *s = w->s;
    snub_case wanted, next;
    snub_equilibrium e;
    double part;
    const int k = before(s->loads, w->speed, &part);
    const bool warm = snub_study_shown_warm(s, k + 1);
    const snub_rig *rig = snub_study_rig(s, SNUB_NOMINAL, warm);
    const double stretch = s->drive->belt.stretch;
    snub_loads_case(s->drive, s->loads, k, w->way, 0.0, s->length, stretch, warm, &wanted);
    snub_loads_case(s->drive, s->loads, k + 1, w->way, 0.0, s->length, stretch, warm, &next);
    wanted.engine_speed = w->speed;
    for (int i = 0; i < s->drive->pulley_count; i++)
        wanted.torque[i] = between(wanted.torque[i], next.torque[i], part);
    if (snub_solve(rig, &wanted, &e, NULL) != SNUB_OK)
        return false;
    snub_expand(s->drive, rig, &wanted, &e, &w->balance);
    snub_motion_about(s->drive, &w->balance, &s->loads->shake->inertias, &w->motion);
    return true;
}

/* Of the blower what the cylinders go by. */
static snub_match_result match_at(const snub_loads *loads, double speed)
{
    double part;
    const int k = before(loads, speed, &part);
    const snub_match_result *a = &loads->match[k], *b = &loads->match[k + 1];
    return (snub_match_result){.manifold_pressure = between(a->manifold_pressure, b->manifold_pressure, part),
                               .crank_power_gross = between(a->crank_power_gross, b->crank_power_gross, part)};
}

static void shake_at(swinging *w)
{
    const snub_study *s = w->s;
    snub_match_result match;
    snub_shake_case wanted = {.speed = w->speed,
                              .throttle = snub_way_throttle(w->way),
                              .drive_torque = -w->balance.pulley[s->drive->crank].torque};
    if (s->loads->match != NULL && w->way == SNUB_STEADY) {
        match = match_at(s->loads, w->speed);
        wanted.match = &match;
    }
    const int all = snub_shake_at(s->drive, s->loads->shake, &wanted, w->order, NULL);
    double greatest = 0.0;
    for (int k = 0; k < all; k++)
        greatest = fmax(greatest, w->order[k].angle);
    w->count = 0;
    for (int k = 0; k < all; k++) {
        if (w->order[k].angle > NO_ORDER * greatest)
            w->order[w->count++] = w->order[k];
    }
}

/* @return SNUB_OK; SNUB_NO_CONVERGENCE: nothing to judge */
static snub_status run_state(swinging *w, double speed, snub_way way)
{
    w->speed = speed;
    w->way = way;
    w->sticks = true;
    if (!balance_at(w))
        return SNUB_NO_CONVERGENCE;
    shake_at(w);
    for (int k = 0; k < w->count; k++) {
        const snub_status status =
            snub_respond(&w->motion, w->order[k].order * speed, w->order[k].angle, NULL, &w->response[k], NULL);
        if (status != SNUB_OK)
            return status;
        w->sticks = w->sticks && w->response[k].sticks;
    }
    return w->count > 0 ? SNUB_OK : SNUB_NO_CONVERGENCE;
}

/* ---- the worst of each ---------------------------------------------------------------------------------------------
 */

/* Tension that the span pulls with, momentum taken off. */
static double carries(const swinging *w, int span)
{
    const int n = w->s->drive->pulley_count;
    return w->balance.span_tension[(span + n) % n] - w->balance.equilibrium.centrifugal;
}

/* Product of the swings of two spans, added over the orders: a square where they are one. */
static double product(const swinging *w, int a, int b)
{
    double sum = 0.0;
    for (int k = 0; k < w->count; k++) {
        const double(*part)[2] = w->response[k].part;
        sum += part[a][0] * part[b][0] + part[a][1] * part[b][1];
    }
    return sum;
}

static double added(const swinging *w, int span)
{
    double sum = 0.0;
    for (int k = 0; k < w->count; k++)
        sum += w->response[k].tension[span];
    return sum;
}

/* The order that pulls most at a span. */
static int main_order(const swinging *w, int span)
{
    int most = 0;
    for (int k = 1; k < w->count; k++)
        most = w->response[k].tension[span] > w->response[most].tension[span] ? k : most;
    return most;
}

/* The pulley whose inertia pulls most at the belt in an order. */
static int heaviest(const swinging *w, int k)
{
    int heavy = -1;
    double most = 0.0;
    for (int i = 0; i < w->motion.pulleys; i++) {
        const double off = w->response[k].lets_go[i] ? w->motion.shaft[i] : 0.0;
        const double pull =
            (w->motion.inertia[i] - off) * w->response[k].angle[i] / fabs(w->s->drive->pulleys[i].pitch_radius);
        if (i != w->motion.crank && pull > most) {
            most = pull;
            heavy = i;
        }
    }
    return heavy;
}

static void keep(const swinging *w, snub_swing *worst, double value, double limit, int where, int order)
{
    const double share = value / limit;
    if (!(limit > 0.0))
        return;
    if (worst->set && !(share > worst->share * (1.0 + ALIKE)))
        return;
    *worst = (snub_swing){.set = true,
                          .share = share,
                          .value = value,
                          .limit = limit,
                          .speed = w->speed,
                          .way = w->way,
                          .where = where,
                          .order = w->order[order].order,
                          .heavy = heaviest(w, order),
                          .sticks = w->motion.arm_moves && w->sticks,
                          .friction = w->motion.friction};
}

/* Grip at the peak. Tensions on both sides swing round an ellipse (of one order, or of all by their squares); the
 * greatest and the least slope from no tension at all to it are the roots of
 *     m^2 (in^2 - aa) - 2 m (in out - ab) + out^2 - bb = 0. docs/theory/motion.md.
 * @return 0 where a side hangs loose */
static double peak_grip(const swinging *w, int i)
{
    const snub_drive *drive = w->s->drive;
    const snub_friction *limit = &drive->belt.limit;
    const double friction = drive->pulleys[i].side == SNUB_RIB ? limit->rib : limit->back;
    const int span_in = (i + w->motion.pulleys - 1) % w->motion.pulleys;
    const double in = carries(w, span_in), out = carries(w, i);
    const double a = in * in - product(w, span_in, span_in), c = out * out - product(w, i, i);
    const double b = in * out - product(w, span_in, i), wrap = w->balance.pulley[i].wrap;
    if (!(in > 0.0) || !(out > 0.0) || !(a > 0.0) || !(c > 0.0) || !(wrap > 0.0) || !isfinite(friction))
        return 0.0;
    const double root = sqrt(fmax(b * b - a * c, 0.0));
    const double pulled = log((b + root) / a), drives = drive->pulleys[i].overruns ? 0.0 : -log((b - root) / a);
    return fmax(pulled, drives) / (friction * wrap);
}

static bool note_spans(swinging *w)
{
    bool slack = false;
    for (int i = 0; i < w->motion.pulleys; i++) {
        const double mean = carries(w, i), swing = sqrt(product(w, i, i));
        if (!(mean > 0.0))
            return true; /* it is slack without a swing, which is told elsewhere */
        const int order = main_order(w, i);
        keep(w, &w->out->slack, swing, mean, i, order);
        keep(w, &w->out->bound, added(w, i), mean, i, order);
        if (w->motion.arm_moves && w->sticks)
            keep(w, &w->out->held, swing, mean, i, order);
        slack = slack || swing >= mean;
    }
    return slack;
}

static void note_grip(swinging *w)
{
    const double limit = w->s->drive->limits[SNUB_LIMIT_GRIP_SLIP];
    for (int i = 0; i < w->motion.pulleys; i++) {
        if (w->balance.pulley[i].grip_limit <= limit) /* else it slips without a swing, which is told elsewhere */
            keep(w, &w->out->slip, peak_grip(w, i), limit, i, main_order(w, i));
    }
}

static void note_arm(swinging *w)
{
    const int arm = w->motion.pulleys;
    double square = 0.0;
    int most = 0;
    if (!w->motion.arm_moves)
        return;
    for (int k = 0; k < w->count; k++) {
        const double angle = w->response[k].angle[arm];
        square += angle * angle;
        most = angle > w->response[most].angle[arm] ? k : most;
    }
    const double swing = sqrt(square), wind = w->balance.equilibrium.wind;
    keep(w, &w->out->stop, wind + swing, w->s->drive->pulleys[w->s->drive->arm].arm.travel, -1, most);
    keep(w, &w->out->rest, swing, wind, -1, most);
}

/* ---- loads ---------------------------------------------------------------------------------------------------------
 */

/* Each hub on which something hangs that is judged by its force, and each mount, once for every way of running: loads
 * of the shafts go with that. @return false: memory is out */
static bool open_ends(swinging *w)
{
    const snub_drive *drive = w->s->drive;
    const int n = drive->pulley_count, most = n + drive->hardware->mount_count;
    for (int way = 0; way < 2; way++) {
        snub_hub_ends *ends = &w->ends[way];
        ends->on = snub_alloc(w->s->scratch, (size_t)most, sizeof *ends->on);
        ends->value = SNUB_NEW(w->s->scratch, double, most *SNUB_HUB_LOOKS);
        w->end[way] = SNUB_NEW(w->s->scratch, snub_hub_sample, most * SNUB_HUB_LOOKS);
        w->end_point[way] = SNUB_NEW(w->s->scratch, int, most *SNUB_HUB_LOOKS);
        if (ends->on == NULL || ends->value == NULL || w->end[way] == NULL || w->end_point[way] == NULL)
            return false;
        for (int k = 0; k < most * SNUB_HUB_LOOKS; k++)
            ends->value[k] = -INFINITY;
        for (int i = 0; i < n; i++) {
            const snub_pulley_hardware *h = &drive->hardware->pulleys[i];
            if (h->mount >= 0 || h->standoff.given || h->clamp.given || h->seat.given)
                ends->on[ends->bodies++][i] = true;
        }
        for (int m = 0; m < drive->hardware->mount_count; m++) {
            int carried = 0;
            for (int i = 0; i < n; i++) {
                ends->on[ends->bodies][i] = drive->hardware->pulleys[i].mount == m;
                carried += ends->on[ends->bodies][i];
            }
            ends->bodies += carried > 1; /* of one, its hub is looked at */
        }
    }
    return true;
}

static snub_condition now(const swinging *w)
{
    return (snub_condition){.moment = SNUB_RUNNING,
                            .speed = w->speed,
                            .way = w->way,
                            .corner = SNUB_NOMINAL,
                            .warmth = w->s->grows ? SNUB_WARM : SNUB_ANY_WARMTH,
                            .swings = true};
}

/* Housings take their mean torque: what swings turns inertia. */
static double reaction(const swinging *w, int pulley)
{
    const snub_study *s = w->s;
    double part;
    const int k = before(s->loads, w->speed, &part);
    const double absorbed = between(snub_loads_absorbed(s->drive, s->loads, k, w->way, NULL, pulley),
                                    snub_loads_absorbed(s->drive, s->loads, k + 1, w->way, NULL, pulley), part);
    return w->balance.pulley[pulley].speed > 0.0 ? -absorbed : absorbed;
}

static bool fill_sample(const swinging *w, const snub_hub_cycle *cycle, int point, snub_hub_sample *sample)
{
    const int n = cycle->pulleys;
    if (sample->force == NULL) {
        sample->force = snub_alloc(w->s->scratch, (size_t)n, sizeof *sample->force);
        sample->speed = SNUB_NEW(w->s->scratch, double, n);
        sample->reaction = SNUB_NEW(w->s->scratch, double, n);
    }
    if (sample->force == NULL || sample->speed == NULL || sample->reaction == NULL)
        return false;
    sample->engine_speed = w->speed;
    sample->at = now(w);
    for (int i = 0; i < n; i++) {
        snub_hub_at(cycle, &w->balance, point, i, sample->force[i]);
        sample->speed[i] = fabs(w->balance.pulley[i].speed);
        sample->reaction[i] = reaction(w, i);
    }
    return true;
}

static bool keep_ends(const swinging *w, const snub_hub_cycle *cycle, snub_arena *arena)
{
    const int way = w->way == SNUB_STEADY;
    const snub_hub_ends *ends = &w->ends[way];
    const int looks = ends->bodies * SNUB_HUB_LOOKS;
    int *point = SNUB_NEW(arena, int, looks + 1);
    double(*force)[2] = snub_alloc(arena, (size_t)cycle->points, sizeof *force);
    if (point == NULL || force == NULL)
        return false;
    snub_hub_ends_take(ends, cycle, &w->balance, force, point);
    for (int k = 0; k < looks; k++) {
        if (point[k] < 0)
            continue;
        w->end_point[way][k] = point[k];
        if (!fill_sample(w, cycle, point[k], &w->end[way][k]))
            return false;
    }
    return true;
}

/* What is furthest out in many ways is one sample. @return false: memory is out */
static bool give_samples(const swinging *w)
{
    snub_swings *out = w->out;
    const int most = (w->ends[0].bodies + w->ends[1].bodies) * SNUB_HUB_LOOKS;
    out->samples = SNUB_NEW(w->s->scratch, snub_hub_sample, most + 1);
    if (out->samples == NULL)
        return false;
    for (int way = 0; way < 2; way++) {
        for (int k = 0; k < w->ends[way].bodies * SNUB_HUB_LOOKS; k++) {
            const snub_hub_sample *sample = &w->end[way][k];
            bool again = sample->force == NULL;
            for (int j = 0; j < k && !again; j++)
                again =
                    w->end[way][j].engine_speed == sample->engine_speed && w->end_point[way][j] == w->end_point[way][k];
            if (!again)
                out->samples[out->sample_count++] = *sample;
        }
    }
    return true;
}

static void keep_pulls(const swinging *w, const snub_hub_cycle *cycle)
{
    for (int i = 0; i < cycle->pulleys; i++) {
        snub_hub_pull *most = &w->out->hub[i];
        double square = most->force[0] * most->force[0] + most->force[1] * most->force[1];
        for (int p = 0; p < cycle->points; p++) {
            double force[2];
            snub_hub_at(cycle, &w->balance, p, i, force);
            const double now_square = force[0] * force[0] + force[1] * force[1];
            if (most->met && !(now_square > square * (1.0 + ALIKE)))
                continue;
            square = now_square;
            most->met = true;
            memcpy(most->force, force, sizeof most->force);
            most->at = now(w);
        }
    }
}

static bool hub_cycle(const swinging *w, snub_arena *arena, snub_hub_cycle *cycle)
{
    return snub_hub_cycle_of(&w->balance, w->order, w->response, w->count, w->motion.pulleys, arena, cycle);
}

static snub_status note_hubs(const swinging *w)
{
    snub_hub_cycle cycle;
    snub_arena used;
    snub_arena_branch(w->s->scratch, &used);
    bool good = hub_cycle(w, &used, &cycle);
    if (good)
        keep_pulls(w, &cycle);
    good = good && (w->s->samples == NULL || keep_ends(w, &cycle, &used));
    snub_arena_drop(w->s->scratch, &used);
    return good ? SNUB_OK : SNUB_NO_MEMORY;
}

/* Tension that swings so far that its span hangs loose is no more linear: the pulleys beside it, the arm and the loads
 * are not looked at there. At the other pulleys the swing is at most as large as said. */
static snub_status judge_state(swinging *w, double speed, snub_way way)
{
    const snub_status status = run_state(w, speed, way);
    if (status != SNUB_OK)
        return status;
    note_grip(w);
    if (note_spans(w))
        return SNUB_OK;
    note_arm(w);
    return w->counts ? note_hubs(w) : SNUB_OK;
}

/* The order alone: what is far from the resonance in the others is none of it. */
static void note_meeting(swinging *w, const meeting *m, snub_swing *worst)
{
    int k = 0;
    while (k < w->count && w->order[k].order != m->order)
        k++;
    if (k == w->count) /* too small to be looked at here */
        return;
    if (w->motion.arm_moves && w->response[k].sticks != m->sticks)
        return;
    for (int i = 0; i < w->motion.pulleys; i++) {
        const bool had = worst->set;
        const double share = worst->share, mean = carries(w, i);
        if (mean > 0.0)
            keep(w, worst, w->response[k].tension[i], mean, i, k);
        if (worst->set && (!had || worst->share > share)) {
            worst->frequency = m->frequency;
            worst->mover = m->mover;
        }
    }
}

/* ---- what to look at -----------------------------------------------------------------------------------------------
 */

static int mover_of(const snub_motion *motion, const snub_mode *mode)
{
    int most = 0;
    for (int i = 1; i < motion->count; i++)
        most = mode->energy[i] > mode->energy[most] ? i : most;
    return most;
}

/* Speeds at which main orders meet the modes of a motion. */
static snub_status find_meetings(swinging *w, const snub_motion *motion, bool sticks)
{
    const snub_drive *drive = w->s->drive;
    const double idle = drive->engine.idle, lowest = idle * (1.0 - drive->limits[SNUB_LIMIT_RESONANCE_MARGIN]);
    snub_modes modes;
    double greatest = 0.0;
    const snub_status status = snub_modes_find(motion, true, w->s->scratch, &modes, NULL);
    if (status != SNUB_OK)
        return status == SNUB_NO_MEMORY ? status : SNUB_OK; /* none: nothing is met */
    for (int k = 0; k < w->count; k++)
        greatest = fmax(greatest, w->order[k].angle);
    for (int k = 0; k < w->count; k++) {
        for (int j = 0; j < modes.count && w->order[k].angle >= MAIN_ORDER * greatest; j++) {
            const double speed = 2.0 * SNUB_PI * modes.mode[j].frequency / w->order[k].order;
            if (speed < lowest || speed > drive->engine.redline || w->meetings == SPEEDS_MOST)
                continue;
            w->meeting[w->meetings++] = (meeting){.speed = speed,
                                                  .order = w->order[k].order,
                                                  .frequency = modes.mode[j].frequency,
                                                  .mover = mover_of(motion, &modes.mode[j]),
                                                  .sticks = sticks};
        }
    }
    return SNUB_OK;
}

/* The same drive with its arm held. */
static void hold_arm(const snub_motion *motion, snub_motion *held)
{
    *held = *motion;
    held->count = motion->pulleys;
    held->arm_moves = false;
    for (int a = 0; a < held->count; a++) {
        for (int b = 0; b < held->count; b++)
            held->stiffness[a * held->count + b] = motion->stiffness[a * motion->count + b];
    }
}

/* The same drive whose overrunning clutches have let go. @return false: it has none */
static bool let_go(const snub_motion *motion, snub_motion *loose)
{
    bool any = false;
    *loose = *motion;
    for (int i = 0; i < motion->pulleys; i++) {
        any = any || motion->shaft[i] > 0.0;
        loose->inertia[i] -= motion->shaft[i];
    }
    return any;
}

/* With the arm free, and held by its friction. */
static snub_status meetings_of(swinging *w, const snub_motion *motion)
{
    snub_status status = find_meetings(w, motion, false);
    if (status != SNUB_OK || !motion->arm_moves)
        return status;
    snub_motion *held = SNUB_NEW(w->s->scratch, snub_motion, 1);
    if (held == NULL)
        return SNUB_NO_MEMORY;
    hold_arm(motion, held);
    return find_meetings(w, held, true);
}

static snub_status all_meetings(swinging *w)
{
    snub_motion *loose = SNUB_NEW(w->s->scratch, snub_motion, 1);
    if (loose == NULL)
        return SNUB_NO_MEMORY;
    const snub_status status = meetings_of(w, &w->motion);
    return status == SNUB_OK && let_go(&w->motion, loose) ? meetings_of(w, loose) : status;
}

static snub_status judge_meeting(swinging *w, const meeting *m, snub_way way)
{
    const snub_engine *engine = &w->s->drive->engine;
    const double margin = w->s->drive->limits[SNUB_LIMIT_RESONANCE_MARGIN];
    const bool near_idle = m->speed <= engine->idle * (1.0 + margin);
    if (way == SNUB_STEADY && m->speed < SNUB_FULL_LOAD_FROM * engine->idle)
        return SNUB_OK;
    const snub_status status = m->speed >= engine->idle ? judge_state(w, m->speed, way) : run_state(w, m->speed, way);
    if (status == SNUB_OK)
        note_meeting(w, m, near_idle ? &w->out->idle : &w->out->range);
    return status == SNUB_NO_MEMORY ? status : SNUB_OK;
}

static snub_status judge_speeds(swinging *w)
{
    static const snub_way ways[] = {SNUB_SHUT, SNUB_STEADY};
    const snub_engine *engine = &w->s->drive->engine;
    for (int way = 0; way < 2; way++) {
        for (int k = 0; k <= STEPS; k++) {
            const double from =
                ways[way] == SNUB_STEADY ? fmin(SNUB_FULL_LOAD_FROM * engine->idle, engine->redline) : engine->idle;
            const double speed = from + (engine->redline - from) * k / STEPS;
            if (judge_state(w, speed, ways[way]) == SNUB_NO_MEMORY)
                return SNUB_NO_MEMORY;
        }
        for (int k = 0; k < w->meetings; k++) {
            if (judge_meeting(w, &w->meeting[k], ways[way]) != SNUB_OK)
                return SNUB_NO_MEMORY;
        }
    }
    return SNUB_OK;
}

/* @return NULL: memory is out */
static swinging *open_swings(const snub_study *study, snub_swings *out)
{
    swinging *w = SNUB_NEW(study->scratch, swinging, 1);
    const int room = snub_shake_room(study->drive);
    if (w == NULL)
        return NULL;
    w->s = study;
    w->out = out;
    w->order = SNUB_NEW(study->scratch, snub_order, room);
    w->response = SNUB_NEW(study->scratch, snub_response, room);
    return w->order == NULL || w->response == NULL ? NULL : w;
}

static bool can_swing(const snub_study *study)
{
    const snub_shake *shake = study->loads->shake;
    return shake != NULL && shake->known && study->loads->speeds >= 3;
}

snub_status snub_swings_find(const snub_study *study, bool counts, snub_swings *swings)
{
    memset(swings, 0, sizeof *swings);
    if (!can_swing(study))
        return SNUB_OK;
    swinging *w = open_swings(study, swings);
    if (w == NULL)
        return SNUB_NO_MEMORY;
    w->counts = counts;
    swings->by = w;
    const bool samples = counts && study->samples != NULL;
    if (samples && !open_ends(w))
        return SNUB_NO_MEMORY;
    snub_status status = run_state(w, study->drive->engine.idle, SNUB_SHUT);
    if (status == SNUB_NO_MEMORY || (status == SNUB_OK && all_meetings(w) != SNUB_OK))
        return SNUB_NO_MEMORY;
    status = judge_speeds(w);
    return status == SNUB_OK && samples && !give_samples(w) ? SNUB_NO_MEMORY : status;
}

/* A speed that is the redline in another unit is not over it. */
static const double SPEED_ROUNDING = 1e-9;

static snub_status duty_cycle(swinging *w, double speed, snub_arena *arena, snub_hub_cycle *cycle)
{
    const snub_engine *engine = &w->s->drive->engine;
    *cycle = (snub_hub_cycle){.points = 0};
    if (speed < engine->idle * (1.0 - SPEED_ROUNDING) || speed > engine->redline * (1.0 + SPEED_ROUNDING))
        return SNUB_OK;
    const snub_status status =
        run_state(w, speed, speed < SNUB_FULL_LOAD_FROM * engine->idle ? SNUB_SHUT : SNUB_STEADY);
    if (status != SNUB_OK || note_spans(w))
        return status == SNUB_NO_MEMORY ? status : SNUB_OK;
    return hub_cycle(w, arena, cycle) ? SNUB_OK : SNUB_NO_MEMORY;
}

snub_status snub_swing_duty(const snub_study *study, const snub_duty_point *duty, int count, snub_arena *arena,
                            snub_hub_cycle *cycle)
{
    snub_swings dropped = {.sample_count = 0};
    swinging *w = study->swinging;
    if (w != NULL) { /* the study may have moved; what is found here is not told again */
        w->s = study;
        w->out = &dropped;
    }
    for (int k = 0; k < count; k++) {
        cycle[k] = (snub_hub_cycle){.points = 0};
        if (w != NULL && duty[k].share > 0.0 && duty_cycle(w, duty[k].speed, arena, &cycle[k]) == SNUB_NO_MEMORY)
            return SNUB_NO_MEMORY;
    }
    return SNUB_OK;
}
