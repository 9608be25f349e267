/* A drive at one moment of a run. docs/theory/motion.md, in time. */
#include "run_view.h"

#include <string.h>

/* Under what friction holds by so much, a pulley whose sides carry nothing grips: it must not be taken for one that
 * slips by rounding. */
static const double HOLDS = 1e-3; /* N */

/* A ratio of tensions over which the drag of slip grows with it: one side would else find its tension in nanoseconds. A
 * pulley that holds as much slips only where its belt is all but slack. */
static const double MUCH = 20.0;

static int before_of(const run *r, int i)
{
    return i > 0 ? i - 1 : r->n - 1;
}

static double turned(const double from[2], const double to[2])
{
    return atan2(from[0] * to[1] - from[1] * to[0], from[0] * to[0] + from[1] * to[1]);
}

/* Spans and wraps at the arm; the rest stands as it was laid. */
static bool lay(const run *r, const double *y, run_view *v)
{
    const snub_rig *rig = r->model->rig;
    memcpy(v->span, rig->path.span, sizeof v->span);
    memcpy(v->wrap, r->wrap, sizeof v->wrap);
    memset(v->turn, 0, sizeof v->turn);
    memset(v->turn_speed, 0, sizeof v->turn_speed);
    if (rig->arm < 0)
        return true;
    const double wind = y[run_single(r->n, RUN_WIND)], speed = y[run_single(r->n, RUN_WIND_SPEED)];
    if (!snub_arm_lay(rig, wind, &v->arm))
        return false;
    const double moves[2] = {-rig->winds * v->arm.reach[1], rig->winds * v->arm.reach[0]};
    const int span[2] = {r->before, rig->arm};
    for (int k = 0; k < 2; k++) {
        const double *u = v->arm.u[k], across = u[0] * moves[1] - u[1] * moves[0];
        v->span[span[k]] = v->arm.span[k];
        v->turn[span[k]] = turned(r->start_u[k], u);
        v->turn_speed[span[k]] = (k == 0 ? across : -across) / v->arm.span[k] * speed;
    }
    v->wrap[r->before] = v->arm.wrap[0];
    v->wrap[rig->arm] = v->arm.wrap[1];
    v->wrap[r->after] = v->arm.wrap[2];
    return true;
}

/* Belt in the spans, and with it their tension. */
static void stretch(run *r, const double *y, run_view *v)
{
    const snub_rig *rig = r->model->rig;
    for (int i = 0; i < r->n; i++) {
        const double gone = rig->path.radius[i] * v->turn[i];
        run_history_at(&r->history, i, y[run_at(r->n, RUN_WAY, i)] + gone - r->arc[i], &v->off[i]);
    }
    for (int i = 0; i < r->n; i++) {
        const int next = i + 1 < r->n ? i + 1 : 0;
        v->content[i] = r->content[i] + v->off[i].length - y[run_at(r->n, RUN_BELT_ON, next)];
        v->raw[i] = rig->stiffness * (v->span[i] / v->content[i] - 1.0 - v->loose);
        v->pull[i] = fmax(v->raw[i], 0.0);
    }
}

/* The belt follows the surface where friction holds it, and else slides the faster the more is missing. */
static void slide(const run *r, const double *y, run_view *v)
{
    const snub_run_model *m = r->model;
    for (int i = 0; i < r->n; i++) {
        const double in = v->pull[before_of(r, i)], out = v->pull[i];
        const double hold = v->wrap[i] == r->wrap[i] ? r->hold[i] : exp(m->friction[i] * v->wrap[i]);
        const double turns = i == r->crank ? v->crank.now : y[run_at(r->n, RUN_SPEED, i)];
        v->excess[i] = (out > in ? out - hold * in : in - hold * out) - HOLDS;
        v->slip[i] =
            v->excess[i] > 0.0 ? copysign(v->excess[i] / (m->slip_drag * fmax(1.0, hold / MUCH)), out - in) : 0.0;
        v->belt[i] = fabs(m->rig->path.radius[i]) * turns + v->slip[i];
    }
}

static double can_hand_on(const run *r, double time)
{
    const snub_run_clutch *clutch = r->model->clutch;
    if (!r->closing)
        return 0.0;
    const double since = time - clutch->closes;
    return since >= clutch->rise ? clutch->torque : clutch->torque * since / clutch->rise;
}

