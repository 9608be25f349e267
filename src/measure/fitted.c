/** What fitted belts say of the drive file. docs/theory/measure.md. */
#include "snub/fitted.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "adjust.h"
#include "snub/distributions.h"
#include "snub/units.h"
#include "standing.h"

/** Way to either side, m; rounds in which the readings are looked at again with the correction. */
static const double STEP = 0.05e-3;
enum { ROUNDS = 4, UNKNOWNS_MOST = 2 + SNUB_PULLEYS_MOST, LENGTH = 0, CORD, CENTRES };

typedef struct trial {
    const snub_measured_belt *m;
    const snub_document *document;
    const snub_reading *reading;
    const snub_row *row;
    const snub_build *build;
    int unknowns;
    int pulley[UNKNOWNS_MOST]; /* behind a centre */
    double along[UNKNOWNS_MOST][2];
    double *slope; /* of each reading, by readings: [k + i * count] */
    snub_errors *errors;
} trial;

const char *snub_cause_text(snub_cause cause)
{
    static const char *const words[] = {"length", "cord", "centre"};
    return words[cause];
}

static snub_status note(const trial *t, const snub_place *at, const char *format, const char *what)
{
    snub_error told;
    const snub_place place = {.file = t->m->document.name, .line = at->line, .column = at->column};
    snub_fail(&told, SNUB_BAD_INPUT, &place, "belts", format, what);
    snub_errors_add(t->errors, &told);
    return SNUB_BAD_INPUT;
}

/* ---- one belt on one drive --------------------------------------------------------------------------------------- */

static bool lay_belt(const trial *t, const snub_fitted_belt *b, const double *off, snub_arena *arena, snub_row *row)
{
    bool good = snub_row_with_length(row, "belt.length", b->length + off[LENGTH], arena) &&
                (off[CORD] == 0.0 || snub_row_with_length(row, "belt.be", t->build->drive->belt.be + off[CORD], arena));
    for (int i = 0; good && i < b->setting_count; i++) {
        const char *path = snub_format(arena, "%s.slot.setting", b->settings[i].pulley);
        good = path != NULL && snub_row_with_length(row, path, b->settings[i].at, arena);
    }
    for (int i = CENTRES; good && i < t->unknowns; i++) {
        const snub_pulley *p = &t->build->drive->pulleys[t->pulley[i]];
        const double at[2] = {p->at[0] + off[i] * t->along[i][0], p->at[1] + off[i] * t->along[i][1]};
        const char *path = off[i] != 0.0 ? snub_format(arena, "%s.at", p->name) : "";
        good = path != NULL && (off[i] == 0.0 || snub_row_with_point(row, path, at, arena));
    }
    return good;
}

/* Where the arm or the mark comes to stand. @param[out] value  NAN: the belt does not lie */
static snub_status stand(const trial *t, int k, const double *off, double *value)
{
    snub_arena branch;
    snub_row row = *t->row;
    bool solved;
    const snub_fitted_belt *b = &t->m->belts[k];
    snub_arena_branch(t->reading->arena, &branch);
    snub_build *build = SNUB_NEW(&branch, snub_build, 1);
    snub_state *state = SNUB_NEW(&branch, snub_state, 1);
    snub_status status = SNUB_NO_MEMORY;
    *value = NAN;
    if (build != NULL && state != NULL && lay_belt(t, b, off, &branch, &row))
        status = snub_stand(t->document, t->reading, &row, &branch, build, state, &solved, t->errors);
    if (status == SNUB_OK && solved)
        *value = isnan(b->mark) ? state->balance.equilibrium.wind : build->settings[build->drive->locked];
    snub_arena_drop(t->reading->arena, &branch);
    return status;
}

static snub_status find_slopes(const trial *t)
{
    for (int k = 0; k < t->m->count; k++) {
        for (int i = 0; i < t->unknowns; i++) {
            double off[UNKNOWNS_MOST] = {0.0}, at[2];
            for (int side = 0; side < 2; side++) {
                off[i] = side == 0 ? -STEP : STEP;
                const snub_status status = stand(t, k, off, &at[side]);
                if (status != SNUB_OK)
                    return status;
            }
            t->slope[k + i * t->m->count] = (at[1] - at[0]) / (2.0 * STEP);
        }
    }
    return SNUB_OK;
}

/* ---- what may be wrong ------------------------------------------------------------------------------------------- */

