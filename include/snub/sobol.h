/** snub/sobol.h - points that fill a cube evenly. Room: num. */
#ifndef SNUB_SOBOL_H
#define SNUB_SOBOL_H

#include <stdbool.h>
#include <stdint.h>

enum { SNUB_SOBOL_DIMENSIONS_MOST = 1024 };

/** A point of Sobol's sequence (direction numbers of Joe and Kuo 2008), by its index in the order of Gray's code.
 *
 *  Scrambled after Owen (1995): every digit is flipped or not by what a hash makes of the seed, the dimension and the
 *  digits before it. So 2^m points from an index that 2^m divides stay a net, and the mean over them of a smooth
 *  function scatters from seed to seed as n^-3/2. Which point is asked for first, and by whom, does not matter.
 *
 *  @param[in]  dimensions  1 to SNUB_SOBOL_DIMENSIONS_MOST
 *  @param[in]  seed        not used where not scrambled
 *  @param[out] point       `dimensions` values; scrambled: in (0, 1), a multiple of 2^-52 and half of one; else in
 *                          [0, 1)
 *  Not checked: the bounds of `dimensions`. */
void snub_sobol_point(int dimensions, uint64_t seed, bool scrambled, uint64_t index, double *point);

#endif
