/* The least value of a function: NLopt's controlled random search, then COBYLA or SBPLX from the best point. */
#include "optimise.h"

#include <math.h>
#include <string.h>

#include <nlopt.h>

typedef struct course {
    const snub_optimise *problem;
    snub_optimum *best;
    nlopt_opt now;     /* that is running, to be stopped */
    snub_optimum here; /* best of this round */
    int left;          /* evaluations of this part: NLopt may ask for a few more than it was given */
} course;

/* What was evaluated at a point. */
typedef struct point {
    double value, over[SNUB_OPTIMISE_MOST], sum;
} point;

bool snub_optimum_better(double value, double over, double value_then, double over_then)
{
    if (isnan(over) || isnan(over_then))
        return isnan(over_then) && !isnan(over);
    if (over != over_then)
        return over < over_then;
    return value < value_then;
}

static void keep_better(course *c, const double *x, const point *p)
{
    snub_optimum *best = &c->here;
    if (!snub_optimum_better(p->value, p->sum, best->value, best->over))
        return;
    memcpy(best->x, x, sizeof *x * (size_t)c->problem->count);
    best->value = p->value;
    best->over = p->sum;
}

static void look(course *c, const double *x, point *p)
{
    const snub_optimise *problem = c->problem;
    memset(p, 0, sizeof *p);
    p->value = problem->wall;
    if (c->left-- <= 0) {
        nlopt_force_stop(c->now);
        return;
    }
    if (!problem->evaluate(x, &p->value, p->over, problem->context)) {
        c->best->stopped = true;
        nlopt_force_stop(c->now);
        return;
    }
    c->best->evaluations++;
    for (int i = 0; i < problem->constraints; i++)
        p->sum += p->over[i] > problem->slack ? p->over[i] : 0.0;
    keep_better(c, x, p);
}

/* For a method that knows no constraints: every point that breaks one lies above all that break none. */
static double walled(unsigned n, const double *x, double *gradient, void *context)
{
    course *c = context;
    point p;
    (void)n;
    (void)gradient;
    look(c, x, &p);
    return p.sum > 0.0 ? c->problem->wall + p.sum : p.value;
}

/* COBYLA asks for the value and then for the constraints of one point. */
typedef struct pair {
    course *course;
    double x[SNUB_OPTIMISE_MOST];
    point at;
    bool known;
} pair;

static const point *at_point(pair *both, const double *x)
{
    const size_t size = sizeof *x * (size_t)both->course->problem->count;
    if (!both->known || memcmp(both->x, x, size) != 0) {
        memcpy(both->x, x, size);
        look(both->course, x, &both->at);
        both->known = true;
    }
    return &both->at;
}

static double plain(unsigned n, const double *x, double *gradient, void *context)
{
    (void)n;
    (void)gradient;
    return at_point(context, x)->value;
}

static void broken(unsigned m, double *result, unsigned n, const double *x, double *gradient, void *context)
{
    (void)n;
    (void)gradient;
    memcpy(result, at_point(context, x)->over, sizeof *result * m);
}

static snub_status run_part(course *c, nlopt_opt opt, bool *ended)
{
    double x[SNUB_OPTIMISE_MOST], value;
    memcpy(x, c->here.x, sizeof x);
    c->now = opt;
    const nlopt_result got = nlopt_optimize(opt, x, &value);
    *ended = got == NLOPT_XTOL_REACHED || got == NLOPT_FTOL_REACHED || got == NLOPT_SUCCESS ||
             got == NLOPT_ROUNDOFF_LIMITED; /* nothing is left to be gained in these digits */
    return got == NLOPT_OUT_OF_MEMORY ? SNUB_NO_MEMORY : SNUB_OK;
}

static nlopt_opt begin(course *c, nlopt_algorithm method, int most)
{
    const snub_optimise *problem = c->problem;
    nlopt_opt opt = nlopt_create(method, (unsigned)problem->count);
    if (opt == NULL)
        return NULL;
    nlopt_set_lower_bounds(opt, problem->low);
    nlopt_set_upper_bounds(opt, problem->high);
    nlopt_set_maxeval(opt, most);
    c->left = most;
    return opt;
}

