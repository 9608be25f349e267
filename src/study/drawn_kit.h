/** src/study/drawn_kit.h - the values of one kit (inside src/study only). */
#ifndef SNUB_STUDY_DRAWN_KIT_H
#define SNUB_STUDY_DRAWN_KIT_H

#include "snub/tolerate.h"

/** Which values of a build scatter: those of the drive with its belt and settings as they were chosen, so that a chosen
 * belt has its tolerance too. @param[out] result  scatter, scatter_count, group_of, group_count, range_count
 *  @return as snub_drive_read */
snub_status snub_drawn_kit_scatter(const snub_document *document, const snub_reading *reading, const snub_build *build,
                                   snub_tolerated *result, snub_errors *errors);
/** Values drawn for a kit, SI, in the order of `scatter`. @return false: memory is out */
bool snub_drawn_kit(const snub_tolerated *of, int kit, snub_arena *arena, double *value);
/** Numbers from 0 to 1 that a kit is made of: one for each value, behind them one for each group. */
int snub_drawn_dimensions(const snub_tolerated *of);
/** The values that such a point stands for, SI, in the order of `scatter`. */
void snub_drawn_values(const snub_tolerated *of, const double *point, double *value);
/** The build's row with values laid over it. @return false: memory is out */
bool snub_drawn_row(const snub_tolerated *of, const double *value, snub_arena *arena, snub_row *row);

#endif
