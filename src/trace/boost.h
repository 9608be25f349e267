/** boost.h - the blower's speed from boost. Private to src/trace. */
#ifndef SNUB_TRACE_BOOST_H
#define SNUB_TRACE_BOOST_H

#include "model.h"

/** What is known of the throttle as samples come. */
typedef struct trace_boost {
    const snub_log_model *model;
    double full; /**< greatest throttle of the log; NAN: none */
    double open_since;
    long part;
    bool open;
    long shut, blunt; /**< samples that tell nothing */
} trace_boost;
void trace_boost_init(trace_boost *b, const snub_log_model *model, double full);
/** Put the blower's speed into a sample of boost. @return false: it tells nothing; blower is NAN */
bool trace_boost_infer(trace_boost *b, trace_sample *sample);

#endif
