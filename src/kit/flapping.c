/* Which spans of a build flap. docs/theory/motion.md, flapping spans. */
#include "snub/flapping.h"
#include "beside.h"

enum {
    SPEEDS = 121, /* of which frequencies and swings are taken; straight lines between */
    STEPS = 16,   /* between two of them, in which a zone's edge is looked for */
    ZONES = 9,    /* of three modes: six sums, three by themselves */
    HALVINGS = 40
};
/* Of the swing that it takes; less is not kept. */
static const double WEAK = 0.1;
static const int MODES[ZONES][2] = {{1, 1}, {1, 0}, {1, 2}, {2, 2}, {2, 0}, {1, 3}, {2, 3}, {3, 3}, {3, 0}};

/* Crossings, in room that doubles. */
typedef struct found {
    snub_flapping *result;
    snub_arena *arena;
    int room;
    bool no_memory;
} found;

/* One order, one span, one pair of modes. */
typedef struct search {
    const snub_vibration *v;
    found *found;
    int span, n, k;
    double order;
} search;

/* At a place between point j and the next. */
typedef struct sample {
    int j;
    double t;
    bool known;
    double speed, swing, off; /* rad/s, N, rad/s from the zone's middle */
    snub_flapper flapper;
    snub_flap_zone zone;
} sample;

static bool inside(const sample *s)
{
    return s->known && fabs(s->off) < s->zone.half;
}

/* @return -1: it is not there */
static int order_at(const snub_vibration_point *point, double order)
{
    for (int k = 0; point->response != NULL && k < point->order_count; k++) {
        if (fabs(point->order[k].order - order) < 1e-9)
            return k;
    }
    return -1;
}

static double between(double a, double b, double t)
{
    return a + t * (b - a);
}

/* The span between two points, on a straight line. @return false: it does not swing at one of them */
static bool span_between(const snub_drive *drive, const snub_vibration_point *a, const snub_vibration_point *b, int i,
                         double t, snub_flapper *f)
{
    if (!a->solved || !b->solved || !(a->span[i].frequency[0] > 0.0) || !(b->span[i].frequency[0] > 0.0))
        return false;
    *f = (snub_flapper){.length = between(a->span[i].length, b->span[i].length, t),
                        .tension = between(a->span[i].tension, b->span[i].tension, t),
                        .speed = between(a->belt_speed, b->belt_speed, t),
                        .mass = drive->belt.mass,
                        .stiffness = drive->belt.stiffness,
                        .damping = drive->belt.flap_damping};
    for (int n = 0; n < SNUB_SPAN_MODES; n++)
        f->frequency[n] = between(a->span[i].frequency[n], b->span[i].frequency[n], t);
    return true;
}

static sample look(const search *s, int j, double t)
{
    const snub_vibration_point *a = &s->v->point[j], *b = &s->v->point[j + 1 < s->v->speeds ? j + 1 : j];
    const int at_a = order_at(a, s->order), at_b = order_at(b, s->order);
    sample x = {.j = j, .t = t, .speed = between(a->speed, b->speed, t)};
    x.known = at_a >= 0 && at_b >= 0 && span_between(s->v->drive, a, b, s->span, t, &x.flapper);
    if (!x.known)
        return x;
    x.swing = between(a->response[at_a].tension[s->span], b->response[at_b].tension[s->span], t);
    snub_flap_zone_of(&x.flapper, x.swing, s->n, s->k, &x.zone);
    x.off = s->order * x.speed - x.zone.centre;
    return x;
}

/* Between two samples of one interval, where the middle of the zone is met or, with `edge`, where it begins or ends. */
static sample halve(const search *s, sample low, sample high, bool edge)
{
    const bool side = edge ? inside(&low) : low.off < 0.0;
    for (int k = 0; k < HALVINGS; k++) {
        const sample middle = look(s, low.j, 0.5 * (low.t + high.t));
        if ((edge ? inside(&middle) : middle.off < 0.0) == side)
            low = middle;
        else
            high = middle;
    }
    return high;
}

/* ---- one pair of modes over the speeds --------------------------------------------------------------------------- */

static bool make_room(found *f)
{
    snub_flap_crossing *wider = SNUB_NEW(f->arena, snub_flap_crossing, 2 * f->room + 16);
    f->no_memory = wider == NULL;
    if (wider == NULL)
        return false;
    for (int k = 0; k < f->result->count; k++)
        wider[k] = f->result->crossing[k];
    f->result->crossing = wider;
    f->room = 2 * f->room + 16;
    return true;
}

