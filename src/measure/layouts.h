/** Places to start from, and the layouts that come of them. Private to src/measure. docs/theory/measure.md. */
#ifndef SNUB_MEASURE_LAYOUTS_H
#define SNUB_MEASURE_LAYOUTS_H

#include "network.h"

/** A minimum of the sum. */
typedef struct snub_layout {
    double sum;
    double *x; /**< unknowns */
} snub_layout;

typedef struct snub_layouts {
    int count, room;
    snub_layout *items; /**< best first, no two alike */
} snub_layouts;

/** Every layout that the search finds, the best ones. @return SNUB_OK, also where there is none; SNUB_NO_MEMORY */
snub_status snub_layouts_find(const snub_network *network, snub_arena *arena, snub_layouts *layouts);

/** Centres and edges at places without any order, for the rank of the network.
 *  @param[in] size  of the square, m
 *  @param[in,out] state  of the numbers that place them, which come in a fixed order; any to begin with */
void snub_network_scatter(const snub_network *network, double size, uint32_t *state, double *x);
/** About how far the network reaches, m. */
double snub_network_size(const snub_measured *measured);

#endif
