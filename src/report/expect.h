/** What a fitter should measure afterwards. Private to src/report. */
#ifndef SNUB_REPORT_EXPECT_H
#define SNUB_REPORT_EXPECT_H

#include "snub/sheet.h"

/** Balances at rest of a settled build for the shortest, nominal and longest belt, at both edges of the arm's
 *  friction. */
void snub_expect(const snub_build *build, snub_expectation *expectation);
/** Frequency of the span to pluck at another tension, Hz: with the root of the tension, as of a string.
 *  @param[in] tension  N, engine stopped */
double snub_expected_frequency(const snub_expectation *expectation, double tension);

#endif
