/* docs/theory/trace.md, "Fit" */
#include "fit_model.h"

#include <math.h>
#include <string.h>

const char *const snub_fit_words[] = {"friction", "falls", "leakage", "mechanical", "cooler", "inlet", NULL};

/* Of ln: far over the errors of the states, far under where they bend. */
#define STEP 1e-5

const char *snub_fit_path(const snub_drive *drive, snub_fit_what what, snub_arena *arena)
{
    const int blower = snub_first_blower(drive);
    switch (what) {
    case SNUB_FIT_FRICTION: return "belt.friction.limit.rib";
    case SNUB_FIT_LEAKAGE:
        return blower < 0 ? NULL : snub_format(arena, "%s.blower.leakage_speed", drive->pulleys[blower].name);
    case SNUB_FIT_MECHANICAL:
        return blower < 0 ? NULL : snub_format(arena, "%s.blower.mechanical", drive->pulleys[blower].name);
    case SNUB_FIT_COOLER: return "cooler.pressure_drop";
    case SNUB_FIT_INLET: return "cooler.inlet_pressure_drop";
    default: return NULL;
    }
}

double fit_value_in(const snub_drive *drive, snub_fit_what what)
{
    const int blower = snub_first_blower(drive);
    switch (what) {
    case SNUB_FIT_FRICTION: return drive->belt.limit.rib;
    case SNUB_FIT_LEAKAGE: return blower < 0 ? 0.0 : drive->pulleys[blower].blower.leakage_speed;
    case SNUB_FIT_MECHANICAL: return blower < 0 ? 0.0 : drive->pulleys[blower].blower.mechanical;
    case SNUB_FIT_COOLER: return drive->cooler.pressure_drop;
    case SNUB_FIT_INLET: return drive->cooler.inlet_pressure_drop;
    default: return 0.0;
    }
}

