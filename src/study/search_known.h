/** src/study/search_known.h - which candidates were judged already (inside src/study only). */
#ifndef SNUB_STUDY_SEARCH_KNOWN_H
#define SNUB_STUDY_SEARCH_KNOWN_H

#include "snub/search.h"

/** Zero-initialise. */
typedef struct snub_known {
    int *slots; /**< places in the list of tried, and one more; 0: free */
    size_t room;
    int count;
} snub_known;

/** The latest that was noted with these values. @param[in] numbers  of a candidate. @return its place; -1: none */
int snub_known_find(const snub_known *known, const snub_tried *tried, const double *value, int numbers);
/** Note the one at a place of the list. @return false: memory is out */
bool snub_known_note(snub_known *known, const snub_tried *tried, int place, int numbers);
void snub_known_free(snub_known *known);

#endif
