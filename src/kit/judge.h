/* One build judged: all its rules, one verdict. Private to the room. */
#ifndef SNUB_JUDGE_H
#define SNUB_JUDGE_H

#include "search.h"

/** Judge a build whose drive, length and settings are settled and whose loads are there.
 *  @param[in] most  worst verdict that is still of interest: past it the judgement ends early, build->judged is false,
 *                   and build->verdict says only that it is no better. SNUB_FAIL: judge to the end
 *  @return SNUB_OK (the findings say what fails); SNUB_NO_MEMORY */
snub_status snub_build_judge(snub_build *build, snub_level most, snub_arena *arena, snub_error *error);

/** Summaries without a value. */
void snub_build_no_summary(snub_build *build);

/** Why no belt on offer will do. */
snub_finding snub_no_belt_finding(const snub_drive *drive, const snub_search_lengths *lengths);

#endif
