/** fit_model.h - what the build does at the readings for given values. Private to src/trace. */
#ifndef SNUB_TRACE_FIT_MODEL_H
#define SNUB_TRACE_FIT_MODEL_H

#include "snub/adjust.h"
#include "snub/trace_fit.h"

enum { FIT_UNKNOWNS_MOST = SNUB_FIT_WHATS + 2 * SNUB_FIT_LOGS_MOST };

/** As the drive has it now, SI. */
double snub_fit_value(const snub_drive *drive, snub_fit_what what);

/** x: of what is fitted the ln of the value (falls: the value; mechanical: ln of its odds), then of each log ln of its
 * ratio, then its lag. */
typedef struct fit_model {
    const snub_log_model *model;
    snub_slip_bench bench;
    const snub_fit_reading *readings;
    int count, logs;
    bool with_boost;
    double side;                  /**< of the arm's friction band, -1 to 1 */
    double weight[2];             /**< by which the errors of slip and boost are multiplied */
    double value[SNUB_FIT_WHATS]; /**< of all, as held */
    double first[SNUB_FIT_WHATS]; /**< the file's */
    int fitted;
    snub_fit_what what[SNUB_FIT_WHATS];
    snub_slip_state *now, *moved; /**< count */
    snub_status status;           /**< of a state that could not be asked for */
    snub_error error;
    snub_progress progress;
    void *context;
    int rounds;
    bool stopped;
} fit_model;

/** A lag that is left behind after what the calibration has taken out, s. */
#define FIT_LAG_ERROR 0.005

/** As the drive has it now, SI. */
double fit_value_in(const snub_drive *drive, snub_fit_what what);
/** How well a value is known before, one deviation of its unknown about the file's: within a factor e; efficiency 0.86
 * to 0.94 about 0.91. That holds the search where the logs say nothing. 0: friction and its fall, of which nothing is
 * known. Rules of thumb, no published source. */
double fit_known(snub_fit_what what);
/** A value as an unknown, and back. */
double fit_unknown_of(snub_fit_what what, double value);
double fit_value_of(snub_fit_what what, double x);

/** @return SNUB_OK; SNUB_NO_MEMORY; as snub_slip_bench_make */
snub_status fit_model_make(const snub_log_model *model, const snub_fit_reading *readings, int count, int logs,
                           snub_arena *arena, fit_model *m, snub_error *error);
/** Equations of an adjustment: slips, boosts, what is known of each lag and of what is fitted. */
int fit_equations(const fit_model *m);
int fit_unknowns(const fit_model *m);
/** For snub_adjustment; `context` is the model. NAN where a state has no balance. */
void fit_evaluate(const double *x, double *residual, double *jacobian, void *context);
/** Values of x are held, and `now` is as they have it. */
void fit_set(fit_model *m, const double *x);
/** Sum of squares of every `step`th slip with the ratios at their best, no lag: the other values as held.
 *  @param[in] friction  INFINITY: nothing slips */
double fit_sum_at(fit_model *m, double friction, int step);

#endif
