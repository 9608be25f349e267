/** expected.h - the build at a sample, in the header since it is asked for with every row. Private to src/trace. */
#ifndef SNUB_TRACE_EXPECTED_H
#define SNUB_TRACE_EXPECTED_H

#include <math.h>

#include "model.h"

#define TRACE_RUNS_SHARE 0.5 /**< of idle: slower the engine is being started or stopped */

/** The lower of the two points of the build about an engine speed, held within them, and the part of the way to the
 *  upper. */
static inline int trace_point_below(const snub_log_model *model, double engine, double *part)
{
    const double at = (engine - model->idle) * model->steps_per_speed;
    const double held = at < 0.0 ? 0.0 : at < SNUB_LOG_SPEEDS - 1.0 ? at : SNUB_LOG_SPEEDS - 1.0;
    const int k = held < SNUB_LOG_SPEEDS - 1 ? (int)held : SNUB_LOG_SPEEDS - 2;
    *part = held - k;
    return k;
}

/** Creep: steady, throttle open or shut. Where the build has no balance, none. */
static inline double trace_creep(const snub_log_model *model, bool open, double engine)
{
    double part;
    const snub_log_point *a = &model->point[open ? SNUB_STEADY : SNUB_SHUT][trace_point_below(model, engine, &part)];
    return a[0].creep + (a[1].creep - a[0].creep) * part;
}

/** Boost without slip at open throttle, speed held, Pa; NAN: none. */
static inline double trace_full_boost(const snub_log_model *model, double engine)
{
    double part;
    const snub_log_point *a = &model->point[SNUB_STEADY][trace_point_below(model, engine, &part)];
    return a[0].boost + (a[1].boost - a[0].boost) * part;
}

/** The build's blower speed at a sample where nothing slips, rad/s. */
static inline double trace_expected(const snub_log_model *model, bool open, const trace_sample *sample)
{
    return model->ratio * sample->engine * (1.0 - trace_creep(model, open, sample->engine));
}

/** ln(a/b) = 2 artanh((a - b)/(a + b)); four terms leave less than 1e-12 of it up to u = 0.04. */
static inline double trace_log_ratio(double a, double b)
{
    const double u = (a - b) / (a + b), square = u * u, near = 0.04 * 0.04;
    return square < near ? 2.0 * u * (1.0 + square * (1.0 / 3 + square * (1.0 / 5 + square / 7))) : log(a / b);
}

/** ln of the build's blower speed over the log's: slip, where small, and the log's own offset. NAN: says nothing. */
static inline double trace_shortfall(const snub_log_model *model, double expected, const trace_sample *sample)
{
    if (!(sample->engine > TRACE_RUNS_SHARE * model->idle) || !(sample->blower > 0.0))
        return NAN;
    return trace_log_ratio(expected, sample->blower);
}

#endif
