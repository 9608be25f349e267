/* A drive in motion step by step. Where all pulleys grip, nothing is stiff and the belt swings with hardly any damping:
 * the Adams formulas of CVODES, which add none. A belt that slips finds its tension within microseconds: there its
 * backward formulas. Energies are its quadratures. docs/theory/motion.md, in time. */
#include <cvodes/cvodes.h>
#include <nvector/nvector_serial.h>
#include <string.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include "run_record.h"

/* What a tolerance of 1 would let a step be off by: a strain of 0.001 in a mean span, 10 rad/s, 0.1 rad. */
static const double STRAIN = 1e-3, SPEED = 10.0, ANGLE = 0.1;
static const double TOLERANCE = 1e-5;
/* Belt must lie on an arc for two steps, so that what runs off was seen to run on. */
static const double STEP_OF_ARC = 0.4, LEAST_STEP_LIMIT = 5e-6; /* s */

/* No belt has slipped for so long: the Adams formulas again. A change of formulas costs some forty short steps. */
static const double GRIPS_FOR = 1.5e-3; /* s */

/* An arm that stops so soon after it was let go is held for a while: where its moment falls back under the friction at
 * once, it would let go and stop again without end. */
static const double CHATTERS = 1e-7, HELD = 1e-5; /* s */

/* So many steps without getting on by more than that are no run. */
static const double GETS_ON = 1e-7; /* s */

enum { ASK_EVERY = 512, STEPS_STANDING = 20000 };
typedef enum formulas { ADAMS, BACKWARD, FORMULAS } formulas;

typedef struct solver {
    run *run;
    run_record *record;
    SUNContext context;
    void *both[FORMULAS], *cvode; /* the one that goes on */
    double slipped, turned;       /* last time that a belt did, that the arm let go or stopped, s */
    SUNNonlinearSolver steps;
    SUNMatrix matrix;
    SUNLinearSolver linear;
    N_Vector y, sums, other, tolerance;
    int n, roots, *found;
    double stops_heat;
    bool no_memory;
} solver;

double snub_run_usual_drag(const snub_rig *rig)
{
    return 0.1 * sqrt(rig->stiffness * rig->mass);
}

/* ---- the solver's questions -------------------------------------------------------------------------------------- */

static int rates(realtype time, N_Vector y, N_Vector rate, void *context)
{
    const solver *s = context;
    const run_view *view = run_look(s->run, time, N_VGetArrayPointer(y));
    if (view == NULL)
        return 1; /* a shorter step may do */
    run_rates(s->run, N_VGetArrayPointer(y), view, N_VGetArrayPointer(rate));
    for (int i = 0; i < s->n; i++) {
        if (!isfinite(view->raw[i]))
            return 1;
    }
    return 0;
}

static int sum_rates(realtype time, N_Vector y, N_Vector rate, void *context)
{
    const solver *s = context;
    const run_view *view = run_look(s->run, time, N_VGetArrayPointer(y));
    if (view == NULL)
        return 1;
    run_sum_rates(s->run, N_VGetArrayPointer(y), view, N_VGetArrayPointer(rate));
    return 0;
}

/* Over 0 while a clutch goes on as it does. */
static double clutch_sign(const run *r, int i, const double *y, const run_view *v)
{
    const double ahead = y[r->shaft[i]] - y[run_at(r->n, RUN_SPEED, i)];
    if (run_closes(r, i))
        return r->open[i] ? -r->way * ahead : v->can - fabs(v->drives[i]);
    return r->open[i] ? ahead : v->drives[i];
}

