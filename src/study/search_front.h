/** src/study/search_front.h - of many candidates those that no other beats (inside src/study only). */
#ifndef SNUB_STUDY_SEARCH_FRONT_H
#define SNUB_STUDY_SEARCH_FRONT_H

#include <stdbool.h>

/** A candidate by what counts of it. */
typedef struct snub_front_point {
    double value[2]; /**< less is better; with one aim the second is 0 */
    int number;      /**< each its own: of equals the lowest stays */
    bool stays;      /**< no other is better in one value and worse in none, and none with a lower number is equal */
} snub_front_point;

/** Find those that stay, in the time that sorting takes. @param[in,out] points  put in order of the first value
 *  @param[in] least  differences up to this are none, > 0 */
void snub_front_thin(snub_front_point *points, int count, double least);

#endif
