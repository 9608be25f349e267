/* docs/theory/trace.md, "Slip from boost": which samples of boost tell the blower's speed. */
#include "boost.h"

#include <math.h>

#include "boost_map.h"

#define FULL_OPEN 0.9     /* of the greatest throttle: less holds boost down */
#define SETTLES 0.3       /* s after the throttle opened, in which the manifold fills. Rule of thumb */
#define PAST_REDLINE 1.05 /* of it, from where the build is not known any more */

void trace_boost_init(trace_boost *b, const snub_log_model *model, double full)
{
    *b = (trace_boost){.model = model, .full = full};
}

bool trace_boost_infer(trace_boost *b, trace_sample *sample)
{
    const snub_log_model *model = b->model;
    const double at = (sample->engine - model->idle) * model->steps_per_speed;
    const bool open = !isnan(sample->throttle) && b->full > 0.0 ? sample->throttle >= FULL_OPEN * b->full
                                                                : trace_is_open(model, b->full, sample);
    if (!open || !b->open || sample->part != b->part)
        b->open_since = sample->elapsed;
    b->open = open;
    b->part = sample->part;
    sample->blower = NAN;
    if (!open || sample->elapsed - b->open_since < SETTLES) {
        b->shut++;
        return false;
    }
    if (at >= 0.0 && sample->engine <= PAST_REDLINE * model->redline)
        sample->blower =
            sample->engine * model->ratio * trace_factor(&model->air, at, model->air.ambient + sample->boost);
    b->blunt += isnan(sample->blower);
    return !isnan(sample->blower);
}