/* Numbers that go through zero where something begins or ends; 1 where nothing can. */
static void signs(const run *r, double time, const double *y, const run_view *v, double *root)
{
    const int n = r->n;
    for (int i = 0; i < n; i++) {
        root[i] = v->raw[i];
        root[n + i] = v->excess[i];
        root[2 * n + i] = r->model->rim[i] <= 0.0 || i == r->crank ? 1.0 : clutch_sign(r, i, y, v);
    }
    const double wind = y[run_single(n, RUN_WIND)], speed = y[run_single(n, RUN_WIND_SPEED)];
    double *arm = root + 3 * n;
    arm[0] = arm[1] = arm[2] = 1.0;
    switch (r->arm) {
    case RUN_ARM_BOLTED: break;
    case RUN_ARM_MOVES:
        arm[0] = r->against != 0.0 ? r->against * speed : 1.0;
        arm[1] = wind - r->model->stops[0];
        arm[2] = r->model->stops[1] - wind;
        break;
    case RUN_ARM_STICKS: arm[0] = time < r->held_until ? 1.0 : v->rub - fabs(v->moment); break;
    case RUN_ARM_LOW: arm[0] = v->rub - v->moment; break;
    case RUN_ARM_HIGH: arm[0] = v->rub + v->moment; break;
    }
}

static int find_signs(realtype time, N_Vector y, realtype *root, void *context)
{
    const solver *s = context;
    const run_view *view = run_look(s->run, time, N_VGetArrayPointer(y));
    if (view == NULL)
        return 1;
    signs(s->run, time, N_VGetArrayPointer(y), view, root);
    return 0;
}

static void silent(int code, const char *module, const char *function, char *message, void *context)
{
    (void)code, (void)module, (void)function, (void)message, (void)context; /* the core prints nothing */
}

/* ---- the arm ----------------------------------------------------------------------------------------------------- */

/* An arm that stands: held, or on its way. */
static void release(run *r, const run_view *v)
{
    const double way = v->moment >= 0.0 ? 1.0 : -1.0;
    const bool held = v->rub > 0.0 && fabs(v->moment) <= v->rub;
    r->arm = held ? RUN_ARM_STICKS : RUN_ARM_MOVES;
    r->against = held || v->rub <= 0.0 ? 0.0 : way;
}

static bool tell_arm(solver *s, double time, const run_view *v, double struck)
{
    const run *r = s->run;
    const int at = r->model->rig->arm;
    const double engine = v->crank.mean;
    if (at < 0)
        return true;
    return run_record_event(s->record, SNUB_RUN_STICKS, at, r->arm == RUN_ARM_STICKS, time, engine, 0.0) &&
           run_record_event(s->record, SNUB_RUN_AT_REST, at, r->arm == RUN_ARM_LOW, time, engine, struck) &&
           run_record_event(s->record, SNUB_RUN_AT_STOP, at, r->arm == RUN_ARM_HIGH, time, engine, struck);
}

/* The arm strikes an end: it stays there, and its energy is heat. */
static void strike(solver *s, double *y, bool low, const run_view *v)
{
    run *r = s->run;
    double *wind = &y[run_single(r->n, RUN_WIND)], *speed = &y[run_single(r->n, RUN_WIND_SPEED)];
    s->stops_heat += 0.5 * r->model->arm_inertia * *speed * *speed;
    *wind = r->model->stops[low ? 0 : 1];
    *speed = 0.0;
    const bool stays = low ? v->moment <= v->rub : -v->moment <= v->rub;
    r->arm = stays ? (low ? RUN_ARM_LOW : RUN_ARM_HIGH) : RUN_ARM_MOVES;
    if (!stays)
        release(r, v);
}

/* @return whether the arm goes on otherwise than before */
static bool turn_arm(solver *s, double time, double *y, const run_view *v, double *struck)
{
    run *r = s->run;
    const int *found = s->found + 3 * r->n;
    double *speed = &y[run_single(r->n, RUN_WIND_SPEED)];
    *struck = fabs(*speed);
    if (r->arm == RUN_ARM_MOVES && ((found[1] < 0 && *speed < 0.0) || (found[2] < 0 && *speed > 0.0))) {
        strike(s, y, found[1] < 0, v);
        return true;
    }
    if (found[0] >= 0)
        return false;
    if (r->arm == RUN_ARM_LOW || r->arm == RUN_ARM_HIGH) {
        r->against = v->rub > 0.0 ? (r->arm == RUN_ARM_LOW ? 1.0 : -1.0) : 0.0;
        r->arm = RUN_ARM_MOVES;
    } else if (r->arm == RUN_ARM_STICKS) {
        r->against = v->moment >= 0.0 ? 1.0 : -1.0;
        r->arm = RUN_ARM_MOVES;
    } else {
        *speed = 0.0;
        release(r, v);
        if (v->rub > 0.0 && time < s->turned + CHATTERS) {
            r->arm = RUN_ARM_STICKS;
            r->held_until = time + HELD;
        }
    }
    s->turned = time;
    return true;
}

