/** Where a span of belt that flaps passes an obstacle worst. Private to src/layout. docs/theory/clearance.md. */
#ifndef SNUB_LAYOUT_PASS_H
#define SNUB_LAYOUT_PASS_H

#include "clearance2d.h"

/** A span between two pulleys. */
typedef struct snub_span_strip {
    snub_strip strip;
    double flap;            /**< half-amplitude in its middle, m; it falls as sin(pi s/L) to the ends */
    double low[2], high[2]; /**< of the belt along z where the span begins and where it ends, m; straight between */
} snub_span_strip;

/** The place where the most is missing. */
typedef struct snub_pass {
    double along;     /**< from the span's beginning, m */
    double plane_gap; /**< seen from the front, of the belt without flap; negative: how far the obstacle reaches into
                           the belt */
    double flap;      /**< there, m */
    double low, high; /**< of the belt along z there, m */
    double at[2];     /**< of the belt's section, nearest to the obstacle */
} snub_pass;

/** Distance in space of two prisms: `plane` apart seen from the front, `axial` apart along z. Where they overlap both
 *  ways, minus the shorter way out. */
double snub_in_space(double plane, double axial);

/** Gap of a disc, or of a strip, and an obstacle seen from the front. @param[out] near  of the obstacle's outline or
 *  middle, of the strip; may be NULL */
double snub_obstacle_disc(const snub_obstacle *obstacle, const double centre[2], double radius, double near[2]);
double snub_obstacle_strip(const snub_obstacle *obstacle, const snub_strip *strip, double near[2]);

/** The least of snub_in_space(plane gap - flap, axial gap) along the span, to PASS_TOLERANCE.
 *  @param[in] within  m; a span that stays farther off need not be looked at
 *  @return false where it does; pass is then untouched */
bool snub_span_pass(const snub_span_strip *span, const snub_obstacle *obstacle, double within, snub_pass *pass);

#endif
