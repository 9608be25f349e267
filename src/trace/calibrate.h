/** calibrate.h - the log's own ratio, lag and noise. Private to src/trace. */
#ifndef SNUB_TRACE_CALIBRATE_H
#define SNUB_TRACE_CALIBRATE_H

#include "model.h"

/** False alarms: less than one in so long, s. */
#define TRACE_QUIET (100.0 * SNUB_HOUR)
/** Least slip that is ever called one: under it belts differ from one another by creep and by pitch radius. Rule of
 *  thumb, no published source. */
#define TRACE_THRESHOLD_LEAST 0.015
/** The same from boost, where the build's air is not the engine's to the last percent. Rule of thumb, no published
 *  source. */
#define TRACE_BOOST_LEAST 0.025
#define TRACE_WINDOW 0.2 /* s */
/** Samples that a window must have for its mean to say anything. */
enum { TRACE_WINDOW_LEAST = 3 };

/** Fit base and lag to samples that were paired with no lag, or with one that is being refined.
 *  @param[out] base  of the shortfall where nothing slips
 *  @param[out] lag, error  s; what is left of it
 *  @return false: too few samples, or memory is out (count tells) */
bool trace_fit(const snub_log_model *model, double full, const trace_sample *samples, long count, double *base,
               double *lag, double *error);

/** The base alone, with no lag looked for. @return as trace_fit */
bool trace_fit_base(const snub_log_model *model, double full, const trace_sample *samples, long count, double *base);

/** Noise, rate and threshold of paired samples. @return as trace_fit */
bool trace_noise(const snub_log_model *model, double full, const trace_sample *samples, long count, double base,
                 snub_log_calibration *calibration);

/** What a ratio that is not the build's comes to. */
void trace_name_offset(const snub_log_model *model, const snub_log_offer *offers, int offer_count,
                       snub_log_calibration *calibration);

/** Samples without which nothing is said. */
enum { TRACE_SAMPLES_LEAST = 40 };

#endif