/* ---- events ------------------------------------------------------------------------------------------------------ */

/* @param[in] at_root  the solver stopped at one: what passed through zero is known by its direction */
static bool tell_spans(solver *s, double time, const run_view *v, bool at_root)
{
    const int n = s->n;
    bool well = true;
    for (int i = 0; i < n && well; i++) {
        const bool slack = at_root && s->found[i] != 0 ? s->found[i] < 0 : v->raw[i] < 0.0;
        const bool slips = at_root && s->found[n + i] != 0 ? s->found[n + i] > 0 : v->excess[i] > 0.0;
        well = run_record_event(s->record, SNUB_RUN_SLACK, i, slack, time, v->crank.mean, 0.0) &&
               run_record_event(s->record, SNUB_RUN_SLIPS, i, slips, time, v->crank.mean, 0.0);
    }
    return well;
}

static bool tell_clutches(solver *s, double time, const run_view *v)
{
    const run *r = s->run;
    bool well = true;
    for (int i = 0; i < s->n && well; i++) {
        const bool closes = run_closes(r, i), open = r->open[i];
        const bool grinds = closes && open && r->closing;
        well = run_record_event(s->record, SNUB_RUN_GRINDS, i, grinds, time, v->crank.mean, 0.0) &&
               run_record_event(s->record, SNUB_RUN_FREEWHEELS, i, open && !closes, time, v->crank.mean, 0.0);
    }
    return well;
}

/* The one that closes: both sides have met, or more is asked of it than it can. Where they have met it holds if it can
 * hand on what they ask as one. */
static void turn_closing(solver *s, int i, double time, double *y, const run_view *v)
{
    run *r = s->run;
    const int before = i > 0 ? i - 1 : s->n - 1;
    const double part = 1.0 - r->model->rim[i] / r->model->inertia[i];
    const double given = fabs(r->model->rig->path.radius[i]) * (v->pull[i] - v->pull[before]);
    const double asked = v->torque[i] + part * (given - v->torque[i]);
    double *rim = &y[run_at(r->n, RUN_SPEED, i)], *shaft = &y[r->shaft[i]];
    if (r->open[i]) {
        *rim = *shaft = (1.0 - part) * *rim + part * *shaft;
        r->open[i] = fabs(asked) > v->can;
        if (!r->open[i] && isnan(s->record->result->locks))
            s->record->result->locks = time;
    } else {
        r->open[i] = true;
    }
    r->way = copysign(1.0, asked);
}

/* @return whether a clutch let go or took hold */
static bool turn_clutches(solver *s, double time, double *y, const run_view *v)
{
    run *r = s->run;
    bool turned = false;
    for (int i = 0; i < s->n; i++) {
        if (s->found[2 * s->n + i] >= 0)
            continue;
        turned = true;
        if (run_closes(r, i)) {
            turn_closing(s, i, time, y, v);
            continue;
        }
        r->open[i] = !r->open[i];
        if (!r->open[i])
            y[r->shaft[i]] = y[run_at(r->n, RUN_SPEED, i)];
    }
    s->no_memory = s->no_memory || !tell_clutches(s, time, v);
    return turned;
}

/* The formulas that suit what the belt does. @return whether they are others than before */
static bool choose(solver *s, double time)
{
    bool slips = false;
    for (int i = 0; i < s->n; i++)
        slips = slips || s->record->going[SNUB_RUN_SLIPS][i].on;
    s->slipped = slips ? time : s->slipped;
    void *suits = s->both[slips || (s->cvode == s->both[BACKWARD] && time < s->slipped + GRIPS_FOR) ? BACKWARD : ADAMS];
    const bool others = suits != s->cvode;
    s->cvode = suits;
    return others;
}

