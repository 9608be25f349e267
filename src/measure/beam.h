/** Standing spans as tensioned beams. Private to src/measure. docs/theory/measure.md. */
#ifndef SNUB_MEASURE_BEAM_H
#define SNUB_MEASURE_BEAM_H

#include "snub/measured.h"

/** A span that stands: a tensioned beam. */
typedef struct snub_standing_span {
    double length;  /**< m */
    double mass;    /**< kg/m */
    double bending; /**< EI, N m2; 0: a string */
    snub_span_ends ends;
} snub_standing_span;

/** Its frequency under a tension >= 0 [N], Hz. @param[in] harmonic  >= 1 */
double snub_standing_frequency(const snub_standing_span *span, double tension, int harmonic);
/** Tension for a frequency, N. @return NAN: bending alone rings higher */
double snub_standing_tension(const snub_standing_span *span, double frequency, int harmonic);

#endif
