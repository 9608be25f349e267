/** paper_columns.h - columns of a chart as tables on paper (src/report only). */
#ifndef SNUB_REPORT_PAPER_COLUMNS_H
#define SNUB_REPORT_PAPER_COLUMNS_H

#include "columns.h"
#include "pages.h"

enum { SNUB_PAPER_COLUMNS_MOST = 48 };

/** A column of the list by its key, with its share of the width. */
typedef struct snub_paper_share {
    const char *key;
    double share;
} snub_paper_share;

typedef struct snub_paper_table {
    snub_pages *pages;
    const snub_chart *chart;
    snub_columns_of of; /**< its columns are the table's first */
    snub_pages_column column[SNUB_PAPER_COLUMNS_MOST];
    int count;
} snub_paper_table;

/** Those of `shares` that the chart has, in their order. Lack of memory marks the pages. */
void snub_paper_open(snub_paper_table *table, snub_pages *pages, const snub_chart *chart,
                     const snub_paper_share *shares, int count);
/** One more column, of words that the caller makes; at most two. */
void snub_paper_add(snub_paper_table *table, const char *title, double share);
/** Whether a column of the list is in it. */
bool snub_paper_has(const snub_paper_table *table, const char *key);
/** A build's cell in a column of the list. */
const char *snub_paper_cell(snub_paper_table *table, int column, int build);
/** Behind the last build that stands on the same engine front. */
int snub_paper_front_end(const snub_chart *chart, int from);
/** "Engine front: low compressor" */
void snub_paper_front_heading(snub_paper_table *table, int build);
/** What the findings of all builds call for; where the notes have the findings' sentences. */
void snub_paper_cautions(snub_paper_table *table);

#endif