static snub_status search_box(course *c, int round)
{
    bool ended;
    nlopt_opt opt = begin(c, NLOPT_GN_CRS2_LM, c->problem->global);
    if (opt == NULL)
        return SNUB_NO_MEMORY;
    nlopt_srand(c->problem->seed + (uint32_t)round);
    nlopt_set_min_objective(opt, walled, c);
    const snub_status status = run_part(c, opt, &ended);
    nlopt_destroy(opt);
    return status;
}

/* First steps of a tenth of each range: the random search has found the valley, not its bottom. */
#define FIRST_STEP 0.1

static void set_steps(nlopt_opt opt, const snub_optimise *problem)
{
    double step[SNUB_OPTIMISE_MOST], tolerance[SNUB_OPTIMISE_MOST];
    for (int i = 0; i < problem->count; i++) {
        step[i] = FIRST_STEP * (problem->high[i] - problem->low[i]);
        tolerance[i] = problem->tolerance * (problem->high[i] - problem->low[i]);
    }
    nlopt_set_initial_step(opt, step);
    nlopt_set_xtol_abs(opt, tolerance);
}

static snub_status search_near(course *c)
{
    const snub_optimise *problem = c->problem;
    pair both = {.course = c};
    double slack[SNUB_OPTIMISE_MOST];
    bool ended;
    nlopt_opt opt = begin(c, problem->constraints > 0 ? NLOPT_LN_COBYLA : NLOPT_LN_SBPLX, problem->local);
    if (opt == NULL)
        return SNUB_NO_MEMORY;
    set_steps(opt, problem);
    if (problem->constraints > 0) {
        for (int i = 0; i < problem->constraints; i++)
            slack[i] = problem->slack;
        nlopt_set_min_objective(opt, plain, &both);
        nlopt_add_inequality_mconstraint(opt, (unsigned)problem->constraints, broken, &both, slack);
    } else {
        nlopt_set_min_objective(opt, walled, c);
    }
    const snub_status status = run_part(c, opt, &ended);
    nlopt_destroy(opt);
    c->here.converged = ended && !c->best->stopped && c->here.over == 0.0;
    return status;
}

static void begin_round(course *c)
{
    const snub_optimise *problem = c->problem;
    c->here = (snub_optimum){.value = NAN, .over = NAN};
    for (int i = 0; i < problem->count; i++) {
        const double at = problem->start != NULL ? problem->start[i] : (problem->low[i] + problem->high[i]) / 2.0;
        c->here.x[i] = fmin(fmax(at, problem->low[i]), problem->high[i]); /* NLopt refuses a start outside */
    }
}

static void end_round(course *c)
{
    snub_optimum *best = c->best;
    if (!snub_optimum_better(c->here.value, c->here.over, best->value, best->over))
        return;
    memcpy(best->x, c->here.x, sizeof best->x);
    best->value = c->here.value;
    best->over = c->here.over;
    best->converged = c->here.converged;
}

static bool is_good(const snub_optimise *problem)
{
    if (problem->count < 1 || problem->count > SNUB_OPTIMISE_MOST || problem->constraints > SNUB_OPTIMISE_MOST)
        return false;
    for (int i = 0; i < problem->count; i++) {
        if (!(problem->low[i] < problem->high[i]) || !isfinite(problem->high[i] - problem->low[i]))
            return false;
    }
    return true;
}

snub_status snub_optimise_run(const snub_optimise *problem, snub_optimum *result, snub_error *error)
{
    course c = {.problem = problem, .best = result};
    snub_status status = SNUB_OK;
    memset(result, 0, sizeof *result);
    result->value = result->over = NAN;
    if (!is_good(problem))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "nothing to search: no numbers, too many, or an empty range");
    for (int k = 0; k < problem->rounds && status == SNUB_OK && !result->stopped; k++) {
        begin_round(&c);
        if (problem->global > 0)
            status = search_box(&c, k);
        if (status == SNUB_OK && problem->local > 0 && !result->stopped)
            status = search_near(&c);
        end_round(&c);
    }
    return status == SNUB_OK ? SNUB_OK : snub_fail(error, status, NULL, NULL, "out of memory");
}
