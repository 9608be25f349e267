/** sheet_steps.h - steps of fitting on paper, with their pictures (src/report only). */
#ifndef SNUB_REPORT_SHEET_STEPS_H
#define SNUB_REPORT_SHEET_STEPS_H

#include "pages.h"

/** The steps with the cautions that stand before them; a step and its picture on one page.
 *  @param[in] below  mm that what follows takes: it shares a page with the last step
 *  @return SNUB_OK; as snub_view_of_build, as snub_picture_open */
snub_status snub_pages_steps(snub_pages *pages, const snub_steps *steps, double below, snub_error *error);

#endif
