/* Which belts on offer fit, each at its best setting, ranked. docs/theory/kit.md. */
#include "settle.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Grips this near are the same to a fitter and to a belt. */
static const double GRIP_SAME = 0.01;
/* Without a stock: whole millimetres, at most so many of them. */
enum { INVENTED_MOST = 41, ROOM_FIRST = 32 };
/* Of belts that fit nowhere, so many are judged: past them the others miss by more. */
enum { NEAREST_MOST = 8 };

/* ---- ranking ----------------------------------------------------------------------------------------------------- */

static int in_order(double a, double b)
{
    return a < b ? -1 : a > b;
}

static int compare_merits(const snub_merit *p, const snub_merit *q)
{
    if (p->misses_by != q->misses_by)
        return in_order(p->misses_by, q->misses_by);
    if (p->tier != q->tier)
        return p->tier - q->tier;
    if (p->tier == 4 && p->gap != q->gap)
        return in_order(q->gap, p->gap);
    if (p->near_best != q->near_best)
        return p->near_best ? -1 : 1;
    if (!p->near_best && p->grip != q->grip)
        return in_order(p->grip, q->grip);
    if (p->grip_served != q->grip_served)
        return in_order(p->grip_served, q->grip_served);
    return in_order(p->off_centre, q->off_centre);
}

/* Those that are sold before those that are discontinued; by length, then as they can be bought. */
static int by_purchase(const void *a, const void *b)
{
    const snub_candidate *x = a, *y = b;
    const snub_choice *p = &x->choice, *q = &y->choice;
    if (x->discontinued != y->discontinued)
        return x->discontinued - y->discontinued;
    if (p->length != q->length)
        return in_order(p->length, q->length);
    if (x->buying != y->buying)
        return x->buying - y->buying;
    return strcmp(p->part != NULL ? p->part : "", q->part != NULL ? q->part : "");
}

static int by_rank(const void *a, const void *b)
{
    const snub_candidate *x = a, *y = b;
    const int order = compare_merits(&x->merit, &y->merit);
    return order != 0 ? order : by_purchase(a, b);
}

static void sort(snub_candidates *all, int (*compare)(const void *, const void *))
{
    if (all->count > 1)
        qsort(all->items, (size_t)all->count, sizeof *all->items, compare);
}

/* Of a length, from `first` on, by purchase: those that are bought first. @return behind the last of them */
static int end_of_first(const snub_candidates *all, int first)
{
    int i = first + 1;
    while (i < all->count && all->items[i].choice.length == all->items[first].choice.length &&
           all->items[i].buying == all->items[first].buying)
        i++;
    return i;
}

static int end_of_length(const snub_candidates *all, int first)
{
    int i = first + 1;
    while (i < all->count && all->items[i].choice.length == all->items[first].choice.length)
        i++;
    return i;
}

/* Within GRIP_SAME of the best grip of the first tier. Only those that are bought first of their length set it. */
static void mark_near_best(snub_candidates *all)
{
    int tier = 4;
    double best = INFINITY;
    for (int first = 0; first < all->count; first = end_of_length(all, first)) {
        const int behind = end_of_first(all, first);
        for (int i = first; i < behind; i++) {
            const snub_merit *m = &all->items[i].merit;
            if (m->tier < tier)
                best = INFINITY;
            tier = m->tier < tier ? m->tier : tier;
            if (m->tier == tier)
                best = fmin(best, m->grip);
        }
    }
    for (int i = 0; i < all->count; i++) {
        snub_merit *m = &all->items[i].merit;
        m->near_best = m->tier == tier && m->grip <= best + GRIP_SAME;
    }
}

/* A part that is bought after others of its length ranks right behind the last of these. */
static void put_behind(snub_candidates *all)
{
    for (int first = 0; first < all->count; first = end_of_length(all, first)) {
        const int behind = end_of_first(all, first), end = end_of_length(all, first);
        snub_merit last = all->items[first].merit;
        for (int i = first + 1; i < behind; i++)
            last = compare_merits(&all->items[i].merit, &last) > 0 ? all->items[i].merit : last;
        for (int i = behind; i < end; i++)
            all->items[i].merit = last;
    }
}

