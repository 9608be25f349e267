/* What is kept of a run. */
#include "run_record.h"

#include <string.h>

enum { EVENTS_FIRST = 64 };

static const snub_run_range no_range = {INFINITY, -INFINITY, NAN, NAN};

bool run_record_begin(run_record *record, const run *r, const snub_run_request *request, snub_arena *arena,
                      snub_run_result *result)
{
    *record = (run_record){.run = r, .request = request, .arena = arena, .result = result, .event_room = EVENTS_FIRST};
    const double many = request->sample > 0.0 ? request->length / request->sample : 0.0;
    record->sample_room = (int)fmin(many, SNUB_RUN_SAMPLES_MOST) + 3;
    result->events = SNUB_NEW(arena, snub_run_event, EVENTS_FIRST);
    result->samples = SNUB_NEW(arena, snub_run_sample, record->sample_room);
    for (int i = 0; i < r->n; i++) {
        for (int kind = 0; kind < SNUB_RUN_EVENTS_; kind++)
            record->going[kind][i].last = -1;
        result->tension[i] = result->hub[i] = no_range;
        record->low[i] = INFINITY;
        record->high[i] = -INFINITY;
    }
    result->wind = r->model->rig->arm >= 0 ? no_range : (snub_run_range){NAN, NAN, NAN, NAN};
    record->wind[0] = INFINITY;
    record->wind[1] = -INFINITY;
    return result->events != NULL && result->samples != NULL;
}

static bool take_event(run_record *record)
{
    snub_run_result *r = record->result;
    if (r->event_count < record->event_room)
        return true;
    snub_run_event *more = SNUB_NEW(record->arena, snub_run_event, 2 * record->event_room);
    if (more == NULL)
        return false;
    memcpy(more, r->events, (size_t)r->event_count * sizeof *more);
    r->events = more;
    record->event_room *= 2;
    return true;
}

static void close_event(run_record *record, snub_run_event_kind kind, int at, double time, double engine)
{
    run_going *g = &record->going[kind][at];
    const double took = time - g->since;
    record->result->share[kind][at] += took;
    g->on = false;
    if (g->last < 0)
        return;
    snub_run_event *e = &record->result->events[g->last];
    e->to = time;
    e->speed[1] = engine;
    e->most = fmax(e->most, g->most);
    if (took >= e->longest) {
        e->longest = took;
        e->slack_long = g->slack;
    }
}

bool run_record_event(run_record *record, snub_run_event_kind kind, int at, bool on, double time, double engine,
                      double most)
{
    run_going *g = &record->going[kind][at];
    snub_run_result *r = record->result;
    if (on == g->on)
        return true;
    if (!on) {
        close_event(record, kind, at, time, engine);
        return true;
    }
    g->on = true;
    g->since = time;
    g->most = most;
    g->slack = 0.0;
    if (g->last >= 0 && time - r->events[g->last].to <= record->request->together) {
        r->events[g->last].count++;
        return true;
    }
    g->last = -1;
    r->events_cut = r->events_cut || r->event_count == SNUB_RUN_EVENTS_MOST;
    if (r->event_count == SNUB_RUN_EVENTS_MOST)
        return true;
    if (!take_event(record))
        return false;
    g->last = r->event_count++;
    r->events[g->last] =
        (snub_run_event){.kind = kind, .at = at, .count = 1, .from = time, .to = time, .speed = {engine, engine}};
    return true;
}

static void widen(snub_run_range *range, double value, double time)
{
    if (value < range->low) {
        range->low = value;
        range->low_at = time;
    }
    if (value > range->high) {
        range->high = value;
        range->high_at = time;
    }
}

static const double *direction(const run *r, const run_view *v, int span)
{
    return span == r->before ? v->arm.u[0] : span == r->model->rig->arm ? v->arm.u[1] : r->model->rig->path.u[span];
}

static double pull_at_hub(const run *r, const run_view *v, int i)
{
    const int before = i > 0 ? i - 1 : r->n - 1;
    const double *in = direction(r, v, before), *out = direction(r, v, i);
    return hypot(v->pull[i] * out[0] - v->pull[before] * in[0], v->pull[i] * out[1] - v->pull[before] * in[1]);
}

