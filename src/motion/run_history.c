/* What lies on the arcs. */
#include "run_history.h"

#include <string.h>

enum { ROOM = 4096, KEPT = 4 /* moments behind the oldest that was looked up last */ };

static bool take_room(run_history *h, size_t room, snub_arena *arena)
{
    const size_t n = (size_t)h->n;
    double *way = SNUB_NEW(arena, double, room *n);
    run_belt *belt = SNUB_NEW(arena, run_belt, room * n);
    if (way == NULL || belt == NULL)
        return false;
    if (h->count > 0) {
        memcpy(way, h->way, h->count * n * sizeof *way);
        memcpy(belt, h->belt, h->count * n * sizeof *belt);
    }
    h->way = way;
    h->belt = belt;
    h->room = room;
    return true;
}

bool run_history_begin(run_history *history, int pulleys, snub_arena *arena)
{
    *history = (run_history){.n = pulleys, .cursor = SNUB_NEW(arena, size_t, pulleys)};
    return history->cursor != NULL && take_room(history, ROOM, arena);
}

/* Forgets what has left all arcs. */
static void drop_old(run_history *h)
{
    const size_t n = (size_t)h->n;
    size_t old = h->count;
    for (size_t i = 0; i < n; i++)
        old = h->cursor[i] < old ? h->cursor[i] : old;
    if (old <= KEPT || old - KEPT < h->room / 2)
        return;
    old -= KEPT;
    h->count -= old;
    memmove(h->way, h->way + old * n, h->count * n * sizeof *h->way);
    memmove(h->belt, h->belt + old * n, h->count * n * sizeof *h->belt);
    for (size_t i = 0; i < n; i++)
        h->cursor[i] -= old;
}

bool run_history_add(run_history *history, const double *way, const run_belt *belt, snub_arena *arena)
{
    const size_t n = (size_t)history->n;
    if (history->count == history->room)
        drop_old(history);
    if (history->count == history->room && !take_room(history, 2 * history->room, arena))
        return false;
    memcpy(history->way + history->count * n, way, n * sizeof *way);
    memcpy(history->belt + history->count * n, belt, n * sizeof *belt);
    history->count++;
    return true;
}

static run_belt straight(const run_belt *from, double way)
{
    run_belt b = *from;
    b.length += b.per_way * way;
    b.energy += b.energy_by_way * way;
    return b;
}

/* Hermite's cubic and its slope at the share t of a step h. */
static void cubic(double a, double da, double b, double db, double h, double t, double *value, double *slope)
{
    const double rise = b - a, c = 3.0 * rise - h * (2.0 * da + db), d = -2.0 * rise + h * (da + db);
    *value = a + t * (h * da + t * (c + t * d));
    *slope = da + t * (2.0 * c + 3.0 * t * d) / h;
}

void run_history_at(run_history *history, int pulley, double way, run_belt *belt)
{
    const size_t n = (size_t)history->n, i = (size_t)pulley, last = history->count - 1;
    size_t at = history->cursor[i] < last ? history->cursor[i] : last;
    while (at < last && history->way[(at + 1) * n + i] <= way)
        at++;
    while (at > 0 && history->way[at * n + i] > way)
        at--;
    history->cursor[i] = at;
    const run_belt *a = &history->belt[at * n + i], *b = a + n;
    const double start = history->way[at * n + i], h = at < last ? history->way[(at + 1) * n + i] - start : 0.0;
    if (way <= start || !(h > 0.0)) {
        *belt = straight(a, way - start);
        return;
    }
    const double t = (way - start) / h;
    cubic(a->length, a->per_way, b->length, b->per_way, h, t, &belt->length, &belt->per_way);
    cubic(a->energy, a->energy_by_way, b->energy, b->energy_by_way, h, t, &belt->energy, &belt->energy_by_way);
}
