/* Friction and losses fitted to logs, and how well the logs tell them. docs/theory/trace.md, "Fit" */
#include <math.h>
#include <string.h>

#include "fit_model.h"
#include "snub/distributions.h"
#include "snub/linear.h"

/* Frictions between which the search begins: from a belt in oil to one that nothing moves. */
#define START_LEAST 0.1
#define START_MOST 3.0
enum { STARTS = 40, START_READINGS = 60, HALVINGS = 14, BOUND_STEPS = 40 };
#define FIRST_LESS 0.002 /* of the friction at which the first reading slips */
#define MORE_LESS 1.15
/* Steps under this share of a value end the search: the states are good to about 1e-9. */
#define SHARE 1e-9
/* Sum by which slip is told from none: 3.5 deviations, since the search may begin the slip anywhere. */
#define SLIP_SURE 12.0
/* What a sum rises by at an end that holds with 95 %, one side: chi-square of one unknown at 10 %. */
#define ONE_SIDE 2.706
#define ERROR_MOST 0.45    /* of a value, where it is told; and of what is known before */
#define ERROR_GOOD 0.1     /* of a value: to there nobody asks what it hangs on */
#define TOGETHER_LEAST 0.9 /* correlation */
#define KEEPS 2.0          /* by which the AICc of one more unknown must be lower */

/* One search. */
typedef struct search {
    fit_model *m;
    snub_arena *arena;
    double x[FIT_UNKNOWNS_MOST];
    double sum;
    int rows, freedom;
    double *covariance; /* times scatter squared */
} search;

static bool is_relative(snub_fit_what what)
{
    return what != SNUB_FIT_FALLS;
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status ended(const fit_model *m, snub_status status, snub_error *error)
{
    if (m->stopped)
        return snub_fail(error, SNUB_STOPPED, NULL, NULL, "stopped");
    if (m->status != SNUB_OK) {
        if (error != NULL)
            *error = m->error;
        return m->status;
    }
    if (status == SNUB_NO_MEMORY)
        return no_memory(error);
    return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL,
                     "the fit comes to no end: fit less at a time (--fit friction alone first)");
}

static int row_count(const fit_model *m)
{
    int rows = m->count;
    for (int k = 0; m->with_boost && k < m->count; k++)
        rows += isfinite(m->readings[k].boost) ? 1 : 0;
    return rows;
}

/* ---- search ------------------------------------------------------------------------------------------------------ */

static snub_status run_search(search *s, snub_error *error)
{
    fit_model *m = s->m;
    double size[FIT_UNKNOWNS_MOST];
    snub_adjuster w;
    const snub_adjustment a = {
        .unknowns = fit_unknowns(m), .equations = fit_equations(m), .evaluate = fit_evaluate, .context = m};
    for (int i = 0; i < a.unknowns; i++)
        size[i] = i >= m->fitted ? 0.01 : is_relative(m->what[i]) ? 0.3 : 0.02;
    if (!snub_adjuster_make(&a, s->arena, &w))
        return no_memory(error);
    const snub_status status = snub_adjust_far(&a, &w, size, SHARE, s->x, &s->sum);
    if (status != SNUB_OK || m->stopped || m->status != SNUB_OK)
        return ended(m, status, error);
    fit_set(m, s->x);
    s->rows = row_count(m);
    s->freedom = s->rows - m->logs; /* a lag, and what is known before, brings an equation of its own */
    for (int i = 0; i < m->fitted; i++)
        s->freedom -= fit_known(m->what[i]) > 0.0 ? 0 : 1;
    return s->freedom > 0
               ? SNUB_OK
               : snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "more is to be fitted than there are readings");
}

/* What is left of slip and of boost, by the errors of neighbours. */
static void sums_of(const search *s, double sum[2], int count[2])
{
    const fit_model *m = s->m;
    const double *ratio = s->x + m->fitted, *lag = ratio + m->logs;
    sum[0] = sum[1] = 0.0;
    count[0] = count[1] = 0;
    for (int k = 0; k < m->count; k++) {
        const snub_fit_reading *r = &m->readings[k];
        const double off = -log(m->now[k].turns) + ratio[r->log] + lag[r->log] * r->gain - r->shortfall;
        sum[0] += pow(off / r->shortfall_error, 2.0);
        count[0]++;
        if (m->with_boost && isfinite(r->boost)) {
            sum[1] += pow((m->now[k].boost - r->boost) / r->boost_error, 2.0);
            count[1]++;
        }
    }
}