static void rank(snub_candidates *all)
{
    int sold = 0;
    if (all->count == 0)
        return;
    sort(all, by_purchase);
    while (sold < all->count && !all->items[sold].discontinued)
        sold++;
    snub_candidates groups[2] = {{.count = sold, .items = all->items},
                                 {.count = all->count - sold, .items = all->items + sold}};
    for (int i = 0; i < 2; i++) {
        mark_near_best(&groups[i]);
        put_behind(&groups[i]);
        sort(&groups[i], by_rank);
    }
}

static double off_centre(const snub_drive *drive, const snub_choice *choice)
{
    if (drive->arm < 0)
        return 0.0;
    const double *work = drive->pulleys[drive->arm].arm.work;
    return fabs(choice->wind_rest - 0.5 * (work[0] + work[1]));
}

static snub_merit merit_of(const snub_drive *drive, const snub_choice *choice)
{
    return (snub_merit){.tier = choice->tier,
                        .gap = choice->gap,
                        .grip = choice->grip,
                        .grip_served = choice->grip_served,
                        .off_centre = off_centre(drive, choice)};
}

static bool keep(snub_candidates *all, const snub_candidate *candidate)
{
    if (all->count == all->room) {
        const int room = all->room > 0 ? 2 * all->room : ROOM_FIRST;
        snub_candidate *more = realloc(all->items, (size_t)room * sizeof *more);
        if (more == NULL)
            return false;
        all->items = more;
        all->room = room;
    }
    all->items[all->count++] = *candidate;
    return true;
}

void snub_candidates_free(snub_candidates *candidates)
{
    free(candidates->items);
    candidates->items = NULL;
    candidates->count = candidates->room = 0;
}

/* ---- belts on offer ---------------------------------------------------------------------------------------------- */

/* Belts whose own properties are the same: one geometry serves them all. */
typedef struct offer {
    const snub_drive *drive; /* with those properties */
    const snub_stock_belt **belts;
    int count;
} offer;

static bool same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_make(const snub_stock_belt *a, const snub_stock_belt *b)
{
    return same_number(a->be, b->be) && same_number(a->back, b->back) && same_number(a->mass, b->mass) &&
           same_number(a->stiffness, b->stiffness) && same_number(a->measuring_force, b->measuring_force);
}

bool snub_same_length(double a, double b)
{
    /* Belts are sold in whole millimetres. */
    const double SAME_M = 1e-6;
    return fabs(a - b) < SAME_M;
}

bool snub_may_serve(const snub_choice *choice, snub_level most)
{
    return choice->serves || (!choice->judged && choice->verdict <= most);
}

static bool is_asked(const snub_build_request *request, double length)
{
    for (int i = 0; i < request->only_count; i++) {
        if (snub_same_length(request->only_lengths[i], length))
            return true;
    }
    return request->only_lengths == NULL;
}

/* The drive as the file would be read with `part: KEY` in its belt. */
static const snub_drive *with_part(const snub_rereading *again, const snub_stock_belt *belt)
{
    const snub_reading *reading = again->reading;
    const int n = reading->overlay_count;
    snub_overlay *overlays = SNUB_NEW(reading->arena, snub_overlay, n + 2);
    snub_node *nodes = SNUB_NEW(reading->arena, snub_node, 2);
    snub_drive *drive = SNUB_NEW(reading->arena, snub_drive, 1);
    const char *length = snub_format(reading->arena, "%.12g", belt->length / SNUB_MM);
    snub_errors errors = {0};
    if (overlays == NULL || nodes == NULL || drive == NULL || length == NULL)
        return NULL;
    if (n > 0)
        memcpy(overlays, reading->overlays, sizeof *overlays * (size_t)n);
    nodes[0] = (snub_node){.kind = SNUB_SCALAR, .text = belt->part, .quoted = true};
    nodes[1] = (snub_node){.kind = SNUB_SCALAR, .text = length, .from_part = belt->part};
    overlays[n] = (snub_overlay){.path = "belt.part", .value = &nodes[0]};
    overlays[n + 1] = (snub_overlay){.path = "belt.length", .value = &nodes[1]};
    snub_reading own = *reading;
    own.overlays = overlays;
    own.overlay_count = n + 2;
    const snub_status status = snub_drive_read(again->document, &own, drive, &errors);
    snub_errors_free(&errors);
    return status == SNUB_OK ? drive : NULL;
}