/* Pulleys that stand still, each along the line that halves its wrap: the one way in which the belt feels it move. */
static snub_status find_unknowns(trial *t)
{
    snub_arena *arena = t->reading->arena;
    snub_row row = *t->row;
    snub_build *build = SNUB_NEW(arena, snub_build, 1);
    snub_state *state = SNUB_NEW(arena, snub_state, 1);
    bool solved;
    t->unknowns = CENTRES;
    const double none[UNKNOWNS_MOST] = {0.0};
    if (build == NULL || state == NULL || !lay_belt(t, &t->m->belts[0], none, arena, &row))
        return SNUB_NO_MEMORY;
    const snub_status status = snub_stand(t->document, t->reading, &row, arena, build, state, &solved, t->errors);
    if (status != SNUB_OK)
        return status;
    if (!solved)
        return note(t, &t->m->belts[0].place, "this belt does not lie on the drive with the engine stopped%s", "");
    const snub_path *path = &state->balance.path;
    for (int i = 0; i < build->drive->pulley_count; i++) {
        const int before = (i + path->n - 1) % path->n;
        const double x = path->u[before][0] - path->u[i][0], y = path->u[before][1] - path->u[i][1],
                     length = hypot(x, y);
        if (build->drive->pulleys[i].sits != SNUB_FIXED || build->drive->pulleys[i].is_crank || !(length > 1e-6))
            continue;
        t->pulley[t->unknowns] = i;
        t->along[t->unknowns][0] = x / length;
        t->along[t->unknowns++][1] = y / length;
    }
    return SNUB_OK;
}

static snub_status check_readings(const trial *t)
{
    const snub_drive *drive = t->build->drive;
    snub_status status = SNUB_OK;
    for (int k = 0; k < t->m->count; k++) {
        const snub_fitted_belt *b = &t->m->belts[k];
        if (!isnan(b->wind) && drive->arm < 0)
            status = note(t, &b->place, "the drive has no arm%s: give the `mark` of its tensioner", "");
        if (!isnan(b->mark) && drive->locked < 0)
            status = note(t, &b->place, "the drive has no fixed tensioner%s: give the `wind` of its arm", "");
        for (int i = 0; i < b->setting_count; i++) {
            bool there = false;
            for (int p = 0; p < drive->pulley_count; p++)
                there = there || (strcmp(drive->pulleys[p].name, b->settings[i].pulley) == 0 &&
                                  drive->pulleys[p].sits == SNUB_ON_SLOT && p != drive->locked);
            if (!there)
                status = note(t, &b->settings[i].place, "the drive has no slot of this name to be set: %.60s",
                              b->settings[i].pulley);
        }
    }
    return status;
}

/* ---- least squares ----------------------------------------------------------------------------------------------- */

/* Some corrections, and the own length of every belt where several were fitted: those of one mark are one belt. */
typedef struct fit {
    const trial *t;
    int taken[2], count; /* corrections */
    int belt[SNUB_BELTS_MOST], belts;
    double length_error;
    double base[SNUB_BELTS_MOST], at[2]; /* the readings' values with the corrections as they are */
    double x[2 + SNUB_BELTS_MOST], covariance[(2 + SNUB_BELTS_MOST) * (2 + SNUB_BELTS_MOST)], sum;
    bool held; /* every correction moves some reading its own way */
} fit;

static double read_value(const snub_fitted_belt *b)
{
    return isnan(b->mark) ? b->wind : b->mark;
}

/* Unknowns: the corrections, then the belts' own lengths over their error; all in mm or 1, so that they are alike. */
static void evaluate(const double *x, double *residual, double *jacobian, void *context)
{
    const fit *f = context;
    const trial *t = f->t;
    const int n = t->m->count, unknowns = f->count + f->belts, rows = n + f->belts;
    memset(jacobian, 0, (size_t)rows * (size_t)unknowns * sizeof *jacobian);
    for (int k = 0; k < n; k++) {
        const snub_fitted_belt *b = &t->m->belts[k];
        double value = f->base[k];
        for (int i = 0; i < f->count; i++) {
            const double slope = t->slope[k + f->taken[i] * n] * SNUB_MM;
            value += slope * (x[i] - f->at[i]);
            jacobian[snub_at(k, i, rows)] = slope / b->error;
        }
        if (f->belts > 0) {
            const double slope = t->slope[k + LENGTH * n] * f->length_error;
            value += slope * x[f->count + f->belt[k]];
            jacobian[snub_at(k, f->count + f->belt[k], rows)] = slope / b->error;
        }
        residual[k] = (value - read_value(b)) / b->error;
    }
    for (int i = 0; i < f->belts; i++) {
        residual[n + i] = x[f->count + i];
        jacobian[snub_at(n + i, f->count + i, rows)] = 1.0;
    }
}

