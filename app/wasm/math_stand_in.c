/* The browser's functions in the place of the C library's, whose tables are a twentieth of the core as it is sent. They
 * may be another unit in the last place than the program's own; the comparisons of both are made for that. What is
 * exact, or where browsers are worse (hypot), stays in C. */
#include <math.h>

#include "browser.h"

#define OF_ONE(name)                                                                                                   \
    LENT(math, name) double browser_##name(double x);                                                                  \
    double name(double x)                                                                                              \
    {                                                                                                                  \
        return browser_##name(x);                                                                                      \
    }
#define OF_TWO(name)                                                                                                   \
    LENT(math, name) double browser_##name(double x, double y);                                                        \
    double name(double x, double y)                                                                                    \
    {                                                                                                                  \
        return browser_##name(x, y);                                                                                   \
    }

OF_ONE(acos)
OF_ONE(asin)
OF_ONE(atan)
OF_TWO(atan2)
OF_ONE(cbrt)
OF_ONE(cos)
OF_ONE(cosh)
OF_ONE(exp)
OF_ONE(expm1)
OF_ONE(log)
OF_ONE(log10)
OF_TWO(pow)
OF_ONE(sin)
OF_ONE(sinh)
OF_ONE(tan)
OF_ONE(tanh)
