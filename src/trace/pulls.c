/* docs/theory/trace.md, "Pulls". */
#include "pulls.h"

#include <math.h>

#define TURNS 0.04                   /* share of the speed by which it must turn back */
#define NEAR 0.015                   /* within so much it is still at its foot, or already at its top */
#define GAIN_SHARE 0.25              /* of the range from idle to redline: less is no pull */
#define RATE_LEAST (80.0 * SNUB_RPM) /* rad/s2: slower it is driving, not pulling */
#define HALT_TIME 0.8                /* s without a gain of NEAR: a rise that slow is over */
#define CHANGE_TIME 1.2              /* s from the top of one rise to the foot of the next */
#define CHANGE_LEAST 0.5             /* share of the speed that is left */
#define CHANGE_MOST 0.93

void trace_pulls_init(trace_pulls *p, const snub_log_model *model, trace_pull_take *take, void *context)
{
    *p = (trace_pulls){.least = GAIN_SHARE * (model->redline - model->idle), .take = take, .context = context};
}

static void begin(trace_pulls *p, const trace_sample *s)
{
    p->any = true;
    p->rises = true;
    p->fell_from = false;
    p->part = s->part;
    p->known = p->open = 0;
    p->low = p->high = p->mark = p->bottom = p->foot = s->engine;
    p->low_time = p->high_time = p->mark_time = p->last_high_time = p->foot_time = s->time;
}

static void end_rise(const trace_pulls *p)
{
    const snub_log_pull pull = {p->low_time, p->high_time, {p->low, p->high}};
    const bool driven = 2 * p->open < p->known; /* without much throttle: downhill, or a rise by hand */
    if (!driven && p->high - p->low >= p->least && p->high - p->low >= RATE_LEAST * (p->high_time - p->low_time))
        p->take(p->context, false, &pull);
}

static void end_fall(const trace_pulls *p)
{
    const snub_log_pull change = {p->last_high_time, p->foot_time, {p->high, p->bottom}};
    const double left = p->bottom / p->high;
    if (p->fell_from && left >= CHANGE_LEAST && left <= CHANGE_MOST && p->foot_time - p->last_high_time <= CHANGE_TIME)
        p->take(p->context, true, &change);
}

/* A rise that has come to a halt is over; the next begins where the engine is now. */
static void halt(trace_pulls *p, const trace_sample *s)
{
    end_rise(p);
    p->known = p->open = 0;
    p->low = p->high = p->mark = s->engine;
    p->low_time = p->high_time = p->mark_time = p->last_high_time = s->time;
}

static void rise(trace_pulls *p, const trace_sample *s)
{
    if (s->engine < p->high * (1.0 - TURNS)) { /* also where it falls below its foot from one row to the next */
        end_rise(p);
        p->rises = false;
        p->fell_from = p->high > p->low * (1.0 + TURNS);
        p->bottom = p->foot = s->engine;
        p->foot_time = s->time;
        return;
    }
    if (s->engine > p->mark * (1.0 + NEAR)) {
        p->mark = s->engine;
        p->mark_time = s->time;
    } else if (s->time - p->mark_time > HALT_TIME) {
        halt(p, s);
        return;
    }
    if (s->engine < p->low * (1.0 + NEAR)) { /* still at its foot */
        p->low = s->engine < p->low ? s->engine : p->low;
        p->low_time = s->time;
        p->known = p->open = 0;
    }
    if (s->engine > p->high) {
        p->high = s->engine;
        p->high_time = s->time;
    }
    if (s->engine > p->high * (1.0 - NEAR))
        p->last_high_time = s->time;
}

static void fall(trace_pulls *p, const trace_sample *s)
{
    if (s->engine < p->foot * (1.0 - 0.5 * NEAR)) {
        p->foot = s->engine;
        p->foot_time = s->time;
    }
    p->bottom = s->engine < p->bottom ? s->engine : p->bottom;
    if (s->engine > p->bottom * (1.0 + TURNS)) {
        end_fall(p);
        p->rises = true;
        p->known = p->open = 0;
        p->low = p->bottom;
        p->low_time = p->foot_time;
        p->high = p->mark = s->engine;
        p->high_time = p->mark_time = p->last_high_time = s->time;
    }
}

void trace_pulls_sample(trace_pulls *p, const trace_sample *s, bool open)
{
    p->known += !isnan(s->throttle);
    p->open += !isnan(s->throttle) && open;
    if (!p->any || s->part != p->part) {
        trace_pulls_end(p);
        begin(p, s);
    } else if (p->rises) {
        rise(p, s);
    } else {
        fall(p, s);
    }
}

void trace_pulls_end(trace_pulls *p)
{
    if (p->any && p->rises)
        end_rise(p);
    p->any = false;
}