/* @return its place; -1: memory is out */
static int begin(const search *s, const sample *at)
{
    snub_flapping *result = s->found->result;
    if (result->count == s->found->room && !make_room(s->found))
        return -1;
    result->crossing[result->count] = (snub_flap_crossing){.span = s->span,
                                                           .order = s->order,
                                                           .n = s->n,
                                                           .k = s->k,
                                                           .at = at->speed,
                                                           .swing = at->swing,
                                                           .needed = at->zone.threshold,
                                                           .from = NAN,
                                                           .to = NAN,
                                                           .flap = NAN};
    return result->count++;
}

/* What a zone holds: its edges, its middle or the place that comes nearest to it, the greatest flap. */
static void take(snub_flap_crossing *c, const sample *x, double *nearest)
{
    const double flap = snub_flap_of_tension(&x->flapper, &x->zone, c->n, c->k);
    c->flap = isnan(c->flap) ? flap : fmax(c->flap, flap);
    if (fabs(x->off) >= *nearest)
        return;
    *nearest = fabs(x->off);
    c->at = x->speed;
    c->swing = x->swing;
    c->needed = x->zone.threshold;
}

typedef struct walk {
    sample last;
    int open; /* crossing; -1: none */
    double nearest;
} walk;

static void step_to(const search *s, walk *w, const sample *x)
{
    const bool edge = w->last.known && w->last.j == x->j;
    if (inside(x) && w->open < 0) {
        w->open = begin(s, x);
        w->nearest = INFINITY;
        if (w->open >= 0)
            s->found->result->crossing[w->open].from = edge ? halve(s, w->last, *x, true).speed : x->speed;
    }
    if (w->open >= 0) {
        snub_flap_crossing *c = &s->found->result->crossing[w->open];
        if (inside(x))
            take(c, x, &w->nearest);
        c->to = inside(x) ? x->speed : edge && x->known ? halve(s, w->last, *x, true).speed : w->last.speed;
        w->open = inside(x) ? w->open : -1;
    }
    w->last = *x;
}

/* From sample to sample; where the middle is met in between, by way of it, so that no narrow zone is passed over. */
static void walk_to(const search *s, walk *w, const sample *x)
{
    if (w->last.known && x->known && w->last.j == x->j && (w->last.off < 0.0) != (x->off < 0.0)) {
        const sample middle = halve(s, w->last, *x, false);
        if (!inside(&middle) && w->open < 0 && middle.swing > WEAK * middle.zone.threshold)
            begin(s, &middle);
        step_to(s, w, &middle);
    }
    step_to(s, w, x);
}

/* Far from the zone at both ends of an interval, and on one side: then within it too. */
static bool far_off(const sample *a, const sample *b)
{
    const double half = 2.0 * fmax(a->zone.half, b->zone.half);
    return a->known && b->known && (a->off < 0.0) == (b->off < 0.0) && fabs(a->off) > half && fabs(b->off) > half;
}

static void walk_speeds(const search *s)
{
    walk w = {.open = -1};
    for (int j = 0; j + 1 < s->v->speeds && !s->found->no_memory; j++) {
        const sample first = look(s, j, 0.0), last = look(s, j, 1.0);
        step_to(s, &w, &first); /* it is where the last interval ended */
        if (!first.known || !last.known || far_off(&first, &last))
            continue;
        for (int i = 1; i <= STEPS; i++) {
            const sample x = look(s, j, (double)i / STEPS);
            walk_to(s, &w, &x);
        }
    }
    if (s->v->speeds == 1) {
        const sample x = look(s, 0, 0.0);
        step_to(s, &w, &x);
    }
}

/* ---- how far ------------------------------------------------------------------------------------------------------
 */

/* By the end on the arm's pulley, all orders added. */
static double end_flap(const snub_vibration *v, int i, int j, double t)
{
    const snub_vibration_point *a = &v->point[j], *b = &v->point[j + 1 < v->speeds ? j + 1 : j];
    const int arm = v->drive->pulley_count;
    snub_flapper f;
    double flap = 0.0;
    if (!span_between(v->drive, a, b, i, t, &f))
        return 0.0;
    for (int k = 0; a->response != NULL && k < a->order_count; k++) {
        const int at_b = order_at(b, a->order[k].order);
        if (at_b < 0 || !(a->speed > 0.0))
            continue;
        const double swing = between(a->response[k].angle[arm] * fabs(a->span[i].across),
                                     b->response[at_b].angle[arm] * fabs(b->span[i].across), t);
        if (swing > 0.0)
            flap += snub_flap_of_end(&f, swing, a->order[k].order * between(a->speed, b->speed, t));
    }
    return flap;
}