snub_status fit_model_make(const snub_log_model *model, const snub_fit_reading *readings, int count, int logs,
                           snub_arena *arena, fit_model *m, snub_error *error)
{
    memset(m, 0, sizeof *m);
    m->model = model;
    m->readings = readings;
    m->count = count;
    m->logs = logs;
    m->weight[0] = m->weight[1] = 1.0;
    m->now = SNUB_NEW(arena, snub_slip_state, count);
    m->moved = SNUB_NEW(arena, snub_slip_state, count);
    if (m->now == NULL || m->moved == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        m->value[w] = m->first[w] = fit_value_in(model->build->drive, (snub_fit_what)w);
    return snub_slip_bench_make(model->build, &m->bench, error);
}

double fit_known(snub_fit_what what)
{
    return what == SNUB_FIT_FRICTION || what == SNUB_FIT_FALLS ? 0.0 : what == SNUB_FIT_MECHANICAL ? 0.5 : 1.0;
}

double fit_unknown_of(snub_fit_what what, double value)
{
    const double most = 1.0 - 1e-6;
    if (what == SNUB_FIT_MECHANICAL)
        return log(fmin(value, most) / (1.0 - fmin(value, most)));
    return what == SNUB_FIT_FALLS ? value : log(value);
}

double fit_value_of(snub_fit_what what, double x)
{
    return what == SNUB_FIT_MECHANICAL ? 1.0 / (1.0 + exp(-x)) : what == SNUB_FIT_FALLS ? x : exp(x);
}

int fit_unknowns(const fit_model *m)
{
    return m->fitted + 2 * m->logs;
}

int fit_equations(const fit_model *m)
{
    return (m->with_boost ? 2 : 1) * m->count + m->logs + m->fitted;
}

/* A centrifugal or a map has no leakage, and a file may have no cooler: what is held there is left as it was read. */
static void set_bench(fit_model *m, const double value[SNUB_FIT_WHATS])
{
    snub_drive *drive = &m->bench.drive;
    snub_blower *blower = &drive->pulleys[m->bench.blower].blower;
    drive->belt.limit.rib = value[SNUB_FIT_FRICTION];
    blower->leakage_speed = value[SNUB_FIT_LEAKAGE];
    blower->mechanical = value[SNUB_FIT_MECHANICAL];
    drive->cooler.pressure_drop = value[SNUB_FIT_COOLER];
    drive->cooler.inlet_pressure_drop = value[SNUB_FIT_INLET];
}

static void values_of(const fit_model *m, const double *x, double value[SNUB_FIT_WHATS])
{
    memcpy(value, m->value, SNUB_FIT_WHATS * sizeof *value);
    for (int i = 0; i < m->fitted; i++)
        value[m->what[i]] = fit_value_of(m->what[i], x[i]);
}

/* States of every `step`th reading with these values. */
static void ask(fit_model *m, const double value[SNUB_FIT_WHATS], double friction, int step, snub_slip_state *states)
{
    set_bench(m, value);
    for (int k = 0; k < m->count && m->status == SNUB_OK; k += step) {
        const snub_slip_case asked = {.engine_speed = m->readings[k].engine,
                                      .rate = m->readings[k].rate,
                                      .throttle = SNUB_THROTTLE_OPEN,
                                      .side = m->side,
                                      .friction = friction,
                                      .falls = value[SNUB_FIT_FALLS]};
        m->status = snub_slip_bench_ask(&m->bench, &asked, &states[k], &m->error);
    }
    if (m->progress != NULL && !m->progress(++m->rounds, 0, m->context))
        m->stopped = true;
}

void fit_set(fit_model *m, const double *x)
{
    values_of(m, x, m->value);
    ask(m, m->value, 1.0, 1, m->now);
}

/* A blower that stands has no logarithm; to the search it is one that hardly turns. */
#define STANDS 1e-3

static double drop_of(const snub_slip_state *state)
{
    return state->solved ? -log(fmax(state->turns, STANDS)) : (double)NAN;
}

static void add_columns(const fit_model *m, int unknown, double step, double *jacobian)
{
    const int rows = fit_equations(m);
    for (int k = 0; k < m->count; k++) {
        const snub_fit_reading *r = &m->readings[k];
        jacobian[snub_at(k, unknown, rows)] =
            (drop_of(&m->moved[k]) - drop_of(&m->now[k])) / (step * m->weight[0] * r->shortfall_error);
        if (m->with_boost)
            jacobian[snub_at(m->count + k, unknown, rows)] =
                isfinite(r->boost) ? (m->moved[k].boost - m->now[k].boost) / (step * m->weight[1] * r->boost_error)
                                   : 0.0;
    }
}

static void add_residuals(const fit_model *m, const double *x, double *residual)
{
    const double *ratio = x + m->fitted, *lag = ratio + m->logs;
    for (int k = 0; k < m->count; k++) {
        const snub_fit_reading *r = &m->readings[k];
        residual[k] = (drop_of(&m->now[k]) + ratio[r->log] + lag[r->log] * r->gain - r->shortfall) /
                      (m->weight[0] * r->shortfall_error);
        if (m->with_boost)
            residual[m->count + k] =
                isfinite(r->boost) ? (m->now[k].boost - r->boost) / (m->weight[1] * r->boost_error) : 0.0;
    }
    double *known = residual + fit_equations(m) - m->logs - m->fitted;
    for (int l = 0; l < m->logs; l++)
        known[l] = lag[l] / FIT_LAG_ERROR;
    for (int i = 0; i < m->fitted; i++)
        known[m->logs + i] = fit_known(m->what[i]) > 0.0
                                 ? (x[i] - fit_unknown_of(m->what[i], m->first[m->what[i]])) / fit_known(m->what[i])
                                 : 0.0;
}

void fit_evaluate(const double *x, double *residual, double *jacobian, void *context)
{
    fit_model *m = context;
    double value[SNUB_FIT_WHATS], moved[FIT_UNKNOWNS_MOST];
    const int unknowns = fit_unknowns(m), rows = fit_equations(m);
    memset(jacobian, 0, (size_t)rows * (size_t)unknowns * sizeof *jacobian);
    values_of(m, x, value);
    ask(m, value, 1.0, 1, m->now);
    add_residuals(m, x, residual);
    if (m->stopped || m->status != SNUB_OK)
        residual[0] = NAN;
    for (int i = 0; i < m->fitted && !m->stopped; i++) {
        memcpy(moved, x, (size_t)unknowns * sizeof *moved);
        moved[i] += STEP;
        values_of(m, moved, value);
        ask(m, value, 1.0, 1, m->moved);
        add_columns(m, i, STEP, jacobian);
    }
    for (int k = 0; k < m->count; k++) {
        const snub_fit_reading *r = &m->readings[k];
        const double error = m->weight[0] * r->shortfall_error;
        jacobian[snub_at(k, m->fitted + r->log, rows)] = 1.0 / error;
        jacobian[snub_at(k, m->fitted + m->logs + r->log, rows)] = r->gain / error;
    }
    for (int l = 0; l < m->logs; l++)
        jacobian[snub_at(rows - m->fitted - m->logs + l, m->fitted + m->logs + l, rows)] = 1.0 / FIT_LAG_ERROR;
    for (int i = 0; i < m->fitted; i++)
        jacobian[snub_at(rows - m->fitted + i, i, rows)] =
            fit_known(m->what[i]) > 0.0 ? 1.0 / fit_known(m->what[i]) : 0.0;
}

double fit_sum_at(fit_model *m, double friction, int step)
{
    double weight[SNUB_FIT_LOGS_MOST] = {0}, mean[SNUB_FIT_LOGS_MOST] = {0}, value[SNUB_FIT_WHATS], sum = 0.0;
    memcpy(value, m->value, sizeof value);
    if (isfinite(friction))
        value[SNUB_FIT_FRICTION] = friction;
    ask(m, value, isfinite(friction) ? 1.0 : (double)INFINITY, step, m->now);
    for (int pass = 0; pass < 2; pass++)
        for (int k = 0; k < m->count; k += step) {
            const snub_fit_reading *r = &m->readings[k];
            const double w = pow(m->weight[0] * r->shortfall_error, -2.0), off = r->shortfall - drop_of(&m->now[k]);
            if (pass == 0) {
                weight[r->log] += w;
                mean[r->log] += w * off;
            } else {
                sum += w * pow(off - mean[r->log] / weight[r->log], 2.0);
            }
        }
    return m->stopped || m->status != SNUB_OK ? (double)NAN : sum;
}
