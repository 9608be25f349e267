/** The tension of a standing belt from plucked spans. docs/theory/measure.md. */
#include "snub/pluck.h"

#include <math.h>
#include <string.h>

#include "adjust.h"
#include "beam.h"
#include "snub/distributions.h"
#include "snub/steps.h"
#include "snub/units.h"

/* Unknowns are parts of a first value, 1 at the start: the tension, then what was read once with an error - mass and
 * bending stiffness of the belt, which all readings share, and the length of each span, which its plucks share. */
enum { TENSION, MASS, BENDING, LENGTHS, UNKNOWNS_MOST = LENGTHS + SNUB_PLUCKS_MOST };
static const double STEP = 1e-5;

typedef struct fit {
    const snub_measured_pluck *m;
    double first[UNKNOWNS_MOST], error[UNKNOWNS_MOST]; /* 0: exact */
    int span[SNUB_PLUCKS_MOST];                        /* unknown of its length, of each reading */
    int count;                                         /* of the list above */
    int free[UNKNOWNS_MOST], unknowns;                 /* those that are adjusted */
    double x[UNKNOWNS_MOST], covariance[UNKNOWNS_MOST * UNKNOWNS_MOST];
} fit;

static snub_standing_span span_at(const fit *f, int length, const double *value)
{
    return (snub_standing_span){f->first[length] * value[length], f->first[MASS] * value[MASS],
                                f->first[BENDING] * value[BENDING], f->m->ends};
}

static double frequency_at(const fit *f, int length, int harmonic, const double *value)
{
    const snub_standing_span span = span_at(f, length, value);
    return snub_standing_frequency(&span, f->first[TENSION] * fmax(value[TENSION], 0.0), harmonic);
}

/* @param[in] x  of the free unknowns; NULL: all at their first values. @param[out] value  of all */
static void spread(const fit *f, const double *x, double *value)
{
    for (int i = 0; i < f->count; i++)
        value[i] = 1.0;
    for (int i = 0; x != NULL && i < f->unknowns; i++)
        value[f->free[i]] = x[i];
}

static double slope(const fit *f, int length, int harmonic, const double *value, int unknown)
{
    double moved[UNKNOWNS_MOST], at[2];
    memcpy(moved, value, (size_t)f->count * sizeof *value);
    for (int k = 0; k < 2; k++) {
        moved[unknown] = value[unknown] * (k == 0 ? 1.0 - STEP : 1.0 + STEP);
        at[k] = frequency_at(f, length, harmonic, moved);
    }
    return (at[1] - at[0]) / (2.0 * STEP * value[unknown]);
}

/* Plucks, then what was read once. */
static void evaluate(const double *x, double *residual, double *jacobian, void *context)
{
    const fit *f = context;
    const int plucks = f->m->count, n = plucks + f->unknowns - 1;
    double value[UNKNOWNS_MOST];
    spread(f, x, value);
    memset(jacobian, 0, (size_t)n * (size_t)f->unknowns * sizeof *jacobian);
    for (int k = 0; k < plucks; k++) {
        const snub_pluck *p = &f->m->plucks[k];
        residual[k] = (frequency_at(f, f->span[k], p->harmonic, value) - p->frequency) / p->frequency_error;
        for (int i = 0; i < f->unknowns; i++)
            if (f->free[i] < LENGTHS || f->free[i] == f->span[k])
                jacobian[snub_at(k, i, n)] = slope(f, f->span[k], p->harmonic, value, f->free[i]) / p->frequency_error;
    }
    for (int i = 1; i < f->unknowns; i++) {
        const int u = f->free[i];
        residual[plucks + i - 1] = (x[i] - 1.0) * f->first[u] / f->error[u];
        jacobian[snub_at(plucks + i - 1, i, n)] = f->first[u] / f->error[u];
    }
}

/* ---- what is known ----------------------------------------------------------------------------------------------- */

