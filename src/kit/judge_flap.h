/** Spans that flap into what is beside them, in the verdict. Private to src/kit. */
#ifndef SNUB_KIT_JUDGE_FLAP_H
#define SNUB_KIT_JUDGE_FLAP_H

#include "snub/kit.h"
#include "study.h"

/** After the motion is judged: where its rules count, and something is within a span's reach.
 *  @param[in] build  settled and laid
 *  @param[in,out] tightest  least gap of pulleys and spans, flap taken off, m
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_judge_flap(const snub_study *study, const snub_build *build, double *tightest);

#endif