static void load(const run *r, double time, const double *y, run_view *v)
{
    const snub_run_model *m = r->model;
    v->can = can_hand_on(r, time);
    for (int i = 0; i < r->n; i++) {
        v->drives[i] = 0.0;
        v->torque[i] = i == r->crank ? 0.0 : m->torque_at(m->context, i, time, y[r->shaft[i]]);
        if (r->open[i] && run_closes(r, i))
            v->drives[i] = r->way * v->can;
        if (!(m->rim[i] > 0.0) || r->open[i])
            continue;
        const double given = fabs(m->rig->path.radius[i]) * (v->pull[i] - v->pull[before_of(r, i)]);
        v->drives[i] = v->torque[i] + (1.0 - m->rim[i] / m->inertia[i]) * (given - v->torque[i]);
    }
    v->moment = v->rub = 0.0;
    if (m->rig->arm < 0)
        return;
    const double wind = y[run_single(r->n, RUN_WIND)];
    v->moment = v->pull[m->rig->arm] * v->arm.lever_out - v->pull[r->before] * v->arm.lever_in - m->rig->preload -
                m->rig->rate * wind;
    v->rub = fmax(m->arm_friction[0] + m->arm_friction[1] * wind, 0.0);
}

bool run_closes(const run *r, int pulley)
{
    return r->model->clutch != NULL && r->model->clutch->pulley == pulley;
}

void run_look_again(run *r)
{
    r->seen_time = NAN;
}

const run_view *run_look(run *r, double time, const double *y)
{
    const snub_rig *rig = r->model->rig;
    run_view *view = &r->view;
    const size_t size = (size_t)r->states * sizeof *y;
    if (time == r->seen_time && memcmp(y, r->seen, size) == 0)
        return view;
    r->calls++;
    r->model->crank_at(r->model->context, time, &view->crank);
    const double v = fabs(rig->path.radius[r->crank]) * view->crank.mean;
    view->flux = rig->mass * v * v;
    view->loose = view->flux / rig->stiffness;
    r->seen_time = NAN;
    if (!lay(r, y, view))
        return NULL;
    stretch(r, y, view);
    slide(r, y, view);
    load(r, time, y, view);
    r->seen_time = time;
    memcpy(r->seen, y, size);
    return view;
}

double run_total(const run_view *view, int span)
{
    return view->pull[span] + view->flux;
}

/* Energy of belt at a strain, per unstretched length, beyond what its momentum holds: J/m. */
static double energy_of(const run_view *v, double stiffness, double strain)
{
    const double beyond = fmax(strain - v->loose, 0.0);
    return 0.5 * stiffness * beyond * beyond;
}

static double strain_of(const run_view *v, double stiffness, int span)
{
    return v->loose + v->pull[span] / stiffness;
}

/* What runs off a pulley into the span behind it: heat of the creep to the span's strain, and what momentum took. */
static void run_off(const run *r, const run_view *v, int i, double *creep, double *momentum)
{
    const double stiffness = r->model->rig->stiffness, strain = strain_of(v, stiffness, i);
    const double came = 1.0 / v->off[i].per_way - 1.0, frozen = v->off[i].energy_by_way / v->off[i].per_way;
    const double flow = (v->belt[i] + r->model->rig->path.radius[i] * v->turn_speed[i]) * v->off[i].per_way;
    const double brought = energy_of(v, stiffness, came);
    *creep += flow * (brought - energy_of(v, stiffness, strain) + v->pull[i] * (strain - came));
    *momentum += flow * (frozen - brought);
}

static double along(const run *r, const run_view *v, int i)
{
    return v->belt[i] + r->model->rig->path.radius[i] * v->turn_speed[before_of(r, i)];
}

static void pulley_rates(const run *r, const run_view *v, int i, double *rate)
{
    const snub_run_model *m = r->model;
    const int n = r->n, before = before_of(r, i);
    const double given = fabs(m->rig->path.radius[i]) * (v->pull[i] - v->pull[before]);
    rate[run_at(n, RUN_BELT_ON, i)] = along(r, v, i) / (1.0 + strain_of(v, m->rig->stiffness, before));
    rate[run_at(n, RUN_WAY, i)] = v->belt[i];
    double *speed = &rate[run_at(n, RUN_SPEED, i)];
    if (i == r->crank) {
        *speed = 0.0;
    } else if (r->open[i]) {
        *speed = (given - v->drives[i]) / m->rim[i];
        rate[r->shaft[i]] = (v->drives[i] - v->torque[i]) / (m->inertia[i] - m->rim[i]);
    } else {
        *speed = (given - v->torque[i]) / m->inertia[i];
        rate[r->shaft[i]] = *speed;
    }
}

