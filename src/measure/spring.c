/** A spring with friction from torques. docs/theory/measure.md. */
#include <math.h>
#include <string.h>

#include "adjust.h"
#include "snub/distributions.h"
#include "snub/measure.h"
#include "snub/units.h"

/** Rounds in which the angle's error goes into the torque's by the slope of the round before. */
enum { ROUNDS = 3, UNKNOWNS_MOST = 4 };
/** Chance by which a further unknown is let in, and errors by which a sign has to be sure. */
static const double FURTHER = 0.01, SURE = 2.0;

typedef enum further { NONE, BEND, DRAG } further;
enum { PRELOAD, RATE, DAMPING, FURTHER_ONE };

/* Wind is counted in parts of the travel, so that all unknowns but the damping are N m. */
typedef struct fit {
    const snub_measured_arm *m;
    double travel;
    const double *error; /* of each reading */
    further more;
    double x[UNKNOWNS_MOST], covariance[UNKNOWNS_MOST * UNKNOWNS_MOST], sum;
    double *left; /* as snub_adjust_decompose */
    double *residual;
} fit;

static int unknowns(const fit *f)
{
    return f->more == NONE ? 3 : 4;
}

static void evaluate(const double *x, double *residual, double *jacobian, void *context)
{
    const fit *f = context;
    const int n = f->m->count;
    for (int k = 0; k < n; k++) {
        const snub_torque_reading *r = &f->m->readings[k];
        const double w = r->wind / f->travel, b = r->branch, band = 1.0 + b * x[DAMPING];
        const double bend = f->more == BEND ? x[FURTHER_ONE] : 0.0, drag = f->more == DRAG ? x[FURTHER_ONE] : 0.0;
        const double spring = x[PRELOAD] + x[RATE] * w + bend * w * w;
        residual[k] = (spring * band + b * drag - r->torque) / f->error[k];
        jacobian[snub_at(k, PRELOAD, n)] = band / f->error[k];
        jacobian[snub_at(k, RATE, n)] = w * band / f->error[k];
        jacobian[snub_at(k, DAMPING, n)] = b * spring / f->error[k];
        if (f->more != NONE)
            jacobian[snub_at(k, FURTHER_ONE, n)] = (f->more == BEND ? w * w * band : b) / f->error[k];
    }
}

static snub_adjustment adjustment_of(const fit *f)
{
    return (snub_adjustment){unknowns(f), f->m->count, evaluate, (void *)f};
}

static snub_status solve(fit *f, snub_arena *arena)
{
    const snub_adjustment a = adjustment_of(f);
    const int n = a.unknowns;
    snub_adjuster w;
    double value[UNKNOWNS_MOST], right_t[UNKNOWNS_MOST * UNKNOWNS_MOST];
    f->left = SNUB_NEW(arena, double, f->m->count *n);
    if (f->left == NULL || !snub_adjuster_make(&a, arena, &w))
        return SNUB_NO_MEMORY;
    snub_status status = snub_adjust(&a, &w, f->x, &f->sum);
    if (status == SNUB_OK)
        status = snub_adjust_decompose(&a, &w, f->x, value, f->left, right_t);
    if (status != SNUB_OK)
        return status;
    if (!(value[n - 1] > 1e-9 * value[0]))
        return SNUB_NO_CONVERGENCE;
    f->residual = w.residual;
    snub_adjust_covariance(n, value, right_t, f->covariance);
    return SNUB_OK;
}

static void first_guess(fit *f)
{
    double mean = 0.0;
    for (int k = 0; k < f->m->count; k++)
        mean += f->m->readings[k].torque / f->m->count;
    memset(f->x, 0, sizeof f->x);
    f->x[PRELOAD] = f->x[RATE] = 0.5 * mean;
}

static void weigh(const fit *f, double *error)
{
    for (int k = 0; k < f->m->count; k++) {
        const double slope = f->x[RATE] / f->travel * (1.0 + f->m->readings[k].branch * f->x[DAMPING]);
        error[k] = hypot(f->m->torque_error, slope * f->m->angle_error);
    }
}