static void consider(const snub_flapping *result, int i, double speed, double length, double of_end)
{
    snub_span_flap *span = &result->span[i];
    double of_tension = 0.0;
    for (int k = 0; k < result->count; k++) {
        const snub_flap_crossing *c = &result->crossing[k];
        if (c->span == i && c->from <= speed && speed <= c->to && c->flap > of_tension)
            of_tension = c->flap;
    }
    if (!(of_tension + of_end > span->flap))
        return;
    span->flap = of_tension + of_end;
    span->of_tension = of_tension;
    span->of_end = of_end;
    span->speed = speed;
    span->length = length;
}

/* At every speed, and in the middle of every zone. */
static void find_most(const snub_vibration *v, const snub_flapping *result, double from, int i)
{
    for (int j = 0; j < v->speeds; j++) {
        if (v->point[j].speed >= from)
            consider(result, i, v->point[j].speed, v->point[j].span[i].length, end_flap(v, i, j, 0.0));
    }
    for (int k = 0; k < result->count; k++) {
        const snub_flap_crossing *c = &result->crossing[k];
        int j = 0;
        while (j + 2 < v->speeds && v->point[j + 1].speed <= c->at)
            j++;
        const double wide = v->speeds > 1 ? v->point[j + 1].speed - v->point[j].speed : 1.0;
        if (c->span == i && c->at >= from)
            consider(result, i, c->at, v->point[j].span[i].length,
                     end_flap(v, i, j, (c->at - v->point[j].speed) / wide));
    }
}

/* ---- what is in the way -------------------------------------------------------------------------------------------
 */

static snub_status find_room(const snub_build *build, snub_way way, snub_arena *arena, snub_flapping *result,
                             snub_error *error)
{
    snub_lie_basis *basis = SNUB_NEW(arena, snub_lie_basis, 1);
    snub_lie *lie = SNUB_NEW(arena, snub_lie, 1);
    snub_state *state = SNUB_NEW(arena, snub_state, 1);
    if (basis == NULL || lie == NULL || state == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_lie_drawn(build->drive, basis);
    for (int i = 0; i < result->spans; i++) {
        const snub_wanted_state wanted = {.speed = result->span[i].speed, .way = way};
        if (isnan(wanted.speed))
            continue;
        const snub_status status = snub_build_state(build, &wanted, arena, state, error);
        if (status != SNUB_OK)
            return status;
        if (state->solved)
            snub_beside_look(build->drive, &state->balance.path, snub_lie_on(basis, &state->balance.path, lie), i,
                             &result->span[i]);
    }
    return SNUB_OK;
}

/* ---- all of it ----------------------------------------------------------------------------------------------------
 */

/* Every order of any speed once. @return how many */
static int all_orders(const snub_vibration *v, double *orders)
{
    int count = 0;
    for (int j = 0; j < v->speeds; j++) {
        for (int k = 0; k < v->point[j].order_count; k++) {
            int at = 0;
            while (at < count && fabs(orders[at] - v->point[j].order[k].order) >= 1e-9)
                at++;
            if (at == count && count < SNUB_TABLE_POINTS_MOST)
                orders[count++] = v->point[j].order[k].order;
        }
    }
    return count;
}

static bool looks_at(const snub_flapping_request *request, int span)
{
    return request->spans == NULL || request->spans[span];
}

snub_status snub_flapping_find(const snub_build *build, const snub_flapping_request *request, snub_arena *arena,
                               snub_flapping *flapping, snub_error *error)
{
    const snub_vibration_request speeds = {.speeds = SPEEDS, .speed = request->speed, .way = request->way};
    snub_vibration *v = SNUB_NEW(arena, snub_vibration, 1);
    double *orders = SNUB_NEW(arena, double, SNUB_TABLE_POINTS_MOST);
    *flapping = (snub_flapping){.spans = build->drive->pulley_count};
    flapping->span = SNUB_NEW(arena, snub_span_flap, flapping->spans);
    if (v == NULL || orders == NULL || flapping->span == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_status status = snub_vibration_run(build, &speeds, arena, v, error);
    if (status != SNUB_OK)
        return status;
    found f = {.result = flapping, .arena = arena};
    const int count = all_orders(v, orders);
    for (int i = 0; i < flapping->spans; i++) {
        for (int z = 0; z < ZONES * count && looks_at(request, i); z++) {
            const search s = {v, &f, i, MODES[z % ZONES][0], MODES[z % ZONES][1], orders[z / ZONES]};
            walk_speeds(&s);
        }
    }
    if (f.no_memory)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < flapping->spans; i++) {
        flapping->span[i] = (snub_span_flap){.speed = NAN, .gap = INFINITY, .room = INFINITY};
        if (looks_at(request, i))
            find_most(v, flapping, request->from, i);
    }
    return find_room(build, request->way, arena, flapping, error);
}
