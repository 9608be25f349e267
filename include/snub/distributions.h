/** snub/distributions.h - chances of normal, chi-square and Student's distributions, and the values for a chance. Room:
 *  num.
 *
 *  Degrees of freedom are whole numbers, for which each has a finite series (Abramowitz and Stegun, 26.4 and 26.7).
 */
#ifndef SNUB_DISTRIBUTIONS_H
#define SNUB_DISTRIBUTIONS_H

/** Chance that chi-square with `freedom` >= 1 exceeds x; 1 for x <= 0. */
double snub_chi_square_over(double x, int freedom);
/** What Student's t with `freedom` >= 1 exceeds with a chance of 0 < chance < 0.5, one side. Good for chances down to
 * 1e-9: under that the series cancels. */
double snub_student_value(double chance, int freedom);
/** The same of the normal distribution. */
double snub_normal_value(double chance);

#endif