static void find_belts(fit *f)
{
    const snub_measured_belt *m = f->t->m;
    int count = 0;
    for (int k = 0; k < m->count; k++) {
        f->belt[k] = -1;
        for (int i = 0; i < k; i++)
            if (m->belts[i].length == m->belts[k].length)
                f->belt[k] = f->belt[i];
        if (f->belt[k] < 0)
            f->belt[k] = count++;
    }
    /* One belt that is longer than marked, and belts that are: the same. */
    const bool same = count == 1 && f->count > 0 && f->taken[0] == LENGTH;
    f->belts = f->length_error > 0.0 && !same ? count : 0;
}

static snub_status solve_linear(fit *f, snub_arena *arena)
{
    const int unknowns = f->count + f->belts;
    const snub_adjustment a = {unknowns, f->t->m->count + f->belts, evaluate, f};
    double value[2 + SNUB_BELTS_MOST], right_t[(2 + SNUB_BELTS_MOST) * (2 + SNUB_BELTS_MOST)];
    snub_adjuster w;
    if (unknowns == 0 || f->t->m->count < f->count) { /* nothing to adjust, or nothing to do it by */
        f->held = false;
        double left[SNUB_BELTS_MOST], none[1];
        f->sum = 0.0;
        if (unknowns == 0)
            evaluate(NULL, left, none, f);
        for (int k = 0; unknowns == 0 && k < f->t->m->count; k++)
            f->sum += left[k] * left[k];
        return SNUB_OK;
    }
    if (!snub_adjuster_make(&a, arena, &w))
        return SNUB_NO_MEMORY;
    snub_status status = snub_adjust(&a, &w, f->x, &f->sum);
    if (status == SNUB_OK)
        status = snub_adjust_decompose(&a, &w, f->x, value, NULL, right_t);
    f->held = status == SNUB_OK && value[unknowns - 1] > 1e-6 * value[0];
    if (f->held)
        snub_adjust_covariance(unknowns, value, right_t, f->covariance);
    return status == SNUB_NO_CONVERGENCE ? SNUB_OK : status;
}

/* So much of a correction is no correction any more, m. */
static double far_of(const trial *t, int unknown)
{
    return unknown == CORD ? t->build->drive->belt.be : unknown == LENGTH ? 0.05 * t->m->belts[0].length : 0.1;
}

