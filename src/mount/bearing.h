/** The factors behind a bearing's equivalent load. Private to src/mount. */
#ifndef SNUB_MOUNT_BEARING_H
#define SNUB_MOUNT_BEARING_H

#include "snub/mount.h"

typedef struct snub_xy {
    double e, x, y;
} snub_xy;
/** e, X, Y of a single-row deep groove bearing for f0 Fa/C0, linear between the table's points, held at the ends.
 *  @param[in] c3  the table for C3 clearance instead of normal
 *  docs/theory/bearings.md. */
snub_xy snub_bearing_xy(double relative, bool c3);

#endif
