/** model.h - what the build does at a sample. Private to src/trace. */
#ifndef SNUB_TRACE_MODEL_H
#define SNUB_TRACE_MODEL_H

#include "snub/trace.h"

/** The blower's speed with the engine's at the same moment. */
typedef struct trace_sample {
    double time, elapsed;           /**< s: as the log has it; from the start, parts put together */
    double engine, blower;          /**< rad/s */
    double rate;                    /**< d ln engine/dt, 1/s */
    double throttle, boost, charge; /**< NAN: not known */
    long line, part;
} trace_sample;

/** Is the throttle open? By the throttle against its greatest, else by boost against the build's, else by whether the
 *  engine speeds up. @param[in] full  greatest throttle of the log; NAN: none */
bool trace_is_open(const snub_log_model *model, double full, const trace_sample *sample);
/** The way of running that comes nearest. */
snub_way trace_way(const snub_log_model *model, double full, const trace_sample *sample);
/** The build there, linear between its speeds; past idle and redline as there. */
snub_log_point trace_point(const snub_log_model *model, snub_way way, double engine);

#endif
