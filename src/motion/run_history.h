/* What lies on the arcs, by where it lies on its pulley; private to the room.
 *
 * Belt that sticks to a pulley comes off as it went on. So what has run on to a pulley is kept over the way X of the
 * belt along its surface: the unstretched length Q and the energy G in it. What has come off is the same at the X of
 * the place where the belt leaves. Before the start the belt ran on as it did then. */
#ifndef SNUB_MOTION_RUN_HISTORY_H
#define SNUB_MOTION_RUN_HISTORY_H

#include "snub/base.h"

typedef struct run_belt {
    double length, energy;         /* Q [m], G [J] */
    double per_way, energy_by_way; /* dQ/dX, dG/dX */
} run_belt;

typedef struct run_history {
    int n; /* pulleys */
    size_t count, room;
    double *way;    /* [room * n] */
    run_belt *belt; /* [room * n] */
    size_t *cursor; /* [n]: where it was found last */
} run_history;

/* @return false: memory is out */
bool run_history_begin(run_history *history, int pulleys, snub_arena *arena);
/* One more moment. @param[in] way, belt  of each pulley @return false: memory is out */
bool run_history_add(run_history *history, const double *way, const run_belt *belt, snub_arena *arena);
/* What lies at a way on a pulley: cubic between moments, straight beyond them. */
void run_history_at(run_history *history, int pulley, double way, run_belt *belt);

#endif