static bool begin_again(solver *s, double time)
{
    run_look_again(s->run);
    return CVodeReInit(s->cvode, time, s->y) == CV_SUCCESS && CVodeQuadReInit(s->cvode, s->sums) == CV_SUCCESS;
}

/* @return false: the solver cannot begin again */
static bool handle(solver *s, double time, const run_view *v)
{
    double *y = N_VGetArrayPointer(s->y), struck = 0.0;
    if (CVodeGetRootInfo(s->cvode, s->found) != CV_SUCCESS)
        return false;
    s->no_memory = s->no_memory || !tell_spans(s, time, v, true);
    const bool arm = turn_arm(s, time, y, v, &struck), clutch = turn_clutches(s, time, y, v);
    s->no_memory = s->no_memory || !tell_arm(s, time, v, struck);
    const bool others = choose(s, time);
    return !(arm || clutch || others) || begin_again(s, time);
}

/* ---- setting up -------------------------------------------------------------------------------------------------- */

/* Where each number of the state stands. */
static void put_places(run *r)
{
    r->states = run_single(r->n, RUN_SINGLES);
    r->sums = run_sum(r->n, RUN_SUM_SINGLES);
    for (int i = 0; i < r->n; i++) {
        const bool clutch = i != r->crank && r->model->rim[i] > 0.0;
        r->shaft[i] = clutch ? r->states++ : run_at(r->n, RUN_SPEED, i);
    }
}

static void put_geometry(run *r, const snub_run_start *start)
{
    const snub_rig *rig = r->model->rig;
    snub_arm_geometry g;
    memcpy(r->wrap, rig->path.wrap, sizeof r->wrap);
    r->before = rig->arm >= 0 ? (rig->arm + r->n - 1) % r->n : -1;
    r->after = rig->arm >= 0 ? (rig->arm + 1) % r->n : -1;
    if (rig->arm >= 0 && snub_arm_lay(rig, start->wind, &g)) {
        memcpy(r->start_u, g.u, sizeof g.u);
        r->wrap[r->before] = g.wrap[0];
        r->wrap[rig->arm] = g.wrap[1];
        r->wrap[r->after] = g.wrap[2];
    }
    for (int i = 0; i < r->n; i++) {
        r->arc[i] = fabs(rig->path.radius[i]) * r->wrap[i];
        r->hold[i] = exp(r->model->friction[i] * r->wrap[i]);
    }
}

/* Belt in the spans by their tensions, and on the arcs as it came from them. @return false: memory is out */
static bool put_belt(run *r, const snub_run_start *start, double *y, snub_arena *arena)
{
    const snub_rig *rig = r->model->rig;
    double way[SNUB_PULLEYS_MOST];
    run_belt on[SNUB_PULLEYS_MOST], off;
    snub_run_crank crank;
    r->model->crank_at(r->model->context, 0.0, &crank);
    const double v = fabs(rig->path.radius[r->crank]) * crank.mean, loose = rig->mass * v * v / rig->stiffness;
    if (!run_history_begin(&r->history, r->n, arena))
        return false;
    for (int i = 0; i < r->n; i++) {
        const double strain = start->tension[i > 0 ? i - 1 : r->n - 1] / rig->stiffness;
        const double beyond = fmax(strain - loose, 0.0), per = 1.0 / (1.0 + fmax(strain, loose));
        way[i] = 0.0;
        on[i] = (run_belt){.per_way = per, .energy_by_way = per * 0.5 * rig->stiffness * beyond * beyond};
        y[run_at(r->n, RUN_SPEED, i)] = y[r->shaft[i]] = i == r->crank ? crank.now : start->speed[i];
        if (run_closes(r, i))
            y[r->shaft[i]] = start->shaft;
    }
    if (!run_history_add(&r->history, way, on, arena))
        return false;
    snub_arm_geometry g = {.valid = false};
    if (rig->arm >= 0)
        (void)snub_arm_lay(rig, start->wind, &g);
    for (int i = 0; i < r->n; i++) {
        const double length = i == r->before ? g.span[0] : i == rig->arm ? g.span[1] : rig->path.span[i];
        run_history_at(&r->history, i, -r->arc[i], &off);
        r->content[i] = length / (1.0 + start->tension[i] / rig->stiffness) - off.length;
    }
    return true;
}