/* Tolerance of a belt on offer: the file's own, the catalogue's, or by length. */
static double tolerance_of(const snub_drive *drive, const snub_stock_belt *belt)
{
    if (isnan(drive->belt.tolerance) && !isnan(belt->tolerance))
        return belt->tolerance;
    return snub_belt_tolerance(&drive->belt, belt->length);
}

typedef struct settling {
    const snub_drive *drive;
    const snub_loads *loads;
    const snub_build_request *request;
    snub_candidates *all;
    bool free_settings;
    bool nearest; /* no belt fits: those that come near are looked for */
} settling;

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static void merge_lengths(snub_search_lengths *all, const snub_search_lengths *one)
{
    all->wanted[0] = fmin(all->wanted[0], one->wanted[0]);
    all->wanted[1] = fmax(all->wanted[1], one->wanted[1]);
    if (one->least_lack < all->least_lack) {
        all->least_lack = one->least_lack;
        all->take_up_there = one->take_up_there;
        all->tolerance_there = one->tolerance_there;
    }
    if (one->good[1] - one->good[0] > all->good[1] - all->good[0])
        memcpy(all->good, one->good, sizeof all->good);
    all->lost = one->lost;
    all->culprit = one->culprit;
}

/* All belts of one make. */
static bool try_offer(const settling *s, const offer *o)
{
    snub_search *search = snub_search_open(o->drive, s->loads, s->free_settings);
    snub_search_lengths lengths;
    bool good = search != NULL && snub_search_learn(search, &lengths);
    for (int i = 0; good && i < o->count; i++) {
        snub_candidate c = {.drive = o->drive,
                            .tolerance = tolerance_of(s->drive, o->belts[i]),
                            .buying = o->belts[i]->buying,
                            .discontinued = o->belts[i]->sale != NULL && o->belts[i]->sale->discontinued};
        double miss = 0.0;
        const double length = o->belts[i]->length;
        const int found = s->nearest ? snub_search_nearest(search, length, c.tolerance, &c.choice, &miss)
                                     : snub_search_belt(search, length, c.tolerance, &c.choice);
        c.choice.part = o->belts[i]->part;
        if (found > 0)
            c.merit = s->nearest ? (snub_merit){.misses_by = miss} : merit_of(o->drive, &c.choice);
        good = found >= 0 && (found == 0 || keep(s->all, &c));
    }
    good = good && snub_search_learn(search, &lengths);
    if (good)
        merge_lengths(&s->all->lengths, &lengths);
    snub_search_close(search);
    return good;
}

/* Belts of the stock, grouped by make. */
static snub_status try_stock(const settling *s, const snub_rereading *again, snub_error *error)
{
    const snub_belt *belt = &s->drive->belt;
    const snub_stock_belt **belts = malloc(sizeof *belts * (size_t)(belt->stock_count > 0 ? belt->stock_count : 1));
    bool *taken = calloc((size_t)(belt->stock_count > 0 ? belt->stock_count : 1), sizeof *taken);
    snub_status status = belts != NULL && taken != NULL ? SNUB_OK : no_memory(error);
    for (int first = 0; first < belt->stock_count && status == SNUB_OK; first++) {
        if (taken[first])
            continue;
        offer o = {s->drive, belts, 0};
        for (int i = first; i < belt->stock_count; i++) {
            if (taken[i] || !same_make(&belt->stock[first], &belt->stock[i]))
                continue;
            taken[i] = true;
            if (is_asked(s->request, belt->stock[i].length))
                belts[o.count++] = &belt->stock[i];
        }
        s->all->offered += o.count;
        if (o.count > 0 && belts[0]->part != NULL && again != NULL) {
            o.drive = with_part(again, belts[0]);
            if (o.drive == NULL)
                status = no_memory(error);
        }
        if (status == SNUB_OK && o.count > 0 && !try_offer(s, &o))
            status = no_memory(error);
    }
    free(belts);
    free(taken);
    return status;
}

