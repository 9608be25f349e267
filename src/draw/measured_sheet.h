/** measured_sheet.h - the sheet of what was measured: seen from the front, on A4 or Letter, with a foot for words.
 * Private to src/draw. */
#ifndef SNUB_DRAW_MEASURED_SHEET_H
#define SNUB_DRAW_MEASURED_SHEET_H

#include "snub/draw.h"
#include "view.h"

/** Sheet mm. */
#define MEASURED_MARGIN 10.0
#define MEASURED_LETTERS 2.2 /**< capitals */

/** Begin a drawing that takes in what is measured out, with room round it for names. @return model mm per sheet mm */
double snub_measured_sheet(snub_drawing *drawing, const snub_extent *extent, const snub_locale *locale,
                           snub_arena *arena);
/** The round factor, 1, 2 or 5 times a power of ten, by which what reaches so far is drawn larger to fit into a room.
 */
double snub_measured_factor(double longest, double room);
/** A line of words at the left margin. @param[in] row  model mm */
void snub_measured_line(snub_drawing *drawing, double row, double height, bool bold, const char *text);
/** A line at the foot, where what it explains is in the drawing. */
typedef struct snub_measured_key {
    bool there;
    const char *words; /**< English, translated */
} snub_measured_key;

/** The title, the scale bar at the foot, and over it the keys, from below. @return the row over them, model mm */
double snub_measured_frame(snub_drawing *drawing, const snub_locale *locale, const char *title,
                           const snub_measured_key *keys, int count);

#endif
