/** src/study/judged_kit.h - one kit, judged (inside src/study only). */
#ifndef SNUB_STUDY_JUDGED_KIT_H
#define SNUB_STUDY_JUDGED_KIT_H

#include "snub/tolerate.h"

/** @param[in] value  of each that scatters, SI
 *  @param[in,out] errors  of the file with these values
 *  @return as snub_build_make */
snub_status snub_judge_kit(const snub_document *document, const snub_reading *reading, const snub_tolerated *of,
                           const double *value, snub_kit *kit, snub_errors *errors);

#endif
