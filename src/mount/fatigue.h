/* Marin's factors. Private to the room. */
#ifndef SNUB_MOUNT_FATIGUE_H
#define SNUB_MOUNT_FATIGUE_H

#include "snub/mount.h"

/** Endurance limit by Marin's factors: ka = a Sut^b (Sut in MPa), kb = 1.24 d^-0.107 (2.79..51 mm; d in mm), and the
 *  rest. docs/theory/mount.md, standoff. Steel: Se' = Sut/2, 700 MPa at most. */
typedef struct snub_marin {
    double surface, size, load, temperature, reliability, other;
} snub_marin;
/** @param[in] tensile [Pa] @param[in] a,b  of MPa, the finish's, as snub_marin_finish has them */
double snub_marin_surface(double tensile, double a, double b);
/** Coefficients of a finish. */
void snub_marin_finish(snub_finish finish, double *a, double *b);
/** kb; 1 below 2.79 mm. Over 51 mm: 1.51 d^-0.157 (to 254 mm). @param[in] diameter m */
double snub_marin_size(double diameter);
/** ke for a reliability in (0, 1): 1 - 0.08 z, z the normal deviate; 0.897 at 90 %, 0.814 at 99 %. */
double snub_marin_reliability(double reliability);
/** Se [Pa]. */
double snub_endurance(double tensile, const snub_marin *marin);

#endif
