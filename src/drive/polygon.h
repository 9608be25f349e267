/** Outlines that cross themselves. Private to src/drive. */
#ifndef SNUB_DRIVE_POLYGON_H
#define SNUB_DRIVE_POLYGON_H

#include "snub/drive.h"

/** First of the polygon's sides that crosses or touches a later one not next to it; -1: none. *other is that one. */
int snub_polygon_crossing(int corners, const double (*corner)[2], int *other);

#endif
