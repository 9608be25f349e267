/** number.h - where a number ends. Private to src/base, and to what stands in for the C library. */
#ifndef SNUB_BASE_NUMBER_H
#define SNUB_BASE_NUMBER_H

/** End of the decimal number at `at`, or `at` itself where there is none. An `e` counts only with digits behind it, so
 *  that "2 eV" or "5e" keep theirs. */
const char *snub_number_end(const char *at);

#endif
