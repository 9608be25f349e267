/** snub/linear.h - small dense systems, for what moves: symmetric eigenvalues, complex linear equations. Room: num.
 *
 *  In plain C, so that the page's own core answers as the program does. Meant for n up to some tens: both are of order
 *  n^3 with nothing done for the cache. tests/reference/test_linear.c compares them with LAPACK.
 */
#ifndef SNUB_LINEAR_H
#define SNUB_LINEAR_H

#include "snub/base.h"

/** K x = lambda M x, K symmetric, M diagonal: Jacobi rotations of M^-1/2 K M^-1/2, row by row.
 *  @param[in,out] stiffness  K, n x n; overwritten
 *  @param[in] mass  diagonal of M, n
 *  @param[out] value  n, rising
 *  @param[out] vector  n x n: row k is the x of value k, x' M x = 1
 *  @return SNUB_OK; SNUB_BAD_INPUT (a mass is not over 0); SNUB_NO_CONVERGENCE (K is not finite) */
snub_status snub_eigen(int n, double *stiffness, const double *mass, double *value, double *vector);

/** A X = B in complex numbers by elimination with partial pivoting; A and B row after row.
 *  @param[in,out] matrix  A, n x n; overwritten
 *  @param[in,out] sides   B, n x `count`; the solutions on SNUB_OK
 *  @return SNUB_OK; SNUB_NO_CONVERGENCE (a pivot is 0 or not finite: A is singular) */
snub_status snub_solve_complex(int n, double _Complex *matrix, int count, double _Complex *sides);

#endif
