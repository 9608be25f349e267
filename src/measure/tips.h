/** tips.h - what a calliper or a strip of paper lies on. Private to src/measure. */
#ifndef SNUB_MEASURE_TIPS_H
#define SNUB_MEASURE_TIPS_H

#include "snub/drive.h"

/** Diameter of the rib tips; of a smooth pulley its own. */
static inline double snub_tip_diameter(const snub_pulley *p)
{
    return p->side == SNUB_RIB ? p->diameter - snub_tips_under_effective(p->tip_radius, p->groove_angle) : p->diameter;
}

#endif