static void put_tolerances(const solver *s, double tolerance)
{
    double *t = N_VGetArrayPointer(s->tolerance), mean = 0.0;
    const int n = s->n;
    for (int i = 0; i < n; i++)
        mean += s->run->model->rig->path.span[i] / n;
    for (int i = 0; i < n; i++) {
        t[run_at(n, RUN_BELT_ON, i)] = t[run_at(n, RUN_WAY, i)] = tolerance * STRAIN * mean;
        t[run_at(n, RUN_SPEED, i)] = t[s->run->shaft[i]] = tolerance * SPEED;
    }
    t[run_single(n, RUN_WIND)] = tolerance * ANGLE;
    t[run_single(n, RUN_WIND_SPEED)] = tolerance * SPEED;
}

/* Greatest speed of the belt that the crank asks for, at the bends of its course. */
static double fastest(const run *r, const snub_run_request *request)
{
    double most = 0.0;
    snub_run_crank crank;
    for (int k = -1; k <= request->break_count; k++) {
        const double time = k < 0 ? 0.0 : k < request->break_count ? request->breaks[k] : request->length;
        r->model->crank_at(r->model->context, time, &crank);
        most = fmax(most, crank.mean);
    }
    return most * fabs(r->model->rig->path.radius[r->crank]);
}

static double longest_step(const run *r, const snub_run_request *request)
{
    const double speed = fastest(r, request);
    double arc = INFINITY;
    for (int i = 0; i < r->n; i++)
        arc = fmin(arc, r->arc[i]);
    return speed > 0.0 ? fmax(STEP_OF_ARC * arc / speed, LEAST_STEP_LIMIT) : request->length;
}

static bool set_up(solver *s, const snub_run_request *request)
{
    const sunindextype states = s->run->states;
    s->roots = 3 * s->n + 3;
    s->found = SNUB_NEW(s->record->arena, int, s->roots);
    if (s->found == NULL || SUNContext_Create(NULL, &s->context) != 0)
        return false;
    s->y = N_VNew_Serial(states, s->context);
    s->other = N_VNew_Serial(states, s->context);
    s->sums = N_VNew_Serial(s->run->sums, s->context);
    s->tolerance = N_VNew_Serial(states, s->context);
    s->both[ADAMS] = CVodeCreate(CV_ADAMS, s->context);
    s->both[BACKWARD] = CVodeCreate(CV_BDF, s->context);
    if (s->y == NULL || s->other == NULL || s->sums == NULL || s->tolerance == NULL || s->both[ADAMS] == NULL ||
        s->both[BACKWARD] == NULL)
        return false;
    s->cvode = s->both[ADAMS];
    N_VConst(0.0, s->y);
    N_VConst(0.0, s->sums);
    put_tolerances(s, request->tolerance > 0.0 ? request->tolerance : TOLERANCE);
    return true;
}

static bool start_one(solver *s, void *cvode, const snub_run_request *request)
{
    return CVodeSetErrHandlerFn(cvode, silent, NULL) == CV_SUCCESS &&
           CVodeInit(cvode, rates, 0.0, s->y) == CV_SUCCESS && CVodeQuadInit(cvode, sum_rates, s->sums) == CV_SUCCESS &&
           CVodeSVtolerances(cvode, 0.0, s->tolerance) == CV_SUCCESS && CVodeSetUserData(cvode, s) == CV_SUCCESS &&
           CVodeRootInit(cvode, s->roots, find_signs) == CV_SUCCESS &&
           CVodeSetNoInactiveRootWarn(cvode) == CV_SUCCESS &&
           CVodeSetMaxStep(cvode, longest_step(s->run, request)) == CV_SUCCESS;
}

