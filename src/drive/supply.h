/** src/drive/supply.h - how a part comes (inside src/drive only). */
#ifndef SNUB_DRIVE_SUPPLY_H
#define SNUB_DRIVE_SUPPLY_H

#include "read.h"

extern const snub_key snub_rework_keys[];

/** Rows of the list of a part's keys: how it comes; its own number. */
#define SNUB_SUPPLY_KEYS                                                                                               \
    {"supply", NULL,                                                                                                   \
     SNUB_MEANS("How it comes: new in the box, kept on the engine, changed there, or removed from it.")},              \
    {                                                                                                                  \
        "rework", snub_rework_keys, SNUB_MEANS("What is done to a part that is `changed`.")                            \
    }
#define SNUB_NUMBER_KEY                                                                                                \
    {                                                                                                                  \
        "number", NULL, SNUB_MEANS("Your own part number, printed on the parts list.")                                 \
    }

/** Cautions that the way a part comes may call for, as bits of snub_drive's set. */
typedef enum snub_call {
#define SNUB_CAUTION(name, id, signal, place, when, words) SNUB_CALL_##name,
#include "snub/caution_list.inc"
    SNUB_CALLS_
} snub_call;
/** The drive calls for that caution, whatever its findings say. */
void snub_read_calls(snub_reader *reader, snub_call call);

/** Keys supply, rework and number of a part's map, with its `part` where it has one.
 *  @param[in] usual   how it comes where the file is silent; changed: what is done is said by other keys of the map,
 * and `rework` need not be there
 *  @param[in] may_go  it may be removed: nothing of the drive hangs on it */
void snub_read_supply(snub_reader *reader, const snub_node *map, snub_supply_how usual, bool may_go,
                      snub_supply *supply);
/** Its own number and the catalogue's key; each is left as it is where the map has none. */
void snub_read_numbers_of(snub_reader *reader, const snub_node *map, const char **number, const char **part);
/** Those keys do not belong here. @param[in] need  what does */
void snub_refuse_supply(snub_reader *reader, const snub_node *map, const char *need);
/** contents: what the kit has beside the belt's plane. */
void snub_read_contents(snub_reader *reader, const snub_node *root, snub_drive *drive);

#endif
