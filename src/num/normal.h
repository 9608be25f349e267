/** src/num/normal.h - the normal distribution (inside src/num only). */
#ifndef SNUB_NUM_NORMAL_H
#define SNUB_NUM_NORMAL_H

/** Share at or below z standard deviations over the mean. */
double snub_normal_below(double z);
/** What that share is at or below; 0 < chance < 1. */
double snub_normal_quantile(double chance);

#endif
