/** src/study/search_space.h - the numbers that a search may change, and what they are in the file (inside src/study
 *  only). */
#ifndef SNUB_STUDY_SEARCH_SPACE_H
#define SNUB_STUDY_SEARCH_SPACE_H

#include "snub/search.h"

typedef struct snub_space {
    const snub_search_section *section;
    bool inches;
    int count;                                                            /**< numbers */
    int first[SNUB_MOVES_MOST];                                           /**< of a move's numbers */
    double step[SNUB_MOVES_MOST];                                         /**< SI */
    double low[SNUB_SEARCH_NUMBERS_MOST], high[SNUB_SEARCH_NUMBERS_MOST]; /**< of what varies: SI, or a place in the
                                                                               list of choices */
    double start[SNUB_SEARCH_NUMBERS_MOST];
    double now[SNUB_SEARCH_NUMBERS_MOST];      /**< today's values, SI */
    const char *const *taken[SNUB_MOVES_MOST]; /**< of a part: paths of the file's values that give way to it */
    int taken_count[SNUB_MOVES_MOST];
} snub_space;

void snub_space_open(const snub_drive *drive, snub_space *space);
/** Values on the grid. @return how far they lie outside of their regions and ranges, m or rad, in all; 0: inside */
double snub_space_values(const snub_space *space, const double *x, double *value);
/** Sum of how far things are moved, m. */
double snub_space_change(const snub_space *space, const double *value);
/** Whether a move has another value than today. */
bool snub_space_moved(const snub_space *space, int move, const double *value);
/** The value of a move as the file would write it. @return arena memory; NULL: memory is out */
const char *snub_space_text(const snub_space *space, int move, const double *value, snub_arena *arena);
/** How far a point lies outside of a move's region, m; 0: inside. */
double snub_region_outside(const snub_move *move, const double at[2]);

#endif
