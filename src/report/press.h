/** Pages of a sheet: heads, paragraphs, tables, steps, cautions, pictures, broken to pages (src/report only). */
#ifndef SNUB_REPORT_PRESS_H
#define SNUB_REPORT_PRESS_H

#include "snub/draw_cairo.h"
#include "snub/sheet.h"

typedef struct snub_press {
    const snub_sheet *sheet;
    const snub_speech *speech;
    const char *kind; /**< "Fitting sheet", translated */
    cairo_t *cr;
    PangoContext *context;
    snub_arena *arena;               /**< for texts made on the way */
    double width, height;            /**< mm */
    double left, right, top, bottom; /**< of the type area, mm from the upper left corner */
    double y;                        /**< where the next thing goes */
    int page, pages;                 /**< pages: 0 while they are counted */
    double cell;                     /**< capitals in tables, mm; 0: 1.85 */
    bool plain;                      /**< no head and foot: the page draws its own */
    bool failed;
} snub_press;

typedef struct snub_press_job {
    const char *kind; /**< English */
    bool landscape, plain;
    snub_status (*print)(snub_press *press, const void *context, snub_error *error);
    const void *context;
} snub_press_job;

/** Print twice: once to count the pages, once for good. */
snub_status snub_press_run(const snub_sheet *sheet, const snub_press_job *job, snub_text *out, snub_error *error);

void snub_press_page(snub_press *press);            /**< begin the next page */
void snub_press_room(snub_press *press, double mm); /**< next page where less than that is left */
void snub_press_gap(snub_press *press, double mm);
void snub_press_heading(snub_press *press, const char *text);
void snub_press_paragraph(snub_press *press, const char *text);
void snub_press_quiet(snub_press *press, const char *text); /**< small, grey: sources, notes */
/** A numbered step with a box to tick. `keep` lines up further paragraphs under it with number 0. */
void snub_press_step(snub_press *press, int number, const char *text);
void snub_press_drawing(snub_press *press, const snub_drawing *drawing, double x, double y, double scale);

/** The belt's way as a picture across the page, `height` mm; under a heading where one is given. */
snub_status snub_press_front(snub_press *press, const snub_check *check, double height, const char *heading,
                             snub_error *error);

/** Signal words after ANSI Z535.4-2007: DANGER will kill or maim; WARNING could; CAUTION minor or moderate injury;
 * NOTICE property only, no triangle. */
typedef enum snub_signal {
    SNUB_SIGNAL_DANGER,
    SNUB_SIGNAL_WARNING,
    SNUB_SIGNAL_CAUTION,
    SNUB_SIGNAL_NOTICE
} snub_signal;
void snub_press_caution(snub_press *press, snub_signal signal, const char *text);

typedef struct snub_press_column {
    const char *title, *unit; /**< translated */
    double share;             /**< of the width */
    int across;               /**< -1 left, 0 middle, +1 right */
} snub_press_column;
/** A table; head again on every page; cells wrap. cells: rows x count, NULL is empty. A cell that is "watch" or "fail"
 * in a column is printed bold. */
void snub_press_table(snub_press *press, const snub_press_column *columns, int count, const char *const *cells,
                      int rows);

/** Text with {names} replaced: pairs of name and value, NULL at the end. NULL-safe; marks the press on lack of memory.
 */
const char *snub_press_fill(snub_press *press, const char *text, ...) __attribute__((sentinel));
/** "31.5 mm (1.240 in)"; the other way round where the speech wants inches. @param[in] metres */
const char *snub_press_length(snub_press *press, double metres, int decimals);
const char *snub_press_torque(snub_press *press, double newton_metres);
const char *snub_press_pressure(snub_press *press, double pascals);
const char *snub_press_number(snub_press *press, double value, int decimals, const char *unit);

/** Lettering at a place [mm]; returns its width. */
double snub_press_words(snub_press *press, double x, double y, double height, bool bold, snub_ink ink, int across,
                        const char *text);

/** Marks a text for the catalogue where it is translated later. */
#define MESSAGE(text) text
#define SAY(text) snub_say(press->speech, (text))

#endif