static bool start_solvers(solver *s, const snub_run_request *request)
{
    s->steps = SUNNonlinSol_FixedPoint(s->y, 0, s->context);
    s->matrix = SUNDenseMatrix(s->run->states, s->run->states, s->context);
    if (s->steps == NULL || s->matrix == NULL)
        return false;
    s->linear = SUNLinSol_Dense(s->y, s->matrix, s->context);
    return s->linear != NULL && start_one(s, s->both[ADAMS], request) && start_one(s, s->both[BACKWARD], request) &&
           CVodeSetNonlinearSolver(s->both[ADAMS], s->steps) == CV_SUCCESS &&
           CVodeSetLinearSolver(s->both[BACKWARD], s->linear, s->matrix) == CVLS_SUCCESS;
}

static void put_away(solver *s)
{
    for (int k = 0; k < FORMULAS; k++) {
        if (s->both[k] != NULL)
            CVodeFree(&s->both[k]);
    }
    if (s->steps != NULL)
        SUNNonlinSolFree(s->steps);
    if (s->linear != NULL)
        SUNLinSolFree(s->linear);
    if (s->matrix != NULL)
        SUNMatDestroy(s->matrix);
    N_Vector *const vectors[] = {&s->y, &s->sums, &s->other, &s->tolerance};
    for (size_t i = 0; i < sizeof vectors / sizeof *vectors; i++) {
        if (*vectors[i] != NULL)
            N_VDestroy(*vectors[i]);
    }
    if (s->context != NULL)
        SUNContext_Free(&s->context);
}

/* ---- running ----------------------------------------------------------------------------------------------------- */

/* Samples up to the step that was taken. @return false: memory is out */
static bool sample(solver *s, const snub_run_request *request, double time)
{
    while (request->sample > 0.0 && s->record->result->sample_count * request->sample <= time) {
        const double at = s->record->result->sample_count * request->sample;
        if (CVodeGetDky(s->cvode, at, 0, s->other) != CV_SUCCESS)
            return true; /* not in this step */
        const run_view *view = run_look(s->run, at, N_VGetArrayPointer(s->other));
        if (view == NULL)
            return true;
        if (!run_record_sample(s->record, at, N_VGetArrayPointer(s->other), view))
            return false;
    }
    return true;
}

static snub_status begin(solver *s, const snub_run_start *start, snub_run_energy *energy, snub_error *error)
{
    run *r = s->run;
    const snub_run_model *m = r->model;
    double *y = N_VGetArrayPointer(s->y);
    y[run_single(s->n, RUN_WIND)] = m->rig->arm >= 0 ? start->wind : 0.0;
    y[run_single(s->n, RUN_WIND_SPEED)] = start->arm_speed;
    put_geometry(r, start);
    if (!put_belt(r, start, y, s->record->arena))
        return SNUB_NO_MEMORY;
    const run_view *view = run_look(r, 0.0, y);
    if (view == NULL)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the belt is lost where the run starts");
    if (m->arm_free && m->rig->arm >= 0) {
        const bool low = start->wind <= m->stops[0], high = start->wind >= m->stops[1];
        r->arm = RUN_ARM_MOVES;
        r->against = view->rub > 0.0 ? copysign(1.0, start->arm_speed) : 0.0;
        if (start->arm_speed == 0.0)
            release(r, view);
        if (low && view->moment <= view->rub)
            r->arm = RUN_ARM_LOW;
        if (high && -view->moment <= view->rub)
            r->arm = RUN_ARM_HIGH;
    }
    for (int i = 0; i < s->n; i++)
        r->open[i] = run_closes(r, i) || (i != r->crank && m->rim[i] > 0.0 && view->drives[i] < 0.0);
    if (m->clutch != NULL)
        r->way = y[run_at(s->n, RUN_SPEED, m->clutch->pulley)] >= start->shaft ? 1.0 : -1.0;
    run_look_again(r);
    view = run_look(r, 0.0, y);
    energy->stored[0] = run_stored(r, y, N_VGetArrayPointer(s->sums), view);
    const bool well = tell_spans(s, 0.0, view, false) && tell_arm(s, 0.0, view, 0.0) && tell_clutches(s, 0.0, view);
    run_record_moment(s->record, 0.0, y, view);
    return well && run_record_sample(s->record, 0.0, y, view) ? SNUB_OK : SNUB_NO_MEMORY;
}

