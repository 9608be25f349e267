/** Engine speed and throttle over time. Private to src/kit. */
#ifndef SNUB_KIT_SCENARIO_COURSE_H
#define SNUB_KIT_SCENARIO_COURSE_H

#include "snub/scenario.h"

/** @return SNUB_OK; SNUB_BAD_INPUT: the file has no engine, or the speed cannot be */
snub_status snub_course_make(const snub_engine *engine, const snub_scenario_request *request, snub_course *course,
                             snub_error *error);
/** Point of the course that a time is behind, the last but one at most. */
int snub_course_at(const snub_course *course, double time);
double snub_course_open(const snub_course *course, double time);

#endif