static void go_on(run_record *record, const double *y, const run_view *v, int i)
{
    const run *r = record->run;
    run_going *slack = &record->going[SNUB_RUN_SLACK][i], *slips = &record->going[SNUB_RUN_SLIPS][i];
    run_going *free_wheels = &record->going[SNUB_RUN_FREEWHEELS][i], *grinds = &record->going[SNUB_RUN_GRINDS][i];
    if (slack->on) {
        const double loose = v->content[i] * (1.0 + v->loose) - v->span[i];
        slack->most = slack->slack = fmax(slack->most, loose);
    }
    if (slips->on)
        slips->most = fmax(slips->most, fabs(v->slip[i]));
    if (free_wheels->on)
        free_wheels->most = fmax(free_wheels->most, y[r->shaft[i]] - y[run_at(r->n, RUN_SPEED, i)]);
    if (grinds->on) {
        const double apart = fabs(y[run_at(r->n, RUN_SPEED, i)] - y[r->shaft[i]]);
        grinds->most = fmax(grinds->most, apart);
        record->result->clutch_power = fmax(record->result->clutch_power, v->can * apart);
    }
}

void run_record_moment(run_record *record, double time, const double *y, const run_view *view)
{
    const run *r = record->run;
    snub_run_result *result = record->result;
    for (int i = 0; i < r->n; i++) {
        const double tension = run_total(view, i), given = view->pull[i] - view->pull[i > 0 ? i - 1 : r->n - 1];
        widen(&result->tension[i], tension, time);
        widen(&result->hub[i], pull_at_hub(r, view, i), time);
        record->low[i] = fmin(record->low[i], tension);
        record->high[i] = fmax(record->high[i], tension);
        result->slip_power[i] = fmax(result->slip_power[i], view->slip[i] * given);
        go_on(record, y, view, i);
    }
    if (r->model->rig->arm < 0)
        return;
    const double wind = y[run_single(r->n, RUN_WIND)];
    widen(&result->wind, wind, time);
    record->wind[0] = fmin(record->wind[0], wind);
    record->wind[1] = fmax(record->wind[1], wind);
}

bool run_record_sample(run_record *record, double time, const double *y, const run_view *view)
{
    const run *r = record->run;
    const size_t n = (size_t)r->n;
    double *numbers = SNUB_NEW(record->arena, double, 5 * n);
    if (numbers == NULL || record->result->sample_count == record->sample_room)
        return numbers != NULL;
    snub_run_sample *s = &record->result->samples[record->result->sample_count++];
    *s = (snub_run_sample){.time = time,
                           .engine = view->crank.mean,
                           .crank = view->crank.now,
                           .wind = NAN,
                           .arm_speed = NAN,
                           .tension = numbers,
                           .low = numbers + n,
                           .high = numbers + 2 * n,
                           .speed = numbers + 3 * n,
                           .slip = numbers + 4 * n};
    for (size_t i = 0; i < n; i++) {
        const int at = (int)i;
        s->tension[i] = run_total(view, at);
        widen(&record->result->tension[at], s->tension[i], time); /* no row is beyond what is told of all */
        widen(&record->result->hub[at], pull_at_hub(r, view, at), time);
        s->low[i] = fmin(record->low[i], s->tension[i]);
        s->high[i] = fmax(record->high[i], s->tension[i]);
        s->speed[i] = at == r->crank ? view->crank.now : y[r->shaft[i]];
        s->slip[i] = view->slip[i];
        record->low[i] = INFINITY;
        record->high[i] = -INFINITY;
    }
    if (r->model->rig->arm >= 0) {
        s->wind = y[run_single(r->n, RUN_WIND)];
        widen(&record->result->wind, s->wind, time);
        s->arm_speed = y[run_single(r->n, RUN_WIND_SPEED)];
    }
    s->wind_low = fmin(record->wind[0], s->wind);
    s->wind_high = fmax(record->wind[1], s->wind);
    record->wind[0] = INFINITY;
    record->wind[1] = -INFINITY;
    return true;
}

void run_record_end(run_record *record, double time, double engine)
{
    for (int kind = 0; kind < SNUB_RUN_EVENTS_; kind++) {
        for (int i = 0; i < record->run->n; i++) {
            if (record->going[kind][i].on)
                close_event(record, (snub_run_event_kind)kind, i, time, engine);
            record->result->share[kind][i] /= time > 0.0 ? time : 1.0;
        }
    }
}