static snub_stock_belt plain_belt(double length, const char *part)
{
    return (snub_stock_belt){length, part, NAN, NAN, NAN, NAN, NAN, NAN, NULL, 0};
}

static snub_status try_lengths(const settling *s, const double *lengths, int count, const char *part, snub_error *error)
{
    snub_stock_belt stock[INVENTED_MOST];
    const snub_stock_belt *belts[INVENTED_MOST];
    offer o = {s->drive, belts, 0};
    for (int i = 0; i < count && o.count < INVENTED_MOST; i++) {
        if (!is_asked(s->request, lengths[i]))
            continue;
        stock[o.count] = plain_belt(lengths[i], part);
        belts[o.count] = &stock[o.count];
        o.count++;
    }
    s->all->offered += o.count;
    return try_offer(s, &o) ? SNUB_OK : no_memory(error);
}

/* Neither a length nor a stock: whole millimetres around what the drive asks for. */
static snub_status try_invented(const settling *s, snub_error *error)
{
    snub_search *search = snub_search_open(s->drive, s->loads, s->free_settings);
    snub_search_lengths lengths;
    double mm[INVENTED_MOST];
    int count = 0;
    if (search == NULL || !snub_search_learn(search, &lengths)) {
        snub_search_close(search);
        return no_memory(error);
    }
    snub_search_close(search);
    if (lengths.wanted[0] <= lengths.wanted[1]) {
        const double from = ceil(lengths.wanted[0] / SNUB_MM), to = floor(lengths.wanted[1] / SNUB_MM);
        const double step = fmax(1.0, ceil((to - from) / (INVENTED_MOST - 1)));
        for (double at = from; at <= to && count < INVENTED_MOST; at += step)
            mm[count++] = snub_written_length(at * SNUB_MM);
    }
    return try_lengths(s, mm, count, NULL, error);
}

bool snub_takes_stock(const snub_belt *belt, const snub_build_request *request)
{
    return belt->stock_count > 0 && (request->afresh || isnan(belt->length));
}

bool snub_leaves_length_open(const snub_belt *belt, const snub_build_request *request)
{
    return isnan(belt->length) || (request->afresh && request->free_length);
}

static snub_status try_offers(const settling *s, const snub_rereading *again, snub_error *error)
{
    const snub_belt *belt = &s->drive->belt;
    if (snub_takes_stock(belt, s->request))
        return try_stock(s, again, error);
    return snub_leaves_length_open(belt, s->request) ? try_invented(s, error)
                                                     : try_lengths(s, &belt->length, 1, belt->part, error);
}

/* Where no belt on offer fits: those that miss by least, each at the setting where it does. They are judged as others
 * are; a belt that leaves the arm's work range by a little may do. */
static snub_status try_nearest(settling *s, const snub_rereading *again, snub_error *error)
{
    snub_candidates *all = s->all;
    const int offered = all->offered;
    if (offered == 0)
        return SNUB_OK;
    s->nearest = true;
    const snub_status status = try_offers(s, again, error);
    all->offered = offered;
    if (status == SNUB_OK)
        sort(all, by_rank);
    all->count = all->count < NEAREST_MOST ? all->count : NEAREST_MOST;
    return status;
}

snub_status snub_settle(const snub_drive *drive, const snub_loads *loads, const snub_build_request *request,
                        const snub_rereading *again, snub_candidates *candidates, snub_error *error)
{
    settling s = {drive, loads, request, candidates, request->afresh, false};
    *candidates = (snub_candidates){.lengths = {.wanted = {INFINITY, -INFINITY}, .least_lack = INFINITY}};
    snub_status status = try_offers(&s, again, error);
    candidates->usable = candidates->count;
    if (status == SNUB_OK && candidates->usable == 0)
        status = try_nearest(&s, again, error);
    if (status != SNUB_OK) {
        snub_candidates_free(candidates);
        return status;
    }
    rank(candidates);
    return SNUB_OK;
}