static int span_of(const snub_standing_belt *belt, const snub_pluck *p)
{
    for (int turned = 0; turned < 2; turned++)
        for (int i = 0; i < belt->count; i++)
            if (strcmp(belt->spans[i].from, turned ? p->to : p->from) == 0 &&
                strcmp(belt->spans[i].to, turned ? p->from : p->to) == 0)
                return i;
    return -1;
}

static void note(const snub_measured_pluck *m, const snub_pluck *p, const char *what, snub_errors *errors)
{
    snub_error told;
    const snub_place place = {.file = m->document.name, .line = p->place.line, .column = p->place.column};
    snub_fail(&told, SNUB_BAD_INPUT, &place, "spans", what, p->from, p->to);
    snub_errors_add(errors, &told);
}

/* Two plucks of one span share its length. */
static int same_span(const snub_measured_pluck *m, int k)
{
    for (int i = 0; i < k; i++) {
        const snub_pluck *a = &m->plucks[i], *b = &m->plucks[k];
        const bool length = a->length == b->length || (isnan(a->length) && isnan(b->length));
        if (length && strcmp(a->from, b->from) == 0 && strcmp(a->to, b->to) == 0)
            return i;
    }
    return k;
}

static void find_lengths(fit *f, const snub_standing_belt *belt, snub_errors *errors)
{
    const snub_measured_pluck *m = f->m;
    for (int k = 0; k < m->count; k++) {
        const snub_pluck *p = &m->plucks[k];
        const int span = belt != NULL ? span_of(belt, p) : -1, same = same_span(m, k);
        if (belt != NULL && span < 0) {
            note(m, p, "the belt of the drive file has no span between %s and %s", errors);
            continue;
        }
        if (same < k) {
            f->span[k] = f->span[same];
            continue;
        }
        f->first[f->count] = isnan(p->length) ? belt->spans[span].length : p->length;
        f->error[f->count] = m->length_error;
        f->span[k] = f->count++;
    }
}

static void find_free(fit *f)
{
    f->free[f->unknowns++] = TENSION;
    for (int i = MASS; i < f->count; i++)
        if (f->error[i] > 0.0 && f->first[i] > 0.0)
            f->free[f->unknowns++] = i;
}

