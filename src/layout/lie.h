/** Where things stand along the crank's axis. Private to src/layout. */
#ifndef SNUB_LAYOUT_LIE_H
#define SNUB_LAYOUT_LIE_H

#include "snub/layout.h"

/** Every pulley and the belt on it in the plane that the drive gives. */
void snub_lie_flat(const snub_drive *drive, snub_lie *lie);
/** How far the part of a disc towards a point stands from its plane: least and greatest over its tilts, m.
 *  @param[in] reach  radius there, m */
snub_z_range snub_lean_towards(const snub_tilts *tilts, const double centre[2], const double point[2], double reach);

#endif
