/** Vectors of two, which the compiler makes for any processor: of WebAssembly's 128 bits too. Private to src/balance.
 */
#ifndef SNUB_BALANCE_WIDTH_TWO_H
#define SNUB_BALANCE_WIDTH_TWO_H

#define LANES 2
#include "width.h"

static inline lanes pick(marks which, lanes yes, lanes no)
{
    return (lanes)((which & (marks)yes) | (~which & (marks)no));
}

static inline bool any(marks which)
{
    return (which[0] | which[1]) != 0;
}

static inline lanes lane_sqrt(lanes x)
{
    return (lanes){sqrt(x[0]), sqrt(x[1])};
}

#endif
