/** paper_notes.h - kinds of findings of a chart's builds, each by a letter (src/report only). */
#ifndef SNUB_REPORT_PAPER_NOTES_H
#define SNUB_REPORT_PAPER_NOTES_H

#include "pages.h"

enum { SNUB_PAPER_NOTES_MOST = 52, SNUB_PAPER_ROWS_TEXT = 200 };

/** Findings of one rule about one pulley: the worst, and the builds that have one. */
typedef struct snub_paper_note {
    snub_finding finding;
    int worst; /**< build that it is of */
    char mark[2];
    char rows[SNUB_PAPER_ROWS_TEXT]; /**< "1, 2, 5" */
    int row_count, more;             /**< builds there; those that had no room */
} snub_paper_note;

typedef struct snub_paper_notes {
    snub_paper_note item[SNUB_PAPER_NOTES_MOST];
    int first, count; /**< first: those before it are of another table, and take no more findings */
} snub_paper_notes;

/** Marks of a build in its row: "a c"; "" for none. Notes are made as they are needed, while there are letters.
 *  @param[in] least  findings below that level have none */
const char *snub_paper_marks(snub_pages *pages, const snub_findings *findings, int build, snub_level least,
                             snub_paper_notes *all);

#endif
