/** Placing pulley after pulley where two readings cross. Private to src/measure. docs/theory/measure.md. */
#ifndef SNUB_MEASURE_PLACE_H
#define SNUB_MEASURE_PLACE_H

#include "network.h"

enum { SNUB_BRANCHES_MOST = 64 };

/** A layout on the way: what stands, and what the readings among that cost. */
typedef struct snub_placed {
    double at[SNUB_PULLEYS_MOST][2];
    double normal[SNUB_EDGES_MOST], offset[SNUB_EDGES_MOST];
    double cost;
} snub_placed;

/** Layouts of one network on the way; in all of them the same pulleys and edges stand. */
typedef struct snub_placing {
    const snub_network *network;
    bool pulley[SNUB_PULLEYS_MOST], edge[SNUB_EDGES_MOST];
    bool turned; /**< in a frame of their own: neither direction nor origin are the file's yet */
    int count;
    snub_placed *branch;
} snub_placing;

/** Place all that can be placed, both ways where there are two.
 *  @param[out] placing  branches by rising cost
 *  @return false: memory is out */
bool snub_placing_make(const snub_network *network, snub_arena *arena, snub_placing *placing);

#endif
