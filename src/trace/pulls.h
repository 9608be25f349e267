/** pulls.h - pulls and gear changes in the engine's speed. Private to src/trace. */
#ifndef SNUB_TRACE_PULLS_H
#define SNUB_TRACE_PULLS_H

#include "model.h"

/** Takes a pull, or a gear change, as it ends. */
typedef void trace_pull_take(void *context, bool change, const snub_log_pull *pull);

/** Turning points of the speed: it goes on rising until it has fallen by a share, and the other way round. */
typedef struct trace_pulls {
    double least; /**< gain of a pull, rad/s */
    trace_pull_take *take;
    void *context;
    bool any, rises, fell_from;            /**< fell_from: there was a rise before the fall */
    long part, known, open;                /**< of the rise: samples whose throttle is known; that have it open */
    double low, low_time, high, high_time; /**< the foot of a rise, the first time near its top */
    double mark, mark_time;                /**< the last time that it had gained a step */
    double last_high_time;                 /**< the last time near its top */
    double foot, foot_time;                /**< the first row near the bottom of a fall */
    double bottom;
} trace_pulls;

void trace_pulls_init(trace_pulls *p, const snub_log_model *model, trace_pull_take *take, void *context);
/** @param[in] open  the throttle is; read where the sample has one */
void trace_pulls_sample(trace_pulls *p, const trace_sample *sample, bool open);
void trace_pulls_end(trace_pulls *p);

#endif
