/** Comparing numbers in tests: prints got, want, tolerance and unit where they differ. */
#ifndef TESTS_NEAR_H
#define TESTS_NEAR_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/** |got - want| <= tolerance, all in `unit`; NaN is never near. */
static inline void near_at(const char *file, int line, const char *what, double got, double want, double tolerance,
                           const char *unit)
{
    if (fabs(got - want) <= tolerance)
        return;
    print_error("%s:%d: %s: got %.12g, want %.12g, tolerance %.3g %s\n", file, line, what, got, want, tolerance, unit);
    _fail(file, line);
}
#define assert_near(what, got, want, tolerance, unit)                                                                  \
    near_at(__FILE__, __LINE__, (what), (got), (want), (tolerance), (unit))

#endif
