/** align.h - fresh blower speeds, or boosts, with the engine's speed at the same moment. Private to src/trace. */
#ifndef SNUB_TRACE_ALIGN_H
#define SNUB_TRACE_ALIGN_H

#include "model.h"

typedef struct trace_align trace_align;
typedef void trace_take(void *context, const trace_sample *sample);

/** @param[in] by  SNUB_LOG_BLOWER, or SNUB_LOG_BOOST where that is to tell the blower's speed: samples have NAN for it
 *  @param[in] lag  s by which it comes late
 *  @return NULL: memory is out */
trace_align *trace_align_open(snub_log_channel by, double lag, trace_take *take, void *context);
void trace_align_row(trace_align *a, const snub_log_row *row);
/** The end of the log. */
void trace_align_end(trace_align *a);
/** Fresh blower speeds without an engine speed before and behind them. */
long trace_align_unpaired(const trace_align *a);
void trace_align_close(trace_align *a);

/** Greatest lag that is looked for, s. */
#define TRACE_LAG_MOST 0.4

#endif
