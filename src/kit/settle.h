/* Belt and settings of a drive: which belts on offer fit, each at its best setting. Private to the room. */
#ifndef SNUB_SETTLE_H
#define SNUB_SETTLE_H

#include "search.h"

/** What the search ranks a belt by. */
typedef struct snub_merit {
    int tier; /**< snub_choice.tier */
    bool near_best;
    double gap, grip, grip_served, off_centre;
    double misses_by; /**< what the setting takes, m; 0: it fits */
} snub_merit;

/** A belt that fits or, where none does, comes near to it; with the drive that it makes. */
typedef struct snub_candidate {
    const snub_drive *drive; /**< as read; with the belt's own properties where the catalogue gives them */
    snub_choice choice;
    double tolerance; /**< +- on the length, m */
    int buying;       /**< snub_stock_belt.buying */
    bool discontinued;
    snub_merit merit; /**< its own, or that of the part of its length which is bought before it */
} snub_candidate;

typedef struct snub_candidates {
    int count, room;
    snub_candidate *items; /**< malloc'd, ranked */
    int offered, usable;
    snub_search_lengths lengths;
} snub_candidates;

/** Where the drives with a catalogue belt's own properties come from; NULL: the stock is taken by length alone. */
typedef struct snub_rereading {
    const snub_document *document;
    const snub_reading *reading; /**< with the overlays of the row */
} snub_rereading;

/** Whether two lengths, m, are one belt: belts are sold in whole millimetres. */
bool snub_same_length(double a, double b);
/** Whether a choice is known to give a verdict no worse than `most`, or not known to give a worse one. */
bool snub_may_serve(const snub_choice *choice, snub_level most);

/** Whether the belt comes from the stock: where the file writes no length, or all is chosen afresh. */
bool snub_takes_stock(const snub_belt *belt, const snub_build_request *request);
/** Whether the length of the belt is open: the file gives none, or one that is to be chosen again. */
bool snub_leaves_length_open(const snub_belt *belt, const snub_build_request *request);

/** All belts on offer that fit, ranked by the search: tier, then within 0.01 of the best grip by the grip of what the
 *  idler serves, by how near to mid-range the arm rests, by length; the others by grip. Of one
 *  length those come first that the house can buy, and the others right behind them. All that are
 *  discontinued come after all that are sold, so that one is taken only where its verdict is better.
 *  Where none fits, `usable` is 0 and those are listed that miss by least, nearest first.
 *  @param[in] request  afresh, only_lengths
 *  @return SNUB_OK (count may be 0); SNUB_NO_MEMORY */
snub_status snub_settle(const snub_drive *drive, const snub_loads *loads, const snub_build_request *request,
                        const snub_rereading *again, snub_candidates *candidates, snub_error *error);
void snub_candidates_free(snub_candidates *candidates);

/** Of belts of these lengths, chosen afresh each with its best setting, which serve a row: give its build a verdict no
 *  worse than `most`. @param[out] serves  one of each length; false too where the belt does not fit
 *  @return SNUB_OK; what reading the row gives; SNUB_NO_MEMORY */
snub_status snub_build_serves(const snub_document *document, const snub_reading *reading, const snub_row *row,
                              const double *lengths, int count, snub_level most, bool *serves, snub_errors *errors);

#endif