/* Slip and boost have each the scatter that is found, not the one of neighbours. */
static void weigh(search *s)
{
    double sum[2];
    int count[2];
    const double left = (double)s->freedom / (double)s->rows;
    sums_of(s, sum, count);
    for (int i = 0; i < 2; i++)
        if (count[i] > 0)
            s->m->weight[i] = fmax(sqrt(sum[i] / (count[i] * left)), 1e-9);
}

/* Search, and once more with each kind of readings by its own scatter. */
static snub_status find(search *s, snub_error *error)
{
    snub_status status = run_search(s, error);
    if (status != SNUB_OK)
        return status;
    weigh(s);
    return run_search(s, error);
}

/* ---- start ------------------------------------------------------------------------------------------------------- */

/* The greatest friction at which a reading slips. */
static double slips_from(fit_model *m, int step)
{
    double low = START_LEAST, high = START_MOST;
    for (int i = 0; i < HALVINGS && !m->stopped && m->status == SNUB_OK; i++) {
        const double middle = sqrt(low * high);
        bool any = false;
        (void)fit_sum_at(m, middle, step);
        for (int k = 0; k < m->count && !any; k += step)
            any = m->now[k].pulley >= 0;
        *(any ? &low : &high) = middle;
    }
    return low;
}

/* Where nothing slips yet the sum is flat, and no slope leads down: the best of some frictions under that, first in
 * small steps, for a little less friction is a lot of slip. */
static double first_friction(fit_model *m)
{
    const int step = m->count / START_READINGS > 1 ? m->count / START_READINGS : 1;
    const double from = slips_from(m, step);
    double best = INFINITY, at = from, less = FIRST_LESS;
    for (int i = 0; i < STARTS && less < 1.0 && !m->stopped && m->status == SNUB_OK; i++, less *= MORE_LESS) {
        const double sum = fit_sum_at(m, from * (1.0 - less), step);
        if (sum < best) {
            best = sum;
            at = from * (1.0 - less);
        }
    }
    return at;
}

/* Readings at which the build has a balance. */
static int keep_solved(fit_model *m, snub_fit_reading *kept)
{
    int count = 0;
    (void)fit_sum_at(m, INFINITY, 1);
    for (int k = 0; k < m->count; k++)
        if (m->now[k].solved)
            kept[count++] = m->readings[k];
    m->readings = kept;
    return m->count = count;
}

static void begin(search *s)
{
    fit_model *m = s->m;
    double sum[SNUB_FIT_LOGS_MOST] = {0}, count[SNUB_FIT_LOGS_MOST] = {0};
    memset(s->x, 0, sizeof s->x);
    for (int i = 0; i < m->fitted; i++)
        s->x[i] = fit_unknown_of(m->what[i], m->value[m->what[i]]);
    (void)fit_sum_at(m, m->value[SNUB_FIT_FRICTION], 1);
    for (int k = 0; k < m->count; k++) {
        sum[m->readings[k].log] += m->readings[k].shortfall + log(m->now[k].turns);
        count[m->readings[k].log] += 1.0;
    }
    for (int l = 0; l < m->logs; l++)
        s->x[m->fitted + l] = count[l] > 0.0 ? sum[l] / count[l] : 0.0;
}

static void choose(fit_model *m, const bool asked[SNUB_FIT_WHATS])
{
    m->fitted = 0;
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        if (asked[w])
            m->what[m->fitted++] = (snub_fit_what)w;
}

static snub_status search_for(search *s, const bool asked[SNUB_FIT_WHATS], snub_error *error)
{
    choose(s->m, asked);
    begin(s);
    return find(s, error);
}

/* ---- how well it is told ----------------------------------------------------------------------------------------- */

