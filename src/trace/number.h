/** number.h - numbers of a log, quickly. Private to src/trace. */
#ifndef SNUB_TRACE_NUMBER_H
#define SNUB_TRACE_NUMBER_H

#include "snub/base.h"

typedef enum trace_found { TRACE_NUMBER, TRACE_GAP, TRACE_NEITHER } trace_found;

/** A field's number, correctly rounded; blanks and quotes around it are passed over. Empty, "-", NaN and the like are
 *  a gap. @param[in] comma  a comma is a decimal mark as well */
trace_found trace_number(const char *from, const char *end, bool comma, double *value);
/** Powers of ten that are doubles without error. */
enum { TRACE_POWERS = 22 };
extern const double trace_powers[TRACE_POWERS + 1];
/** [hours:]minutes:seconds of a field, s. @return false: it is no such time */
bool trace_clock(const char *from, const char *end, bool comma, double *value);
/** Move both ends inwards over blanks and over one pair of quotes. */
void trace_trim(const char **from, const char **end);

#endif
