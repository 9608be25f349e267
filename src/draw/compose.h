/** Putting lines, figures, texts and symbols into a drawing. Private to src/draw. */
#ifndef SNUB_DRAW_COMPOSE_H
#define SNUB_DRAW_COMPOSE_H

#include "snub/draw.h"

/** Begin a drawing. @param[in] unit model mm per sheet mm, > 0 and finite */
void snub_drawing_init(snub_drawing *drawing, snub_arena *arena, double unit);
/** Set the sheet's rectangle [model mm]. */
void snub_drawing_frame(snub_drawing *drawing, double low_x, double low_y, double high_x, double high_y);
/** Pens after the widths of ISO 128 (0.18, 0.25, 0.35, 0.5, 0.7 mm). */
snub_pen snub_pen_make(snub_ink ink, snub_dash dash, double width);
void snub_draw_line(snub_drawing *drawing, snub_layer layer, snub_pen pen, double ax, double ay, double bx, double by);
/** @param[in] start,sweep  rad; sweep signed counter-clockwise; 2 pi or more becomes a circle */
void snub_draw_arc(snub_drawing *drawing, snub_layer layer, snub_pen pen, double x, double y, double radius,
                   double start, double sweep);
void snub_draw_circle(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, double x, double y,
                      double radius);
/** One loop. Corners are copied. */
void snub_draw_path(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, const snub_vertex *vertex,
                    int count, bool closed);
/** Several loops, even-odd. */
void snub_draw_loops(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, const snub_loop *loop,
                     int count);
void snub_draw_rectangle(snub_drawing *drawing, snub_layer layer, snub_pen pen, snub_ink fill, double low_x,
                         double low_y, double high_x, double high_y);
/** One line of text; control characters become spaces. Empty text draws nothing. */
void snub_draw_text(snub_drawing *drawing, snub_layer layer, const snub_lettering *lettering, double x, double y,
                    const char *text);
/** Hatching: lines `spacing` [model mm] apart at `angle` [rad], cut to the inside of loops (even-odd). True lines. */
void snub_draw_hatch(snub_drawing *drawing, snub_layer layer, snub_pen pen, const snub_loop *loop, int count,
                     double angle, double spacing);
/** Dimension between a and b, its line `offset` [model mm] to the left of a -> b, with the text over it. Made of lines,
 *  arrow heads and a text. */
void snub_draw_dimension(snub_drawing *drawing, const double a[2], const double b[2], double offset, const char *text);
/** Arrow head with its tip at (x, y), pointing along `direction` [rad], `size` in sheet mm. */
void snub_draw_arrow(snub_drawing *drawing, snub_layer layer, snub_ink ink, double x, double y, double direction,
                     double size);
/** Centre mark: two crossed centre lines, `reach` [model mm] each way. */
void snub_draw_centre(snub_drawing *drawing, double x, double y, double reach);
/** A scale bar of round length, about `about` [model mm] long, from (x, y) to the right; its length is written. */
void snub_draw_scale_bar(snub_drawing *drawing, const snub_locale *locale, double x, double y, double about);
/** Lengths of on, off, on, ... in sheet mm; *count is 0 for a solid line, else even. */
const double *snub_dash_lengths(snub_dash dash, int *count);
/** What was drawn since there were `from` entities, in one tone: dark in heavy black over grey, light in thin grey over
 *  paper. No line is thinner than a printer of 300 dots to the inch holds. Texts stay. */
typedef enum snub_tone { SNUB_TONE_LIGHT, SNUB_TONE_DARK } snub_tone;
void snub_draw_tone(snub_drawing *drawing, int from, snub_tone tone);
/** Name of a layer: upper case letters, digits, '_' ("PITCH_LINE"). */
const char *snub_layer_name(snub_layer layer);

#endif