static snub_status find_errors(search *s, snub_error *error)
{
    const fit_model *m = s->m;
    const int n = fit_unknowns(m);
    double value[FIT_UNKNOWNS_MOST];
    double *right = SNUB_NEW(s->arena, double, (size_t)n *(size_t)n);
    snub_adjuster w;
    const snub_adjustment a = {.unknowns = n, .equations = fit_equations(m), .evaluate = fit_evaluate, .context = s->m};
    s->covariance = SNUB_NEW(s->arena, double, (size_t)n *(size_t)n);
    if (right == NULL || s->covariance == NULL || !snub_adjuster_make(&a, s->arena, &w))
        return no_memory(error);
    const snub_status status = snub_adjust_decompose(&a, &w, s->x, value, NULL, right);
    if (status != SNUB_OK)
        return ended(m, status, error);
    for (int i = 0; i < n; i++)
        value[i] = fmax(value[i], 1e-12 * value[0]);
    snub_adjust_covariance(n, value, right, s->covariance);
    for (int i = 0; i < n * n; i++)
        s->covariance[i] *= s->sum / s->freedom;
    return SNUB_OK;
}

/* Of what is fitted, by shares: values of the covariance are what each combination is known to. */
static void find_combinations(const search *s, snub_fit *fit)
{
    const fit_model *m = s->m;
    const int n = fit_unknowns(m), p = m->fitted;
    double matrix[SNUB_FIT_WHATS * SNUB_FIT_WHATS], mass[SNUB_FIT_WHATS], value[SNUB_FIT_WHATS],
        vector[SNUB_FIT_WHATS * SNUB_FIT_WHATS];
    for (int i = 0; i < p; i++) {
        mass[i] = 1.0;
        for (int k = 0; k < p; k++) {
            const double c = s->covariance[snub_at(i, k, n)];
            matrix[i * p + k] = 0.5 * (c + s->covariance[snub_at(k, i, n)]);
            fit->correlation[m->what[i]][m->what[k]] =
                c / sqrt(s->covariance[snub_at(i, i, n)] * s->covariance[snub_at(k, k, n)]);
        }
    }
    fit->fitted = p;
    if (p == 0 || snub_eigen(p, matrix, mass, value, vector) != SNUB_OK)
        return;
    for (int i = 0; i < p; i++) {
        fit->singular[i] = 1.0 / sqrt(fmax(value[i], 1e-30));
        fit->weakest[m->what[i]] = vector[(p - 1) * p + i];
    }
}

/* What an unknown leans on. */
static void find_partner(const fit_model *m, snub_fit *fit, snub_fit_what what, double share)
{
    snub_fit_estimate *e = &fit->of[what];
    double most = TOGETHER_LEAST;
    e->told = share > ERROR_MOST || (fit_known(what) > 0.0 && share > ERROR_MOST * fit_known(what)) ? SNUB_FIT_TOLD_NOT
                                                                                                    : SNUB_FIT_TOLD;
    for (int i = 0; i < m->fitted; i++) {
        const double r = fabs(fit->correlation[what][m->what[i]]);
        if (m->what[i] != what && r > most && share > ERROR_GOOD) {
            most = r;
            e->told = SNUB_FIT_TOLD_TOGETHER;
            e->partner = m->what[i];
        }
    }
}

static void fill_estimates(const search *s, snub_fit *fit)
{
    const fit_model *m = s->m;
    const int n = fit_unknowns(m);
    const double t = snub_student_value(0.025, s->freedom);
    for (int i = 0; i < m->fitted; i++) {
        snub_fit_estimate *e = &fit->of[m->what[i]];
        const double error = sqrt(s->covariance[snub_at(i, i, n)]);
        const snub_fit_what what = m->what[i];
        e->value = fit_value_of(what, s->x[i]);
        e->low = fit_value_of(what, s->x[i] - t * error);
        e->high = fit_value_of(what, s->x[i] + t * error);
        e->error = what == SNUB_FIT_FALLS        ? error
                   : what == SNUB_FIT_MECHANICAL ? error * e->value * (1.0 - e->value)
                                                 : error * e->value;
        find_partner(m, fit, what, is_relative(what) ? error : 0.0);
    }
}

