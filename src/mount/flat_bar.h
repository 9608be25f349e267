/* Stress at a hole in a flat bar. Private to the room. */
#ifndef SNUB_MOUNT_FLAT_BAR_H
#define SNUB_MOUNT_FLAT_BAR_H

/** Stress at a round hole over that of the section that is left: bending out of the plane, pull along the strip.
 *  @param[in] gone  diameter, m, @param[in] share  of the width, 0..1 */
double snub_hole_in_bending(double gone, double thickness);
double snub_hole_in_tension(double share);

#endif