/* A further unknown over its error. @param[out] over  0 where there is no reading left for it */
static snub_status try_further(const fit *base, further more, int redundancy, snub_arena *arena, double *over)
{
    fit f = *base;
    *over = 0.0;
    if (redundancy < 2)
        return SNUB_OK;
    f.more = more;
    f.x[FURTHER_ONE] = 0.0;
    const snub_status status = solve(&f, arena);
    if (status != SNUB_OK) /* it cannot be told from the others: not wanted */
        return status == SNUB_NO_MEMORY ? status : SNUB_OK;
    const double scale = fmax(1.0, sqrt(f.sum / (redundancy - 1)));
    *over = f.x[FURTHER_ONE] / (scale * sqrt(f.covariance[snub_at(FURTHER_ONE, FURTHER_ONE, unknowns(&f))]));
    return SNUB_OK;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static double error_of(const fit *f, const snub_spring *s, int unknown)
{
    return s->taken * sqrt(f->covariance[snub_at(unknown, unknown, unknowns(f))]);
}

static void fill_spring(const fit *f, snub_spring *s)
{
    s->sum = f->sum;
    s->redundancy = f->m->count - 3;
    const snub_agreement agreement = snub_adjust_agreement(s->sum, s->redundancy);
    s->chance = agreement.chance;
    s->scale = agreement.scale;
    s->taken = agreement.taken;
    s->within = s->taken > 1.0 ? snub_student_value(0.5 * SNUB_ERROR_CHANCE, s->redundancy)
                               : snub_normal_value(0.5 * SNUB_ERROR_CHANCE);
    s->travel = (snub_sure){f->travel, sqrt(2.0) * f->m->angle_error};
    /* Every wind is counted from the one reading of the free position: off by its error, the preload is off by the
     * slope. */
    s->preload = (snub_sure){f->x[PRELOAD], hypot(error_of(f, s, PRELOAD), f->x[RATE] / f->travel * f->m->angle_error)};
    s->rate = (snub_sure){f->x[RATE] / f->travel, error_of(f, s, RATE) / f->travel};
    s->damping = (snub_sure){f->x[DAMPING], error_of(f, s, DAMPING)};
}

static void fill_checks(const fit *f, snub_spring *s)
{
    const snub_adjustment a = adjustment_of(f);
    s->stated_limit = snub_normal_value(0.5 * SNUB_ERROR_CHANCE / f->m->count);
    for (int k = 0; k < f->m->count; k++) {
        snub_torque_check *c = &s->check[k];
        *c = (snub_torque_check){
            .residual = f->residual[k] * f->error[k], .error = f->error[k], .share = snub_adjust_share(&a, f->left, k)};
        c->against_stated = c->share > 1e-6 ? f->residual[k] / sqrt(c->share) : (double)NAN;
    }
    int worst = 0;
    for (int k = 1; k < f->m->count; k++)
        if (fabs(s->check[k].against_stated) > fabs(s->check[worst].against_stated) ||
            isnan(s->check[worst].against_stated))
            worst = k;
    s->check[worst].suspect = fabs(s->check[worst].against_stated) > s->stated_limit;
    s->suspects = s->check[worst].suspect;
}

static void find_no_spring(snub_spring *s)
{
    s->no_spring |= s->rate.value < SURE * s->rate.error ? SNUB_SPRING_FALLS : 0;
    s->no_spring |= s->damping.value < SURE * s->damping.error ? SNUB_SPRING_SWAPPED : 0;
    s->no_spring |= s->preload.value < -SURE * s->preload.error ? SNUB_SPRING_PUSHES : 0;
    if (s->redundancy < 2)
        return;
    s->further_limit = snub_student_value(0.5 * FURTHER, s->redundancy - 1);
    s->no_spring |= fabs(s->bend) > s->further_limit ? SNUB_SPRING_BENDS : 0;
    s->no_spring |= fabs(s->drag) > s->further_limit ? SNUB_SPRING_CONSTANT_DRAG : 0;
}

snub_status snub_spring_fit(const snub_measured_arm *m, snub_arena *arena, snub_spring *s, snub_errors *errors)
{
    double *error = SNUB_NEW(arena, double, m->count);
    fit f = {.m = m, .travel = fabs(m->stop - m->free), .error = error};
    *s = (snub_spring){.measured = m, .further_limit = NAN, .check = SNUB_NEW(arena, snub_torque_check, m->count)};
    if (error == NULL || s->check == NULL)
        return SNUB_NO_MEMORY;
    first_guess(&f);
    snub_status status = SNUB_OK;
    for (int round = 0; status == SNUB_OK && round < ROUNDS; round++) {
        for (int k = 0; round == 0 && k < m->count; k++)
            error[k] = m->torque_error;
        if (round > 0)
            weigh(&f, error);
        status = solve(&f, arena);
    }
    if (status == SNUB_NO_CONVERGENCE) {
        snub_error told;
        const snub_place place = {.file = m->document.name, .line = m->lines[0], .column = 1};
        snub_fail(&told, SNUB_BAD_INPUT, &place, "winding", "these readings fit no spring with friction");
        snub_errors_add(errors, &told);
        return SNUB_BAD_INPUT;
    }
    if (status != SNUB_OK)
        return status;
    fill_spring(&f, s);
    fill_checks(&f, s);
    if ((status = try_further(&f, BEND, s->redundancy, arena, &s->bend)) != SNUB_OK ||
        (status = try_further(&f, DRAG, s->redundancy, arena, &s->drag)) != SNUB_OK)
        return status;
    find_no_spring(s);
    return SNUB_OK;
}

snub_level snub_spring_level(const snub_spring *s)
{
    return s->no_spring != 0 || s->suspects > 0 ? SNUB_FAIL : s->taken > 1.0 ? SNUB_MARGINAL : SNUB_PASS;
}