/* ---- nothing slips ----------------------------------------------------------------------------------------------- */

/* The least friction that the readings do not speak against, one side: the sum rises from where nothing slips. */
static double least_friction(fit_model *m, double none, double scatter)
{
    double low = START_LEAST, high = START_MOST;
    for (int i = 0; i < BOUND_STEPS; i++) {
        const double middle = sqrt(low * high);
        const bool fits = fit_sum_at(m, middle, 1) <= none + ONE_SIDE * scatter;
        *(fits ? &high : &low) = middle;
    }
    return high;
}

/* Does the fitted friction explain more than none that slips? Where not, it is no less than a bound. */
static bool is_bound(search *s, bool asked[SNUB_FIT_WHATS], snub_fit *fit)
{
    fit_model *m = s->m;
    snub_fit_estimate *e = &fit->of[SNUB_FIT_FRICTION];
    const double none = fit_sum_at(m, INFINITY, 1), with = fit_sum_at(m, m->value[SNUB_FIT_FRICTION], 1);
    const double scatter = fmin(with, none) / fmax(m->count - m->logs - 1, 1);
    if (none - with > SLIP_SURE * scatter)
        return false;
    e->low = least_friction(m, none, none / fmax(m->count - m->logs, 1));
    e->high = INFINITY;
    e->told = SNUB_FIT_TOLD_BOUND;
    e->value = fmax(e->start, e->low);
    e->error = NAN;
    m->value[SNUB_FIT_FRICTION] = e->value;
    asked[SNUB_FIT_FRICTION] = asked[SNUB_FIT_FALLS] = false;
    if (fit->of[SNUB_FIT_FALLS].fitted) {
        fit->of[SNUB_FIT_FALLS].told = SNUB_FIT_TOLD_NOT;
        fit->of[SNUB_FIT_FALLS].value = m->value[SNUB_FIT_FALLS] = 0.0;
    }
    return true;
}

/* ---- evidence ---------------------------------------------------------------------------------------------------- */

static snub_fit_evidence evidence_of(const search *s)
{
    double sum[2], n = 0.0, fit = 0.0;
    int count[2];
    sums_of(s, sum, count);
    const int unknowns = s->m->fitted + 2 * s->m->logs;
    double k = unknowns;
    for (int i = 0; i < 2; i++)
        if (count[i] > 0) { /* each kind has a scatter of its own, one more unknown */
            fit += count[i] * log(sum[i] / count[i]);
            n += count[i];
            k += 1.0;
        }
    return (snub_fit_evidence){.unknowns = unknowns,
                               .sum = sum[0],
                               .aicc = fit + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0),
                               .friction = s->m->value[SNUB_FIT_FRICTION]};
}

