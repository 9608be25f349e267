/* One build judged: all its rules, one verdict. Private to the room. */
#ifndef SNUB_JUDGE_H
#define SNUB_JUDGE_H

#include "search.h"

/** Judge a build whose drive, length and settings are settled and whose loads are there.
 *  @return SNUB_OK (the findings say what fails); SNUB_NO_MEMORY */
snub_status snub_build_judge(snub_build *build, snub_arena *arena, snub_error *error);

/** Summaries without a value. */
void snub_build_no_summary(snub_build *build);

/** Why no belt on offer will do. */
snub_finding snub_no_belt_finding(const snub_drive *drive, const snub_search_lengths *lengths);

#endif
