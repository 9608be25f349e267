/** src/study/search_measure.h - what a candidate of a search comes to: all its builds settled and judged (inside
 *  src/study only). */
#ifndef SNUB_STUDY_SEARCH_MEASURE_H
#define SNUB_STUDY_SEARCH_MEASURE_H

#include "search_space.h"

struct snub_bench;
struct snub_build_today;

typedef struct snub_measuring {
    const snub_document *document;
    const snub_reading *reading;
    const snub_named_rows *named;
    const snub_space *space;
    snub_rows rows;
    int *order; /**< of the rows, those that are worst today first */
    int few;    /**< of them that are judged first */
    bool belts; /**< fewest belts are an aim */
    int threads;
    struct snub_bench *benches;
    int bench_count;
    const struct snub_build_today *today; /**< per row; NULL: not known yet */
} snub_measuring;

/** List the builds and judge them as they are today.
 *  @param[out] today  what they come to
 *  @return as snub_rows_list */
snub_status snub_measuring_open(snub_measuring *m, snub_candidate_measures *today, snub_errors *errors);
void snub_measuring_close(snub_measuring *m);
/** Judge the builds of a candidate: all of them, or (not `whole`) the few that are worst today, which is a bound.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_measure(snub_measuring *m, const double *value, bool whole, snub_candidate_measures *out);
/** The finding of a candidate that is farthest from what must hold, and its build, kept in the reading's arena. NULLs:
 *  there is none. @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_measure_worst(snub_measuring *m, const double *value, const snub_row **row,
                               const snub_finding **finding);
/** A row with the moves of a candidate laid over it, last. @param[in] value  NULL: where all stands today
 *  @return false: memory is out */
bool snub_measure_row(const snub_space *space, const snub_row *from, const double *value, snub_arena *arena,
                      snub_row *made);

#endif