/* The friction that does not change is kept unless what it leaves is worth one more unknown. */
static snub_status compare_frictions(search *s, bool asked[SNUB_FIT_WHATS], snub_fit *fit, snub_error *error)
{
    fit->compared = true;
    fit->constant = evidence_of(s);
    const search constant = *s;
    const double friction = s->m->value[SNUB_FIT_FRICTION];
    asked[SNUB_FIT_FALLS] = true;
    snub_status status = search_for(s, asked, error);
    if (status != SNUB_OK)
        return status;
    fit->falling = evidence_of(s);
    fit->falls_kept = fit->falling.aicc < fit->constant.aicc - KEEPS;
    if (fit->falls_kept)
        return SNUB_OK;
    status = find_errors(s, error);
    if (status != SNUB_OK)
        return status;
    fill_estimates(s, fit); /* of the fall, to be said beside */
    asked[SNUB_FIT_FALLS] = false;
    choose(s->m, asked);
    memcpy(s->x, constant.x, sizeof s->x);
    s->m->value[SNUB_FIT_FALLS] = 0.0;
    s->m->value[SNUB_FIT_FRICTION] = friction;
    return run_search(s, error);
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

static snub_status refuse(const snub_log_model *model, const bool asked[SNUB_FIT_WHATS], snub_error *error)
{
    const snub_drive *drive = model->build->drive;
    const snub_blower *blower = &drive->pulleys[model->blower].blower;
    const bool turns_out = blower->kind != SNUB_CENTRIFUGAL && blower->map == NULL;
    if (asked[SNUB_FIT_FALLS] && !asked[SNUB_FIT_FRICTION])
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "how the friction falls is fitted with the friction: add "
                         "--fit friction");
    if (asked[SNUB_FIT_LEAKAGE] && (!turns_out || !(blower->leakage_speed > 0.0)))
        return snub_fail(error, SNUB_BAD_INPUT, &blower->place, "leakage_speed",
                         turns_out ? "to be fitted, the leakage needs a first value in the file"
                                   : "a centrifugal or a blower with a map has no leakage that could be fitted");
    if (asked[SNUB_FIT_COOLER] && !(drive->cooler.pressure_drop > 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, &drive->cooler.place, "cooler.pressure_drop",
                         "to be fitted, the drop needs a first value and its flow in the file");
    if (asked[SNUB_FIT_INLET] && !(drive->cooler.inlet_pressure_drop > 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, &drive->cooler.place, "cooler.inlet_pressure_drop",
                         "to be fitted, the drop needs a first value and its flow in the file");
    return SNUB_OK;
}

static snub_status need_boost(fit_model *m, const bool asked[SNUB_FIT_WHATS], snub_error *error)
{
    int boosts = 0;
    m->with_boost = asked[SNUB_FIT_LEAKAGE] || asked[SNUB_FIT_COOLER] || asked[SNUB_FIT_INLET];
    for (int k = 0; k < m->count; k++)
        boosts += isfinite(m->readings[k].boost) ? 1 : 0;
    if (m->with_boost && boosts < SNUB_FIT_READINGS_LEAST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "leakage and losses show in the boost, and the logs have none at full throttle");
    return SNUB_OK;
}

static void fill_rest(const search *s, snub_fit *fit)
{
    const fit_model *m = s->m;
    double sum[2] = {0.0, 0.0};
    int count[2] = {0, 0};
    fit->reading_count = m->count;
    fit->with_boost = m->with_boost;
    for (int l = 0; l < m->logs; l++) {
        fit->ratio[l] = exp(-s->x[m->fitted + l]);
        fit->lag[l] = s->x[m->fitted + m->logs + l];
    }
    for (int k = 0; k < m->count; k++) {
        const snub_fit_reading *r = &m->readings[k];
        const double off =
            -log(m->now[k].turns) + s->x[m->fitted + r->log] + s->x[m->fitted + m->logs + r->log] * r->gain;
        fit->misfit += pow((off - r->shortfall) / r->shortfall_error, 2.0) / m->count;
        fit->slipping += m->now[k].pulley >= 0 ? 1 : 0;
        fit->most_slip = fmax(fit->most_slip, m->now[k].slip);
        sum[0] += pow(off - r->shortfall, 2.0);
        count[0]++;
        if (m->with_boost && isfinite(r->boost)) {
            sum[1] += pow(m->now[k].boost - r->boost, 2.0);
            count[1]++;
        }
    }
    fit->misfit = sqrt(fit->misfit);
    for (int i = 0; i < 2; i++)
        fit->scatter[i] = count[i] > 0 ? sqrt(sum[i] / count[i]) : (double)NAN;
}

static snub_status fit_all(search *s, const bool wanted[SNUB_FIT_WHATS], snub_fit *fit, snub_error *error)
{
    fit_model *m = s->m;
    bool asked[SNUB_FIT_WHATS];
    memcpy(asked, wanted, sizeof asked);
    const bool compare = asked[SNUB_FIT_FALLS];
    asked[SNUB_FIT_FALLS] = false;
    if (asked[SNUB_FIT_FRICTION])
        m->value[SNUB_FIT_FRICTION] = first_friction(m);
    /* friction first: from where slip is far off, the others would be bent to make up for it */
    snub_status status = asked[SNUB_FIT_FRICTION]
                             ? search_for(s, (const bool[SNUB_FIT_WHATS]){[SNUB_FIT_FRICTION] = true}, error)
                             : SNUB_OK;
    if (status == SNUB_OK)
        status = search_for(s, asked, error);
    if (status == SNUB_OK && asked[SNUB_FIT_FRICTION] && is_bound(s, asked, fit))
        status = search_for(s, asked, error);
    if (status == SNUB_OK && compare && asked[SNUB_FIT_FRICTION])
        status = compare_frictions(s, asked, fit, error);
    if (status != SNUB_OK)
        return status;
    status = find_errors(s, error);
    if (status == SNUB_OK) {
        find_combinations(s, fit);
        fill_estimates(s, fit);
        fill_rest(s, fit);
    }
    return status;
}

/* The models of a fit, with its readings. */
static snub_status open_search(search *s, const snub_fit_request *request, snub_error *error)
{
    s->m = SNUB_NEW(s->arena, fit_model, 1);
    snub_fit_reading *kept = SNUB_NEW(s->arena, snub_fit_reading, request->count);
    snub_status status = s->m != NULL && kept != NULL ? SNUB_OK : no_memory(error);
    if (status == SNUB_OK)
        status = fit_model_make(request->model, request->readings, request->count, request->log_count, s->arena, s->m,
                                error);
    if (status != SNUB_OK)
        return status;
    s->m->progress = request->progress;
    s->m->context = request->context;
    const int count = keep_solved(s->m, kept);
    if (s->m->stopped || s->m->status != SNUB_OK)
        return ended(s->m, SNUB_OK, error);
    return count >= SNUB_FIT_READINGS_LEAST
               ? SNUB_OK
               : snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                           "the build has a balance at only %d of the logs' %d readings: see snub check", count,
                           request->count);
}

snub_status snub_fit_run(const snub_fit_request *request, snub_fit *fit, snub_error *error)
{
    snub_arena arena = {0};
    search s = {.arena = &arena};
    *fit = (snub_fit){.model = request->model, .log_count = request->log_count, .edge = {NAN, NAN}};
    snub_status status = refuse(request->model, request->asked, error);
    if (status == SNUB_OK)
        status = open_search(&s, request, error);
    for (int w = 0; status == SNUB_OK && w < SNUB_FIT_WHATS; w++)
        fit->of[w] = (snub_fit_estimate){.fitted = request->asked[w], .start = s.m->first[w], .value = s.m->first[w]};
    if (status == SNUB_OK)
        status = need_boost(s.m, request->asked, error);
    if (status == SNUB_OK)
        status = fit_all(&s, request->asked, fit, error);
    snub_arena_free(&arena);
    return status;
}

/* The arm is taken at the middle of its friction band, and may hang at either end. */
snub_status snub_fit_find_edges(const snub_fit_request *request, snub_fit *fit, snub_error *error)
{
    static const bool friction_alone[SNUB_FIT_WHATS] = {[SNUB_FIT_FRICTION] = true};
    const snub_fit_estimate *e = &fit->of[SNUB_FIT_FRICTION];
    snub_status status = SNUB_OK;
    for (int i = 0; i < 2 && status == SNUB_OK && e->fitted && e->told == SNUB_FIT_TOLD; i++) {
        snub_arena arena = {0};
        search s = {.arena = &arena};
        status = open_search(&s, request, error);
        if (status == SNUB_OK && s.m->bench.rig.arm >= 0) {
            for (int w = 0; w < SNUB_FIT_WHATS; w++)
                s.m->value[w] = w == SNUB_FIT_FALLS && !fit->falls_kept ? 0.0 : fit->of[w].value;
            s.m->side = i == 0 ? -1.0 : 1.0;
            s.m->value[SNUB_FIT_FRICTION] = first_friction(s.m);
            status = search_for(&s, friction_alone, error);
            fit->edge[i] = s.m->value[SNUB_FIT_FRICTION];
        }
        snub_arena_free(&arena);
    }
    if (fit->edge[0] > fit->edge[1]) {
        const double swap = fit->edge[0];
        fit->edge[0] = fit->edge[1];
        fit->edge[1] = swap;
    }
    return status;
}
