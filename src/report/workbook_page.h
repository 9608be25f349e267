/** workbook_page.h - how a worksheet is cut into printed pages. Private to src/report. */
#ifndef SNUB_REPORT_WORKBOOK_PAGE_H
#define SNUB_REPORT_WORKBOOK_PAGE_H

#include "snub/report.h"

enum { SNUB_PAGE_BREAKS_MOST = 256 };

typedef struct snub_workbook_page {
    bool landscape;
    int scale;                         /**< per cent */
    int break_count;                   /**< pages beside one another, less one */
    int breaks[SNUB_PAGE_BREAKS_MOST]; /**< columns that start a page, rising */
} snub_workbook_page;

/** Pages beside one another: portrait on one where all columns go there at a size that is easily read, else landscape,
 *  as few pages as the least legible size allows and then as large as those take. The second group starts a page, the
 *  table's keys stand on each. A column that is wider than a page has one of its own.
 *  @param[in] widths  of the columns, characters of the workbook's plain font */
void snub_workbook_lay(const snub_data_table *table, const double *widths, snub_workbook_page *page);

/** Characters of the longest part of a UTF-8 text between any of these bytes: "\n" its lines, "\n " its words. */
int snub_longest_part(const char *text, const char *ends);
/** Lines that a text takes in a cell of so many characters: broken at spaces, a longer word anywhere. */
int snub_lines_in(const char *text, int width);

#endif
