/** Ellipses of errors. Private to src/measure. */
#ifndef SNUB_MEASURE_ELLIPSE_H
#define SNUB_MEASURE_ELLIPSE_H

/** Semi-axes and direction of the long one, rad in (-pi/2, pi/2].
 *  @param[in] block   covariance: xx, xy, yy
 *  @param[in] factor  that the roots of its eigenvalues are multiplied by */
void snub_ellipse(const double block[3], double factor, double axis[2], double *turn);

#endif
