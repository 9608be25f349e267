/* For one belt the best setting of the free slots. Private to the room. docs/theory/kit.md.
 *
 * Settings are tenths of a mm along their slots, so that what is printed is what was judged. The geometry of a setting
 * does not depend on the belt: it is worked out once and kept for all belts on offer. */
#ifndef SNUB_SEARCH_H
#define SNUB_SEARCH_H

#include "snub/kit.h"

typedef struct snub_search snub_search;

/** @param[in] free_settings  true: settings are chosen; false: the drive's own settings stand where given. Slots whose
 *                            pulley is locked are set by the belt itself.
 *  Both must outlive the search. @return NULL where memory is out */
snub_search *snub_search_open(const snub_drive *drive, const snub_loads *loads, bool free_settings);
void snub_search_close(snub_search *search);

/** Best setting for a belt: gap at least its limit, no slack, then the least worst-case grip, then within 0.01 of it
 * the best grip of what the idler serves. The arm stays in its work range at rest and running steadily, over friction,
 *  tolerance and wear.
 *  @param[in] tolerance  +- on the length, m
 *  @param[out] best  all but part, judged and verdict
 *  @return 1 found; 0 it fits at no setting; -1 memory is out */
int snub_search_belt(snub_search *search, double length, double tolerance, snub_choice *best);
/** A belt of which the search has worked out nothing: numbers and settings are NAN. @param[in] part  may be NULL */
snub_choice snub_choice_unsearched(double length, const char *part);
/** For a belt that fits nowhere: the setting that misses it by least. Not for a lock, which has findings of its own.
 *  @param[out] misses  by how much, m
 *  @return 1 found; 0 none that the belt runs around; -1 no memory */
int snub_search_nearest(snub_search *search, double length, double tolerance, snub_choice *choice, double *misses);

/** What the search has learnt about lengths. */
typedef struct snub_search_lengths {
    double wanted[2];       /**< effective lengths that would do at some setting, m; [0] > [1]: none */
    double least_lack;      /**< m that the work range takes up too little, at the best setting; INFINITY: not met */
    double take_up_there;   /**< m that it takes up there */
    double tolerance_there; /**< +- on a belt of the length that it takes up, m */
    double good[2];   /**< widest range of wind with a lever, where the work range goes beyond at some setting, rad */
    snub_status lost; /**< SNUB_NO_TANGENT, SNUB_LOST_BELT where the belt ran at no setting; else SNUB_OK */
    int culprit;      /**< pulley that spoils it then */
} snub_search_lengths;
/** Looks at the coarse settings where no belt was tried yet. @return false where memory is out */
bool snub_search_learn(snub_search *search, snub_search_lengths *lengths);

#endif