/* The drive is bent: with the correction it is looked at again, the slopes are kept. */
static snub_status solve(fit *f)
{
    snub_arena *arena = f->t->reading->arena;
    memset(f->x, 0, sizeof f->x);
    for (int round = 0; round < ROUNDS; round++) {
        double off[UNKNOWNS_MOST] = {0.0};
        for (int i = 0; i < f->count; i++)
            off[f->taken[i]] = (f->at[i] = f->x[i]) * SNUB_MM;
        for (int k = 0; k < f->t->m->count; k++) {
            const snub_status status = stand(f->t, k, off, &f->base[k]);
            if (status != SNUB_OK)
                return status;
            if (isnan(f->base[k])) { /* so far the belt cannot be moved */
                f->held = false;
                f->sum = INFINITY;
                return SNUB_OK;
            }
        }
        const snub_status status = solve_linear(f, arena);
        for (int i = 0; i < f->count; i++)
            f->held = f->held && fabs(f->x[i]) * SNUB_MM < far_of(f->t, f->taken[i]);
        if (status != SNUB_OK || !f->held)
            return status;
    }
    return SNUB_OK;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static snub_status explain(const trial *t, int unknown, const snub_fitted *s, snub_explanation *e)
{
    fit *f = SNUB_NEW(t->reading->arena, fit, 1);
    if (f == NULL)
        return SNUB_NO_MEMORY;
    *f = (fit){.t = t, .taken = {unknown}, .count = 1, .length_error = s->length_error};
    find_belts(f);
    const snub_status status = solve(f);
    const bool centre = unknown >= CENTRES;
    *e = (snub_explanation){.cause = centre ? SNUB_CAUSE_CENTRE : (snub_cause)unknown,
                            .pulley = centre ? t->pulley[unknown] : -1,
                            .direction = centre ? atan2(t->along[unknown][1], t->along[unknown][0]) : (double)NAN,
                            .size = {NAN, NAN},
                            .usual = centre            ? t->m->usual_centre
                                     : unknown == CORD ? t->m->usual_cord
                                                       : s->usual_length,
                            .strange = INFINITY,
                            .sum = f->sum,
                            .chance = 0.0};
    if (status != SNUB_OK || !f->held)
        return status;
    e->size = (snub_sure){f->x[0] * SNUB_MM, sqrt(f->covariance[0]) * SNUB_MM};
    if (centre && e->size.value < 0.0) { /* a way to go has no sign */
        e->size.value = -e->size.value;
        e->direction = atan2(-t->along[unknown][1], -t->along[unknown][0]);
    }
    e->strange = fabs(e->size.value) / hypot(e->size.error, e->usual);
    e->chance = t->m->count > 1 ? snub_chi_square_over(f->sum, t->m->count - 1) : 1.0;
    e->fits = e->strange <= snub_normal_value(0.5 * SNUB_ERROR_CHANCE) && e->chance >= SNUB_ERROR_CHANCE;
    return SNUB_OK;
}

static snub_status as_it_is(const trial *t, snub_fitted *s)
{
    fit *f = SNUB_NEW(t->reading->arena, fit, 1);
    if (f == NULL)
        return SNUB_NO_MEMORY;
    *f = (fit){.t = t, .length_error = s->length_error};
    find_belts(f);
    const snub_status status = solve(f);
    if (status != SNUB_OK)
        return status;
    for (int k = 0; k < t->m->count; k++) {
        if (isnan(f->base[k]))
            return note(t, &t->m->belts[k].place, "this belt does not lie on the drive with the engine stopped%s", "");
        const double own = t->slope[k] * s->length_error;
        s->check[k] = (snub_fitted_check){f->base[k], hypot(t->m->belts[k].error, own)};
    }
    s->sum = f->sum;
    s->chance = snub_chi_square_over(f->sum, t->m->count);
    s->agrees = s->chance >= SNUB_ERROR_CHANCE;
    return SNUB_OK;
}

static snub_status both(const trial *t, snub_fitted *s)
{
    fit *f = SNUB_NEW(t->reading->arena, fit, 1);
    s->length = s->cord = (snub_sure){NAN, NAN};
    if (f == NULL)
        return SNUB_NO_MEMORY;
    if (t->m->count < 2)
        return SNUB_OK;
    *f = (fit){.t = t, .taken = {LENGTH, CORD}, .count = 2, .length_error = s->length_error};
    find_belts(f);
    const snub_status status = solve(f);
    s->joint = status == SNUB_OK && f->held;
    if (!s->joint)
        return status;
    const int n = f->count + f->belts;
    s->length = (snub_sure){f->x[0] * SNUB_MM, sqrt(f->covariance[0]) * SNUB_MM};
    s->cord = (snub_sure){f->x[1] * SNUB_MM, sqrt(f->covariance[snub_at(1, 1, n)]) * SNUB_MM};
    s->apart = s->length.error < s->usual_length && s->cord.error < t->m->usual_cord;
    return SNUB_OK;
}

static int by_strangeness(const void *a, const void *b)
{
    const snub_explanation *x = a, *y = b;
    if (x->fits != y->fits)
        return x->fits ? -1 : 1;
    if (x->strange != y->strange)
        return x->strange < y->strange ? -1 : 1;
    return x->pulley - y->pulley;
}

snub_status snub_fitted_find(const snub_measured_belt *m, const snub_document *document, const snub_reading *reading,
                             const snub_row *row, const snub_build *build, snub_fitted *s, snub_errors *errors)
{
    trial t = {.m = m, .document = document, .reading = reading, .row = row, .build = build, .errors = errors};
    snub_arena *arena = reading->arena;
    *s = (snub_fitted){.measured = m, .build = build};
    s->check = SNUB_NEW(arena, snub_fitted_check, m->count);
    s->explanation = SNUB_NEW(arena, snub_explanation, UNKNOWNS_MOST);
    t.slope = SNUB_NEW(arena, double, m->count *UNKNOWNS_MOST);
    if (s->check == NULL || s->explanation == NULL || t.slope == NULL)
        return SNUB_NO_MEMORY;
    const double half = 0.5 * snub_belt_tolerance(&build->drive->belt, m->belts[0].length);
    s->length_error = isnan(m->length_error) ? half : m->length_error;
    s->usual_length = isnan(m->usual_length) ? half : m->usual_length;
    snub_status status = check_readings(&t);
    if (status == SNUB_OK)
        status = find_unknowns(&t);
    if (status == SNUB_OK)
        status = find_slopes(&t);
    if (status == SNUB_OK)
        status = as_it_is(&t, s);
    for (int i = 0; status == SNUB_OK && i < t.unknowns; i++)
        status = explain(&t, i, s, &s->explanation[s->count++]);
    if (status == SNUB_OK)
        status = both(&t, s);
    qsort(s->explanation, (size_t)s->count, sizeof *s->explanation, by_strangeness);
    for (int i = 0; i < s->count; i++)
        s->fitting += s->explanation[i].fits;
    return status;
}

snub_level snub_fitted_level(const snub_fitted *s)
{
    return s->agrees ? SNUB_PASS : s->fitting > 0 ? SNUB_MARGINAL : SNUB_FAIL;
}
