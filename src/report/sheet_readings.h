/** Target readings on a fitting sheet (src/report only). */
#ifndef SNUB_REPORT_SHEET_READINGS_H
#define SNUB_REPORT_SHEET_READINGS_H

#include "pages.h"
#include "snub/steps.h"

/** The table of what is fitted and what is read, under its heading. */
void snub_pages_readings(snub_pages *pages, const snub_steps *steps);

#endif