void run_rates(const run *r, const double *y, const run_view *view, double *rate)
{
    const int wind = run_single(r->n, RUN_WIND), speed = run_single(r->n, RUN_WIND_SPEED);
    for (int i = 0; i < r->n; i++)
        pulley_rates(r, view, i, rate);
    const bool moves = r->arm == RUN_ARM_MOVES;
    rate[wind] = moves ? y[speed] : 0.0;
    rate[speed] = moves ? (view->moment - r->against * view->rub) / r->model->arm_inertia : 0.0;
}

void run_sum_rates(const run *r, const double *y, const run_view *view, double *rate)
{
    const snub_rig *rig = r->model->rig;
    const int n = r->n;
    const double v = fabs(rig->path.radius[r->crank]);
    const double loosening = 2.0 * rig->mass * v * v * view->crank.mean * view->crank.rate / rig->stiffness;
    double *one = rate + run_sum(n, 0);
    memset(one, 0, RUN_SUM_SINGLES * sizeof *rate);
    for (int i = 0; i < n; i++) {
        const int before = before_of(r, i);
        const double strain = strain_of(view, rig->stiffness, before), given = view->pull[i] - view->pull[before];
        rate[run_at(n, RUN_ENERGY, i)] = along(r, view, i) / (1.0 + strain) * energy_of(view, rig->stiffness, strain);
        rate[run_at(n, RUN_SLIP, i)] = view->slip[i] * given;
        if (i == r->crank)
            one[RUN_WORK] = -v * view->crank.now * given;
        else
            one[RUN_LOADS] += view->torque[i] * y[r->shaft[i]];
        if (r->open[i])
            one[RUN_GROUND] += view->drives[i] * (y[run_at(n, RUN_SPEED, i)] - y[r->shaft[i]]);
        run_off(r, view, i, &one[RUN_CREEP], &one[RUN_MOMENTUM]);
        one[RUN_MOMENTUM] += view->content[i] * view->pull[i] * loosening;
    }
    if (r->arm == RUN_ARM_MOVES)
        one[RUN_RUBBED] = r->against * view->rub * y[run_single(n, RUN_WIND_SPEED)];
}

double run_stored(const run *r, const double *y, const double *sums, const run_view *view)
{
    const snub_run_model *m = r->model;
    const double stiffness = m->rig->stiffness;
    double sum = 0.0;
    for (int i = 0; i < r->n; i++) {
        const double speed = y[run_at(r->n, RUN_SPEED, i)], shaft = y[r->shaft[i]];
        if (i != r->crank && m->rim[i] > 0.0)
            sum += 0.5 * m->rim[i] * speed * speed + 0.5 * (m->inertia[i] - m->rim[i]) * shaft * shaft;
        else if (i != r->crank)
            sum += 0.5 * m->inertia[i] * speed * speed;
        sum += view->content[i] * energy_of(view, stiffness, strain_of(view, stiffness, i));
        sum += sums[run_at(r->n, RUN_ENERGY, i)] - view->off[i].energy;
    }
    if (m->rig->arm >= 0) {
        const double wind = y[run_single(r->n, RUN_WIND)], speed = y[run_single(r->n, RUN_WIND_SPEED)];
        sum += wind * (m->rig->preload + 0.5 * m->rig->rate * wind) + 0.5 * m->arm_inertia * speed * speed;
    }
    return sum;
}

void run_belt_on(const run *r, const double *y, const double *sums, const run_view *view, double *way, run_belt *belt)
{
    const double stiffness = r->model->rig->stiffness;
    for (int i = 0; i < r->n; i++) {
        const int before = before_of(r, i);
        const double strain = strain_of(view, stiffness, before), per = 1.0 / (1.0 + strain);
        way[i] = y[run_at(r->n, RUN_WAY, i)] + r->model->rig->path.radius[i] * view->turn[before];
        belt[i] = (run_belt){.length = y[run_at(r->n, RUN_BELT_ON, i)],
                             .energy = sums[run_at(r->n, RUN_ENERGY, i)],
                             .per_way = per,
                             .energy_by_way = per * energy_of(view, stiffness, strain)};
    }
}
