/** Geometry that the backends share (src/draw only). */
#ifndef SNUB_DRAW_SHAPE_H
#define SNUB_DRAW_SHAPE_H

#include "snub/draw.h"

/** An arc this near to a whole turn [rad] is a circle: its ends could not be told apart in any of the forms. */
#define SNUB_FULL_TURN_SLACK 1e-9

/** Largest coordinate or bulge [mm]: a thousand km. Within it every form's decimals fit into 64 bits. */
#define SNUB_COORDINATE_MOST 1e9

/** The arc of a bulged piece from a to b. @return false for a straight piece (bulge 0 or a == b) */
bool snub_bulge_arc(const snub_vertex *a, const snub_vertex *b, double centre[2], double *radius, double *start,
                    double *sweep);

/** Corners of a text's rectangle [model mm], counter-clockwise from its left end of the baseline, descenders taken in.
 *  @param[out] base  where the baseline starts */
void snub_text_box(const snub_entity *text, double unit, double corner[4][2], double base[2]);

/** Bounding box of everything drawn, pens left out, texts by their measure; false for an empty drawing. */
bool snub_drawing_bounds(const snub_drawing *drawing, double low[2], double high[2]);

/** Straight pieces of a loop, arcs cut so that they stray less than `stray` [model mm].
 *  @return points written to `point` (arena); -1 without memory */
int snub_loop_flatten(const snub_loop *loop, double stray, snub_arena *arena, double (**point)[2]);

/** Can it be written: nothing refused, every number finite, a sheet with an area of at most SNUB_SHEET_MOST mm a side.
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY; SNUB_TOO_LARGE */
snub_status snub_drawing_ready(const snub_drawing *drawing, snub_error *error);
/** Longest side of a sheet [mm]: twice A0, and within what PDF allows (14400 pt = 5080 mm). */
#define SNUB_SHEET_MOST 5000.0

#endif
