/** Pages of a sheet: heads, paragraphs, tables, steps, cautions, pictures, broken to pages (src/report only). */
#ifndef SNUB_REPORT_PAGES_H
#define SNUB_REPORT_PAGES_H

#include <pango/pangocairo.h>

#include "cautions.h"
#include "snub/draw_cairo.h"
#include "snub/sheet.h"

typedef struct snub_pages {
    const snub_sheet *sheet;
    const snub_sheet_build *build; /**< NULL on sheets of a whole kit */
    const snub_locale *locale;     /**< with both units */
    const struct snub_letterhead *head;
    const char *kind;               /**< "Fitting sheet", translated */
    const char *subject;            /**< which build, its verdict; or what was laid over the whole kit */
    const char *fingerprint;        /**< 64 hex digits */
    snub_placeholders placeholders; /**< that the drive file still has */
    cairo_t *cr;
    PangoContext *context;
    snub_arena *arena;               /**< for texts made on the way */
    double width, height;            /**< mm */
    double left, right, top, bottom; /**< of the type area, mm from the upper left corner */
    double y;                        /**< where the next thing goes */
    double begin;                    /**< where the contents of this page begin: below what stands on every page */
    int page, count;                 /**< pages: 0 while they are counted */
    double narrow;                   /**< mm at the right of steps that a picture takes */
    double cell;                     /**< capitals in tables, mm; 0: 1.85 */
    double tight;           /**< of running text: 1, or a little less to save a page that would be all but empty */
    const char *floating;   /**< heading of a picture that waits for the next page; NULL: none does */
    double floating_height; /**< mm */
    snub_status floated;    /**< of a picture that had waited */
    snub_error *error;      /**< that it fills */
    bool coded;             /**< the build's code is printed */
    bool plain;             /**< no head and foot: the page draws its own */
    bool failed;
} snub_pages;

typedef struct snub_pages_job {
    const char *kind;              /**< English */
    const snub_sheet_build *build; /**< one build; or */
    const snub_chart *chart;       /**< the whole kit; or */
    const struct snub_bill *bill;  /**< its parts */
    bool landscape, plain;
    bool no_settings; /**< none in the heading: it is of a build that nobody is to fit by this sheet */
    snub_status (*print)(snub_pages *pages, const void *context, snub_error *error);
    const void *context;
} snub_pages_job;

/** Print to count the pages, without pictures, as often as it takes to choose the size of the text; then for good. */
snub_status snub_pages_print(const snub_sheet *sheet, const snub_pages_job *job, snub_text *out, snub_error *error);

void snub_pages_next(snub_pages *pages);            /**< begin the next page */
void snub_pages_room(snub_pages *pages, double mm); /**< next page where less than that is left */
void snub_pages_gap(snub_pages *pages, double mm);
void snub_pages_heading(snub_pages *pages, const char *text);
void snub_pages_paragraph(snub_pages *pages, const char *text);
void snub_pages_quiet(snub_pages *pages, const char *text);          /**< small, grey: sources, notes */
double snub_pages_quiet_height(snub_pages *pages, const char *text); /**< mm that it takes */
/** A numbered step with a box to tick. `keep` lines up further paragraphs under it with number 0. */
void snub_pages_step(snub_pages *pages, int number, const char *text);
/** The company's own wording, after the cautions and never in their place; nothing where it has none. */
void snub_pages_wording(snub_pages *pages);
double snub_pages_step_height(snub_pages *pages, const char *text); /**< mm that it takes */
/** Nothing while pages are counted. */
void snub_pages_drawing(snub_pages *pages, const snub_drawing *drawing, double x, double y, double scale);

/** The belt's way as a picture across the page, `height` mm; under a heading where one is given. Where this page has no
 *  room for one with a heading, it stands at the head of the next, and what follows fills this page. */
snub_status snub_pages_front(snub_pages *pages, double height, const char *heading, snub_error *error);
/** What a build that fails says on every page, and a marginal verdict on the first; pages that draw no head of their
 * own call it themselves. */
void snub_pages_warn(snub_pages *pages);
/** Does the sheet's one build fail. */
bool snub_pages_fails(const snub_pages *pages);

/** Cautions, a panel for each signal word (a grouped message after ANSI Z535.6); never the last thing on a page. */
void snub_pages_cautions(snub_pages *pages, snub_caution_set set);
double snub_pages_cautions_height(snub_pages *pages, snub_caution_set set); /**< mm that they take */
/** Where the others stand, for sheets that do not have them all. */
void snub_pages_more_cautions(snub_pages *pages);

typedef struct snub_pages_column {
    const char *title, *unit; /**< translated */
    double share;             /**< of the width */
    int across;               /**< -1 left, 0 middle, +1 right */
} snub_pages_column;
/** A table; head again on every page; cells wrap. Columns are as wide as their share of the width, but no narrower than
 * their widest word where there is room for all, and no wider than their texts. cells: rows x count, NULL is empty. A
 * cell that is "marginal" or "fail" in a column is printed bold. */
void snub_pages_table(snub_pages *pages, const snub_pages_column *columns, int count, const char *const *cells,
                      int rows);

/** What the verdict leaves out for want of data, a sentence; "" where it leaves out nothing.
 *  @param[in] chart  of any of its builds; NULL: of the sheet's one build */
const char *snub_pages_unjudged_words(snub_pages *pages, const snub_chart *chart);
/** It as a note, behind a gap. */
void snub_pages_unjudged(snub_pages *pages, const snub_chart *chart);

struct snub_default;
/** Section of the values that the file leaves out; nothing where there are none. */
void snub_pages_defaults(snub_pages *pages, const struct snub_default *defaults, int count);

/** Text with {names} replaced: pairs of name and value, NULL at the end. NULL-safe; marks the pages on lack of memory.
 */
const char *snub_pages_fill(snub_pages *pages, const char *text, ...) __attribute__((sentinel));
/** "31.5 mm (1.240 in)"; the other way round where the locale wants inches. @param[in] metres */
const char *snub_pages_length(snub_pages *pages, double metres, int decimals);
const char *snub_pages_torque(snub_pages *pages, double newton_metres);
/** A number with its unit, in the units of the locale: a metric one ("mm") becomes its inch form where those are
 * wanted. */
const char *snub_pages_number(snub_pages *pages, double value, int decimals, const char *unit);
/** A value of a unit, in the units of the locale; both where the unit wants both. @param[in] si */
const char *snub_pages_value(snub_pages *pages, double si, snub_unit unit, int decimals);
/** Text that was built, kept with the pages; the text is freed. Never NULL. */
const char *snub_pages_keep(snub_pages *pages, snub_text *text);

/** Lettering at a place [mm]; returns its width. */
double snub_pages_words(snub_pages *pages, double x, double y, double height, bool bold, snub_ink ink, int across,
                        const char *text);

/** "SG-1204-K7Q3M2-F   revision B, 2026-03-01": number of the sheet and its revision. */
const char *snub_pages_sheet_number(snub_pages *pages);

enum { SNUB_ORIGIN_MOST = 320 };

/** What a page was made from: the drive file's name, the start of the fingerprint, the version, the date where one is
 * given.
 *  @param[out] text  the words, also returned */
const char *snub_pages_origin(const snub_pages *pages, char text[SNUB_ORIGIN_MOST]);

#define SAY(text) snub_say(pages->locale, (text))

#endif
