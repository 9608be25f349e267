/** detect.h - slip in samples, as they come. Private to src/trace. */
#ifndef SNUB_TRACE_DETECT_H
#define SNUB_TRACE_DETECT_H

#include "calibrate.h"

typedef struct trace_detect trace_detect;
/** Takes a slip as it ends. */
typedef void trace_slip_take(void *context, const snub_log_slip *slip);

/** @param[in] row_step  s between rows: as much a time may be late
 *  @return NULL: memory is out */
trace_detect *trace_detect_open(const snub_log_model *model, const snub_log_calibration *calibration, double base,
                                double full, double row_step, trace_slip_take *take, void *context);
/** A sample. @param[in] expected  by trace_expected
 *  @param[out] slip  mean over the window that ends about there; NAN: not known
 *  @return false: it says nothing */
bool trace_detect_sample(trace_detect *d, const trace_sample *sample, double expected, double *slip);
/** The end of the log. */
void trace_detect_end(trace_detect *d);
/** Of boost: was the engine speed in the middle of a slip passed without it, over a second before or after it? */
bool trace_detect_was_calm(const trace_detect *d, const snub_log_slip *slip);
long trace_detect_samples(const trace_detect *d);
long trace_detect_spikes(const trace_detect *d);
/** By how much the log's own ratio has moved, least and greatest. */
void trace_detect_drift(const trace_detect *d, double drift[2]);
void trace_detect_close(trace_detect *d);

#endif
