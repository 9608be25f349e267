/** snub/pluck.h - frequencies of plucked spans into the tension of the standing belt, and back. Room: measure.
 *  docs/theory/measure.md.
 */
#ifndef SNUB_PLUCK_H
#define SNUB_PLUCK_H

#include "snub/measure.h"
#include "snub/sound.h"

/** A reading against the tension of all. */
typedef struct snub_pluck_check {
    double length;         /**< of the span, m */
    snub_sure tension;     /**< from this reading alone, N; its error with all that it hangs on */
    double as_string;      /**< the same without bending stiffness, N */
    double residual;       /**< fitted less read, Hz */
    double share;          /**< of its error that shows, 0 to 1 */
    double against_stated; /**< residual over its standard error; NAN: nothing else checks it */
    bool suspect;
} snub_pluck_check;

/** A span of the drive, engine stopped. */
typedef struct snub_span_rings {
    const char *from, *to;
    double length;   /**< m */
    double expected; /**< Hz, at the tension that the drive file gives */
    snub_sure rings; /**< Hz, at the measured tension */
} snub_span_rings;

/** What the drive file expects of the standing belt. */
typedef struct snub_standing_belt {
    double mass;       /**< kg/m */
    double bending;    /**< EI, N m2; 0: a string */
    double tension[3]; /**< lowest, nominal, highest, N */
    int count;
    snub_span_rings *spans; /**< from, to, length; the rest is filled by snub_plucks_fit */
} snub_standing_belt;

/** @param[in] build, state  settled; engine stopped, nominal belt
 *  @return false: memory is out */
bool snub_standing_belt_of(const snub_build *build, const snub_state *state, snub_arena *arena,
                           snub_standing_belt *belt);

/** What was heard of a reading. */
typedef struct snub_heard {
    bool used; /**< false: its frequency was given */
    snub_sound sound;
    snub_ring ring;
} snub_heard;

/** pi^2 EI/(4 m L^4) of a reading's span, Hz2, for snub_ring_find. @return NAN: not known */
double snub_pluck_bending(const snub_measured_pluck *measured, const snub_standing_belt *belt, int reading);

typedef struct snub_plucks {
    const snub_measured_pluck *measured;
    snub_sure mass, bending; /**< kg/m, N m2: as taken */
    snub_sure tension;       /**< of the whole standing belt, N */
    double within;           /**< errors to either side that hold with 95 % */
    int redundancy;
    double sum, chance, scale, taken; /**< as snub_centres */
    double stated_limit;              /**< of |against_stated| */
    int suspects;
    snub_pluck_check *check;  /**< of each reading */
    const snub_heard *heard;  /**< of each reading, the caller's; NULL: nothing was */
    snub_standing_belt *belt; /**< NULL: no drive */
    bool outside, surely;     /**< the tension is outside of what the drive expects; with 95 % */
} snub_plucks;

/** @param[in] measured  every frequency known
 *  @param[in,out] belt  NULL: no drive
 *  @param[in,out] errors  a span that the drive does not have; a frequency that bending alone is above
 *  @return SNUB_OK; SNUB_BAD_INPUT (errors filled); SNUB_NO_MEMORY */
snub_status snub_plucks_fit(const snub_measured_pluck *measured, snub_standing_belt *belt, snub_arena *arena,
                            snub_plucks *plucks, snub_errors *errors);
/** Fail: a suspect, or surely not the tension that the drive expects. Marginal: outside of it by less than the error,
 *  or the readings scatter more than stated. */
snub_level snub_plucks_level(const snub_plucks *plucks);

#endif
