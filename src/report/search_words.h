/** What text and JSON of a search share (inside src/report only). */
#ifndef SNUB_REPORT_SEARCH_WORDS_H
#define SNUB_REPORT_SEARCH_WORDS_H

#include "snub/search_report.h"

/** How the value of an aim is shown. */
typedef struct snub_aim_shown {
    const char *words, *key; /**< "worst grip"; of the JSON */
    snub_unit unit;
    int decimals;
    bool more_is_better;
} snub_aim_shown;
const snub_aim_shown *snub_aim_describe(snub_aim aim);
/** The worst verdict of the builds. */
snub_level snub_measured_level(const snub_candidate_measures *measured);
/** The move that a change of a proposal is, with the place of its numbers. NULL: it is none */
const snub_move *snub_change_move(const snub_search *search, const char *path, int *first);

/** Key of the part that a move takes from the catalogue. @param[in] diameter  that it chose. @return NULL: no part */
const char *snub_move_part(const snub_move *move, double diameter);

#endif
