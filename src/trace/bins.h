/** bins.h - a log of any length in few bins. Private to src/trace. */
#ifndef SNUB_TRACE_BINS_H
#define SNUB_TRACE_BINS_H

#include "model.h"

/** When all bins are full two become one, and each spans twice the time. */
typedef struct trace_bins {
    double per_second; /**< bins; 0: nothing came yet */
    int count;
    snub_log_bin bin[SNUB_LOG_BINS];
} trace_bins;

/** @param[in] expected  blower speed without slip, rad/s
 *  @param[in] slip, model_boost  NAN: not known */
void trace_bins_add(trace_bins *bins, const trace_sample *sample, double expected, double slip, double model_boost);
/** Leave out the bins without a sample. */
void trace_bins_close(trace_bins *bins);

#endif
