/** What the views of a drive share (src/draw only). */
#ifndef SNUB_DRAW_VIEW_H
#define SNUB_DRAW_VIEW_H

#include "snub/draw.h"

/** A number in a metric unit as the locale shows it, without its unit. @return text */
const char *snub_draw_number(const snub_locale *locale, double value, const char *unit, int decimals, char text[32]);
/** What is written for a metric unit: "mm" or "in". */
const char *snub_draw_unit(const snub_locale *locale, const char *unit);
/** A length with its unit: "88.0 mm", "3.465 in". @return text */
const char *snub_draw_mm(const snub_locale *locale, double mm, int decimals, char text[48]);
bool snub_draw_inches(const snub_locale *locale);

/** A rectangle, model mm. */
typedef struct snub_extent {
    double low[2], high[2];
} snub_extent;

void snub_extent_none(snub_extent *extent);
void snub_extent_add(snub_extent *extent, double x, double y, double round);

/** True where the belt lies: every touch point is a number. */
bool snub_view_laid(const snub_view_build *build);
/** The way of a slot's middle; an obstacle; the arm's pivot and its pulley at both ends of its travel. There must be
 * one.
 *  @param[in] room  mm round slot, or round pivot */
void snub_extent_slot(snub_extent *extent, const snub_view_slot *slot, double room);
void snub_extent_obstacle(snub_extent *extent, const snub_view_obstacle *obstacle);
void snub_extent_arm(snub_extent *extent, const snub_view *view, double room);
/** What has to be seen of a view from the front: pulleys, arm positions, slots, obstacles, holes. */
void snub_view_extent(const snub_view *view, snub_extent *extent);
/** A number of the view that is no number, a radius that is none: SNUB_BAD_INPUT with the pulley's name. */
snub_status snub_view_checked(const snub_view *view, snub_error *error);

/** Centre of the arm's pulley at a wind [rad]. */
void snub_view_arm_point(const snub_view_arm *arm, double wind, double point[2]);
/** Point and direction of a slot's centre line at s [mm] from its `from` end. */
void snub_view_slot_point(const snub_view_slot *slot, double s, double point[2], double direction[2]);

/** Nothing is drawn larger than 100:1: no belt drive is that small, and a speck would fill the sheet. */
#define SNUB_SCALE_LEAST 0.01

/** Smallest round scale (model mm per sheet mm) at which width x height [model mm] fits into room [sheet mm].
 *  Round after ISO 5455 with steps in between: 1 1.5 2 2.5 3 4 5 6 8 times a power of ten. */
double snub_round_scale(double width, double height, double room_width, double room_height);

/** The two surfaces of the belt, as one path of two loops (even-odd), and its pitch line as lines and arcs. */
void snub_draw_belt(snub_drawing *drawing, const snub_view_build *build);
void snub_draw_pitch_line(snub_drawing *drawing, snub_layer layer, snub_pen pen, const snub_view_build *build);

/** Heads on its spans: the belt's travel. */
void snub_draw_travel(snub_drawing *drawing, const snub_view_build *build);

/** Where no belt lies: the spans that there is room for, and what arcs would join them, in dashes. */
void snub_draw_attempt(snub_drawing *drawing, const snub_view_build *build);
/** Rims that share a place, outlined and named. */
void snub_draw_overlaps(snub_drawing *drawing, const snub_view_build *build, const snub_locale *locale);

/** One pulley: body, grooves or plain face, centre mark, direction of turn. */
void snub_draw_pulley(snub_drawing *drawing, const snub_view_pulley *pulley);
/** Its body alone. */
void snub_draw_disc(snub_drawing *drawing, const snub_view_pulley *pulley);
/** A curved arrow about a centre, its head `size` sheet mm. @param[in] from,sweep  rad, counter-clockwise */
void snub_draw_turn(snub_drawing *drawing, snub_layer layer, snub_pen pen, const double centre[2], double radius,
                    double from, double sweep, double size);
/** Arm as it stands with its ghosts; slots with their scales; obstacles; holes. */
void snub_draw_arm(snub_drawing *drawing, const snub_view *view);
/** The arm as it stands, without more. There must be one. */
void snub_draw_arm_bar(snub_drawing *drawing, const snub_view *view);
/** The way of a slot's middle, without more. */
void snub_draw_slot_line(snub_drawing *drawing, const snub_view_slot *slot);
/** Where it is set; nothing where it is not. */
void snub_draw_slot_mark(snub_drawing *drawing, const snub_view_slot *slot);
void snub_draw_slot(snub_drawing *drawing, const snub_view_slot *slot);
void snub_draw_obstacle(snub_drawing *drawing, const snub_view_obstacle *obstacle);
/** Its outline in a stronger pen. */
void snub_draw_obstacle_edge(snub_drawing *drawing, const snub_view_obstacle *obstacle, snub_pen edge);
void snub_draw_hole(snub_drawing *drawing, const snub_view_hole *hole);

/** The section of the side view: obstacles, engine faces, brackets, standoffs, shims, flanges and discs, and the
 * dimensions of the stacks. Called before the pulleys are drawn, the dimensions after. */
void snub_side_section_extent(const snub_view *view, snub_extent *extent);
void snub_draw_side_section(snub_drawing *drawing, const snub_view *view, const snub_locale *locale);
/** Bearings and bolts, over the pulleys that they are in. */
void snub_draw_side_fasteners(snub_drawing *drawing, const snub_view *view);
void snub_draw_side_dimensions(snub_drawing *drawing, const snub_view *view, const snub_locale *locale);

/** Border and title block of a sheet. `low` is the sheet's lower left corner [model mm]. */
typedef struct snub_title_block {
    const char *view_name; /**< "front view" */
    const char *build, *state;
    double scale;
} snub_title_block;
/** Height of the title block [sheet mm], and the margin round the sheet. */
#define SNUB_TITLE_HEIGHT 25.0
#define SNUB_SHEET_MARGIN 8.0
void snub_draw_title_block(snub_drawing *drawing, const snub_view *view, const snub_locale *locale,
                           const snub_title_block *block);
/** A warning across the top of a sheet, in letters that cannot be overlooked, on as many lines as it needs.
 *  @param[in] text  NULL or "": nothing is drawn
 *  @return lower edge of it in the drawing, NAN where there is none */
double snub_draw_warning(snub_drawing *drawing, const char *text);
/** "1:4", "2:1", "1:2.5" */
void snub_scale_text(const snub_locale *locale, double scale, char text[32]);

/** The table of pulleys and spans; and its height [sheet mm]. */
double snub_view_table_height(const snub_view *view);
void snub_draw_view_table(snub_drawing *drawing, const snub_view *view, const snub_locale *locale, double x, double y,
                          double width);

#endif
