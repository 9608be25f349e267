/** snub/bill.h - the bill of materials of a kit: its parts by its packages and engine fronts. Room: kit. */
#ifndef SNUB_BILL_H
#define SNUB_BILL_H

#include "snub/contents.h"

/** One package on one engine front, as a build of the chart. */
typedef struct snub_bill_column {
    const snub_row *row;
    int number; /**< of the chart, from 1 */
    bool settled;
    char designation[32]; /**< belt; "" where there is none */
    snub_level verdict;
} snub_bill_column;

/** One part. */
typedef struct snub_bill_row {
    snub_item item; /**< as in the first build that has it; its count and places are that build's */
    int *count;     /**< pieces in each column */
} snub_bill_row;

typedef struct snub_bill {
    snub_rows rows; /**< of the chart, --variant and --package counted in */
    int column_count;
    snub_bill_column *columns; /**< in the chart's order */
    int row_count;
    snub_bill_row *parts; /**< by how they come, then by kind */
    char fingerprint[65]; /**< of all its builds, in order */
    const snub_document *document;
} snub_bill;

/** Settle one build for each package and front and list what they are made of. Of the options the file's own values
 * count, where they are on offer there; else the first that are.
 *  @param[in] reading  its arena holds the bill; its overlays go over every build
 *  @param[in] named    which fronts and packages; all where it names none
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
snub_status snub_bill_make(const snub_document *document, const snub_reading *reading, const snub_named_rows *named,
                           snub_bill *bill, snub_errors *errors);

#endif