static bool prepare(fit *f, const snub_measured_pluck *m, const snub_standing_belt *belt, snub_errors *errors)
{
    const int before = errors->count;
    *f = (fit){.m = m, .count = LENGTHS};
    f->first[MASS] = isnan(m->mass) ? belt->mass : m->mass;
    f->error[MASS] = isnan(m->mass_error) ? SNUB_USUAL_MASS_ERROR * f->first[MASS] : m->mass_error;
    f->first[BENDING] = !isnan(m->bending) ? m->bending : belt != NULL ? belt->bending : 0.0;
    f->error[BENDING] = isnan(m->bending_error) ? SNUB_USUAL_BENDING_ERROR * f->first[BENDING] : m->bending_error;
    find_lengths(f, belt, errors);
    double value[UNKNOWNS_MOST], mean = 0.0;
    spread(f, NULL, value);
    for (int k = 0; errors->count == before && k < m->count; k++) {
        const snub_pluck *p = &m->plucks[k];
        const snub_standing_span span = span_at(f, f->span[k], value);
        const double tension = snub_standing_tension(&span, p->frequency, p->harmonic);
        if (isnan(tension))
            note(m, p, "%s - %s: bending stiffness alone rings higher than this, without any tension", errors);
        mean += tension / m->count;
    }
    f->first[TENSION] = fmax(mean, 1.0);
    find_free(f);
    return errors->count == before;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static int index_of(const fit *f, int unknown)
{
    for (int i = 0; i < f->unknowns; i++)
        if (f->free[i] == unknown)
            return i;
    return -1;
}

/* A reading alone, its error by all that it hangs on. */
static void fill_check(const fit *f, int k, snub_pluck_check *c)
{
    const snub_pluck *p = &f->m->plucks[k];
    double value[UNKNOWNS_MOST], sum = 0.0;
    spread(f, NULL, value);
    snub_standing_span span = span_at(f, f->span[k], value);
    c->length = span.length;
    c->tension.value = snub_standing_tension(&span, p->frequency, p->harmonic);
    span.bending = 0.0;
    c->as_string = snub_standing_tension(&span, p->frequency, p->harmonic);
    value[TENSION] = fmax(c->tension.value / f->first[TENSION], STEP);
    const double by_tension = slope(f, f->span[k], p->harmonic, value, TENSION) / f->first[TENSION];
    for (int i = 1; i < f->unknowns; i++) {
        const int u = f->free[i];
        if (u >= LENGTHS && u != f->span[k])
            continue;
        const double off = slope(f, f->span[k], p->harmonic, value, u) * f->error[u] / f->first[u];
        sum += off * off;
    }
    c->tension.error = sqrt(sum + p->frequency_error * p->frequency_error) / by_tension;
}

static void fill_rings(const fit *f, snub_plucks *s)
{
    double value[UNKNOWNS_MOST];
    fit at = *f;
    spread(f, f->x, value);
    for (int i = 0; s->belt != NULL && i < s->belt->count; i++) {
        snub_span_rings *r = &s->belt->spans[i];
        double along[3], variance = 0.0;
        at.first[LENGTHS] = r->length;
        value[LENGTHS] = 1.0;
        const double nominal[] = {s->belt->tension[1] / f->first[TENSION], 1.0, 1.0, 1.0};
        r->expected = frequency_at(&at, LENGTHS, 1, nominal);
        r->rings.value = frequency_at(&at, LENGTHS, 1, value);
        for (int u = TENSION; u <= BENDING; u++)
            along[u] = index_of(f, u) >= 0 ? slope(&at, LENGTHS, 1, value, u) : 0.0;
        for (int u = TENSION; u <= BENDING; u++)
            for (int v = TENSION; v <= BENDING; v++)
                if (along[u] != 0.0 && along[v] != 0.0)
                    variance +=
                        along[u] * along[v] * f->covariance[snub_at(index_of(f, u), index_of(f, v), f->unknowns)];
        r->rings.error = s->taken * sqrt(fmax(variance, 0.0));
    }
}

static void find_suspect(snub_plucks *s)
{
    const int n = s->measured->count;
    int worst = 0;
    s->stated_limit = snub_normal_value(0.5 * SNUB_ERROR_CHANCE / n);
    for (int k = 1; k < n; k++)
        if (isnan(s->check[worst].against_stated) ||
            fabs(s->check[k].against_stated) > fabs(s->check[worst].against_stated))
            worst = k;
    s->check[worst].suspect = fabs(s->check[worst].against_stated) > s->stated_limit;
    s->suspects = s->check[worst].suspect;
}

static void judge(const fit *f, double sum, snub_plucks *s)
{
    s->sum = sum;
    s->redundancy = f->m->count - 1;
    const snub_agreement agreement = snub_adjust_agreement(sum, s->redundancy);
    s->chance = agreement.chance;
    s->scale = agreement.scale;
    s->taken = agreement.taken;
    s->within = s->taken > 1.0 ? snub_student_value(0.5 * SNUB_ERROR_CHANCE, s->redundancy)
                               : snub_normal_value(0.5 * SNUB_ERROR_CHANCE);
    s->tension = (snub_sure){f->x[TENSION] * f->first[TENSION], s->taken * sqrt(f->covariance[0]) * f->first[TENSION]};
    s->mass = (snub_sure){f->first[MASS], f->error[MASS]};
    s->bending = (snub_sure){f->first[BENDING], f->error[BENDING]};
    if (s->belt == NULL)
        return;
    const double low = s->belt->tension[0] - s->tension.value, high = s->tension.value - s->belt->tension[2];
    s->outside = fmax(low, high) > 0.0;
    s->surely = fmax(low, high) > s->within * s->tension.error;
}

snub_status snub_plucks_fit(const snub_measured_pluck *m, snub_standing_belt *belt, snub_arena *arena, snub_plucks *s,
                            snub_errors *errors)
{
    *s = (snub_plucks){.measured = m, .belt = belt, .check = SNUB_NEW(arena, snub_pluck_check, m->count)};
    fit *f = SNUB_NEW(arena, fit, 1);
    if (f == NULL || s->check == NULL)
        return SNUB_NO_MEMORY;
    if (!prepare(f, m, belt, errors))
        return SNUB_BAD_INPUT;
    const snub_adjustment a = {f->unknowns, m->count + f->unknowns - 1, evaluate, f};
    double value[UNKNOWNS_MOST], sum;
    double *left = SNUB_NEW(arena, double, a.equations *a.unknowns),
           *right_t = SNUB_NEW(arena, double, a.unknowns *a.unknowns);
    snub_adjuster w;
    if (left == NULL || right_t == NULL || !snub_adjuster_make(&a, arena, &w))
        return SNUB_NO_MEMORY;
    for (int i = 0; i < f->unknowns; i++)
        f->x[i] = 1.0;
    snub_status status = snub_adjust(&a, &w, f->x, &sum);
    if (status == SNUB_OK)
        status = snub_adjust_decompose(&a, &w, f->x, value, left, right_t);
    if (status == SNUB_NO_CONVERGENCE) {
        note(m, &m->plucks[0], "%s - %s: these readings fit no one tension", errors);
        return SNUB_BAD_INPUT;
    }
    if (status != SNUB_OK)
        return status;
    snub_adjust_covariance(a.unknowns, value, right_t, f->covariance);
    judge(f, sum, s);
    for (int k = 0; k < m->count; k++) {
        fill_check(f, k, &s->check[k]);
        s->check[k].residual = w.residual[k] * m->plucks[k].frequency_error;
        s->check[k].share = snub_adjust_share(&a, left, k);
        s->check[k].against_stated = s->check[k].share > 1e-6 ? w.residual[k] / sqrt(s->check[k].share) : (double)NAN;
    }
    find_suspect(s);
    fill_rings(f, s);
    return SNUB_OK;
}

snub_level snub_plucks_level(const snub_plucks *s)
{
    return s->suspects > 0 || s->surely ? SNUB_FAIL : s->outside || s->taken > 1.0 ? SNUB_MARGINAL : SNUB_PASS;
}

double snub_pluck_bending(const snub_measured_pluck *m, const snub_standing_belt *belt, int reading)
{
    const snub_pluck *p = &m->plucks[reading];
    const int span = belt != NULL ? span_of(belt, p) : -1;
    const double length = isnan(p->length) && span >= 0 ? belt->spans[span].length : p->length;
    const double mass = isnan(m->mass) && belt != NULL ? belt->mass : m->mass;
    const double bending = isnan(m->bending) && belt != NULL ? belt->bending : m->bending;
    if (!(bending > 0.0))
        return NAN;
    return SNUB_PI * SNUB_PI * bending / (4.0 * mass * length * length * length * length);
}

/* ---- the drive --------------------------------------------------------------------------------------------------- */

bool snub_standing_belt_of(const snub_build *build, const snub_state *state, snub_arena *arena,
                           snub_standing_belt *belt)
{
    const snub_drive *drive = build->drive;
    const int n = drive->pulley_count;
    snub_expectation expect;
    *belt = (snub_standing_belt){.mass = drive->belt.mass,
                                 .bending = drive->belt.bending,
                                 .count = n,
                                 .spans = SNUB_NEW(arena, snub_span_rings, drive->pulley_count)};
    if (belt->spans == NULL)
        return false;
    snub_expect(build, &expect);
    for (int i = 0; i < 3; i++)
        belt->tension[i] = expect.tension[i];
    for (int i = 0; i < n; i++)
        belt->spans[i] = (snub_span_rings){.from = drive->pulleys[i].name,
                                           .to = drive->pulleys[(i + 1) % n].name,
                                           .length = state->balance.path.span[i]};
    return true;
}
