/** ripple.h - the blower's speed from the pulses of its lobes in boost. Private to src/trace. */
#ifndef SNUB_TRACE_RIPPLE_H
#define SNUB_TRACE_RIPPLE_H

#include "model.h"

typedef struct trace_ripple trace_ripple;
/** Takes a row for each window: its middle, with the blower's speed there. */
typedef snub_status trace_row_take(void *context, const snub_log_row *row);

/** @param[in] pulses  per turn of the blower's pulley
 *  @return NULL: memory is out */
trace_ripple *trace_ripple_open(const snub_log_model *model, double pulses, trace_row_take *take, void *context);
/** A row of the log. @return SNUB_OK; what `take` gave */
snub_status trace_ripple_row(trace_ripple *r, const snub_log_row *row);
/** What the windows came to. */
void trace_ripple_told(const trace_ripple *r, snub_log_ripple *told);
void trace_ripple_close(trace_ripple *r);

#endif
