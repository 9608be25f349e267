/** The network: unknowns, and the readings as functions of them. Private to src/measure. docs/theory/measure.md. */
#ifndef SNUB_MEASURE_NETWORK_H
#define SNUB_MEASURE_NETWORK_H

#include "adjust.h"
#include "snub/measured.h"

/** Where each unknown stands; -1: it is none. */
typedef struct snub_network {
    const snub_measured *measured;
    int unknowns, equations;
    int centre[SNUB_PULLEYS_MOST]; /**< x, with y behind it; of the pulley that gives the direction: its distance */
    int diameter[SNUB_PULLEYS_MOST];
    int normal[SNUB_EDGES_MOST], offset[SNUB_EDGES_MOST];
} snub_network;

void snub_network_make(const snub_measured *measured, snub_network *network);
/** As what is adjusted. `network` must stay. */
snub_adjustment snub_network_adjustment(const snub_network *network);

/** True of the pulley that has one unknown. */
bool snub_network_on_ray(const snub_network *network, int pulley);
void snub_network_point(const snub_network *network, const double *x, int pulley, double point[2]);
double snub_network_diameter(const snub_network *network, const double *x, int pulley);
void snub_network_edge(const snub_network *network, const double *x, int edge, double *normal, double *offset);

/** Put a pulley, an edge, all diameters where they were read into the unknowns; what is given stays. */
void snub_network_put_point(const snub_network *network, double *x, int pulley, const double point[2]);
void snub_network_put_edge(const snub_network *network, double *x, int edge, double normal, double offset);
void snub_network_put_diameters(const snub_network *network, double *x);

/** Gradient of the distance between two centres: of the unknowns, and of the rims' gap where `rims`.
 *  @param[out] gradient  unknowns */
void snub_network_gradient(const snub_network *network, const double *x, int a, int b, bool rims, double *gradient);

#endif