/* One step, all that happened in it told. @return false: it is over, for good or bad */
static bool step(solver *s, const snub_run_request *request, double until, double *time)
{
    double way[SNUB_PULLEYS_MOST];
    run_belt on[SNUB_PULLEYS_MOST];
    snub_run_result *result = s->record->result;
    const int flag = CVode(s->cvode, until, s->y, time, CV_ONE_STEP);
    double *y = N_VGetArrayPointer(s->y);
    result->steps++;
    double at;
    const run_view *view = flag < 0 ? NULL : run_look(s->run, *time, y);
    if (view == NULL || CVodeGetQuad(s->cvode, &at, s->sums) != CV_SUCCESS) {
        snub_fail(&result->why, SNUB_NO_CONVERGENCE, NULL, NULL,
                  flag == CV_MEM_FAIL ? "out of memory" : "the belt is lost, or swings too wildly to be followed");
        s->no_memory = flag == CV_MEM_FAIL;
        return false;
    }
    run_belt_on(s->run, y, N_VGetArrayPointer(s->sums), view, way, on);
    run_record_moment(s->record, *time, y, view);
    s->no_memory = !run_history_add(&s->run->history, way, on, s->record->arena) || !sample(s, request, *time);
    view = run_look(s->run, *time, y); /* samples lie at other moments */
    if (view == NULL)
        return false;
    if (flag == CV_ROOT_RETURN)
        return handle(s, *time, view) && !s->no_memory;
    s->no_memory = s->no_memory || !tell_spans(s, *time, view, false) || !tell_clutches(s, *time, view);
    return !s->no_memory && (!choose(s, *time) || begin_again(s, *time));
}

/* Where the torque of the clutch that closes begins to rise, and where it has risen: the equations bend there. */
static double clutch_bend(const run *r, double time)
{
    const snub_run_clutch *c = r->model->clutch;
    if (c == NULL || (r->closing && time >= c->closes + c->rise))
        return INFINITY;
    return r->closing ? c->closes + c->rise : c->closes;
}

/* @return false: the solver cannot begin again, or memory is out */
static bool close_clutch(solver *s, double time)
{
    run *r = s->run;
    if (r->closing || r->model->clutch == NULL || time < r->model->clutch->closes)
        return true;
    r->closing = true;
    if (!begin_again(s, time))
        return false;
    const run_view *view = run_look(r, time, N_VGetArrayPointer(s->y));
    s->no_memory = s->no_memory || (view != NULL && !tell_clutches(s, time, view));
    return view != NULL && !s->no_memory;
}

static void go(solver *s, const snub_run_request *request, double *time)
{
    int next = 0;
    long standing = 0;
    double since = 0.0;
    bool on = close_clutch(s, 0.0);
    snub_run_result *result = s->record->result;
    while (on && *time < request->length) {
        while (next < request->break_count && request->breaks[next] <= *time)
            next++;
        const double bend = next < request->break_count ? request->breaks[next] : INFINITY;
        const double until = fmin(fmin(bend, clutch_bend(s->run, *time)), request->length);
        on = CVodeSetStopTime(s->cvode, until) == CV_SUCCESS && step(s, request, until, time) && close_clutch(s, *time);
        standing = *time > since + GETS_ON ? 0 : standing + 1;
        since = standing == 0 ? *time : since;
        if (on && standing > STEPS_STANDING) {
            snub_fail(&result->why, SNUB_NO_CONVERGENCE, NULL, NULL, "it does not get on: too much happens at once");
            on = false;
        }
        if (on && request->progress != NULL && result->steps % ASK_EVERY == 0 &&
            !request->progress(*time, request->length, request->context)) {
            snub_fail(&result->why, SNUB_NO_CONVERGENCE, NULL, NULL, "it was stopped");
            on = false;
        }
    }
    result->whole = on;
}

static void add_up(const solver *s, double time, snub_run_result *result)
{
    const double *y = N_VGetArrayPointer(s->y), *sums = N_VGetArrayPointer(s->sums);
    snub_run_energy *e = &result->energy;
    const run_view *view = run_look(s->run, time, y);
    result->ended = time;
    result->calls = s->run->calls;
    if (view == NULL)
        return;
    run_record_end(s->record, time, view->crank.mean);
    e->stored[1] = run_stored(s->run, y, sums, view);
    e->work = sums[run_sum(s->n, RUN_WORK)];
    e->loads = sums[run_sum(s->n, RUN_LOADS)];
    e->creep = sums[run_sum(s->n, RUN_CREEP)];
    e->momentum = sums[run_sum(s->n, RUN_MOMENTUM)];
    e->arm = sums[run_sum(s->n, RUN_RUBBED)];
    e->stops = s->stops_heat;
    e->clutch = sums[run_sum(s->n, RUN_GROUND)];
    for (int i = 0; i < s->n; i++) {
        result->slip_heat[i] = sums[run_at(s->n, RUN_SLIP, i)];
        e->slip += result->slip_heat[i];
    }
    e->left_over = e->work - e->loads - e->creep - e->slip - e->arm - e->stops - e->clutch - e->momentum -
                   (e->stored[1] - e->stored[0]);
}

static snub_status check(const snub_run_model *model, const snub_run_request *request, snub_error *error)
{
    const snub_rig *rig = model->rig;
    if (!(request->length > 0.0) || !(request->sample >= 0.0) || !(model->slip_drag > 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a run needs a length, and a pulley that slips a drag");
    if (request->sample > 0.0 && request->length / request->sample > SNUB_RUN_SAMPLES_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "%.4g s in steps of %.3g s: give steps of at least %.3g s",
                         request->length, request->sample, request->length / SNUB_RUN_SAMPLES_MOST);
    if (request->sample > request->length)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "steps of %.4g s are longer than the run of %.4g s: give shorter ones", request->sample,
                         request->length);
    for (int i = 0; i < rig->n; i++) {
        if (i != rig->crank && !(model->inertia[i] > model->rim[i]))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "pulley %d has no inertia", i + 1);
    }
    if (rig->arm >= 0 && model->arm_free && !(model->arm_inertia > 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the arm has no inertia");
    const snub_run_clutch *c = model->clutch;
    if (c != NULL && !(c->torque > 0.0 && c->closes >= 0.0 && c->rise >= 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "a clutch needs a torque over 0, and times that are not less");
    if (c != NULL && (c->pulley == rig->crank || !(model->rim[c->pulley] > 0.0)))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "pulley %d has no rim before its clutch", c->pulley + 1);
    return SNUB_OK;
}

snub_status snub_run(const snub_run_model *model, const snub_run_start *start, const snub_run_request *request,
                     snub_arena *arena, snub_run_result *result, snub_error *error)
{
    snub_status status = check(model, request, error);
    if (status != SNUB_OK)
        return status;
    run *r = SNUB_NEW(arena, run, 1);
    run_record *record = SNUB_NEW(arena, run_record, 1);
    memset(result, 0, sizeof *result);
    result->locks = NAN;
    if (r == NULL || record == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    r->model = model;
    r->n = model->rig->n;
    r->crank = model->rig->crank;
    put_places(r);
    r->seen = SNUB_NEW(arena, double, r->states);
    r->seen_time = NAN;
    if (r->seen == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    solver s = {.run = r, .record = record, .n = r->n, .turned = -1.0};
    double time = 0.0;
    if (!run_record_begin(record, r, request, arena, result) || !set_up(&s, request))
        status = SNUB_NO_MEMORY;
    if (status == SNUB_OK)
        status = begin(&s, start, &result->energy, error);
    if (status == SNUB_OK && !start_solvers(&s, request))
        status = SNUB_NO_MEMORY;
    if (status == SNUB_OK) {
        go(&s, request, &time);
        add_up(&s, time, result);
        status = s.no_memory ? SNUB_NO_MEMORY : SNUB_OK;
    }
    put_away(&s);
    return status == SNUB_NO_MEMORY ? snub_fail(error, status, NULL, NULL, "out of memory") : status;
}
